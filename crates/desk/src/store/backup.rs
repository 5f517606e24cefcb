//! Backup and restore: one action each.

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::Connection;
use rusqlite::backup::Backup;

use super::error::StoreError;
use super::schema::{APPLICATION_ID, USER_VERSION};
use super::{FILE_NAME, Store, StoreOptions, lock};

/// Pages copied before the source is let go for a moment: 256 pages of 4 KiB are 1 MiB, a few milliseconds.
const BACKUP_STEP_PAGES: i32 = 256;

impl Store {
    /// Writes a whole, consistent copy of the lab's file to `path` while work goes on. An existing file is replaced only once
    /// the copy is complete. The copy holds this desktop's keys: keep it as safe as the original.
    pub fn backup_to(&self, path: &Path) -> Result<(), StoreError> {
        let doing = "writing the backup";
        let partial = path.with_extension("partial");
        remove_if_there(&partial)?;
        {
            let source = super::open_connection(self.path())?;
            let mut target = Connection::open(&partial).map_err(|source| StoreError::Open {
                path: partial.clone(),
                source,
            })?;
            let backup = Backup::new(&source, &mut target).map_err(StoreError::database(doing))?;
            backup
                .run_to_completion(BACKUP_STEP_PAGES, Duration::ZERO, None)
                .map_err(StoreError::database(doing))?;
            drop(backup);
            // One file without a write-ahead log beside it, so that it can be copied by hand.
            target
                .query_row("PRAGMA journal_mode = DELETE", [], |_| Ok(()))
                .map_err(StoreError::database(doing))?;
        }
        super::keep_private(&partial)?;
        std::fs::File::open(&partial)
            .and_then(|file| file.sync_all())
            .and_then(|()| std::fs::rename(&partial, path))
            .map_err(|source| StoreError::File {
                path: path.to_owned(),
                source,
            })
    }

    /// Checks that the database itself is sound.
    pub fn check_integrity(&self) -> Result<(), StoreError> {
        check(&lock(&self.writer))
    }

    /// Takes a backup's content into this open file, which must not belong to a lab yet.
    ///
    /// The backup is checked first. It goes on in a new stream, since the server may know the old one further than the backup does.
    pub fn take_over(&self, backup: &Path, options: &StoreOptions) -> Result<(), StoreError> {
        const DOING: &str = "restoring the backup";
        check_backup(backup)?;
        if let Some(lab_id) = self.installation()?.lab_id {
            return Err(StoreError::HasLab { lab_id });
        }
        {
            let source =
                Connection::open_with_flags(backup, rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY)
                    .map_err(|source| StoreError::Open {
                        path: backup.to_owned(),
                        source,
                    })?;
            let mut writer = lock(&self.writer);
            let copy = Backup::new(&source, &mut writer).map_err(StoreError::database(DOING))?;
            copy.run_to_completion(BACKUP_STEP_PAGES, Duration::ZERO, None)
                .map_err(StoreError::database(DOING))?;
        }
        remove_if_there(&options.nonce_file)?;
        self.settle_installation(options)?;
        self.settle_fold_version()
    }

    /// Puts a backup in the place of the lab's file. No store may be open on it.
    ///
    /// The backup is checked first. A file that was there is kept beside it under the name returned. The next open sees that the
    /// file was restored and writes a new stream, since the server may know the old one further than the backup does.
    pub fn restore(
        backup: &Path,
        options: &StoreOptions,
        now_ms: u64,
    ) -> Result<Option<PathBuf>, StoreError> {
        check_backup(backup)?;
        let io = |path: &Path| {
            let path = path.to_owned();
            move |source| StoreError::File { path, source }
        };
        std::fs::create_dir_all(&options.data_dir).map_err(io(&options.data_dir))?;
        let path = options.data_dir.join(FILE_NAME);
        let incoming = path.with_extension("incoming");
        std::fs::copy(backup, &incoming).map_err(io(&incoming))?;
        std::fs::File::open(&incoming)
            .and_then(|file| file.sync_all())
            .map_err(io(&incoming))?;
        let kept = if path.exists() {
            Some(
                options
                    .data_dir
                    .join(format!("before-restore-{now_ms}.sqlite")),
            )
        } else {
            None
        };
        if let Some(kept) = &kept {
            // Everything still in the write-ahead log goes into the file that is kept.
            let old = super::open_connection(&path)?;
            let folded = old.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()));
            drop(old);
            folded.map_err(StoreError::database("keeping the file that was there"))?;
            std::fs::rename(&path, kept).map_err(io(kept))?;
            for ending in ["sqlite-wal", "sqlite-shm"] {
                remove_if_there(&path.with_extension(ending))?;
            }
        }
        remove_if_there(&options.nonce_file)?;
        std::fs::rename(&incoming, &path).map_err(io(&path))?;
        Ok(kept)
    }
}

fn check_backup(backup: &Path) -> Result<(), StoreError> {
    let flags = rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY;
    let connection =
        Connection::open_with_flags(backup, flags).map_err(|source| StoreError::Open {
            path: backup.to_owned(),
            source,
        })?;
    let pragma = |name: &str| {
        connection
            .pragma_query_value(None, name, |row| row.get::<_, i64>(0))
            .map_err(StoreError::database("checking the backup"))
    };
    if pragma("application_id")? != APPLICATION_ID {
        return Err(StoreError::Damaged {
            detail: "the backup is not a lab's file".to_owned(),
        });
    }
    let found = pragma("user_version")?;
    if found > USER_VERSION {
        return Err(StoreError::TooNew {
            found,
            known: USER_VERSION,
        });
    }
    check(&connection)
}

fn check(connection: &Connection) -> Result<(), StoreError> {
    let answer: String = connection
        .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
        .map_err(StoreError::database("checking the file"))?;
    if answer == "ok" {
        Ok(())
    } else {
        Err(StoreError::Damaged { detail: answer })
    }
}

fn remove_if_there(path: &Path) -> Result<(), StoreError> {
    match std::fs::remove_file(path) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(StoreError::File {
            path: path.to_owned(),
            source: error,
        }),
        _ => Ok(()),
    }
}
