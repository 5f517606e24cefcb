//! Between database rows and the types of the log.

use domain::{EntryId, LabId, PersonId, StreamId};
use logbook::{
    Entry, EntryHash, Kind, PayloadHash, ReissuedFrom, Salt, SignatureBytes, SubjectRef,
};
use rusqlite::types::Type;
use rusqlite::{Connection, Row, params};
use uuid::Uuid;

/// The columns [`entry`] reads, in its order.
pub(super) const ENTRY_COLUMNS: &str = "entry_id, lab_id, stream_id, stream_seq, hlc_ms, hlc_counter, actor_id, kind, \
     kind_version, min_reader, subject_tag, subject_id, based_on, reissued_stream, reissued_seq, payload, payload_salt, \
     payload_hash, prev_hash, hash, signature";

/// SQLite's integers are signed. Nothing above `i64::MAX` is ever written, because sealing and proving keep below 2^48 and 2^63.
pub(super) fn integer(value: u64) -> i64 {
    i64::try_from(value).unwrap_or(i64::MAX)
}

/// The way back.
pub(super) fn natural(value: i64) -> u64 {
    u64::try_from(value).unwrap_or(0)
}

/// Reads a fixed number of bytes.
pub(super) fn bytes<const N: usize>(
    row: &Row<'_>,
    column: usize,
) -> Result<[u8; N], rusqlite::Error> {
    row.get::<_, [u8; N]>(column)
}

/// Reads [`ENTRY_COLUMNS`].
pub(super) fn entry(row: &Row<'_>) -> Result<Entry, rusqlite::Error> {
    let kind = row.get_ref(7)?.as_str()?;
    let kind = Kind::new(kind).map_err(|error| {
        rusqlite::Error::FromSqlConversionFailure(7, Type::Text, Box::new(error))
    })?;
    let based_on = row.get_ref(12)?.as_blob()?.chunks_exact(16);
    let reissued = match (
        row.get::<_, Option<[u8; 16]>>(13)?,
        row.get::<_, Option<i64>>(14)?,
    ) {
        (Some(stream), Some(seq)) => Some(ReissuedFrom {
            stream_id: StreamId::from_bytes(stream),
            stream_seq: natural(seq),
        }),
        _ => None,
    };
    Ok(Entry {
        entry_id: EntryId::from_bytes(bytes(row, 0)?),
        lab_id: LabId::from_bytes(bytes(row, 1)?),
        stream_id: StreamId::from_bytes(bytes(row, 2)?),
        stream_seq: natural(row.get(3)?),
        hlc_ms: natural(row.get(4)?),
        hlc_counter: row.get(5)?,
        actor_id: PersonId::from_bytes(bytes(row, 6)?),
        kind,
        kind_version: row.get(8)?,
        min_reader: row.get(9)?,
        subject: SubjectRef {
            tag: row.get(10)?,
            id: Uuid::from_bytes(bytes(row, 11)?),
        },
        based_on: based_on
            .map(|id| EntryId::from_bytes(id.try_into().expect("chunks_exact gives 16 bytes")))
            .collect(),
        reissued_from: reissued,
        payload: row.get(15)?,
        payload_salt: row.get::<_, Option<[u8; 16]>>(16)?.map(Salt::from_bytes),
        payload_hash: PayloadHash::from_bytes(bytes(row, 17)?),
        prev_hash: EntryHash::from_bytes(bytes(row, 18)?),
        hash: EntryHash::from_bytes(bytes(row, 19)?),
        signature: SignatureBytes::from_bytes(bytes(row, 20)?),
    })
}

/// Writes an entry. The unique pair of stream and position makes a second writer an error, never a silent loss.
pub(super) fn insert_entry(
    connection: &Connection,
    entry: &Entry,
    received_ms: u64,
) -> Result<(), rusqlite::Error> {
    let based_on: Vec<u8> = entry
        .based_on
        .iter()
        .flat_map(|id| id.as_bytes().iter().copied())
        .collect();
    let mut statement = connection.prepare_cached(
        "INSERT INTO entries (entry_id, lab_id, stream_id, stream_seq, hlc_ms, hlc_counter, actor_id, kind, kind_version,
             min_reader, subject_tag, subject_id, based_on, reissued_stream, reissued_seq, payload, payload_salt,
             payload_hash, prev_hash, hash, signature, received_ms)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18, ?19, ?20, ?21, ?22)",
    )?;
    statement.execute(params![
        entry.entry_id.as_bytes(),
        entry.lab_id.as_bytes(),
        entry.stream_id.as_bytes(),
        integer(entry.stream_seq),
        integer(entry.hlc_ms),
        entry.hlc_counter,
        entry.actor_id.as_bytes(),
        entry.kind.as_str(),
        entry.kind_version,
        entry.min_reader,
        entry.subject.tag,
        entry.subject.id.as_bytes(),
        based_on,
        entry.reissued_from.map(|from| *from.stream_id.as_bytes()),
        entry.reissued_from.map(|from| integer(from.stream_seq)),
        entry.payload,
        entry.payload_salt.as_ref().map(Salt::as_bytes),
        entry.payload_hash.as_bytes(),
        entry.prev_hash.as_bytes(),
        entry.hash.as_bytes(),
        entry.signature.as_bytes(),
        integer(received_ms),
    ])?;
    Ok(())
}
