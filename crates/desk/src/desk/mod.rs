//! One desktop of a lab: its logbook, its files, its key, and the person at it.
//!
//! Commands are built on the few ways in and out that stand here. Nothing is changed but by [`Desk::append`]; nothing is read
//! but through the store's snapshots. No window, no HTTP server and no other library's type shows through.

mod around;
mod house;
mod keeping;
mod reading;

pub use around::DeskState;
pub use house::{DesktopRow, SetupView};
pub use keeping::{BackedUp, Verified};

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use domain::{EntryId, Fact, PersonId, Subject};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::error::DeskError;
use crate::files::Files;
use crate::ports::Ports;
use crate::printing::Printers;
use crate::rows::Rows;
use crate::store::{Filter, NewEntry, Order, Store, StoreOptions};

/// A fact about a subject, with the edits it was based on.
pub(crate) type NewFact = (Subject, Fact, Vec<EntryId>);

/// Told to the screen after each change: what to read again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Changed {
    /// These subjects.
    Subjects {
        /// Which.
        subjects: Vec<Subject>,
    },
    /// The line about the server.
    Sync,
    /// Another folder is to be watched.
    Folder,
    /// A picture from the watched folder was taken in, or was refused.
    Picture {
        /// What happened, in a sentence.
        sentence: String,
    },
}

/// Called after each change, on the thread that made it. Breaks when nobody listens any more, and is then forgotten.
pub type Listener = Arc<dyn Fn(&Changed) -> ControlFlow<()> + Send + Sync>;

/// Where a desktop's things lie.
#[derive(Debug, Clone)]
pub struct DeskOptions {
    /// Folder of the logbook, the files and the papers.
    pub folder: PathBuf,
    /// A small file *outside* that folder by which a copied folder is told from the original.
    pub nonce_file: PathBuf,
}

impl DeskOptions {
    /// The usual places: everything in `folder`, and the small file beside it, so that a copy of the folder leaves it behind.
    pub fn beside(folder: &Path) -> Self {
        let mut name = folder.file_name().unwrap_or_default().to_os_string();
        name.push(".installation");
        Self {
            folder: folder.to_path_buf(),
            nonce_file: folder.with_file_name(name),
        }
    }
}

/// One desktop of a lab.
pub struct Desk {
    pub(crate) options: DeskOptions,
    pub(crate) ports: Ports,
    pub(crate) store: Arc<Store>,
    pub(crate) files: Arc<Files>,
    pub(crate) acting: Mutex<()>,
    pub(crate) listeners: Arc<Mutex<Vec<Listener>>>,
    pub(crate) sync: crate::connection::Connection,
    pub(crate) watch: crate::watch::Watch,
    pub(crate) printers: Arc<dyn Printers>,
}

/// The folder of papers that were made, within the lab's.
pub(crate) const PAPERS: &str = "papers";
const PERSON: &str = "person";

pub(crate) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Desk {
    /// Opens the desktop in its folder, or lays out a new one. Nothing is sent or watched until [`Desk::start`].
    pub fn open(options: DeskOptions, ports: Ports) -> Result<Self, DeskError> {
        let store_options = StoreOptions {
            data_dir: options.folder.clone(),
            nonce_file: options.nonce_file.clone(),
            desktop_name: "this desktop".to_owned(),
        };
        let store = Arc::new(Store::open(&store_options, ports.clone(), Arc::new(Rows))?);
        let files = Arc::new(Files::open(&options.folder)?);
        let listeners: Arc<Mutex<Vec<Listener>>> = Arc::default();
        let told = Arc::clone(&listeners);
        store.on_change(Arc::new(move |subjects: &[Subject]| {
            tell(
                &told,
                &Changed::Subjects {
                    subjects: subjects.to_vec(),
                },
            );
        }));
        Ok(Self {
            sync: crate::connection::Connection::new(Arc::clone(&store), Arc::clone(&files)),
            watch: crate::watch::Watch::new(),
            printers: crate::printing::of_this_system(),
            acting: Mutex::new(()),
            options,
            ports,
            store,
            files,
            listeners,
        })
    }

    /// Prints on these printers instead of the system's.
    #[must_use]
    pub fn with_printers(self, printers: Arc<dyn Printers>) -> Self {
        Self { printers, ..self }
    }

    /// Calls `listener` after each change.
    pub fn on_change(&self, listener: Listener) {
        lock(&self.listeners).push(listener);
    }

    /// Tells every listener.
    pub(crate) fn tell(&self, changed: &Changed) {
        tell(&self.listeners, changed);
    }

    /// Caps the logbook's file, or takes the cap away. What doesn't fit is refused as on a full disk.
    pub fn set_size_limit(&self, bytes_max: Option<u64>) -> Result<(), DeskError> {
        Ok(self.store.set_size_limit(bytes_max)?)
    }

    /// Waits until no other command is checking and recording.
    pub(crate) fn take_turn(&self) -> MutexGuard<'_, ()> {
        lock(&self.acting)
    }

    /// The logbook.
    pub(crate) fn store(&self) -> &Store {
        &self.store
    }

    /// Makes an id: UUIDv7.
    pub(crate) fn new_id(&self) -> Uuid {
        self.ports.new_uuid()
    }

    /// Fresh random bytes, fit for keys and nonces.
    pub(crate) fn random<const N: usize>(&self) -> [u8; N] {
        let mut bytes = [0; N];
        self.ports.randomness.fill(&mut bytes);
        bytes
    }

    /// Records one fact that replaces none.
    pub(crate) fn record(&self, subject: Subject, fact: Fact) -> Result<(), DeskError> {
        self.record_all(vec![(subject, fact, Vec::new())])
    }

    /// Records facts as one action: all or none.
    pub(crate) fn record_all(&self, facts: Vec<NewFact>) -> Result<(), DeskError> {
        let entries = facts
            .into_iter()
            .map(|(subject, fact, based_on)| NewEntry::fact(subject, &fact).based_on(based_on));
        self.append(entries.collect())
    }

    /// Records entries as one action by the person at this desktop.
    pub(crate) fn append(&self, entries: Vec<NewEntry>) -> Result<(), DeskError> {
        self.store.append(self.person_id()?, entries)?;
        self.wake_sync();
        Ok(())
    }

    /// Records facts by a person who isn't signed in yet; only while a lab is founded.
    pub(crate) fn record_as(
        &self,
        actor_id: PersonId,
        facts: Vec<(Subject, Fact)>,
    ) -> Result<(), DeskError> {
        self.store.append(
            actor_id,
            facts
                .into_iter()
                .map(|(subject, fact)| NewEntry::fact(subject, &fact))
                .collect(),
        )?;
        Ok(())
    }

    /// The instant it is, in milliseconds since 1970.
    pub(crate) fn now_ms(&self) -> u64 {
        self.ports.clock.now_ms()
    }
}

pub(crate) fn tell(listeners: &Mutex<Vec<Listener>>, changed: &Changed) {
    // Called outside the lock: a listener may itself add one.
    let told = lock(listeners).clone();
    for listener in told {
        if listener(changed).is_break() {
            lock(listeners).retain(|other| !Arc::ptr_eq(other, &listener));
        }
    }
}

/// The order in which lists are read.
pub(crate) fn latest_first(tag: &'static str) -> Filter {
    Filter {
        order: Order::Latest,
        ..Filter::all(tag)
    }
}
