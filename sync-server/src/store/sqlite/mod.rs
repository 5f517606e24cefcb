//! The store on one SQLite file. The only place of the server that names `rusqlite`.
//!
//! One writer behind a mutex, readers from a small pool; WAL, so that a page never waits for an upload. `synchronous=FULL`,
//! because an answer of `stored` makes a desktop drop the entry from its outbox: it must survive a power cut.

mod accounts;
mod backup;
mod entries;
mod files;
mod joining;
mod log;
mod row;
mod schema;
mod shop;
mod streams;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use rusqlite::{Connection, ErrorCode, OpenFlags, Transaction, TransactionBehavior};

use super::StoreError;
use crate::shop_view::VIEW_VERSION;

pub use backup::{backup, restore};

/// The database's name in the data folder.
pub const FILE_NAME: &str = "waybench-server.sqlite";

/// Idle readers kept open. Two cores answer pages; more connections would only hold memory.
const READERS_MAX: usize = 8;

/// How long a connection waits for another process, such as a running backup, before it gives up.
const BUSY_TIMEOUT: Duration = Duration::from_secs(10);

/// The store.
#[derive(Debug)]
pub struct SqliteStore {
    path: PathBuf,
    writer: Mutex<Connection>,
    readers: Mutex<Vec<Connection>>,
}

impl SqliteStore {
    /// Opens the database of a data folder, makes it if missing, and brings it to this version's shape.
    pub fn open(folder: &Path) -> Result<Self, StoreError> {
        fs::create_dir_all(folder).map_err(|source| StoreError::Folder {
            path: folder.to_owned(),
            source,
        })?;
        let path = folder.join(FILE_NAME);
        let writer = connect(&path)?;
        schema::migrate(&writer)?;
        restrict(&path)?;
        let store = Self {
            path,
            writer: Mutex::new(writer),
            readers: Mutex::default(),
        };
        store.renew_views()?;
        Ok(store)
    }

    /// Builds the shops' views again if an older program wrote them in another shape.
    fn renew_views(&self) -> Result<(), StoreError> {
        let version: i64 = self.read(|tx| {
            tx.query_row(
                "SELECT view_version FROM lab WHERE only_row = 1",
                [],
                |row| row.get(0),
            )
            .doing("read the views' version")
        })?;
        if version == VIEW_VERSION {
            return Ok(());
        }
        self.write(|tx| {
            shop::rebuild_all(tx)?;
            tx.execute(
                "UPDATE lab SET view_version = ?1 WHERE only_row = 1",
                [VIEW_VERSION],
            )
            .doing("note the views' version")?;
            Ok(())
        })
    }

    /// Runs `work` as one immediate transaction: it holds the only write lock from its first statement, so what it reads can't
    /// change before it commits, and an error or a panic leaves nothing behind.
    fn write<T>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        // A panic rolled its transaction back when it unwound, so the connection itself is sound.
        let mut writer: MutexGuard<'_, Connection> =
            self.writer.lock().unwrap_or_else(PoisonError::into_inner);
        let transaction = writer
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .doing("begin a write to the database")?;
        let value = work(&transaction)?;
        transaction
            .commit()
            .doing("commit a write to the database")?;
        Ok(value)
    }

    /// Takes what was erased off the disk: until it is emptied, the write-ahead log still holds the page as it was before. A
    /// reader that stays in the way leaves it to the next erasure; the commit stands either way.
    fn empty_write_ahead_log(&self) {
        let writer = self.writer.lock().unwrap_or_else(PoisonError::into_inner);
        if let Err(error) = writer.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())) {
            tracing::warn!(%error, "the write-ahead log could not be emptied after an erasure");
        }
    }

    /// Runs `work` on one consistent view of the database.
    fn read<T>(
        &self,
        work: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let idle = self
            .readers
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .pop();
        let mut reader = match idle {
            Some(reader) => reader,
            None => connect(&self.path)?,
        };
        let transaction = reader
            .transaction_with_behavior(TransactionBehavior::Deferred)
            .doing("begin a read of the database")?;
        let value = work(&transaction);
        drop(transaction);
        let mut idle = self.readers.lock().unwrap_or_else(PoisonError::into_inner);
        if idle.len() < READERS_MAX {
            idle.push(reader);
        }
        value
    }
}

/// Names what was being done when the database failed.
trait StoreResult<T> {
    fn doing(self, doing: &'static str) -> Result<T, StoreError>;
}

impl<T> StoreResult<T> for rusqlite::Result<T> {
    fn doing(self, doing: &'static str) -> Result<T, StoreError> {
        self.map_err(|source| match source.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => StoreError::DiskFull { doing },
            _ => StoreError::Database {
                doing,
                source: Box::new(source),
            },
        })
    }
}

fn connect(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
        | OpenFlags::SQLITE_OPEN_CREATE
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(path, flags).doing("open the database file")?;
    connection
        .busy_timeout(BUSY_TIMEOUT)
        .doing("set the waiting time of the database")?;
    connection
        .execute_batch(
            // secure_delete, because an erased passcode must not stay readable in free pages.
            "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA secure_delete = ON;",
        )
        .doing("set the database up")?;
    connection.set_prepared_statement_cache_capacity(64);
    Ok(connection)
}

/// The file holds password hashes and the server's signing key: nobody but the server's own account reads it.
#[cfg(unix)]
pub(super) fn restrict(path: &Path) -> Result<(), StoreError> {
    use std::os::unix::fs::PermissionsExt as _;
    fs::set_permissions(path, fs::Permissions::from_mode(0o600)).map_err(|source| {
        StoreError::Folder {
            path: path.to_owned(),
            source,
        }
    })
}

/// Elsewhere the rights of the data folder apply.
#[cfg(not(unix))]
pub(super) fn restrict(_path: &Path) -> Result<(), StoreError> {
    Ok(())
}

#[cfg(test)]
mod tests;
