//! What can go wrong in the store, in sentences for the person at the screen.

use std::path::PathBuf;

use domain::{EntryId, LabId, StreamId};
use logbook::{EntryError, KindError, SealError, StreamError};

/// A store operation that did not happen. Whatever the variant, nothing of it is left behind.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No room on the disk.
    #[error("the disk is full, so this was not saved; free some space and record it again")]
    DiskFull,
    /// Another program holds the file.
    #[error("the lab's file is in use by another program; close it and try again")]
    Busy(#[source] rusqlite::Error),
    /// The file can't be opened.
    #[error(
        "the lab's file {path} can't be opened; check that the disk is there and may be written to"
    )]
    Open {
        /// The file.
        path: PathBuf,
        /// The reason.
        #[source]
        source: rusqlite::Error,
    },
    /// The file was written by a newer program.
    #[error(
        "the lab's file was last used by a newer version of the program (format {found}, this one knows {known}); update this computer"
    )]
    TooNew {
        /// Its format.
        found: i64,
        /// The newest format known here.
        known: i64,
    },
    /// The file isn't what it should be.
    #[error(
        "the lab's file is damaged: {detail}; restore the last backup, and the server will give back what came after it"
    )]
    Damaged {
        /// What was found.
        detail: String,
    },
    /// A file beside the database can't be read or written.
    #[error("the file {path} can't be read or written")]
    File {
        /// The file.
        path: PathBuf,
        /// The reason.
        #[source]
        source: std::io::Error,
    },
    /// Something the database refused.
    #[error("the lab's file could not be used while {doing}")]
    Database {
        /// What was being done.
        doing: &'static str,
        /// The reason.
        #[source]
        source: rusqlite::Error,
    },
    /// No lab yet.
    #[error("this computer does not belong to a lab yet; found one or join one in Setup first")]
    NoLab,
    /// A lab is here already.
    #[error(
        "this computer already belongs to lab {lab_id}; restore the backup into an empty folder"
    )]
    HasLab {
        /// The lab.
        lab_id: LabId,
    },
    /// It belongs to another.
    #[error(
        "this computer belongs to the lab {ours}, and {theirs} is another one; two labs are never mixed in one file"
    )]
    OtherLab {
        /// The lab of this file.
        ours: LabId,
        /// The lab offered.
        theirs: LabId,
    },
    /// More than an entry may hold.
    #[error("this is too large to record ({bytes} bytes; at most {max}); add it as a file instead")]
    PayloadTooLarge {
        /// Its size.
        bytes: usize,
        /// The limit.
        max: usize,
    },
    /// Nothing to write.
    #[error("an action records at least one entry")]
    NothingToRecord,
    /// A kind of the wrong shape.
    #[error(transparent)]
    Kind(#[from] KindError),
    /// Not fit for an envelope.
    #[error(transparent)]
    Seal(#[from] SealError),
    /// An entry from elsewhere that doesn't prove itself.
    #[error(
        "the server sent an entry that does not prove itself, so nothing of that page was taken"
    )]
    BadEntry(#[from] EntryError),
    /// An entry from elsewhere of another lab.
    #[error("the server sent entry {entry_id} of another lab, so nothing of that page was taken")]
    ForeignEntry {
        /// The entry.
        entry_id: EntryId,
    },
    /// A page with a hole in it.
    #[error(
        "the server sent position {found} of stream {stream_id} where {expected} is missing, so nothing of that page was taken"
    )]
    Gap {
        /// The stream.
        stream_id: StreamId,
        /// The position that should come.
        expected: u64,
        /// The position that came.
        found: u64,
    },
    /// A stream whose key isn't known, or is another.
    #[error(
        "the server sent stream {stream_id} without its key or under another key than before, so nothing of that page was taken"
    )]
    StreamKey {
        /// The stream.
        stream_id: StreamId,
    },
    /// A page that doesn't continue the log.
    #[error(
        "the server's page does not continue the log this computer has read, so nothing of it was taken"
    )]
    Digest,
    /// A stream here that doesn't hang together.
    #[error("a stream in the lab's file does not prove itself")]
    Stream(#[from] StreamError),
}

impl StoreError {
    /// Wraps a database error, telling the ones apart that a person can act on.
    pub(crate) fn database(doing: &'static str) -> impl FnOnce(rusqlite::Error) -> Self {
        move |source| match source.sqlite_error_code() {
            Some(rusqlite::ErrorCode::DiskFull) => Self::DiskFull,
            Some(rusqlite::ErrorCode::DatabaseBusy | rusqlite::ErrorCode::DatabaseLocked) => {
                Self::Busy(source)
            }
            Some(rusqlite::ErrorCode::DatabaseCorrupt | rusqlite::ErrorCode::NotADatabase) => {
                Self::Damaged {
                    detail: source.to_string(),
                }
            }
            _ => Self::Database { doing, source },
        }
    }
}
