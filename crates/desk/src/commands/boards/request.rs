//! What a screen asks about boards. Texts come as they were typed; nothing here reads or judges them.

use domain::JobId;
use domain::fact::{BoardCode, BoardSide, TestCode};
use domain::rework::MoistureLevel;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Which board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BoardKey {
    /// Its code.
    pub code: BoardCode,
}

/// Adds or changes a board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SaveBoard {
    /// Its code.
    pub code: String,
    /// What it is called.
    pub name: String,
    /// The maker of its devices.
    pub maker: String,
    /// The models it is in.
    pub models: Vec<String>,
    /// More words; may be empty.
    pub note: String,
    /// True when it is not to be offered any more.
    pub retired: bool,
}

/// Adds or changes a part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SaveBoardPart {
    /// The board.
    pub board: BoardCode,
    /// Its designator.
    pub designator: String,
    /// What it is.
    pub description: String,
    /// The side it is on.
    pub side: BoardSide,
    /// Length of its body in millimetres, as typed; empty when not known.
    pub length: String,
    /// Width, likewise.
    pub width: String,
    /// Thickness, likewise.
    pub thickness: String,
    /// Its moisture sensitivity, once known.
    pub moisture: Option<MoistureLevel>,
    /// The tests that would show harm to it.
    pub serves: Vec<TestCode>,
    /// True when it is no part of this board after all.
    pub gone: bool,
}

/// Says that heat on one part reaches another, or that it does not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetNearness {
    /// The board.
    pub board: BoardCode,
    /// One designator.
    pub one: String,
    /// The other.
    pub other: String,
    /// False takes it back.
    pub near: bool,
    /// How it is known; may be empty.
    pub note: String,
}

/// Adds a neighbour from the bench, and the board and the parts with it where they are not known yet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AddNeighbour {
    /// The job at whose bench it was seen.
    pub job_id: JobId,
    /// The board; none makes one for the job's device.
    pub board: Option<BoardCode>,
    /// The heated part.
    pub heated: String,
    /// The side it is on, if it is new.
    pub heated_side: BoardSide,
    /// The neighbour.
    pub neighbour: String,
    /// What it is.
    pub description: String,
    /// The side it is on.
    pub side: BoardSide,
    /// The tests that would show harm to it.
    pub serves: Vec<TestCode>,
}
