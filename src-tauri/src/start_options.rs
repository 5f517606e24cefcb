//! The words after the program's name.

use std::ffi::OsString;
use std::path::PathBuf;

pub(crate) const USAGE: &str = "\
Usage: waybench [--lab FOLDER] [--safe-rendering]

  --lab FOLDER      open the lab in this folder; made if it is not there (default: this user's own data folder)
  --safe-rendering  draw without the graphics driver's shared buffers; for a window that stays empty or flickers
  --version         say which version this is
  --help            say this";

/// How to open the window.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct StartOptions {
    /// Where the lab's files are; the user's own data folder if none is given.
    pub(crate) lab: Option<PathBuf>,
    /// Draw without the graphics driver's shared buffers.
    pub(crate) safe_rendering: bool,
}

/// What the program was asked to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Start {
    Open(StartOptions),
    Usage,
    Version,
}

impl StartOptions {
    /// Reads the words; the error is one sentence for whoever typed them.
    pub(crate) fn parse(words: impl IntoIterator<Item = OsString>) -> Result<Start, String> {
        let mut options = Self::default();
        let mut words = words.into_iter();
        while let Some(word) = words.next() {
            match word.to_str() {
                Some("--lab") => {
                    let folder = words.next().ok_or("--lab needs a folder after it")?;
                    options.lab = Some(PathBuf::from(folder));
                }
                Some("--safe-rendering") => options.safe_rendering = true,
                Some("--help" | "-h") => return Ok(Start::Usage),
                Some("--version" | "-V") => return Ok(Start::Version),
                _ => return Err(format!("there is no option `{}`", word.display())),
            }
        }
        Ok(Start::Open(options))
    }

    /// The words that would give these options.
    pub(crate) fn to_words(&self) -> Vec<OsString> {
        let mut words = Vec::new();
        if let Some(folder) = &self.lab {
            words.push("--lab".into());
            words.push(folder.into());
        }
        if self.safe_rendering {
            words.push("--safe-rendering".into());
        }
        words
    }
}

#[cfg(test)]
mod tests;
