//! Uploads that go on after a break: parts are appended to a file beside the stored ones, which becomes a stored file
//! only when all of it is there and has the declared hash. Must never make a file visible on the sender's word alone.

use std::fs::{File, OpenOptions};
use std::io::{self, Seek, SeekFrom};
use std::path::PathBuf;

use domain::ContentHash;
use serde::{Deserialize, Serialize};

use crate::durable::Sink;
use crate::store::{remove_file, size_of_file};
use crate::{Store, StoreError, Stored, hash_of_reader};

/// What a sender declares before it sends: it names the upload. Two senders that declare the same send the same file and
/// may take turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Upload {
    /// The file's hash.
    pub hash: ContentHash,
    /// The file's size.
    pub size_bytes: u64,
}

impl Store {
    /// Where the next part must start. 0 when nothing has come yet; the whole size when the file is already stored.
    pub fn upload_offset(&self, upload: &Upload) -> Result<u64, StoreError> {
        self.check_declared(upload)?;
        if self.is_stored(upload)? {
            return Ok(upload.size_bytes);
        }
        Ok(size_of_file(&self.part_path(upload))?.unwrap_or(0))
    }

    /// Appends a part that starts at `offset`, and returns where the next must start. On success the part is on the
    /// disk. After an error of the disk some of it may be kept: ask for the offset and go on from there.
    pub fn append_at(&self, upload: &Upload, offset: u64, part: &[u8]) -> Result<u64, StoreError> {
        self.append_through(upload, offset, part, |file| file)
    }

    /// Appends through whatever `wrap` makes of the file.
    pub(crate) fn append_through<S: Sink>(
        &self,
        upload: &Upload,
        offset: u64,
        part: &[u8],
        wrap: impl FnOnce(File) -> S,
    ) -> Result<u64, StoreError> {
        self.check_declared(upload)?;
        let limit_bytes = self.limits().part_bytes_max;
        if part.len() > limit_bytes {
            return Err(StoreError::PartTooLarge {
                size_bytes: part.len(),
                limit_bytes,
            });
        }
        if self.is_stored(upload)? {
            return match (offset == upload.size_bytes, part) {
                (true, []) => Ok(offset),
                _ => Err(StoreError::WrongOffset {
                    expected: upload.size_bytes,
                    given: offset,
                }),
            };
        }
        let path = self.part_path(upload);
        let write_error = || StoreError::write(&path);
        let mut file = OpenOptions::new()
            .append(true)
            .create(true)
            .open(&path)
            .map_err(write_error())?;
        // Two connections with the same upload, in this process or another: one waits, and is then told the offset.
        file.lock().map_err(write_error())?;
        let expected = file.seek(SeekFrom::End(0)).map_err(write_error())?;
        if offset != expected {
            return Err(StoreError::WrongOffset {
                expected,
                given: offset,
            });
        }
        let end_bytes = offset + part.len() as u64;
        if end_bytes > upload.size_bytes {
            return Err(StoreError::PastEnd {
                end_bytes,
                size_bytes: upload.size_bytes,
            });
        }
        let mut sink = wrap(file);
        sink.write_all(part)
            .and_then(|()| sink.sync())
            .map_err(write_error())?;
        Ok(end_bytes)
    }

    /// Hashes everything that came and makes the file visible if it is what was declared. A file that isn't is removed.
    /// Finishing again, after the first answer was lost, succeeds again.
    pub fn finish(&self, upload: &Upload) -> Result<Stored, StoreError> {
        self.check_declared(upload)?;
        if self.is_stored(upload)? {
            self.abandon(upload)?;
            return Ok(Stored {
                hash: upload.hash,
                size_bytes: upload.size_bytes,
            });
        }
        // An empty file has no part that would have made it.
        if upload.size_bytes == 0 {
            return self.finish_empty(upload);
        }
        let path = self.part_path(upload);
        let missing = |offset| StoreError::Incomplete {
            offset,
            size_bytes: upload.size_bytes,
        };
        let file = match OpenOptions::new().read(true).append(true).open(&path) {
            Ok(file) => file,
            // Nothing came, or someone else has finished this upload just now.
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                let stored = Stored {
                    hash: upload.hash,
                    size_bytes: upload.size_bytes,
                };
                return if self.is_stored(upload)? {
                    Ok(stored)
                } else {
                    Err(missing(0))
                };
            }
            Err(error) => return Err(StoreError::read(&path)(error)),
        };
        file.lock().map_err(StoreError::read(&path))?;
        let found = hash_of_reader(&file).map_err(StoreError::read(&path))?;
        if found.size_bytes < upload.size_bytes {
            return Err(missing(found.size_bytes));
        }
        file.sync_all().map_err(StoreError::write(&path))?;
        // The lock is held until the file has been moved or removed: someone else who finishes the same upload then finds
        // it stored.
        if found.hash != upload.hash {
            remove_file(&path)?;
            return Err(StoreError::WrongHash {
                declared: upload.hash,
                found: found.hash,
            });
        }
        let stored = self.make_visible(&path, found);
        drop(file);
        stored
    }

    /// Forgets an upload that has begun. Says whether there was one.
    pub fn abandon(&self, upload: &Upload) -> Result<bool, StoreError> {
        remove_file(&self.part_path(upload))
    }

    fn finish_empty(&self, upload: &Upload) -> Result<Stored, StoreError> {
        let found = crate::hash_of(&[]);
        if found != upload.hash {
            return Err(StoreError::WrongHash {
                declared: upload.hash,
                found,
            });
        }
        self.put(&[])
    }

    fn check_declared(&self, upload: &Upload) -> Result<(), StoreError> {
        let limit_bytes = self.limits().file_bytes_max;
        if upload.size_bytes > limit_bytes {
            Err(StoreError::FileTooLarge { limit_bytes })
        } else {
            Ok(())
        }
    }

    /// Whether the declared file is stored already. One of another size is taken as not stored: either it was damaged
    /// from outside, and the upload will replace it, or the declared size is wrong, and the hash will never match.
    fn is_stored(&self, upload: &Upload) -> Result<bool, StoreError> {
        Ok(self.size(&upload.hash)? == Some(upload.size_bytes))
    }

    /// The size is part of the name, so that a sender who declares a wrong one can't spoil another's upload.
    fn part_path(&self, upload: &Upload) -> PathBuf {
        self.uploads_folder()
            .join(format!("{}-{}", upload.hash, upload.size_bytes))
    }
}
