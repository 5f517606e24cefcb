//! The record that a return report is made from: what its digest vouches for.
//!
//! Its bytes are the JSON of [`ReportRecord`] as `serde_json` writes it: fields in the order in which they stand here, maps in the
//! order of their keys, no white space. They travel inside the PDF, so that anyone can compute their SHA-256 and compare it
//! with the digest that is printed. What is for the lab alone (notes, messages, passcodes) has no place in it.

use std::collections::BTreeMap;

use domain::fact::{
    Accessories, CellRemoval, Condition, Decision, DeviceDescription, Diagnosis, Identity,
    JobAdvice, JobArrival, LabDescription, OutcomeRecord, Override, ParcelFindingRecord,
    PhotoAdded, Quote, Signs, Step, Tracking,
};
use domain::job::{Comparison, Job, JobProcedure, JudgedCell, JudgedStep, Marked};
use domain::money::Money;
use domain::parcel::Parcel;
use domain::{ContentHash, JobId, Register};
use logbook::ReportSeal;
use papers::model::AttachedRecord;
use serde::Serialize;
use sha2::{Digest as _, Sha256};

use super::report::Told;

/// Names the form of the record; raised when a field changes its meaning.
const FORM: &str = "waybench return report, form 1";

/// The `$id` of its JSON Schema (draft 2020-12), `schema/return-report-1.json` beside this crate; a server serves it too.
const SCHEMA: &str = "urn:waybench:schema:return-report-1";

/// How much of the digest stands in the address of the report.
const TOKEN_CHARS: usize = crate::rows::REPORT_TOKEN_CHARS;

/// Everything a return report tells.
#[derive(Serialize)]
pub(super) struct ReportRecord<'a> {
    form: &'static str,
    schema: &'static str,
    job_id: JobId,
    reference: &'a str,
    lab: &'a LabDescription,
    shop: Option<ShopRecord<'a>>,
    /// Names by person id, of all who are named in the facts.
    people: BTreeMap<String, &'a str>,
    parcel: Option<ParcelRecord<'a>>,
    advice: Option<&'a Marked<JobAdvice>>,
    arrived: Option<&'a Marked<JobArrival>>,
    device: &'a Register<DeviceDescription>,
    cell_checks: &'a [JudgedCell],
    cells_removed: &'a [Marked<CellRemoval>],
    identity: &'a Register<Identity>,
    identity_difference: Option<&'a str>,
    conditions: &'a [Marked<Condition>],
    signs: &'a Register<Signs>,
    accessories: &'a Register<Accessories>,
    photos: &'a [Marked<PhotoAdded>],
    comparison: &'a [Comparison],
    diagnoses: &'a [Marked<Diagnosis>],
    steps: &'a [Marked<Step>],
    judged_steps: &'a [JudgedStep],
    procedures: &'a [JobProcedure],
    quote: &'a Register<Quote>,
    quote_total: Option<Money>,
    decisions: &'a [Marked<Decision>],
    overrides: &'a [Marked<Override>],
    outcome: &'a Register<OutcomeRecord>,
    /// The last day of the warranty, as `2026-11-25`; none without one.
    warranty_until: Option<String>,
    /// What the report says in the lab's own words; left out where it says nothing.
    #[serde(skip_serializing_if = "OwnWords::is_empty")]
    own_words: OwnWords,
}

/// The lab's own words on a report, one paragraph each: what it promises, and on what terms.
#[derive(Serialize)]
struct OwnWords {
    warranty: Vec<String>,
    terms: Vec<String>,
}

impl OwnWords {
    const fn is_empty(&self) -> bool {
        self.warranty.is_empty() && self.terms.is_empty()
    }
}

#[derive(Serialize)]
struct ShopRecord<'a> {
    name: &'a str,
    address_lines: &'a [String],
    country: &'a str,
}

/// The inward parcel, without a word about the other devices in it but how many there were.
#[derive(Serialize)]
struct ParcelRecord<'a> {
    reference: &'a str,
    tracking: Option<&'a Tracking>,
    received_at_ms: Option<u64>,
    findings: &'a [Marked<ParcelFindingRecord>],
    photos: &'a [Marked<PhotoAdded>],
    announced: usize,
    found: Option<usize>,
    missing: Option<usize>,
    extra: Option<usize>,
    count_note: &'a str,
}

