//! The return report: gathers what it tells, and fills the paper's model.

use std::collections::{BTreeMap, BTreeSet};

use domain::calendar::Zone;
use domain::fact::{JobOutcome, LabDescription, ShopDescription};
use domain::job::{Job, Joint};
use domain::parcel::Parcel;
use domain::{ContentHash, Mark, PersonId};
use jiff::ToSpan as _;
use jiff::civil::Date;
use papers::model::{
    AttachedRecord, Digest, Labelled, Outcome, OutcomeKind, ReportDevice, ReturnReport, Stated,
};

use super::own::Own;
use super::words::{Words, capital, counted, day_of, device_name, joined};
use super::{came, cautions, goes, pictures, proof, record, traces};
use crate::desk::Desk;
use crate::error::DeskError;

/// Everything a report is made from, read from the store once.
pub(super) struct Gathered<'a> {
    job: &'a Job,
    parcel: Option<Parcel>,
    lab: LabDescription,
    shop: Option<ShopDescription>,
    words: Words,
    own: Own,
    server_url: String,
}

/// The same, borrowed: what each part of the report is filled from.
#[derive(Clone, Copy)]
pub(super) struct Told<'a> {
    pub(super) job: &'a Job,
    pub(super) parcel: Option<&'a Parcel>,
    pub(super) lab: &'a LabDescription,
    pub(super) shop: Option<&'a ShopDescription>,
    pub(super) words: &'a Words,
    pub(super) own: &'a Own,
}

impl<'a> Gathered<'a> {
    pub(super) fn of(desk: &Desk, job: &'a Job) -> Result<Self, DeskError> {
        let shop = job
            .shop_id
            .map(|shop_id| desk.shop_fold(shop_id))
            .transpose()?;
        Ok(Self {
            job,
            parcel: job
                .parcel_id
                .map(|parcel_id| desk.parcel(parcel_id))
                .transpose()?,
            lab: desk
                .lab()?
                .description
                .value()
                .cloned()
                .ok_or(DeskError::NoLab)?,
            shop: shop.and_then(|shop| shop.description.value().cloned()),
            words: words(desk)?,
            own: desk.own()?,
            server_url: desk
                .store
                .enrolment()?
                .map_or_else(String::new, |enrolment| enrolment.server_url),
        })
    }

    pub(super) fn told(&self) -> Told<'_> {
        Told {
            job: self.job,
            parcel: self.parcel.as_ref(),
            lab: &self.lab,
            shop: self.shop.as_ref(),
            words: &self.words,
            own: &self.own,
        }
    }
}

/// The lab's zone and everybody's name.
pub(crate) fn words(desk: &Desk) -> Result<Words, DeskError> {
    let names: BTreeMap<PersonId, String> = desk
        .people()?
        .into_iter()
        .map(|person| (person.person_id, person.name))
        .collect();
    let zone: Zone = desk.zone()?;
    Ok(Words::new(zone, names))
}

impl Told<'_> {
    /// The marks of all that is told, in no order.
    fn marks(&self) -> Vec<Mark> {
        fn heads<T>(register: &domain::Register<T>) -> impl Iterator<Item = Mark> {
            register.heads.iter().map(|head| head.mark)
        }
        fn marks<T>(list: &[domain::job::Marked<T>]) -> impl Iterator<Item = Mark> {
            list.iter().map(|marked| marked.mark)
        }
        let job = self.job;
        let results = job.comparison.iter().flat_map(|row| {
            let shown = [&row.before, &row.after].into_iter().flatten();
            shown.chain(&row.differing)
        });
        let mut all: Vec<Mark> = heads(&job.device).chain(heads(&job.identity)).collect();
        all.extend(heads(&job.signs).chain(heads(&job.accessories)));
        all.extend(heads(&job.quote).chain(heads(&job.outcome)));
        all.extend(job.advice.iter().map(|advice| advice.mark));
        all.extend(job.arrived.iter().map(|arrived| arrived.mark));
        all.extend(job.cell_checks.iter().map(|cell| cell.mark));
        all.extend(results.map(|result| result.mark));
        all.extend(marks(&job.conditions).chain(marks(&job.photos)));
        all.extend(marks(&job.diagnoses).chain(marks(&job.steps)));
        all.extend(marks(&job.decisions).chain(marks(&job.overrides)));
        all.extend(marks(&job.cells_removed));
        all.extend(job.procedures.iter().map(|procedure| procedure.mark));
        if let Some(parcel) = self.parcel {
            all.extend(marks(&parcel.findings).chain(marks(&parcel.photos)));
        }
        all
    }

    /// Everyone who is named.
    pub(super) fn people(&self) -> BTreeSet<PersonId> {
        let witnesses = self
            .job
            .steps
            .iter()
            .filter_map(|step| step.value.witness_id);
        self.marks()
            .into_iter()
            .map(|mark| mark.actor_id)
            .chain(witnesses)
            .collect()
    }

    /// When the latest of the facts that are told was recorded: the date of the paper.
    pub(super) fn latest_ms(&self) -> u64 {
        self.marks()
            .into_iter()
            .map(|mark| mark.at_ms)
            .max()
            .unwrap_or(0)
    }

    /// The last day of the warranty.
    pub(super) fn warranty_until(&self) -> Option<Date> {
        warranty_until(self.job, self.words.zone())
    }
}

