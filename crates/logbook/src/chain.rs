//! Streams: dense, chained, one writer each.
//!
//! "Is anything missing" is a subtraction, and two writers of one stream are seen the first time their entries meet.

use domain::StreamId;
use serde::{Deserialize, Serialize};

use crate::bytes::{EntryHash, PublicKey};
use crate::entry::Entry;
use crate::sealing::{EntryError, verify_entry};

/// How far a stream reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Head {
    /// The stream.
    pub stream_id: StreamId,
    /// Position of its last entry; 0 when empty.
    pub seq: u64,
    /// Hash of its last entry; [`EntryHash::GENESIS`] when empty.
    pub hash: EntryHash,
}

/// A stream that doesn't hang together.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StreamError {
    /// One entry doesn't prove itself.
    #[error("position {seq} of stream {stream_id} is not sound")]
    Entry {
        /// The stream.
        stream_id: StreamId,
        /// The position.
        seq: u64,
        /// What is wrong with it.
        #[source]
        source: EntryError,
    },
    /// A position is absent or comes twice.
    #[error("stream {stream_id} should go on with position {expected} and goes on with {found}")]
    Gap {
        /// The stream.
        stream_id: StreamId,
        /// The position after the last sound one.
        expected: u64,
        /// The position found.
        found: u64,
    },
    /// An entry names another forerunner.
    #[error(
        "position {seq} of stream {stream_id} follows {stated}, and the entry before it is {expected}"
    )]
    Broken {
        /// The stream.
        stream_id: StreamId,
        /// The position.
        seq: u64,
        /// Hash of the entry before it.
        expected: EntryHash,
        /// The hash it names.
        stated: EntryHash,
    },
    /// An entry of another stream among them.
    #[error("an entry of stream {found} stands in stream {stream_id}")]
    OtherStream {
        /// The stream being proved.
        stream_id: StreamId,
        /// The entry's stream.
        found: StreamId,
    },
}

/// Proves that `entries` follow `from` in one stream without a gap, chained and signed by one key. Returns the new head.
pub fn verify_stream<'a>(
    from: Head,
    entries: impl IntoIterator<Item = &'a Entry>,
    key: &PublicKey,
) -> Result<Head, StreamError> {
    entries.into_iter().try_fold(from, |head, entry| {
        follows(&head, entry)?;
        verify_entry(entry, key).map_err(|source| StreamError::Entry {
            stream_id: head.stream_id,
            seq: entry.stream_seq,
            source,
        })?;
        Ok(Head {
            stream_id: head.stream_id,
            seq: entry.stream_seq,
            hash: entry.hash,
        })
    })
}

fn follows(head: &Head, entry: &Entry) -> Result<(), StreamError> {
    let stream_id = head.stream_id;
    if entry.stream_id != stream_id {
        return Err(StreamError::OtherStream {
            stream_id,
            found: entry.stream_id,
        });
    }
    if entry.stream_seq != head.seq + 1 {
        return Err(StreamError::Gap {
            stream_id,
            expected: head.seq + 1,
            found: entry.stream_seq,
        });
    }
    if entry.prev_hash != head.hash {
        let seq = entry.stream_seq;
        return Err(StreamError::Broken {
            stream_id,
            seq,
            expected: head.hash,
            stated: entry.prev_hash,
        });
    }
    Ok(())
}

/// What a replica that stands at some head does with an entry that arrives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Placement {
    /// It is the next one.
    Next,
    /// It is here already, to the byte.
    AlreadyKnown,
    /// Another entry is at its position, or before it: the stream has had two writers. Never ignored.
    Fork {
        /// Hash of the entry that is here: at the same position, or at the head when the forerunners differ.
        known: EntryHash,
    },
    /// Entries before it are missing.
    MissingFrom {
        /// The first missing position.
        seq: u64,
    },
}

/// Decides where an arriving entry belongs. `known_at_seq` is the hash already held at the entry's position, if any.
///
/// Looks at hashes only; the entry is proved by [`verify_entry`].
pub fn place(head: &Head, known_at_seq: Option<EntryHash>, entry: &Entry) -> Placement {
    match known_at_seq {
        Some(known) if known == entry.hash => Placement::AlreadyKnown,
        Some(known) => Placement::Fork { known },
        None if entry.stream_seq != head.seq + 1 => Placement::MissingFrom { seq: head.seq + 1 },
        None if entry.prev_hash != head.hash => Placement::Fork { known: head.hash },
        None => Placement::Next,
    }
}
