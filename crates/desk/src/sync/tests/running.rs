//! The background threads, with servers that answer by the book or not at all.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use domain::LabId;
use logbook::{LogDigest, SigningKey, public_key, sign_digest};
use sync_protocol::{
    Cursor, Enrol, Enrolled, FinishPhoto, Heads, JoinCode, NewShopLink, Page, PhotoProgress,
    PositionHint, Pull, PushAnswer, PushEntries, ServerClock, ShopLink, Witness, witness_digest,
};
use uuid::Uuid;

use super::*;
use crate::ports::PhotoFiles;
use crate::store::Store;
use crate::store::tests::{Bench, NOON_MS, job, lab, note, person};

const EPOCH: Uuid = Uuid::from_u128(5);

/// A server with an empty log that holds nothing and can be switched off.
struct EmptyServer {
    key: SigningKey,
    is_on: AtomicBool,
    asked: AtomicU64,
}

impl EmptyServer {
    fn new() -> Arc<Self> {
        let key = SigningKey::from_bytes(&[4; 32]);
        Arc::new(Self {
            key,
            is_on: AtomicBool::new(true),
            asked: AtomicU64::new(0),
        })
    }

    fn answer<T>(&self, value: T) -> Result<T, SyncError> {
        if self.is_on.load(Ordering::SeqCst) {
            Ok(value)
        } else {
            Err(SyncError::NoAnswer {
                server: "test".to_owned(),
                reason: "switched off".to_owned(),
            })
        }
    }
}

impl SyncProtocol for EmptyServer {
    fn enrol(&self, _: &Enrol) -> Result<Enrolled, SyncError> {
        self.answer(Enrolled {
            lab_id: lab(),
            lab_name: "Lab".to_owned(),
            credential: "secret".to_owned(),
            server_key: public_key(&self.key),
            server_stream_id: domain::StreamId::from_bytes([3; 16]),
            log_epoch: EPOCH,
        })
    }

    fn clock(&self) -> Result<ServerClock, SyncError> {
        self.answer(ServerClock {
            server_ms: NOON_MS - 840_000,
        })
    }

    fn heads(&self) -> Result<Heads, SyncError> {
        self.asked.fetch_add(1, Ordering::SeqCst);
        let signed = witness_digest(lab(), EPOCH, 0, &LogDigest::EMPTY, NOON_MS);
        self.answer(Heads {
            log_epoch: EPOCH,
            log_position: 0,
            digest: LogDigest::EMPTY,
            witness: Witness {
                at_ms: NOON_MS,
                signature: sign_digest(&self.key, &signed),
            },
            streams: Vec::new(),
        })
    }

    fn push(&self, _: &PushEntries) -> Result<PushAnswer, SyncError> {
        // Holds nothing: every entry is the next one for ever.
        self.answer(PushAnswer {
            answers: Vec::new(),
            contiguous_seq: 0,
        })
    }

    fn pull(&self, cursor: &Cursor) -> Result<Pull, SyncError> {
        let page = Page {
            entries: Vec::new(),
            cursor: *cursor,
            log_position_end: 0,
            streams: Vec::new(),
        };
        self.answer(Pull::Page(page))
    }

    fn wait_hint(&self, log_position: u64, _: u64) -> Result<PositionHint, SyncError> {
        std::thread::sleep(Duration::from_millis(20));
        self.answer(PositionHint { log_position })
    }

    fn new_join_code(&self) -> Result<JoinCode, SyncError> {
        unused()
    }

    fn new_shop_link(&self, _: &NewShopLink) -> Result<ShopLink, SyncError> {
        unused()
    }

    fn photo_progress(&self, _: &ContentHash, _: PhotoVariant) -> Result<PhotoProgress, SyncError> {
        unused()
    }

    fn photo_part(
        &self,
        _: &ContentHash,
        _: PhotoVariant,
        _: u64,
        _: &[u8],
    ) -> Result<PhotoProgress, SyncError> {
        unused()
    }

    fn photo_finish(
        &self,
        _: &ContentHash,
        _: PhotoVariant,
        _: &FinishPhoto,
    ) -> Result<PhotoProgress, SyncError> {
        unused()
    }

    fn photo_download(&self, _: &ContentHash, _: PhotoVariant) -> Result<Vec<u8>, SyncError> {
        unused()
    }
}

fn unused<T>() -> Result<T, SyncError> {
    panic!("these tests have no photos and invite nobody")
}

struct NoFiles;

impl PhotoFiles for NoFiles {
    fn read_part(
        &self,
        _: &ContentHash,
        _: PhotoVariant,
        _: u64,
        _: usize,
    ) -> std::io::Result<Vec<u8>> {
        Err(std::io::ErrorKind::NotFound.into())
    }

    fn write(&self, _: &ContentHash, _: PhotoVariant, _: &[u8]) -> std::io::Result<()> {
        Err(std::io::ErrorKind::Unsupported.into())
    }

    fn holds(&self, _: &ContentHash, _: PhotoVariant) -> bool {
        false
    }
}

struct Set {
    runner: Arc<SyncRunner>,
    store: Arc<Store>,
    states: Receiver<SyncStatus>,
    _dir: tempfile::TempDir,
}

fn set_up(server: &Arc<EmptyServer>) -> Set {
    let Bench { store, dir, .. } = Bench::without_lab(1);
    let store = Arc::new(store);
    let server = Arc::clone(server);
    let connect: Connect = Arc::new(move |_, _| Ok(Arc::clone(&server) as Arc<dyn SyncProtocol>));
    let runner = SyncRunner::new(Arc::clone(&store), Arc::new(NoFiles), connect);
    let (sender, states) = channel();
    let sender = Mutex::new(sender);
    runner.on_status(Arc::new(move |status: &SyncStatus| {
        // Nobody listens any more once the test has ended.
        drop(sender.lock().unwrap().send(status.clone()));
    }));
    Set {
        runner,
        store,
        states,
        _dir: dir,
    }
}

