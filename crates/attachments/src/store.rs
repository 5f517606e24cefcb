//! The store itself: taking files in, giving them out, listing and removing them. Must never write to a visible file.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::process;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::SystemTime;

use domain::ContentHash;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::durable::{self, Sink};
use crate::{CHUNK_BYTES, StoreError, hash_of_reader, read_some};

/// Complete files: `blobs/ab/cdef…`, the hash's 64 digits with a stroke after the first two, so that a hundred thousand
/// files make 256 folders of four hundred.
const BLOBS: &str = "blobs";
/// Files being taken in.
const TEMPORARY: &str = "temporary";
/// Uploads that have begun.
const UPLOADS: &str = "uploads";

/// How large things may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// The size of a stored file at most. A photo has 0.5 MB, a return report 2 MB, a current trace 10 MB.
    pub file_bytes_max: u64,
    /// The size of one uploaded part at most. 8 MiB take 0.7 s at 100 Mbit/s and 67 s at 1 Mbit/s, which is what is lost
    /// when a line breaks.
    pub part_bytes_max: usize,
}

impl Default for Limits {
    /// 128 MiB a file, 8 MiB a part.
    fn default() -> Self {
        Self {
            file_bytes_max: 128 * 1024 * 1024,
            part_bytes_max: 8 * 1024 * 1024,
        }
    }
}

/// A file that is stored, whole and on the disk.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stored {
    /// Its name.
    pub hash: ContentHash,
    /// Its size.
    pub size_bytes: u64,
}

/// A folder of files named by their content. Can be shared between threads, and opened by several processes at once.
#[derive(Debug)]
pub struct Store {
    root: PathBuf,
    limits: Limits,
}

/// Numbers temporary files within this process; the process id tells processes apart.
static NEXT_TEMPORARY: AtomicU64 = AtomicU64::new(0);

impl Store {
    /// Opens the store in a folder, and makes the folder if there's none.
    pub fn open(root: impl Into<PathBuf>, limits: Limits) -> Result<Self, StoreError> {
        let root = root.into();
        for folder in [BLOBS, TEMPORARY, UPLOADS] {
            let path = root.join(folder);
            durable::make_folder(&path)
                .map_err(|source| StoreError::MakeFolder { path, source })?;
        }
        Ok(Self { root, limits })
    }

    /// Stores bytes. Bytes that are already stored are fine.
    pub fn put(&self, bytes: &[u8]) -> Result<Stored, StoreError> {
        self.put_reader(bytes)
    }

    /// Stores everything up to the reader's end without holding it in memory. On success the file is on the disk and
    /// survives a power cut; on failure nothing of it is visible.
    pub fn put_reader(&self, reader: impl Read) -> Result<Stored, StoreError> {
        self.put_through(reader, |file| file)
    }

    /// Stores through whatever `wrap` makes of the temporary file.
    pub(crate) fn put_through<S: Sink>(
        &self,
        reader: impl Read,
        wrap: impl FnOnce(File) -> S,
    ) -> Result<Stored, StoreError> {
        let (file, path) = self.create_temporary()?;
        let result = write_hashed(reader, &mut wrap(file), &path, self.limits.file_bytes_max)
            .and_then(|stored| self.make_visible(&path, stored));
        if result.is_err() {
            // Best effort: what stays is swept later, and the first error is the one that matters.
            let _ = fs::remove_file(&path);
        }
        result
    }

    /// Moves a complete, synced file into its place. A file already there with the right size stays as it is; one with
    /// a wrong size was damaged from outside and is replaced by the good one.
    pub(crate) fn make_visible(&self, source: &Path, stored: Stored) -> Result<Stored, StoreError> {
        let target = self.path_of(&stored.hash);
        if self.size(&stored.hash)? == Some(stored.size_bytes) {
            remove_file(source)?;
            return Ok(stored);
        }
        if let Some(folder) = target.parent() {
            durable::make_folder(folder).map_err(|source| StoreError::MakeFolder {
                path: folder.to_owned(),
                source,
            })?;
        }
        durable::rename(source, &target).map_err(StoreError::make_visible(&target))?;
        Ok(stored)
    }

    /// Reads a file whole and checks it against its hash.
    pub fn get(&self, hash: &ContentHash) -> Result<Vec<u8>, StoreError> {
        let mut bytes = Vec::new();
        self.open_reader(hash)?
            .read_to_end(&mut bytes)
            .map_err(StoreError::read(&self.path_of(hash)))?;
        if crate::hash_of(&bytes) != *hash {
            return Err(StoreError::Altered {
                path: self.path_of(hash),
            });
        }
        Ok(bytes)
    }

    /// Opens a file to be read bit by bit. The bytes aren't checked on the way; see [`Store::verify`].
    pub fn open_reader(&self, hash: &ContentHash) -> Result<File, StoreError> {
        let path = self.path_of(hash);
        File::open(&path).map_err(|source| match source.kind() {
            io::ErrorKind::NotFound => StoreError::NotStored { hash: *hash },
            _ => StoreError::Read { path, source },
        })
    }

    /// Reads a file whole, without keeping it, and checks it against its hash.
    pub fn verify(&self, hash: &ContentHash) -> Result<Stored, StoreError> {
        let path = self.path_of(hash);
        let found = hash_of_reader(self.open_reader(hash)?).map_err(StoreError::read(&path))?;
        if found.hash == *hash {
            Ok(found)
        } else {
            Err(StoreError::Altered { path })
        }
    }

    /// Whether a file of this hash is stored.
    pub fn contains(&self, hash: &ContentHash) -> Result<bool, StoreError> {
        Ok(self.size(hash)?.is_some())
    }

