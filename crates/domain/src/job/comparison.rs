//! Before against after, test by test: the claim that the return report makes.
//!
//! A result that is missing, or could not be had, is never a pass, and a fail never helps. A following result of the same test and
//! phase replaces the ones its writer had seen; both stay readable. Results of two benches that had not seen each other both stand,
//! and as long as they differ nothing is proved: the worse one counts. The order of entries never matters beyond that.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::fact::{Fact, Outcome, Phase, TestCode, TestResult};
use crate::ids::EntryId;
use crate::judging::{Judged, judge_reading, judgement_words};
use crate::recorded::{Mark, Recorded};

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
    /// How the reading was judged, with its limits and the rule by name; empty where nothing was measured.
    pub judgement: String,
    /// True when a following result of the same test and phase replaced it.
    pub replaced: bool,
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
    /// Judges a result by its own limits and rule.
    pub fn of(outcome: &Outcome) -> Self {
        match outcome {
            Outcome::Pass | Outcome::Choice { passes: true, .. } => Self::Pass,
            Outcome::Fail | Outcome::Choice { passes: false, .. } => Self::Fail,
            Outcome::Reading {
                reading,
                limits,
                rule,
            } => match judge_reading(reading, limits, *rule) {
                Judged::Accepted => Self::Pass,
                Judged::Outside | Judged::InGuardBand => Self::Fail,
                Judged::UncertaintyNotKnown => Self::NotTestable,
            },
            Outcome::NotApplicable => Self::NotApplicable,
            Outcome::NotTestable { .. } => Self::NotTestable,
        }
    }

    /// How much it tells against the device; the most counts where results differ.
    const fn weight(self) -> u8 {
        match self {
            Self::Pass => 0,
            Self::NotApplicable => 1,
            Self::NotTestable => 2,
            Self::Fail => 3,
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
    /// Failed before and fails after.
    StillFailing,
    /// Passed before, fails after.
    MadeWorse,
    /// Passed before and after.
    Steady,
    /// Could not be tested before, passes after.
    NewlyTestable,
    /// No result after that says anything.
    NotProved,
    /// The results can't be set against each other, or it fails after and nothing is known of before; why is said beside it.
    NotComparable,
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
            Self::NotComparable => "not comparable",
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
    /// The version it is tested with; 0 when that was never said.
    pub version: u32,
    /// The entry that defined that version, if it was said.
    pub definition_id: Option<EntryId>,
    /// The standing result before, if any.
    pub before: Option<MarkedResult>,
    /// The standing result after, if any.
    pub after: Option<MarkedResult>,
    /// Further standing results of benches that had not seen each other, when they differ from the ones shown.
    pub differing: Vec<MarkedResult>,
    /// How they compare.
    pub joint: Joint,
    /// Why, one sentence each.
    pub why: Vec<String>,
    /// True when the standing results after all pass, taken as the test needs it.
    pub proved: bool,
    /// True when a standing result after fails.
    pub fails: bool,
    /// True when it passed before and fails after, comparable or not.
    pub worse: bool,
}

/// A test that is part of a job's proof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct ProofTest {
    pub(super) code: TestCode,
    pub(super) title: String,
    pub(super) reason: TestReason,
    pub(super) version: u32,
    pub(super) definition_id: Option<EntryId>,
}

/// Joins a before and an after that can be compared.
pub fn join(before: Option<Verdict>, after: Option<Verdict>) -> Joint {
    match (before, after) {
        (Some(Verdict::Pass | Verdict::Fail), Some(Verdict::NotApplicable)) => Joint::NotComparable,
        (Some(Verdict::NotApplicable), None) | (_, Some(Verdict::NotApplicable)) => {
            Joint::NotApplicable
        }
        (_, None | Some(Verdict::NotTestable)) => Joint::NotProved,
        (Some(Verdict::Fail), Some(Verdict::Pass)) => Joint::Fixed,
        (Some(Verdict::Pass), Some(Verdict::Pass)) => Joint::Steady,
        (_, Some(Verdict::Pass)) => Joint::NewlyTestable,
        (Some(Verdict::Pass), Some(Verdict::Fail)) => Joint::MadeWorse,
        (Some(Verdict::Fail), Some(Verdict::Fail)) => Joint::StillFailing,
        // Nobody knows whether it failed before: neither “still” nor “worse” would be true.
        (_, Some(Verdict::Fail)) => Joint::NotComparable,
    }
}

