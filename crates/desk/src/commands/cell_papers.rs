//! Printing what goes with cells: the label in the Cell bay, the record for a recycler, and the papers of a return parcel.
//!
//! The rule engine judges; here its answer becomes paper. A paper that would not be lawful is refused with the way out.

pub use crate::drawing::transport::{ParcelPaper, ParcelPaperKind};

use domain::cells::bay::Cell;
use domain::cells::book::RuleBook;
use domain::cells::transport::{
    Condition, Parcel as Question, Verdict, codes_of, condition, judge_parcel,
};
use domain::cells::{BenchLevel, CellFinding};
use domain::parcel::Direction;
use domain::{CellId, JobId, ParcelId, Subject};
use papers::model::{BayStock, Overridden};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::dock::TagStock;
use super::transport::covers;
use super::{PaperFile, PaperSize};
use crate::desk::Desk;
use crate::drawing::transport::ForTransport;
use crate::error::DeskError;

/// What stands in the Cell bay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum InBay {
    /// A device with its cell still in it.
    Device {
        /// Its job.
        job_id: JobId,
    },
    /// A cell that was taken out.
    Cell {
        /// The cell.
        cell_id: CellId,
    },
}

/// Prints a bay label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PrintBayLabel {
    /// What it is for.
    pub of: InBay,
    /// On what: a roll, or a whole sheet.
    pub stock: TagStock,
}

/// Prints the record that goes with a cell handed to a recycler.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PrintHandover {
    /// The cell.
    pub cell_id: CellId,
    /// The page.
    pub size: PaperSize,
}

/// Prints the papers of a return parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PrintTransportPapers {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The question its verdict answers.
    pub question: Question,
    /// Name of the person who signs as shipper; may be empty, and is then written by hand.
    pub shipper: String,
    /// True when the package is too small for a mark of 100 x 100 mm.
    pub small_marks: bool,
    /// The page.
    pub size: PaperSize,
}

/// Prints a bay label.
pub fn print_bay_label(desk: &Desk, request: PrintBayLabel) -> Result<PaperFile, DeskError> {
    let (stock, size) = match request.stock {
        TagStock::Roll62Mm => (BayStock::Roll62, PaperSize::A4),
        TagStock::SheetA4 => (BayStock::Sheet, PaperSize::A4),
        TagStock::SheetLetter => (BayStock::Sheet, PaperSize::Letter),
    };
    match request.of {
        InBay::Device { job_id } => desk.bay_label_of_job(job_id, stock, size),
        InBay::Cell { cell_id } => desk.bay_label_of_cell(&removed(desk, cell_id)?, stock, size),
    }
}

/// Prints the record that goes with a cell handed to a recycler.
pub fn print_handover(desk: &Desk, request: PrintHandover) -> Result<PaperFile, DeskError> {
    desk.handover_record(&removed(desk, request.cell_id)?, request.size)
}

/// Prints the papers of a return parcel: packing instruction, and whatever marks, words and sentences its verdict asks for.
pub fn print_transport_papers(
    desk: &Desk,
    request: PrintTransportPapers,
) -> Result<Vec<ParcelPaper>, DeskError> {
    let view = desk.parcel_view(request.parcel_id)?;
    if view.parcel.direction != Direction::Outward {
        return Err(DeskError::refused(
            "only a return parcel has papers for its journey",
        ));
    }
    if view.devices.is_empty() {
        return Err(DeskError::refused(
            "the parcel is empty; scan its devices first",
        ));
    }
    let book = desk.lab()?.rule_book();
    says_no_less_than_the_checks(desk, &view.parcel.inside, &request.question, &book)?;
    // A parcel that has left is printed again with the verdict it left with, whatever the rules say since.
    let given = desk.parcel(request.parcel_id)?.verdict;
    let verdict = given
        .filter(|given| given.value.question == request.question)
        .map_or_else(
            || judge_parcel(&book, &request.question),
            |given| given.value.verdict,
        );
    let overridden = decided(desk, request.parcel_id, &verdict)?;
    desk.transport_papers(&ForTransport {
        view: &view,
        question: &request.question,
        verdict: &verdict,
        book: &book,
        overridden,
        shipper: request.shipper.trim().to_owned(),
        small_marks: request.small_marks,
        size: request.size,
    })
}

/// The trained shipper's decision, where it covers the verdict that is printed.
fn decided(
    desk: &Desk,
    parcel_id: ParcelId,
    verdict: &Verdict,
) -> Result<Option<Overridden>, DeskError> {
    let parcel = desk.parcel(parcel_id)?;
    let Some(decision) = parcel
        .decision
        .as_ref()
        .filter(|decision| covers(&decision.value, verdict))
    else {
        return Ok(None);
    };
    Ok(Some(Overridden {
        what: verdict.words.clone(),
        reason: decision.value.reason.clone(),
        by: format!(
            "{}, trained until {}",
            desk.said_by(&decision.mark)?,
            decision.value.trained_until
        ),
    }))
}

/// The question comes from a form; the cells were looked at by people. What they found is never left out of a paper.
fn says_no_less_than_the_checks(
    desk: &Desk,
    inside: &[JobId],
    question: &Question,
    book: &RuleBook,
) -> Result<(), DeskError> {
    let asked = question.contents.iter();
    let asked = asked.map(|contents| condition(&contents.findings)).max();
    for job_id in inside {
        let job = desk.job(*job_id)?;
        let check = job.cell().map(|cell| &cell.check);
        if check.is_some_and(|check| check.findings.contains(&CellFinding::Missing)) {
            continue;
        }
        let watched = job
            .cell()
            .is_some_and(|cell| cell.judgement.level > BenchLevel::Clear);
        let found = condition(&codes_of(book, check));
        let found = if watched {
            found.max(Condition::Undiagnosed)
        } else {
            found
        };
        if asked.is_none_or(|asked| asked < found) {
            return Err(DeskError::refused(format!(
                "the cell of {} is {}, and the question says less; ask for the verdict anew with what was found",
                job.reference,
                found.words()
            )));
        }
    }
    Ok(())
}

fn removed(desk: &Desk, cell_id: CellId) -> Result<Cell, DeskError> {
    let entries = desk.entries(Subject::Cell(cell_id))?;
    if entries.is_empty() {
        return Err(DeskError::NotFound { what: "cell" });
    }
    Ok(domain::fold_cell(cell_id, &entries))
}
