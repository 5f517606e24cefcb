//! What became of like jobs: the same model with the same fault, and the same fault on any model.
//!
//! Two jobs have the same fault when a test that shows the declared fault is the same in both; what a shop calls it in its own
//! words never decides. Of each figure its definition, its count and, for a rate, its interval are shown; no figure is made of jobs
//! that have not ended.

use std::collections::BTreeMap;

use serde::Serialize;

use super::precedent::{Precedent, precedent};
use super::{Rate, Stay, Survival, survival};
use crate::fact::{JobOutcome, TestCode};
use crate::ids::JobId;
use crate::job::{Job, Joint};

/// A spread of times, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Spread {
    /// How many times there are.
    pub count: u32,
    /// A quarter of them are shorter.
    pub quarter: u32,
    /// Half of them are shorter.
    pub half: u32,
    /// Three quarters of them are shorter.
    pub three_quarters: u32,
}

/// Something that was used or seen, and in how many jobs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Often {
    /// What, in words.
    pub what: String,
    /// In how many jobs.
    pub jobs: u32,
}

/// What the lab's own past says of a fault.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Past {
    /// Jobs with this fault on this model in which the repair was tried, and those of them that were repaired.
    pub fixed: Rate,
    /// The rate in words, never a bare percentage.
    pub fixed_words: String,
    /// From the first step of work to the last test after, of those that were repaired.
    pub bench_minutes: Option<Spread>,
    /// Parts fitted in those that were repaired, the most frequent first.
    pub parts: Vec<Often>,
    /// Other tests that failed before, the most frequent first.
    pub also_failed: Vec<Often>,
    /// How repairs of this fault last, on any model.
    pub lasting: Survival,
    /// The job to go by, if one was repaired.
    pub precedent: Option<Precedent>,
}

/// One ended job with what its own entries don't tell.
#[derive(Debug, Clone, Copy)]
pub struct Ended<'a> {
    /// The job.
    pub job: &'a Job,
    /// When the same device came in again, in milliseconds since 1970.
    pub came_back_ms: Option<u64>,
}

/// At most so many are listed of parts and of failed tests.
const LISTED_MAX: usize = 5;
const MINUTE_MS: u64 = 60_000;
const DAY_MS: u64 = 24 * 60 * MINUTE_MS;

/// The tests that show a job's declared fault.
pub fn fault_of(job: &Job) -> Vec<TestCode> {
    let tests = job.tests.value().map_or(&[][..], |chosen| &chosen.tests);
    tests
        .iter()
        .filter(|test| test.shows_fault)
        .map(|test| test.code.clone())
        .collect()
}

