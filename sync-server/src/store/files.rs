//! Which photos and files are whole at the server. Their bytes are in the attachment folder, never here.

use domain::ContentHash;
use sync_protocol::PhotoVariant;

use super::StoreError;
use crate::auth::LabScope;

/// A file that arrived whole and had the right hash.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StoredFile {
    /// SHA-256 of the bytes; for a thumbnail another than its name.
    pub bytes_hash: ContentHash,
    /// Its size.
    pub size_bytes: u64,
}

/// Files of a lab. Nothing is shared across labs: that would tell whether another lab has a picture.
pub trait FileStore {
    /// The file, if it is whole.
    fn stored_file(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<Option<StoredFile>, StoreError>;

    /// Notes that a file is whole. The same again is no error.
    fn note_file(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
        file: &StoredFile,
        now_ms: i64,
    ) -> Result<(), StoreError>;

    /// Bytes of all whole files of the lab, for the quota.
    fn files_bytes(&self, scope: &LabScope) -> Result<u64, StoreError>;
}
