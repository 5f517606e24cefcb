//! The route of a device: its stage, its stations, what is missing before each, and why it waits.
//!
//! All of it is derived. The same function that paints the route strip decides whether a command may go ahead, so the screen can't
//! promise what the program refuses.

use serde::{Deserialize, Serialize};

use super::{Agreement, Comparison, Job, TestReason};
use crate::cells::BenchLevel;
use crate::fact::{HoldKind, TestCode};

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
            Self::MissingFromParcel => "was not in its parcel".to_owned(),
            Self::WrongItem => "is not the device that was announced".to_owned(),
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

/// Lists what keeps a job from a station; empty when it may be entered.
pub fn may_enter(job: &Job, station: Station) -> Vec<Missing> {
    let mut missing = Vec::new();
    let mut need = |block: Block, ok: bool, sentence: &str| {
        if !ok {
            missing.push((block, sentence.to_owned()));
        }
    };
    need(
        Block::ReadOnly,
        !job.read_only,
        "A newer version of the program recorded something here that must not be ignored; upgrade this desktop to go on.",
    );
    need(
        Block::HasLeft,
        job.shipped.is_none() && job.destroyed.is_none(),
        "The device has left the house; open a new job when it comes back.",
    );
    if station > Station::Dock {
        need(
            Block::NotArrived,
            job.arrived.is_some(),
            "The device is not in the house yet; count its parcel on the Dock.",
        );
    }
    if station > Station::CellCheck && station != Station::Quote {
        cell_blocks(job, station, &mut missing);
    }
    if station > Station::LookOver {
        look_over_blocks(job, &mut missing);
    }
    if station > Station::Before && station < Station::Report {
        before_blocks(job, &mut missing);
    }
    if matches!(station, Station::Work | Station::After) {
        quote_blocks(job, &mut missing);
    }
    if station == Station::After {
        missing.extend(super::work::open_hold_points(job));
    }
    if station == Station::After && job.steps.is_empty() {
        missing.push((
            Block::NoWork,
            "No step of work is recorded; record what was done first.".to_owned(),
        ));
    }
    if station == Station::Outbound {
        outbound_blocks(job, &mut missing);
    }
    missing
        .into_iter()
        .filter(|(block, _)| {
            !job.overrides
                .iter()
                .any(|over| over.value.block == *block && block.can_be_overridden())
        })
        .map(|(block, sentence)| Missing {
            block,
            sentence,
            can_be_overridden: block.can_be_overridden(),
            tests: Vec::new(),
        })
        .collect()
}

fn cell_blocks(job: &Job, station: Station, missing: &mut Vec<(Block, String)>) {
    let Some(cell) = job.cell() else {
        if job.is_without_cell() {
            // The check was taken back after the cell was taken out: there is no cell to look at.
            return;
        }
        missing.push((
            Block::CellNotChecked,
            "The cell has not been checked; look at it before any power is applied.".to_owned(),
        ));
        return;
    };
    let level = cell.judgement.level;
    let stops = match station {
        // Only a clear cell goes under heat; a watched one may be looked over and tested, an isolated one may not.
        Station::Work | Station::After | Station::Outbound => level > BenchLevel::Clear,
        Station::Report => false,
        _ => level > BenchLevel::Watch,
    };
    let goes_back_as_damaged = job.cell_state.goes_back.is_some() && level < BenchLevel::Emergency;
    if station == Station::Outbound && stops && level == BenchLevel::Watch {
        missing.push((Block::CellUndiagnosed, undiagnosed(job)));
    } else if stops && !(station == Station::Outbound && goes_back_as_damaged) {
        let way_out = match (station, level) {
            (_, BenchLevel::Emergency) => {
                "leave it alone; when it is at rest, a person with battery knowledge judges it in the Cell bay"
            }
            (Station::Outbound, _) => {
                "take the cell out, or have a person with battery knowledge judge it sound, or let a trained shipper send it back under the provisions for damaged cells, by ground only"
            }
            _ => {
                "take the cell out, or have a person with battery knowledge judge it sound in the Cell bay"
            }
        };
        missing.push((
            Block::CellNotClear,
            format!("The cell is at level {}: {way_out}.", level.word()),
        ));
    }
}

/// Why nobody can say what the cell is, and how it ends as sound or damaged.
fn undiagnosed(job: &Job) -> String {
    let reasons: Vec<&str> = job
        .cell_state
        .standing
        .iter()
        .filter(|standing| standing.reason.level == BenchLevel::Watch)
        .map(|standing| standing.reason.text.as_str())
        .collect();
    let look = job
        .cell_state
        .judgement
        .as_ref()
        .is_some_and(|judgement| !judgement.unknowns.is_empty());
    let way_out = if look {
        "look at it and take the missing readings"
    } else {
        "have a person with battery knowledge judge it"
    };
    format!(
        "Nobody can say yet whether the cell is sound or damaged ({}); before any return, {way_out}, or take it out.",
        reasons.join("; ")
    )
}

