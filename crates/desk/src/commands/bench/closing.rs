//! Closing a job: outcome, report, what was passed with a reason, what is settled or taken back.

use domain::fact::{
    Fact, IssuedReport, JobOutcome, OutcomeRecord, Override, Role, TestCode, Withdrawal,
};
use domain::job::{Block, Job, Stage, Station, may_close};
use domain::{EntryId, JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobView, enter};
use crate::commands::{Nothing, PaperFile, PaperSize};
use crate::desk::Desk;
use crate::error::DeskError;

/// Passes a block.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OverrideBlock {
    /// The job.
    pub job_id: JobId,
    /// The block.
    pub block: Block,
    /// Why; it is printed.
    pub reason: String,
}

/// Sets the outcome.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetOutcome {
    /// The job.
    pub job_id: JobId,
    /// How it ended.
    pub outcome: JobOutcome,
    /// What the shop should know; printed.
    pub words: String,
    /// Days of warranty, as typed; empty for the lab's usual.
    pub warranty_days: String,
}

/// Makes the return report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct MakeReport {
    /// The job.
    pub job_id: JobId,
    /// The page.
    pub size: PaperSize,
}

/// A value that people can disagree on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Disputed {
    /// The quote.
    Quote,
    /// The outcome.
    Outcome,
    /// The device's description.
    Device,
    /// The identifiers.
    Identity,
    /// Locks, seals and indicators.
    Signs,
    /// What came along.
    Accessories,
    /// The tests chosen.
    Tests,
}

/// Settles a disagreement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Settle {
    /// The job.
    pub job_id: JobId,
    /// The value.
    pub value: Disputed,
    /// The edit that counts.
    pub entry_id: EntryId,
}

/// Takes an entry back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Withdraw {
    /// What it is about.
    pub subject: Subject,
    /// The entry.
    pub entry_id: EntryId,
    /// Why.
    pub reason: String,
}

/// Passes a block that is not a legal prohibition, with a reason that is printed. Owners only.
pub fn override_block(desk: &Desk, request: OverrideBlock) -> Result<JobView, DeskError> {
    if !request.block.can_be_overridden() {
        return Err(DeskError::refused(
            "this can't be passed by anyone: it protects people, custody or the law",
        ));
    }
    if !desk.person()?.roles.contains(&Role::Owner) {
        return Err(DeskError::refused(
            "only an owner may pass a block; ask one to sign in at this desktop",
        ));
    }
    let reason = request.reason.trim().to_owned();
    if reason.is_empty() {
        return Err(DeskError::field(
            "reason",
            "give the reason; it is recorded and printed",
        ));
    }
    let tests = covered(&desk.job(request.job_id)?, request.block);
    desk.record(
        Subject::Job(request.job_id),
        Fact::BlockOverridden(Override {
            block: request.block,
            reason,
            tests,
        }),
    )?;
    desk.job_view(request.job_id)
}

/// The tests that a block is about now: passing it covers these, and none that fails later.
fn covered(job: &Job, block: Block) -> Vec<TestCode> {
    let mut tests: Vec<TestCode> = super::OUTCOMES
        .into_iter()
        .flat_map(|outcome| may_close(job, outcome))
        .filter(|missing| missing.block == block)
        .flat_map(|missing| missing.tests)
        .collect();
    tests.sort();
    tests.dedup();
    tests
}

/// Sets the outcome.
pub fn set_outcome(desk: &Desk, request: SetOutcome) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    if matches!(job.stage, Stage::Returned | Stage::Destroyed) {
        return Err(DeskError::refused(
            "the device has left the house; its outcome stands as printed",
        ));
    }
    let missing = may_close(&job, request.outcome);
    if !missing.is_empty() {
        return Err(DeskError::Blocked { missing });
    }
    if needs_words(request.outcome) && request.words.trim().is_empty() {
        return Err(DeskError::field(
            "words",
            format!(
                "say what the shop should know; “{}” alone explains nothing, and it is printed",
                request.outcome.words()
            ),
        ));
    }
    let record = OutcomeRecord {
        outcome: request.outcome,
        words: request.words.trim().to_owned(),
        warranty_days: warranty(desk, &request)?,
    };
    desk.record_all(vec![(
        Subject::Job(request.job_id),
        Fact::OutcomeSet(record),
        job.outcome.based_on(),
    )])?;
    desk.job_view(request.job_id)
}

