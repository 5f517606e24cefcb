//! The table of bench rules: when each fires, the level it calls for and the steps that follow.
//!
//! The words of a rule, its source, how sure that is, and every number it compares with stand in the rule book under the
//! rule's or the limit's id. These are bench rules for single devices in a repair lab; they judge neither transport nor storage
//! in bulk.

use serde::{Deserialize, Serialize};

use super::book::{InForce, RuleBody, RuleBook};
use super::{BenchLevel, CellFinding};

/// Named on every judgement and paper.
pub const RULES_REVISION: &str = "bench rules of 2026-11-30";

/// How sure the source of a rule is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "RuleCertainty"))]
pub enum Certainty {
    /// The rule's own text was read: a regulation, a regulator's letter, a standard.
    Primary,
    /// A text about the rule was read: trade news, training, a maker's guide.
    Secondary,
    /// From memory; no stored source was found.
    FromMemory,
    /// Derived here, or common practice, without a source.
    OwnDerivation,
}

/// The id of a number in the rule book that a bench rule compares with.
pub(super) type Limit = &'static str;

/// When a rule fires.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum When {
    /// The finding was recorded.
    Finding(CellFinding),
    /// No finding was recorded.
    NoFinding,
    /// The cell is said to be faultless, and something else too.
    Contradiction,
    /// The surface is at least so hot.
    SurfaceFrom(Limit),
    /// The surface is so much warmer than the room, and nothing outside explains it.
    OverRoomFrom(Limit),
    /// The same, but something outside warmed it and nothing worse is known.
    OverRoomExplained(Limit),
    /// Each cell reads less.
    CellBelow(Limit),
    /// Each cell reads at least the first and less than the second.
    CellBetween(Limit, Limit),
    /// The battery reads more than the highest charge voltage printed on it.
    AboveMarked,
    /// Each cell reads more, and no highest charge voltage is known.
    CellAboveUnmarked(Limit),
    /// Each cell reads more than the first and at most the second, and no highest charge voltage is known.
    CellBetweenUnmarked(Limit, Limit),
    /// No voltage was taken.
    NoVoltage,
    /// A voltage was taken, and how many cells it belongs to is not known.
    NoSeriesCount,
    /// No surface temperature, or no room temperature to compare it with.
    NoTemperature,
}

/// One step of what to do. The order of the variants is the order in which steps are done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Step {
    Leave,
    CloseDoor,
    Alarm,
    CallFireService,
    StayOut,
    Stop,
    ClearArea,
    HandsOff,
    WatchFromAfar,
    JudgeAnew,
    Protect,
    Rinse,
    SoakUp,
    CoverTerminals,
    Contain,
    CellBay,
    Label,
    DoNotCharge,
    LookAtIt,
    Measure,
    AskMaker,
    SearchParcel,
    Readings,
    Escalate,
}

impl Step {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::Leave => "Leave the room now, and take everyone with you.",
            Self::CloseDoor => "Close the door behind you.",
            Self::Alarm => "Raise the fire alarm.",
            Self::CallFireService => {
                "Call the fire service and say that a lithium battery is reacting."
            }
            Self::StayOut => {
                "Stay out, and leave the device where it is, until the fire service lets you back in."
            }
            Self::Stop => {
                "Stop: no charging, no power, no bending, no pressing, no opening of the cell."
            }
            Self::ClearArea => "Warn the others and clear the area round it.",
            Self::HandsOff => "Leave it where it is, and do not touch it while it is warm.",
            Self::WatchFromAfar => {
                "Watch it with a non-contact thermometer until it is at room temperature."
            }
            Self::JudgeAnew => "When it is at room temperature, do the cell check anew.",
            Self::Protect => {
                "Put on gloves, goggles or a face shield, and an apron, and air the room."
            }
            Self::Rinse => {
                "If it touched skin or eyes, rinse for 15 minutes with water and get medical help."
            }
            Self::SoakUp => {
                "Soak up what leaked with absorbent or baking soda, and bag that twice."
            }
            Self::CoverTerminals => {
                "Tape or cap the terminals, if that takes no pressing or bending."
            }
            Self::Contain => {
                "Put it into a lidded container that does not burn, with dry sand, vermiculite or clay litter. The lid must \
                 let gas out."
            }
            Self::CellBay => "Take it to the Cell bay, away from people and from whatever burns.",
            Self::Label => "Label it with the job, the time and your name.",
            Self::DoNotCharge => "Do not charge it and do not power the device from it.",
            Self::LookAtIt => {
                "Look at the cell as soon as the device can be opened, and record what you find."
            }
            Self::Measure => {
                "Take the missing readings: voltage at rest, number of cells, surface and room temperature."
            }
            Self::AskMaker => {
                "Have it judged by a person with battery knowledge, or by the maker's own criteria."
            }
            Self::SearchParcel => {
                "Search the parcel and its packing for a loose cell, and ask the shop where it is."
            }
            Self::Readings => "Look again and take readings at the set times.",
            Self::Escalate => {
                "If it smokes, hisses, smells or grows warm: leave, close the door, raise the alarm, call the fire service."
            }
        }
    }
}

