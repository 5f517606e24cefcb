//! Photos and files of a lab on disk: parts as they come, and whole files by their content.
//!
//! Each lab has a folder of its own, because a file shared across labs would tell one what another has. Parts lie apart from
//! whole files, and a part file becomes a whole one only after the server itself has hashed it.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read as _, Seek as _, SeekFrom, Write as _};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use attachments::{Limits, Store};
use domain::{ContentHash, LabId};
use sync_protocol::PhotoVariant;
use sync_protocol::limits::{PHOTO_BYTES_MAX, PHOTO_PART_BYTES_MAX};

use crate::store::{StoreError, StoredFile};

/// The folder within the data folder.
pub const FOLDER: &str = "attachments";

/// Why a part was not taken, or a file not read.
#[derive(Debug, thiserror::Error)]
pub enum FilesError {
    /// The bytes have another hash or size than was stated; they were dropped.
    #[error("the bytes have another hash or size than was stated")]
    Mismatch,
    /// The disk is full.
    #[error("the disk is full")]
    DiskFull,
    /// The disk failed.
    #[error("the attachment folder could not {doing}")]
    Io {
        /// What was being done.
        doing: &'static str,
        /// What the system said.
        #[source]
        source: Box<dyn std::error::Error + Send + Sync>,
    },
}

/// All labs' files.
#[derive(Debug)]
pub struct Files {
    root: PathBuf,
    /// Held while a part is added or a file finished: two desktops may send the same photo at once.
    adding: Mutex<()>,
}

impl Files {
    /// Opens the attachment folder of a data folder, and makes it if missing.
    pub fn open(data: &Path) -> Result<Self, StoreError> {
        let root = data.join(FOLDER);
        fs::create_dir_all(&root).map_err(|source| StoreError::Folder {
            path: root.clone(),
            source,
        })?;
        Ok(Self {
            root,
            adding: Mutex::default(),
        })
    }

    /// Bytes of an unfinished file that are here.
    pub fn received_bytes(
        &self,
        lab_id: LabId,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<u64, FilesError> {
        match fs::metadata(self.part_path(lab_id, hash, variant)) {
            Ok(metadata) => Ok(metadata.len()),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(0),
            Err(error) => Err(failed("look at a part")(error)),
        }
    }

    /// Adds a part if it begins where the file stands; returns where the file stands then.
    pub fn add_part(
        &self,
        lab_id: LabId,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        bytes: &[u8],
    ) -> Result<u64, FilesError> {
        let _one_at_a_time = self.adding.lock().unwrap_or_else(PoisonError::into_inner);
        let received = self.received_bytes(lab_id, hash, variant)?;
        if offset != received || bytes.is_empty() {
            return Ok(received);
        }
        let path = self.part_path(lab_id, hash, variant);
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(failed("make the folder of parts"))?;
        }
        let mut file = OpenOptions::new()
            .create(true)
            .append(true)
            .open(&path)
            .map_err(failed("open a part"))?;
        let written = file.write_all(bytes).and_then(|()| file.sync_data());
        if let Err(error) = written {
            // A torn part would be counted as received: back to where it stood.
            file.set_len(received)
                .map_err(failed("take a torn part back"))?;
            return Err(failed("write a part")(error));
        }
        Ok(received + bytes.len() as u64)
    }

    /// Hashes the whole and shows it only if size and hash are right; else drops the parts.
    pub fn finish(
        &self,
        lab_id: LabId,
        hash: &ContentHash,
        variant: PhotoVariant,
        size_bytes: u64,
        content_hash: &ContentHash,
    ) -> Result<(), FilesError> {
        let _one_at_a_time = self.adding.lock().unwrap_or_else(PoisonError::into_inner);
        let path = self.part_path(lab_id, hash, variant);
        let open = || File::open(&path).map_err(failed("open what was uploaded"));
        if !path.exists() {
            return Err(FilesError::Mismatch);
        }
        let found =
            attachments::hash_of_reader(open()?).map_err(failed("hash what was uploaded"))?;
        if found.size_bytes != size_bytes || found.hash != *content_hash {
            remove(&path)?;
            return Err(FilesError::Mismatch);
        }
        self.store(lab_id)?
            .put_reader(open()?)
            .map_err(store_failed("put a file in its place"))?;
        remove(&path)
    }

    /// Drops what has come of a file.
    pub fn drop_parts(
        &self,
        lab_id: LabId,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<(), FilesError> {
        let _one_at_a_time = self.adding.lock().unwrap_or_else(PoisonError::into_inner);
        remove(&self.part_path(lab_id, hash, variant))
    }

    /// `length` bytes of a whole file from `offset`; `None` if the file is gone from the disk.
    pub fn read(
        &self,
        lab_id: LabId,
        stored: &StoredFile,
        offset: u64,
        length: u64,
    ) -> Result<Option<Vec<u8>>, FilesError> {
        let mut file = match self.store(lab_id)?.open_reader(&stored.bytes_hash) {
            Ok(file) => file,
            Err(attachments::StoreError::NotStored { .. }) => return Ok(None),
            Err(error) => return Err(store_failed("open a file")(error)),
        };
        let mut bytes = Vec::new();
        file.seek(SeekFrom::Start(offset))
            .map_err(failed("read a file"))?;
        file.take(length)
            .read_to_end(&mut bytes)
            .map_err(failed("read a file"))?;
        Ok(Some(bytes))
    }

    fn store(&self, lab_id: LabId) -> Result<Store, FilesError> {
        let limits = Limits {
            file_bytes_max: PHOTO_BYTES_MAX,
            part_bytes_max: PHOTO_PART_BYTES_MAX,
        };
        Store::open(self.root.join(lab_id.to_string()), limits)
            .map_err(store_failed("open the lab's folder"))
    }

    fn part_path(&self, lab_id: LabId, hash: &ContentHash, variant: PhotoVariant) -> PathBuf {
        self.root
            .join(lab_id.to_string())
            .join("parts")
            .join(format!("{hash}.{}", variant.as_str()))
    }
}

fn remove(path: &Path) -> Result<(), FilesError> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            Err(failed("remove a part")(error))
        }
        _ => Ok(()),
    }
}

fn failed(doing: &'static str) -> impl FnOnce(io::Error) -> FilesError {
    move |source| match source.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => FilesError::DiskFull,
        _ => FilesError::Io {
            doing,
            source: Box::new(source),
        },
    }
}

fn store_failed(doing: &'static str) -> impl FnOnce(attachments::StoreError) -> FilesError {
    move |source| {
        if source.is_disk_full() {
            FilesError::DiskFull
        } else {
            FilesError::Io {
                doing,
                source: Box::new(source),
            }
        }
    }
}
