//! The table of bench rules: each with its id, its words, its source and how sure that is.
//!
//! Every number a rule compares with stands here and nowhere else. A rule is changed by giving it a new revision of the
//! table, never silently, since papers name the revision. These are bench rules for single devices in a repair lab; they
//! judge neither transport nor storage in bulk.

use serde::{Deserialize, Serialize};

use super::{BenchLevel, CellFinding};

/// Named on every judgement and paper.
pub const RULES_REVISION: &str = "bench rules of 2026-11-25";

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

/// When a rule fires.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum When {
    /// The finding was recorded.
    Finding(CellFinding),
    /// No finding was recorded.
    NoFinding,
    /// The cell is said to be faultless, and something else too.
    Contradiction,
    /// The surface is at least so hot, in tenths of a degree Celsius.
    SurfaceFrom(i32),
    /// The surface is so much warmer than the room, in tenths of a degree, and nothing outside explains it.
    OverRoomFrom(i32),
    /// The same, but something outside warmed it and nothing worse is known.
    OverRoomExplained(i32),
    /// Each cell reads less, in millivolts.
    CellBelow(u32),
    /// Each cell reads at least the first and less than the second, in millivolts.
    CellBetween(u32, u32),
    /// The battery reads more than the highest charge voltage printed on it.
    AboveMarked,
    /// Each cell reads more, in millivolts, and no highest charge voltage is known.
    CellAboveUnmarked(u32),
    /// Each cell reads more than the first and at most the second, in millivolts, and no highest charge voltage is known.
    CellBetweenUnmarked(u32, u32),
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
                "Watch it with a non-contact thermometer for two hours or until it is at room temperature; without a \
                 thermometer, do not touch it for 24 hours."
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
            Self::Readings => {
                "Look again and take readings after 1 hour, 4 hours and 24 hours, then daily."
            }
            Self::Escalate => {
                "If it smokes, hisses, smells or grows warm: leave, close the door, raise the alarm, call the fire service."
            }
        }
    }
}

/// Minutes from the check to each further look; afterwards daily. Common practice, no source.
pub(super) const RECHECK_MINUTES: [u32; 3] = [60, 4 * 60, 24 * 60];

