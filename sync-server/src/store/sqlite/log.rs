//! The log in SQLite: positions without gaps, chained streams, and the shop view in the same transaction.

use std::collections::BTreeSet;

use domain::fact::Weight;
use domain::{EntryId, LabId, Recorded, StreamId, Subject};
use logbook::{
    Entry, Head, Hlc, Kind, LogDigest, Placement, READER_LEVEL, Salt, SigningKey, SubjectRef,
};
use rusqlite::{OptionalExtension as _, Transaction, params};
use sync_protocol::limits::PageLimits;
use sync_protocol::{
    Cursor, EntryAnswer, Heads, Page, Pull, PushAnswer, RejectCode, StreamInfo, Witness,
    advance_digest, witness_digest,
};
use uuid::Uuid;

use super::super::StoreError;
use super::super::log::{LabRow, LogStore, OwnFact, ProvedPush};
use super::entries::{entries_after, hash_at, is_id_reused, recorded_of};
use super::streams::{all_streams, keep_stream, read_head, read_stream};
use super::{SqliteStore, StoreResult as _, row, shop};
use crate::auth::LabScope;
use crate::auth::token::random;
use crate::clock::random_uuid;

/// The name of the server's own stream on the desktops' screens.
const OWN_STREAM_NAME: &str = "Portal";

impl LogStore for SqliteStore {
    fn lab(&self) -> Result<LabRow, StoreError> {
        self.read(|tx| {
            tx.query_row(
                "SELECT lab_id, log_epoch, log_position, server_stream_id, server_secret FROM lab WHERE only_row = 1",
                [],
                |row| {
                    let key = SigningKey::from_bytes(&row.get::<_, [u8; 32]>(4)?);
                    Ok(LabRow {
                        lab_id: row.get::<_, Option<[u8; 16]>>(0)?.map(LabId::from_bytes),
                        log_epoch: Uuid::from_bytes(row.get(1)?),
                        log_position: row::unsigned(row, 2)?,
                        server_stream_id: StreamId::from_bytes(row.get(3)?),
                        server_key: logbook::public_key(&key),
                    })
                },
            )
            .doing("read the lab")
        })
    }

    fn heads(&self, scope: &LabScope, now_ms: i64) -> Result<Heads, StoreError> {
        let lab_id = scope.lab_id();
        let at_ms = u64::try_from(now_ms).unwrap_or(0);
        self.read(|tx| {
            let log = read_log(tx, lab_id)?;
            let signed = witness_digest(lab_id, log.epoch, log.position, &log.digest, at_ms);
            let witness = Witness {
                at_ms,
                signature: logbook::sign_digest(&log.key, &signed),
            };
            let streams = all_streams(tx, lab_id)?;
            Ok(Heads {
                log_epoch: log.epoch,
                log_position: log.position,
                digest: log.digest,
                witness,
                streams,
            })
        })
    }

    fn append(
        &self,
        scope: &LabScope,
        push: &ProvedPush,
        entries_bytes_max: u64,
        now_ms: i64,
    ) -> Result<PushAnswer, StoreError> {
        let lab_id = scope.lab_id();
        let answer = self.write(|tx| {
            let mut log = lock_log(tx, lab_id)?;
            if !keep_stream(tx, lab_id, &push.stream)? {
                return Ok(PushAnswer {
                    answers: vec![key_mismatch(&push.stream)],
                    contiguous_seq: 0,
                });
            }
            let mut head = read_head(tx, lab_id, push.stream.stream_id)?;
            let mut answers = Vec::with_capacity(push.entries.len());
            let mut touched = BTreeSet::new();
            let mut went_wrong = false;
            for entry in &push.entries {
                let answer = take(tx, &mut log, &mut head, entry, entries_bytes_max, now_ms)?;
                if answer == EntryAnswer::Stored {
                    touched.extend(entry.subject.known());
                }
                went_wrong = !matches!(answer, EntryAnswer::Stored | EntryAnswer::AlreadyKnown);
                answers.push(answer);
                if went_wrong {
                    break;
                }
            }
            if !went_wrong {
                answers.extend(push.refused.clone());
            }
            if matches!(answers.last(), Some(EntryAnswer::Fork { .. }))
                && head.stream_id == log.server_stream_id
            {
                // Our own stream has had two writers: this file is an old copy. We go on in a new one, as a desktop would.
                log.server_stream_id = StreamId::new(random_uuid()?);
            }
            log.hlc = latest_of(&push.entries)
                .map_or(log.hlc, |remote| log.hlc.receive(remote, wall(now_ms)));
            save(tx, &log, &[head])?;
            shop::project(tx, lab_id, &touched)?;
            Ok(PushAnswer {
                answers,
                contiguous_seq: head.seq,
            })
        })?;
        if push.entries.iter().any(|entry| erases(entry).is_some()) {
            self.empty_write_ahead_log();
        }
        Ok(answer)
    }

