//! How far this desktop has read the server's log, and the server's signed statements about it.

use domain::LabId;
use logbook::{LogDigest, PublicKey, SignatureBytes, check_signature};
use rusqlite::{OptionalExtension as _, Row, params};
use sync_protocol::{Cursor, Heads, Witness, witness_digest};
use uuid::Uuid;

use super::error::StoreError;
use super::rows::{bytes, integer, natural};
use super::{Reading, Store, Writing};

const DOING: &str = "moving the cursor";

/// Positions between two checkpoints. 500,000 entries a year make 1,000 rows; after a restore of the server at most this many
/// entries too many are read again.
const CHECKPOINT_EVERY: u64 = 500;

impl Store {
    /// Returns the cursor; `None` before the first contact.
    #[expect(
        clippy::redundant_closure_for_method_calls,
        reason = "the method's path has one lifetime and the closure is wanted for all"
    )]
    pub fn cursor(&self) -> Result<Option<Cursor>, StoreError> {
        self.read(|reading| reading.cursor())
    }

    /// Sets the cursor, at first contact or after the server was restored. Checkpoints beyond it are forgotten.
    pub fn set_cursor(&self, cursor: &Cursor) -> Result<(), StoreError> {
        self.transact(DOING, |writing| {
            writing
                .tx
                .execute(
                    "DELETE FROM checkpoints WHERE log_position > ?1",
                    [integer(cursor.log_position)],
                )
                .map_err(StoreError::database(DOING))?;
            writing.write_cursor(cursor)
        })
    }

    /// Returns positions once read, with their digests, in rising order: the current cursor last.
    pub fn checkpoints(&self) -> Result<Vec<(u64, LogDigest)>, StoreError> {
        self.read(|reading| {
            let mut checkpoints: Vec<(u64, LogDigest)> = reading
                .connection
                .prepare_cached(
                    "SELECT log_position, digest FROM checkpoints ORDER BY log_position",
                )
                .and_then(|mut statement| {
                    statement
                        .query_map([], |row| {
                            Ok((natural(row.get(0)?), LogDigest::from_bytes(bytes(row, 1)?)))
                        })?
                        .collect()
                })
                .map_err(StoreError::database(DOING))?;
            if let Some(cursor) = reading.cursor()? {
                checkpoints.retain(|(position, _)| *position < cursor.log_position);
                checkpoints.push((cursor.log_position, cursor.digest));
            }
            Ok(checkpoints)
        })
    }

    /// Keeps a statement of the server about its log, if its signature is good. Says whether it was.
    ///
    /// A statement is kept only for a position this desktop has itself read to with the same digest: the others prove nothing
    /// about what is here.
    pub fn keep_witness(
        &self,
        lab_id: LabId,
        server_key: &PublicKey,
        heads: &Heads,
    ) -> Result<bool, StoreError> {
        let digest = witness_digest(
            lab_id,
            heads.log_epoch,
            heads.log_position,
            &heads.digest,
            heads.witness.at_ms,
        );
        if !check_signature(server_key, &digest, &heads.witness.signature) {
            return Ok(false);
        }
        let read_here = self.cursor()?.is_some_and(|cursor| {
            cursor.log_position == heads.log_position
                && cursor.digest == heads.digest
                && cursor.log_epoch == heads.log_epoch
        });
        if read_here
            && self
                .last_witness()?
                .is_none_or(|(cursor, _)| cursor.digest != heads.digest)
        {
            self.transact("keeping the server's statement", |writing| {
                writing.keep_witness(heads)
            })?;
        }
        Ok(true)
    }

    /// Returns the latest statement kept: the position it is about, and its signature.
    pub fn last_witness(&self) -> Result<Option<(Cursor, Witness)>, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .query_row(
                    "SELECT log_epoch, log_position, digest, at_ms, signature FROM witnesses ORDER BY log_position DESC LIMIT 1",
                    [],
                    |row| {
                        let witness = Witness {
                            at_ms: natural(row.get(3)?),
                            signature: SignatureBytes::from_bytes(bytes(row, 4)?),
                        };
                        Ok((cursor(row)?, witness))
                    },
                )
                .optional()
                .map_err(StoreError::database("reading the server's statement"))
        })
    }
}

impl Reading<'_> {
    /// Returns the cursor; `None` before the first contact.
    pub fn cursor(&self) -> Result<Option<Cursor>, StoreError> {
        self.connection
            .prepare_cached("SELECT log_epoch, log_position, digest FROM cursor WHERE one = 1")
            .and_then(|mut statement| statement.query_row([], cursor).optional())
            .map_err(StoreError::database(DOING))
    }
}

impl Writing<'_> {
    /// Moves the cursor with the page just taken in, in its transaction.
    pub(super) fn advance_cursor(&self, cursor: &Cursor) -> Result<(), StoreError> {
        let last: i64 = self
            .tx
            .query_row(
                "SELECT COALESCE(MAX(log_position), 0) FROM checkpoints",
                [],
                |row| row.get(0),
            )
            .map_err(StoreError::database(DOING))?;
        if cursor.log_position >= natural(last) + CHECKPOINT_EVERY {
            self.tx
                .execute(
                    "INSERT INTO checkpoints (log_position, digest) VALUES (?1, ?2)",
                    params![integer(cursor.log_position), cursor.digest.as_bytes()],
                )
                .map_err(StoreError::database(DOING))?;
        }
        self.write_cursor(cursor)
    }

    fn write_cursor(&self, cursor: &Cursor) -> Result<(), StoreError> {
        self.tx
            .execute(
                "INSERT INTO cursor (one, log_epoch, log_position, digest) VALUES (1, ?1, ?2, ?3)
                 ON CONFLICT (one) DO UPDATE SET log_epoch = ?1, log_position = ?2, digest = ?3",
                params![
                    cursor.log_epoch.as_bytes(),
                    integer(cursor.log_position),
                    cursor.digest.as_bytes()
                ],
            )
            .map(drop)
            .map_err(StoreError::database(DOING))
    }

    /// One statement a position is enough; a restored server's replaces the one it contradicts.
    fn keep_witness(&self, heads: &Heads) -> Result<(), StoreError> {
        self.tx
            .execute(
                "INSERT INTO witnesses (log_position, log_epoch, digest, at_ms, signature) VALUES (?1, ?2, ?3, ?4, ?5)
                 ON CONFLICT (log_position) DO UPDATE SET log_epoch = ?2, digest = ?3, at_ms = ?4, signature = ?5",
                params![
                    integer(heads.log_position),
                    heads.log_epoch.as_bytes(),
                    heads.digest.as_bytes(),
                    integer(heads.witness.at_ms),
                    heads.witness.signature.as_bytes(),
                ],
            )
            .map(drop)
            .map_err(StoreError::database("keeping the server's statement"))
    }
}

fn cursor(row: &Row<'_>) -> Result<Cursor, rusqlite::Error> {
    Ok(Cursor {
        log_epoch: Uuid::from_bytes(bytes(row, 0)?),
        log_position: natural(row.get(1)?),
        digest: LogDigest::from_bytes(bytes(row, 2)?),
    })
}
