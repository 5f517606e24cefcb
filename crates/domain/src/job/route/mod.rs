//! The route of a device: its stage, its stations, and why it waits.
//!
//! All of it is derived. The same function that paints the route strip decides whether a command may go ahead, so the screen can't
//! promise what the program refuses.

mod blocks;
mod words;

pub use blocks::may_enter;
pub(super) use blocks::quote_blocks;
pub use words::{Block, HoldReason, Missing, Stage, Station, StationState, Stop};

use super::{Agreement, Job, TestReason};
use crate::cells::BenchLevel;
use crate::fact::HoldKind;
use blocks::before_blocks;

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
