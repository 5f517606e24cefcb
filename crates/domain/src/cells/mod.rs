//! The look at a lithium cell before any power is applied, and what the bench must do about it.
//!
//! `judge` turns findings and readings into a bench level with its reasons, the source of each, and the next actions. The
//! worst finding wins, what is unknown is never taken for good, and a cell that nobody has seen is never clear. It is a
//! check list for people and no approval: a trained person, the maker's criteria, local fire code and the carrier come
//! first. It never advises anyone to move, cover or go near a cell that is reacting.

pub mod bay;
pub mod book;
mod findings;
mod history;
mod judge;
mod rating;
mod rules;
pub mod schedule;
#[cfg(test)]
mod tests;
pub mod transport;

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

pub use findings::CellFinding;
pub(crate) use history::{celsius, volts, without_cell};
pub use judge::{judge, judge_by};
pub use rating::{
    Rating, ReadingError, energy_text, parse_capacity_mah, parse_energy_uwh,
    parse_temperature_tenths_c, parse_voltage_mv,
};
pub use rules::{Certainty, RULES_REVISION, RuleRow, rules};

/// What was seen and measured on the cell or battery of one device.
///
/// Everything that was not looked at or measured stays `None` or out of `findings`; absence never counts as good.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellCheck {
    /// What was seen, smelt, felt or is known. `nothing_wrong` is a finding too: somebody looked.
    pub findings: BTreeSet<CellFinding>,
    /// Voltage at rest over the whole cell or battery, in millivolts.
    pub voltage_mv: Option<u32>,
    /// How many cells stand in series; 1 for most phones. The voltage limits are for one cell.
    pub cells_in_series: Option<u8>,
    /// Surface temperature at the hottest place, in tenths of a degree Celsius.
    pub surface_tenths_c: Option<i32>,
    /// Room temperature at the same time, in tenths of a degree Celsius.
    pub room_tenths_c: Option<i32>,
    /// What warmed the device from outside shortly before, if anything did and that is certain.
    pub warmed_by: Option<WarmedBy>,
    /// The chemistry, as far as it is known.
    pub chemistry: Chemistry,
    /// What is printed on the cell or battery.
    pub rating: Rating,
    /// Anything else, in the inspector's words.
    pub note: String,
    /// How many strings of cells stand side by side; 1 for most phones. The voltage says nothing of it; transport counts with it.
    pub cells_in_parallel: Option<u8>,
    /// The bench rules that were the lab's own when it was recorded: it is judged by them, whatever changes later.
    pub rules: Vec<book::UsedRule>,
}

impl CellCheck {
    /// How many cells it consists of, as far as that is known: those in series, times those side by side. Where nobody said how
    /// many stand side by side, one: then a pack of one cell in series keeps the lower limit of a single cell.
    pub fn cells(&self) -> Option<u16> {
        let in_series = u16::from(self.cells_in_series?);
        Some(in_series * u16::from(self.cells_in_parallel.unwrap_or(1)))
    }
}

/// The chemistry of a cell, as far as transport and care tell them apart.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "CellChemistry"))]
pub enum Chemistry {
    /// Nobody has said or seen.
    #[default]
    Unknown,
    /// Rechargeable lithium ion, lithium polymer included.
    LiIon,
    /// Lithium metal, not rechargeable.
    LiMetal,
    /// Sodium ion.
    NaIon,
    /// Lithium metal and lithium ion in one battery.
    Hybrid,
}

/// A heat that comes from outside the cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum WarmedBy {
    /// It came out of the sun or a warm vehicle a moment ago.
    Journey,
    /// The device was running a moment ago.
    Running,
    /// It was being charged a moment ago.
    Charging,
}

/// What the bench may do with the device, from best to worst. The order is meant: the worst of several wins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum BenchLevel {
    /// Work may begin.
    Clear,
    /// Readings at set times, no charging; nothing is known to be wrong, or not enough is known.
    Watch,
    /// Into the Cell bay, away from people and from whatever burns.
    Isolate,
    /// Leave, and call the fire service.
    Emergency,
}

impl BenchLevel {
    /// The one word on screens and papers.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Watch => "watch",
            Self::Isolate => "isolate",
            Self::Emergency => "emergency",
        }
    }

    /// One sentence for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Clear => "clear: the bench may begin",
            Self::Watch => "watch: don't charge it, and take readings at the set times",
            Self::Isolate => "isolate: into the Cell bay, away from people and from whatever burns",
            Self::Emergency => "emergency: leave and call the fire service",
        }
    }
}

/// Why the level is what it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "CellReason"))]
pub struct Reason {
    /// The rule's id, stable for ever.
    pub rule: String,
    /// The level this rule alone calls for.
    pub level: BenchLevel,
    /// One sentence: what was seen or measured and what that means.
    pub text: String,
    /// Where the rule comes from, edition named where it has one.
    pub source: String,
    /// How sure the source is.
    pub certainty: Certainty,
}

/// What the bench must do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Judgement {
    /// The worst level any rule calls for.
    pub level: BenchLevel,
    /// The rules that fired, the worst first.
    pub reasons: Vec<Reason>,
    /// What to do, in order.
    pub actions: Vec<String>,
    /// When to look again, in minutes from the check; after the last, once a day. Empty when clear or in an emergency.
    pub recheck_minutes: Vec<u32>,
    /// What applies whatever the level.
    pub cautions: Vec<String>,
    /// What is not known and would have to be, before the level can be better or the device can be sent.
    pub unknowns: Vec<String>,
    /// The revision of the rules used, to be printed.
    pub rules_revision: String,
}
