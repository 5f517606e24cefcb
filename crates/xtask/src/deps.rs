//! Proves the dependency rules, so that the shape of the workspace is a fact and not a wish.
//!
//! The rules are tables of plain data: which package may use which ([`edges`]), which file may name what ([`source`]),
//! and where the screens may touch the window ([`screens`]). A break is one line that says what is wrong. The checks
//! are functions of what they are given; only this module reads the checkout.

mod edges;
mod rust_paths;
mod screens;
mod source;

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use serde_json::Value;

use crate::machine;
use crate::process;
use crate::terminal::{heading, note};

/// A package of the workspace as its manifest declares it.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Package {
    name: String,
    folder: PathBuf,
    /// Names of all dependencies, those for tests and builds included.
    dependencies: Vec<String>,
}

/// A text file, with its path relative to the folder it belongs to, with `/` between the parts.
#[derive(Clone, Debug, PartialEq, Eq)]
struct SourceFile {
    path: String,
    text: String,
}

/// Checks the whole checkout and lists every break before it fails.
pub(crate) fn check() -> Result<()> {
    heading("dependency rules");
    let root = machine::root();
    let packages = read_packages(&root)?;
    let mut breaks = edges::breaks(&packages);
    let mut file_count = 0;
    for package in &packages {
        let files = read_files(&package.folder.join("src"), &["rs"])?;
        file_count += files.len();
        breaks.extend(source::breaks(&package.name, &files));
    }
    let screen_files = read_files(&root.join("ui"), screens::EXTENSIONS)?;
    breaks.extend(screens::breaks(&screen_files));

    for line in &breaks {
        note(line);
    }
    if !breaks.is_empty() {
        bail!("dependency rules are broken in {} places", breaks.len());
    }
    note(&format!(
        "they hold: {} packages, {file_count} Rust files, {} files of the screens",
        packages.len(),
        screen_files.len()
    ));
    Ok(())
}

fn read_packages(root: &Path) -> Result<Vec<Package>> {
    let arguments = ["metadata", "--format-version=1", "--no-deps"];
    let text = process::output_of(&mut process::cargo(root, &arguments))?;
    parse_packages(&text)
}

fn parse_packages(text: &str) -> Result<Vec<Package>> {
    let metadata: Value =
        serde_json::from_str(text).context("reading what `cargo metadata` printed")?;
    let packages = metadata["packages"]
        .as_array()
        .context("`cargo metadata` listed no packages")?;
    packages.iter().map(parse_package).collect()
}

fn parse_package(package: &Value) -> Result<Package> {
    let name = text_of(&package["name"])?;
    let manifest = PathBuf::from(text_of(&package["manifest_path"])?);
    let folder = manifest
        .parent()
        .with_context(|| format!("{} lies in no folder", manifest.display()))?
        .to_path_buf();
    let dependencies = package["dependencies"]
        .as_array()
        .with_context(|| format!("{name} has no list of dependencies"))?
        .iter()
        .map(|dependency| text_of(&dependency["name"]))
        .collect::<Result<_>>()?;
    Ok(Package {
        name,
        folder,
        dependencies,
    })
}

fn text_of(value: &Value) -> Result<String> {
    let text = value
        .as_str()
        .context("`cargo metadata` has something other than text where a name belongs")?;
    Ok(text.to_owned())
}

/// Reads all files with these extensions under `folder`; generated and installed folders are left out.
fn read_files(folder: &Path, extensions: &[&str]) -> Result<Vec<SourceFile>> {
    let mut files = Vec::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(current) = folders.pop() {
        if !current.is_dir() {
            continue;
        }
        let entries = std::fs::read_dir(&current)
            .with_context(|| format!("listing {}", current.display()))?;
        for entry in entries {
            let path = entry
                .with_context(|| format!("listing {}", current.display()))?
                .path();
            if path.is_dir() {
                let generated = path
                    .file_name()
                    .is_some_and(|name| name == "node_modules" || name == "dist");
                if !generated {
                    folders.push(path);
                }
            } else if path
                .extension()
                .is_some_and(|found| extensions.iter().any(|wanted| found == *wanted))
            {
                files.push(read_file(folder, &path)?);
            }
        }
    }
    files.sort_by(|one, other| one.path.cmp(&other.path));
    Ok(files)
}

fn read_file(folder: &Path, path: &Path) -> Result<SourceFile> {
    let text =
        std::fs::read_to_string(path).with_context(|| format!("reading {}", path.display()))?;
    let relative = path.strip_prefix(folder).unwrap_or(path);
    let parts: Vec<_> = relative.iter().map(|part| part.to_string_lossy()).collect();
    Ok(SourceFile {
        path: parts.join("/"),
        text,
    })
}

#[cfg(test)]
mod tests;
