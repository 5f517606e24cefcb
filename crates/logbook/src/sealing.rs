//! Making an entry, and proving one.

use domain::{EntryId, LabId, PersonId, StreamId};
use ed25519_dalek::{Signature, SigningKey, VerifyingKey};
use sha2::{Digest as _, Sha256};

use crate::bytes::{EntryHash, PayloadHash, PublicKey, Salt, SignatureBytes};
use crate::chain::Head;
use crate::entry::{BASED_ON_MAX, Entry, ReissuedFrom, SubjectRef, canonical_header, payload_hash};
use crate::hlc::{HLC_MS_MAX, Hlc};
use crate::kind::{KIND_BYTES_MAX, Kind};

/// An entry before it has a place in a stream.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// UUIDv7 made by the caller and saved before anything is sent.
    pub entry_id: EntryId,
    /// The lab.
    pub lab_id: LabId,
    /// The person who acts.
    pub actor_id: PersonId,
    /// What is recorded.
    pub kind: Kind,
    /// The payload's version.
    pub kind_version: u16,
    /// See [`Entry::min_reader`].
    pub min_reader: u16,
    /// What it is about.
    pub subject: SubjectRef,
    /// For a register: the edits seen.
    pub based_on: Vec<EntryId>,
    /// The payload, verbatim.
    pub payload: Vec<u8>,
    /// 16 random bytes from the caller.
    pub payload_salt: Salt,
}

/// A draft that can't become an entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SealError {
    /// More edits are named as seen than the format allows.
    #[error(
        "an entry can name at most {BASED_ON_MAX} earlier edits as seen, and this one names {count}"
    )]
    TooManyBasedOn {
        /// How many were named.
        count: usize,
    },
    /// The subject's tag is too long to be one.
    #[error("a subject's tag has at most {KIND_BYTES_MAX} bytes, and this one has {bytes}")]
    SubjectTagTooLong {
        /// Its length.
        bytes: usize,
    },
    /// The stream is full. Unreachable by use.
    #[error("the stream has no position left after {seq}")]
    StreamFull {
        /// The last position.
        seq: u64,
    },
}

/// An entry that doesn't prove itself.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EntryError {
    /// The header's bytes have another hash.
    #[error("entry {entry_id} states the hash {stated}, and its content has the hash {found}")]
    Hash {
        /// The entry.
        entry_id: EntryId,
        /// The hash it carries.
        stated: EntryHash,
        /// The hash of what it says.
        found: EntryHash,
    },
    /// The payload has another hash.
    #[error(
        "the payload of entry {entry_id} has been changed: its hash should be {stated} and is {found}"
    )]
    Payload {
        /// The entry.
        entry_id: EntryId,
        /// The hash it carries.
        stated: PayloadHash,
        /// The payload's own hash.
        found: PayloadHash,
    },
    /// The payload is there and the salt is not, or the other way round.
    #[error("entry {entry_id} has only one of payload and salt; both stay or both are removed")]
    HalfRedacted {
        /// The entry.
        entry_id: EntryId,
    },
    /// The signature isn't the stream's writer's.
    #[error("the signature on entry {entry_id} does not belong to the key {key} of its stream")]
    Signature {
        /// The entry.
        entry_id: EntryId,
        /// The key it was checked with.
        key: PublicKey,
    },
    /// A field is outside what the format allows.
    #[error("entry {entry_id} can't be taken: {reason}")]
    Field {
        /// The entry.
        entry_id: EntryId,
        /// Which field, and what would be right.
        reason: &'static str,
    },
}

/// Seals a draft as the next entry of a stream.
///
/// `head` is where the stream stands now and `hlc` the clock reading for this entry. The caller stores entry, head and clock in
/// one transaction; this function has no memory.
pub fn seal(draft: Draft, head: &Head, hlc: Hlc, key: &SigningKey) -> Result<Entry, SealError> {
    check_sizes(draft.based_on.len(), draft.subject.tag.len())?;
    let entry = Entry {
        entry_id: draft.entry_id,
        lab_id: draft.lab_id,
        stream_id: head.stream_id,
        stream_seq: next_seq(head)?,
        hlc_ms: hlc.ms.min(HLC_MS_MAX),
        hlc_counter: hlc.counter,
        actor_id: draft.actor_id,
        kind: draft.kind,
        kind_version: draft.kind_version,
        min_reader: draft.min_reader,
        subject: draft.subject,
        based_on: draft.based_on,
        reissued_from: None,
        payload_hash: payload_hash(&draft.payload_salt, &draft.payload),
        payload: Some(draft.payload),
        payload_salt: Some(draft.payload_salt),
        prev_hash: head.hash,
        hash: EntryHash::GENESIS,
        signature: SignatureBytes::from_bytes([0; 64]),
    };
    Ok(finish(entry, key))
}

