//! What the lab knows of a board: its parts, which of them heat reaches together, and which tests would show harm to each.
//!
//! Facts on the lab, kept for every board apart, each part and each pair a register of its own, so that two benches can add
//! to one board while apart. Nothing here judges a size or a code; that is done where it is typed.

use serde::{Deserialize, Serialize};

use super::{BoardSide, TestCode};
use crate::rework::{MoistureLevel, PackageBody};

/// The lab's name for a board, stable, such as `MB-N9-1`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct BoardCode(pub String);

/// A board and the devices it is in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct BoardDescription {
    /// Its code.
    pub code: BoardCode,
    /// What it is called, with the number printed on it.
    pub name: String,
    /// The maker of the devices it is in.
    pub maker: String,
    /// The models it is in.
    pub models: Vec<String>,
    /// More words; may be empty.
    pub note: String,
    /// True once it is not offered any more.
    pub retired: bool,
}

/// A part of a board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct BoardPart {
    /// The board.
    pub board: BoardCode,
    /// Its designator, in capitals.
    pub designator: String,
    /// What it is.
    pub description: String,
    /// The side it is on.
    pub side: BoardSide,
    /// Its body without balls or leads, once known.
    pub body: Option<PackageBody>,
    /// Its moisture sensitivity, once known.
    pub moisture: Option<MoistureLevel>,
    /// The functions it serves, by the tests that would show harm to it.
    pub serves: Vec<TestCode>,
    /// True when it was recorded by mistake and is no part of this board.
    pub gone: bool,
}

/// Whether heat on one part reaches another. It holds both ways; `a` sorts before `b`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct BoardNearness {
    /// The board.
    pub board: BoardCode,
    /// One designator.
    pub a: String,
    /// The other.
    pub b: String,
    /// False takes back what was recorded before.
    pub near: bool,
    /// How it is known; may be empty.
    pub note: String,
}
