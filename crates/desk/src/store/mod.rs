//! The lab's file on this desktop: the log, what is folded from it, and what waits to be sent.
//!
//! The only place of the desk that names the database. One writer connection behind a lock, every write in one immediate
//! transaction, `synchronous=FULL`: a person is told "saved" only after the commit. Readers have snapshots of their own and
//! never wait for a write. Every table but log, outbox, queues and settings can be thrown away and folded again.
//! It must never refuse a fact for what it says, and never delete an entry: forks are set aside and re-issued.

mod append;
mod backup;
mod cursor;
mod enrolment;
mod error;
mod fork;
mod ingest;
mod installation;
mod log;
mod outbox;
mod photos;
mod projection;
mod rows;
mod schema;
mod settings;
mod verify;

use std::cell::Cell;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use domain::Subject;
use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::ports::Ports;

pub use append::{Appended, NewEntry};
pub use enrolment::Enrolment;
pub use error::StoreError;
pub use fork::SetAside;
pub use ingest::Ingested;
pub use installation::Installation;
pub use outbox::Outbox;
pub use photos::{LocalPhoto, PhotoTotals, PhotoUpload, PhotoWhere, StoredPhoto};
pub use projection::{
    Code, Filter, FoldProgress, Order, Projection, Projector, SearchWord, Summary,
};
pub use verify::StreamReport;

/// Name of the database in the data folder.
pub const FILE_NAME: &str = "logbook.sqlite";

/// Most reader connections kept open; more are opened and closed as needed.
const READERS_KEPT_MAX: usize = 4;

/// Where a store lies and what it is called.
#[derive(Debug, Clone)]
pub struct StoreOptions {
    /// Folder of the database.
    pub data_dir: PathBuf,
    /// A small file *outside* the data folder. It tells a file that has been copied or restored from one that has not: such a
    /// copy must never go on writing the stream of its original.
    pub nonce_file: PathBuf,
    /// What people call this desktop; used when it is new.
    pub desktop_name: String,
}

/// Told which subjects have changed, after each commit that changed some.
pub type ChangeListener = Arc<dyn Fn(&[Subject]) + Send + Sync>;

/// The lab's file, open.
pub struct Store {
    writer: Mutex<Connection>,
    readers: Mutex<Vec<Connection>>,
    listeners: Mutex<Vec<ChangeListener>>,
    path: PathBuf,
    ports: Ports,
    projector: Arc<dyn Projector>,
}

/// A snapshot to read from: within a write, what that write sees.
pub struct Reading<'a> {
    connection: &'a Connection,
}

/// A write under way.
struct Writing<'a> {
    tx: Transaction<'a>,
    ports: &'a Ports,
    projector: &'a dyn Projector,
    /// Whether this write took a payload away.
    has_erased: Cell<bool>,
}

impl Store {
    /// Opens the lab's file, or lays out a new one.
    ///
    /// A file whose nonce isn't the one beside it was copied or restored: it gets a new stream at once. Projections of another
    /// fold version are folded again before this returns.
    pub fn open(
        options: &StoreOptions,
        ports: Ports,
        projector: Arc<dyn Projector>,
    ) -> Result<Self, StoreError> {
        std::fs::create_dir_all(&options.data_dir).map_err(|source| StoreError::File {
            path: options.data_dir.clone(),
            source,
        })?;
        let path = options.data_dir.join(FILE_NAME);
        let mut connection = open_connection(&path)?;
        schema::migrate(&mut connection)?;
        let store = Self {
            writer: Mutex::new(connection),
            readers: Mutex::new(Vec::new()),
            listeners: Mutex::new(Vec::new()),
            path,
            ports,
            projector,
        };
        store.settle_installation(options)?;
        store.settle_fold_version()?;
        Ok(store)
    }

    /// The database's path.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The clock and random source it was opened with.
    pub fn ports(&self) -> &Ports {
        &self.ports
    }

    /// Calls `listener` after each commit that changed subjects, on the thread that committed.
    pub fn on_change(&self, listener: ChangeListener) {
        lock(&self.listeners).push(listener);
    }

