//! Before against after, test by test: the claim that the return report makes.
//!
//! A result that is missing, or could not be had, is never a pass. The order of entries never matters beyond “the later
//! result of the same test and phase replaces the earlier”.

use serde::{Deserialize, Serialize};

use crate::fact::{Outcome, Phase, TestCode, TestResult};
use crate::recorded::Mark;

/// A recorded result with who and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MarkedResult {
    /// Who and when.
    pub mark: Mark,
    /// The result.
    pub result: TestResult,
    /// What it comes to.
    pub verdict: Verdict,
    /// True when the reading lies so near a limit that its uncertainty reaches across.
    pub close: bool,
}

/// What a result comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Verdict {
    /// It works.
    Pass,
    /// It doesn't.
    Fail,
    /// The device has no such thing.
    NotApplicable,
    /// It could not be tested.
    NotTestable,
}

impl Verdict {
    /// Judges a result by its own limits; simple acceptance.
    pub fn of(outcome: &Outcome) -> Self {
        match outcome {
            Outcome::Pass => Self::Pass,
            Outcome::Reading { reading, limits } if limits.accept(reading.micro) => Self::Pass,
            Outcome::Fail | Outcome::Reading { .. } => Self::Fail,
            Outcome::NotApplicable => Self::NotApplicable,
            Outcome::NotTestable { .. } => Self::NotTestable,
        }
    }
}

/// How before and after of one test compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Joint {
    /// Failed before, passes after.
    Fixed,
    /// Fails after, and did not pass before.
    StillFailing,
    /// Passed before, fails after.
    MadeWorse,
    /// Passed before and after.
    Steady,
    /// Could not be tested before, passes after.
    NewlyTestable,
    /// No result after that says anything.
    NotProved,
    /// The device has no such thing.
    NotApplicable,
}

impl Joint {
    /// The words on screens and papers.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Fixed => "fixed",
            Self::StillFailing => "still failing",
            Self::MadeWorse => "made worse",
            Self::Steady => "steady",
            Self::NewlyTestable => "newly testable",
            Self::NotProved => "not proved",
            Self::NotApplicable => "not applicable",
        }
    }
}

/// Why a test is part of a job's proof.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum TestReason {
    /// It shows the declared fault.
    Fault,
    /// It was chosen to go along.
    Chosen,
    /// It shows whether heat harmed a neighbour.
    Neighbour,
    /// It was done though nobody asked for it.
    Extra,
}

/// One row of the spread: a test, its before, its after, and the joint between.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Comparison {
    /// The test.
    pub code: TestCode,
    /// Its title.
    pub title: String,
    /// Why it is here.
    pub reason: TestReason,
    /// The standing result before, if any.
    pub before: Option<MarkedResult>,
    /// The standing result after, if any.
    pub after: Option<MarkedResult>,
    /// How they compare.
    pub joint: Joint,
}

/// Joins a before and an after.
pub fn join(before: Option<Verdict>, after: Option<Verdict>) -> Joint {
    match (before, after) {
        (Some(Verdict::NotApplicable), None) | (_, Some(Verdict::NotApplicable)) => {
            Joint::NotApplicable
        }
        (_, None | Some(Verdict::NotTestable)) => Joint::NotProved,
        (Some(Verdict::Fail), Some(Verdict::Pass)) => Joint::Fixed,
        (Some(Verdict::Pass), Some(Verdict::Pass)) => Joint::Steady,
        (_, Some(Verdict::Pass)) => Joint::NewlyTestable,
        (Some(Verdict::Pass), Some(Verdict::Fail)) => Joint::MadeWorse,
        (_, Some(Verdict::Fail)) => Joint::StillFailing,
    }
}

/// The standing result of a test in a phase: the latest.
pub(super) fn standing<'a>(
    results: &'a [MarkedResult],
    phase: Phase,
    code: &TestCode,
) -> Option<&'a MarkedResult> {
    results
        .iter()
        .rev()
        .find(|marked| marked.result.phase == phase && marked.result.code == *code)
}

/// Compares every test that is part of the proof. `tests` gives their order and reason; results of further tests follow.
pub(super) fn compare(
    tests: &[(TestCode, String, TestReason)],
    results: &[MarkedResult],
) -> Vec<Comparison> {
    let mut rows: Vec<(TestCode, String, TestReason)> = tests.to_vec();
    for marked in results {
        if !rows.iter().any(|(code, ..)| *code == marked.result.code) {
            rows.push((
                marked.result.code.clone(),
                marked.result.title.clone(),
                TestReason::Extra,
            ));
        }
    }
    rows.into_iter()
        .map(|(code, title, reason)| {
            let before = standing(results, Phase::Before, &code).cloned();
            let after = standing(results, Phase::After, &code).cloned();
            let joint = join(
                before.as_ref().map(|marked| marked.verdict),
                after.as_ref().map(|marked| marked.verdict),
            );
            Comparison {
                code,
                title,
                reason,
                before,
                after,
                joint,
            }
        })
        .collect()
}
