//! Papers: a finished view model in, PDF bytes out.
//!
//! Knows nothing of how the facts came to be. Never reads a clock, a random source, a file or the environment: the same
//! model gives the same bytes.

mod archive;
pub mod attached;
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
use model::{
    BatteryMarks, BayLabels, HandoverRecord, InwardSlip, JobTags, PackingInstruction, PackingSlip,
    PageSetup, ReturnReport, TestPage, WaybillSentences, WordLabels,
};

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

/// Makes the packing instruction of a return parcel, in the order of the hands' work.
pub fn packing_instruction(
    instruction: &PackingInstruction,
    setup: &PageSetup,
) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::packing_instruction::make(instruction, setup)
}

/// Makes battery marks to cut out, at their lawful size whatever the sheet.
pub fn battery_marks(marks: &BatteryMarks, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::battery_marks::make(marks, setup)
}

/// Makes words for a parcel's outside, each at its letter height. Words that don't fit upright get a page of their own across.
pub fn word_labels(labels: &WordLabels, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::word_labels::make(labels, setup)
}

/// Makes the sheet with the sentences for the air waybill.
pub fn waybill_sentences(
    sheet: &WaybillSentences,
    setup: &PageSetup,
) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::waybill::make(sheet, setup)
}

/// Makes labels for cells and devices in isolation: one page each, on a roll or on whole sheets.
pub fn bay_labels(labels: &BayLabels, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::bay_labels::make(labels, setup)
}

/// Makes the record that goes with a cell handed to a recycler.
pub fn handover_record(record: &HandoverRecord, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::handover::make(record, setup)
}

/// Makes a page by which a printer shows whether it keeps true sizes.
pub fn test_page(test: &TestPage) -> Result<Vec<u8>, PaperError> {
    fonts::check_bundled()?;
    paper::test_page::make(test)
}

/// Width and height of a finished paper's first page, in whole millimetres.
pub fn page_millimetres(pdf: &[u8]) -> Result<(u32, u32), PaperError> {
    finish::page_millimetres(pdf)
}

/// How many pages a finished paper has.
pub fn page_count(pdf: &[u8]) -> Result<u32, PaperError> {
    finish::page_count(pdf)
}
