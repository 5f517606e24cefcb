//! What happens when a stream has had two writers, or the server refuses an entry for good.
//!
//! The entries that can't stay are set aside, and what they say is re-issued under the same ids at the end of the stream written
//! now. Folds know entries by id, so nobody sees a difference, and nothing is lost. Any desktop can do this for any stream: a
//! server restored from a backup may have gone on with a stream whose other end only this desktop holds.

use domain::{EntryId, StreamId};
use logbook::{Entry, EntryHash, Head, ReissuedFrom, reissue};
use rusqlite::params;

use super::error::StoreError;
use super::rows::{self, bytes, integer, natural};
use super::{Reading, Store, Writing};

const DOING: &str = "setting entries aside";

/// An entry that was taken out of a stream.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetAside {
    /// The entry as it stood.
    pub entry_id: EntryId,
    /// Where it stood.
    pub from: ReissuedFrom,
    /// Why, for a person.
    pub reason: String,
    /// When, by this computer's clock.
    pub at_ms: u64,
    /// Where what it says stands now; `None` when it was refused and stands nowhere.
    pub reissued: Option<ReissuedFrom>,
}

/// What a re-issue does with the first of the entries set aside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum First {
    /// The stream forked: all that comes from here on is re-issued.
    Reissued,
    /// The server refused it for good: what comes after it is re-issued, it is not.
    Refused,
}

impl Store {
    /// Sets aside an own entry that the server refused for good, and re-issues what came after it in a new stream.
    pub fn set_refused_aside(
        &self,
        stream_id: StreamId,
        seq: u64,
        reason: &str,
    ) -> Result<(), StoreError> {
        self.transact(DOING, |writing| {
            writing.set_aside(stream_id, seq, reason, First::Refused)
        })?;
        self.fold_stale().map(drop)
    }

    /// Goes on in a new stream with everything from `seq` on, because the server knows the old one under another key.
    pub fn leave_stream(
        &self,
        stream_id: StreamId,
        seq: u64,
        reason: &str,
    ) -> Result<(), StoreError> {
        self.transact(DOING, |writing| {
            writing.set_aside(stream_id, seq, reason, First::Reissued)
        })?;
        self.fold_stale().map(drop)
    }

    /// Returns what was ever set aside, latest first.
    #[expect(
        clippy::redundant_closure_for_method_calls,
        reason = "the method's path has one lifetime and the closure is wanted for all"
    )]
    pub fn set_aside(&self) -> Result<Vec<SetAside>, StoreError> {
        self.read(|reading| reading.set_aside())
    }
}

impl Reading<'_> {
    fn set_aside(&self) -> Result<Vec<SetAside>, StoreError> {
        self.connection
            .prepare_cached(
                "SELECT entry_id, stream_id, stream_seq, reason, at_ms, reissued_stream, reissued_seq
                 FROM set_aside ORDER BY row DESC",
            )
            .and_then(|mut statement| {
                statement
                    .query_map([], |row| {
                        let reissued = match (row.get::<_, Option<[u8; 16]>>(5)?, row.get::<_, Option<i64>>(6)?) {
                            (Some(stream), Some(seq)) => Some(ReissuedFrom {
                                stream_id: StreamId::from_bytes(stream),
                                stream_seq: natural(seq),
                            }),
                            _ => None,
                        };
                        Ok(SetAside {
                            entry_id: EntryId::from_bytes(bytes(row, 0)?),
                            from: ReissuedFrom {
                                stream_id: StreamId::from_bytes(bytes(row, 1)?),
                                stream_seq: natural(row.get(2)?),
                            },
                            reason: row.get(3)?,
                            at_ms: natural(row.get(4)?),
                            reissued,
                        })
                    })?
                    .collect()
            })
            .map_err(StoreError::database("reading what was set aside"))
    }

    fn holds_entry(&self, entry_id: EntryId) -> Result<bool, StoreError> {
        self.connection
            .prepare_cached("SELECT 1 FROM entries WHERE entry_id = ?1")
            .and_then(|mut statement| statement.exists([entry_id.as_bytes()]))
            .map_err(StoreError::database(DOING))
    }
}

impl Writing<'_> {
    /// Takes `from_seq` and all after it out of a stream, and re-issues what they say.
    pub(super) fn set_aside(
        &self,
        stream_id: StreamId,
        from_seq: u64,
        reason: &str,
        first: First,
    ) -> Result<(), StoreError> {
        let reading = self.reading();
        let moved = reading.stream_entries(stream_id, from_seq, usize::MAX)?;
        let now_ms = self.now_ms();
        self.cut(stream_id, from_seq)?;
        if reading.installation()?.stream_id == stream_id {
            self.open_stream()?;
        }
        let mut pen = self.pen()?;
        for (index, entry) in moved.iter().enumerate() {
            let refused = index == 0 && first == First::Refused;
            // Another desktop may have re-issued it already.
            let reissued = if refused || reading.holds_entry(entry.entry_id)? {
                None
            } else {
                let again = reissue(entry, &pen.head, &pen.key)?;
                self.write_own(&again, now_ms)?;
                pen.head = Head {
                    stream_id: again.stream_id,
                    seq: again.stream_seq,
                    hash: again.hash,
                };
                Some((again.stream_id, again.stream_seq))
            };
            self.keep_aside(entry, reason, now_ms, reissued)?;
            self.mark_stale(&entry.subject.tag, entry.subject.id.as_bytes())?;
        }
        self.save_head(&pen.head)?;
        tracing::warn!(%stream_id, from_seq, count = moved.len(), "entries were set aside and re-issued");
        Ok(())
    }

    fn cut(&self, stream_id: StreamId, from_seq: u64) -> Result<(), StoreError> {
        let key = params![stream_id.as_bytes(), integer(from_seq)];
        self.tx
            .execute(
                "DELETE FROM entries WHERE stream_id = ?1 AND stream_seq >= ?2",
                key,
            )
            .and_then(|_| {
                let key = params![stream_id.as_bytes(), integer(from_seq)];
                self.tx.execute(
                    "DELETE FROM outbox WHERE stream_id = ?1 AND stream_seq >= ?2",
                    key,
                )
            })
            .map_err(StoreError::database(DOING))?;
        let before = match from_seq {
            0 | 1 => EntryHash::GENESIS,
            _ => self
                .reading()
                .hash_at(stream_id, from_seq - 1)?
                .unwrap_or(EntryHash::GENESIS),
        };
        self.save_head(&Head {
            stream_id,
            seq: from_seq.saturating_sub(1),
            hash: before,
        })
    }

    fn keep_aside(
        &self,
        entry: &Entry,
        reason: &str,
        now_ms: u64,
        reissued: Option<(StreamId, u64)>,
    ) -> Result<(), StoreError> {
        let json =
            serde_json::to_string(entry).expect("an entry holds only strings, numbers and lists");
        self.tx
            .prepare_cached(
                "INSERT INTO set_aside (stream_id, stream_seq, entry_id, entry_json, reason, at_ms, reissued_stream, reissued_seq)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )
            .and_then(|mut statement| {
                statement.execute(params![
                    entry.stream_id.as_bytes(),
                    integer(entry.stream_seq),
                    entry.entry_id.as_bytes(),
                    json,
                    reason,
                    integer(now_ms),
                    reissued.map(|(stream, _)| *stream.as_bytes()),
                    reissued.map(|(_, seq)| rows::integer(seq)),
                ])
            })
            .map(drop)
            .map_err(StoreError::database(DOING))
    }
}
