//! Finding entries in SQLite: by subject, by position, by place in a stream, by id.

use domain::{LabId, Recorded, StreamId, Subject};
use logbook::{Entry, EntryHash, content_hash};
use rusqlite::{OptionalExtension as _, Transaction, params};
use sync_protocol::limits::PageLimits;

use super::super::StoreError;
use super::StoreResult as _;
use super::row::{self, COLUMNS};

/// All entries about one subject, as the folds eat them.
pub(super) fn recorded_of(
    tx: &Transaction<'_>,
    lab_id: LabId,
    subject: Subject,
) -> Result<Vec<Recorded>, StoreError> {
    let sql = format!(
        "SELECT {COLUMNS} FROM entry WHERE lab_id = ?1 AND subject_tag = ?2 AND subject_id = ?3 ORDER BY log_position"
    );
    let mut statement = tx.prepare_cached(&sql).doing("read a subject's entries")?;
    let mut rows = statement
        .query(params![
            lab_id.as_bytes(),
            subject.tag(),
            subject.id_bytes()
        ])
        .doing("read a subject's entries")?;
    let mut recorded = Vec::new();
    while let Some(row) = rows.next().doing("read a subject's entries")? {
        // An erased payload or an unknown subject takes no part in a fold.
        recorded.extend(logbook::recorded(&row::entry_of(row)?).ok());
    }
    Ok(recorded)
}

pub(super) fn entries_after(
    tx: &Transaction<'_>,
    lab_id: LabId,
    position: u64,
    limits: PageLimits,
) -> Result<Vec<Entry>, StoreError> {
    let sql = format!(
        "SELECT {COLUMNS} FROM entry WHERE lab_id = ?1 AND log_position > ?2 ORDER BY log_position LIMIT ?3"
    );
    let mut statement = tx.prepare_cached(&sql).doing("read a page of entries")?;
    let count = i64::try_from(limits.entries_max).unwrap_or(i64::MAX);
    let mut rows = statement
        .query(params![lab_id.as_bytes(), row::signed(position)?, count])
        .doing("read a page of entries")?;
    let mut entries: Vec<Entry> = Vec::new();
    let mut bytes = 0;
    while let Some(row) = rows.next().doing("read a page of entries")? {
        let entry = row::entry_of(row)?;
        bytes += entry.wire_bytes_max();
        // The first always fits: an entry larger than a page travels alone.
        if !entries.is_empty() && bytes > limits.bytes_max {
            break;
        }
        entries.push(entry);
    }
    Ok(entries)
}

pub(super) fn hash_at(
    tx: &Transaction<'_>,
    lab_id: LabId,
    stream_id: StreamId,
    seq: u64,
) -> Result<Option<EntryHash>, StoreError> {
    tx.prepare_cached(
        "SELECT hash FROM entry WHERE lab_id = ?1 AND stream_id = ?2 AND stream_seq = ?3",
    )
    .and_then(|mut statement| {
        let seq = i64::try_from(seq).unwrap_or(i64::MAX);
        statement
            .query_row(
                params![lab_id.as_bytes(), stream_id.as_bytes(), seq],
                |row| Ok(EntryHash::from_bytes(row.get(0)?)),
            )
            .optional()
    })
    .doing("look up an entry's place")
}

/// An entry that was re-issued in another stream has the same id and says the same; anything else is two facts with one name.
pub(super) fn is_id_reused(
    tx: &Transaction<'_>,
    lab_id: LabId,
    entry: &Entry,
) -> Result<bool, StoreError> {
    tx.prepare_cached(
        "SELECT 1 FROM entry WHERE lab_id = ?1 AND entry_id = ?2 AND content_hash <> ?3 LIMIT 1",
    )
    .and_then(|mut statement| {
        statement
            .query_row(
                params![
                    lab_id.as_bytes(),
                    entry.entry_id.as_bytes(),
                    content_hash(entry)
                ],
                |_| Ok(()),
            )
            .optional()
    })
    .doing("look up an entry's id")
    .map(|found| found.is_some())
}
