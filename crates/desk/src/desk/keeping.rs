//! What lies on the disk besides the logbook's entries: photos, papers, the whole of it as a backup, and whether it is sound.
//!
//! A backup never lies within the folder that it saves.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use ts_rs::TS;

use domain::ContentHash;

use super::{Desk, PAPERS};
use crate::error::DeskError;
use crate::store::{LocalPhoto, PhotoWhere};
use crate::views::PhotoState;

/// A backup that was written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BackedUp {
    /// Where it lies.
    pub path: String,
    /// Entries in it.
    pub entries: u64,
    /// Pictures and files in it.
    pub files: u64,
    /// Its size in bytes.
    pub size_bytes: u64,
}

/// A check of the whole logbook.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Verified {
    /// Entries checked.
    pub entries: u64,
    /// Streams checked.
    pub streams: u64,
    /// What is wrong, in sentences; empty when all is right.
    pub trouble: Vec<String>,
}

impl Desk {
    /// Where each photo's bytes are.
    pub(crate) fn photo_states(
        &self,
        hashes: &[ContentHash],
    ) -> Result<BTreeMap<String, PhotoState>, DeskError> {
        let mut states = BTreeMap::new();
        for hash in hashes {
            let state = match self.store.photo(hash)?.map(|photo| photo.full) {
                Some(PhotoWhere::Verified) => PhotoState::Sent,
                Some(_) => PhotoState::Waiting,
                None if self.files.whole().contains(hash)? => PhotoState::Sent,
                None => PhotoState::Elsewhere,
            };
            states.insert(hash.to_string(), state);
        }
        Ok(states)
    }

    /// Queues a file that is kept here for sending.
    pub(crate) fn keep_file(
        &self,
        hash: ContentHash,
        size_bytes: u64,
        thumbnail: Option<(ContentHash, u64)>,
    ) -> Result<(), DeskError> {
        Ok(self.store.queue_photo(&LocalPhoto {
            hash,
            size_bytes,
            thumb: thumbnail,
        })?)
    }

    /// A paper that was made, by its file name.
    pub fn paper_bytes(&self, name: &str) -> Result<Vec<u8>, DeskError> {
        let path = self.paper_path(name)?;
        std::fs::read(&path).map_err(|_| DeskError::NotFound { what: "paper" })
    }

    /// Where a paper lies. A name with parts of a path in it is no paper's name.
    pub fn paper_path(&self, name: &str) -> Result<PathBuf, DeskError> {
        let is_plain =
            !name.is_empty() && !name.starts_with('.') && !name.contains(['/', '\\', ':']);
        if is_plain {
            Ok(self.options.folder.join(PAPERS).join(name))
        } else {
            Err(DeskError::NotFound { what: "paper" })
        }
    }

    /// Checks every entry of the logbook.
    pub(crate) fn verify(&self) -> Result<Verified, DeskError> {
        let reports = self.store.verify_all()?;
        Ok(Verified {
            entries: reports.iter().map(|report| report.head.seq).sum(),
            streams: u64::try_from(reports.len()).unwrap_or(u64::MAX),
            trouble: reports
                .iter()
                .filter_map(|report| {
                    report
                        .problem
                        .as_ref()
                        .map(|problem| format!("What “{}” wrote: {problem}.", report.name))
                })
                .collect(),
        })
    }

    /// Writes a backup into a folder: the logbook and every file.
    pub(crate) fn back_up(&self, folder: &Path) -> Result<BackedUp, DeskError> {
        let failed = |path: &Path, action| {
            let path = path.display().to_string();
            move |source| DeskError::File {
                path,
                action,
                source,
            }
        };
        if folder.starts_with(&self.options.folder) {
            return Err(DeskError::field(
                "path",
                "choose a folder outside the logbook's own, best on another disk",
            ));
        }
        std::fs::create_dir_all(folder.join("files")).map_err(failed(folder, "written"))?;
        let database = folder.join(crate::store::FILE_NAME);
        self.store.backup_to(&database)?;
        let copy = attachments::Store::open(folder.join("files"), attachments::Limits::default())?;
        let mut size_bytes = std::fs::metadata(&database)
            .map_err(failed(&database, "read"))?
            .len();
        let hashes = self.files.whole().hashes()?;
        for hash in &hashes {
            if !copy.contains(hash)? {
                copy.put_reader(self.files.whole().open_reader(hash)?)?;
            }
            size_bytes += copy.size(hash)?.unwrap_or(0);
        }
        Ok(BackedUp {
            path: folder.display().to_string(),
            entries: self.store.entry_count()?,
            files: u64::try_from(hashes.len()).unwrap_or(u64::MAX),
            size_bytes,
        })
    }
}