fn look_over_blocks(job: &Job, missing: &mut Vec<(Block, String)>) {
    if job.identity.heads.is_empty() {
        missing.push((
            Block::IdentityMissing,
            "No identifier has been read from the device; scan its IMEI or serial number."
                .to_owned(),
        ));
    }
    if let Some(difference) = &job.identity_difference {
        missing.push((
            Block::IdentityDiffers,
            format!("{difference} This may be a swapped device: ask the shop before going on."),
        ));
    }
    if job.signs.heads.is_empty() {
        missing.push((
            Block::SignsMissing,
            "Locks, seals and liquid indicators are not recorded; finish the look-over.".to_owned(),
        ));
    }
}

fn before_blocks(job: &Job, missing: &mut Vec<(Block, String)>) {
    let chosen = job.tests.value().map_or(&[][..], |chosen| &chosen.tests);
    if !chosen.iter().any(|test| test.shows_fault) {
        missing.push((
            Block::TestsNotChosen,
            "No test is chosen that shows the declared fault; choose at least one.".to_owned(),
        ));
    }
    let open = titles(job, |row| {
        matches!(row.reason, TestReason::Fault | TestReason::Chosen) && row.before.is_none()
    });
    if !open.is_empty() {
        missing.push((
            Block::BeforeMissing,
            format!("Without a result before: {open}. Test it, or say why it can't be tested."),
        ));
    }
}

pub(super) fn quote_blocks(job: &Job, missing: &mut Vec<(Block, String)>) {
    match &job.agreement {
        Agreement::Agreed { .. } => {}
        Agreement::NoQuote => missing.push((
            Block::QuoteMissing,
            "No price has been named; set a quote first.".to_owned(),
        )),
        Agreement::Waiting => missing.push((
            Block::NotAgreed,
            "The shop has not answered the quote yet.".to_owned(),
        )),
        Agreement::Asked { question } => {
            missing.push((
                Block::NotAgreed,
                format!("The shop asks “{question}”; answer, and wait for its decision."),
            ));
        }
        Agreement::Refused { .. } => {
            missing.push((
                Block::NotAgreed,
                "The shop refused the quote; return the device unrepaired, with outcome declined."
                    .to_owned(),
            ));
        }
    }
    if job.quote.is_disputed() {
        missing.push((
            Block::Disputed,
            "Two people set different quotes; settle which one counts.".to_owned(),
        ));
    }
    for standing in &job.standing_holds {
        missing.push((
            Block::Held,
            format!(
                "The job is on hold: {}. Lift the hold first.",
                standing.hold.note
            ),
        ));
    }
}

fn outbound_blocks(job: &Job, missing: &mut Vec<(Block, String)>) {
    if job.shop_id.is_none() {
        missing.push((
            Block::ShopUnknown,
            "Nobody knows which shop this device is from; choose the shop first.".to_owned(),
        ));
    }
    if job.outcome.heads.is_empty() {
        missing.push((
            Block::OutcomeMissing,
            "No outcome is set; say how the job ended.".to_owned(),
        ));
    }
    if job.outcome.is_disputed() {
        missing.push((
            Block::Disputed,
            "Two people set different outcomes; settle which one counts.".to_owned(),
        ));
    }
    if job.current_report().is_none() {
        missing.push((
            Block::ReportMissing,
            "There is no return report that tells of the latest facts; make it first.".to_owned(),
        ));
    }
}

fn titles(job: &Job, wanted: impl Fn(&Comparison) -> bool) -> String {
    let titles: Vec<&str> = job
        .comparison
        .iter()
        .filter(|row| wanted(row))
        .map(|row| row.title.as_str())
        .collect();
    titles.join(", ")
}

/// Why the job waits; empty when it doesn't.
pub(super) fn hold_reasons(job: &Job) -> Vec<HoldReason> {
    if job.shipped.is_some() || job.destroyed.is_some() {
        return Vec::new();
    }
    let mut reasons = Vec::new();
    if job.arrived.is_none() {
        if job.missed.is_some() {
            reasons.push(HoldReason::MissingFromParcel);
        }
        return reasons;
    }
    let goes_back =
        job.cell_state.goes_back.is_some() && job.cell_state.level < Some(BenchLevel::Emergency);
    if job.cell_state.is_isolated() && !goes_back {
        reasons.push(HoldReason::CellInIsolation);
    }
    let passed = |block| job.overrides.iter().any(|over| over.value.block == block);
    if job.identity_difference.is_some() && !passed(Block::IdentityDiffers) {
        reasons.push(HoldReason::WrongItem);
    }
    if job.outcome.heads.is_empty() {
        match &job.agreement {
            Agreement::Waiting => reasons.push(HoldReason::ShopDecision),
            Agreement::Asked { question } => reasons.push(HoldReason::ShopAsked {
                question: question.clone(),
            }),
            Agreement::NoQuote | Agreement::Agreed { .. } | Agreement::Refused { .. } => {}
        }
    }
    for standing in &job.standing_holds {
        let note = standing.hold.note.clone();
        reasons.push(match standing.hold.kind {
            HoldKind::Part => HoldReason::Part { note },
            HoldKind::Shop | HoldKind::Other => HoldReason::Other { note },
        });
    }
    if job.quote.is_disputed() || job.outcome.is_disputed() || job.identity.is_disputed() {
        reasons.push(HoldReason::Disagreement);
    }
    reasons
}

