//! When to sync: after each recording, on a hint from the server, once a minute anyway, and with growing waits after failures.
//!
//! Two threads at most: one does the rounds and the photos, one listens for hints. Both end when [`RunningSync`] is dropped, and
//! a runner can be started again after that.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError, Weak};
use std::thread::JoinHandle;
use std::time::Duration;

use domain::ContentHash;
use sync_protocol::limits::{HINT_WAIT_MS_MAX, PageLimits};
use sync_protocol::{Enrolled, PhotoVariant, SyncError, SyncProtocol};

use super::backoff::backoff_ms;
use super::photos::{PhotoStep, fetch_photo, upload_next};
use super::round::{Progress, Round, RoundError, sync_once};
use super::status::{SyncState, SyncStatus};
use crate::ports::PhotoFiles;
use crate::store::{Enrolment, Store, StoreError};

/// Longest time between two rounds, for hints that never came.
const POLL_MS: u64 = 60_000;

/// Photo speeds are averaged over this many of the last parts.
const RATE_PARTS: usize = 8;

/// Under which setting the time of the last full agreement is kept, so that the line can say it after a restart.
const LAST_IN_STEP: &str = "sync.last_in_step_ms";

/// That time is written at most this often: a minute is as exact as the line's words.
const LAST_IN_STEP_EVERY_MS: u64 = 60_000;

/// Makes a way to a server: to the joined one with its credential, or, with an empty credential, to one about to be joined.
pub type Connect =
    Arc<dyn Fn(&str, &str) -> Result<Arc<dyn SyncProtocol>, SyncError> + Send + Sync>;

/// Told when the sync line should be drawn again.
pub type StatusListener = Arc<dyn Fn(&SyncStatus) + Send + Sync>;

/// Decides when to sync, and knows how things stand.
pub struct SyncRunner {
    store: Arc<Store>,
    files: Arc<dyn PhotoFiles>,
    connect: Connect,
    shared: Mutex<Shared>,
    wake: Condvar,
    /// One round at a time, whoever asks for it.
    turn: Mutex<()>,
}

struct Shared {
    woken: bool,
    failures: u32,
    state: SyncState,
    problem: Option<String>,
    reading: Option<(u64, u64)>,
    last_in_step_ms: Option<u64>,
    next_try_ms: Option<u64>,
    clock_ahead_ms: Option<i64>,
    photo_parts: Vec<(u64, u64)>,
    listeners: Vec<StatusListener>,
    server: Option<(Enrolment, Arc<dyn SyncProtocol>)>,
}

impl SyncRunner {
    /// Makes a runner that has not started. [`SyncRunner::sync_now`] works without [`SyncRunner::start`].
    pub fn new(store: Arc<Store>, files: Arc<dyn PhotoFiles>, connect: Connect) -> Arc<Self> {
        let shared = Shared {
            woken: false,
            failures: 0,
            state: SyncState::Starting,
            problem: None,
            reading: None,
            last_in_step_ms: store.setting(LAST_IN_STEP).ok().flatten(),
            next_try_ms: None,
            clock_ahead_ms: None,
            photo_parts: Vec::new(),
            listeners: Vec::new(),
            server: None,
        };
        let runner = Arc::new(Self {
            store,
            files,
            connect,
            shared: Mutex::new(shared),
            wake: Condvar::new(),
            turn: Mutex::new(()),
        });
        let waker = Arc::downgrade(&runner);
        runner.store.on_change(Arc::new(move |_| {
            if let Some(runner) = waker.upgrade() {
                runner.wake_if_waiting();
            }
        }));
        runner
    }

    /// Joins a server with a one-time code. The first round follows by itself.
    pub fn join(&self, server_url: &str, code: &str) -> Result<Enrolled, RoundError> {
        let server_url = server_url.trim().trim_end_matches('/');
        let server = (self.connect)(server_url, "")?;
        let enrolled = super::join::join(&self.store, &*server, server_url, code)?;
        self.wake();
        Ok(enrolled)
    }