/// Seals an entry again at the end of another stream, because its own stream turned out to have two writers.
///
/// What it says stays the same to the byte: id, clock, actor, payload and salt. So folds, which know entries by id, see it once.
/// The first place it stood in is kept through any number of re-issues.
pub fn reissue(entry: &Entry, head: &Head, key: &SigningKey) -> Result<Entry, SealError> {
    let from = entry.reissued_from.unwrap_or(ReissuedFrom {
        stream_id: entry.stream_id,
        stream_seq: entry.stream_seq,
    });
    let moved = Entry {
        stream_id: head.stream_id,
        stream_seq: next_seq(head)?,
        reissued_from: Some(from),
        prev_hash: head.hash,
        ..entry.clone()
    };
    Ok(finish(moved, key))
}

/// Proves one entry: sizes, payload hash (when the payload is there), header hash, signature.
///
/// Its place in the stream is proved by [`crate::verify_stream`] or [`crate::place`].
pub fn verify_entry(entry: &Entry, key: &PublicKey) -> Result<(), EntryError> {
    verify_hashes(entry)?;
    check_signature(key, entry.hash.as_bytes(), &entry.signature)
        .then_some(())
        .ok_or(EntryError::Signature {
            entry_id: entry.entry_id,
            key: *key,
        })
}

/// Tells whether `signature` is `key`'s over a 32-byte digest, by the strict rules (no weak keys, no malleable signatures).
pub fn check_signature(key: &PublicKey, digest: &[u8; 32], signature: &SignatureBytes) -> bool {
    VerifyingKey::from_bytes(key.as_bytes())
        .and_then(|key| key.verify_strict(digest, &Signature::from_bytes(signature.as_bytes())))
        .is_ok()
}

fn verify_hashes(entry: &Entry) -> Result<(), EntryError> {
    let entry_id = entry.entry_id;
    if entry.stream_seq == 0 {
        return Err(EntryError::Field {
            entry_id,
            reason: "stream positions count from 1",
        });
    }
    if entry.hlc_ms > HLC_MS_MAX {
        return Err(EntryError::Field {
            entry_id,
            reason: "its clock is beyond 48 bits",
        });
    }
    if check_sizes(entry.based_on.len(), entry.subject.tag.len()).is_err() {
        return Err(EntryError::Field {
            entry_id,
            reason: "it names too many earlier edits, or its subject's tag is too long",
        });
    }
    match (&entry.payload, &entry.payload_salt) {
        (Some(payload), Some(salt)) => {
            let found = payload_hash(salt, payload);
            if found != entry.payload_hash {
                return Err(EntryError::Payload {
                    entry_id,
                    stated: entry.payload_hash,
                    found,
                });
            }
        }
        (None, None) => {}
        _ => return Err(EntryError::HalfRedacted { entry_id }),
    }
    let found = header_hash(entry);
    if found == entry.hash {
        Ok(())
    } else {
        Err(EntryError::Hash {
            entry_id,
            stated: entry.hash,
            found,
        })
    }
}

fn check_sizes(based_on: usize, tag_bytes: usize) -> Result<(), SealError> {
    if based_on > BASED_ON_MAX {
        return Err(SealError::TooManyBasedOn { count: based_on });
    }
    if tag_bytes > KIND_BYTES_MAX {
        return Err(SealError::SubjectTagTooLong { bytes: tag_bytes });
    }
    Ok(())
}

fn next_seq(head: &Head) -> Result<u64, SealError> {
    // SQLite and JSON readers hold signed 64-bit integers.
    head.seq
        .checked_add(1)
        .filter(|seq| i64::try_from(*seq).is_ok())
        .ok_or(SealError::StreamFull { seq: head.seq })
}

fn finish(mut entry: Entry, key: &SigningKey) -> Entry {
    entry.hash = header_hash(&entry);
    entry.signature = crate::sign_digest(key, entry.hash.as_bytes());
    entry
}

fn header_hash(entry: &Entry) -> EntryHash {
    EntryHash::from_bytes(Sha256::digest(canonical_header(entry)).into())
}

/// Starts an empty stream.
impl Head {
    /// The head of a stream without entries.
    pub const fn empty(stream_id: StreamId) -> Self {
        Self {
            stream_id,
            seq: 0,
            hash: EntryHash::GENESIS,
        }
    }
}
