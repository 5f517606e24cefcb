//! A picture comes in: dropped, pasted, chosen, taken, or from the watched folder.
//!
//! It is turned upright, scaled and freed of everything but pixels, kept under its hash, queued for sending, and only then
//! recorded: an entry never names a picture that is not safely here.

use domain::fact::{Fact, PhotoAdded, PhotoPlace};
use domain::{ContentHash, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::desk::Desk;
use crate::error::DeskError;

/// Where a picture goes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PhotoTarget {
    /// The job or parcel.
    pub subject: Subject,
    /// Its place in the notebook.
    pub place: PhotoPlace,
    /// What it shows; may be empty.
    pub caption: String,
    /// The picture from before that it is set beside, for one taken after.
    pub beside: Option<ContentHash>,
}

impl Desk {
    /// Takes a picture in and records it. Returns what was recorded.
    pub fn take_photo(&self, bytes: &[u8], target: &PhotoTarget) -> Result<PhotoAdded, DeskError> {
        self.person_id()?;
        let picture = photos::intake(bytes, &photos::Limits::default())?;
        let kept = self.files.put(&picture.jpeg)?;
        let thumbnail = self.files.put(&picture.thumbnail_jpeg)?;
        // The small one first: it is what lists and the portal show.
        self.keep_file(thumbnail.hash, thumbnail.size_bytes)?;
        self.keep_file(kept.hash, kept.size_bytes)?;
        let photo = PhotoAdded {
            hash: kept.hash,
            thumbnail_hash: thumbnail.hash,
            size_bytes: kept.size_bytes,
            thumbnail_size_bytes: thumbnail.size_bytes,
            width_px: picture.width_px,
            height_px: picture.height_px,
            place: target.place,
            caption: target.caption.trim().to_owned(),
            beside: target.beside,
        };
        let fact = match target.subject {
            Subject::Job(job_id) => {
                self.job(job_id)?;
                Fact::PhotoAdded(photo.clone())
            }
            Subject::Parcel(parcel_id) => {
                self.parcel(parcel_id)?;
                Fact::ParcelPhotoAdded(photo.clone())
            }
            Subject::Lab(_) | Subject::Person(_) | Subject::Shop(_) => {
                return Err(DeskError::refused("a picture belongs to a job or a parcel; open one first"));
            }
        };
        self.record(target.subject, fact)?;
        Ok(photo)
    }

    /// The bytes of a picture or file, from this computer or, if it isn't here, from the server.
    pub fn file_bytes(&self, hash: &ContentHash) -> Result<Vec<u8>, DeskError> {
        if self.files.contains(hash)? {
            return Ok(self.files.get(hash)?);
        }
        self.fetch_file(hash)
    }
}
