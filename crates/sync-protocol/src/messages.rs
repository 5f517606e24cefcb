//! The messages. What each field means is said here once, for the server and the desktop.

use std::fmt;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use domain::{ContentHash, LabId, StreamId};
use logbook::{Entry, EntryHash, Head, LogDigest, PublicKey, SignatureBytes};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use sha2::{Digest as _, Sha256};
use uuid::Uuid;

/// Bytes that travel as base64.
#[derive(Clone, PartialEq, Eq, Default)]
pub struct Base64Bytes(pub Vec<u8>);

impl fmt::Debug for Base64Bytes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Base64Bytes({} bytes)", self.0.len())
    }
}

impl Serialize for Base64Bytes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&STANDARD.encode(&self.0))
    }
}

impl<'de> Deserialize<'de> for Base64Bytes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        STANDARD
            .decode(text)
            .map(Self)
            .map_err(|_| de::Error::custom("these bytes should be base64"))
    }
}

/// A stream and the key of its one writer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StreamInfo {
    /// The stream.
    pub stream_id: StreamId,
    /// The key that signs its entries. A stream's key never changes.
    pub public_key: PublicKey,
    /// What people call the desktop, at most [`crate::limits::NAME_CHARS_MAX`] characters. The latest name given wins.
    pub name: String,
}

/// A stream with its head.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StreamHead {
    /// Which stream, whose key, what name.
    #[serde(flatten)]
    pub stream: StreamInfo,
    /// Position of its last entry; 0 when empty.
    pub head_seq: u64,
    /// Hash of its last entry; 32 zero bytes when empty.
    pub head_hash: EntryHash,
}

impl StreamHead {
    /// The head alone.
    pub fn head(&self) -> Head {
        Head {
            stream_id: self.stream.stream_id,
            seq: self.head_seq,
            hash: self.head_hash,
        }
    }
}

/// A desktop asks to join.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Enrol {
    /// [`crate::limits::PROTOCOL_VERSION`] of the desktop.
    pub protocol_version: u16,
    /// The one-time code, as typed; the server ignores spaces, hyphens and case.
    pub code: String,
    /// The lab the desktop has already worked for, if any. A server without a lab takes it over; a server with another lab
    /// refuses with `other_lab`, because two labs' logs must never be mixed by accident.
    pub lab_id: Option<LabId>,
    /// The desktop's stream, with the public half of the key that stays on it.
    pub stream: StreamInfo,
}

/// The server has let a desktop in.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Enrolled {
    /// The lab.
    pub lab_id: LabId,
    /// The lab's name, for the screen.
    pub lab_name: String,
    /// Secret that stands for this desktop from now on. Shown once; the server keeps only its hash.
    pub credential: String,
    /// The key with which the server signs its statements and its own stream.
    pub server_key: PublicKey,
    /// The server's own stream, for entries made on the portal.
    pub server_stream_id: StreamId,
    /// The life of the log, see [`Cursor`].
    pub log_epoch: Uuid,
}

impl fmt::Debug for Enrolled {
    /// Leaves the credential out, so that it can't reach a log by accident.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Enrolled")
            .field("lab_id", &self.lab_id)
            .field("lab_name", &self.lab_name)
            .field("server_key", &self.server_key)
            .field("server_stream_id", &self.server_stream_id)
            .field("log_epoch", &self.log_epoch)
            .finish_non_exhaustive()
    }
}

/// Server time, for measuring the offset of the desktop's clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct ServerClock {
    /// Milliseconds since 1970-01-01T00:00:00Z.
    pub server_ms: u64,
}

/// Where the whole log stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Heads {
    /// The life of the log, see [`Cursor`].
    pub log_epoch: Uuid,
    /// Position of the last entry; positions are gapless from 1.
    pub log_position: u64,
    /// Running digest at that position.
    pub digest: LogDigest,
    /// The server's signed statement about it.
    pub witness: Witness,
    /// Every stream the server holds, sorted by id.
    pub streams: Vec<StreamHead>,
}

/// The server's signature under "at this time the log stood so": afterwards nobody can rewrite it quietly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Witness {
    /// Milliseconds since 1970-01-01T00:00:00Z by the server's clock.
    pub at_ms: u64,
    /// Ed25519 by the server key over [`witness_digest`].
    pub signature: SignatureBytes,
}

/// Returns what a witness signs: SHA-256 over tag, lab, epoch, position (8 bytes, big-endian), digest, time (8 bytes).
pub fn witness_digest(
    lab_id: LabId,
    log_epoch: Uuid,
    log_position: u64,
    digest: &LogDigest,
    at_ms: u64,
) -> [u8; 32] {
    let mut hasher = Sha256::new();
    hasher.update(b"waybench/witness/sha-256/1");
    hasher.update(lab_id.as_bytes());
    hasher.update(log_epoch.as_bytes());
    hasher.update(log_position.to_be_bytes());
    hasher.update(digest.as_bytes());
    hasher.update(at_ms.to_be_bytes());
    hasher.finalize().into()
}

/// Returns the running digest after one more entry: SHA-256 over tag, digest before, entry hash. The empty log has
/// [`LogDigest::EMPTY`].
pub fn advance_digest(before: &LogDigest, entry_hash: &EntryHash) -> LogDigest {
    let mut hasher = Sha256::new();
    hasher.update(b"waybench/log/sha-256/1");
    hasher.update(before.as_bytes());
    hasher.update(entry_hash.as_bytes());
    LogDigest::from_bytes(hasher.finalize().into())
}

