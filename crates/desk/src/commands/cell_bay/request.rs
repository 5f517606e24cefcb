//! What a screen asks at the Cell bay. Texts come as they were typed; nothing here reads or judges them.

use domain::cells::{CellFinding, WarmedBy};
use domain::fact::{CellVerdict, IsolationPlace};
use domain::{CellId, EntryId, JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Something in the Cell bay: a device by its job, or a removed cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BayKey {
    /// Its subject: a job or a cell.
    pub subject: Subject,
}

/// A reading as typed. Numbers are texts, as they stand in their fields; an empty field is “not measured”.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, TS)]
pub struct CellReadingInput {
    /// What was seen.
    pub findings: Vec<CellFinding>,
    /// Resting voltage, such as `3.82`.
    pub voltage: String,
    /// Cells in series, if that became known.
    pub cells_in_series: String,
    /// Temperature of the surface, in degrees Celsius.
    pub surface: String,
    /// Temperature of the room, in degrees Celsius.
    pub room: String,
    /// What may have warmed it.
    pub warmed_by: Option<WarmedBy>,
    /// More words.
    pub note: String,
}

/// Records a reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TakeCellReading {
    /// Of what: a job or a cell.
    pub subject: Subject,
    /// The reading.
    pub reading: CellReadingInput,
}

/// Puts something in isolation, or elsewhere in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PlaceInIsolation {
    /// What: a job or a cell.
    pub subject: Subject,
    /// Where.
    pub place: IsolationPlace,
    /// The position's own label; may be empty.
    pub position: String,
}

/// Records that a cell was taken out of its device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RemoveCell {
    /// The device's job.
    pub job_id: JobId,
    /// Where the cell lies now.
    pub place: IsolationPlace,
    /// The position's own label; may be empty.
    pub position: String,
    /// More words; may be empty.
    pub note: String,
}

/// Judges a cell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct JudgeCell {
    /// Which: a job or a cell.
    pub subject: Subject,
    /// What it is.
    pub verdict: CellVerdict,
    /// Why, by what criteria.
    pub reason: String,
    /// The entries the person had on screen. What was recorded meanwhile elsewhere is not covered.
    pub seen: Vec<EntryId>,
}

/// Hands a removed cell to a recycler.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HandOverCell {
    /// The cell.
    pub cell_id: CellId,
    /// Who takes it.
    pub recycler: String,
    /// The number of the paper it goes with.
    pub paper_number: String,
    /// The day; empty for today.
    pub date: String,
    /// More words; may be empty.
    pub note: String,
}

/// Sends a cell back under the provisions for damaged cells.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ReturnCell {
    /// Which: a job or a cell.
    pub subject: Subject,
    /// Under which provisions, with their edition.
    pub provisions: String,
    /// The number of the transport paper; may be empty for a device that is yet to be packed.
    pub paper_number: String,
    /// The day; empty for today.
    pub date: String,
    /// More words; may be empty.
    pub note: String,
}

/// Says why a cell stays in isolation.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HoldCell {
    /// Which: a job or a cell.
    pub subject: Subject,
    /// What for.
    pub reason: String,
}