impl Set {
    /// Waits until the line says `state`.
    fn wait_for(&self, state: SyncState) -> SyncStatus {
        loop {
            let status = self
                .states
                .recv_timeout(Duration::from_secs(20))
                .expect("the state is reached");
            if status.state == state {
                return status;
            }
        }
    }
}

#[test]
fn before_joining_everything_stays_here_and_the_line_says_so() {
    let set = set_up(&EmptyServer::new());
    assert_eq!(set.runner.status().unwrap().state, SyncState::NotJoined);
    let error = set.runner.sync_now().unwrap_err();
    assert!(error.to_string().contains("no server yet"), "{error}");
}

#[test]
fn joining_takes_the_servers_lab_and_ends_in_step() {
    let server = EmptyServer::new();
    let set = set_up(&server);
    let _running = set.runner.start();
    set.runner.join("http://lab.test/", " AB-CD ").unwrap();
    let status = set.wait_for(SyncState::InStep);
    assert_eq!(status.server_url.as_deref(), Some("http://lab.test"));
    assert_eq!(status.last_in_step_ms, Some(NOON_MS));
    assert_eq!(
        status.clock_ahead_ms,
        Some(840_000),
        "this computer's clock is 14 minutes fast"
    );
    assert_eq!(set.store.installation().unwrap().lab_id, Some(lab()));
}

#[test]
fn a_server_that_goes_away_is_said_and_found_again() {
    let server = EmptyServer::new();
    let set = set_up(&server);
    set.runner.join("http://lab.test", "code").unwrap();
    let running = set.runner.start();
    set.wait_for(SyncState::InStep);
    server.is_on.store(false, Ordering::SeqCst);
    set.runner.wake();
    let status = set.wait_for(SyncState::Offline);
    assert!(status.problem.unwrap().contains("does not answer"));
    assert!(
        status
            .next_try_ms
            .is_some_and(|at_ms| at_ms > NOON_MS && at_ms <= NOON_MS + 1_000)
    );
    server.is_on.store(true, Ordering::SeqCst);
    set.wait_for(SyncState::InStep);
    drop(running);
}

#[test]
fn a_stopped_runner_rests_and_can_be_started_again() {
    let server = EmptyServer::new();
    let set = set_up(&server);
    set.runner.join("http://lab.test", "code").unwrap();
    drop(set.runner.start());
    let asked = server.asked.load(Ordering::SeqCst);
    set.runner.wake();
    std::thread::yield_now();
    assert_eq!(
        server.asked.load(Ordering::SeqCst),
        asked,
        "nobody asks after the stop"
    );
    while set.states.try_recv().is_ok() {}
    let _running = set.runner.start();
    set.wait_for(SyncState::InStep);
    assert!(server.asked.load(Ordering::SeqCst) > asked);
}

#[test]
fn a_stopped_runner_lets_go_of_the_file() {
    let server = EmptyServer::new();
    let set = set_up(&server);
    set.runner.join("http://lab.test", "code").unwrap();
    drop(set.runner.start());
    let weak = Arc::downgrade(&set.store);
    let Set { runner, store, .. } = set;
    drop((runner, store));
    // The hint thread looks up for an instant after each wait.
    for _ in 0..200 {
        if weak.strong_count() == 0 {
            return;
        }
        std::thread::sleep(Duration::from_millis(10));
    }
    panic!("something still holds the store");
}

#[test]
fn a_server_of_another_key_is_not_talked_to() {
    let server = EmptyServer::new();
    let set = set_up(&server);
    let mut enrolled = server
        .enrol(&Enrol {
            protocol_version: 1,
            code: String::new(),
            lab_id: None::<LabId>,
            stream: set.store.installation().unwrap().stream_info(),
        })
        .unwrap();
    enrolled.server_key = public_key(&SigningKey::from_bytes(&[99; 32]));
    set.store
        .keep_enrolment("http://lab.test", &enrolled)
        .unwrap();
    let error = set.runner.sync_now().unwrap_err();
    assert!(
        error.is_permanent()
            && error
                .to_string()
                .contains("not the one this desktop joined"),
        "{error}"
    );
    assert_eq!(set.runner.status().unwrap().state, SyncState::Stopped);
}

#[test]
fn a_server_that_takes_nothing_leaves_everything_waiting() {
    let server = EmptyServer::new();
    let set = set_up(&server);
    set.runner.join("http://lab.test", "code").unwrap();
    set.store
        .append(person(), vec![note(job(1), "kept")])
        .unwrap();
    let round = set.runner.sync_now().unwrap();
    assert!(!round.in_step && round.sent == 0);
    let status = set.runner.status().unwrap();
    assert_eq!(
        (status.state, status.waiting_entries),
        (SyncState::Partly, 1)
    );
    assert_eq!(status.waiting_since_ms, Some(NOON_MS));
}

#[test]
fn the_time_of_the_last_agreement_survives_a_restart() {
    let server = EmptyServer::new();
    let set = set_up(&server);
    set.runner.join("http://lab.test", "code").unwrap();
    set.runner.sync_now().unwrap();
    let connect: Connect = Arc::new(|url, _| {
        Err(SyncError::NoAnswer {
            server: url.to_owned(),
            reason: "gone".to_owned(),
        })
    });
    let again = SyncRunner::new(Arc::clone(&set.store), Arc::new(NoFiles), connect);
    again.sync_now().unwrap_err();
    let status = again.status().unwrap();
    assert_eq!(
        (status.state, status.last_in_step_ms),
        (SyncState::Offline, Some(NOON_MS))
    );
}