/// How far a desktop has read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cursor {
    /// Random, minted when the log was created and again by a restore. Another epoch means the log may have lost its end.
    pub log_epoch: Uuid,
    /// The last position read; 0 before the first.
    pub log_position: u64,
    /// The running digest there; catches a log restored by copying a file, with its old epoch.
    pub digest: LogDigest,
}

impl Cursor {
    /// The start of a log.
    pub const fn start(log_epoch: Uuid) -> Self {
        Self {
            log_epoch,
            log_position: 0,
            digest: LogDigest::EMPTY,
        }
    }
}

/// The answer to a cursor.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "answer", rename_all = "snake_case")]
pub enum Pull {
    /// The entries after it.
    Page(Page),
    /// The server's log never stood like that: it was restored, or it is another one. The desktop looks for an earlier position
    /// that both know (with the epoch given here), pulls from there, and sends what the server lacks. It deletes nothing.
    CursorUnknown {
        /// The log's epoch now.
        log_epoch: Uuid,
        /// Its last position now.
        log_position: u64,
    },
}

/// Entries in the order of their positions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Page {
    /// The entries at `cursor.log_position - entries.len() + 1 ..= cursor.log_position`.
    pub entries: Vec<Entry>,
    /// Where the next page starts. The desktop recomputes its digest and refuses a page where it differs.
    pub cursor: Cursor,
    /// The log's last position, for "12,400 of 200,000". The page was the last one when the two are equal.
    pub log_position_end: u64,
    /// Info of every stream that has entries in this page.
    pub streams: Vec<StreamInfo>,
}

/// Consecutive entries of one stream.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PushEntries {
    /// The stream. A server that doesn't know it yet registers it with this key, be it the sender's own or (after a restore of
    /// the server) one the sender holds; a server that knows it under another key rejects with `key_mismatch`.
    pub stream: StreamInfo,
    /// At least one, at most a page, with dense positions.
    pub entries: Vec<Entry>,
}

/// What became of the entries of one push.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PushAnswer {
    /// One for each entry in order, up to and including the first that was neither stored nor known; what follows that one was
    /// not looked at.
    pub answers: Vec<EntryAnswer>,
    /// The highest position up to which the server now holds the stream. The desktop forgets outbox rows only up to it.
    pub contiguous_seq: u64,
}

/// What became of one entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "answer", rename_all = "snake_case")]
pub enum EntryAnswer {
    /// Inserted.
    Stored,
    /// It was there already, to the byte. Success.
    AlreadyKnown,
    /// Another entry stands at its position, or its forerunner is another: the stream has two writers. Nothing was stored.
    Fork {
        /// Hash of the entry the server holds.
        known_hash: EntryHash,
        /// Hash of the entry sent.
        sent_hash: EntryHash,
    },
    /// Entries before it are missing at the server.
    MissingFrom {
        /// The position to send from.
        seq: u64,
    },
    /// It can't be taken, now or later.
    Rejected {
        /// Why, for the program.
        code: RejectCode,
        /// Why, for a person.
        message: String,
    },
}

/// Why an entry can't be taken. Each means a bug, a version gap or tampering, since a desktop keeps the same rules when it writes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RejectCode {
    /// Header or payload hash doesn't match, or a field is outside the format.
    BadHash,
    /// The signature isn't the stream's key's.
    BadSignature,
    /// The entry belongs to another lab.
    WrongLab,
    /// Payload larger than [`crate::limits::PAYLOAD_BYTES_MAX`].
    OverLimit,
    /// The stream is known under another key.
    KeyMismatch,
    /// Another entry with the same id says something else.
    EntryIdReused,
    /// A reason of a newer server.
    #[serde(other)]
    Other,
}

/// Which picture of a photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PhotoVariant {
    /// The whole picture, or any other file; its SHA-256 is its name.
    Full,
    /// A small JPEG of it, at most [`crate::limits::THUMB_BYTES_MAX`], stored under the full picture's name.
    Thumb,
}

impl PhotoVariant {
    /// The word in paths.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Full => "full",
            Self::Thumb => "thumb",
        }
    }

    /// Reads the word in a path.
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "full" => Some(Self::Full),
            "thumb" => Some(Self::Thumb),
            _ => None,
        }
    }
}

/// How far an upload has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PhotoProgress {
    /// The photo's name.
    pub hash: ContentHash,
    /// Which picture.
    pub variant: PhotoVariant,
    /// Bytes the server holds; the next part starts here. The whole size when stored.
    pub received_bytes: u64,
    /// Whether it can be downloaded.
    pub state: PhotoState,
}

/// Whether a photo is whole at the server.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum PhotoState {
    /// Nothing, or parts.
    Incomplete,
    /// Whole, its hash checked by the server.
    Stored,
}

/// Ends an upload.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct FinishPhoto {
    /// Size of the whole.
    pub size_bytes: u64,
    /// SHA-256 of the bytes sent. For `full` this equals the photo's name; for `thumb` it is the thumbnail's own.
    pub content_hash: ContentHash,
}

/// "The log has moved": a hint. Nothing depends on it arriving.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct PositionHint {
    /// The last position.
    pub log_position: u64,
}

/// A one-time code for one more desktop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct JoinCode {
    /// The code.
    pub code: String,
    /// Minutes for which it can be used, once.
    pub valid_minutes: u32,
}

/// A desktop asks for a link by which a shop's user signs in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NewShopLink {
    /// The shop.
    pub shop_id: domain::ShopId,
    /// The user's e-mail address, which the link is for.
    pub email: String,
}

/// A one-time link for a shop's user.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopLink {
    /// The link's path on the server, beginning with a slash. The desktop knows the address that people use.
    pub path: String,
    /// Hours for which it can be used, once.
    pub valid_hours: u32,
}