/// Tells the past of a fault. `same_model` are jobs on the same model, `any_model` on all; each is looked through for the same
/// fault. The job asked about is left out by its id.
pub fn past(
    asked: JobId,
    fault: &[TestCode],
    same_model: &[&Job],
    any_model: &[Ended<'_>],
    now_ms: u64,
) -> Past {
    let alike =
        |job: &Job| job.job_id != asked && fault_of(job).iter().any(|code| fault.contains(code));
    let tried: Vec<(&Job, JobOutcome)> = same_model
        .iter()
        .filter(|job| alike(job))
        .filter_map(|job| Some((*job, job.outcome.value()?.outcome)))
        .filter(|(_, outcome)| was_tried(*outcome))
        .collect();
    let mut fixed = Rate::default();
    for (_, outcome) in &tried {
        fixed.add(*outcome == JobOutcome::Repaired);
    }
    let repaired: Vec<&Job> = tried
        .iter()
        .filter(|(_, outcome)| *outcome == JobOutcome::Repaired)
        .map(|(job, _)| *job)
        .collect();
    let failed = tried.iter().map(|(job, _)| failed_titles(job, fault));
    let stays: Vec<Stay> = any_model
        .iter()
        .filter(|ended| alike(ended.job))
        .filter_map(|ended| stay(ended, now_ms))
        .collect();
    Past {
        fixed,
        fixed_words: fixed.words(),
        bench_minutes: spread(
            repaired
                .iter()
                .filter_map(|job| bench_minutes(job))
                .collect(),
        ),
        parts: often(repaired.iter().map(|job| part_names(job))),
        also_failed: often(failed),
        lasting: survival(&stays),
        precedent: precedent(&repaired, any_model),
    }
}

/// What was declined, could not be shown, or was for its data only says nothing about whether a repair succeeds.
const fn was_tried(outcome: JobOutcome) -> bool {
    matches!(
        outcome,
        JobOutcome::Repaired | JobOutcome::RepairedInPart | JobOutcome::NotRepairable
    )
}

fn bench_minutes(job: &Job) -> Option<u32> {
    let begun_ms = job.steps.iter().map(|step| step.mark.at_ms).min()?;
    let after = job.comparison.iter().filter_map(|row| row.after.as_ref());
    let ended_ms = after.map(|result| result.mark.at_ms).max()?;
    u32::try_from(ended_ms.checked_sub(begun_ms)? / MINUTE_MS).ok()
}

fn part_names(job: &Job) -> Vec<String> {
    let parts = job.steps.iter().flat_map(|step| &step.value.parts);
    let mut names: Vec<String> = parts
        .map(|part| match part.description.as_str() {
            "" => part.designator.clone(),
            description => format!("{}, {description}", part.designator),
        })
        .collect();
    names.sort();
    names.dedup();
    names
}

fn failed_titles(job: &Job, fault: &[TestCode]) -> Vec<String> {
    let failed = |joint: Joint| {
        matches!(
            joint,
            Joint::Fixed | Joint::StillFailing | Joint::NotProved | Joint::NotComparable
        )
    };
    let rows = job.comparison.iter().filter(|row| {
        !fault.contains(&row.code)
            && failed(row.joint)
            && row
                .before
                .as_ref()
                .is_some_and(|before| before.verdict == crate::job::Verdict::Fail)
    });
    rows.map(|row| row.title.clone()).collect()
}

/// Counts in how many jobs each thing occurs.
fn often(lists: impl Iterator<Item = Vec<String>>) -> Vec<Often> {
    let mut counts: BTreeMap<String, u32> = BTreeMap::new();
    for what in lists.flatten() {
        *counts.entry(what).or_default() += 1;
    }
    let mut often: Vec<Often> = counts
        .into_iter()
        .map(|(what, jobs)| Often { what, jobs })
        .collect();
    often.sort_by_key(|often| std::cmp::Reverse(often.jobs));
    often.truncate(LISTED_MAX);
    often
}

/// Quartiles by the rule that spreadsheets use (R. J. Hyndman and Y. Fan, Am. Stat. 50, 1996: type 7), to the nearest minute.
pub(super) fn spread(mut minutes: Vec<u32>) -> Option<Spread> {
    minutes.sort_unstable();
    let last = minutes.len().checked_sub(1)?;
    let at = |quarters: usize| {
        let place = last * quarters;
        let (below, rest) = (place / 4, place % 4);
        let low = u64::from(minutes[below]);
        let high = u64::from(minutes[(below + 1).min(last)]);
        let rest = u64::try_from(rest).expect("less than four");
        u32::try_from((low * (4 - rest) + high * rest + 2) / 4).expect("between two that fit")
    };
    Some(Spread {
        count: u32::try_from(minutes.len()).unwrap_or(u32::MAX),
        quarter: at(1),
        half: at(2),
        three_quarters: at(3),
    })
}

/// How long a repaired device has lasted; `None` before it left, and where nothing was repaired.
fn stay(ended: &Ended<'_>, now_ms: u64) -> Option<Stay> {
    let outcome = ended.job.outcome.value()?.outcome;
    if outcome != JobOutcome::Repaired {
        return None;
    }
    let left_ms = ended.job.shipped.as_ref()?.mark.at_ms;
    let came_back = ended.came_back_ms.filter(|back_ms| *back_ms >= left_ms);
    let until_ms = came_back.unwrap_or(now_ms);
    Some(Stay {
        days: u32::try_from(until_ms.saturating_sub(left_ms) / DAY_MS).unwrap_or(u32::MAX),
        came_back: came_back.is_some(),
    })
}
