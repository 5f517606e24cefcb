//! What can go wrong with a stored file. Every error of the disk carries the path and its cause.

use std::io;
use std::path::{Path, PathBuf};

use domain::ContentHash;

/// A store operation that didn't succeed. Unless a variant says otherwise, what was visible before still is, and nothing
/// new is.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// A folder of the store could not be made.
    #[error("making the folder {}", path.display())]
    MakeFolder {
        /// The folder.
        path: PathBuf,
        /// The cause.
        #[source]
        source: io::Error,
    },
    /// The bytes to be stored could not be read.
    #[error("reading the bytes to be stored")]
    ReadInput {
        /// The cause.
        #[source]
        source: io::Error,
    },
    /// Bytes could not be written or not be brought onto the disk.
    #[error("writing {}", path.display())]
    Write {
        /// The temporary file.
        path: PathBuf,
        /// The cause.
        #[source]
        source: io::Error,
    },
    /// A complete file could not be put in its place. It may be visible or not; storing it again settles that.
    #[error("putting {} in its place", path.display())]
    MakeVisible {
        /// The place.
        path: PathBuf,
        /// The cause.
        #[source]
        source: io::Error,
    },
    /// A stored file or folder could not be read.
    #[error("reading {}", path.display())]
    Read {
        /// The file or folder.
        path: PathBuf,
        /// The cause.
        #[source]
        source: io::Error,
    },
    /// A file could not be removed.
    #[error("removing {}", path.display())]
    Remove {
        /// The file.
        path: PathBuf,
        /// The cause.
        #[source]
        source: io::Error,
    },
    /// No file of this hash is stored.
    #[error("no file {hash} is stored here")]
    NotStored {
        /// The hash asked for.
        hash: ContentHash,
    },
    /// A stored file's bytes have changed since it was stored.
    #[error("the stored file {} no longer matches its hash; restore it from a backup", path.display())]
    Altered {
        /// Where it lies.
        path: PathBuf,
    },
    /// More bytes than [`Limits::file_bytes_max`](crate::Limits).
    #[error("a file may have at most {limit_bytes} bytes")]
    FileTooLarge {
        /// The limit.
        limit_bytes: u64,
    },
    /// More bytes in one part than [`Limits::part_bytes_max`](crate::Limits).
    #[error(
        "a part of {size_bytes} bytes is too large; send at most {limit_bytes} bytes at a time"
    )]
    PartTooLarge {
        /// The part's size.
        size_bytes: usize,
        /// The limit.
        limit_bytes: usize,
    },
    /// A part that doesn't follow what is already here. Go on from `expected`.
    #[error("the part starts at {given} and must start at {expected}")]
    WrongOffset {
        /// Where the next part must start.
        expected: u64,
        /// Where the given part starts.
        given: u64,
    },
    /// A part that reaches past the declared size. None of it was kept.
    #[error("the part ends at {end_bytes}, past the declared size of {size_bytes} bytes")]
    PastEnd {
        /// Where the part would end.
        end_bytes: u64,
        /// The declared size.
        size_bytes: u64,
    },
    /// An upload that was to be finished and has bytes missing. Go on from `offset`.
    #[error("{offset} of {size_bytes} bytes are here; send the rest first")]
    Incomplete {
        /// Where the next part must start.
        offset: u64,
        /// The declared size.
        size_bytes: u64,
    },
    /// All bytes of an upload came and are not those that were declared. They have been removed; start again.
    #[error(
        "the bytes have the hash {found} and not the declared {declared}; send the file again from its start"
    )]
    WrongHash {
        /// The declared hash.
        declared: ContentHash,
        /// The hash of what came.
        found: ContentHash,
    },
}

impl StoreError {
    /// Whether trying the same again can't succeed.
    pub fn is_permanent(&self) -> bool {
        matches!(
            self,
            Self::FileTooLarge { .. }
                | Self::PartTooLarge { .. }
                | Self::PastEnd { .. }
                | Self::Altered { .. }
        )
    }

    /// Whether the disk, or what this user may use of it, is full.
    pub fn is_disk_full(&self) -> bool {
        let (Self::MakeFolder { source, .. }
        | Self::Write { source, .. }
        | Self::MakeVisible { source, .. }) = self
        else {
            return false;
        };
        matches!(
            source.kind(),
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded
        )
    }

    pub(crate) fn write(path: &Path) -> impl FnOnce(io::Error) -> Self + use<> {
        let path = path.to_owned();
        |source| Self::Write { path, source }
    }

    pub(crate) fn make_visible(path: &Path) -> impl FnOnce(io::Error) -> Self + use<> {
        let path = path.to_owned();
        |source| Self::MakeVisible { path, source }
    }

    pub(crate) fn read(path: &Path) -> impl FnOnce(io::Error) -> Self + use<> {
        let path = path.to_owned();
        |source| Self::Read { path, source }
    }
}
