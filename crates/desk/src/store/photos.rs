//! Which photos lie here, and which of them the server has. Their bytes lie in files; this is the queue.
//!
//! Entries never wait for photos: the entry that names one is sent first, and the picture follows when the line allows.

use domain::ContentHash;
use rusqlite::{OptionalExtension as _, Row, params};
use sync_protocol::PhotoVariant;

use super::Store;
use super::error::StoreError;
use super::rows::{bytes, integer, natural};

const DOING: &str = "keeping track of photos";

/// A photo whose files have just been stored here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LocalPhoto {
    /// Its name.
    pub hash: ContentHash,
    /// Its size.
    pub size_bytes: u64,
    /// Hash and size of its thumbnail; files that aren't pictures have none.
    pub thumb: Option<(ContentHash, u64)>,
}

/// Where one picture of a photo is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhotoWhere {
    /// There is none.
    None,
    /// Only here.
    Local,
    /// Partly at the server.
    Uploading,
    /// All bytes are at the server, which has not yet checked them.
    Stored,
    /// The server holds it and has checked its hash.
    Verified,
    /// The server refuses it for good.
    Refused,
}

impl PhotoWhere {
    const fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Local => "local",
            Self::Uploading => "uploading",
            Self::Stored => "stored",
            Self::Verified => "verified",
            Self::Refused => "refused",
        }
    }

    fn from_word(word: &str) -> Self {
        match word {
            "none" => Self::None,
            "uploading" => Self::Uploading,
            "stored" => Self::Stored,
            "verified" => Self::Verified,
            "refused" => Self::Refused,
            _ => Self::Local,
        }
    }
}

/// A photo as the queue knows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredPhoto {
    /// What it is.
    pub photo: LocalPhoto,
    /// Where the full picture is.
    pub full: PhotoWhere,
    /// Where the thumbnail is.
    pub thumb: PhotoWhere,
    /// What went wrong last, if something did.
    pub problem: Option<String>,
}

/// The next thing to upload.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PhotoUpload {
    /// The photo.
    pub hash: ContentHash,
    /// Which picture of it.
    pub variant: PhotoVariant,
    /// Its size.
    pub size_bytes: u64,
    /// SHA-256 of the bytes to send.
    pub content_hash: ContentHash,
    /// Tries so far.
    pub tries: u32,
}

/// How far uploading has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct PhotoTotals {
    /// Photos of which something is not yet at the server.
    pub waiting: u64,
    /// Bytes of those that still have to go.
    pub waiting_bytes: u64,
    /// Photos the server has checked.
    pub verified: u64,
    /// Bytes of those.
    pub verified_bytes: u64,
    /// Photos the server refuses.
    pub refused: u64,
}

impl Store {
    /// Queues a photo taken here. Call after its files are durable and before the entry that names it is recorded; a photo that
    /// no entry names does no harm. Taking the same picture twice changes nothing.
    pub fn queue_photo(&self, photo: &LocalPhoto) -> Result<(), StoreError> {
        self.add_photo(photo, PhotoWhere::Local)
    }

    /// Notes a photo fetched from the server.
    pub fn note_fetched_photo(&self, photo: &LocalPhoto) -> Result<(), StoreError> {
        self.add_photo(photo, PhotoWhere::Verified)
    }

