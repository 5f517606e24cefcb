//! From entries to a [`Job`].
//!
//! The entries are put into the display order and freed of doubles and withdrawals first, so that nothing after that can
//! depend on how they arrived.

use std::collections::BTreeSet;

use super::comparison::{ProofTest, compare, results};
use super::route::{hold_reasons, route, stage};
use super::work::{judge_steps, procedures};
use super::{
    Agreement, Exception, Job, JudgedCell, Marked, Passcode, Stage, StandingHold, StationState,
    TestReason, may_close,
};
use crate::cells::bay::{CellLeft, CellState, cell_in_device};
use crate::cells::{judge, without_cell};
use crate::fact::{Answer, Fact, Identifier, JobAdvice};
use crate::identifiers;
use crate::ids::{EntryId, JobId};
use crate::recorded::{Decoded, Mark, Recorded};
use crate::reference::JobRef;
use crate::register::Register;

/// Puts entries into the display order and leaves out doubles and what was withdrawn.
pub(crate) fn standing_entries(entries: &[Recorded]) -> Vec<&Recorded> {
    let mut sorted: Vec<&Recorded> = entries.iter().collect();
    sorted.sort_by_key(|a| (a.stamp, a.entry_id));
    let mut seen = BTreeSet::new();
    sorted.retain(|recorded| seen.insert(recorded.entry_id));
    let withdrawn: BTreeSet<EntryId> = sorted
        .iter()
        .filter_map(|recorded| match recorded.fact() {
            Some(Fact::EntryWithdrawn(withdrawal)) => Some(withdrawal.entry_id),
            _ => None,
        })
        .collect();
    sorted.retain(|recorded| !withdrawn.contains(&recorded.entry_id));
    sorted
}

