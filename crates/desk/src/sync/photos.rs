//! Photos: up one at a time behind the entries, down when somebody looks.

use domain::ContentHash;
use sha2::{Digest as _, Sha256};
use sync_protocol::limits::PHOTO_PART_BYTES_MAX;
use sync_protocol::{ErrorCode, FinishPhoto, PhotoState, PhotoVariant, SyncError, SyncProtocol};

use super::backoff::backoff_ms;
use super::round::RoundError;
use crate::ports::PhotoFiles;
use crate::store::{LocalPhoto, PhotoUpload, PhotoWhere, Store};

/// Tries after which a photo that keeps arriving damaged is checked here, and given up if it is damaged here.
const DAMAGED_TRIES_MAX: u32 = 3;

/// What one step of uploading did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhotoStep {
    /// Nothing is due.
    Nothing,
    /// A part was sent; the same photo goes on.
    Sent {
        /// Bytes of the part.
        bytes: u64,
    },
    /// The server holds a picture and has checked it.
    Verified {
        /// Bytes of the last part, if this step sent one.
        bytes: u64,
    },
    /// It failed and will be tried again.
    Later,
    /// It was given up, with a reason people can read.
    Refused,
}

/// Does the next small piece of uploading: at most one part of one picture.
///
/// Resumes where the server says it stands, so it may be broken off anywhere. An error means that the server can't be reached or
/// refuses everything; what concerns one photo only is noted with that photo.
pub fn upload_next(
    store: &Store,
    files: &dyn PhotoFiles,
    server: &dyn SyncProtocol,
) -> Result<PhotoStep, RoundError> {
    let Some(upload) = store.next_upload(store.ports().clock.now_ms())? else {
        return Ok(PhotoStep::Nothing);
    };
    match step(store, files, server, &upload) {
        Err(RoundError::Server(SyncError::Refused(problem))) => {
            refused(store, files, &upload, problem.code, problem.detail)
        }
        other => other,
    }
}

fn step(
    store: &Store,
    files: &dyn PhotoFiles,
    server: &dyn SyncProtocol,
    upload: &PhotoUpload,
) -> Result<PhotoStep, RoundError> {
    let PhotoUpload {
        hash,
        variant,
        size_bytes,
        content_hash,
        ..
    } = *upload;
    let progress = server.photo_progress(&hash, variant)?;
    if progress.state == PhotoState::Stored {
        store.note_upload(&hash, variant, PhotoWhere::Verified, size_bytes)?;
        return Ok(PhotoStep::Verified { bytes: 0 });
    }
    let mut bytes = 0;
    if progress.received_bytes < size_bytes {
        let Ok(part) = files.read_part(
            &hash,
            variant,
            progress.received_bytes,
            PHOTO_PART_BYTES_MAX,
        ) else {
            return give_up(
                store,
                upload,
                "its file is missing or can't be read on this computer",
            );
        };
        if part.is_empty() {
            return give_up(
                store,
                upload,
                "its file on this computer is shorter than it was",
            );
        }
        bytes = part.len() as u64;
        let after = server.photo_part(&hash, variant, progress.received_bytes, &part)?;
        let received_bytes = after.received_bytes.min(size_bytes);
        store.note_upload(&hash, variant, PhotoWhere::Uploading, received_bytes)?;
        if after.received_bytes < size_bytes {
            return Ok(PhotoStep::Sent { bytes });
        }
    }
    store.note_upload(&hash, variant, PhotoWhere::Stored, size_bytes)?;
    let finish = FinishPhoto {
        size_bytes,
        content_hash,
    };
    let finished = server.photo_finish(&hash, variant, &finish)?;
    if finished.state == PhotoState::Stored {
        store.note_upload(&hash, variant, PhotoWhere::Verified, size_bytes)?;
        return Ok(PhotoStep::Verified { bytes });
    }
    // The server lost parts between the last part and the end; it says where to go on.
    let received_bytes = finished.received_bytes.min(size_bytes);
    store.note_upload(&hash, variant, PhotoWhere::Uploading, received_bytes)?;
    Ok(PhotoStep::Sent { bytes })
}

fn refused(
    store: &Store,
    files: &dyn PhotoFiles,
    upload: &PhotoUpload,
    code: ErrorCode,
    detail: String,
) -> Result<PhotoStep, RoundError> {
    match code {
        ErrorCode::OverLimit | ErrorCode::BadRequest => give_up(store, upload, &detail),
        ErrorCode::PhotoHashMismatch
            if upload.tries + 1 >= DAMAGED_TRIES_MAX && !is_sound(files, upload) =>
        {
            give_up(store, upload, "its file on this computer is damaged")
        }
        ErrorCode::PhotoHashMismatch | ErrorCode::PhotoAbsent => {
            let random = u64::from_be_bytes(store.ports().random_bytes());
            let wait_ms = backoff_ms(upload.tries + 1, random);
            let next_try_ms = store.ports().clock.now_ms().saturating_add(wait_ms);
            store.note_upload_failed(&upload.hash, &detail, next_try_ms)?;
            Ok(PhotoStep::Later)
        }
        _ => Err(SyncError::Refused(sync_protocol::Problem::new(code, detail)).into()),
    }
}

fn give_up(store: &Store, upload: &PhotoUpload, reason: &str) -> Result<PhotoStep, RoundError> {
    store.note_upload(&upload.hash, upload.variant, PhotoWhere::Refused, 0)?;
    store.note_upload_failed(&upload.hash, reason, 0)?;
    Ok(PhotoStep::Refused)
}

fn is_sound(files: &dyn PhotoFiles, upload: &PhotoUpload) -> bool {
    let mut hasher = Sha256::new();
    let mut offset = 0;
    while offset < upload.size_bytes {
        match files.read_part(&upload.hash, upload.variant, offset, PHOTO_PART_BYTES_MAX) {
            Ok(part) if !part.is_empty() => {
                hasher.update(&part);
                offset += part.len() as u64;
            }
            _ => return false,
        }
    }
    offset == upload.size_bytes && hasher.finalize()[..] == upload.content_hash.as_bytes()[..]
}

/// Makes sure that a picture is here, fetching it when it isn't. The hash of a full picture is checked before it is kept.
pub fn fetch_photo(
    store: &Store,
    files: &dyn PhotoFiles,
    server: &dyn SyncProtocol,
    hash: &ContentHash,
    variant: PhotoVariant,
) -> Result<(), RoundError> {
    if files.holds(hash, variant) {
        return Ok(());
    }
    let bytes = server.photo_download(hash, variant)?;
    let found = ContentHash::from_bytes(Sha256::digest(&bytes).into());
    if variant == PhotoVariant::Full && found != *hash {
        return Err(SyncError::Refused(sync_protocol::Problem::new(
            ErrorCode::PhotoHashMismatch,
            "the picture arrived damaged; it will be fetched again",
        ))
        .into());
    }
    files
        .write(hash, variant, &bytes)
        .map_err(|source| crate::store::StoreError::File {
            path: hash.to_string().into(),
            source,
        })?;
    if variant == PhotoVariant::Full {
        store.note_fetched_photo(&LocalPhoto {
            hash: *hash,
            size_bytes: bytes.len() as u64,
            thumb: None,
        })?;
    }
    Ok(())
}
