//! Papers: a finished view model in, PDF bytes out.
//!
//! Knows nothing of how the facts came to be. Never reads a clock, a random source, a file or the environment: the same
//! model gives the same bytes.

mod error;
mod finish;
mod fonts;
mod layout;
mod marks;
pub mod model;
mod paper;
mod picture;
mod qr;

#[cfg(test)]
extern crate self as papers;
#[cfg(test)]
#[path = "../examples/samples/mod.rs"]
mod samples;
#[cfg(test)]
mod tests;

pub use error::{PaperError, PictureError};
use model::{InwardSlip, JobTags, PackingSlip, PageSetup, ReturnReport};

/// Makes the return report of one job: a PDF of one page for a simple job, of as many as it needs for a large one.
pub fn return_report(report: &ReturnReport, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::return_report::make(report, setup)
}

/// Makes the inward slip that a shop puts in the box.
pub fn inward_slip(slip: &InwardSlip, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::inward_slip::make(slip, setup)
}

/// Makes job tags: one page a tag on a roll, or sheets of labels of the size in `setup`.
pub fn job_tags(tags: &JobTags, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::job_tags::make(tags, setup)
}

/// Makes the packing slip of a return parcel.
pub fn packing_slip(slip: &PackingSlip, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::packing_slip::make(slip, setup)
}

/// How many pages a finished paper has.
pub fn page_count(pdf: &[u8]) -> Result<u32, PaperError> {
    finish::page_count(pdf)
}