impl<'a> ParcelRecord<'a> {
    fn of(parcel: &'a Parcel) -> Self {
        let count = parcel.count.as_ref().map(|count| &count.value);
        Self {
            reference: &parcel.reference,
            tracking: parcel.tracking.value(),
            received_at_ms: parcel.received.as_ref().map(|received| received.mark.at_ms),
            findings: &parcel.findings,
            photos: &parcel.photos,
            announced: parcel.expected.len(),
            found: count.map(|count| count.found.len()),
            missing: count.map(|count| count.missing.len()),
            extra: count.map(|count| count.extra.len()),
            count_note: count.map_or("", |count| count.note.as_str()),
        }
    }
}

impl<'a> ReportRecord<'a> {
    pub(super) fn of(told: &Told<'a>) -> Self {
        let job = told.job;
        let shop = told.shop.map(|shop| ShopRecord {
            name: &shop.name,
            address_lines: &shop.address_lines,
            country: &shop.country,
        });
        Self {
            form: FORM,
            schema: SCHEMA,
            job_id: job.job_id,
            reference: &job.reference,
            lab: told.lab,
            shop,
            people: told
                .people()
                .into_iter()
                .map(|person_id| (person_id.to_string(), told.words.name(person_id)))
                .collect(),
            parcel: told.parcel.map(ParcelRecord::of),
            advice: job.advice.as_ref(),
            arrived: job.arrived.as_ref(),
            device: &job.device,
            cell_checks: &job.cell_checks,
            cells_removed: &job.cells_removed,
            identity: &job.identity,
            identity_difference: job.identity_difference.as_deref(),
            conditions: &job.conditions,
            signs: &job.signs,
            accessories: &job.accessories,
            photos: &job.photos,
            comparison: &job.comparison,
            diagnoses: &job.diagnoses,
            steps: &job.steps,
            judged_steps: &job.judged_steps,
            procedures: &job.procedures,
            quote: &job.quote,
            quote_total: job.quote_total,
            decisions: &job.decisions,
            overrides: &job.overrides,
            outcome: &job.outcome,
            warranty_until: told.warranty_until().map(|date| date.to_string()),
            own_words: OwnWords {
                warranty: told.own.warranty_words(told.warranty_until().is_some()),
                terms: told.own.terms(),
            },
        }
    }

    /// The record's bytes.
    pub(super) fn bytes(&self) -> Vec<u8> {
        serde_json::to_vec(self).expect(
            "the record holds only strings, numbers and lists, which JSON can always express",
        )
    }
}

/// What travels inside the report: its record, and the seal that vouches for it.
pub(super) fn attachments(job: &Job, bytes: Vec<u8>, seal: &ReportSeal) -> Vec<AttachedRecord> {
    let seal = serde_json::to_vec(seal).expect("a seal holds only strings");
    let file = |name: String, description: &str, bytes| AttachedRecord {
        file_name: name,
        media_type: "application/json".to_owned(),
        description: description.to_owned(),
        bytes,
    };
    vec![
        file(
            format!("{}.json", job.reference),
            "The record this report was made from; its SHA-256 is printed",
            bytes,
        ),
        file(
            format!("{}.seal.json", job.reference),
            "The lab's signature over the record",
            seal,
        ),
    ]
}

/// SHA-256 of the record's bytes (FIPS 180-4).
pub(crate) fn digest(bytes: &[u8]) -> ContentHash {
    ContentHash::from_bytes(Sha256::digest(bytes).into())
}

/// What the QR code of a report holds: its address at the server, or without a server a code that a desktop of the lab reads.
pub(super) fn address(server_url: &str, digest: &ContentHash) -> String {
    let token = &digest.to_string()[..TOKEN_CHARS];
    match server_url.trim_end_matches('/') {
        "" => format!("WB:R:{token}"),
        server_url => format!("{server_url}/r/{token}"),
    }
}
