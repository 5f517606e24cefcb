//! Photos and files from desktops: in parts, shown only when whole and of the right hash.

use domain::ContentHash;
use sync_protocol::limits::{PHOTO_BYTES_MAX, PHOTO_PART_BYTES_MAX, THUMB_BYTES_MAX};
use sync_protocol::{ErrorCode, FinishPhoto, PhotoProgress, PhotoState, PhotoVariant, Problem};

use super::{Core, problem_of};
use crate::auth::LabScope;
use crate::files::FilesError;
use crate::store::StoredFile;

/// A part of a whole file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FilePart {
    /// The bytes asked for.
    pub bytes: Vec<u8>,
    /// Size of the whole.
    pub total_bytes: u64,
}

impl Core {
    /// How much of a photo is here.
    pub fn photo_progress(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<PhotoProgress, Problem> {
        if let Some(file) = self.stored(scope, hash, variant)? {
            return Ok(progress(hash, variant, file.size_bytes, PhotoState::Stored));
        }
        let received = self
            .files
            .received_bytes(scope.lab_id(), hash, variant)
            .map_err(|error| files_problem(&error))?;
        Ok(progress(hash, variant, received, PhotoState::Incomplete))
    }

    /// Takes one part. Nothing is stored when `offset` isn't where the file stands.
    pub fn photo_part(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        bytes: &[u8],
    ) -> Result<PhotoProgress, Problem> {
        if bytes.len() > PHOTO_PART_BYTES_MAX {
            let detail = format!(
                "a part holds at most {PHOTO_PART_BYTES_MAX} bytes, and {} were sent",
                bytes.len()
            );
            return Err(Problem::new(ErrorCode::OverLimit, detail));
        }
        if let Some(file) = self.stored(scope, hash, variant)? {
            return Ok(progress(hash, variant, file.size_bytes, PhotoState::Stored));
        }
        let end = offset.saturating_add(bytes.len() as u64);
        check_size(variant, end)?;
        let used = self
            .store
            .files_bytes(scope)
            .map_err(|error| problem_of(&error))?;
        if used.saturating_add(end) > self.quotas.attachments_bytes {
            return Err(Problem::new(
                ErrorCode::StorageFull,
                "the server's space for photos is used up; ask whoever runs it for more",
            ));
        }
        let received = self
            .files
            .add_part(scope.lab_id(), hash, variant, offset, bytes)
            .map_err(|error| files_problem(&error))?;
        Ok(progress(hash, variant, received, PhotoState::Incomplete))
    }

    /// Ends an upload: the whole is hashed, and only then shown. A wrong hash drops the parts.
    pub fn photo_finish(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
        finish: &FinishPhoto,
    ) -> Result<PhotoProgress, Problem> {
        if let Some(file) = self.stored(scope, hash, variant)? {
            return Ok(progress(hash, variant, file.size_bytes, PhotoState::Stored));
        }
        check_size(variant, finish.size_bytes)?;
        if variant == PhotoVariant::Full && finish.content_hash != *hash {
            self.files
                .drop_parts(scope.lab_id(), hash, variant)
                .map_err(|error| files_problem(&error))?;
            return Err(mismatch(
                "a whole picture's hash is its name, and these differ",
            ));
        }
        self.files
            .finish(
                scope.lab_id(),
                hash,
                variant,
                finish.size_bytes,
                &finish.content_hash,
            )
            .map_err(|error| files_problem(&error))?;
        let file = StoredFile {
            bytes_hash: finish.content_hash,
            size_bytes: finish.size_bytes,
        };
        self.store
            .note_file(scope, hash, variant, &file, self.now_ms())
            .map_err(|error| problem_of(&error))?;
        Ok(progress(
            hash,
            variant,
            finish.size_bytes,
            PhotoState::Stored,
        ))
    }

    /// Up to `length` bytes of a whole file, from `offset`.
    pub fn photo_read(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        length: u64,
    ) -> Result<FilePart, Problem> {
        let absent = || {
            Problem::new(
                ErrorCode::PhotoAbsent,
                "this photo has not arrived here yet; it comes when its desktop sends it",
            )
        };
        let file = self.stored(scope, hash, variant)?.ok_or_else(absent)?;
        let length = length.min(file.size_bytes.saturating_sub(offset));
        let bytes = self
            .files
            .read(scope.lab_id(), &file, offset, length)
            .map_err(|error| files_problem(&error))?;
        Ok(FilePart {
            bytes: bytes.ok_or_else(absent)?,
            total_bytes: file.size_bytes,
        })
    }

    fn stored(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<Option<StoredFile>, Problem> {
        self.store
            .stored_file(scope, hash, variant)
            .map_err(|error| problem_of(&error))
    }
}

fn check_size(variant: PhotoVariant, size_bytes: u64) -> Result<(), Problem> {
    let (what, max) = match variant {
        PhotoVariant::Full => ("photo or file", PHOTO_BYTES_MAX),
        PhotoVariant::Thumb => ("thumbnail", THUMB_BYTES_MAX),
    };
    if size_bytes <= max {
        return Ok(());
    }
    Err(Problem::new(
        ErrorCode::OverLimit,
        format!("a {what} has at most {max} bytes, and this one {size_bytes}"),
    ))
}

fn progress(
    hash: &ContentHash,
    variant: PhotoVariant,
    received_bytes: u64,
    state: PhotoState,
) -> PhotoProgress {
    PhotoProgress {
        hash: *hash,
        variant,
        received_bytes,
        state,
    }
}

fn mismatch(detail: &str) -> Problem {
    Problem::new(
        ErrorCode::PhotoHashMismatch,
        format!("{detail}; the parts were dropped, send it again from the start"),
    )
}

fn files_problem(error: &FilesError) -> Problem {
    match error {
        FilesError::Mismatch => {
            mismatch("the bytes that arrived have another hash or size than was stated")
        }
        FilesError::DiskFull => Problem::new(
            ErrorCode::StorageFull,
            "this part was not stored; free space and try again",
        ),
        FilesError::Io { .. } => {
            tracing::error!(error = %crate::log::Chain(error), "the attachment folder failed");
            Problem::new(
                ErrorCode::Unavailable,
                "this part was not stored; try again in a moment",
            )
        }
    }
}
