//! The Bench: one job, its spread, and all that is done to it.

pub mod cell;
pub mod closing;
pub mod heat;
pub mod jumper;
pub mod look_over;
pub mod past;
pub mod proof;
pub mod quote;
mod suggest;
pub mod trace;
pub mod work;

use std::collections::BTreeMap;

use domain::fact::{JobOutcome, TestDefinition};
use domain::job::{Job, Missing, Station, TrailLine, may_close, may_enter};
use domain::{JobId, PersonId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobRow, ParcelRow, PersonBrief, PhotoState, ShopBrief};
use crate::desk::Desk;
use crate::error::DeskError;

/// Which job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct JobKey {
    /// The job.
    pub job_id: JobId,
}

/// A test that may be chosen, with whether it is suggested by the declared fault.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SuggestedTest {
    /// The test.
    pub test: TestDefinition,
    /// True when the fault's words or the lab's own past suggest it.
    pub suggested: bool,
    /// Why it is suggested; may be empty.
    pub why: String,
    /// What passes, in words with the unit; empty for pass or fail.
    pub limits_words: String,
    /// The rule its readings are judged by, with the source; empty where there are no limits.
    pub rule_words: String,
}

/// What keeps a job from closing with an outcome.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Closing {
    /// The outcome.
    pub outcome: JobOutcome,
    /// What is missing; empty when it may be set.
    pub missing: Vec<Missing>,
}

/// One job with all that the spread shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
pub struct JobView {
    /// The job.
    pub job: Job,
    /// The job in a row, with words for holds and next station.
    pub row: JobRow,
    /// Its shop, once known.
    pub shop: Option<ShopBrief>,
    /// The parcel it came or comes in.
    pub parcel: Option<ParcelRow>,
    /// Tests of the catalogue that apply to this kind of device.
    pub tests: Vec<SuggestedTest>,
    /// The tests of its proof, each in the version that the job is tested with.
    pub done_with: Vec<SuggestedTest>,
    /// What keeps it from each outcome.
    pub closing: Vec<Closing>,
    /// Where each photo's bytes are, by hash.
    #[ts(as = "BTreeMap<String, PhotoState>")]
    pub photo_states: BTreeMap<String, PhotoState>,
    /// What happened to it, oldest first.
    pub trail: Vec<TrailLine>,
    /// The people named in it.
    pub people: Vec<PersonBrief>,
    /// Earlier jobs of a device with the same identifier.
    pub earlier: Vec<past::EarlierStay>,
    /// What to mind, in sentences.
    pub cautions: Vec<String>,
    /// That the lab's rules are others than when the cell was last judged, in a sentence.
    pub cell_rules_changed: Option<String>,
}

const OUTCOMES: [JobOutcome; 7] = [
    JobOutcome::Repaired,
    JobOutcome::RepairedInPart,
    JobOutcome::NoFaultFound,
    JobOutcome::NotRepairable,
    JobOutcome::BeyondEconomicRepair,
    JobOutcome::Declined,
    JobOutcome::DataOnly,
];

/// One job: the spread.
pub fn job(desk: &Desk, request: JobKey) -> Result<JobView, DeskError> {
    desk.job_view(request.job_id)
}

/// Refuses when something is missing before a station.
pub(crate) fn enter(job: &Job, station: Station) -> Result<(), DeskError> {
    let missing = may_enter(job, station);
    if missing.is_empty() {
        Ok(())
    } else {
        Err(DeskError::Blocked { missing })
    }
}

impl Desk {
    /// One job with all that the spread shows.
    pub(crate) fn job_view(&self, job_id: JobId) -> Result<JobView, DeskError> {
        let entries = self.entries(Subject::Job(job_id))?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what: "job" });
        }
        let job = domain::fold_job(job_id, &entries);
        let trail = domain::job::trail(&entries);
        let hashes: Vec<_> = job.photos.iter().map(|photo| photo.value.hash).collect();
        let row = self.row_of(&job)?;
        Ok(JobView {
            shop: job
                .shop_id
                .map(|shop_id| self.shop_brief(shop_id))
                .transpose()?
                .flatten(),
            parcel: job
                .parcel_id
                .map(|parcel_id| self.parcel_row(parcel_id))
                .transpose()?
                .flatten(),
            tests: self.suggested_tests(&job)?,
            done_with: self.done_with(&job)?,
            closing: OUTCOMES
                .into_iter()
                .map(|outcome| Closing {
                    outcome,
                    missing: may_close(&job, outcome),
                })
                .collect(),
            photo_states: self.photo_states(&hashes)?,
            people: self.people_named(named_in(&job, &trail))?,
            earlier: past::earlier_stays(self, &job, &row)?,
            cautions: job_cautions(&job),
            cell_rules_changed: if job.stage.in_house() {
                self.rules_changed(&job.cell_state)?
            } else {
                None
            },
            trail,
            row,
            job,
        })
    }

    /// The tests of a job's proof, each in the version that it is tested with.
    fn done_with(&self, job: &Job) -> Result<Vec<SuggestedTest>, DeskError> {
        let lab = self.lab()?;
        Ok(job
            .comparison
            .iter()
            .filter_map(|row| proof::version_for(&lab, job, &row.code))
            .map(|(_, test)| SuggestedTest {
                suggested: false,
                why: String::new(),
                limits_words: proof::limits_words(&test.kind),
                rule_words: proof::rule_words(test),
                test: test.clone(),
            })
            .collect())
    }
}

/// Everyone a job names: those who recorded something, and those who witnessed a step.
fn named_in<'a>(job: &'a Job, trail: &'a [TrailLine]) -> impl Iterator<Item = PersonId> + 'a {
    let witnesses = job.steps.iter().filter_map(|step| step.value.witness_id);
    trail.iter().map(|line| line.mark.actor_id).chain(witnesses)
}

fn job_cautions(job: &Job) -> Vec<String> {
    let mut cautions = Vec::new();
    match job.cell() {
        Some(cell) => cautions.extend(cell.judgement.cautions.iter().cloned()),
        None if job.arrived.is_some() => cautions.push(
            "No power before the cell check: look at the cell, measure it, and record what is seen. If it is hot, smokes or hisses, leave \
             and call the fire service."
                .to_owned(),
        ),
        None => {}
    }
    if job.next == Some(Station::Work) {
        cautions.push(
            "Heat and mains: take the cell out or off before heating, keep the air moving, and work by the maker's and your local rules."
                .to_owned(),
        );
    }
    cautions
}
