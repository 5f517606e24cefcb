//! The job to go by: what was written there can be taken over, so that no word is typed twice.
//!
//! Only what was thought, asked and done is taken over. What was measured there belongs to that board alone: readings, heat, the
//! resistance of a jumper, lots and witnesses must never come along.

use serde::Serialize;

use super::past::Ended;
use crate::fact::{FittedPart, JobOutcome, QuoteLine, Step};
use crate::ids::JobId;
use crate::job::Job;

/// The latest like job that was closed as repaired and has not come back.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Precedent {
    /// That job.
    pub job_id: JobId,
    /// How it is called.
    pub reference: String,
    /// What was thought to be wrong in the end.
    pub diagnosis: String,
    /// The part or net that was suspected; may be empty.
    pub suspect: String,
    /// What was asked for it.
    pub quote: Vec<QuoteLine>,
    /// The steps beside its procedures, in their order.
    pub steps: Vec<Step>,
}

/// Finds the job to go by among like jobs that were repaired. `ended` tells which devices came in again.
pub(super) fn precedent(repaired: &[&Job], ended: &[Ended<'_>]) -> Option<Precedent> {
    let came_back = |job: &Job| {
        let mut known = ended.iter();
        known.any(|ended| ended.job.job_id == job.job_id && ended.came_back_ms.is_some())
    };
    let lasted = repaired.iter().filter(|job| {
        let outcome = job.outcome.value().map(|outcome| outcome.outcome);
        outcome == Some(JobOutcome::Repaired) && !came_back(job)
    });
    let job = lasted.max_by_key(|job| job.outcome.mark().map(|mark| (mark.at_ms, job.job_id)))?;
    let diagnosis = job.diagnoses.last().map(|diagnosis| &diagnosis.value);
    let beside_procedures = job.steps.iter().map(|step| &step.value);
    Some(Precedent {
        job_id: job.job_id,
        reference: job.reference.clone(),
        diagnosis: diagnosis.map_or_else(String::new, |diagnosis| diagnosis.text.clone()),
        suspect: diagnosis.map_or_else(String::new, |diagnosis| diagnosis.suspect.clone()),
        quote: job
            .quote
            .value()
            .map_or_else(Vec::new, |quote| quote.lines.clone()),
        steps: beside_procedures
            .filter(|step| step.in_procedure.is_none())
            .map(to_go_by)
            .collect(),
    })
}

fn to_go_by(step: &Step) -> Step {
    let parts = step.parts.iter().map(|part| FittedPart {
        lot: String::new(),
        ..part.clone()
    });
    Step {
        text: step.text.clone(),
        procedure: step.procedure.clone(),
        tool: step.tool.clone(),
        parts: parts.collect(),
        ..Step::default()
    }
}
