//! What keeps a job from a station, each in a sentence that says the way out.
//!
//! What protects life, custody or the law stays in the list whatever is overridden.

use super::words::{Block, Missing, Station};
use crate::cells::BenchLevel;
use crate::job::{Agreement, Comparison, Job, TestReason};

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
        missing.extend(crate::job::work::open_hold_points(job));
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
    not_overridden(job, missing)
}

/// What is left of the blocks once those that somebody passed with a reason are taken away.
fn not_overridden(job: &Job, missing: Vec<(Block, String)>) -> Vec<Missing> {
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

pub(super) fn before_blocks(job: &Job, missing: &mut Vec<(Block, String)>) {
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

pub(in crate::job) fn quote_blocks(job: &Job, missing: &mut Vec<(Block, String)>) {
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
