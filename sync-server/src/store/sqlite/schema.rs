//! The tables, and how an older file becomes a newer one.
//!
//! A step is never edited once it was released: a change is a new step. A file from a newer version is refused rather than
//! guessed at. Every key of a lab's data begins with `lab_id`, and foreign keys carry it, so a link across labs can't be stored.

use rusqlite::Connection;

use super::super::StoreError;
use super::StoreResult as _;
use crate::auth::token::random;
use crate::clock::random_uuid;

/// Steps in order; `user_version` counts those that were done.
const STEPS: [&str; 1] = [include_str!("schema_1.sql")];

/// Brings the file to the newest step and makes the lab's row if there is none.
pub(super) fn migrate(connection: &Connection) -> Result<(), StoreError> {
    connection
        .execute_batch("BEGIN IMMEDIATE")
        .doing("begin the upgrade of the database")?;
    let done = upgrade(connection);
    let end = if done.is_ok() { "COMMIT" } else { "ROLLBACK" };
    connection
        .execute_batch(end)
        .doing("end the upgrade of the database")?;
    done
}

fn upgrade(connection: &Connection) -> Result<(), StoreError> {
    let version: i64 = connection
        .query_row("PRAGMA user_version", [], |row| row.get(0))
        .doing("read the database's version")?;
    let known = i64::try_from(STEPS.len()).unwrap_or(i64::MAX);
    if version > known {
        return Err(StoreError::NewerFile {
            found: version,
            known,
        });
    }
    for step in STEPS.iter().skip(usize::try_from(version).unwrap_or(0)) {
        connection
            .execute_batch(step)
            .doing("upgrade the database")?;
    }
    connection
        .pragma_update(None, "user_version", known)
        .doing("note the database's version")?;
    if version == 0 {
        connection
            .execute(
                "INSERT INTO lab (only_row, lab_id, log_epoch, log_position, log_digest, server_stream_id, server_secret) \
                 VALUES (1, NULL, ?1, 0, zeroblob(32), ?2, ?3)",
                rusqlite::params![random_uuid()?.as_bytes(), random_uuid()?.as_bytes(), random::<32>()?],
            )
            .doing("make the lab's row")?;
    }
    Ok(())
}
