//! The lab's files on this computer: pictures and papers by the hash of their bytes, and thumbnails beside them.
//!
//! A picture's bytes are checked against its hash when they are read. A thumbnail is only ever shown small; it is kept under
//! the hash of its picture, and can be made or fetched again.

use std::io::{self, Read as _, Seek as _, SeekFrom};
use std::path::{Path, PathBuf};

use attachments::StoreError;
use domain::ContentHash;
use sync_protocol::PhotoVariant;

use crate::ports::PhotoFiles;

/// The folder of files.
pub(crate) struct Files {
    whole: attachments::Store,
    thumbnails: PathBuf,
}

impl Files {
    /// Opens the folder, or lays it out.
    pub(crate) fn open(folder: &Path) -> Result<Self, StoreError> {
        let thumbnails = folder.join("thumbnails");
        let whole = attachments::Store::open(folder.join("files"), attachments::Limits::default())?;
        std::fs::create_dir_all(&thumbnails).map_err(|source| StoreError::MakeFolder {
            path: thumbnails.clone(),
            source,
        })?;
        Ok(Self { whole, thumbnails })
    }

    /// Pictures and papers, whole.
    pub(crate) const fn whole(&self) -> &attachments::Store {
        &self.whole
    }

    fn thumbnail_path(&self, hash: &ContentHash) -> PathBuf {
        let name = hash.to_string();
        self.thumbnails.join(&name[..2]).join(name)
    }

    /// The bytes of a picture's thumbnail, if it is here.
    pub(crate) fn thumbnail(&self, hash: &ContentHash) -> io::Result<Vec<u8>> {
        std::fs::read(self.thumbnail_path(hash))
    }
}

/// Turns the file store's error into the one that the sync runner's port speaks.
fn io_error(error: StoreError) -> io::Error {
    io::Error::other(error)
}

fn read_part(mut reader: std::fs::File, offset: u64, length: usize) -> io::Result<Vec<u8>> {
    reader.seek(SeekFrom::Start(offset))?;
    let mut part = Vec::with_capacity(length);
    reader.take(length as u64).read_to_end(&mut part)?;
    Ok(part)
}

impl PhotoFiles for Files {
    fn read_part(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        length: usize,
    ) -> io::Result<Vec<u8>> {
        let reader = match variant {
            PhotoVariant::Full => self.whole.open_reader(hash).map_err(io_error)?,
            PhotoVariant::Thumb => std::fs::File::open(self.thumbnail_path(hash))?,
        };
        read_part(reader, offset, length)
    }

    fn write(&self, hash: &ContentHash, variant: PhotoVariant, bytes: &[u8]) -> io::Result<()> {
        match variant {
            PhotoVariant::Full => self.whole.put(bytes).map(drop).map_err(io_error),
            PhotoVariant::Thumb => {
                let path = self.thumbnail_path(hash);
                if let Some(folder) = path.parent() {
                    std::fs::create_dir_all(folder)?;
                }
                // Written beside and renamed, so that a thumbnail is whole or not there.
                let partial = path.with_extension("partial");
                std::fs::write(&partial, bytes)?;
                std::fs::File::open(&partial)?.sync_all()?;
                std::fs::rename(&partial, &path)
            }
        }
    }

    fn holds(&self, hash: &ContentHash, variant: PhotoVariant) -> bool {
        match variant {
            PhotoVariant::Full => self.whole.contains(hash).unwrap_or(false),
            PhotoVariant::Thumb => self.thumbnail_path(hash).is_file(),
        }
    }
}