/// The last day of a job's warranty, counted in calendar days from the day on which the outcome was set; none without one.
pub(crate) fn warranty_until(job: &Job, zone: &Zone) -> Option<Date> {
    let outcome = job.outcome.heads.first()?;
    let days = outcome.value.warranty_days;
    let from = zone
        .local_date(i64::try_from(outcome.mark.at_ms).ok()?)
        .ok()?;
    if days == 0 {
        None
    } else {
        from.checked_add(i64::from(days).days()).ok()
    }
}

/// Fills the report. `attachments` travel inside the file; `digest` was computed from the record among them.
pub(super) fn model(
    gathered: &Gathered<'_>,
    desk: &Desk,
    digest: &ContentHash,
    attachments: Vec<AttachedRecord>,
) -> Result<ReturnReport, DeskError> {
    let told = gathered.told();
    let job = told.job;
    let gallery = pictures::gallery(desk, &told)?;
    let title = format!("Return report {}", job.reference);
    Ok(ReturnReport {
        meta: super::meta(title, told.lab, told.latest_ms()),
        lab: told.own.on(super::lab_head(told.lab)),
        job_ref: job.reference.clone(),
        shop: super::party(told.shop),
        device: device(&told),
        dates: dates(&told),
        outcome: outcome(&told),
        parcel: came::parcel(&told),
        condition: came::condition(&told),
        cell_check: came::cell_check(&told),
        work: goes::work(&told),
        heat: goes::heat(job),
        parts: goes::parts(job),
        comparison: proof::comparison(job),
        not_tested: proof::not_tested(job),
        quote: goes::quote(&told),
        warranty: told
            .own
            .warranty(goes::warranty(&told), told.warranty_until().is_some()),
        terms: told.own.terms(),
        overrides: goes::overrides(&told),
        cautions: cautions::of_report(job, &gallery.missing),
        traces: traces::charts(desk, job)?,
        photos: gallery.pairs,
        more_photos: gallery.more,
        digest: Some(printed_digest(&told, &gathered.server_url, digest)),
        attachments,
        ..ReturnReport::default()
    })
}

fn device(told: &Told<'_>) -> ReportDevice {
    let job = told.job;
    let kind = job
        .device
        .value()
        .map_or("device", |device| device.kind.word());
    let advice = job.advice.as_ref().map(|advice| &advice.value);
    let fault = match advice.map_or("", |advice| advice.fault.as_str()) {
        "" => "none was declared".to_owned(),
        fault => format!("“{fault}”"),
    };
    ReportDevice {
        kind: kind.to_owned(),
        name: told.words.stated(&job.device, device_name),
        identifiers: identifiers(told),
        fault: fault.into(),
        accessories: told.words.inline(&job.accessories, |accessories| {
            if accessories.items.is_empty() {
                "none".to_owned()
            } else {
                accessories.items.join(", ")
            }
        }),
    }
}

/// Identifiers as read, each with its warning; how they differ from the advice; what others read.
fn identifiers(told: &Told<'_>) -> Vec<Labelled> {
    let job = told.job;
    let mut lines = Vec::new();
    let advised = job
        .advice
        .as_ref()
        .map_or("", |advice| advice.value.identifier.as_str());
    match job.identity.value() {
        Some(identity) => {
            for identifier in &identity.identifiers {
                lines.push(Labelled::mono(identifier.kind.name(), &identifier.text));
                if !identifier.warning.is_empty() {
                    lines.push(Labelled::text("Warning", &identifier.warning));
                }
            }
        }
        None if !advised.is_empty() => lines.push(Labelled::mono("As announced", advised)),
        None => {}
    }
    if let Some(difference) = &job.identity_difference {
        lines.push(Labelled::text("Warning", difference));
    }
    let others = told.words.stated(&job.identity, |identity| {
        joined(
            identity
                .identifiers
                .iter()
                .map(|identifier| identifier.text.as_str()),
            ", ",
        )
    });
    lines.extend(others.others.iter().map(|other| {
        Labelled::text(
            "Not settled",
            format!("also read: {} ({})", other.text, other.by),
        )
    }));
    let reference = job
        .advice
        .as_ref()
        .map_or("", |advice| advice.value.shop_reference.as_str());
    if !reference.is_empty() {
        lines.push(Labelled::mono("Your number", reference));
    }
    lines
}

