//! A picture comes in: dropped, pasted, chosen, taken, or from the watched folder.
//!
//! It is turned upright, scaled and freed of everything but pixels, kept under its hash, queued for sending, and only then
//! recorded: an entry never names a picture that is not safely here.

use domain::fact::{Fact, PhotoAdded, PhotoPlace};
use domain::{ContentHash, Subject};
use serde::{Deserialize, Serialize};
use sync_protocol::PhotoVariant;
use ts_rs::TS;

use crate::desk::Desk;
use crate::error::DeskError;
use crate::ports::PhotoFiles as _;

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
        let kept = self.keep_picture(&picture)?;
        let photo = PhotoAdded {
            hash: kept.hash,
            size_bytes: kept.size_bytes,
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
            Subject::Cell(cell_id) => {
                self.cell(cell_id)?;
                Fact::PhotoAdded(photo.clone())
            }
            Subject::Lab(_) | Subject::Person(_) | Subject::Shop(_) => {
                return Err(DeskError::refused(
                    "a picture belongs to a job, a parcel or a cell; open one first",
                ));
            }
        };
        self.record(target.subject, fact)?;
        Ok(photo)
    }

    /// Keeps a picture and its thumbnail under the picture's hash, and queues both for sending. Records nothing.
    pub(crate) fn keep_picture(
        &self,
        picture: &photos::Picture,
    ) -> Result<attachments::Stored, DeskError> {
        let kept = self.files.whole().put(&picture.jpeg)?;
        self.files
            .write(&kept.hash, PhotoVariant::Thumb, &picture.thumbnail_jpeg)
            .map_err(|source| DeskError::File {
                path: "the thumbnail".to_owned(),
                action: "written",
                source,
            })?;
        let thumbnail = (
            attachments::hash_of(&picture.thumbnail_jpeg),
            picture.thumbnail_jpeg.len() as u64,
        );
        self.keep_file(kept.hash, kept.size_bytes, Some(thumbnail))?;
        Ok(kept)
    }

    /// Fetches the picture of the lab's mark if another desktop took it in. Papers do without it meanwhile, and whoever can't
    /// reach the server now gets it at the next change or start.
    pub(crate) fn fetch_mark(&self) {
        let mark = self.lab().ok().and_then(|lab| lab.mark.value().cloned());
        if let Some(picture) = mark.and_then(|mark| mark.picture)
            && let Err(error) = self.file_bytes(&picture.hash)
        {
            tracing::info!(%error, "the lab's mark is not here yet");
        }
    }

    /// The bytes of a picture or file, from this computer or, if it isn't here, from the server.
    pub fn file_bytes(&self, hash: &ContentHash) -> Result<Vec<u8>, DeskError> {
        if !self.files.whole().contains(hash)? {
            self.fetch_file(hash, PhotoVariant::Full)?;
        }
        Ok(self.files.whole().get(hash)?)
    }

    /// The bytes of a picture's thumbnail, likewise.
    pub fn thumbnail_bytes(&self, hash: &ContentHash) -> Result<Vec<u8>, DeskError> {
        if !self.files.holds(hash, PhotoVariant::Thumb) {
            self.fetch_file(hash, PhotoVariant::Thumb)?;
        }
        let path = "the thumbnail".to_owned();
        self.files
            .thumbnail(hash)
            .map_err(|source| DeskError::File {
                path,
                action: "read",
                source,
            })
    }
}