/// Where the job is.
pub(super) fn stage(job: &Job) -> Stage {
    if job.destroyed.is_some() {
        return Stage::Destroyed;
    }
    if job.shipped.is_some() {
        return Stage::Returned;
    }
    if job.arrived.is_none() {
        return Stage::Advised;
    }
    if job.packed.is_some() {
        return Stage::Shipping;
    }
    if !job.holds.is_empty() {
        return Stage::Holding;
    }
    if !job.outcome.heads.is_empty() || job.answer() == Some(crate::fact::Answer::Refuse) {
        return Stage::Packing;
    }
    if job.comparison.iter().any(|row| row.after.is_some()) {
        return Stage::Proving;
    }
    if !job.steps.is_empty() || job.answer() == Some(crate::fact::Answer::Agree) {
        return Stage::Repairing;
    }
    if job.cell().is_some() {
        Stage::Inspecting
    } else {
        Stage::Receiving
    }
}

/// The route, station by station. The first station that is not done is next, or blocked when something is missing.
pub(super) fn route(job: &Job) -> Vec<Stop> {
    let mut reached = false;
    Station::ALL
        .into_iter()
        .map(|station| {
            let at_ms = done_at(job, station);
            if let Some(at_ms) = at_ms {
                return Stop {
                    station,
                    state: StationState::Done,
                    at_ms: Some(at_ms),
                    missing: Vec::new(),
                };
            }
            if skipped(job, station) {
                return Stop {
                    station,
                    state: StationState::Skipped,
                    at_ms: None,
                    missing: Vec::new(),
                };
            }
            let missing = may_enter(job, station);
            let state = match (reached, missing.is_empty()) {
                (true, _) => StationState::Later,
                (false, true) => StationState::Next,
                (false, false) => StationState::Blocked,
            };
            reached = true;
            Stop {
                station,
                state,
                at_ms: None,
                missing,
            }
        })
        .collect()
}

fn skipped(job: &Job, station: Station) -> bool {
    match station {
        Station::Advice => job.unannounced || job.arrived.is_some(),
        Station::Before | Station::Quote | Station::Work | Station::After => {
            job.answer() == Some(crate::fact::Answer::Refuse)
                || !job.outcome.heads.is_empty()
                || job.shipped.is_some()
                || job.destroyed.is_some()
        }
        _ => job.shipped.is_some() || job.destroyed.is_some(),
    }
}

/// When a station was passed, if it was.
fn done_at(job: &Job, station: Station) -> Option<u64> {
    match station {
        Station::Advice => job
            .advice
            .as_ref()
            .filter(|_| !job.unannounced)
            .map(|advice| advice.mark.at_ms),
        Station::Dock => job.arrived.as_ref().map(|arrived| arrived.mark.at_ms),
        Station::CellCheck => job.cell().map(|cell| cell.mark.at_ms),
        Station::LookOver => {
            let identity = job.identity.mark()?.at_ms;
            let signs = job.signs.mark()?.at_ms;
            let passed = job
                .overrides
                .iter()
                .any(|over| over.value.block == Block::IdentityDiffers);
            (job.identity_difference.is_none() || passed).then_some(identity.max(signs))
        }
        Station::Before => {
            let mut missing = Vec::new();
            before_blocks(job, &mut missing);
            let last = job
                .comparison
                .iter()
                .filter_map(|row| row.before.as_ref())
                .map(|marked| marked.mark.at_ms)
                .max()?;
            missing.is_empty().then_some(last)
        }
        Station::Quote => match job.agreement {
            Agreement::Agreed { at_ms, .. } | Agreement::Refused { at_ms } => Some(at_ms),
            _ => None,
        },
        Station::Work => {
            let proving = job.comparison.iter().any(|row| row.after.is_some());
            let last = job.steps.last()?.mark.at_ms;
            (proving || !job.outcome.heads.is_empty()).then_some(last)
        }
        Station::After => {
            let open = job
                .comparison
                .iter()
                .any(|row| row.reason != TestReason::Extra && row.after.is_none());
            let last = job
                .comparison
                .iter()
                .filter_map(|row| row.after.as_ref())
                .map(|marked| marked.mark.at_ms)
                .max()?;
            (!open).then_some(last)
        }
        Station::Report => job.current_report().map(|report| report.mark.at_ms),
        Station::Outbound => job.shipped.as_ref().map(|shipped| shipped.mark.at_ms),
    }
}
