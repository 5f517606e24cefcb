//! The screens: their npm packages, their build, their own checks.
//!
//! Packages come only from the lock file (`npm ci`), and nothing is installed or built again when nothing changed.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::SystemTime;

use anyhow::{Context, Result};

use crate::machine;
use crate::process;
use crate::terminal::{heading, note};

/// The folder of the screens.
pub(crate) fn folder() -> PathBuf {
    machine::root().join("ui")
}

/// Installs the screens' packages and builds them, as far as something changed since the last time.
///
/// The window's program takes the built screens into itself, so this comes before anything that compiles it.
pub(crate) fn build() -> Result<()> {
    let folder = folder();
    install_packages(&folder)?;
    heading("building the screens");
    let built = folder.join("dist/index.html");
    if is_up_to_date(&built, &folder)? {
        note("nothing changed");
        return Ok(());
    }
    npm(&folder, &["run", "--silent", "build"])
}

/// Checks types and components.
pub(crate) fn check_types() -> Result<()> {
    npm(&folder(), &["run", "--silent", "check"])
}

/// Runs the screens' own unit tests.
pub(crate) fn test() -> Result<()> {
    npm(&folder(), &["run", "--silent", "test"])
}

/// Installs the packages of the lock file in `folder`, unless they are what is installed already.
pub(crate) fn install_packages(folder: &Path) -> Result<()> {
    heading(&format!("npm packages of {}", relative(folder)));
    let lock_path = folder.join("package-lock.json");
    let lock =
        std::fs::read(&lock_path).with_context(|| format!("reading {}", lock_path.display()))?;
    // `npm ci` empties the folder first, so a copy of the lock file in it is there only after a whole installation.
    let installed_path = folder.join("node_modules/.installed-from-lock.json");
    if std::fs::read(&installed_path).is_ok_and(|installed| installed == lock) {
        note("nothing changed");
        return Ok(());
    }
    note("npm ci");
    npm(
        folder,
        &["ci", "--no-audit", "--no-fund", "--loglevel=error"],
    )?;
    // A lock file without packages leaves no folder behind.
    std::fs::create_dir_all(folder.join("node_modules")).context("making node_modules")?;
    std::fs::write(&installed_path, lock)
        .with_context(|| format!("writing {}", installed_path.display()))
}

/// Runs npm in `folder`.
pub(crate) fn npm(folder: &Path, arguments: &[&str]) -> Result<()> {
    process::run(&mut npm_command(folder, arguments))
}

/// A command of npm in `folder`, which neither looks for updates of itself nor colours a log file.
pub(crate) fn npm_command(folder: &Path, arguments: &[&str]) -> Command {
    let program = if cfg!(windows) { "npm.cmd" } else { "npm" };
    let mut command = Command::new(program);
    command
        .current_dir(folder)
        .args(arguments)
        .env("npm_config_update_notifier", "false");
    command
}

/// Whether `built` is newer than every file that it is made from.
fn is_up_to_date(built: &Path, sources: &Path) -> Result<bool> {
    let Ok(built_at) = std::fs::metadata(built).and_then(|metadata| metadata.modified()) else {
        return Ok(false);
    };
    Ok(newest_change(sources)? < built_at)
}

/// When a file under `folder` last changed, what is built or installed there left out.
fn newest_change(folder: &Path) -> Result<SystemTime> {
    let mut newest = SystemTime::UNIX_EPOCH;
    let mut folders = vec![folder.to_path_buf()];
    while let Some(current) = folders.pop() {
        let entries = std::fs::read_dir(&current)
            .with_context(|| format!("listing {}", current.display()))?;
        for entry in entries {
            let entry = entry.with_context(|| format!("listing {}", current.display()))?;
            let name = entry.file_name();
            if name == "node_modules" || name == "dist" {
                continue;
            }
            let metadata = entry
                .metadata()
                .with_context(|| format!("looking at {}", entry.path().display()))?;
            newest = newest.max(
                metadata
                    .modified()
                    .context("this system keeps no times of change")?,
            );
            if metadata.is_dir() {
                folders.push(entry.path());
            }
        }
    }
    Ok(newest)
}

fn relative(folder: &Path) -> String {
    folder
        .strip_prefix(machine::root())
        .unwrap_or(folder)
        .display()
        .to_string()
}

#[cfg(test)]
mod tests;
