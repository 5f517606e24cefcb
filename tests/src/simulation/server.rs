//! The real server's core on a real file, with a clock of its own and old copies to go back to.

use std::path::PathBuf;
use std::sync::Arc;

use domain::fact::{Fact, Note};
use domain::{EntryId, PersonId, Subject};
use sync_protocol::limits::PageLimits;
use sync_server::auth::LabScope;
use sync_server::auth::credential::operator;
use sync_server::clock::ManualClock;
use sync_server::config::Quotas;
use sync_server::core::{Connection, Core};
use sync_server::files::Files;
use sync_server::store::OwnFact;
use sync_server::store::sqlite::{self, FILE_NAME, SqliteStore};
use tempfile::TempDir;
use uuid::Uuid;

/// Small pages, so that every run crosses their edges.
pub(super) const PAGES: PageLimits = PageLimits {
    entries_max: 7,
    bytes_max: 12_000,
};

/// The server and its folder.
pub(super) struct Server {
    dir: TempDir,
    clock: Arc<ManualClock>,
    core: Option<Arc<Core>>,
    backups: usize,
}

impl Server {
    pub(super) fn new(now_ms: i64) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let mut server = Self {
            dir,
            clock: Arc::new(ManualClock::at(now_ms)),
            core: None,
            backups: 0,
        };
        server.start();
        server
    }

    fn data(&self) -> PathBuf {
        self.dir.path().join("data")
    }

    fn start(&mut self) {
        let store = Arc::new(SqliteStore::open(&self.data()).unwrap());
        let files = Files::open(&self.data()).unwrap();
        let core = Core::new(store, files, self.clock.clone(), Quotas::default()).unwrap();
        self.core = Some(Arc::new(core));
    }

    pub(super) fn core(&self) -> Arc<Core> {
        Arc::clone(self.core.as_ref().expect("it runs between restores"))
    }

    pub(super) fn connection(&self, credential: &str) -> Connection {
        Connection::with_credential(self.core(), credential).with_limits(PAGES)
    }

    pub(super) fn advance(&self, ms: i64) {
        self.clock.advance(ms);
    }

    pub(super) fn restart(&mut self) {
        self.core = None;
        self.start();
    }

    fn scope(&self) -> LabScope {
        operator(self.core().store())
            .unwrap()
            .expect("a desktop has joined")
    }

    /// An entry of the server's own, as the portal makes them.
    pub(super) fn record(&self, entry_id: EntryId, subject: Subject, text: &str) {
        let fact = OwnFact {
            entry_id,
            actor_id: PersonId::from_bytes([7; 16]),
            subject,
            based_on: Vec::new(),
            fact: Fact::NoteRecorded(Note {
                text: text.to_owned(),
            }),
        };
        let core = self.core();
        core.store()
            .record(&self.scope(), vec![fact], core.now_ms())
            .unwrap();
    }

    pub(super) fn back_up(&mut self) {
        self.backups += 1;
        let target = self.dir.path().join(format!("backup-{}", self.backups));
        sqlite::backup(&self.data(), &target).unwrap();
    }

    /// Goes back to one of the backups, if there is one: by the restore command, or by copying the file behind the server's back.
    pub(super) fn restore(&mut self, which: usize, by_command: bool) {
        if self.backups == 0 {
            return;
        }
        let source = self
            .dir
            .path()
            .join(format!("backup-{}", which % self.backups + 1));
        self.core = None;
        let data = self.data();
        for ending in ["", "-wal", "-shm"] {
            let path = data.join(format!("{FILE_NAME}{ending}"));
            if path.exists() {
                std::fs::remove_file(path).unwrap();
            }
        }
        if by_command {
            sqlite::restore(&source, &data).unwrap();
        } else {
            std::fs::copy(source.join(FILE_NAME), data.join(FILE_NAME)).unwrap();
        }
        self.start();
    }
}

/// A UUIDv7-shaped id from the dice.
pub(super) fn entry_id(roll: u64) -> EntryId {
    EntryId::new(Uuid::from_u128(
        0x0190_0000_0000_7000_8000_0000_0000_0000 | u128::from(roll >> 4),
    ))
}