    /// Returns one photo.
    pub fn photo(&self, hash: &ContentHash) -> Result<Option<StoredPhoto>, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .prepare_cached(
                    "SELECT hash, size_bytes, thumb_hash, thumb_size_bytes, full_state, thumb_state, problem
                     FROM photos WHERE hash = ?1",
                )
                .and_then(|mut statement| statement.query_row([hash.as_bytes()], stored).optional())
                .map_err(StoreError::database(DOING))
        })
    }

    /// Returns what to upload next: thumbnails and what is as small before full pictures, newest first, leaving out what waits for
    /// another try.
    pub fn next_upload(&self, now_ms: u64) -> Result<Option<PhotoUpload>, StoreError> {
        self.read(|reading| {
            let next = |sql: &str, variant: PhotoVariant| {
                reading
                    .connection
                    .prepare_cached(sql)
                    .and_then(|mut statement| {
                        statement
                            .query_row([integer(now_ms)], |row| upload(row, variant))
                            .optional()
                    })
                    .map_err(StoreError::database(DOING))
            };
            let thumb = next(
                "SELECT hash, thumb_size_bytes, thumb_hash, tries FROM photos
                 WHERE thumb_state IN ('local', 'uploading', 'stored') AND next_try_ms <= ?1
                 ORDER BY taken_ms DESC, hash LIMIT 1",
                PhotoVariant::Thumb,
            )?;
            match thumb {
                Some(upload) => Ok(Some(upload)),
                None => next(
                    "SELECT hash, size_bytes, hash, tries FROM photos
                     WHERE full_state IN ('local', 'uploading', 'stored') AND next_try_ms <= ?1
                     ORDER BY size_bytes > 65536, taken_ms DESC, hash LIMIT 1",
                    PhotoVariant::Full,
                ),
            }
        })
    }

    /// Notes how far an upload has come.
    pub fn note_upload(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        state: PhotoWhere,
        sent_bytes: u64,
    ) -> Result<(), StoreError> {
        // Tries count until the server has checked the picture: a photo that keeps arriving damaged must be noticed.
        let sql = match variant {
            PhotoVariant::Full => "UPDATE photos SET full_state = ?2, sent_bytes = ?3, tries = CASE ?2 WHEN 'verified' THEN 0 ELSE tries END,
                 problem = CASE ?2 WHEN 'verified' THEN NULL ELSE problem END WHERE hash = ?1",
            PhotoVariant::Thumb => "UPDATE photos SET thumb_state = ?2, tries = CASE ?2 WHEN 'verified' THEN 0 ELSE tries END,
                 problem = CASE ?2 WHEN 'verified' THEN NULL ELSE problem END WHERE hash = ?1 AND ?3 >= 0",
        };
        self.transact(DOING, |writing| {
            writing
                .tx
                .prepare_cached(sql)
                .and_then(|mut statement| {
                    statement.execute(params![hash.as_bytes(), state.word(), integer(sent_bytes)])
                })
                .map(drop)
                .map_err(StoreError::database(DOING))
        })
    }

    /// Notes that an upload failed and when to try again.
    pub fn note_upload_failed(
        &self,
        hash: &ContentHash,
        problem: &str,
        next_try_ms: u64,
    ) -> Result<(), StoreError> {
        self.transact(DOING, |writing| {
            writing
                .tx
                .execute(
                    "UPDATE photos SET tries = tries + 1, problem = ?2, next_try_ms = ?3 WHERE hash = ?1",
                    params![hash.as_bytes(), problem, integer(next_try_ms)],
                )
                .map(drop)
                .map_err(StoreError::database(DOING))
        })
    }

    /// Makes every waiting upload due now, for "try again" and for a network that has come back.
    pub fn retry_uploads_now(&self) -> Result<(), StoreError> {
        self.transact(DOING, |writing| {
            writing
                .tx
                .execute(
                    "UPDATE photos SET next_try_ms = 0 WHERE next_try_ms > 0",
                    [],
                )
                .map(drop)
                .map_err(StoreError::database(DOING))
        })
    }

    /// Puts every photo this desktop holds back into the queue, because the server was restored and may have lost some. Those it
    /// still has are found out by asking, without sending a byte.
    pub fn requeue_photos(&self) -> Result<(), StoreError> {
        self.transact(DOING, |writing| {
            writing
                .tx
                .execute_batch(
                    "UPDATE photos SET full_state = 'stored', next_try_ms = 0 WHERE full_state = 'verified';
                     UPDATE photos SET thumb_state = 'stored', next_try_ms = 0 WHERE thumb_state = 'verified';",
                )
                .map_err(StoreError::database(DOING))
        })
    }

    /// Returns how far uploading has come.
    pub fn photo_totals(&self) -> Result<PhotoTotals, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .query_row(
                    "SELECT
                       COUNT(*) FILTER (WHERE full_state IN ('local', 'uploading', 'stored') OR thumb_state IN ('local', 'uploading', 'stored')),
                       COALESCE(SUM(size_bytes - sent_bytes) FILTER (WHERE full_state IN ('local', 'uploading', 'stored')), 0),
                       COUNT(*) FILTER (WHERE full_state = 'verified'),
                       COALESCE(SUM(size_bytes) FILTER (WHERE full_state = 'verified'), 0),
                       COUNT(*) FILTER (WHERE full_state = 'refused' OR thumb_state = 'refused')
                     FROM photos",
                    [],
                    |row| {
                        Ok(PhotoTotals {
                            waiting: natural(row.get(0)?),
                            waiting_bytes: natural(row.get(1)?),
                            verified: natural(row.get(2)?),
                            verified_bytes: natural(row.get(3)?),
                            refused: natural(row.get(4)?),
                        })
                    },
                )
                .map_err(StoreError::database(DOING))
        })
    }

    fn add_photo(&self, photo: &LocalPhoto, state: PhotoWhere) -> Result<(), StoreError> {
        let thumb_state = if photo.thumb.is_some() {
            state
        } else {
            PhotoWhere::None
        };
        let sent_bytes = if state == PhotoWhere::Verified {
            photo.size_bytes
        } else {
            0
        };
        self.transact(DOING, |writing| {
            writing
                .tx
                .execute(
                    "INSERT INTO photos (hash, size_bytes, thumb_hash, thumb_size_bytes, full_state, thumb_state,
                         sent_bytes, tries, next_try_ms, taken_ms, problem)
                     SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, 0, 0, ?8, NULL
                     WHERE NOT EXISTS (SELECT 1 FROM photos WHERE hash = ?1)",
                    params![
                        photo.hash.as_bytes(),
                        integer(photo.size_bytes),
                        photo.thumb.map(|(hash, _)| *hash.as_bytes()),
                        photo.thumb.map(|(_, size)| integer(size)),
                        state.word(),
                        thumb_state.word(),
                        integer(sent_bytes),
                        integer(writing.now_ms()),
                    ],
                )
                .map(drop)
                .map_err(StoreError::database(DOING))
        })
    }
}

fn stored(row: &Row<'_>) -> Result<StoredPhoto, rusqlite::Error> {
    let thumb = match (
        row.get::<_, Option<[u8; 32]>>(2)?,
        row.get::<_, Option<i64>>(3)?,
    ) {
        (Some(hash), Some(size)) => Some((ContentHash::from_bytes(hash), natural(size))),
        _ => None,
    };
    Ok(StoredPhoto {
        photo: LocalPhoto {
            hash: ContentHash::from_bytes(bytes(row, 0)?),
            size_bytes: natural(row.get(1)?),
            thumb,
        },
        full: PhotoWhere::from_word(row.get_ref(4)?.as_str()?),
        thumb: PhotoWhere::from_word(row.get_ref(5)?.as_str()?),
        problem: row.get(6)?,
    })
}

fn upload(row: &Row<'_>, variant: PhotoVariant) -> Result<PhotoUpload, rusqlite::Error> {
    Ok(PhotoUpload {
        hash: ContentHash::from_bytes(bytes(row, 0)?),
        variant,
        size_bytes: natural(row.get(1)?),
        content_hash: ContentHash::from_bytes(bytes(row, 2)?),
        tries: row.get(3)?,
    })
}
