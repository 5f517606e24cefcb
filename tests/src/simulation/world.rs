//! The desktops and the server together, and what happens to them.

use std::collections::BTreeSet;
use std::sync::atomic::Ordering;

use desk::ports::Clock as _;
use desk::store::{LocalPhoto, NewEntry, StoreError};
use desk::sync::{PhotoStep, RoundError, join, sync_once, upload_next};
use domain::fact::{Fact, Note, PasscodeDestruction, SealedPasscode};
use domain::{EntryId, JobId, PersonId, Subject};
use sync_protocol::SyncError;

use super::desktop::{Album, Desktop, put_in_place};
use super::lines::{Line, UnderWay};
use super::server::{PAGES, Server, entry_id};
use super::weather::Weather;
use super::{Census, Dice};

const START_MS: u64 = 1_764_072_000_000;
const DESKTOPS_AT_FIRST: usize = 3;
const DESKTOPS_MAX: usize = 6;
pub(super) const JOBS: u8 = 5;

pub(super) fn job(n: u8) -> Subject {
    Subject::Job(JobId::from_bytes([n + 1; 16]))
}

/// All of it.
pub(super) struct World {
    dice: Dice,
    weather: Weather,
    pub(super) server: Server,
    pub(super) desktops: Vec<Desktop>,
    under_way: UnderWay,
    pub(super) album: Album,
    pub(super) credential: String,
    pub(super) held_at_the_end: BTreeSet<EntryId>,
    pub(super) census: Census,
    last_sealed: Option<EntryId>,
}

impl World {
    pub(super) fn new(mut dice: Dice, weather: Weather) -> Self {
        let server = Server::new(i64::try_from(START_MS).unwrap());
        let mut desktops = Vec::new();
        let mut credential = String::new();
        for _ in 0..DESKTOPS_AT_FIRST {
            let seed = Dice(dice.roll());
            let desktop = Desktop::open(tempfile::tempdir().unwrap(), START_MS, seed);
            let code = server.core().new_join_code().unwrap();
            let line = server.connection("");
            credential = join(desktop.store(), &line, "http://simulated", &code)
                .unwrap()
                .credential;
            desktops.push(desktop);
        }
        Self {
            dice,
            weather,
            server,
            desktops,
            under_way: UnderWay::default(),
            album: Album::default(),
            credential,
            held_at_the_end: BTreeSet::new(),
            census: Census::default(),
            last_sealed: None,
        }
    }

    /// Something happens.
    pub(super) fn event(&mut self) {
        let tick = self.dice.below(60_000) as u64;
        for desktop in &self.desktops {
            desktop.clock.0.fetch_add(tick, Ordering::SeqCst);
        }
        self.server.advance(i64::try_from(tick).unwrap());
        let which = self.dice.below(self.desktops.len());
        match self.dice.below(20) {
            0..=6 => self.record(which),
            12 => self.photo(which),
            13 => {
                let (roll, n) = (self.dice.roll(), self.dice.below(JOBS.into()));
                self.server.record(
                    entry_id(roll),
                    job(u8::try_from(n).unwrap()),
                    &format!("portal {roll}"),
                );
            }
            14 => self.passcode(which),
            15 | 16 if self.weather.machines => self.machine_trouble(which),
            17 | 18 if self.weather.old_desktops => self.old_desktop(which),
            19 if self.weather.old_server => self.old_server(),
            _ => self.sync(which),
        }
    }

    fn record(&mut self, which: usize) {
        let count = 1 + self.dice.below(6);
        let mut entries = Vec::new();
        for _ in 0..count {
            let subject = job(u8::try_from(self.dice.below(JOBS.into())).unwrap());
            let text = format!("{} ", self.dice.roll()).repeat(1 + self.dice.below(20));
            let mut entry = NewEntry::fact(subject, &Fact::NoteRecorded(Note { text }));
            if self.dice.once_in(6) {
                entry.kind = "rocket.launched".to_owned();
                self.census.unknown += 1;
            }
            if self.dice.once_in(25) {
                // Larger than a page.
                entry.payload = vec![b'x'; PAGES.bytes_max + 1];
                entry.kind = "rocket.filmed".to_owned();
                self.census.larger_than_a_page += 1;
            }
            let seen = self.desktops[which].store().entries_of(subject).unwrap();
            entries.push(
                entry.based_on(
                    seen.iter()
                        .rev()
                        .take(2)
                        .map(|entry| entry.entry_id)
                        .collect(),
                ),
            );
        }
        let appended = self.desktops[which]
            .store()
            .append(PersonId::from_bytes([5; 16]), entries);
        saved(&mut self.census, appended);
    }

