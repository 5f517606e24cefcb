//! Whole files in SQLite.

use domain::ContentHash;
use rusqlite::{OptionalExtension as _, params};
use sync_protocol::PhotoVariant;

use super::super::StoreError;
use super::super::files::{FileStore, StoredFile};
use super::row;
use super::{SqliteStore, StoreResult as _};
use crate::auth::LabScope;

impl FileStore for SqliteStore {
    fn stored_file(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<Option<StoredFile>, StoreError> {
        self.read(|tx| {
            tx.query_row(
                "SELECT bytes_hash, size_bytes FROM stored_file WHERE lab_id = ?1 AND content_hash = ?2 AND variant = ?3",
                params![scope.lab_id().as_bytes(), hash.as_bytes(), variant.as_str()],
                |row| Ok(StoredFile { bytes_hash: ContentHash::from_bytes(row.get(0)?), size_bytes: row::unsigned(row, 1)? }),
            )
            .optional()
            .doing("look up a file")
        })
    }

    fn note_file(
        &self,
        scope: &LabScope,
        hash: &ContentHash,
        variant: PhotoVariant,
        file: &StoredFile,
        now_ms: i64,
    ) -> Result<(), StoreError> {
        let lab_id = scope.lab_id();
        self.write(|tx| {
            let known: Option<i64> = tx
                .query_row(
                    "SELECT size_bytes FROM stored_file WHERE lab_id = ?1 AND content_hash = ?2 AND variant = ?3",
                    params![lab_id.as_bytes(), hash.as_bytes(), variant.as_str()],
                    |row| row.get(0),
                )
                .optional()
                .doing("look up a file")?;
            let size_bytes = row::signed(file.size_bytes)?;
            tx.execute(
                "INSERT INTO stored_file (lab_id, content_hash, variant, bytes_hash, size_bytes, stored_ms) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6) ON CONFLICT (lab_id, content_hash, variant) \
                 DO UPDATE SET bytes_hash = excluded.bytes_hash, size_bytes = excluded.size_bytes",
                params![
                    lab_id.as_bytes(),
                    hash.as_bytes(),
                    variant.as_str(),
                    file.bytes_hash.as_bytes(),
                    size_bytes,
                    now_ms
                ],
            )
            .doing("note a file")?;
            // The sum is kept, because every part of every upload asks for it.
            tx.execute(
                "UPDATE lab SET files_bytes = files_bytes + ?2 WHERE lab_id = ?1",
                params![lab_id.as_bytes(), size_bytes - known.unwrap_or(0)],
            )
            .doing("count the files' bytes")?;
            Ok(())
        })
    }

    fn files_bytes(&self, scope: &LabScope) -> Result<u64, StoreError> {
        self.read(|tx| {
            tx.query_row(
                "SELECT files_bytes FROM lab WHERE lab_id = ?1",
                [scope.lab_id().as_bytes()],
                |row| row::unsigned(row, 0),
            )
            .doing("count the files' bytes")
        })
    }
}