/// Outcomes that claim less than a repair name what is left, why, or what was saved.
const fn needs_words(outcome: JobOutcome) -> bool {
    matches!(
        outcome,
        JobOutcome::RepairedInPart
            | JobOutcome::NotRepairable
            | JobOutcome::BeyondEconomicRepair
            | JobOutcome::DataOnly
    )
}

fn warranty(desk: &Desk, request: &SetOutcome) -> Result<u16, DeskError> {
    let text = request.warranty_days.trim();
    if !text.is_empty() {
        let why = || {
            DeskError::field(
                "warranty_days",
                format!("“{text}” is no number of days; write a whole number, or leave it empty"),
            )
        };
        return text.parse().map_err(|_| why());
    }
    let repaired = matches!(
        request.outcome,
        JobOutcome::Repaired | JobOutcome::RepairedInPart
    );
    let usual = desk
        .lab()?
        .description
        .value()
        .map_or(0, |description| description.warranty_days);
    Ok(if repaired { usual } else { 0 })
}

/// Makes the return report: draws it, keeps the file, and records its digest.
pub fn make_report(desk: &Desk, request: MakeReport) -> Result<PaperFile, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::Report)?;
    if job.outcome.heads.is_empty() {
        return Err(DeskError::refused(
            "no outcome is set; say how the job ended before making its report",
        ));
    }
    if job.outcome.is_disputed() {
        return Err(DeskError::refused(
            "two people set different outcomes; settle which one counts before making the report",
        ));
    }
    let drawn = desk.draw_report(&job, request.size)?;
    let fact = IssuedReport {
        file: drawn.file,
        size_bytes: drawn.paper.size_bytes,
        digest: drawn.digest,
        pages: drawn.pages,
    };
    desk.keep_file(drawn.file, drawn.paper.size_bytes, None)?;
    desk.record(Subject::Job(request.job_id), Fact::ReportIssued(fact))?;
    Ok(drawn.paper)
}

/// Settles a disagreement: the chosen value is recorded again, based on all that was set.
pub fn settle(desk: &Desk, request: Settle) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    let (fact, based_on) = match request.value {
        Disputed::Quote => chosen(&job.quote, request.entry_id, Fact::QuoteSet),
        Disputed::Outcome => chosen(&job.outcome, request.entry_id, Fact::OutcomeSet),
        Disputed::Device => chosen(&job.device, request.entry_id, Fact::DeviceDescribed),
        Disputed::Identity => chosen(&job.identity, request.entry_id, Fact::IdentityRecorded),
        Disputed::Signs => chosen(&job.signs, request.entry_id, Fact::SignsRecorded),
        Disputed::Accessories => chosen(
            &job.accessories,
            request.entry_id,
            Fact::AccessoriesRecorded,
        ),
        Disputed::Tests => chosen(&job.tests, request.entry_id, Fact::TestsChosen),
    }?;
    desk.record_all(vec![(Subject::Job(request.job_id), fact, based_on)])?;
    desk.job_view(request.job_id)
}

fn chosen<T: Clone + PartialEq>(
    register: &domain::Register<T>,
    entry_id: EntryId,
    fact: impl Fn(T) -> Fact,
) -> Result<(Fact, Vec<EntryId>), DeskError> {
    if !register.is_disputed() {
        return Err(DeskError::refused(
            "nobody disagrees on this value any more",
        ));
    }
    let head = register
        .heads
        .iter()
        .find(|head| head.mark.entry_id == entry_id)
        .ok_or(DeskError::NotFound { what: "value" })?;
    Ok((fact(head.value.clone()), register.based_on()))
}