/// Collects one kind of fact with who and when.
pub(crate) fn marked<'a, T: Clone + 'a>(
    entries: &[&'a Recorded],
    pick: impl Fn(&'a Fact) -> Option<&'a T>,
) -> Vec<Marked<T>> {
    entries
        .iter()
        .filter_map(|recorded| {
            let value = pick(recorded.fact()?)?.clone();
            Some(Marked {
                mark: Mark::from(*recorded),
                value,
            })
        })
        .collect()
}

/// Folds one kind of fact as a register.
pub(crate) fn register<'a, T: Clone + PartialEq + 'a>(
    entries: &[&'a Recorded],
    pick: impl Fn(&'a Fact) -> Option<&'a T>,
) -> Register<T> {
    Register::fold(
        entries
            .iter()
            .filter_map(|recorded| Some((*recorded, pick(recorded.fact()?)?.clone()))),
    )
}

macro_rules! pick {
    ($variant:ident) => {
        |fact| match fact {
            Fact::$variant(value) => Some(value),
            _ => None,
        }
    };
}
pub(crate) use pick;

/// Folds the entries of one job.
pub fn fold_job(job_id: JobId, entries: &[Recorded]) -> Job {
    let standing = standing_entries(entries);
    let mut job = collect(job_id, &standing);
    settle_custody(&mut job);
    settle_cell(&mut job, &standing);
    job.identity_difference = identity_difference(&job);
    job.quote_total = job.quote.value().and_then(|quote| quote.total().ok());
    job.agreement = agreement(&job);
    job.comparison = compare(proof_tests(&job), &job.results);
    job.judged_steps = judge_steps(&job.steps);
    job.procedures = procedures(marked(&standing, pick!(ProcedureBegun)), &job.steps);
    job.exceptions = exceptions(&job, &standing);
    job.holds = hold_reasons(&job);
    job.stage = stage(&job);
    job.route = route(&job);
    job.next = job
        .route
        .iter()
        .find(|stop| matches!(stop.state, StationState::Next | StationState::Blocked))
        .map(|stop| stop.station);
    job
}

/// Sorts the facts into their places. Everything derived is filled in by [`fold_job`].
fn collect(job_id: JobId, standing: &[&Recorded]) -> Job {
    let announced = marked(standing, pick!(JobAdvised));
    let opened = marked(standing, pick!(JobOpened));
    let unannounced = announced.is_empty() && !opened.is_empty();
    let advice = announced
        .into_iter()
        .next_back()
        .or_else(|| opened.into_iter().next_back());
    let unknown = |must: bool| {
        standing
            .iter()
            .filter(|recorded| matches!(&recorded.decoded, Decoded::Unknown { must_not_ignore, .. } if !must || *must_not_ignore))
            .count()
    };
    Job {
        job_id,
        reference: JobRef::of(job_id).to_string(),
        shop_id: advice.as_ref().map(|advice| advice.value.shop_id),
        parcel_id: advice.as_ref().map(|advice| advice.value.parcel_id),
        unannounced,
        device: register(standing, pick!(DeviceDescribed)),
        arrived: marked(standing, pick!(JobArrived)).into_iter().next(),
        missed: marked(standing, pick!(JobMissed)).into_iter().next_back(),
        cell_checks: marked(standing, pick!(CellChecked))
            .into_iter()
            .map(|Marked { mark, value }| JudgedCell {
                mark,
                judgement: judge(&value),
                check: value,
            })
            .collect(),
        cell_state: CellState::default(),
        cells_removed: marked(standing, pick!(CellRemoved)),
        identity: register(standing, pick!(IdentityRecorded)),
        identity_difference: None,
        conditions: marked(standing, pick!(ConditionRecorded)),
        signs: register(standing, pick!(SignsRecorded)),
        accessories: register(standing, pick!(AccessoriesRecorded)),
        photos: marked(standing, pick!(PhotoAdded)),
        passcode: passcode(standing),
        passcode_openings: marked(standing, pick!(PasscodeOpened)),
        tests: register(standing, pick!(TestsChosen)),
        results: results(standing),
        comparison: Vec::new(),
        diagnoses: marked(standing, pick!(DiagnosisRecorded)),
        quote: register(standing, pick!(QuoteSet)),
        quote_total: None,
        decisions: marked(standing, pick!(DecisionMade)),
        agreement: Agreement::NoQuote,
        steps: marked(standing, pick!(StepRecorded)),
        judged_steps: Vec::new(),
        procedures: Vec::new(),
        standing_holds: standing_holds(standing),
        overrides: marked(standing, pick!(BlockOverridden)),
        outcome: register(standing, pick!(OutcomeSet)),
        reports: marked(standing, pick!(ReportIssued)),
        packed: packed(standing),
        shipped: marked(standing, pick!(JobShipped)).into_iter().next_back(),
        destroyed: marked(standing, pick!(JobDestroyed))
            .into_iter()
            .next_back(),
        messages: marked(standing, pick!(MessagePosted)),
        notes: marked(standing, pick!(NoteRecorded)),
        advice,
        stage: Stage::Advised,
        holds: Vec::new(),
        route: Vec::new(),
        next: None,
        exceptions: Vec::new(),
        unknown_entries: u32::try_from(unknown(false)).unwrap_or(u32::MAX),
        read_only: unknown(true) > 0,
        last_at_ms: standing.last().map_or(0, |recorded| recorded.stamp.hlc_ms),
    }
}

/// A device that arrived is not missing; the shop's word describes it until the lab does.
fn settle_custody(job: &mut Job) {
    if job.arrived.is_some() {
        job.missed = None;
    }
    if let Some(arrived) = &job.arrived {
        job.parcel_id = Some(arrived.value.parcel_id);
    }
    if job.device.heads.is_empty()
        && let Some(advice) = &job.advice
    {
        job.device.heads.push(crate::register::Head {
            mark: advice.mark,
            value: advice.value.device.clone(),
        });
    }
}

/// The cell that is in the device now is judged by all that was seen of it. What was seen of one that was taken out went with it.
fn settle_cell(job: &mut Job, standing: &[&Recorded]) {
    let removed_at = standing
        .iter()
        .rposition(|recorded| matches!(recorded.fact(), Some(Fact::CellRemoved(_))));
    let of_this_cell = removed_at.map_or(standing, |at| &standing[at + 1..]);
    job.cell_state = cell_in_device(of_this_cell);
    if job.shipped.is_some() || job.destroyed.is_some() {
        job.cell_state.next_reading = None;
    }
    if job.shipped.is_some() {
        job.cell_state.left = job
            .cell_state
            .goes_back
            .clone()
            .map(|record| CellLeft::Returned { record });
    }
    let judgement = match (&job.cell_state.judgement, removed_at) {
        (Some(judgement), _) => judgement.clone(),
        (None, Some(_)) => without_cell(),
        (None, None) => return,
    };
    if let Some(last) = job.cell_checks.last_mut() {
        last.judgement = judgement;
    }
}

fn passcode(standing: &[&Recorded]) -> Passcode {
    let destroyed = standing
        .iter()
        .rev()
        .find_map(|recorded| match recorded.fact() {
            Some(Fact::PasscodeDestroyed(destruction)) => {
                Some((destruction.sealed_entry_id, recorded.stamp.hlc_ms))
            }
            _ => None,
        });
    let sealed = standing
        .iter()
        .rev()
        .find(|recorded| matches!(recorded.fact(), Some(Fact::PasscodeSealed(_))));
    match (sealed, destroyed) {
        (Some(sealed), Some((entry_id, at_ms))) if sealed.entry_id == entry_id => {
            Passcode::Destroyed { at_ms }
        }
        (Some(sealed), _) => Passcode::Sealed {
            entry_id: sealed.entry_id,
        },
        (None, Some((_, at_ms))) => Passcode::Destroyed { at_ms },
        (None, None) => Passcode::None,
    }
}

fn standing_holds(standing: &[&Recorded]) -> Vec<StandingHold> {
    let lifted: BTreeSet<EntryId> = standing
        .iter()
        .filter_map(|recorded| match recorded.fact() {
            Some(Fact::HoldLifted(lift)) => Some(lift.hold_entry_id),
            _ => None,
        })
        .collect();
    marked(standing, pick!(HoldPlaced))
        .into_iter()
        .filter(|hold| !lifted.contains(&hold.mark.entry_id))
        .map(|Marked { mark, value }| StandingHold { mark, hold: value })
        .collect()
}

fn packed(standing: &[&Recorded]) -> Option<Marked<crate::fact::JobParcel>> {
    let last = standing.iter().rev().find(|recorded| {
        matches!(
            recorded.fact(),
            Some(Fact::JobPacked(_) | Fact::JobUnpacked(_))
        )
    })?;
    match last.fact()? {
        Fact::JobPacked(value) => Some(Marked {
            mark: Mark::from(*last),
            value: *value,
        }),
        _ => None,
    }
}

/// How the identifiers read differ from the one announced.
fn identity_difference(job: &Job) -> Option<String> {
    let announced = job.advice.as_ref()?.value.identifier.as_str();
    let identity = job.identity.value()?;
    let wanted = identifiers::read(announced);
    let is_announced =
        |identifier: &Identifier| identifiers::read(&identifier.text).same_number(&wanted);
    if announced.trim().is_empty() || identity.identifiers.iter().any(is_announced) {
        return None;
    }
    let read: Vec<&str> = identity
        .identifiers
        .iter()
        .map(|identifier| identifier.text.as_str())
        .collect();
    Some(format!(
        "The shop announced {announced}, but the device shows {}.",
        read.join(", ")
    ))
}

fn agreement(job: &Job) -> Agreement {
    let Some(quote) = job.quote.mark() else {
        return Agreement::NoQuote;
    };
    let Some(decision) = job
        .decisions
        .iter()
        .rev()
        .find(|decision| decision.value.quote_entry_id == quote.entry_id)
    else {
        return Agreement::Waiting;
    };
    let at_ms = decision.mark.at_ms;
    match decision.value.answer {
        Answer::Agree => Agreement::Agreed {
            way: decision.value.way,
            at_ms,
        },
        Answer::Refuse => Agreement::Refused { at_ms },
        Answer::Ask => Agreement::Asked {
            question: decision.value.note.clone(),
        },
    }
}

/// The tests that the proof rests on: those chosen, then those that heat has opened.
fn proof_tests(job: &Job) -> Vec<ProofTest> {
    let of = |test: &crate::fact::ChosenTest, reason| ProofTest {
        code: test.code.clone(),
        title: test.title.clone(),
        reason,
        version: test.version,
        definition_id: test.definition_id,
    };
    let mut tests: Vec<ProofTest> = Vec::new();
    for test in job.tests.value().map_or(&[][..], |chosen| &chosen.tests) {
        let reason = if test.shows_fault {
            TestReason::Fault
        } else {
            TestReason::Chosen
        };
        tests.push(of(test, reason));
    }
    let heated = job.steps.iter().filter_map(|step| step.value.heat.as_ref());
    for test in heated.flat_map(|heat| &heat.neighbour_tests) {
        match tests.iter_mut().find(|known| known.code == test.code) {
            Some(known) if known.reason == TestReason::Chosen => {
                known.reason = TestReason::Neighbour;
            }
            Some(_) => {}
            None => tests.push(of(test, TestReason::Neighbour)),
        }
    }
    tests
}

/// What happened after the outcome was set and no longer fits it.
fn after_outcome(job: &Job) -> Option<String> {
    if job.shipped.is_some() {
        return None;
    }
    let (outcome, mark) = (job.outcome.value()?, job.outcome.mark()?);
    let late = |at_ms: u64| at_ms > mark.at_ms;
    let named = outcome.outcome.words();
    if job.steps.iter().any(|step| late(step.mark.at_ms)) {
        return Some(format!(
            "Work is recorded after the job was closed as {named}; take the outcome back, prove the work, and close it again."
        ));
    }
    let tested = job.results.iter().any(|marked| late(marked.mark.at_ms));
    let missing = if tested {
        may_close(job, outcome.outcome)
    } else {
        Vec::new()
    };
    let first = missing.first()?;
    Some(format!(
        "A result after closing no longer fits the outcome {named}. {}",
        first.sentence
    ))
}

fn exceptions(job: &Job, standing: &[&Recorded]) -> Vec<Exception> {
    let mut found = Vec::new();
    let mut say = |sentence: String| found.push(Exception { sentence });
    let arrivals: BTreeSet<_> = marked(standing, pick!(JobArrived))
        .into_iter()
        .map(|arrival| arrival.value.parcel_id)
        .collect();
    if arrivals.len() > 1 {
        say(
            "The device is recorded as found in two parcels; withdraw the entry that is wrong."
                .to_owned(),
        );
    }
    if let Some(shipped) = &job.shipped {
        let late = |at_ms: u64| at_ms > shipped.mark.at_ms;
        let work_after = job.steps.iter().any(|step| late(step.mark.at_ms))
            || job.results.iter().any(|result| late(result.mark.at_ms));
        if work_after {
            say("Work or a test is recorded after the device was shipped.".to_owned());
        }
    }
    if let Some(refused) = matches!(job.agreement, Agreement::Refused { .. })
        .then(|| job.steps.last())
        .flatten()
        && let Agreement::Refused { at_ms } = job.agreement
        && refused.mark.at_ms > at_ms
    {
        say("Work is recorded after the shop refused the quote.".to_owned());
    }
    if let Some(sentence) = after_outcome(job) {
        say(sentence);
    }
    for row in job
        .comparison
        .iter()
        .filter(|row| !row.differing.is_empty())
    {
        say(format!(
            "Two benches recorded different results for {}. Both stay readable; test it once more, and the new result counts.",
            row.title
        ));
    }
    let answered_old = job.decisions.last().is_some_and(|last| {
        job.quote
            .mark()
            .is_some_and(|quote| quote.entry_id != last.value.quote_entry_id)
    });
    if answered_old && matches!(job.agreement, Agreement::Waiting) {
        say("The shop answered an earlier quote; the standing one has no answer yet.".to_owned());
    }
    found
}

/// The advice of a job that nobody announced, for a device taken in at the Dock.
pub fn unannounced_advice(
    shop_id: crate::ids::ShopId,
    parcel_id: crate::ids::ParcelId,
    device: crate::fact::DeviceDescription,
) -> JobAdvice {
    JobAdvice {
        shop_id,
        parcel_id,
        device,
        identifier: String::new(),
        fault: String::new(),
        tried: String::new(),
        liquid: None,
        data_needed: true,
        accessories: Vec::new(),
        cell_answers: BTreeSet::new(),
        shop_reference: String::new(),
        battery: crate::fact::AdvisedBattery::default(),
    }
}