    fn record(
        &self,
        scope: &LabScope,
        facts: Vec<OwnFact>,
        now_ms: i64,
    ) -> Result<u64, StoreError> {
        let lab_id = scope.lab_id();
        self.write(|tx| {
            let mut log = lock_log(tx, lab_id)?;
            own_stream(tx, lab_id)?;
            let mut head = read_head(tx, lab_id, log.server_stream_id)?;
            let mut touched = BTreeSet::new();
            for fact in facts {
                touched.insert(fact.subject);
                log.hlc = log.hlc.send(wall(now_ms));
                let entry = logbook::seal(draft_of(lab_id, fact)?, &head, log.hlc, &log.key)?;
                insert(tx, &mut log, &mut head, &entry, now_ms)?;
            }
            save(tx, &log, &[head])?;
            shop::project(tx, lab_id, &touched)?;
            Ok(log.position)
        })
    }

    fn recorded(&self, scope: &LabScope, subject: Subject) -> Result<Vec<Recorded>, StoreError> {
        self.read(|tx| recorded_of(tx, scope.lab_id(), subject))
    }

    fn read_after(
        &self,
        scope: &LabScope,
        cursor: &Cursor,
        limits: PageLimits,
    ) -> Result<Pull, StoreError> {
        let lab_id = scope.lab_id();
        self.read(|tx| {
            let log = read_log(tx, lab_id)?;
            if cursor.log_epoch != log.epoch
                || digest_at(tx, &log, cursor.log_position)? != Some(cursor.digest)
            {
                return Ok(Pull::CursorUnknown {
                    log_epoch: log.epoch,
                    log_position: log.position,
                });
            }
            let entries = entries_after(tx, lab_id, cursor.log_position, limits)?;
            let digest = entries.iter().fold(cursor.digest, |digest, entry| {
                advance_digest(&digest, &entry.hash)
            });
            let log_position = cursor.log_position + entries.len() as u64;
            let ids: BTreeSet<StreamId> = entries.iter().map(|entry| entry.stream_id).collect();
            let streams = ids
                .into_iter()
                .map(|id| read_stream(tx, lab_id, id))
                .collect::<Result<Vec<_>, _>>()?;
            Ok(Pull::Page(Page {
                entries,
                cursor: Cursor {
                    log_epoch: log.epoch,
                    log_position,
                    digest,
                },
                log_position_end: log.position,
                streams: streams.into_iter().map(|head| head.stream).collect(),
            }))
        })
    }
}

/// The lab's row while a transaction holds it.
struct Log {
    lab_id: LabId,
    epoch: Uuid,
    position: u64,
    digest: LogDigest,
    entries_bytes: u64,
    server_stream_id: StreamId,
    key: SigningKey,
    hlc: Hlc,
}

/// Takes the lab's row lock by a write that changes nothing, before anything else is read.
///
/// On SQLite the immediate transaction is alone already; the order is kept because on a database that takes a new snapshot for
/// each statement, heads read before the lock could be those of before another writer's commit.
fn lock_log(tx: &Transaction<'_>, lab_id: LabId) -> Result<Log, StoreError> {
    tx.execute(
        "UPDATE lab SET log_position = log_position WHERE lab_id = ?1",
        [lab_id.as_bytes()],
    )
    .doing("lock the log")?;
    read_log(tx, lab_id)
}