    /// Runs one round and all photos now, on this thread.
    pub fn sync_now(&self) -> Result<Round, RoundError> {
        let round = self.round()?;
        while self.photo_step()? {}
        Ok(round)
    }

    /// Wakes the background thread: something was recorded, the server gave a hint, or a person asked.
    pub fn wake(&self) {
        self.shared().woken = true;
        self.wake.notify_all();
    }

    /// Calls `listener` whenever the status may have changed.
    pub fn on_status(&self, listener: StatusListener) {
        self.shared().listeners.push(listener);
    }

    /// Returns how things stand.
    pub fn status(&self) -> Result<SyncStatus, StoreError> {
        let outbox = self.store.outbox()?;
        let photos = self.store.photo_totals()?;
        let unknown_entries = self.store.unknown_count()?;
        let enrolment = self.store.enrolment()?;
        let shared = self.shared();
        let (bytes, took_ms) = shared
            .photo_parts
            .iter()
            .fold((0, 0), |(bytes, ms), part| (bytes + part.0, ms + part.1));
        Ok(SyncStatus {
            state: if enrolment.is_none() {
                SyncState::NotJoined
            } else {
                shared.state
            },
            problem: shared.problem.clone(),
            server_url: enrolment.map(|enrolment| enrolment.server_url),
            waiting_entries: outbox.entries,
            waiting_since_ms: outbox.oldest_ms,
            reading: shared.reading,
            last_in_step_ms: shared.last_in_step_ms,
            next_try_ms: shared.next_try_ms,
            clock_ahead_ms: shared.clock_ahead_ms,
            photos_waiting: photos.waiting,
            photo_bytes_waiting: photos.waiting_bytes,
            photos_done: photos.verified,
            photos_refused: photos.refused,
            photo_bytes_per_second: (took_ms > 0).then(|| bytes * 1_000 / took_ms),
            unknown_entries,
        })
    }

    /// Makes sure that a photo is here, fetching it from the server when it isn't.
    pub fn fetch_photo(&self, hash: &ContentHash, variant: PhotoVariant) -> Result<(), RoundError> {
        if self.files.holds(hash, variant) {
            return Ok(());
        }
        let server = self.server()?;
        fetch_photo(&self.store, &*self.files, &*server, hash, variant)
    }

    /// Starts syncing in the background.
    pub fn start(self: &Arc<Self>) -> RunningSync {
        let stopping = Arc::new(AtomicBool::new(false));
        let (rounds, rounds_stopping) = (Arc::clone(self), Arc::clone(&stopping));
        let (hints, hints_stopping) = (Arc::downgrade(self), Arc::clone(&stopping));
        let thread = std::thread::spawn(move || rounds.run_rounds(&rounds_stopping));
        // Not joined: it may sit in a wait of 25 s that nothing can interrupt. Meanwhile it holds neither store nor runner.
        std::thread::spawn(move || run_hints(&hints, &hints_stopping));
        RunningSync {
            runner: Arc::clone(self),
            stopping,
            thread: Some(thread),
        }
    }

    fn shared(&self) -> MutexGuard<'_, Shared> {
        self.shared.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Entries that just came in need no new round; entries to be sent do.
    fn wake_if_waiting(&self) {
        if self.store.outbox().is_ok_and(|outbox| outbox.entries > 0) {
            self.wake();
        }
    }

    /// The server, and the position whose successor is news.
    fn hint_to_ask_for(&self) -> Result<(Arc<dyn SyncProtocol>, u64), RoundError> {
        let position = self.store.cursor()?.map_or(0, |cursor| cursor.log_position);
        Ok((self.server()?, position))
    }

    /// The way to the joined server, made once for each enrolment.
    fn server(&self) -> Result<Arc<dyn SyncProtocol>, RoundError> {
        let Some(enrolment) = self.store.enrolment()? else {
            return Err(RoundError::NotJoined);
        };
        if let Some((known, server)) = &self.shared().server
            && *known == enrolment
        {
            return Ok(Arc::clone(server));
        }
        let server = (self.connect)(&enrolment.server_url, &enrolment.credential)?;
        self.shared().server = Some((enrolment, Arc::clone(&server)));
        Ok(server)
    }

