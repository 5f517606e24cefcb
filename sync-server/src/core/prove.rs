//! Proving what a desktop sends, before the store is asked.
//!
//! Hashes and signatures cost about a tenth of a millisecond an entry; doing them outside the transaction keeps the log's lock
//! short. What needs the log (order, forks, used ids) is decided under the lock.

use domain::LabId;
use logbook::{Entry, EntryError, PublicKey};
use sync_protocol::limits::{
    ENTRIES_BODY_BYTES_MAX, NAME_CHARS_MAX, PAGE_ENTRIES_MAX, PAYLOAD_BYTES_MAX,
};
use sync_protocol::{EntryAnswer, ErrorCode, Problem, PushEntries, RejectCode, StreamInfo};

use crate::store::ProvedPush;

/// Proves the entries of a push up to the first that fails.
pub fn prove(lab_id: LabId, push: &PushEntries) -> Result<ProvedPush, Problem> {
    check_stream(&push.stream)?;
    if push.entries.is_empty() || push.entries.len() > PAGE_ENTRIES_MAX {
        let detail = format!(
            "{} entries were sent; a push holds 1 to {PAGE_ENTRIES_MAX}",
            push.entries.len()
        );
        return Err(Problem::new(ErrorCode::OverLimit, detail));
    }
    let bytes: usize = push.entries.iter().map(Entry::wire_bytes_max).sum();
    if bytes > ENTRIES_BODY_BYTES_MAX {
        let detail = format!(
            "the entries take {bytes} bytes; a push holds at most {ENTRIES_BODY_BYTES_MAX}"
        );
        return Err(Problem::new(ErrorCode::OverLimit, detail));
    }
    let mut entries = Vec::with_capacity(push.entries.len());
    let mut refused = None;
    for entry in &push.entries {
        if let Err((code, message)) = prove_entry(lab_id, &push.stream, entry) {
            refused = Some(EntryAnswer::Rejected { code, message });
            break;
        }
        entries.push(entry.clone());
    }
    Ok(ProvedPush {
        stream: push.stream.clone(),
        entries,
        refused,
    })
}

/// Checks what a stream says of itself.
pub(super) fn check_stream(stream: &StreamInfo) -> Result<(), Problem> {
    if stream.name.chars().count() > NAME_CHARS_MAX || stream.name.chars().any(char::is_control) {
        let detail =
            format!("a desktop's name has at most {NAME_CHARS_MAX} characters and no line breaks");
        return Err(Problem::new(ErrorCode::BadRequest, detail));
    }
    Ok(())
}

fn prove_entry(
    lab_id: LabId,
    stream: &StreamInfo,
    entry: &Entry,
) -> Result<(), (RejectCode, String)> {
    if entry.lab_id != lab_id {
        return Err((
            RejectCode::WrongLab,
            format!(
                "the entry belongs to lab {}; this desktop to {lab_id}",
                entry.lab_id
            ),
        ));
    }
    if entry.stream_id != stream.stream_id {
        let message = format!(
            "the entry stands in stream {}; the push is of {}",
            entry.stream_id, stream.stream_id
        );
        return Err((RejectCode::BadHash, message));
    }
    if entry
        .payload
        .as_ref()
        .is_some_and(|payload| payload.len() > PAYLOAD_BYTES_MAX)
    {
        return Err((
            RejectCode::OverLimit,
            format!("its payload is larger than {PAYLOAD_BYTES_MAX} bytes"),
        ));
    }
    // SQLite and most readers of JSON count in signed 64 bits.
    let countable = [
        entry.stream_seq,
        entry.hlc_ms,
        entry.reissued_from.map_or(0, |from| from.stream_seq),
    ];
    if countable
        .into_iter()
        .any(|value| i64::try_from(value).is_err())
    {
        return Err((
            RejectCode::BadHash,
            "a number in it is larger than 63 bits can hold".to_owned(),
        ));
    }
    verify(entry, &stream.public_key)
}

fn verify(entry: &Entry, key: &PublicKey) -> Result<(), (RejectCode, String)> {
    logbook::verify_entry(entry, key).map_err(|error| {
        let code = match error {
            EntryError::Signature { .. } => RejectCode::BadSignature,
            _ => RejectCode::BadHash,
        };
        (code, error.to_string())
    })
}