    /// Seals a passcode, or destroys the last one sealed anywhere: maybe before this desktop has heard of it.
    fn passcode(&mut self, which: usize) {
        let fact = match self.last_sealed.take() {
            Some(sealed_entry_id) => {
                Fact::PasscodeDestroyed(PasscodeDestruction { sealed_entry_id })
            }
            None => Fact::PasscodeSealed(SealedPasscode {
                sealed: format!("sealed {}", self.dice.roll()),
            }),
        };
        let is_sealing = matches!(fact, Fact::PasscodeSealed(_));
        let entries = vec![NewEntry::fact(job(0), &fact)];
        let appended = self.desktops[which]
            .store()
            .append(PersonId::from_bytes([5; 16]), entries);
        if let Some(appended) = saved(&mut self.census, appended)
            && is_sealing
        {
            self.last_sealed = Some(appended.entries[0].entry_id);
        }
    }

    fn photo(&mut self, which: usize) {
        let bytes: Vec<u8> = (0..=self.dice.below(300))
            .flat_map(|_| self.dice.roll().to_be_bytes())
            .collect();
        let size_bytes = bytes.len() as u64;
        let hash = self.album.put(bytes);
        let photo = LocalPhoto {
            hash,
            size_bytes,
            thumb: None,
        };
        saved(
            &mut self.census,
            self.desktops[which].store().queue_photo(&photo),
        );
        self.census.photos += 1;
    }

    fn sync(&mut self, which: usize) {
        let line_dice = Dice(self.dice.roll());
        let late = self.under_way.lock().unwrap().len();
        let desktop = &self.desktops[which];
        let before = desktop.ids();
        let line = Line::new(
            self.server.connection(&self.credential),
            &self.under_way,
            line_dice,
            self.weather.line,
        );
        match sync_once(desktop.store(), &line, PAGES, &|_| ()) {
            Ok(round) => {
                assert!(round.blocked.is_empty() && round.refused == 0, "{round:?}");
                self.census.forks += round.forks;
                self.census.servers_healed += usize::from(round.server_restored);
            }
            Err(error) => expected(&mut self.census, &error),
        }
        for _ in 0..6 {
            match upload_next(desktop.store(), &self.album, &line) {
                Ok(PhotoStep::Nothing) => break,
                Ok(PhotoStep::Refused) => panic!("a photo was refused"),
                Ok(_) => {}
                Err(error) => {
                    expected(&mut self.census, &error);
                    break;
                }
            }
        }
        self.census.late += late.saturating_sub(self.under_way.lock().unwrap().len());
        let after = desktop.ids();
        assert!(
            before.is_subset(&after),
            "syncing lost {:?}",
            before.difference(&after).collect::<Vec<_>>()
        );
    }

    fn machine_trouble(&mut self, which: usize) {
        let dice = Dice(self.dice.roll());
        let roll = self.dice.below(4);
        let day_ms = 86_400_000;
        let step_ms = self.dice.roll() % day_ms;
        let desktop = &mut self.desktops[which];
        match roll {
            0 => {
                desktop.start(dice);
                self.census.restarts += 1;
            }
            1 => drop(desktop.clock.0.fetch_add(step_ms, Ordering::SeqCst)),
            2 => drop(desktop.clock.0.fetch_sub(step_ms, Ordering::SeqCst)),
            _ => {
                // Full within a few pages; room comes back when the program is started again.
                let size_bytes = std::fs::metadata(desktop.store().path()).unwrap().len();
                desktop
                    .store()
                    .set_size_limit(Some(size_bytes + 16_384))
                    .unwrap();
            }
        }
    }

