//! Facts about cells in isolation: those still in their device, recorded on its job, and those taken out, which are things of
//! their own.
//!
//! A placement, a reading, a judgement and a way out mean the same on a job and on a removed cell. Nothing here decides what a
//! level is; that follows from the rules in `cells`.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::cells::bay::{Judging, Look};
use crate::cells::book::UsedRule;
use crate::cells::{CellCheck, CellFinding, WarmedBy};
use crate::ids::{CellId, JobId, ShopId};

/// Where something in isolation lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum IsolationPlace {
    /// The shelf or cabinet kept for cells, away from people and from whatever burns.
    Bay,
    /// A drum or lidded container that does not burn.
    Drum,
    /// A box outdoors, away from buildings.
    OutdoorsBox,
}

impl IsolationPlace {
    /// The words on screens and papers.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Bay => "Cell bay",
            Self::Drum => "drum",
            Self::OutdoorsBox => "outdoors box",
        }
    }
}

/// It was put somewhere in isolation, or moved within it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellPlacement {
    /// Where.
    pub place: IsolationPlace,
    /// The position's own label, such as `B3`; may be empty.
    pub position: String,
    /// The bench rules that were the lab's own when it was recorded.
    #[serde(default)]
    pub rules: Vec<UsedRule>,
}

/// A look at a cell that is being watched, with whatever was measured. What was not measured stays `None`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellReading {
    /// What was seen, heard or smelt; empty when only measured.
    pub findings: BTreeSet<CellFinding>,
    /// Voltage at rest over the whole cell or battery, in millivolts.
    pub voltage_mv: Option<u32>,
    /// How many cells stand in series, if that became known.
    pub cells_in_series: Option<u8>,
    /// Surface temperature at the hottest place, in tenths of a degree Celsius.
    pub surface_tenths_c: Option<i32>,
    /// Room temperature at the same time, in tenths of a degree Celsius.
    pub room_tenths_c: Option<i32>,
    /// What warmed it from outside shortly before, if anything did and that is certain.
    pub warmed_by: Option<WarmedBy>,
    /// More words.
    pub note: String,
    /// The bench rules that were the lab's own when it was recorded: it is judged by them, whatever changes later.
    pub rules: Vec<UsedRule>,
}

impl CellReading {
    /// The reading as a check in which everything that is printed on the cell stays open.
    pub fn as_check(&self) -> CellCheck {
        CellCheck {
            findings: self.findings.clone(),
            voltage_mv: self.voltage_mv,
            cells_in_series: self.cells_in_series,
            surface_tenths_c: self.surface_tenths_c,
            room_tenths_c: self.room_tenths_c,
            warmed_by: self.warmed_by,
            note: self.note.clone(),
            rules: self.rules.clone(),
            ..CellCheck::default()
        }
    }
}

/// On the job: the cell was taken out of the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellRemoval {
    /// The cell, a thing of its own from now on.
    pub cell_id: CellId,
    /// More words; may be empty.
    pub note: String,
}

/// On the cell: where it comes from, and all that was seen of it while it was in its device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellOrigin {
    /// The job of the device it was in.
    pub job_id: JobId,
    /// The shop whose device it was in.
    pub shop_id: Option<ShopId>,
    /// The device, in words.
    pub device: String,
    /// Looks at it so far, oldest first.
    pub looks: Vec<Look>,
    /// What people with battery knowledge judged so far, oldest first.
    pub judged: Vec<Judging>,
    /// When its isolation began, in milliseconds since 1970, if it had.
    pub isolated_since_ms: Option<u64>,
}

/// What a person with battery knowledge, or the maker's criteria, say of a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum CellVerdict {
    /// Nothing is wrong with it: it may leave isolation.
    Sound,
    /// It is damaged or defective and at rest: it stays in isolation.
    Damaged,
}

impl CellVerdict {
    /// The word on screens and papers.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Damaged => "damaged",
        }
    }
}

/// A person with battery knowledge judged the cell. It covers the looks that the entry names as seen, and no other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellJudged {
    /// What it is.
    pub verdict: CellVerdict,
    /// Why, by what criteria.
    pub reason: String,
    /// The bench rules that were the lab's own when it was recorded.
    #[serde(default)]
    pub rules: Vec<UsedRule>,
}

/// The cell was handed to a recycler: the record that leaves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellHandOver {
    /// Who took it.
    pub recycler: String,
    /// The number of the paper it went with.
    pub paper_number: String,
    /// The day, as `2026-11-25`.
    pub date: String,
    /// More words; may be empty.
    pub note: String,
}

/// The cell goes back under the provisions for damaged cells, by ground only, signed by a trained shipper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellReturn {
    /// Under which provisions, with their edition.
    pub provisions: String,
    /// The number of the transport paper; may be empty while a device waits to be packed.
    pub paper_number: String,
    /// The day, as `2026-11-25`.
    pub date: String,
    /// More words; may be empty.
    pub note: String,
}

/// It stays where it is, for a reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellHold {
    /// What for.
    pub reason: String,
}
