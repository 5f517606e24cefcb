//! Reading the log.

use std::collections::HashSet;

use domain::{Decoded, Fact, Recorded, StreamId, Subject};
use logbook::{Entry, EntryHash, Head, PublicKey, recorded};
use rusqlite::{OptionalExtension as _, params};
use sync_protocol::{StreamHead, StreamInfo};

use super::error::StoreError;
use super::rows::{self, bytes, integer, natural};
use super::{Reading, Store, Writing};

const DOING: &str = "reading the log";

/// The one kind whose payload another entry can erase.
const ERASABLE_KIND: &str = "passcode.sealed";

impl Store {
    /// Returns the entries about a subject, in display order, each once. Redacted ones are left out.
    pub fn entries_of(&self, subject: Subject) -> Result<Vec<Recorded>, StoreError> {
        self.read(|reading| reading.entries_of(subject))
    }

    /// Returns the entries about a subject in their envelopes.
    pub fn envelopes_of(&self, subject: Subject) -> Result<Vec<Entry>, StoreError> {
        self.read(|reading| reading.envelopes_of(subject))
    }

    /// Returns one entry's envelope.
    pub fn envelope(&self, entry_id: domain::EntryId) -> Result<Option<Entry>, StoreError> {
        self.read(|reading| {
            let sql = format!(
                "SELECT {} FROM entries WHERE entry_id = ?1 ORDER BY row LIMIT 1",
                rows::ENTRY_COLUMNS
            );
            reading
                .connection
                .prepare_cached(&sql)
                .and_then(|mut statement| {
                    statement
                        .query_row([entry_id.as_bytes()], rows::entry)
                        .optional()
                })
                .map_err(StoreError::database(DOING))
        })
    }

    /// Returns every stream with its head, sorted by id. Streams without entries are left out.
    #[expect(
        clippy::redundant_closure_for_method_calls,
        reason = "the method's path has one lifetime and the closure is wanted for all"
    )]
    pub fn stream_heads(&self) -> Result<Vec<StreamHead>, StoreError> {
        self.read(|reading| reading.stream_heads())
    }

    /// Returns consecutive entries of a stream, at most `count_max`.
    pub fn stream_entries(
        &self,
        stream_id: StreamId,
        from_seq: u64,
        count_max: usize,
    ) -> Result<Vec<Entry>, StoreError> {
        self.read(|reading| reading.stream_entries(stream_id, from_seq, count_max))
    }

    /// Returns a stream's key and name.
    pub fn stream_info(&self, stream_id: StreamId) -> Result<Option<StreamInfo>, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .prepare_cached("SELECT public_key, name FROM streams WHERE stream_id = ?1")
                .and_then(|mut statement| {
                    statement
                        .query_row([stream_id.as_bytes()], |row| {
                            let public_key = PublicKey::from_bytes(bytes(row, 0)?);
                            Ok(StreamInfo {
                                stream_id,
                                public_key,
                                name: row.get(1)?,
                            })
                        })
                        .optional()
                })
                .map_err(StoreError::database(DOING))
        })
    }

    /// True when this installation, or the one it was copied from, wrote the stream.
    pub fn is_own_stream(&self, stream_id: StreamId) -> Result<bool, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .prepare_cached("SELECT 1 FROM streams WHERE stream_id = ?1 AND is_own = 1")
                .and_then(|mut statement| statement.exists([stream_id.as_bytes()]))
                .map_err(StoreError::database(DOING))
        })
    }

    /// Returns how many entries the log holds.
    pub fn entry_count(&self) -> Result<u64, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .query_row("SELECT COUNT(*) FROM entries", [], |row| row.get(0))
                .map(natural)
                .map_err(StoreError::database(DOING))
        })
    }
}