/// Collects the results with what they come to, oldest first. `standing` is in the display order, without what was withdrawn.
pub(super) fn results(standing: &[&Recorded]) -> Vec<MarkedResult> {
    let of_tests: Vec<(&Recorded, &TestResult)> = standing
        .iter()
        .filter_map(|recorded| match recorded.fact() {
            Some(Fact::TestResulted(result)) => Some((*recorded, result)),
            _ => None,
        })
        .collect();
    let replaced = replaced(&of_tests);
    of_tests
        .into_iter()
        .map(|(recorded, result)| {
            let (close, judgement) = match &result.outcome {
                Outcome::Reading {
                    reading,
                    limits,
                    rule,
                } => (
                    limits.is_close(reading),
                    judgement_words(reading, limits, *rule),
                ),
                _ => (false, String::new()),
            };
            MarkedResult {
                mark: Mark::from(recorded),
                verdict: Verdict::of(&result.outcome),
                close,
                judgement,
                replaced: replaced.contains(&recorded.entry_id),
                result: result.clone(),
            }
        })
        .collect()
}

/// A result replaces those it names as seen, and every earlier one of its own stream, whose writer had seen it in any case.
fn replaced(results: &[(&Recorded, &TestResult)]) -> BTreeSet<EntryId> {
    let mut replaced = BTreeSet::new();
    let mut latest = std::collections::BTreeMap::new();
    for (recorded, result) in results {
        let of_same = |entry_id: &EntryId| {
            results.iter().any(|(other, of)| {
                other.entry_id == *entry_id && of.code == result.code && of.phase == result.phase
            })
        };
        replaced.extend(recorded.based_on.iter().copied().filter(of_same));
        let key = (recorded.stamp.stream_id, result.phase, result.code.clone());
        if let Some((earlier_seq, earlier)) =
            latest.insert(key.clone(), (recorded.stamp.stream_seq, recorded.entry_id))
        {
            // The display order follows the clock; within a stream its own count decides.
            if earlier_seq > recorded.stamp.stream_seq {
                replaced.insert(recorded.entry_id);
                latest.insert(key, (earlier_seq, earlier));
            } else {
                replaced.insert(earlier);
            }
        }
    }
    replaced
}

/// The standing results of a test in a phase, oldest first: more than one when benches had not seen each other.
pub(super) fn standing<'a>(
    results: &'a [MarkedResult],
    phase: Phase,
    code: &TestCode,
) -> Vec<&'a MarkedResult> {
    results
        .iter()
        .filter(|marked| {
            !marked.replaced && marked.result.phase == phase && marked.result.code == *code
        })
        .collect()
}

/// Compares every test that is part of the proof. `tests` gives their order and reason; results of further tests follow.
pub(super) fn compare(tests: Vec<ProofTest>, results: &[MarkedResult]) -> Vec<Comparison> {
    let mut rows = tests;
    for marked in results {
        if !rows.iter().any(|row| row.code == marked.result.code) {
            rows.push(ProofTest {
                code: marked.result.code.clone(),
                title: marked.result.title.clone(),
                reason: TestReason::Extra,
                version: marked.result.version,
                definition_id: marked.result.taken.definition_id,
            });
        }
    }
    rows.into_iter()
        .map(|test| {
            let before = standing(results, Phase::Before, &test.code);
            let after = standing(results, Phase::After, &test.code);
            row(test, &before, &after)
        })
        .collect()
}

fn row(test: ProofTest, before: &[&MarkedResult], after: &[&MarkedResult]) -> Comparison {
    let any = |side: &[&MarkedResult], verdict: Verdict| {
        side.iter().any(|marked| marked.verdict == verdict)
    };
    // Before, the later one shows; after, the one that tells most against the device.
    let shown_before = before.last().copied();
    let shown_after = after
        .iter()
        .copied()
        .max_by_key(|marked| (marked.verdict.weight(), marked.mark.at_ms));
    let fails = any(after, Verdict::Fail);
    let (joint, why) = joint(before, after, shown_before, shown_after);
    // A job goes on with the version it was first tested with.
    let pinned = shown_before.or(shown_after);
    let differing = [(before, shown_before), (after, shown_after)]
        .into_iter()
        .filter(|(side, _)| differ(side))
        .flat_map(|(side, shown)| {
            side.iter().copied().filter(move |marked| {
                shown.is_none_or(|shown| shown.mark.entry_id != marked.mark.entry_id)
            })
        })
        .cloned()
        .collect();
    Comparison {
        version: pinned.map_or(test.version, |marked| marked.result.version),
        definition_id: pinned.map_or(test.definition_id, |marked| {
            marked.result.taken.definition_id
        }),
        code: test.code,
        title: test.title,
        reason: test.reason,
        proved: !after.is_empty()
            && after.iter().all(|marked| {
                marked.verdict == Verdict::Pass && marked.result.taken.is_meaningful()
            }),
        fails,
        worse: fails && any(before, Verdict::Pass),
        before: shown_before.cloned(),
        after: shown_after.cloned(),
        differing,
        joint,
        why,
    }
}

