//! The stages, stations, blocks and holds of a route, with their words and which block a person may pass.
//!
//! Which of them holds for a job is never decided here.

use serde::{Deserialize, Serialize};

use crate::fact::TestCode;

/// Where a job is. The words are those of the Core Business Vocabulary (GS1 CBV 2.0) where it has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Stage {
    /// Announced, not here.
    Advised,
    /// In the house, not looked at.
    Receiving,
    /// Looked at and tested.
    Inspecting,
    /// Waiting.
    Holding,
    /// On the bench.
    Repairing,
    /// Tested after the work.
    Proving,
    /// To be packed.
    Packing,
    /// In a return parcel.
    Shipping,
    /// On its way back: custody has ended.
    Returned,
    /// Destroyed.
    Destroyed,
}

impl Stage {
    /// The word on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Advised => "advised",
            Self::Receiving => "receiving",
            Self::Inspecting => "inspecting",
            Self::Holding => "holding",
            Self::Repairing => "repairing",
            Self::Proving => "proving",
            Self::Packing => "packing",
            Self::Shipping => "shipping",
            Self::Returned => "returned",
            Self::Destroyed => "destroyed",
        }
    }

    /// True while the lab has the device.
    pub const fn in_house(self) -> bool {
        !matches!(self, Self::Advised | Self::Returned | Self::Destroyed)
    }
}

/// A station on the route strip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Station {
    /// The shop announces it.
    Advice,
    /// It is taken in.
    Dock,
    /// Its cell is looked at.
    CellCheck,
    /// It is identified and its condition recorded.
    LookOver,
    /// It is tested as it came.
    Before,
    /// The shop decides.
    Quote,
    /// It is repaired.
    Work,
    /// It is tested as it goes.
    After,
    /// Its outcome is set and its report made.
    Report,
    /// It is packed and shipped.
    Outbound,
}

impl Station {
    /// All, in order.
    pub const ALL: [Self; 10] = [
        Self::Advice,
        Self::Dock,
        Self::CellCheck,
        Self::LookOver,
        Self::Before,
        Self::Quote,
        Self::Work,
        Self::After,
        Self::Report,
        Self::Outbound,
    ];

    /// The name on the strip.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Advice => "Advice",
            Self::Dock => "Dock",
            Self::CellCheck => "Cell check",
            Self::LookOver => "Look-over",
            Self::Before => "Before",
            Self::Quote => "Quote",
            Self::Work => "Work",
            Self::After => "After",
            Self::Report => "Report",
            Self::Outbound => "Outbound",
        }
    }
}

/// How a station stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum StationState {
    /// Passed.
    Done,
    /// The way in.
    Next,
    /// It would be next, but something is missing.
    Blocked,
    /// Its turn has not come.
    Later,
    /// This job does not pass here.
    Skipped,
}

/// What keeps a job from a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Block {
    /// The device is not in the house.
    NotArrived,
    /// The device has left.
    HasLeft,
    /// A newer program recorded something that must not be ignored.
    ReadOnly,
    /// No cell check.
    CellNotChecked,
    /// The cell is not clear.
    CellNotClear,
    /// Nobody can say yet whether the cell is sound or damaged.
    CellUndiagnosed,
    /// No identity.
    IdentityMissing,
    /// The identity differs from the advice.
    IdentityDiffers,
    /// No signs recorded.
    SignsMissing,
    /// No tests chosen, or none that shows the fault.
    TestsNotChosen,
    /// Chosen tests without a result before.
    BeforeMissing,
    /// No quote.
    QuoteMissing,
    /// The shop has not agreed.
    NotAgreed,
    /// A person placed a hold.
    Held,
    /// No step of work.
    NoWork,
    /// Tests without a result after.
    AfterMissing,
    /// The declared fault is not fixed.
    FaultNotFixed,
    /// Something is worse.
    MadeWorse,
    /// A heated neighbour is not proved.
    NeighbourNotProved,
    /// People disagree on a value that counts here.
    Disputed,
    /// No outcome.
    OutcomeMissing,
    /// No report that tells of the latest facts.
    ReportMissing,
    /// The shop is not known.
    ShopUnknown,
    /// A chosen test fails after the work.
    StillFailing,
    /// Nothing is better than it was.
    NothingFixed,
    /// Results after that were not taken in the closed device with all its parts attached.
    NotClosed,
    /// Two benches recorded different results.
    ResultsDiffer,
    /// The declared fault did show.
    FaultFound,
    /// The board was worked on.
    WorkDone,
    /// Nothing is written about what was found.
    DiagnosisMissing,
    /// The shop has not refused.
    NotRefused,
    /// A hold point without its result or its witness.
    HoldPointOpen,
    /// A jumper that does not read as its wire should.
    JumperNotAccepted,
}

impl Block {
    /// True where a person with the right may pass it by giving a reason. What protects life, custody or the law is not among them.
    pub const fn can_be_overridden(self) -> bool {
        matches!(
            self,
            Self::IdentityDiffers
                | Self::TestsNotChosen
                | Self::BeforeMissing
                | Self::AfterMissing
                | Self::FaultNotFixed
                | Self::MadeWorse
                | Self::NeighbourNotProved
                | Self::Held
                | Self::StillFailing
                | Self::NothingFixed
                | Self::NotClosed
                | Self::FaultFound
                | Self::WorkDone
                | Self::NotRefused
                | Self::JumperNotAccepted
        )
    }
}

/// One thing that is missing, in a sentence that says the way out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Missing {
    /// What.
    pub block: Block,
    /// What is wrong and what would be right.
    pub sentence: String,
    /// True when a person with the right may pass it with a reason.
    pub can_be_overridden: bool,
    /// The tests it is about; empty where it is not about tests.
    pub tests: Vec<TestCode>,
}

/// Why a job waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum HoldReason {
    /// For the shop's decision on the quote.
    ShopDecision,
    /// The shop asked something.
    ShopAsked {
        /// Its question.
        question: String,
    },
    /// For a part.
    Part {
        /// Which.
        note: String,
    },
    /// For something else.
    Other {
        /// What.
        note: String,
    },
    /// Its cell is in isolation.
    CellInIsolation,
    /// It was not in its parcel.
    MissingFromParcel,
    /// It is not the device that was announced.
    WrongItem,
    /// People disagree.
    Disagreement,
}

impl HoldReason {
    /// The words on screens.
    pub fn words(&self) -> String {
        match self {
            Self::ShopDecision => "waits for the shop's decision".to_owned(),
            Self::ShopAsked { question } => format!("the shop asks: {question}"),
            Self::Part { note } => format!("waits for a part: {note}"),
            Self::Other { note } => format!("on hold: {note}"),
            Self::CellInIsolation => "its cell is in isolation".to_owned(),
            Self::MissingFromParcel => "it was not in its parcel".to_owned(),
            Self::WrongItem => "it is not the device that was announced".to_owned(),
            Self::Disagreement => "a disagreement is to be settled".to_owned(),
        }
    }
}

/// One station of one job's route.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Stop {
    /// The station.
    pub station: Station,
    /// How it stands.
    pub state: StationState,
    /// When it was passed, in milliseconds since 1970.
    pub at_ms: Option<u64>,
    /// What is missing before it can be entered.
    pub missing: Vec<Missing>,
}
