//! The protocol as a trait: what a desktop can ask.

use domain::ContentHash;

use crate::error::SyncError;
use crate::messages::{
    Cursor, Enrol, Enrolled, FinishPhoto, Heads, JoinCode, NewShopLink, PhotoProgress,
    PhotoVariant, PositionHint, Pull, PushAnswer, PushEntries, ServerClock, ShopLink,
};

/// What a desktop can ask of its server.
///
/// Implemented by the HTTP client and, for tests, straight by the server's core. Calls block. A value of this type stands for
/// one credential (after enrolment), and the credential alone decides the lab. Every call may be repeated: a call whose answer
/// was lost has the same effect when sent again, save `enrol`, whose code is used up (the server accepts the same code again
/// with the same stream and public key).
pub trait SyncProtocol: Send + Sync {
    /// Joins with a one-time code.
    fn enrol(&self, request: &Enrol) -> Result<Enrolled, SyncError>;

    /// Returns the server's time.
    fn clock(&self) -> Result<ServerClock, SyncError>;

    /// Returns where the log and every stream stand, with the key and name of each stream.
    ///
    /// Also the end-of-sync check: the desktop compares it with its own heads.
    fn heads(&self) -> Result<Heads, SyncError>;

    /// Sends consecutive entries of one stream.
    fn push(&self, request: &PushEntries) -> Result<PushAnswer, SyncError>;

    /// Returns the page after a cursor; an empty page when there is nothing newer.
    fn pull(&self, cursor: &Cursor) -> Result<Pull, SyncError>;

    /// Waits until the log has moved past `log_position`, at most `timeout_ms`. Returns the position now, moved or not.
    fn wait_hint(&self, log_position: u64, timeout_ms: u64) -> Result<PositionHint, SyncError>;

    /// Makes a one-time code for one more desktop.
    fn new_join_code(&self) -> Result<JoinCode, SyncError>;

    /// Makes a one-time link by which a shop's user signs in.
    fn new_shop_link(&self, request: &NewShopLink) -> Result<ShopLink, SyncError>;

    /// Returns how much of a photo the server holds.
    fn photo_progress(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<PhotoProgress, SyncError>;

    /// Sends one part. When `offset` isn't where the server stands, nothing is stored and the answer says where to go on.
    fn photo_part(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        bytes: &[u8],
    ) -> Result<PhotoProgress, SyncError>;

    /// Ends an upload. The server hashes the whole and only then shows it; a wrong hash drops the parts.
    fn photo_finish(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        finish: &FinishPhoto,
    ) -> Result<PhotoProgress, SyncError>;

    /// Returns a whole photo. The caller checks its hash.
    fn photo_download(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<Vec<u8>, SyncError>;
}
