//! From folds to papers: what the lab knows about a job or a parcel becomes a PDF.
//!
//! Every date on a paper comes from the facts, never from the clock: the same facts give the same bytes. Nothing here decides
//! anything; whatever is judged was judged by the fold. A passcode never comes near a paper.

mod bay;
mod came;
mod cautions;
mod goes;
mod own;
mod pictures;
mod proof;
mod record;
mod report;
mod sample;
mod shown;
mod slip;
mod step_words;
mod tags;
#[cfg(test)]
pub(crate) mod tests;
mod traces;
pub(crate) mod transport;
mod words;

pub use sample::PreviewedPaper;
pub use shown::ShownPage;
pub use tags::TagStock;

pub(crate) use report::{warranty_until, words};
pub(crate) use words::{Words, day};

use std::fs;
use std::path::Path;

use domain::ContentHash;
use domain::fact::{LabDescription, ShopDescription};
use domain::job::Job;
use papers::model::{Lab, PageSetup, PageSize, PaperMeta, Party};

use crate::desk::{Desk, PAPERS};
use crate::error::DeskError;
use crate::views::{PaperFile, PaperSize};

/// Who the lab is, for the head of a paper.
fn the_lab(desk: &Desk) -> Result<LabDescription, DeskError> {
    desk.lab()?
        .description
        .value()
        .cloned()
        .ok_or(DeskError::NoLab)
}

/// A report that was drawn and kept.
pub(crate) struct Drawn {
    /// The PDF among the papers.
    pub(crate) paper: PaperFile,
    /// Hash of the PDF's bytes, under which it is kept and sent.
    pub(crate) file: ContentHash,
    /// SHA-256 of the record it was made from; the record travels inside the PDF.
    pub(crate) digest: ContentHash,
    /// Its pages.
    pub(crate) pages: u32,
}

impl Desk {
    /// Draws the return report of a job, keeps the file and writes it among the papers. Records nothing.
    pub(crate) fn draw_report(&self, job: &Job, size: PaperSize) -> Result<Drawn, DeskError> {
        let gathered = report::Gathered::of(self, job)?;
        let record = record::ReportRecord::of(&gathered.told());
        let bytes = record.bytes();
        let digest = record::digest(&bytes);
        let seal = self.store.read(|reading| reading.seal_report(digest))?;
        let model = report::model(
            &gathered,
            self,
            &digest,
            record::attachments(job, bytes, &seal),
        )?;
        let pdf = papers::return_report(&model, &setup(size))?;
        let stored = self.files.whole().put(&pdf)?;
        let pages = papers::page_count(&pdf)?;
        let paper = self.write_paper(&format!("report-{}.pdf", job.reference), &pdf)?;
        Ok(Drawn {
            paper,
            file: stored.hash,
            digest,
            pages,
        })
    }

    /// Writes a paper under its name, whole or not at all.
    pub(crate) fn write_paper(&self, name: &str, pdf: &[u8]) -> Result<PaperFile, DeskError> {
        let folder = self.options.folder.join(PAPERS);
        fs::create_dir_all(&folder).map_err(|source| failed(&folder, "written", source))?;
        let path = folder.join(name);
        let half = folder.join(format!("{name}.part"));
        fs::write(&half, pdf)
            .and_then(|()| fs::rename(&half, &path))
            .map_err(|source| failed(&path, "written", source))?;
        let size_bytes = u64::try_from(pdf.len()).unwrap_or(u64::MAX);
        Ok(PaperFile {
            path: path.display().to_string(),
            name: name.to_owned(),
            size_bytes,
        })
    }
}

fn failed(path: &Path, action: &'static str, source: std::io::Error) -> DeskError {
    DeskError::File {
        path: path.display().to_string(),
        action,
        source,
    }
}

pub(crate) fn setup(size: PaperSize) -> PageSetup {
    PageSetup {
        page_size: page_size(size),
    }
}

const fn page_size(size: PaperSize) -> PageSize {
    match size {
        PaperSize::A4 => PageSize::A4,
        PaperSize::Letter => PageSize::Letter,
    }
}

/// What a file says about itself. `made_at_ms` is the time of the latest fact it tells.
pub(crate) fn meta(title: String, lab: &LabDescription, made_at_ms: u64) -> PaperMeta {
    PaperMeta {
        title,
        author: lab.name.clone(),
        language: "en".to_owned(),
        made_at_ms: i64::try_from(made_at_ms).unwrap_or(i64::MAX),
    }
}

fn lab_head(lab: &LabDescription) -> Lab {
    let contact = [&lab.phone, &lab.email]
        .into_iter()
        .filter(|line| !line.is_empty())
        .cloned()
        .collect();
    Lab {
        name: lab.name.clone(),
        address: with_country(&lab.address_lines, &lab.country),
        contact,
        mark: None,
        foot: String::new(),
    }
}

fn party(shop: Option<&ShopDescription>) -> Party {
    shop.map_or_else(
        || Party {
            name: "shop not known".to_owned(),
            address: Vec::new(),
        },
        |shop| Party {
            name: shop.name.clone(),
            address: with_country(&shop.address_lines, &shop.country),
        },
    )
}

fn with_country(lines: &[String], country: &str) -> Vec<String> {
    lines
        .iter()
        .cloned()
        .chain((!country.is_empty()).then(|| country.to_owned()))
        .collect()
}