    fn old_desktop(&mut self, which: usize) {
        let (roll, dice) = (self.dice.below(4), Dice(self.dice.roll()));
        let image = self.dice.below(8);
        let keep_nonce = self.dice.once_in(2);
        let count = self.desktops.len();
        let desktop = &mut self.desktops[which];
        match roll {
            0 | 1 => {
                desktop.images += 1;
                desktop
                    .store()
                    .backup_to(&desktop.image(desktop.images))
                    .unwrap();
            }
            2 if desktop.images > 0 => {
                // Half the time nothing tells the program that its file is old.
                let image = desktop.image(image % desktop.images + 1);
                desktop.store = None;
                put_in_place(&image, desktop.dir.path());
                if !keep_nonce {
                    std::fs::remove_file(desktop.dir.path().join("config/installation")).unwrap();
                }
                desktop.start(dice);
                self.census.old_files += 1;
            }
            _ if count < DESKTOPS_MAX => {
                let image = desktop.dir.path().join("clone.sqlite");
                desktop.store().backup_to(&image).unwrap();
                let dir = tempfile::tempdir().unwrap();
                put_in_place(&image, dir.path());
                std::fs::create_dir_all(dir.path().join("config")).unwrap();
                let nonce = desktop.dir.path().join("config/installation");
                std::fs::copy(nonce, dir.path().join("config/installation")).unwrap();
                let now_ms = desktop.clock.now_ms();
                self.census.clones += 1;
                self.desktops.push(Desktop::open(dir, now_ms, dice));
            }
            _ => {}
        }
    }

    fn old_server(&mut self) {
        match self.dice.below(5) {
            0 | 1 => self.server.back_up(),
            2 => self.server.restart(),
            _ => {
                let (which, by_command) = (self.dice.below(8), self.dice.once_in(2));
                self.server.restore(which, by_command);
            }
        }
    }

    /// The weather clears: there is room on every disk, every message arrives, and everyone syncs until nobody has anything left.
    pub(super) fn clear_up(&mut self) {
        self.weather = Weather::FAIR;
        let mut held = self.server_ids();
        for desktop in &mut self.desktops {
            desktop.start(Dice(self.dice.roll()));
            held.extend(desktop.ids());
            // A server put back behind its own back, exactly to where this desktop had read, is no different to this desktop from
            // one that never moved, save for photos it took since.
            desktop.store().requeue_photos().unwrap();
        }
        self.held_at_the_end = held;
        for _ in 0..4 {
            for which in 0..self.desktops.len() {
                self.sync(which);
            }
        }
        for desktop in &self.desktops {
            let line = self.server.connection(&self.credential);
            // A photo that failed once waits for its next try.
            desktop.store().retry_uploads_now().unwrap();
            while upload_next(desktop.store(), &self.album, &line).unwrap() != PhotoStep::Nothing {}
            let round = sync_once(desktop.store(), &line, PAGES, &|_| ()).unwrap();
            assert!(
                round.in_step && round.sent == 0 && round.received == 0,
                "not settled: {round:?}"
            );
        }
    }

    fn server_ids(&self) -> BTreeSet<EntryId> {
        super::check::server_log(self)
            .into_iter()
            .map(|entry| entry.entry_id)
            .collect()
    }
}

/// What was saved, or nothing when the disk was full; anything else is a fault of ours.
fn saved<T>(census: &mut Census, result: Result<T, StoreError>) -> Option<T> {
    match result {
        Ok(value) => Some(value),
        Err(StoreError::DiskFull) => {
            census.full_disks += 1;
            None
        }
        Err(error) => panic!("recording failed: {error:?}"),
    }
}

/// The failures a round may have; anything else is a fault of ours.
fn expected(census: &mut Census, error: &RoundError) {
    match error {
        RoundError::Server(SyncError::NoAnswer { .. }) => census.lost += 1,
        RoundError::Store(StoreError::DiskFull) => census.full_disks += 1,
        _ => panic!("an unexpected failure: {error:?}"),
    }
}