/// A room whose temperature was not taken is not supposed to be warmer.
pub(super) const ROOM_MAX: Limit = "BENCH.ROOM.MAX";

/// One rule. Its words and its source are the book's row of the same id.
pub(super) struct Rule {
    /// Stable for ever.
    pub(super) id: &'static str,
    pub(super) when: When,
    pub(super) level: BenchLevel,
    pub(super) steps: &'static [Step],
}

/// A rule as people may read it, for a page that lists them all.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "CellRuleRow"))]
pub struct RuleRow {
    /// Stable for ever.
    pub id: String,
    /// The level it calls for.
    pub level: BenchLevel,
    /// What the finding or reading means.
    pub words: String,
    /// Where it comes from.
    pub source: String,
    /// How sure that is.
    pub certainty: Certainty,
}

/// All rules, in the order of the table.
pub fn rules() -> Vec<RuleRow> {
    let book = RuleBook::shipped().latest();
    RULES.iter().filter_map(|rule| shown(rule, book)).collect()
}

fn shown(rule: &Rule, book: InForce<'_>) -> Option<RuleRow> {
    let row = book.row(rule.id, RuleBody::Bench)?;
    Some(RuleRow {
        id: rule.id.to_owned(),
        level: rule.level,
        words: row.text.clone(),
        source: row.source.clone(),
        certainty: row.certainty,
    })
}

const EMERGENCY: &[Step] = &[
    Step::Leave,
    Step::CloseDoor,
    Step::Alarm,
    Step::CallFireService,
    Step::StayOut,
];
const ISOLATE: &[Step] = &[
    Step::Stop,
    Step::CoverTerminals,
    Step::Contain,
    Step::CellBay,
    Step::Label,
    Step::Readings,
    Step::Escalate,
];
const ISOLATE_LEAKING: &[Step] = &[
    Step::Stop,
    Step::Protect,
    Step::Rinse,
    Step::SoakUp,
    Step::CoverTerminals,
    Step::Contain,
    Step::CellBay,
    Step::Label,
    Step::Readings,
    Step::Escalate,
];
const WAIT_UNTIL_COOL: &[Step] = &[
    Step::Stop,
    Step::ClearArea,
    Step::HandsOff,
    Step::WatchFromAfar,
    Step::JudgeAnew,
    Step::Escalate,
];
const WATCH: &[Step] = &[
    Step::DoNotCharge,
    Step::AskMaker,
    Step::Readings,
    Step::Escalate,
];
const WATCH_UNSEEN: &[Step] = &[
    Step::DoNotCharge,
    Step::LookAtIt,
    Step::Readings,
    Step::Escalate,
];
const WATCH_UNMEASURED: &[Step] = &[
    Step::DoNotCharge,
    Step::Measure,
    Step::Readings,
    Step::Escalate,
];

const OVER_ROOM: Limit = "BENCH.OVER.ROOM";
const TOO_HOT: Limit = "BENCH.TOO.HOT";
const DEAD: Limit = "BENCH.DEAD";
const DEEP: Limit = "BENCH.DEEP";
const FULL_OLD: Limit = "BENCH.FULL.OLD";
const FULL_NEW: Limit = "BENCH.FULL.NEW";