    fn round(&self) -> Result<Round, RoundError> {
        let turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        let result = self.server().and_then(|server| self.round_with(&*server));
        drop(turn);
        match &result {
            Ok(round) => self.note_round(round),
            Err(error) => self.note_failure(error),
        }
        result
    }

    fn round_with(&self, server: &dyn SyncProtocol) -> Result<Round, RoundError> {
        self.set(|shared| {
            shared.state = SyncState::Working;
            shared.next_try_ms = None;
        });
        let observe = |progress: Progress| {
            if let Progress::Read {
                log_position,
                log_position_end,
            } = progress
            {
                self.set(|shared| shared.reading = Some((log_position, log_position_end)));
            }
        };
        self.measure_clock(server)?;
        sync_once(&self.store, server, PageLimits::STANDARD, &observe)
    }

    /// Halving the time of the question is exact to half a round trip: enough to tell a wrong clock by minutes.
    fn measure_clock(&self, server: &dyn SyncProtocol) -> Result<(), RoundError> {
        let clock = &self.store.ports().clock;
        let asked_ms = clock.now_ms();
        let server_ms = server.clock()?.server_ms;
        let answered_ms = clock.now_ms();
        let middle_ms = asked_ms + answered_ms.saturating_sub(asked_ms) / 2;
        let ahead_ms = i64::try_from(middle_ms).unwrap_or(i64::MAX)
            - i64::try_from(server_ms).unwrap_or(i64::MAX);
        self.set(|shared| shared.clock_ahead_ms = Some(ahead_ms));
        Ok(())
    }

    fn note_round(&self, round: &Round) {
        if round.in_step {
            self.note_in_step(self.store.ports().clock.now_ms());
        }
        self.set(|shared| {
            shared.reading = None;
            shared.failures = 0;
            shared.next_try_ms = None;
            shared.problem = round.blocked.first().map(|blocked| {
                let (name, reason) = (&blocked.stream.name, &blocked.reason);
                format!("The server does not take what “{name}” recorded: {reason}")
            });
            shared.state = if round.in_step {
                SyncState::InStep
            } else {
                SyncState::Partly
            };
        });
    }

    fn note_failure(&self, error: &RoundError) {
        if matches!(error, RoundError::NotJoined) {
            return;
        }
        let now_ms = self.store.ports().clock.now_ms();
        let random = u64::from_be_bytes(self.store.ports().random_bytes());
        self.set(|shared| {
            shared.reading = None;
            shared.failures = shared.failures.saturating_add(1);
            shared.problem = Some(error.to_string());
            shared.state = if error.is_permanent() {
                SyncState::Stopped
            } else {
                SyncState::Offline
            };
            shared.next_try_ms = Some(now_ms.saturating_add(backoff_ms(shared.failures, random)));
        });
    }

    fn note_in_step(&self, now_ms: u64) {
        let before_ms = self.shared().last_in_step_ms.replace(now_ms);
        if before_ms.is_some_and(|before_ms| now_ms.abs_diff(before_ms) < LAST_IN_STEP_EVERY_MS) {
            return;
        }
        if let Err(error) = self.store.set_setting(LAST_IN_STEP, &now_ms) {
            tracing::warn!(%error, "the time of the last agreement could not be kept");
        }
    }

    /// Does one piece of uploading. Returns whether there may be more.
    fn photo_step(&self) -> Result<bool, RoundError> {
        let turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        let clock = &self.store.ports().clock;
        let began_ms = clock.now_ms();
        let result = self
            .server()
            .and_then(|server| upload_next(&self.store, &*self.files, &*server));
        let took_ms = clock.now_ms().saturating_sub(began_ms).max(1);
        drop(turn);
        match &result {
            Ok(PhotoStep::Nothing) => {}
            Ok(PhotoStep::Sent { bytes } | PhotoStep::Verified { bytes }) => self.set(|shared| {
                shared.photo_parts.push((*bytes, took_ms));
                let surplus = shared.photo_parts.len().saturating_sub(RATE_PARTS);
                shared.photo_parts.drain(..surplus);
            }),
            Ok(PhotoStep::Later | PhotoStep::Refused) => self.set(|_| ()),
            Err(error) => self.note_failure(error),
        }
        Ok(result? != PhotoStep::Nothing)
    }