fn dates(told: &Told<'_>) -> Vec<Labelled> {
    let (job, words) = (told.job, told.words);
    let received = told.parcel.and_then(|parcel| parcel.received.as_ref());
    let received_ms = received
        .map(|received| received.mark.at_ms)
        .or_else(|| job.arrived.as_ref().map(|arrived| arrived.mark.at_ms));
    let closed_ms = job.outcome.mark().map(|mark| mark.at_ms);
    let mut dates = Vec::new();
    if let Some(at_ms) = received_ms {
        dates.push(Labelled::text("Received", words.time(at_ms)));
    }
    if let Some(at_ms) = closed_ms {
        dates.push(Labelled::text("Closed", words.time(at_ms)));
    }
    let promised = job
        .quote
        .value()
        .map_or("", |quote| quote.promised_date.as_str());
    if !promised.is_empty() {
        dates.push(Labelled::text("Promised", day_of(promised)));
    }
    if let Some(days) = received_ms
        .zip(closed_ms)
        .and_then(|(from, to)| days_between(words.zone(), from, to))
    {
        let count = match days {
            0 => "the same day".to_owned(),
            days => counted(days, "calendar day", "calendar days"),
        };
        dates.push(Labelled::text("From receipt to close", count));
    }
    dates
}

fn days_between(zone: &Zone, from_ms: u64, to_ms: u64) -> Option<usize> {
    let days = zone
        .days_between(i64::try_from(from_ms).ok()?, i64::try_from(to_ms).ok()?)
        .ok()?;
    usize::try_from(days).ok()
}

fn outcome(told: &Told<'_>) -> Outcome {
    let register = &told.job.outcome;
    let word = told
        .words
        .stated(register, |record| capital(record.outcome.words()));
    let said = register.value().map_or("", |record| record.words.as_str());
    Outcome {
        kind: register
            .value()
            .map_or(OutcomeKind::NoFaultFound, |record| {
                outcome_kind(record.outcome)
            }),
        word: if word.text.is_empty() {
            Stated::from("No outcome is set")
        } else {
            word
        },
        text: joined([said, &tally(told.job)], " "),
    }
}

pub(super) const fn outcome_kind(outcome: JobOutcome) -> OutcomeKind {
    match outcome {
        JobOutcome::Repaired => OutcomeKind::Repaired,
        JobOutcome::RepairedInPart => OutcomeKind::RepairedInPart,
        JobOutcome::NoFaultFound => OutcomeKind::NoFaultFound,
        JobOutcome::NotRepairable => OutcomeKind::NotRepairable,
        JobOutcome::BeyondEconomicRepair => OutcomeKind::BeyondEconomicRepair,
        JobOutcome::Declined => OutcomeKind::Declined,
        JobOutcome::DataOnly => OutcomeKind::DataOnly,
    }
}

/// How many tests ended how; empty when none was done after.
pub(super) fn tally(job: &Job) -> String {
    if job.comparison.iter().all(|row| row.after.is_none()) {
        return String::new();
    }
    let order = [
        Joint::Fixed,
        Joint::NewlyTestable,
        Joint::Steady,
        Joint::StillFailing,
        Joint::MadeWorse,
        Joint::NotProved,
        Joint::NotComparable,
        Joint::NotApplicable,
    ];
    let counts = order.map(|joint| {
        (
            joint,
            job.comparison
                .iter()
                .filter(|row| row.joint == joint)
                .count(),
        )
    });
    let parts: Vec<String> = counts
        .into_iter()
        .filter(|(_, count)| *count > 0)
        .map(|(joint, count)| format!("{count} {}", joint.words()))
        .collect();
    format!(
        "Of {}: {}.",
        counted(job.comparison.len(), "test", "tests"),
        parts.join(", ")
    )
}

fn printed_digest(told: &Told<'_>, server_url: &str, digest: &ContentHash) -> Digest {
    let zone = told.words.zone();
    let kept = if server_url.is_empty() {
        "The lab keeps the same record under this code."
    } else {
        "The lab’s server shows the same record at this address."
    };
    Digest {
        digest: format!("sha256:{digest}"),
        url: record::address(server_url, digest),
        text: format!(
            "{kept} The record also travels inside this file; its SHA-256 is printed here, so a changed paper can be told. \
             All times are those of {zone}."
        ),
    }
}
