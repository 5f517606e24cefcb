//! The entry, and the exact bytes that are hashed.
//!
//! # Canonical header, version 1
//!
//! All integers are big-endian. "Text" is a `u16` byte count and that many bytes of UTF-8.
//!
//! |  # | field             | bytes         | remark |
//! | -- | ----------------- | ------------- | ------ |
//! |  1 | algorithm tag     | text          | `waybench/entry/sha-256/1` |
//! |  2 | `entry_id`        | 16            | |
//! |  3 | `lab_id`          | 16            | |
//! |  4 | `stream_id`       | 16            | |
//! |  5 | `stream_seq`      | 8             | from 1 |
//! |  6 | `hlc_ms`          | 8             | |
//! |  7 | `hlc_counter`     | 4             | |
//! |  8 | `actor_id`        | 16            | |
//! |  9 | `kind`            | text          | |
//! | 10 | `kind_version`    | 2             | |
//! | 11 | `min_reader`      | 2             | |
//! | 12 | subject tag       | text          | |
//! | 13 | subject id        | 16            | |
//! | 14 | `based_on` count  | 2             | |
//! | 15 | `based_on`        | 16 each       | in the order the writer gave |
//! | 16 | reissued          | 1             | 0 or 1 |
//! | 17 | reissued from     | 16 + 8, or 0  | stream and sequence, only when field 16 is 1 |
//! | 18 | `payload_hash`    | 32            | SHA-256(text `waybench/payload/sha-256/1`, 16 salt bytes, payload) |
//! | 19 | `prev_hash`       | 32            | 32 zero bytes for the first entry of a stream |
//!
//! `hash` is SHA-256 of these bytes, and `signature` is Ed25519 over the 32 bytes of `hash`.
//!
//! Field order is hashed. Add at the end only, with a new version tag.

use domain::Stamp;
use domain::{EntryId, LabId, PersonId, StreamId, Subject};
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};
use uuid::Uuid;

use crate::bytes::{EntryHash, PayloadHash, Salt, SignatureBytes, base64_payload};
use crate::hlc::Hlc;
use crate::kind::Kind;

/// Most edits that one edit can name as seen. A register with 64 unsettled heads would need 64 benches apart at once.
pub const BASED_ON_MAX: usize = 64;

const ENTRY_TAG: &str = "waybench/entry/sha-256/1";
const CONTENT_TAG: &str = "waybench/content/sha-256/1";
const PAYLOAD_TAG: &str = "waybench/payload/sha-256/1";

/// What an entry is about, in a form that survives tags this version doesn't know.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct SubjectRef {
    /// `job`, `parcel`, `shop`, `person`, `lab`, or the word of a newer program.
    pub tag: String,
    /// The subject's id.
    pub id: Uuid,
}

impl From<Subject> for SubjectRef {
    fn from(subject: Subject) -> Self {
        Self {
            tag: subject.tag().to_owned(),
            id: Uuid::from_bytes(*subject.id_bytes()),
        }
    }
}

impl SubjectRef {
    /// The subject, if this version knows its tag.
    pub fn known(&self) -> Option<Subject> {
        Subject::from_parts(&self.tag, *self.id.as_bytes())
    }
}

/// Where an entry stood before its stream turned out to have two writers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct ReissuedFrom {
    /// The stream it was first written in.
    pub stream_id: StreamId,
    /// Its position there.
    pub stream_seq: u64,
}

/// One recorded fact in its envelope. Serialised, it is the wire form: ids hyphenated, bytes base64.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// The entry's identity, made by its writer and kept when the entry is re-issued.
    pub entry_id: EntryId,
    /// The lab it belongs to.
    pub lab_id: LabId,
    /// The stream it stands in.
    pub stream_id: StreamId,
    /// Its dense position there, from 1.
    pub stream_seq: u64,
    /// The writer's hybrid clock, milliseconds.
    pub hlc_ms: u64,
    /// The writer's hybrid clock, counter.
    pub hlc_counter: u32,
    /// The person who acted.
    pub actor_id: PersonId,
    /// What it records.
    pub kind: Kind,
    /// The payload's version within its kind.
    pub kind_version: u16,
    /// 0: a program that can't read the payload may go on. Otherwise it must not act on the subject until it has been updated;
    /// the number says from which reader level on the kind is known.
    pub min_reader: u16,
    /// What it is about.
    pub subject: SubjectRef,
    /// For a register: the edits this one had seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub based_on: Vec<EntryId>,
    /// Where it stood first, if it was re-issued.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reissued_from: Option<ReissuedFrom>,
    /// The payload, verbatim; `None` once it has been redacted.
    #[serde(
        default,
        with = "base64_payload",
        skip_serializing_if = "Option::is_none"
    )]
    pub payload: Option<Vec<u8>>,
    /// The payload's salt; removed together with the payload.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub payload_salt: Option<Salt>,
    /// Hash of salt and payload. Stays after redaction.
    pub payload_hash: PayloadHash,
    /// Hash of the entry before this one in the stream.
    pub prev_hash: EntryHash,
    /// Hash of this entry's canonical header.
    pub hash: EntryHash,
    /// The writer's signature over `hash`.
    pub signature: SignatureBytes,
}

