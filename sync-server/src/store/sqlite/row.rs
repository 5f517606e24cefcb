//! An entry as a row, both ways.

use domain::{EntryId, LabId, PersonId, StreamId};
use logbook::{
    Entry, EntryHash, Kind, LogDigest, PayloadHash, ReissuedFrom, Salt, SignatureBytes, SubjectRef,
    content_hash,
};
use rusqlite::types::Type;
use rusqlite::{Row, Transaction, params};
use uuid::Uuid;

use super::super::StoreError;
use super::StoreResult as _;

/// The columns that [`entry_of`] reads, in its order.
pub(super) const COLUMNS: &str = "lab_id, entry_id, stream_id, stream_seq, hlc_ms, hlc_counter, actor_id, kind, kind_version, \
    min_reader, subject_tag, subject_id, based_on, reissued_stream, reissued_seq, payload, payload_salt, payload_hash, \
    prev_hash, hash, signature";

/// Inserts one entry at its position.
pub(super) fn insert(
    tx: &Transaction<'_>,
    entry: &Entry,
    position: u64,
    digest: &LogDigest,
    now_ms: i64,
) -> Result<(), StoreError> {
    let sql = format!(
        "INSERT INTO entry ({COLUMNS}, log_position, content_hash, log_digest, received_ms) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, \
         ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22, ?23, ?24, ?25)"
    );
    let reissued_seq = entry
        .reissued_from
        .map(|from| signed(from.stream_seq))
        .transpose()?;
    let mut statement = tx.prepare_cached(&sql).doing("insert an entry")?;
    statement
        .execute(params![
            entry.lab_id.as_bytes(),
            entry.entry_id.as_bytes(),
            entry.stream_id.as_bytes(),
            signed(entry.stream_seq)?,
            signed(entry.hlc_ms)?,
            entry.hlc_counter,
            entry.actor_id.as_bytes(),
            entry.kind.as_str(),
            entry.kind_version,
            entry.min_reader,
            entry.subject.tag,
            entry.subject.id.as_bytes(),
            super::log::ids_to_bytes(&entry.based_on),
            entry
                .reissued_from
                .as_ref()
                .map(|from| from.stream_id.as_bytes()),
            reissued_seq,
            entry.payload,
            entry.payload_salt.as_ref().map(Salt::as_bytes),
            entry.payload_hash.as_bytes(),
            entry.prev_hash.as_bytes(),
            entry.hash.as_bytes(),
            entry.signature.as_bytes(),
            signed(position)?,
            content_hash(entry),
            digest.as_bytes(),
            now_ms,
        ])
        .doing("insert an entry")?;
    Ok(())
}

/// Reads an entry back, to the byte.
pub(super) fn entry_of(row: &Row<'_>) -> Result<Entry, StoreError> {
    read(row).doing("read an entry")
}

fn read(row: &Row<'_>) -> rusqlite::Result<Entry> {
    let kind: String = row.get(7)?;
    let kind = Kind::new(&kind).map_err(|error| {
        rusqlite::Error::FromSqlConversionFailure(7, Type::Text, Box::new(error))
    })?;
    let reissued_from = match (
        row.get::<_, Option<[u8; 16]>>(13)?,
        row.get::<_, Option<i64>>(14)?,
    ) {
        (Some(stream), Some(_)) => Some(ReissuedFrom {
            stream_id: StreamId::from_bytes(stream),
            stream_seq: unsigned(row, 14)?,
        }),
        _ => None,
    };
    Ok(Entry {
        lab_id: LabId::from_bytes(row.get(0)?),
        entry_id: EntryId::from_bytes(row.get(1)?),
        stream_id: StreamId::from_bytes(row.get(2)?),
        stream_seq: unsigned(row, 3)?,
        hlc_ms: unsigned(row, 4)?,
        hlc_counter: row.get(5)?,
        actor_id: PersonId::from_bytes(row.get(6)?),
        kind,
        kind_version: row.get(8)?,
        min_reader: row.get(9)?,
        subject: SubjectRef {
            tag: row.get(10)?,
            id: Uuid::from_bytes(row.get(11)?),
        },
        based_on: ids_of(row)?,
        reissued_from,
        payload: row.get(15)?,
        payload_salt: row.get::<_, Option<[u8; 16]>>(16)?.map(Salt::from_bytes),
        payload_hash: PayloadHash::from_bytes(row.get(17)?),
        prev_hash: EntryHash::from_bytes(row.get(18)?),
        hash: EntryHash::from_bytes(row.get(19)?),
        signature: SignatureBytes::from_bytes(row.get(20)?),
    })
}

fn ids_of(row: &Row<'_>) -> rusqlite::Result<Vec<EntryId>> {
    let bytes: Vec<u8> = row.get(12)?;
    let (ids, rest) = bytes.as_chunks::<16>();
    if rest.is_empty() {
        Ok(ids.iter().copied().map(EntryId::from_bytes).collect())
    } else {
        let error = "the ids an entry is based on have a length that is no multiple of 16".into();
        Err(rusqlite::Error::FromSqlConversionFailure(
            12,
            Type::Blob,
            error,
        ))
    }
}

/// SQLite's integers are signed. `logbook` never makes a larger one, and `core::prove` refuses it from the wire.
pub(super) fn signed(value: u64) -> Result<i64, StoreError> {
    i64::try_from(value).map_err(|_| StoreError::Damaged {
        what: format!("{value} is more than the database can count"),
    })
}

/// A column that is never negative.
pub(super) fn unsigned(row: &Row<'_>, column: usize) -> rusqlite::Result<u64> {
    let value: i64 = row.get(column)?;
    u64::try_from(value).map_err(|_| rusqlite::Error::IntegralValueOutOfRange(column, value))
}