/// A rule for one finding.
const fn finding(
    id: &'static str,
    finding: CellFinding,
    level: BenchLevel,
    steps: &'static [Step],
) -> Rule {
    reading(id, When::Finding(finding), level, steps)
}

/// A rule for a reading, or for the lack of one.
const fn reading(id: &'static str, when: When, level: BenchLevel, steps: &'static [Step]) -> Rule {
    Rule {
        id,
        when,
        level,
        steps,
    }
}

use BenchLevel::{Clear, Emergency, Isolate, Watch};

/// The rules. Numbers of ids have gaps, so that a rule can be added beside its like.
#[rustfmt::skip]
pub(super) const RULES: &[Rule] = &[
    finding("B01", CellFinding::Burning, Emergency, EMERGENCY),
    finding("B02", CellFinding::Smoking, Emergency, EMERGENCY),
    finding("B03", CellFinding::Hissing, Emergency, EMERGENCY),
    finding("B04", CellFinding::Hot, Emergency, EMERGENCY),
    finding("B05", CellFinding::Warming, Emergency, EMERGENCY),
    reading("B06", When::SurfaceFrom(TOO_HOT), Emergency, EMERGENCY),
    reading("B07", When::OverRoomFrom(OVER_ROOM), Emergency, EMERGENCY),
    reading("B08", When::OverRoomExplained(OVER_ROOM), Isolate, WAIT_UNTIL_COOL),

    finding("B10", CellFinding::Swollen, Isolate, ISOLATE),
    finding("B11", CellFinding::Pierced, Isolate, ISOLATE),
    finding("B12", CellFinding::Bent, Isolate, ISOLATE),
    finding("B13", CellFinding::Leaking, Isolate, ISOLATE_LEAKING),
    finding("B14", CellFinding::SolventSmell, Isolate, ISOLATE_LEAKING),
    finding("B15", CellFinding::Burnt, Isolate, ISOLATE),
    finding("B16", CellFinding::Vented, Isolate, ISOLATE_LEAKING),
    finding("B17", CellFinding::ConnectorCorroded, Isolate, ISOLATE),
    finding("B18", CellFinding::BareConductor, Isolate, ISOLATE),
    finding("B19", CellFinding::ProtectionFault, Isolate, ISOLATE),
    finding("B20", CellFinding::WaterReachedIt, Isolate, ISOLATE),
    finding("B21", CellFinding::Recalled, Isolate, ISOLATE),
    reading("B22", When::CellBelow(DEAD), Isolate, ISOLATE),
    reading("B23", When::AboveMarked, Isolate, ISOLATE),
    reading("B24", When::CellAboveUnmarked(FULL_NEW), Isolate, ISOLATE),

    reading("B30", When::CellBetween(DEAD, DEEP), Watch, WATCH),
    reading("B31", When::CellBetweenUnmarked(FULL_OLD, FULL_NEW), Watch, WATCH),
    finding("B32", CellFinding::HardDrop, Watch, WATCH),
    finding("B33", CellFinding::LosesCharge, Watch, WATCH),
    finding("B34", CellFinding::WaterNearIt, Watch, WATCH_UNSEEN),
    finding("B35", CellFinding::NotTheMakers, Watch, WATCH),
    finding("B36", CellFinding::NotSeen, Watch, WATCH_UNSEEN),
    reading("B37", When::NoFinding, Watch, WATCH_UNSEEN),
    reading("B38", When::Contradiction, Watch, WATCH_UNSEEN),
    reading("B40", When::NoVoltage, Watch, WATCH_UNMEASURED),
    reading("B41", When::NoSeriesCount, Watch, WATCH_UNMEASURED),
    reading("B42", When::NoTemperature, Watch, WATCH_UNMEASURED),

    finding("B50", CellFinding::NothingWrong, Clear, &[]),
    finding("B51", CellFinding::Missing, Clear, &[Step::SearchParcel]),
];