    /// The size of a file in bytes. `None` when it isn't stored.
    pub fn size(&self, hash: &ContentHash) -> Result<Option<u64>, StoreError> {
        size_of_file(&self.path_of(hash))
    }

    /// Where a file of this hash lies, or would lie.
    pub fn path_of(&self, hash: &ContentHash) -> PathBuf {
        let digits = hash.to_string();
        let (folder, name) = digits.split_at(2);
        self.root.join(BLOBS).join(folder).join(name)
    }

    /// Removes a file. Says whether there was one.
    ///
    /// The store doesn't know what still needs the file; that is for the caller to be sure of.
    pub fn remove(&self, hash: &ContentHash) -> Result<bool, StoreError> {
        remove_file(&self.path_of(hash))
    }

    /// Lists every stored file's hash, sorted. Files that aren't named by a hash are passed over.
    pub fn hashes(&self) -> Result<Vec<ContentHash>, StoreError> {
        let mut hashes = Vec::new();
        for folder in entries(&self.root.join(BLOBS))? {
            if !folder.path.is_dir() {
                continue;
            }
            let named = entries(&folder.path)?.into_iter();
            hashes.extend(named.filter_map(|file| {
                format!("{}{}", folder.name, file.name)
                    .parse::<ContentHash>()
                    .ok()
            }));
        }
        // Names written by hand in upper case parse too, and aren't those this store would look for.
        hashes.retain(|hash| self.path_of(hash).is_file());
        hashes.sort_unstable();
        hashes.dedup();
        Ok(hashes)
    }

    /// Removes files that were being taken in and haven't been written to since `before`, and says how many. Called at
    /// start with a time an hour back, so that another process's work isn't touched.
    pub fn sweep_temporary(&self, before: SystemTime) -> Result<usize, StoreError> {
        sweep(&self.root.join(TEMPORARY), before)
    }

    /// Removes uploads that nobody has gone on with since `before`, and says how many.
    pub fn sweep_uploads(&self, before: SystemTime) -> Result<usize, StoreError> {
        sweep(&self.uploads_folder(), before)
    }

    /// What this store was opened with.
    pub fn limits(&self) -> Limits {
        self.limits
    }

    pub(crate) fn uploads_folder(&self) -> PathBuf {
        self.root.join(UPLOADS)
    }

    /// Makes a new file that nobody else has.
    fn create_temporary(&self) -> Result<(File, PathBuf), StoreError> {
        loop {
            let number = NEXT_TEMPORARY.fetch_add(1, Ordering::Relaxed);
            let path = self
                .root
                .join(TEMPORARY)
                .join(format!("{}-{number}", process::id()));
            match OpenOptions::new().write(true).create_new(true).open(&path) {
                Ok(file) => return Ok((file, path)),
                // Left behind by an earlier process that had the same id.
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(source) => return Err(StoreError::Write { path, source }),
            }
        }
    }
}

/// Copies to the end of `reader`, hashing on the way, and brings it onto the disk.
fn write_hashed(
    mut reader: impl Read,
    sink: &mut impl Sink,
    path: &Path,
    limit_bytes: u64,
) -> Result<Stored, StoreError> {
    let mut hasher = Sha256::new();
    let mut size_bytes = 0;
    let mut chunk = vec![0; CHUNK_BYTES];
    loop {
        let count = read_some(&mut reader, &mut chunk)
            .map_err(|source| StoreError::ReadInput { source })?;
        if count == 0 {
            break;
        }
        size_bytes += count as u64;
        if size_bytes > limit_bytes {
            return Err(StoreError::FileTooLarge { limit_bytes });
        }
        hasher.update(&chunk[..count]);
        sink.write_all(&chunk[..count])
            .map_err(StoreError::write(path))?;
    }
    sink.sync().map_err(StoreError::write(path))?;
    Ok(Stored {
        hash: ContentHash::from_bytes(hasher.finalize().into()),
        size_bytes,
    })
}

/// A file's size, or `None` when there's no such file.
pub(crate) fn size_of_file(path: &Path) -> Result<Option<u64>, StoreError> {
    match fs::metadata(path) {
        Ok(metadata) => Ok(Some(metadata.len()).filter(|_| metadata.is_file())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(StoreError::read(path)(error)),
    }
}

/// Removes a file and says whether there was one.
pub(crate) fn remove_file(path: &Path) -> Result<bool, StoreError> {
    match fs::remove_file(path) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(source) => Err(StoreError::Remove {
            path: path.to_owned(),
            source,
        }),
    }
}

/// A name in a folder.
struct Entry {
    name: String,
    path: PathBuf,
}

/// Lists a folder. Names that aren't text are none of ours.
fn entries(folder: &Path) -> Result<Vec<Entry>, StoreError> {
    let mut entries = Vec::new();
    for entry in fs::read_dir(folder).map_err(StoreError::read(folder))? {
        let entry = entry.map_err(StoreError::read(folder))?;
        if let Ok(name) = entry.file_name().into_string() {
            entries.push(Entry {
                name,
                path: entry.path(),
            });
        }
    }
    Ok(entries)
}

fn sweep(folder: &Path, before: SystemTime) -> Result<usize, StoreError> {
    let mut removed = 0;
    for entry in entries(folder)? {
        let changed = match fs::metadata(&entry.path).and_then(|metadata| metadata.modified()) {
            Ok(changed) => changed,
            // Finished and moved away in the meantime.
            Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
            Err(error) => return Err(StoreError::read(&entry.path)(error)),
        };
        if changed < before && remove_file(&entry.path)? {
            removed += 1;
        }
    }
    Ok(removed)
}