/// True when benches that had not seen each other came to different verdicts.
fn differ(side: &[&MarkedResult]) -> bool {
    side.iter().any(|marked| {
        side.first()
            .is_some_and(|first| first.verdict != marked.verdict)
    })
}

fn joint(
    before: &[&MarkedResult],
    after: &[&MarkedResult],
    shown_before: Option<&MarkedResult>,
    shown_after: Option<&MarkedResult>,
) -> (Joint, Vec<String>) {
    let verdict = |shown: Option<&MarkedResult>| shown.map(|marked| marked.verdict);
    let joint = join(verdict(shown_before), verdict(shown_after));
    let mut against = Vec::new();
    for (side, words) in [(before, "before"), (after, "after")] {
        if differ(side) {
            against.push(format!(
                "Two benches recorded different results {words}; test it once more, and the new result counts."
            ));
        }
    }
    if let Some(after) = shown_after
        && matches!(after.verdict, Verdict::Pass | Verdict::Fail)
    {
        against.extend(not_attached(after, "after"));
        if let Some(before) = shown_before
            && matches!(before.verdict, Verdict::Pass | Verdict::Fail)
        {
            against.extend(not_attached(before, "before"));
            against.extend(other_measure(before, after));
        }
    }
    if against.is_empty() {
        (joint, vec![base_words(joint, shown_after)])
    } else {
        // A missing after stays what it is: not proved.
        let joint = match joint {
            Joint::NotProved if shown_after.is_none() => Joint::NotProved,
            _ => Joint::NotComparable,
        };
        (joint, against)
    }
}

fn base_words(joint: Joint, after: Option<&MarkedResult>) -> String {
    match joint {
        Joint::Fixed => "It failed before and passes after.",
        Joint::StillFailing => "It failed before and fails after.",
        Joint::MadeWorse => "It passed before and fails after.",
        Joint::Steady => "It passed before and passes after.",
        Joint::NewlyTestable => "It passes after; before, there was no result to compare with.",
        Joint::NotComparable if after.is_some_and(|after| after.verdict == Verdict::Fail) => {
            "It fails after; before, there was no result to compare with."
        }
        Joint::NotComparable => {
            "The device had it before and is said to have none after; one of the two is a slip."
        }
        Joint::NotApplicable => "The device has no such thing.",
        Joint::NotProved => match after {
            None => "There is no result after.",
            Some(_) => "It could not be tested after.",
        },
    }
    .to_owned()
}

fn not_attached(marked: &MarkedResult, words: &str) -> Option<String> {
    let taken = &marked.result.taken;
    if taken.is_meaningful() {
        return None;
    }
    let stood = taken.assembly.as_ref().map_or_else(
        || "how the device stood was not said".to_owned(),
        |assembly| format!("the device was {}", assembly.words()),
    );
    let needs = match (taken.needs, taken.attached.is_empty()) {
        (crate::fact::Needs::Closed, true) => "the closed device".to_owned(),
        (crate::fact::Needs::Closed, false) => format!("the closed device with {}", taken.attached),
        (_, true) => "all its parts attached".to_owned(),
        (_, false) => format!("{} attached", taken.attached),
    };
    Some(format!(
        "Tested {words} while {stood}, but the test needs {needs}."
    ))
}

/// Other unit, other limits or rule, other version: what keeps two results from being set against each other.
fn other_measure(before: &MarkedResult, after: &MarkedResult) -> Option<String> {
    if let (
        Outcome::Reading {
            reading: one,
            limits,
            rule,
        },
        Outcome::Reading {
            reading: other,
            limits: other_limits,
            rule: other_rule,
        },
    ) = (&before.result.outcome, &after.result.outcome)
    {
        if one.unit != other.unit {
            return Some(format!(
                "Read before in {} and after in {}.",
                one.unit.name(),
                other.unit.name()
            ));
        }
        if limits != other_limits {
            let words = |limits: &crate::reading::Limits| match limits.words(one.unit) {
                words if words.is_empty() => "no limits".to_owned(),
                words => words,
            };
            return Some(format!(
                "Judged before against {} and after against {}.",
                words(limits),
                words(other_limits)
            ));
        }
        if rule != other_rule {
            return Some(format!(
                "Judged before by {} and after by {}.",
                rule.name(),
                other_rule.name()
            ));
        }
    }
    let ids = (
        before.result.taken.definition_id,
        after.result.taken.definition_id,
    );
    let other_definition = matches!(ids, (Some(one), Some(other)) if one != other);
    (other_definition || before.result.version != after.result.version).then(|| {
        format!(
            "Tested before by version {} of the test and after by version {}.",
            before.result.version, after.result.version
        )
    })
}
