//! Entries written here that the server has not acknowledged.

use domain::StreamId;
use rusqlite::params;

use super::error::StoreError;
use super::rows::{integer, natural};
use super::{Store, lock};

const DOING: &str = "reading what waits to be sent";

/// What waits to be sent. It has no cap, but it is always shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Outbox {
    /// Entries waiting.
    pub entries: u64,
    /// When the oldest of them was recorded, by this computer's clock.
    pub oldest_ms: Option<u64>,
}

impl Store {
    /// Returns what waits to be sent.
    pub fn outbox(&self) -> Result<Outbox, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .query_row("SELECT COUNT(*), MIN(queued_ms) FROM outbox", [], |row| {
                    Ok(Outbox {
                        entries: natural(row.get(0)?),
                        oldest_ms: row.get::<_, Option<i64>>(1)?.map(natural),
                    })
                })
                .map_err(StoreError::database(DOING))
        })
    }

    /// Returns the streams with entries waiting.
    pub fn outbox_streams(&self) -> Result<Vec<StreamId>, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .prepare_cached("SELECT DISTINCT stream_id FROM outbox ORDER BY stream_id")
                .and_then(|mut statement| {
                    statement
                        .query_map([], |row| {
                            row.get::<_, [u8; 16]>(0).map(StreamId::from_bytes)
                        })?
                        .collect()
                })
                .map_err(StoreError::database(DOING))
        })
    }

    /// Forgets what the server holds: the outbox rows of a stream up to a position whose hash the server has confirmed.
    pub fn acknowledge(&self, stream_id: StreamId, through_seq: u64) -> Result<(), StoreError> {
        self.transact("noting what the server holds", |writing| {
            writing
                .tx
                .prepare_cached("DELETE FROM outbox WHERE stream_id = ?1 AND stream_seq <= ?2")
                .and_then(|mut statement| {
                    statement.execute(params![stream_id.as_bytes(), integer(through_seq)])
                })
                .map(drop)
                .map_err(StoreError::database("noting what the server holds"))
        })
    }

    /// Moves what the write-ahead log holds into the database and empties it, so that erased bytes leave the disk.
    pub fn checkpoint(&self) -> Result<(), StoreError> {
        lock(&self.writer)
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
            .map_err(StoreError::database("tidying up"))
    }
}