fn read_log(tx: &Transaction<'_>, lab_id: LabId) -> Result<Log, StoreError> {
    tx.query_row(
        "SELECT log_epoch, log_position, log_digest, entries_bytes, server_stream_id, server_secret, hlc_ms, hlc_counter \
         FROM lab WHERE lab_id = ?1",
        [lab_id.as_bytes()],
        |row| {
            Ok(Log {
                lab_id,
                epoch: Uuid::from_bytes(row.get(0)?),
                position: row::unsigned(row, 1)?,
                digest: LogDigest::from_bytes(row.get(2)?),
                entries_bytes: row::unsigned(row, 3)?,
                server_stream_id: StreamId::from_bytes(row.get(4)?),
                key: SigningKey::from_bytes(&row.get::<_, [u8; 32]>(5)?),
                hlc: Hlc { ms: row::unsigned(row, 6)?, counter: row.get(7)? },
            })
        },
    )
    .optional()
    .doing("read the log's state")?
    .ok_or_else(|| StoreError::Damaged { what: format!("a scope for lab {lab_id}, which this file does not hold") })
}

/// Decides where one entry belongs and inserts it if it is the next one.
fn take(
    tx: &Transaction<'_>,
    log: &mut Log,
    head: &mut Head,
    entry: &Entry,
    entries_bytes_max: u64,
    now_ms: i64,
) -> Result<EntryAnswer, StoreError> {
    let known = hash_at(tx, log.lab_id, entry.stream_id, entry.stream_seq)?;
    match logbook::place(head, known, entry) {
        Placement::AlreadyKnown => return Ok(EntryAnswer::AlreadyKnown),
        Placement::Fork { known } => {
            return Ok(EntryAnswer::Fork {
                known_hash: known,
                sent_hash: entry.hash,
            });
        }
        Placement::MissingFrom { seq } => return Ok(EntryAnswer::MissingFrom { seq }),
        Placement::Next => {}
    }
    if is_id_reused(tx, log.lab_id, entry)? {
        return Ok(rejected(
            RejectCode::EntryIdReused,
            "another entry with the same id says something else",
        ));
    }
    if log.entries_bytes + entry.wire_bytes_max() as u64 > entries_bytes_max {
        return Ok(rejected(
            RejectCode::OverLimit,
            "the server's space for entries is used up; ask whoever runs it for more",
        ));
    }
    insert(tx, log, head, entry, now_ms)?;
    Ok(EntryAnswer::Stored)
}

/// A position is spent only here, for a row that is really inserted, so the log has no gaps.
fn insert(
    tx: &Transaction<'_>,
    log: &mut Log,
    head: &mut Head,
    entry: &Entry,
    now_ms: i64,
) -> Result<(), StoreError> {
    log.position += 1;
    log.digest = advance_digest(&log.digest, &entry.hash);
    log.entries_bytes += entry.wire_bytes_max() as u64;
    row::insert(tx, entry, log.position, &log.digest, now_ms)?;
    *head = Head {
        stream_id: entry.stream_id,
        seq: entry.stream_seq,
        hash: entry.hash,
    };
    erase(tx, entry)
}

/// The entry whose payload this one says must go.
fn erases(entry: &Entry) -> Option<EntryId> {
    let recorded = logbook::recorded(entry).ok()?;
    recorded.fact().and_then(domain::Fact::erases)
}

/// Erases the payload that an entry says must go, whichever of the two came first. The header and its salted hash stay.
fn erase(tx: &Transaction<'_>, entry: &Entry) -> Result<(), StoreError> {
    let erased = match erases(entry) {
        Some(target) => vec![target],
        None if entry.kind.as_str() == ERASABLE_KIND => {
            let subject = entry.subject.known();
            let recorded = subject.map_or(Ok(Vec::new()), |subject| {
                recorded_of(tx, entry.lab_id, subject)
            })?;
            recorded
                .iter()
                .filter_map(|recorded| recorded.fact().and_then(domain::Fact::erases))
                .collect()
        }
        None => return Ok(()),
    };
    for target in erased {
        // Subject and kind are checked, so that one entry can't be used to empty any other.
        tx.execute(
            "UPDATE entry SET payload = NULL, payload_salt = NULL \
             WHERE lab_id = ?1 AND entry_id = ?2 AND kind = ?3 AND subject_tag = ?4 AND subject_id = ?5",
            params![
                entry.lab_id.as_bytes(),
                target.as_bytes(),
                ERASABLE_KIND,
                entry.subject.tag,
                entry.subject.id.as_bytes()
            ],
        )
        .doing("erase a payload")?;
    }
    Ok(())
}