    /// Caps the database file, or takes the cap away. A write that doesn't fit fails as a full disk would.
    pub fn set_size_limit(&self, bytes_max: Option<u64>) -> Result<(), StoreError> {
        let doing = "setting its size limit";
        let writer = lock(&self.writer);
        let page_bytes: i64 = writer
            .pragma_query_value(None, "page_size", |row| row.get(0))
            .map_err(StoreError::database(doing))?;
        let pages = bytes_max.map_or(u64::from(u32::MAX) - 1, |bytes| {
            (bytes / rows::natural(page_bytes)).max(1)
        });
        writer
            .pragma_update_and_check(None, "max_page_count", rows::integer(pages), |_| Ok(()))
            .map_err(StoreError::database(doing))
    }

    /// Reads from one snapshot.
    pub fn read<T>(
        &self,
        read: impl FnOnce(&Reading<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let kept = lock(&self.readers).pop();
        let mut connection = match kept {
            Some(connection) => connection,
            None => open_connection(&self.path)?,
        };
        let result = {
            let tx = connection
                .transaction()
                .map_err(StoreError::database("reading"))?;
            let result = read(&Reading { connection: &tx });
            tx.finish().map_err(StoreError::database("reading"))?;
            result
        };
        let mut readers = lock(&self.readers);
        if readers.len() < READERS_KEPT_MAX {
            readers.push(connection);
        }
        result
    }

    /// Runs one write transaction: all of it, or nothing.
    fn transact<T, E: From<StoreError>>(
        &self,
        doing: &'static str,
        write: impl FnOnce(&Writing<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        let mut connection = lock(&self.writer);
        let (value, has_erased) = {
            let tx = connection
                .transaction_with_behavior(TransactionBehavior::Immediate)
                .map_err(StoreError::database(doing))?;
            let writing = Writing {
                tx,
                ports: &self.ports,
                projector: &*self.projector,
                has_erased: Cell::new(false),
            };
            let value = write(&writing)?;
            let Writing { tx, has_erased, .. } = writing;
            tx.commit().map_err(StoreError::database(doing))?;
            (value, has_erased.get())
        };
        if has_erased {
            empty_write_ahead_log(&connection);
        }
        Ok(value)
    }

    /// Tells the listeners. Never called while the writer is locked.
    fn announce(&self, changed: &[Subject]) {
        if changed.is_empty() {
            return;
        }
        let listeners = lock(&self.listeners).clone();
        for listener in listeners {
            listener(changed);
        }
    }
}

impl Writing<'_> {
    fn reading(&self) -> Reading<'_> {
        Reading {
            connection: &self.tx,
        }
    }

    fn now_ms(&self) -> u64 {
        self.ports.clock.now_ms()
    }
}

/// What was erased would otherwise stay readable in the write-ahead log until that is next overwritten. A reader in the way
/// delays it to the next time; the commit stands either way.
fn empty_write_ahead_log(connection: &Connection) {
    if let Err(error) = connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())) {
        tracing::warn!(%error, "the write-ahead log could not be emptied after an erasure");
    }
}

/// A connection that panicked in use is sound: its transaction was rolled back when it was dropped.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn open_connection(path: &Path) -> Result<Connection, StoreError> {
    let open = || -> Result<Connection, rusqlite::Error> {
        let connection = Connection::open(path)?;
        schema::configure(&connection)?;
        Ok(connection)
    };
    let connection = open().map_err(|source| match StoreError::database("opening it")(source) {
        StoreError::Database { source, .. } => StoreError::Open {
            path: path.to_owned(),
            source,
        },
        other => other,
    })?;
    keep_private(path)?;
    Ok(connection)
}

/// The file holds the desktop's signing key and credential, so only its owner may read it.
fn keep_private(path: &Path) -> Result<(), StoreError> {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(0o600)).map_err(
            |source| StoreError::File {
                path: path.to_owned(),
                source,
            },
        )?;
    }
    #[cfg(not(unix))]
    let _ = path;
    Ok(())
}

#[cfg(test)]
pub(crate) mod tests;