/// Takes an entry back. It stays readable; what follows from it is worked out anew.
pub fn withdraw(desk: &Desk, request: Withdraw) -> Result<Nothing, DeskError> {
    let reason = request.reason.trim().to_owned();
    if reason.is_empty() {
        return Err(DeskError::field(
            "reason",
            "say why the entry is taken back",
        ));
    }
    let entries = desk.entries(request.subject)?;
    let entry = entries
        .iter()
        .find(|recorded| recorded.entry_id == request.entry_id)
        .ok_or(DeskError::NotFound { what: "entry" })?;
    if let Some(why) = domain::job::kept_because(&entries, entry) {
        return Err(DeskError::refused(why));
    }
    let counted = matches!(entry.fact(), Some(Fact::ParcelCounted(_)));
    let mut facts = vec![(
        request.subject,
        Fact::EntryWithdrawn(Withdrawal {
            entry_id: request.entry_id,
            reason: reason.clone(),
        }),
        Vec::new(),
    )];
    if counted && let Subject::Parcel(parcel_id) = request.subject {
        facts.extend(withdraw_count(desk, parcel_id, &reason)?);
    }
    if let Subject::Job(job_id) = request.subject {
        facts.extend(withdraw_look(desk, job_id, request.entry_id, &reason)?);
    }
    desk.record_all(facts)?;
    Ok(Nothing {})
}

/// A look at a cell, or a judgement of it, went with the cell when it was taken out: it is taken back there too.
fn withdraw_look(
    desk: &Desk,
    job_id: JobId,
    entry_id: EntryId,
    reason: &str,
) -> Result<Vec<crate::desk::NewFact>, DeskError> {
    let mut facts = Vec::new();
    for removal in desk.job(job_id)?.cells_removed {
        let cell = desk.cell(removal.value.cell_id)?;
        let took_it_along = cell.origin.is_some_and(|origin| {
            let looks = origin.value.looks.iter().map(|look| look.mark.entry_id);
            let judged = origin
                .value
                .judged
                .iter()
                .map(|judging| judging.mark.entry_id);
            looks.chain(judged).any(|taken| taken == entry_id)
        });
        if !took_it_along {
            continue;
        }
        if cell.state.left.is_some() {
            return Err(DeskError::refused(format!(
                "the cell that was taken out, {}, has left with a record that rests on this; write a note instead",
                cell.reference
            )));
        }
        let withdrawal = Withdrawal {
            entry_id,
            reason: reason.to_owned(),
        };
        facts.push((
            Subject::Cell(cell.cell_id),
            Fact::EntryWithdrawn(withdrawal),
            Vec::new(),
        ));
    }
    Ok(facts)
}

/// A count is one action on many subjects; it is taken back on all of them.
fn withdraw_count(
    desk: &Desk,
    parcel_id: domain::ParcelId,
    reason: &str,
) -> Result<Vec<crate::desk::NewFact>, DeskError> {
    let parcel = desk.parcel(parcel_id)?;
    let Some(count) = &parcel.count else {
        return Ok(Vec::new());
    };
    let mut facts = Vec::new();
    for job_id in count
        .value
        .found
        .iter()
        .chain(&count.value.missing)
        .chain(&count.value.extra)
        .copied()
    {
        let job = desk.job(job_id)?;
        if !job.cell_checks.is_empty() {
            return Err(DeskError::refused(format!(
                "job {} has gone on since the count; the count can't be taken back",
                job.reference
            )));
        }
        let counted = [&job.arrived, &job.missed]
            .into_iter()
            .flatten()
            .filter(|marked| marked.value.parcel_id == parcel_id)
            .map(|marked| marked.mark.entry_id);
        // A device that nobody announced began with the count, and ends with it.
        let opened = job
            .advice
            .as_ref()
            .filter(|_| job.unannounced && count.value.extra.contains(&job_id))
            .map(|advice| advice.mark.entry_id);
        for entry_id in counted.chain(opened) {
            let withdrawal = Withdrawal {
                entry_id,
                reason: reason.to_owned(),
            };
            facts.push((
                Subject::Job(job_id),
                Fact::EntryWithdrawn(withdrawal),
                Vec::new(),
            ));
        }
    }
    Ok(facts)
}