/// The one kind whose payload another entry can erase.
const ERASABLE_KIND: &str = "passcode.sealed";

fn save(tx: &Transaction<'_>, log: &Log, heads: &[Head]) -> Result<(), StoreError> {
    tx.execute(
        "UPDATE lab SET log_position = ?2, log_digest = ?3, entries_bytes = ?4, server_stream_id = ?5, hlc_ms = ?6, \
         hlc_counter = ?7 WHERE lab_id = ?1",
        params![
            log.lab_id.as_bytes(),
            row::signed(log.position)?,
            log.digest.as_bytes(),
            row::signed(log.entries_bytes)?,
            log.server_stream_id.as_bytes(),
            row::signed(log.hlc.ms)?,
            log.hlc.counter
        ],
    )
    .doing("save the log's state")?;
    for head in heads {
        tx.execute(
            "UPDATE stream SET head_seq = ?3, head_hash = ?4 WHERE lab_id = ?1 AND stream_id = ?2",
            params![
                log.lab_id.as_bytes(),
                head.stream_id.as_bytes(),
                row::signed(head.seq)?,
                head.hash.as_bytes()
            ],
        )
        .doing("save a stream's head")?;
    }
    Ok(())
}

fn draft_of(lab_id: LabId, own: OwnFact) -> Result<logbook::Draft, StoreError> {
    let kind = Kind::new(own.fact.kind()).map_err(|error| StoreError::Damaged {
        what: error.to_string(),
    })?;
    Ok(logbook::Draft {
        entry_id: own.entry_id,
        lab_id,
        actor_id: own.actor_id,
        kind,
        kind_version: own.fact.version(),
        min_reader: if own.fact.weight() == Weight::MustBeRead {
            READER_LEVEL
        } else {
            0
        },
        subject: SubjectRef::from(own.subject),
        based_on: own.based_on,
        payload: own.fact.encode(),
        payload_salt: Salt::from_bytes(random::<16>()?),
    })
}

/// Makes sure that the server's own stream exists.
pub(super) fn own_stream(tx: &Transaction<'_>, lab_id: LabId) -> Result<(), StoreError> {
    let log = read_log(tx, lab_id)?;
    let name = OWN_STREAM_NAME.to_owned();
    let stream = StreamInfo {
        stream_id: log.server_stream_id,
        public_key: logbook::public_key(&log.key),
        name,
    };
    if keep_stream(tx, lab_id, &stream)? {
        Ok(())
    } else {
        Err(StoreError::Damaged {
            what: "the server's own stream is held under another key".to_owned(),
        })
    }
}

fn digest_at(
    tx: &Transaction<'_>,
    log: &Log,
    position: u64,
) -> Result<Option<LogDigest>, StoreError> {
    if position == 0 {
        return Ok(Some(LogDigest::EMPTY));
    }
    let Ok(position) = i64::try_from(position) else {
        return Ok(None);
    };
    tx.query_row(
        "SELECT log_digest FROM entry WHERE lab_id = ?1 AND log_position = ?2",
        params![log.lab_id.as_bytes(), position],
        |row| Ok(LogDigest::from_bytes(row.get(0)?)),
    )
    .optional()
    .doing("look up a cursor")
}

fn latest_of(entries: &[Entry]) -> Option<Hlc> {
    entries.iter().map(Entry::hlc).max()
}

fn wall(now_ms: i64) -> u64 {
    u64::try_from(now_ms).unwrap_or(0)
}

fn rejected(code: RejectCode, message: &str) -> EntryAnswer {
    EntryAnswer::Rejected {
        code,
        message: message.to_owned(),
    }
}

fn key_mismatch(stream: &StreamInfo) -> EntryAnswer {
    let message = format!(
        "the server knows stream {} under another key; a desktop never changes its key",
        stream.stream_id
    );
    EntryAnswer::Rejected {
        code: RejectCode::KeyMismatch,
        message,
    }
}

/// The ids of `based_on`, one after the other.
pub(super) fn ids_to_bytes(ids: &[EntryId]) -> Vec<u8> {
    ids.iter()
        .flat_map(|id| id.as_bytes().iter().copied())
        .collect()
}