impl Reading<'_> {
    /// Returns the entries about a subject, in display order, each once. Redacted ones are left out.
    ///
    /// An entry that was re-issued may stand in two streams; it says the same in both, and folds know it by its id.
    pub fn entries_of(&self, subject: Subject) -> Result<Vec<Recorded>, StoreError> {
        let mut found: Vec<Recorded> = self
            .envelopes_of(subject)?
            .iter()
            .filter_map(|entry| recorded(entry).ok())
            .collect();
        found.sort_by_key(|recorded| recorded.stamp);
        let mut seen = HashSet::with_capacity(found.len());
        found.retain(|recorded| seen.insert(recorded.entry_id));
        Ok(found)
    }

    /// Returns the entries about a subject in their envelopes, in the order they came here.
    pub fn envelopes_of(&self, subject: Subject) -> Result<Vec<Entry>, StoreError> {
        let sql = format!(
            "SELECT {} FROM entries WHERE subject_id = ?1 AND subject_tag = ?2 ORDER BY row",
            rows::ENTRY_COLUMNS
        );
        self.connection
            .prepare_cached(&sql)
            .and_then(|mut statement| {
                statement
                    .query_map(params![subject.id_bytes(), subject.tag()], rows::entry)?
                    .collect()
            })
            .map_err(StoreError::database(DOING))
    }

    /// Returns every stream with its head, sorted by id. Streams without entries are left out.
    pub fn stream_heads(&self) -> Result<Vec<StreamHead>, StoreError> {
        self.connection
            .prepare_cached(
                "SELECT stream_id, public_key, name, head_seq, head_hash FROM streams WHERE head_seq > 0 ORDER BY stream_id",
            )
            .and_then(|mut statement| {
                statement
                    .query_map([], |row| {
                        Ok(StreamHead {
                            stream: StreamInfo {
                                stream_id: StreamId::from_bytes(bytes(row, 0)?),
                                public_key: PublicKey::from_bytes(bytes(row, 1)?),
                                name: row.get(2)?,
                            },
                            head_seq: natural(row.get(3)?),
                            head_hash: EntryHash::from_bytes(bytes(row, 4)?),
                        })
                    })?
                    .collect()
            })
            .map_err(StoreError::database(DOING))
    }

    pub(super) fn head(&self, stream_id: StreamId) -> Result<Option<Head>, StoreError> {
        self.connection
            .prepare_cached("SELECT head_seq, head_hash FROM streams WHERE stream_id = ?1")
            .and_then(|mut statement| {
                statement
                    .query_row([stream_id.as_bytes()], |row| {
                        Ok(Head {
                            stream_id,
                            seq: natural(row.get(0)?),
                            hash: EntryHash::from_bytes(bytes(row, 1)?),
                        })
                    })
                    .optional()
            })
            .map_err(StoreError::database(DOING))
    }

    pub(super) fn stream_key(&self, stream_id: StreamId) -> Result<Option<PublicKey>, StoreError> {
        self.connection
            .prepare_cached("SELECT public_key FROM streams WHERE stream_id = ?1")
            .and_then(|mut statement| {
                statement
                    .query_row([stream_id.as_bytes()], |row| {
                        Ok(PublicKey::from_bytes(bytes(row, 0)?))
                    })
                    .optional()
            })
            .map_err(StoreError::database(DOING))
    }

    /// Returns the hash at a position of a stream, if it is here.
    pub fn hash_at(&self, stream_id: StreamId, seq: u64) -> Result<Option<EntryHash>, StoreError> {
        self.connection
            .prepare_cached("SELECT hash FROM entries WHERE stream_id = ?1 AND stream_seq = ?2")
            .and_then(|mut statement| {
                statement
                    .query_row(params![stream_id.as_bytes(), integer(seq)], |row| {
                        Ok(EntryHash::from_bytes(bytes(row, 0)?))
                    })
                    .optional()
            })
            .map_err(StoreError::database(DOING))
    }

    /// Returns consecutive entries of a stream, at most `count_max`.
    pub fn stream_entries(
        &self,
        stream_id: StreamId,
        from_seq: u64,
        count_max: usize,
    ) -> Result<Vec<Entry>, StoreError> {
        let sql = format!(
            "SELECT {} FROM entries WHERE stream_id = ?1 AND stream_seq >= ?2 ORDER BY stream_seq LIMIT ?3",
            rows::ENTRY_COLUMNS
        );
        let count_max = i64::try_from(count_max).unwrap_or(i64::MAX);
        self.connection
            .prepare_cached(&sql)
            .and_then(|mut statement| {
                statement
                    .query_map(
                        params![stream_id.as_bytes(), integer(from_seq), count_max],
                        rows::entry,
                    )?
                    .collect()
            })
            .map_err(StoreError::database(DOING))
    }
}

impl Writing<'_> {
    /// Does what a taken-in entry demands of the store itself: erases the payload it names, or its own if an earlier entry
    /// named it. Only within one subject and one kind, so that one entry can't be used to empty any other. The server keeps the
    /// same rule.
    pub(super) fn erase_what(&self, entry: &Entry) -> Result<(), StoreError> {
        let doing = "erasing what must not be kept";
        let erase = || -> Result<usize, rusqlite::Error> {
            let subject = entry.subject.id.as_bytes();
            let mut erased = 0;
            if let Some(target) = entry
                .payload
                .as_ref()
                .and_then(|payload| erases(entry, payload))
            {
                self.tx
                    .prepare_cached(
                        "INSERT INTO erasures (entry_id, subject_id)
                         SELECT ?1, ?2 WHERE NOT EXISTS (SELECT 1 FROM erasures WHERE entry_id = ?1 AND subject_id = ?2)",
                    )?
                    .execute(params![target.as_bytes(), subject])?;
                erased += self
                    .tx
                    .prepare_cached(
                        "UPDATE entries SET payload = NULL, payload_salt = NULL
                         WHERE entry_id = ?1 AND subject_id = ?2 AND kind = ?3",
                    )?
                    .execute(params![target.as_bytes(), subject, ERASABLE_KIND])?;
                erased += self
                    .tx
                    .prepare_cached(
                        "UPDATE set_aside SET entry_json = json_remove(entry_json, '$.payload', '$.payload_salt')
                         WHERE entry_id = ?1 AND json_extract(entry_json, '$.kind') = ?2",
                    )?
                    .execute(params![target.as_bytes(), ERASABLE_KIND])?;
            }
            if entry.payload.is_some() && entry.kind.as_str() == ERASABLE_KIND {
                erased += self
                    .tx
                    .prepare_cached(
                        "UPDATE entries SET payload = NULL, payload_salt = NULL WHERE entry_id = ?1 AND subject_id = ?2
                         AND EXISTS (SELECT 1 FROM erasures WHERE entry_id = ?1 AND subject_id = ?2)",
                    )?
                    .execute(params![entry.entry_id.as_bytes(), subject])?;
            }
            Ok(erased)
        };
        if erase().map_err(StoreError::database(doing))? > 0 {
            self.has_erased.set(true);
        }
        Ok(())
    }
}

fn erases(entry: &Entry, payload: &[u8]) -> Option<domain::EntryId> {
    match Fact::decode(entry.kind.as_str(), entry.kind_version, payload, false) {
        Decoded::Known(fact) => fact.erases(),
        Decoded::Unknown { .. } => None,
    }
}
