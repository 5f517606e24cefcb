//! What a step of work keeps besides its words: its place in a procedure, a jumper, the lots it used.

use serde::{Deserialize, Serialize};

use super::LotNumber;
use crate::ids::EntryId;
use crate::rework::{FloorLife, JumperReading, Wire};

/// A jumper wire that was laid, or read again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Jumper {
    /// The net, and from where to where when it has several. A later reading of the same net replaces the earlier.
    pub net: String,
    /// The wire.
    pub wire: Wire,
    /// Its length in micrometres.
    pub length_um: u32,
    /// How warm the wire was, in tenths of a degree Celsius.
    pub temperature_tenths_c: i32,
    /// What was read over it.
    pub reading: JumperReading,
}

/// A lot that a step took a part from, as its floor life stood then.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LotUsed {
    /// The part's designator on the board.
    pub designator: String,
    /// The lot.
    pub lot: LotNumber,
    /// What was left of its floor life.
    pub floor_life: FloorLife,
}

/// Which step of which begun procedure a step of work is, and what it came to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ProcedureDone {
    /// The entry by which the job began the procedure.
    pub begun_id: EntryId,
    /// Its place, from 0.
    pub index: u32,
    /// For a hold point: whether its result allows the work to go on. True for other steps.
    pub passed: bool,
    /// For a hold point: what was found, in words; empty for other steps.
    pub result: String,
}
