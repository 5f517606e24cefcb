//! What heat, solder, wire and moisture may do to a board, and what published figures say of it.
//!
//! Warnings, not permissions: the part maker's own limits come first, and the lab's procedure and a trained person decide. The
//! reflow figures classify packages on new boards; for rework they are used as ceilings only. Figures whose source could not
//! be read say so in their words.

mod alloy;
mod floor_life;
mod reflow;
#[cfg(test)]
mod tests;
mod wire;

pub use alloy::{ALLOYS, Alloy, alloy_named, mixing_warning};
pub use floor_life::{
    BakeHours, Exposure, FloorLife, Moisture, MoistureLevel, bake_hours, floor_life,
};
pub use reflow::{
    Finish, HeatSeen, HeatWarning, MeasuredAt, PackageBody, heat_warnings, peak_limit_c,
};
pub use wire::{JumperReading, JumperVerdict, Wire, WireError, judge_jumper};
