//! What a test needs, with what it is measured, and what a result keeps of how it was taken.
//!
//! A result copies from its test's definition all that its judgement rests on, so that a job can be read, judged and printed
//! without the catalogue, by the version it was tested with.

use serde::{Deserialize, Serialize};

use crate::ids::{ContentHash, EntryId};

/// How the device must stand for a test's result to mean anything.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Needs {
    /// Nothing in particular.
    #[default]
    Nothing,
    /// The parts that the test names are attached; the case may be open.
    Attached,
    /// The case is closed and all parts are attached.
    Closed,
    /// The board lies open with parts off or replaced, as the test says: it can't be done in the closed device.
    OnBench,
}

/// How the device stood when it was tested.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Assembly {
    /// Closed, with all its parts attached.
    Closed,
    /// Open, with all its parts attached.
    Open,
    /// With parts off, or others in their place.
    PartsOff {
        /// Which, in words.
        parts: String,
    },
}

impl Assembly {
    /// True when a result taken like this means something for a test with these needs.
    pub const fn meets(&self, needs: Needs) -> bool {
        match needs {
            Needs::Nothing | Needs::OnBench => true,
            Needs::Attached => matches!(self, Self::Closed | Self::Open),
            Needs::Closed => matches!(self, Self::Closed),
        }
    }

    /// The words on screens and papers.
    pub fn words(&self) -> String {
        match self {
            Self::Closed => "closed, all parts attached".to_owned(),
            Self::Open => "open, all parts attached".to_owned(),
            Self::PartsOff { parts } if parts.is_empty() => "with parts off".to_owned(),
            Self::PartsOff { parts } => format!("with parts off: {parts}"),
        }
    }
}

/// What a reading is taken with, and how well it measures: the accuracy of its data sheet, as “0.5 % of reading + 3 counts”.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Instrument {
    /// Its name, or what kind it is; empty when none is needed.
    pub name: String,
    /// The part of its accuracy that grows with the reading, in millionths of it; 5000 is 0.5 %.
    pub reading_ppm: u32,
    /// The fixed part of its accuracy, in counts of its last digit.
    pub counts: u32,
    /// One count of its last digit, in millionths of the test's unit; 0 when it is not known.
    pub count_micro: u64,
    /// The lowest value it can show, in millionths of the unit.
    pub low_micro: Option<i64>,
    /// The highest value it can show, in millionths of the unit.
    pub high_micro: Option<i64>,
}

impl Instrument {
    /// True when its accuracy is known.
    pub const fn is_specified(&self) -> bool {
        self.reading_ppm > 0 || (self.counts > 0 && self.count_micro > 0)
    }
}

/// One answer of a test that is chosen from a list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ChoiceAnswer {
    /// The answer.
    pub words: String,
    /// True when it counts as passed.
    pub passes: bool,
}

/// A stretch of a current trace in which the current keeps its level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TraceStage {
    /// Where it begins, in microseconds from the trace's first row.
    pub from_us: i64,
    /// Where it ends, likewise.
    pub to_us: i64,
    /// Its mean current by time, in nanoamperes.
    pub mean_na: i64,
}

/// What a current trace from a bench supply came to. The file itself is kept under its hash.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TraceRecord {
    /// The file, byte for byte.
    pub file: ContentHash,
    /// Its size in bytes.
    pub size_bytes: u64,
    /// Its name as it was dropped.
    pub name: String,
    /// Rows that were read.
    pub rows: u32,
    /// Rows that could not be read and are left out of the figures.
    pub broken_rows: u32,
    /// From the first to the last row, in microseconds.
    pub length_us: i64,
    /// The highest current, in nanoamperes.
    pub peak_na: i64,
    /// From the rise of the current to its steady level, in microseconds; none when it never settles.
    pub start_up_us: Option<i64>,
    /// The charge drawn over the whole trace by the trapezoid rule, in nanoampere-hours.
    pub charge_nah: i64,
    /// The levels it passed through.
    pub stages: Vec<TraceStage>,
}

/// How a result was taken: all that its judgement and its comparison rest on, besides what it gave.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Taken {
    /// The entry that defined the test as it was done; none in results older than versions by entries.
    pub definition_id: Option<EntryId>,
    /// What the test needs for its result to mean anything.
    pub needs: Needs,
    /// What must be attached, in the test's words.
    pub attached: String,
    /// How the device stood; none when it was not said.
    pub assembly: Option<Assembly>,
    /// What the reading was taken with; may be empty.
    pub instrument: String,
    /// The single readings, in millionths of the unit, when the value is the mean of several.
    pub repeats_micro: Vec<i64>,
    /// The current trace it was read from.
    pub trace: Option<TraceRecord>,
}

impl Taken {
    /// True when the device stood as the test needs it. What was not said is taken at its word only where nothing is needed.
    pub fn is_meaningful(&self) -> bool {
        match &self.assembly {
            Some(assembly) => assembly.meets(self.needs),
            None => matches!(self.needs, Needs::Nothing | Needs::OnBench),
        }
    }

    /// True when it was taken in the closed device with all its parts attached.
    pub const fn is_closed(&self) -> bool {
        matches!(self.assembly, Some(Assembly::Closed))
    }
}
