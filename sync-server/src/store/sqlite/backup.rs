//! A copy of everything while the server runs, and the way back.
//!
//! A restored log may have lost its end, so a restore mints a new epoch and a new stream for the server's own entries: every
//! desktop then notices, and sends back what the copy lacks.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::Connection;
use rusqlite::backup::Backup;

use super::super::StoreError;
use super::{FILE_NAME, StoreResult as _, connect, restrict, schema};
use crate::clock::random_uuid;
use crate::files::FOLDER as FILES_FOLDER;

/// Pages copied before the writer gets a turn: 256 pages of 4 KiB are 1 MiB, a few milliseconds.
const PAGES_AT_ONCE: std::ffi::c_int = 256;

/// Copies the database and the photos of `data` to the folder `target`. Photos that are there already are left alone, so a
/// second backup to the same folder copies only what is new.
pub fn backup(data: &Path, target: &Path) -> Result<(), StoreError> {
    make_folder(target)?;
    let copy = target.join(FILE_NAME);
    let partial = target.join(format!("{FILE_NAME}.tmp"));
    remove_if_there(&partial)?;
    copy_database(&data.join(FILE_NAME), &partial)?;
    fs::rename(&partial, &copy).map_err(folder_error(&copy))?;
    copy_files(&data.join(FILES_FOLDER), &target.join(FILES_FOLDER))
}

/// Brings a backup back into the empty or missing folder `data`.
pub fn restore(source: &Path, data: &Path) -> Result<(), StoreError> {
    let database = data.join(FILE_NAME);
    if database.exists() {
        let error = io::Error::new(
            io::ErrorKind::AlreadyExists,
            "there is a database already; move it away first",
        );
        return Err(folder_error(&database)(error));
    }
    make_folder(data)?;
    copy_files(&source.join(FILES_FOLDER), &data.join(FILES_FOLDER))?;
    let partial = data.join(format!("{FILE_NAME}.tmp"));
    remove_if_there(&partial)?;
    copy_database(&source.join(FILE_NAME), &partial)?;
    begin_new_epoch(&partial)?;
    fs::rename(&partial, &database).map_err(folder_error(&database))
}

fn copy_database(source: &Path, target: &Path) -> Result<(), StoreError> {
    if !source.exists() {
        return Err(folder_error(source)(io::ErrorKind::NotFound.into()));
    }
    let from = connect(source)?;
    let mut to = Connection::open(target).doing("make the copy's file")?;
    restrict(target)?;
    {
        let copying = Backup::new(&from, &mut to).doing("begin a backup")?;
        copying
            .run_to_completion(PAGES_AT_ONCE, Duration::from_millis(1), None)
            .doing("copy the database")?;
    }
    let sound: String = to
        .query_row("PRAGMA integrity_check", [], |row| row.get(0))
        .doing("check the copy")?;
    if sound == "ok" {
        Ok(())
    } else {
        Err(StoreError::Damaged {
            what: format!("the copy of the database: {sound}"),
        })
    }
}

fn begin_new_epoch(path: &Path) -> Result<(), StoreError> {
    let connection = connect(path)?;
    schema::migrate(&connection)?;
    connection
        .execute(
            "UPDATE lab SET log_epoch = ?1, server_stream_id = ?2 WHERE only_row = 1",
            [random_uuid()?.as_bytes(), random_uuid()?.as_bytes()],
        )
        .doing("begin a new epoch")?;
    connection
        .execute_batch(
            "DELETE FROM session; PRAGMA wal_checkpoint(TRUNCATE); PRAGMA journal_mode = DELETE;",
        )
        .doing("finish the restored database")
}

/// Copies a tree of files that never change once they are there.
fn copy_files(source: &Path, target: &Path) -> Result<(), StoreError> {
    if !source.exists() {
        return Ok(());
    }
    make_folder(target)?;
    for entry in fs::read_dir(source).map_err(folder_error(source))? {
        let entry = entry.map_err(folder_error(source))?;
        let (from, to) = (entry.path(), target.join(entry.file_name()));
        if entry.file_type().map_err(folder_error(&from))?.is_dir() {
            copy_files(&from, &to)?;
        } else if !to.exists() {
            let partial = to.with_extension("tmp");
            fs::copy(&from, &partial).map_err(folder_error(&from))?;
            fs::rename(&partial, &to).map_err(folder_error(&to))?;
        }
    }
    Ok(())
}

fn make_folder(path: &Path) -> Result<(), StoreError> {
    fs::create_dir_all(path).map_err(folder_error(path))
}

fn remove_if_there(path: &Path) -> Result<(), StoreError> {
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(folder_error(path)(error)),
        _ => Ok(()),
    }
}

fn folder_error(path: &Path) -> impl FnOnce(io::Error) -> StoreError {
    let path: PathBuf = path.to_owned();
    move |source| StoreError::Folder { path, source }
}
