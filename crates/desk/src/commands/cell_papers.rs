//! Printing what goes with cells: the label in the Cell bay, the record for a recycler, and the papers of a return parcel.
//!
//! Nothing here judges anything. A paper that would not be lawful is refused with the way out.

use domain::cells::bay::Cell;
use domain::{CellId, JobId, Subject};
use papers::model::BayStock;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::dock::TagStock;
use super::{PaperFile, PaperSize};
use crate::desk::Desk;
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

fn removed(desk: &Desk, cell_id: CellId) -> Result<Cell, DeskError> {
    let entries = desk.entries(Subject::Cell(cell_id))?;
    if entries.is_empty() {
        return Err(DeskError::NotFound { what: "cell" });
    }
    Ok(domain::fold_cell(cell_id, &entries))
}
