//! What is done to a board step by step, and why work waits or goes on in spite of a block.
//!
//! A step is what was done, never what was planned.

use serde::{Deserialize, Serialize};

use super::result::ChosenTest;
use crate::fact::{BoardCode, Jumper, LotUsed, ProcedureDone, TestCode};
use crate::ids::{ContentHash, EntryId, PersonId};

/// A side of the board.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum BoardSide {
    /// The side with the main parts.
    #[default]
    Top,
    /// The other side.
    Bottom,
}

/// What a heating step did to the board.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HeatExposure {
    /// The highest temperature, in degrees Celsius, measured where `measured_at` says.
    pub temperature_c: u16,
    /// Seconds at that temperature.
    pub seconds: u16,
    /// The heated side.
    pub side: BoardSide,
    /// Parts near enough to be harmed, on both sides, by designator.
    pub neighbours: Vec<String>,
    /// The tests that would show harm to them; each must be proved after.
    pub neighbour_tests: Vec<ChosenTest>,
    /// The part that was heated, by designator; empty in entries older than this field, and for heat on no part.
    #[serde(default)]
    pub part: String,
    /// The board whose knowledge was offered.
    #[serde(default)]
    pub board: Option<BoardCode>,
    /// Where the temperature was measured.
    #[serde(default)]
    pub measured_at: crate::rework::MeasuredAt,
    /// Seconds above the alloy's liquidus, if they were taken.
    #[serde(default)]
    pub above_liquidus_s: Option<u16>,
    /// The alloy, by its name; empty when it is not known.
    #[serde(default)]
    pub alloy: String,
    /// The heated part's body, as the lab knew it then.
    #[serde(default)]
    pub body: Option<crate::rework::PackageBody>,
    /// Whether the cell was off; `None` when nobody said.
    #[serde(default)]
    pub cell_off: Option<bool>,
    /// Why neighbours or tests differ from what the board's knowledge offered; empty when they don't, or nothing was known.
    #[serde(default)]
    pub changed_because: String,
}

/// Where a part came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum PartSource {
    /// New stock.
    New,
    /// Taken from a donor board.
    Donor,
    /// The device's own part, put back.
    Own,
}

/// A part that was fitted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct FittedPart {
    /// Its designator on the board.
    pub designator: String,
    /// What it is.
    pub description: String,
    /// Where it came from.
    pub source: PartSource,
    /// Lot, or the donor board's number; may be empty.
    pub lot: String,
}

/// One step of bench work.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Step {
    /// What was done.
    pub text: String,
    /// The lab's own procedure code; may be empty.
    pub procedure: String,
    /// The tool; may be empty.
    pub tool: String,
    /// Parts fitted.
    pub parts: Vec<FittedPart>,
    /// Heat, if any was used.
    pub heat: Option<HeatExposure>,
    /// Who witnessed it, where it is a hold point.
    pub witness_id: Option<PersonId>,
    /// Photos of it.
    pub photos: Vec<ContentHash>,
    /// True when the work may not go on without a witness to it.
    #[serde(default)]
    pub hold_point: bool,
    /// Its place in a procedure that the job is worked by.
    #[serde(default)]
    pub in_procedure: Option<ProcedureDone>,
    /// The jumper it laid or read again.
    #[serde(default)]
    pub jumper: Option<Jumper>,
    /// The lots of moisture-sensitive parts that it took from.
    #[serde(default)]
    pub lots: Vec<LotUsed>,
}

/// What a job can be made to wait for by a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum HoldKind {
    /// A part that is not here.
    Part,
    /// Something the shop must send or say.
    Shop,
    /// Anything else, in the note.
    Other,
}

/// The job waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Hold {
    /// For what.
    pub kind: HoldKind,
    /// In words.
    pub note: String,
}

/// The job goes on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HoldLift {
    /// The hold that is over.
    pub hold_entry_id: EntryId,
    /// In words; may be empty.
    pub note: String,
}

/// A block that was passed by a person with the right to do so.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Override {
    /// The block.
    pub block: crate::job::Block,
    /// Why; it is printed.
    pub reason: String,
    /// The tests it covers; empty for all, where the block is not about tests, and in entries older than this list.
    #[serde(default)]
    pub tests: Vec<TestCode>,
}
