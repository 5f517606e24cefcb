//! What whoever opens the parcel or uses the device must mind, with the edition of the rules it rests on.

use domain::cells::{BenchLevel, CellFinding, RULES_REVISION};
use domain::fact::Outcome;
use domain::job::Job;
use domain::judging::DecisionRule;
use papers::model::Caution;

use super::words::counted;

/// The report's cautions, and what the paper itself does not show.
pub(super) fn of_report(job: &Job, missing_pictures: &[String]) -> Vec<Caution> {
    let mut cautions = vec![cell(job)];
    cautions.extend(readings(job));
    if !missing_pictures.is_empty() {
        cautions.push(Caution {
            title: format!(
                "{} not shown",
                counted(missing_pictures.len(), "picture", "pictures")
            ),
            text: format!(
                "Not on the computer that made this paper; the record names each by its hash: {}.",
                missing_pictures.join("; ")
            ),
            source: String::new(),
        });
    }
    cautions
}

const WHEN_IT_REACTS: &str = "If it swells, leaks, smells of solvent, grows hot or smokes: do not charge, open, move or post it; keep people away \
     and call the fire service.";
const WHO_COMES_FIRST: &str =
    "Local fire code, the carrier’s terms and trained, licensed persons come first.";

fn cell(job: &Job) -> Caution {
    let source = |revision: &str| format!("{revision}: a check list of the lab, no approval");
    let Some(cell) = job.cell() else {
        return Caution {
            title: "Lithium cell, not checked".to_owned(),
            text: format!(
                "Take it for unsafe until someone has looked at it. {WHEN_IT_REACTS} {WHO_COMES_FIRST}"
            ),
            source: source(RULES_REVISION),
        };
    };
    let revision = &cell.judgement.rules_revision;
    if job.is_without_cell() {
        return Caution {
            title: "No cell inside: it was taken out".to_owned(),
            text: format!(
                "The lab keeps it apart or hands it to a recycler. Fit only a sound cell that fits the device. {WHEN_IT_REACTS} {WHO_COMES_FIRST}"
            ),
            source: source(revision),
        };
    }
    if cell.check.findings.contains(&CellFinding::Missing) {
        return Caution {
            title: "No cell was inside".to_owned(),
            text: format!(
                "Fit only a sound cell that fits the device. {WHEN_IT_REACTS} {WHO_COMES_FIRST}"
            ),
            source: source(revision),
        };
    }
    let (title, first) = match cell.judgement.level {
        BenchLevel::Clear => (
            "Lithium cell inside".to_owned(),
            "It was clear when it was checked; that says nothing of later.",
        ),
        level => (
            format!("Lithium cell: {}", level.word()),
            "It was not clear when it was checked. Do not charge it, and do not post it without a trained person’s decision.",
        ),
    };
    Caution {
        title,
        text: format!(
            "{first} {WHEN_IT_REACTS} To post the device again, follow the lithium rules of the carrier in the edition in force. {WHO_COMES_FIRST}"
        ),
        source: source(revision),
    }
}

/// How readings were judged, if there are any.
fn readings(job: &Job) -> Option<Caution> {
    let results = job
        .comparison
        .iter()
        .flat_map(|row| [&row.before, &row.after])
        .flatten();
    let rules: Vec<DecisionRule> = results
        .filter_map(|marked| match &marked.result.outcome {
            Outcome::Reading { rule, .. } => Some(*rule),
            _ => None,
        })
        .collect();
    if rules.is_empty() {
        return None;
    }
    let guarded = rules.contains(&DecisionRule::GuardedAcceptance);
    let mut text = "By simple acceptance (JCGM 106): the measured value alone decides against the limits, whatever its uncertainty. \
               What follows ± is the expanded uncertainty with k = 2; without it, the instrument’s is not known."
        .to_owned();
    if guarded {
        text.push_str(
            " Limits that protect people are judged by guarded acceptance, w = U: the value must keep clear of them by its uncertainty.",
        );
    }
    Some(Caution {
        title: "How readings are judged".to_owned(),
        text,
        source: if guarded {
            "JCGM 106:2012, 8.2 and 8.3.2"
        } else {
            "JCGM 106:2012, 8.2"
        }
        .to_owned(),
    })
}

/// For a return parcel. Whether and how it may travel is a trained person's decision; the slip is no transport paper.
pub(super) fn of_parcel(jobs: &[Job]) -> Vec<Caution> {
    let with_cell = jobs
        .iter()
        .filter(|job| {
            !job.is_without_cell()
                && job
                    .cell()
                    .is_none_or(|cell| !cell.check.findings.contains(&CellFinding::Missing))
        })
        .count();
    if with_cell == 0 {
        return Vec::new();
    }
    let revision = jobs
        .iter()
        .filter_map(Job::cell)
        .map(|cell| cell.judgement.rules_revision.as_str())
        .max()
        .unwrap_or(RULES_REVISION);
    vec![Caution {
        title: format!(
            "Lithium cells in {}",
            counted(with_cell, "device", "devices")
        ),
        text: format!(
            "Opening: if the parcel is warm, bulges, hisses or smells of solvent, leave it closed, keep people away and call the fire \
             service. Sending: which marks and papers it needs is decided by a person trained for it, by the carrier’s terms and the \
             rules in force; this slip is no transport document. {WHO_COMES_FIRST}"
        ),
        source: format!("cells judged by {revision}"),
    }]
}
