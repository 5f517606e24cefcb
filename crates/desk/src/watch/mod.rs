//! The watched folder: a microscope's camera saves there, and the picture lands on the job that is open.
//!
//! The files themselves are never moved, changed or deleted. A file is taken once it is whole: when its writer closes it or
//! renames it, never when it appears. What is no picture is left alone, and said.

#[cfg(test)]
pub(crate) mod tests;

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use domain::fact::PhotoPlace;
use domain::{JobId, Subject};
use notify::event::{AccessKind, AccessMode, EventKind, ModifyKind, RenameMode};
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher as _};

use crate::desk::{Changed, Desk, lock};
use crate::error::DeskError;
use crate::photo_intake::PhotoTarget;

/// What is watched, and where new pictures go.
pub(crate) struct Watch {
    aim: Mutex<Option<(JobId, PhotoPlace)>>,
    watcher: Mutex<Option<RecommendedWatcher>>,
}

impl Watch {
    pub(crate) const fn new() -> Self {
        Self {
            aim: Mutex::new(None),
            watcher: Mutex::new(None),
        }
    }
}

/// The setting that names the folder.
const FOLDER: &str = "watched_folder";

impl Desk {
    /// The folder, empty when none is watched.
    pub(crate) fn watched_folder(&self) -> Result<String, DeskError> {
        Ok(self.store.setting(FOLDER)?.unwrap_or_default())
    }

    /// Sets the folder; it is watched from the next start on, or at once when the desk has been started.
    pub(crate) fn set_watched_folder(&self, path: &str) -> Result<(), DeskError> {
        if !path.is_empty() {
            let folder = Path::new(path);
            if !folder.is_dir() {
                return Err(DeskError::field(
                    "path",
                    format!("{path} is no folder on this computer; choose one that exists"),
                ));
            }
            if is_inside(folder, &self.options.folder) {
                return Err(DeskError::field(
                    "path",
                    "choose a folder outside the logbook's own",
                ));
            }
        }
        self.store.set_setting(FOLDER, &path)?;
        self.tell(&Changed::Folder);
        Ok(())
    }

    /// Says which job's place new pictures go to.
    pub(crate) fn aim_watched_folder(&self, aim: Option<(JobId, PhotoPlace)>) {
        *lock(&self.watch.aim) = aim;
    }

    /// Watches the folder that is set, and follows when another is set.
    pub(crate) fn start_watching(self: &Arc<Self>) -> Result<(), DeskError> {
        let desk = Arc::downgrade(self);
        self.on_change(Arc::new(move |changed| {
            if *changed == Changed::Folder
                && let Some(desk) = desk.upgrade()
                && let Err(error) = desk.watch_now()
            {
                desk.tell(&Changed::Picture {
                    sentence: error.to_string(),
                });
            }
            std::ops::ControlFlow::Continue(())
        }));
        self.watch_now()
    }

    /// Watches no more.
    pub(crate) fn stop_watching(&self) {
        drop(lock(&self.watch.watcher).take());
    }

    fn watch_now(self: &Arc<Self>) -> Result<(), DeskError> {
        self.stop_watching();
        let folder = PathBuf::from(self.watched_folder()?);
        // A folder on a stick that is not plugged in must not keep the lab from opening.
        if !folder.is_dir() {
            return Ok(());
        }
        let desk = Arc::downgrade(self);
        let mut watcher =
            notify::recommended_watcher(move |event: Result<Event, notify::Error>| {
                if let (Some(desk), Ok(event)) = (desk.upgrade(), event)
                    && is_whole(event.kind)
                {
                    for path in event.paths.iter().filter(|path| path.is_file()) {
                        desk.take_watched(path);
                    }
                }
            })
            .map_err(|error| {
                DeskError::refused(format!("the watched folder can't be watched: {error}"))
            })?;
        watcher
            .watch(&folder, RecursiveMode::NonRecursive)
            .map_err(|error| {
                DeskError::refused(format!("{} can't be watched: {error}", folder.display()))
            })?;
        *lock(&self.watch.watcher) = Some(watcher);
        Ok(())
    }

    /// Takes one file in, and says what came of it.
    fn take_watched(&self, path: &Path) {
        let name = path
            .file_name()
            .map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        if name.starts_with('.') || has_partial_ending(path) {
            return;
        }
        let Some((job_id, place)) = *lock(&self.watch.aim) else {
            let sentence = format!(
                "{name} came into the watched folder, but no job is open; open one and save the picture again."
            );
            return self.tell(&Changed::Picture { sentence });
        };
        let target = PhotoTarget {
            subject: Subject::Job(job_id),
            place,
            caption: String::new(),
            beside: None,
        };
        if !TELLS_OF_CLOSING {
            wait_until_still(path);
        }
        let taken = std::fs::read(path)
            .map_err(|source| DeskError::File {
                path: path.display().to_string(),
                action: "read",
                source,
            })
            .and_then(|bytes| self.take_photo(&bytes, &target));
        let sentence = match taken {
            Ok(_) => format!("{name} was taken in from the watched folder."),
            Err(error) => format!("{name} in the watched folder was left alone. {error}"),
        };
        self.tell(&Changed::Picture { sentence });
    }
}

/// True when a folder lies in another, whatever links or steps back its path takes.
fn is_inside(folder: &Path, other: &Path) -> bool {
    match (folder.canonicalize(), other.canonicalize()) {
        (Ok(folder), Ok(other)) => folder.starts_with(other),
        _ => folder.starts_with(other),
    }
}

/// Whether the system tells when a file's writer closes it.
const TELLS_OF_CLOSING: bool = cfg!(target_os = "linux");

/// How often a file's size is looked at while it may still be written, and how often at most: a minute.
const STILL_CHECK: Duration = Duration::from_millis(500);
const STILL_CHECKS_MAX: u32 = 120;

/// Waits until a file has kept its size, where the system does not tell that its writer has closed it.
fn wait_until_still(path: &Path) {
    let size = || std::fs::metadata(path).map(|metadata| metadata.len()).ok();
    let mut last = size();
    for _ in 0..STILL_CHECKS_MAX {
        std::thread::sleep(STILL_CHECK);
        let now = size();
        if now == last {
            return;
        }
        last = now;
    }
}

/// True once the writer of a file has finished with it. A file that merely appeared may be half written.
fn is_whole(kind: EventKind) -> bool {
    let closed = EventKind::Access(AccessKind::Close(AccessMode::Write));
    // Where the system doesn't tell of closing, a rename into the folder or the end of a change is the best sign there is.
    let renamed = matches!(
        kind,
        EventKind::Modify(ModifyKind::Name(RenameMode::To | RenameMode::Any))
    );
    kind == closed
        || renamed
        || (!TELLS_OF_CLOSING && matches!(kind, EventKind::Modify(ModifyKind::Data(_))))
}

/// True for the names under which programs keep files they are still writing.
fn has_partial_ending(path: &Path) -> bool {
    let ending = path
        .extension()
        .map(|ending| ending.to_string_lossy().to_lowercase());
    ending
        .is_some_and(|ending| matches!(ending.as_str(), "part" | "partial" | "tmp" | "crdownload"))
}
