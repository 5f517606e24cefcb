//! The transport verdict: what may go, how, with which marks and papers, and which rules say so.
//!
//! Screens and papers show the words here; the codes are for programs and for the published cases.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::question::{Carrier, Mode, Regime};
use crate::cells::Certainty;
use crate::cells::book::RuleBody;

/// The verdict, from best to worst. The order is meant: the worst of several wins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "SCREAMING_SNAKE_CASE")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "TransportCode"))]
pub enum VerdictCode {
    /// May go as an ordinary small-battery shipment, without a battery mark.
    Ordinary,
    /// May go with the marks or words listed.
    Marked,
    /// Ground only, under the provisions for damaged batteries; a trained shipper signs.
    DdrGround,
    /// A trained shipper decides.
    Hold,
    /// Must not go this way.
    Forbidden,
}

impl VerdictCode {
    /// One sentence for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ordinary => "may go, without a battery mark",
            Self::Marked => "may go with these marks and words",
            Self::DdrGround => {
                "road only, under the provisions for damaged batteries; a trained shipper signs"
            }
            Self::Hold => "hold for a trained shipper",
            Self::Forbidden => "must not go this way",
        }
    }
}

/// What else a verdict says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "TransportFlag"))]
pub enum Flag {
    /// By surface only.
    SurfaceOnly,
    /// By cargo aircraft only.
    CargoAircraftOnly,
    /// No small-battery relief: all of the dangerous-goods rules apply.
    FullyRegulated,
    /// Leave, and call the fire service.
    Emergency,
    /// The carrier's own terms must be asked.
    CarrierCheck,
    /// Something needed is not known.
    DataMissing,
    /// A lower state of charge is advised.
    AdviceSoc,
    /// No battery marks or labels on the outside.
    NoOutsideBatteryLabels,
}

impl Flag {
    /// One sentence for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::SurfaceOnly => "by surface only, never by air",
            Self::CargoAircraftOnly => "by cargo aircraft only",
            Self::FullyRegulated => "fully regulated dangerous goods, no small-battery relief",
            Self::Emergency => "leave, and call the fire service",
            Self::CarrierCheck => "ask the carrier: its own terms decide",
            Self::DataMissing => "something that must be known is missing",
            Self::AdviceSoc => "a charge of 30 % or less is advised",
            Self::NoOutsideBatteryLabels => "no battery mark or label on the outside",
        }
    }
}

/// A UN number with the packaging it stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "UPPERCASE")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum UnNumber {
    /// Lithium metal batteries.
    Un3090,
    /// Lithium metal batteries in or with equipment.
    Un3091,
    /// Lithium ion batteries.
    Un3480,
    /// Lithium ion batteries in or with equipment.
    Un3481,
    /// Sodium ion batteries.
    Un3551,
    /// Sodium ion batteries in or with equipment.
    Un3552,
}

impl UnNumber {
    /// As it is written in the mark and in the codes.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Un3090 => "UN3090",
            Self::Un3091 => "UN3091",
            Self::Un3480 => "UN3480",
            Self::Un3481 => "UN3481",
            Self::Un3551 => "UN3551",
            Self::Un3552 => "UN3552",
        }
    }

    /// As it is printed.
    pub fn printed(self) -> String {
        self.code().replacen("UN", "UN ", 1)
    }
}

/// What must be printed on the package.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "TransportMark"))]
pub struct Mark {
    /// `LBM(UN3481)`, `T-PAX`, `T-GND`, `T-DDR`, `T-USPS`, `L9`, `L9A`, `CAO`, `AWB-II`, `OVERPACK`.
    pub code: String,
    /// What kind of thing it is.
    pub kind: MarkKind,
    /// What it is, for people.
    pub words: String,
    /// The text to print, a line each, exactly.
    pub lines: Vec<String>,
    /// The least height of its letters, in millimetres.
    pub letter_height_mm: Option<u32>,
    /// The least size of the whole, width by height, in millimetres.
    pub size_mm: Option<(u32, u32)>,
    /// The size allowed where the package is too small for the whole, width by height, in millimetres.
    pub small_size_mm: Option<(u32, u32)>,
    /// Where it goes and what must not be done with it.
    pub placing: String,
}

