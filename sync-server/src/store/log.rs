//! The log as the store sees it.

use domain::fact::Fact;
use domain::{EntryId, LabId, PersonId, Recorded, StreamId, Subject};
use logbook::{Entry, PublicKey};
use sync_protocol::limits::PageLimits;
use sync_protocol::{Cursor, EntryAnswer, Heads, Pull, PushAnswer, StreamInfo};
use uuid::Uuid;

use super::StoreError;
use crate::auth::LabScope;

/// The lab and where its log stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LabRow {
    /// The lab; none before the first desktop joined.
    pub lab_id: Option<LabId>,
    /// The life of the log.
    pub log_epoch: Uuid,
    /// The last position.
    pub log_position: u64,
    /// The server's own stream.
    pub server_stream_id: StreamId,
    /// The key of that stream and of the server's statements.
    pub server_key: PublicKey,
}

/// Consecutive entries of one stream, each proved by hash and signature against the stream's stated key.
///
/// Only [`crate::core::prove`] makes one.
#[derive(Debug, Clone)]
pub struct ProvedPush {
    pub(crate) stream: StreamInfo,
    pub(crate) entries: Vec<Entry>,
    /// The answer to the entry after those, when it proved wrong; reached only if all before it were taken.
    pub(crate) refused: Option<EntryAnswer>,
}

/// One fact that the server records in its own stream, for a user of the portal.
#[derive(Debug, Clone)]
pub struct OwnFact {
    /// UUIDv7 made by the caller.
    pub entry_id: EntryId,
    /// Who acts.
    pub actor_id: PersonId,
    /// What it is about.
    pub subject: Subject,
    /// For a register: the edits the user had seen.
    pub based_on: Vec<EntryId>,
    /// The fact.
    pub fact: Fact,
}

/// The log.
pub trait LogStore {
    /// The lab and where its log stands. Takes no scope: it tells nothing of what the log says.
    fn lab(&self) -> Result<LabRow, StoreError>;

    /// Where the log and every stream stand, with the server's signature at `now_ms`.
    fn heads(&self, scope: &LabScope, now_ms: i64) -> Result<Heads, StoreError>;

    /// Takes entries in, with what they mean for shops, whole or not at all.
    ///
    /// `entries_bytes_max` is the quota; an entry that would pass it is answered `rejected` and nothing of it is stored.
    fn append(
        &self,
        scope: &LabScope,
        push: &ProvedPush,
        entries_bytes_max: u64,
        now_ms: i64,
    ) -> Result<PushAnswer, StoreError>;

    /// Seals facts as the next entries of the server's own stream and takes them in, all or none. Returns the new position.
    fn record(&self, scope: &LabScope, facts: Vec<OwnFact>, now_ms: i64)
    -> Result<u64, StoreError>;

    /// All entries about one subject, for an act that must name what it has seen.
    fn recorded(&self, scope: &LabScope, subject: Subject) -> Result<Vec<Recorded>, StoreError>;

    /// The page after a cursor.
    fn read_after(
        &self,
        scope: &LabScope,
        cursor: &Cursor,
        limits: PageLimits,
    ) -> Result<Pull, StoreError>;
}
