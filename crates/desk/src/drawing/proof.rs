//! Before against after, as the report prints it: readings with unit, uncertainty and limits, and what was not tested.

use domain::fact::{Outcome, TestCode};
use domain::job::{Comparison, Job, Joint, MarkedResult, TestReason, Verdict};
use domain::judging::DecisionRule;
use papers::model::{self, ComparisonRow, NotTested, Reading, ReadingKind};

use super::words::joined;

/// The rows in the order of the spread. What the device doesn't have is listed with what was not tested.
pub(super) fn comparison(job: &Job) -> Vec<ComparisonRow> {
    job.comparison
        .iter()
        .filter(|row| row.joint != Joint::NotApplicable)
        .map(|row| comparison_row(job, row))
        .collect()
}

fn comparison_row(job: &Job, row: &Comparison) -> ComparisonRow {
    let remark = [reason_words(job, row), limits_words(row)];
    ComparisonRow {
        test: row.title.clone(),
        remark: joined(remark.iter().map(String::as_str), "; "),
        before: reading(row.before.as_ref()),
        after: reading(row.after.as_ref()),
        comparison: joint(row.joint),
        word: row.joint.words().to_owned(),
        note: notes(row),
    }
}

fn reason_words(job: &Job, row: &Comparison) -> String {
    match row.reason {
        TestReason::Fault => "shows the declared fault".to_owned(),
        TestReason::Neighbour => {
            let near = neighbours(job, &row.code);
            if near.is_empty() {
                "shows harm by heat".to_owned()
            } else {
                format!("shows harm by heat to {near}")
            }
        }
        TestReason::Chosen => String::new(),
        TestReason::Extra => "done besides".to_owned(),
    }
}

/// The parts near the heat whose harm a test would show.
fn neighbours(job: &Job, code: &TestCode) -> String {
    let heats = job.steps.iter().filter_map(|step| step.value.heat.as_ref());
    let mut parts: Vec<&str> = Vec::new();
    for heat in heats.filter(|heat| heat.neighbour_tests.iter().any(|test| test.code == *code)) {
        parts.extend(heat.neighbours.iter().map(String::as_str));
    }
    parts.sort_unstable();
    parts.dedup();
    parts.join(", ")
}

/// The limits of each side; once when both were judged by the same.
fn limits_words(row: &Comparison) -> String {
    let words = |result: &Option<MarkedResult>| match result
        .as_ref()
        .map(|result| &result.result.outcome)
    {
        Some(Outcome::Reading {
            reading,
            limits,
            rule,
        }) => match (limits.words(reading.unit), rule) {
            (words, DecisionRule::GuardedAcceptance) if !words.is_empty() => {
                format!("{words}, {}", rule.name())
            }
            (words, _) => words,
        },
        _ => String::new(),
    };
    match (words(&row.before), words(&row.after)) {
        (before, after) if before.is_empty() && after.is_empty() => String::new(),
        (before, after) if before.is_empty() || before == after => format!("limits {after}"),
        (before, after) if after.is_empty() => format!("limits {before}"),
        (before, after) => format!("limits before {before}, after {after}"),
    }
}

fn reading(result: Option<&MarkedResult>) -> Reading {
    let Some(marked) = result else {
        return Reading {
            kind: ReadingKind::None,
            word: "no result".to_owned(),
            ..Reading::default()
        };
    };
    let (kind, word) = match marked.verdict {
        Verdict::Pass => (ReadingKind::Pass, "pass"),
        Verdict::Fail => (ReadingKind::Fail, "fail"),
        Verdict::NotApplicable => (ReadingKind::None, "not applicable"),
        Verdict::NotTestable => (ReadingKind::None, "not testable"),
    };
    let value = match &marked.result.outcome {
        Outcome::Reading { reading, .. } => reading.to_string(),
        Outcome::Choice { words, .. } => words.clone(),
        _ => String::new(),
    };
    Reading {
        kind,
        word: word.to_owned(),
        value: value.into(),
        in_words: matches!(marked.result.outcome, Outcome::Choice { .. }),
    }
}

const fn joint(joint: Joint) -> model::Comparison {
    match joint {
        Joint::Fixed => model::Comparison::Fixed,
        Joint::StillFailing => model::Comparison::StillFailing,
        Joint::MadeWorse => model::Comparison::Worse,
        Joint::Steady => model::Comparison::Steady,
        Joint::NewlyTestable => model::Comparison::NewlyTestable,
        Joint::NotProved | Joint::NotComparable | Joint::NotApplicable => {
            model::Comparison::NotProved
        }
    }
}

/// The people's notes, why a side could not be tested, and a reading too near its limit to be sure of.
fn notes(row: &Comparison) -> String {
    let sides = [("before", &row.before), ("after", &row.after)];
    // Sentences and people's words stand in one line here, parted by semicolons.
    let mut notes: Vec<String> = if row.joint == Joint::NotComparable {
        let why = row.why.iter();
        why.map(|why| why.trim_end_matches('.').to_owned())
            .collect()
    } else {
        Vec::new()
    };
    for (side, marked) in sides
        .into_iter()
        .filter_map(|(side, marked)| Some((side, marked.as_ref()?)))
    {
        if let Outcome::NotTestable { why } = &marked.result.outcome
            && row.joint != Joint::NotProved
        {
            notes.push(format!("{side}: not testable, {why}"));
        }
        if !marked.result.note.is_empty() {
            notes.push(format!("{side}: {}", marked.result.note));
        }
        if marked.close {
            notes.push(format!(
                "{side}: so near its limit that its uncertainty reaches across"
            ));
        }
    }
    notes.join("; ")
}

/// What was not shown either way, and why.
pub(super) fn not_tested(job: &Job) -> Vec<NotTested> {
    let mut list = Vec::new();
    if job.cell_checks.is_empty() {
        list.push(NotTested {
            test: "Cell check".to_owned(),
            reason: "none is recorded".to_owned(),
        });
    }
    for row in &job.comparison {
        let reason = match row.joint {
            Joint::NotApplicable => "the device has no such thing".to_owned(),
            Joint::NotProved => why_not(row),
            _ => continue,
        };
        list.push(NotTested {
            test: row.title.clone(),
            reason,
        });
    }
    list
}

fn why_not(row: &Comparison) -> String {
    let why = |result: &Option<MarkedResult>| match result
        .as_ref()
        .map(|result| &result.result.outcome)
    {
        Some(Outcome::NotTestable { why }) => Some(why.clone()),
        _ => None,
    };
    match (why(&row.after), why(&row.before)) {
        (Some(why), _) => why,
        (None, Some(why)) => format!("not before, {why}; no result after"),
        (None, None) => "no result after was recorded".to_owned(),
    }
}