impl Entry {
    /// The hybrid clock reading.
    pub fn hlc(&self) -> Hlc {
        Hlc {
            ms: self.hlc_ms,
            counter: self.hlc_counter,
        }
    }

    /// The place in the order people see.
    pub fn stamp(&self) -> Stamp {
        Stamp {
            hlc_ms: self.hlc_ms,
            hlc_counter: self.hlc_counter,
            stream_id: self.stream_id,
            stream_seq: self.stream_seq,
        }
    }

    /// Bytes this entry takes on the wire, from above: 4/3 of the payload for base64, and 1,100 for everything else.
    ///
    /// The fixed part is the JSON of the longest kind and tag with all ids and hashes (975 bytes); each `based_on` adds 39.
    pub fn wire_bytes_max(&self) -> usize {
        1_100
            + self.based_on.len() * 39
            + self
                .payload
                .as_ref()
                .map_or(0, |payload| payload.len().div_ceil(3) * 4)
    }
}

/// Returns the hash of a payload and its salt.
pub fn payload_hash(salt: &Salt, payload: &[u8]) -> PayloadHash {
    let mut hasher = Sha256::new();
    hasher.update(text_len(PAYLOAD_TAG));
    hasher.update(PAYLOAD_TAG.as_bytes());
    hasher.update(salt.as_bytes());
    hasher.update(payload);
    PayloadHash::from_bytes(hasher.finalize().into())
}

/// Returns the bytes that are hashed. The layout stands at the top of this module.
pub fn canonical_header(entry: &Entry) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(360 + entry.based_on.len() * 16);
    put_text(&mut bytes, ENTRY_TAG);
    bytes.extend_from_slice(entry.entry_id.as_bytes());
    bytes.extend_from_slice(entry.lab_id.as_bytes());
    bytes.extend_from_slice(entry.stream_id.as_bytes());
    bytes.extend_from_slice(&entry.stream_seq.to_be_bytes());
    put_content(&mut bytes, entry);
    match &entry.reissued_from {
        None => bytes.push(0),
        Some(from) => {
            bytes.push(1);
            bytes.extend_from_slice(from.stream_id.as_bytes());
            bytes.extend_from_slice(&from.stream_seq.to_be_bytes());
        }
    }
    bytes.extend_from_slice(entry.payload_hash.as_bytes());
    bytes.extend_from_slice(entry.prev_hash.as_bytes());
    bytes
}

/// Returns the hash of what an entry says, apart from where it stands. Equal for an entry and its re-issue.
pub fn content_hash(entry: &Entry) -> [u8; 32] {
    let mut bytes = Vec::with_capacity(256 + entry.based_on.len() * 16);
    put_text(&mut bytes, CONTENT_TAG);
    bytes.extend_from_slice(entry.entry_id.as_bytes());
    bytes.extend_from_slice(entry.lab_id.as_bytes());
    put_content(&mut bytes, entry);
    bytes.extend_from_slice(entry.payload_hash.as_bytes());
    Sha256::digest(&bytes).into()
}

/// Fields 6 to 15, which stay the same when an entry is re-issued.
fn put_content(bytes: &mut Vec<u8>, entry: &Entry) {
    bytes.extend_from_slice(&entry.hlc_ms.to_be_bytes());
    bytes.extend_from_slice(&entry.hlc_counter.to_be_bytes());
    bytes.extend_from_slice(entry.actor_id.as_bytes());
    put_text(bytes, entry.kind.as_str());
    bytes.extend_from_slice(&entry.kind_version.to_be_bytes());
    bytes.extend_from_slice(&entry.min_reader.to_be_bytes());
    put_text(bytes, &entry.subject.tag);
    bytes.extend_from_slice(entry.subject.id.as_bytes());
    bytes.extend_from_slice(&count(entry.based_on.len()).to_be_bytes());
    for id in &entry.based_on {
        bytes.extend_from_slice(id.as_bytes());
    }
}

fn put_text(bytes: &mut Vec<u8>, text: &str) {
    bytes.extend_from_slice(&text_len(text));
    bytes.extend_from_slice(text.as_bytes());
}

fn text_len(text: &str) -> [u8; 2] {
    count(text.len()).to_be_bytes()
}

/// Lengths above `u16::MAX` never get here from `seal`; from a hostile wire they become a wrong hash, which is refused.
fn count(len: usize) -> u16 {
    u16::try_from(len).unwrap_or(u16::MAX)
}
