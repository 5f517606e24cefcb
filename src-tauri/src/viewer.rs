//! Papers in the system's own viewer, from where they are printed.
//!
//! Only PDFs among the lab's papers are ever handed to the system: what opens a file of another kind may run it.

use std::path::{Path, PathBuf};

use desk::EdgeError;

use crate::lab::failed;

/// How every PDF begins (ISO 32000-2:2020, 7.5.2).
const PDF_HEADER: &[u8] = b"%PDF-";

/// Enough of a hash to tell a lab's papers apart in their folder; the whole of it is a long name to read.
const HASH_LETTERS: usize = 16;

/// Where a lab's papers are.
pub(crate) fn papers(lab: &Path) -> PathBuf {
    lab.join("papers")
}

/// Shows a paper and does not wait for the viewer to end.
pub(crate) fn show(paper: &Path) -> Result<(), EdgeError> {
    open::that_detached(paper).map_err(|error| {
        failed(format!(
            "No program could be started that shows {} ({error}). Install a PDF viewer, or open the file from its folder.",
            paper.display()
        ))
    })
}

/// Writes a kept PDF among the papers, whole or not at all, and shows it.
pub(crate) fn show_bytes(papers: &Path, hash: &str, bytes: &[u8]) -> Result<(), EdgeError> {
    show(&write(papers, hash, bytes)?)
}

fn write(papers: &Path, hash: &str, bytes: &[u8]) -> Result<PathBuf, EdgeError> {
    if !bytes.starts_with(PDF_HEADER) {
        return Err(failed(
            "That file is not a PDF, so it is not opened from here.".to_owned(),
        ));
    }
    let stem = &hash[..hash.len().min(HASH_LETTERS)];
    let path = papers.join(format!("kept-{stem}.pdf"));
    let half = papers.join(format!("kept-{stem}.pdf.part"));
    std::fs::create_dir_all(papers)
        .and_then(|()| std::fs::write(&half, bytes))
        .and_then(|()| std::fs::rename(&half, &path))
        .map_err(|error| failed(format!("{} could not be written: {error}", path.display())))?;
    Ok(path)
}

#[cfg(test)]
mod tests;
