//! Streams in SQLite: their keys, names and heads.

use domain::{LabId, StreamId};
use logbook::{EntryHash, Head, PublicKey};
use rusqlite::{OptionalExtension as _, Transaction, params};
use sync_protocol::{StreamHead, StreamInfo};

use super::super::StoreError;
use super::{StoreResult as _, row};

/// Keeps a stream's key. A stream that is known with the same key passes and takes the new name; false if the key is another.
pub(super) fn keep_stream(
    tx: &Transaction<'_>,
    lab_id: LabId,
    stream: &StreamInfo,
) -> Result<bool, StoreError> {
    let known = tx
        .query_row(
            "SELECT public_key, name FROM stream WHERE lab_id = ?1 AND stream_id = ?2",
            params![lab_id.as_bytes(), stream.stream_id.as_bytes()],
            |row| Ok((PublicKey::from_bytes(row.get(0)?), row.get::<_, String>(1)?)),
        )
        .optional()
        .doing("look up a stream")?;
    match known {
        Some((key, _)) if key != stream.public_key => return Ok(false),
        Some((_, name)) if name == stream.name || stream.name.is_empty() => {}
        Some(_) => {
            tx.execute(
                "UPDATE stream SET name = ?3 WHERE lab_id = ?1 AND stream_id = ?2",
                params![lab_id.as_bytes(), stream.stream_id.as_bytes(), stream.name],
            )
            .doing("rename a stream")?;
        }
        None => {
            tx.execute(
                "INSERT INTO stream (lab_id, stream_id, public_key, name, head_seq, head_hash) \
                 VALUES (?1, ?2, ?3, ?4, 0, zeroblob(32))",
                params![
                    lab_id.as_bytes(),
                    stream.stream_id.as_bytes(),
                    stream.public_key.as_bytes(),
                    stream.name
                ],
            )
            .doing("open a stream")?;
        }
    }
    Ok(true)
}

pub(super) fn all_streams(
    tx: &Transaction<'_>,
    lab_id: LabId,
) -> Result<Vec<StreamHead>, StoreError> {
    let mut statement = tx
        .prepare_cached("SELECT stream_id FROM stream WHERE lab_id = ?1 ORDER BY stream_id")
        .doing("list the streams")?;
    let ids = statement
        .query_map([lab_id.as_bytes()], |row| {
            Ok(StreamId::from_bytes(row.get(0)?))
        })
        .and_then(Iterator::collect::<rusqlite::Result<Vec<_>>>)
        .doing("list the streams")?;
    ids.into_iter()
        .map(|id| read_stream(tx, lab_id, id))
        .collect()
}

pub(super) fn read_stream(
    tx: &Transaction<'_>,
    lab_id: LabId,
    stream_id: StreamId,
) -> Result<StreamHead, StoreError> {
    tx.query_row(
        "SELECT public_key, name, head_seq, head_hash FROM stream WHERE lab_id = ?1 AND stream_id = ?2",
        params![lab_id.as_bytes(), stream_id.as_bytes()],
        |row| {
            Ok(StreamHead {
                stream: StreamInfo { stream_id, public_key: PublicKey::from_bytes(row.get(0)?), name: row.get(1)? },
                head_seq: row::unsigned(row, 2)?,
                head_hash: EntryHash::from_bytes(row.get(3)?),
            })
        },
    )
    .doing("read a stream")
}

pub(super) fn read_head(
    tx: &Transaction<'_>,
    lab_id: LabId,
    stream_id: StreamId,
) -> Result<Head, StoreError> {
    Ok(read_stream(tx, lab_id, stream_id)?.head())
}