    /// Changes what is shared, and tells the listeners.
    fn set(&self, change: impl FnOnce(&mut Shared)) {
        let listeners = {
            let mut shared = self.shared();
            change(&mut shared);
            shared.listeners.clone()
        };
        if listeners.is_empty() {
            return;
        }
        match self.status() {
            Ok(status) => listeners.iter().for_each(|listener| listener(&status)),
            Err(error) => tracing::warn!(%error, "the sync status could not be read"),
        }
    }

    fn run_rounds(&self, stopping: &AtomicBool) {
        while !stopping.load(Ordering::SeqCst) {
            self.shared().woken = false;
            let wait_ms = match self.work(stopping) {
                Ok(()) | Err(RoundError::NotJoined) => POLL_MS,
                Err(error) => {
                    tracing::info!(%error, "sync will be tried again");
                    let random = u64::from_be_bytes(self.store.ports().random_bytes());
                    backoff_ms(self.shared().failures.max(1), random)
                }
            };
            self.sleep(wait_ms, stopping);
        }
    }

    /// One round, then photos until something new is recorded.
    fn work(&self, stopping: &AtomicBool) -> Result<(), RoundError> {
        self.round()?;
        while !stopping.load(Ordering::SeqCst) && !self.shared().woken && self.photo_step()? {}
        Ok(())
    }

    /// Sleeps until woken or for `wait_ms`.
    fn sleep(&self, wait_ms: u64, stopping: &AtomicBool) {
        let shared = self.shared();
        let sleeps = |shared: &mut Shared| !shared.woken && !stopping.load(Ordering::SeqCst);
        drop(
            self.wake
                .wait_timeout_while(shared, Duration::from_millis(wait_ms), sleeps),
        );
    }
}

/// Waits for the server's word that its log has moved, and wakes the runner.
fn run_hints(runner: &Weak<SyncRunner>, stopping: &AtomicBool) {
    let mut failures = 0_u32;
    while !stopping.load(Ordering::SeqCst) {
        let Some(asked) = runner.upgrade().map(|runner| runner.hint_to_ask_for()) else {
            return;
        };
        let moved = asked.and_then(|(server, position)| {
            let hint = server.wait_hint(position, HINT_WAIT_MS_MAX)?;
            Ok(hint.log_position != position)
        });
        let Some(runner) = runner
            .upgrade()
            .filter(|_| !stopping.load(Ordering::SeqCst))
        else {
            return;
        };
        if let Ok(moved) = moved {
            failures = 0;
            if moved {
                runner.wake();
                // The round that this begins moves the cursor; asking before that would only hear the same again.
                pause(
                    || runner.shared().woken && !stopping.load(Ordering::SeqCst),
                    2_000,
                );
            }
        } else {
            failures = failures.saturating_add(1);
            let random = u64::from_be_bytes(runner.store.ports().random_bytes());
            drop(runner);
            pause(
                || !stopping.load(Ordering::SeqCst),
                backoff_ms(failures, random),
            );
        }
    }
}

/// Waits in small steps while `holds`, so that stopping is quick.
fn pause(holds: impl Fn() -> bool, wait_ms: u64) {
    const STEP_MS: u64 = 50;
    for _ in 0..wait_ms / STEP_MS {
        if !holds() {
            return;
        }
        std::thread::sleep(Duration::from_millis(STEP_MS));
    }
}

/// Syncing in the background. Dropping it ends the threads; a call under way is finished first, a hint is not waited for.
pub struct RunningSync {
    runner: Arc<SyncRunner>,
    stopping: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Drop for RunningSync {
    fn drop(&mut self) {
        self.stopping.store(true, Ordering::SeqCst);
        self.runner.wake();
        if let Some(thread) = self.thread.take()
            && thread.join().is_err()
        {
            tracing::error!("the sync thread ended by a panic");
        }
    }
}