/// One rule.
pub(super) struct Rule {
    /// Stable for ever.
    pub(super) id: &'static str,
    pub(super) when: When,
    pub(super) level: BenchLevel,
    /// What the finding or reading means.
    pub(super) words: &'static str,
    pub(super) source: &'static str,
    pub(super) certainty: Certainty,
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
    let row = |rule: &Rule| RuleRow {
        id: rule.id.to_owned(),
        level: rule.level,
        words: rule.words.to_owned(),
        source: rule.source.to_owned(),
        certainty: rule.certainty,
    };
    RULES.iter().map(row).collect()
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

/// Self-heating: the surface so much over the room with no load, in tenths of a degree. Common practice, no source.
const OVER_ROOM_TENTHS: i32 = 50;
/// A room whose temperature was not taken is not supposed to be warmer, in tenths of a degree. Common practice, no source.
pub(super) const ROOM_MAX_TENTHS: i32 = 300;
/// 60 °C: no cell is to be stored above it (a supplier's guide), so one that heats itself to it is reacting.
const TOO_HOT_TENTHS: i32 = 600;
/// Below this, copper shunts are likely and the cell must never be charged again.
const DEAD_MV: u32 = 1500;
/// Below this, protection opens, and a charger must keep to its pre-charge current.
const DEEP_MV: u32 = 2500;
/// The highest charge voltage of the older lithium cobalt cells.
const FULL_OLD_MV: u32 = 4250;
/// The highest charge voltage of the newer cells.
const FULL_NEW_MV: u32 = 4500;

const ADR_376: &str = "ADR 2025, special provision 376";
const SIGNS_ALONE: &str =
    "PHMSA guide to signs of damaged, defective or recalled lithium batteries";
const SIGNS: &str = "ADR 2025, special provision 376; PHMSA guide to signs of damaged, defective or recalled lithium batteries";
const ACTIVE: &str = "ADR 2025, special provision 376 (critical); NFPA safety tips; OSHA bulletin on lithium batteries";

/// A rule for one finding.
const fn finding(
    id: &'static str,
    finding: CellFinding,
    level: BenchLevel,
    words: &'static str,
    (source, certainty): (&'static str, Certainty),
    steps: &'static [Step],
) -> Rule {
    Rule {
        id,
        when: When::Finding(finding),
        level,
        words,
        source,
        certainty,
        steps,
    }
}

/// A rule for a reading, or for the lack of one.
const fn reading(
    id: &'static str,
    when: When,
    level: BenchLevel,
    words: &'static str,
    (source, certainty): (&'static str, Certainty),
    steps: &'static [Step],
) -> Rule {
    Rule {
        id,
        when,
        level,
        words,
        source,
        certainty,
        steps,
    }
}

use BenchLevel::{Clear, Emergency, Isolate, Watch};
use Certainty::{OwnDerivation, Primary, Secondary};

/// The rules. Numbers of ids have gaps, so that a rule can be added beside its like.
#[rustfmt::skip]
pub(super) const RULES: &[Rule] = &[
    finding("B01", CellFinding::Burning, Emergency, "the cell is burning", (ACTIVE, Primary), EMERGENCY),
    finding("B02", CellFinding::Smoking, Emergency, "a smoking cell is reacting and may burst into flame", (ACTIVE, Primary), EMERGENCY),
    finding("B03", CellFinding::Hissing, Emergency, "a hissing or popping cell is venting", (ACTIVE, Secondary), EMERGENCY),
    finding("B04", CellFinding::Hot, Emergency, "a cell that is hot with nothing connected heats itself", (ACTIVE, Primary), EMERGENCY),
    finding("B05", CellFinding::Warming, Emergency, "a cell that grows warmer by itself is reacting", (ACTIVE, Secondary), EMERGENCY),
    reading("B06", When::SurfaceFrom(TOO_HOT_TENTHS), Emergency, "60 °C or more is too hot for any cell", ("suppliers' storage limit of 60 °C; the level is derived here", OwnDerivation), EMERGENCY),
    reading("B07", When::OverRoomFrom(OVER_ROOM_TENTHS), Emergency, "5 °C or more over the room, with nothing known that warmed it, counts as self-heating", ("common practice, no source; the level as for a hot cell", OwnDerivation), EMERGENCY),
    reading("B08", When::OverRoomExplained(OVER_ROOM_TENTHS), Isolate, "it is 5 °C or more over the room; if something outside warmed it, it must cool down steadily", ("battery makers' guides to hot cells; the exception is derived here", OwnDerivation), WAIT_UNTIL_COOL),

    finding("B10", CellFinding::Swollen, Isolate, "a swollen cell counts as damaged", (SIGNS, Primary), ISOLATE),
    finding("B11", CellFinding::Pierced, Isolate, "a cut or pierced cell counts as damaged and may short inside", (ADR_376, Primary), ISOLATE),
    finding("B12", CellFinding::Bent, Isolate, "a dented, bent or crushed cell counts as damaged and may short inside", (ADR_376, Primary), ISOLATE),
    finding("B13", CellFinding::Leaking, Isolate, "a leaking cell counts as damaged; what leaks is harmful to skin, eyes and lungs", (SIGNS, Primary), ISOLATE_LEAKING),
    finding("B14", CellFinding::SolventSmell, Isolate, "the smell of solvent is leaking electrolyte", (SIGNS, Secondary), ISOLATE_LEAKING),
    finding("B15", CellFinding::Burnt, Isolate, "a scorched or discoloured cell counts as damaged", (ADR_376, Primary), ISOLATE),
    finding("B16", CellFinding::Vented, Isolate, "a cell that has vented counts as damaged", (ADR_376, Primary), ISOLATE_LEAKING),
    finding("B17", CellFinding::ConnectorCorroded, Isolate, "powder or corrosion on the terminals is a sign of damage", (SIGNS_ALONE, Primary), ISOLATE),
    finding("B18", CellFinding::BareConductor, Isolate, "bare tabs or torn insulation may short", (SIGNS_ALONE, Primary), ISOLATE),
    finding("B19", CellFinding::ProtectionFault, Isolate, "without its protection board the cell is not guarded against abuse", (ADR_376, Primary), ISOLATE),
    finding("B20", CellFinding::WaterReachedIt, Isolate, "a cell that water has reached may corrode and short later", (SIGNS_ALONE, Primary), ISOLATE),
    finding("B21", CellFinding::Recalled, Isolate, "a recalled cell, or one its maker calls defective, counts as defective", ("49 CFR 173.185(f), text to Dec 2022; ADR 2025, special provision 376", Primary), ISOLATE),
    reading("B22", When::CellBelow(DEAD_MV), Isolate, "below 1.5 V a cell is likely to have copper shunts and must never be charged again", ("published guides to over-discharged cells", Secondary), ISOLATE),
    reading("B23", When::AboveMarked, Isolate, "above the highest charge voltage printed on it, a cell is overcharged", ("the maker's own marking; the level is derived here", OwnDerivation), ISOLATE),
    reading("B24", When::CellAboveUnmarked(FULL_NEW_MV), Isolate, "above 4.50 V a cell of any usual kind is overcharged", ("charge voltages of newer cells, from memory", Certainty::FromMemory), ISOLATE),

    reading("B30", When::CellBetween(DEAD_MV, DEEP_MV), Watch, "between 1.5 and 2.5 V a cell is deeply discharged; find out why before any charge", ("published guides to over-discharged cells; a charger circuit's pre-charge limit of 2.5 V", Secondary), WATCH),
    reading("B31", When::CellBetweenUnmarked(FULL_OLD_MV, FULL_NEW_MV), Watch, "above 4.25 V a cell is right only if its label allows it; read the label", ("an older guide value for lithium cobalt cells", Secondary), WATCH),
    finding("B32", CellFinding::HardDrop, Watch, "a hard drop may have harmed the cell inside without a trace", (SIGNS_ALONE, Primary), WATCH),
    finding("B33", CellFinding::LosesCharge, Watch, "a cell that does not hold its charge needs judging by a person with battery knowledge", ("a university's battery safety page", Primary), WATCH),
    finding("B34", CellFinding::WaterNearIt, Watch, "water in the device may have reached the cell", (SIGNS_ALONE, Secondary), WATCH_UNSEEN),
    finding("B35", CellFinding::NotTheMakers, Watch, "nothing proves that a cell of unknown origin passed the UN 38.3 tests", ("49 CFR 173.185(a)(1), text to Dec 2022; the level is derived here", OwnDerivation), WATCH),
    finding("B36", CellFinding::NotSeen, Watch, "a cell that nobody has seen is not known to be sound", ("ADR 2025, special provision 376: cannot be diagnosed; the level is derived here", OwnDerivation), WATCH_UNSEEN),
    reading("B37", When::NoFinding, Watch, "nobody has recorded a look at the cell", ("unknown is never taken for good; derived here", OwnDerivation), WATCH_UNSEEN),
    reading("B38", When::Contradiction, Watch, "the check says that nothing is wrong and names something else as well", ("derived here", OwnDerivation), WATCH_UNSEEN),
    reading("B40", When::NoVoltage, Watch, "without its voltage a cell is not known to be sound", ("unknown is never taken for good; derived here", OwnDerivation), WATCH_UNMEASURED),
    reading("B41", When::NoSeriesCount, Watch, "without the number of cells the voltage of each is not known", ("unknown is never taken for good; derived here", OwnDerivation), WATCH_UNMEASURED),
    reading("B42", When::NoTemperature, Watch, "without surface and room temperature a cell is not known to be at rest", ("unknown is never taken for good; derived here", OwnDerivation), WATCH_UNMEASURED),

    finding("B50", CellFinding::NothingWrong, Clear, "the cell was seen and nothing is wrong with it", ("PHMSA letter 14-0163: no clear and manifest sign of damage", Primary), &[]),
    finding("B51", CellFinding::Missing, Clear, "there is no cell in the device", ("derived here", OwnDerivation), &[Step::SearchParcel]),
];