/// What kind of thing a mark is: how a paper draws it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum MarkKind {
    /// The battery mark with its hatched edge.
    BatteryMark,
    /// Words on the outside of the package.
    Words,
    /// A diamond label that is bought, not printed here.
    Label,
    /// A sentence for the air waybill, not for the package.
    Waybill,
}

/// A paper that goes with the parcel, or a record that must be at hand.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "TransportPaper"))]
pub struct Paper {
    /// What it is.
    pub name: String,
    /// What must stand in it.
    pub text: String,
    /// The clause that asks for it.
    pub clause: String,
}

/// A rule that fired.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct RuleFired {
    /// The rule's id in the book.
    pub id: String,
    /// The verdict this rule alone calls for.
    pub verdict: VerdictCode,
    /// What it says here, in one sentence.
    pub text: String,
    /// Whose rule it is.
    pub regime: RuleBody,
    /// Paragraph or provision.
    pub clause: String,
    /// The edition used.
    pub edition: String,
    /// How sure that is.
    pub certainty: Certainty,
    /// Where it was read.
    pub source: String,
    /// When it was last compared with its source.
    #[cfg_attr(feature = "ts-rs", ts(type = "string"))]
    pub last_checked: Date,
}

/// A value compared with a limit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LimitChecked {
    /// The limit's id in the book.
    pub id: String,
    /// What was compared, for people.
    pub what: String,
    /// The value in words; “not known” when it isn't.
    pub value: String,
    /// The limit in words.
    pub limit: String,
    /// Whether the value is known and keeps the limit.
    pub within: bool,
    /// Paragraph or provision.
    pub clause: String,
    /// How sure that is.
    pub certainty: Certainty,
}

/// Another lawful way that is better, found by asking the same question anew.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Alternative {
    /// What would be done otherwise, such as “by road instead”.
    pub change: String,
    /// The verdict then.
    pub verdict: VerdictCode,
    /// The verdict in words.
    pub words: String,
    /// The codes of the marks needed then.
    pub marks: Vec<String>,
}

/// A step of packing, in the order of the hands' work.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PackingStep {
    /// What to do.
    pub text: String,
    /// The clause that asks for it.
    pub clause: String,
}

/// A caution that stands on every verdict.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Caution {
    /// `C1` to `C8`.
    pub id: String,
    /// The caution.
    pub text: String,
}

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "TransportVerdict"))]
pub struct Verdict {
    /// The verdict: the worst that any rule calls for.
    pub verdict: VerdictCode,
    /// The verdict in words.
    pub words: String,
    /// UN numbers of what is inside, in ascending order.
    pub un: Vec<UnNumber>,
    /// The proper shipping name of each, in the same order.
    pub proper_shipping_name: Vec<String>,
    /// The packing instructions, such as `PI 967-II`, `P908` or `173.185(f)`.
    pub packing_instruction: Vec<String>,
    /// What must be printed. Empty when the parcel must not go.
    pub marks: Vec<Mark>,
    /// Papers and records. Empty when the parcel must not go.
    pub papers: Vec<Paper>,
    /// What else there is to know, in a word each.
    pub flags: Vec<Flag>,
    /// Every rule that fired, the worst first.
    pub rules: Vec<RuleFired>,
    /// Every value compared with a limit.
    pub limits: Vec<LimitChecked>,
    /// Better lawful ways, the best first.
    pub alternatives: Vec<Alternative>,
    /// What is not known, or rests on less than the rule's own text.
    pub unknowns: Vec<String>,
    /// What stands on every verdict.
    pub cautions: Vec<Caution>,
    /// How it is packed, in the order of the hands' work. Empty when the parcel must not go.
    pub packing: Vec<PackingStep>,
    /// The regime asked about.
    pub regime: Regime,
    /// The mode asked about.
    pub mode: Mode,
    /// The carrier asked about.
    pub carrier: Carrier,
    /// The ship date that picked the rules.
    #[cfg_attr(feature = "ts-rs", ts(type = "string"))]
    pub ship_date: Date,
    /// The state of the rule book used, to be printed.
    pub book: String,
}

impl Verdict {
    /// Whether the parcel may be handed over without a trained shipper's decision.
    pub const fn may_go(&self) -> bool {
        matches!(self.verdict, VerdictCode::Ordinary | VerdictCode::Marked)
    }
}
