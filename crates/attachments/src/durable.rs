//! Bringing files and folders onto the disk so that a power cut can't take them back. The one place that differs between
//! systems, and the seam at which tests fill up the disk. Must never report success before the disk has.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

/// Where bytes go on their way to becoming a stored file: a file, or in tests one on a disk that fills up.
pub(crate) trait Sink: Write {
    /// Returns once everything written is on the disk.
    fn sync(&mut self) -> io::Result<()>;
}

impl Sink for File {
    fn sync(&mut self) -> io::Result<()> {
        self.sync_all()
    }
}

/// Renames within one folder tree and returns once the new name is on the disk.
pub(crate) fn rename(source: &Path, target: &Path) -> io::Result<()> {
    fs::rename(source, target)?;
    target.parent().map_or(Ok(()), sync_folder)
}

/// Makes a folder and everything above it, and returns once the new names are on the disk.
pub(crate) fn make_folder(folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    let parent = folder
        .parent()
        .filter(|parent| !parent.as_os_str().is_empty());
    if let Some(parent) = parent {
        make_folder(parent)?;
    }
    match fs::create_dir(folder) {
        // Someone else was quicker.
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists && folder.is_dir() => Ok(()),
        Err(error) => Err(error),
        Ok(()) => parent.map_or(Ok(()), sync_folder),
    }
}

#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

/// Other systems neither need nor allow it: NTFS journals renames itself.
#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}
