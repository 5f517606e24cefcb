//! What a shop may see of its own devices and parcels: an allow-list.
//!
//! A new field of [`Job`] or [`Parcel`] is invisible to shops until someone lists it here. Notes, diagnoses, passcodes, people of the
//! lab and other shops never appear.

use serde::{Deserialize, Serialize};

use crate::cells::BenchLevel;
use crate::fact::{
    AdvisedBattery, Answer, Blemish, Face, MessageFrom, ParcelFinding, PhotoPlace, QuoteLine,
    Tracking,
};
use crate::ids::{ContentHash, EntryId, JobId, ParcelId, ShopId};
use crate::job::{Agreement, HoldReason, Job, Stage, Station, StationState};
use crate::money::Money;
use crate::parcel::{Direction, Parcel, ParcelStage};

/// A quote as its shop sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopQuote {
    /// What an answer must name.
    pub quote_entry_id: EntryId,
    /// Its lines.
    pub lines: Vec<QuoteLine>,
    /// Their sum, if they can be added up.
    pub total: Option<Money>,
    /// What returning the device unrepaired costs.
    pub fee_if_refused: Money,
    /// The day it is promised for, as `2026-11-25`; empty when none is.
    pub promised_date: String,
    /// More words.
    pub note: String,
    /// The answer, if the shop gave one to this quote.
    pub answer: Option<Answer>,
    /// When it was answered, in milliseconds since 1970.
    pub answered_at_ms: Option<u64>,
}

/// A photo as its shop sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopPhoto {
    /// The picture.
    pub hash: ContentHash,
    /// Where it belongs.
    pub place: PhotoPlace,
    /// What it shows.
    pub caption: String,
    /// Pixels across.
    pub width_px: u32,
    /// Pixels down.
    pub height_px: u32,
}

/// A mark on the case as its shop sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopCondition {
    /// The face.
    pub face: Face,
    /// What it is.
    pub blemish: Blemish,
    /// More words.
    pub note: String,
}

/// A message as its shop sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopMessage {
    /// Who wrote it.
    pub from: MessageFrom,
    /// Its words.
    pub text: String,
    /// Milliseconds since 1970.
    pub at_ms: u64,
}

/// A station a device has passed, or is to pass next.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopStop {
    /// The station.
    pub station: Station,
    /// How it stands.
    pub state: StationState,
    /// When it was passed, in milliseconds since 1970.
    pub at_ms: Option<u64>,
}

/// A return report as its shop sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopReport {
    /// The PDF.
    pub file: ContentHash,
    /// Its digest, as printed.
    pub digest: ContentHash,
    /// Its pages.
    pub pages: u32,
    /// Its size in bytes.
    pub size_bytes: u64,
    /// Milliseconds since 1970.
    pub at_ms: u64,
}

/// One device as its shop sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopJob {
    /// The job.
    pub job_id: JobId,
    /// Its reference.
    pub reference: String,
    /// The shop.
    pub shop_id: ShopId,
    /// The parcel it came or comes in.
    pub parcel_id: Option<ParcelId>,
    /// Kind, maker and model in words.
    pub device: String,
    /// Identifier as the shop gave it.
    pub identifier: String,
    /// The shop's own number.
    pub shop_reference: String,
    /// The fault in the shop's words.
    pub fault: String,
    /// What the shop said it put in with it.
    pub accessories: Vec<String>,
    /// What the shop read of its battery's rating.
    pub battery: AdvisedBattery,
    /// Where it is.
    pub stage: Stage,
    /// Where it is, in a sentence for a counter.
    pub where_it_is: String,
    /// What the shop must do, in a sentence; empty when nothing.
    pub needed: String,
    /// The route.
    pub route: Vec<ShopStop>,
    /// The quote.
    pub quote: Option<ShopQuote>,
    /// Marks on the case.
    pub conditions: Vec<ShopCondition>,
    /// Photos.
    pub photos: Vec<ShopPhoto>,
    /// Messages.
    pub messages: Vec<ShopMessage>,
    /// The cell's level in a word, when it isn't clear.
    pub cell_warning: String,
    /// How it ended, in words; empty before.
    pub outcome: String,
    /// What the lab says about the outcome.
    pub outcome_words: String,
    /// Days of warranty; 0 for none.
    pub warranty_days: u16,
    /// The report that goes with it.
    pub report: Option<ShopReport>,
    /// How it comes back.
    pub return_tracking: Option<Tracking>,
    /// Milliseconds since 1970 of the last change that the shop can see.
    pub last_at_ms: u64,
}

/// A parcel as its shop sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShopParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Its reference.
    pub reference: String,
    /// The shop.
    pub shop_id: ShopId,
    /// Which way it goes.
    pub direction: Direction,
    /// Where it is.
    pub stage: ParcelStage,
    /// Its tracking number.
    pub tracking: Option<Tracking>,
    /// Devices announced.
    pub expected: Vec<JobId>,
    /// Devices inside.
    pub inside: Vec<JobId>,
    /// Announced devices that were not inside.
    pub missing: Vec<JobId>,
    /// Devices inside that nobody announced.
    pub extra: Vec<JobId>,
    /// What was seen on it.
    pub findings: Vec<ParcelFinding>,
    /// Notes on findings and count, for the shop.
    pub notes: Vec<String>,
    /// Photos of it.
    pub photos: Vec<ShopPhoto>,
    /// When it came in, in milliseconds since 1970.
    pub received_at_ms: Option<u64>,
    /// When it left, in milliseconds since 1970.
    pub shipped_at_ms: Option<u64>,
    /// When it was announced or begun, in milliseconds since 1970.
    pub begun_at_ms: u64,
}

/// What a shop may see of a job; nothing as long as the job has no shop.
pub fn shop_job(job: &Job) -> Option<ShopJob> {
    let shop_id = job.shop_id?;
    let advice = job.advice.as_ref().map(|advice| &advice.value);
    let device = job.device.value().map_or_else(String::new, |device| {
        let words = [
            device.kind.word(),
            &device.maker,
            &device.model,
            &device.colour,
        ];
        words
            .into_iter()
            .filter(|word| !word.is_empty())
            .collect::<Vec<_>>()
            .join(" ")
    });
    let outcome = job.outcome.value();
    Some(ShopJob {
        job_id: job.job_id,
        reference: job.reference.clone(),
        shop_id,
        parcel_id: job.parcel_id,
        device,
        identifier: advice.map_or_else(String::new, |advice| advice.identifier.clone()),
        shop_reference: advice.map_or_else(String::new, |advice| advice.shop_reference.clone()),
        fault: advice.map_or_else(String::new, |advice| advice.fault.clone()),
        accessories: advice.map_or_else(Vec::new, |advice| advice.accessories.clone()),
        battery: advice.map_or_else(AdvisedBattery::default, |advice| advice.battery),
        stage: job.stage,
        where_it_is: where_it_is(job),
        needed: needed(job),
        route: job
            .route
            .iter()
            .map(|stop| ShopStop {
                station: stop.station,
                state: stop.state,
                at_ms: stop.at_ms,
            })
            .collect(),
        quote: shop_quote(job),
        conditions: job
            .conditions
            .iter()
            .map(|marked| ShopCondition {
                face: marked.value.face,
                blemish: marked.value.blemish,
                note: marked.value.note.clone(),
            })
            .collect(),
        photos: job
            .photos
            .iter()
            .filter(|photo| !matches!(photo.value.place, PhotoPlace::Diagnosis))
            .map(|photo| shop_photo(&photo.value))
            .collect(),
        messages: job
            .messages
            .iter()
            .map(|message| ShopMessage {
                from: message.value.from,
                text: message.value.text.clone(),
                at_ms: message.mark.at_ms,
            })
            .collect(),
        cell_warning: job
            .cell()
            .filter(|cell| cell.judgement.level > BenchLevel::Clear)
            .map_or_else(String::new, |cell| cell.judgement.level.word().to_owned()),
        outcome: outcome.map_or_else(String::new, |outcome| outcome.outcome.words().to_owned()),
        outcome_words: outcome.map_or_else(String::new, |outcome| outcome.words.clone()),
        warranty_days: outcome.map_or(0, |outcome| outcome.warranty_days),
        report: job.current_report().map(|report| ShopReport {
            file: report.value.file,
            digest: report.value.digest,
            pages: report.value.pages,
            size_bytes: report.value.size_bytes,
            at_ms: report.mark.at_ms,
        }),
        return_tracking: job
            .shipped
            .as_ref()
            .map(|shipped| shipped.value.tracking.clone()),
        last_at_ms: job.last_at_ms,
    })
}

/// What a shop may see of a parcel; nothing as long as the parcel has no shop.
pub fn shop_parcel(parcel: &Parcel) -> Option<ShopParcel> {
    let count = parcel.count.as_ref().map(|count| &count.value);
    let notes = parcel
        .findings
        .iter()
        .map(|finding| finding.value.note.clone());
    Some(ShopParcel {
        parcel_id: parcel.parcel_id,
        reference: parcel.reference.clone(),
        shop_id: parcel.shop_id?,
        direction: parcel.direction,
        stage: parcel.stage,
        tracking: parcel
            .shipped
            .as_ref()
            .map(|shipped| shipped.value.tracking.clone())
            .or_else(|| parcel.tracking.value().cloned()),
        expected: parcel.expected.clone(),
        inside: parcel.inside.clone(),
        missing: count.map_or(Vec::new(), |count| count.missing.clone()),
        extra: count.map_or(Vec::new(), |count| count.extra.clone()),
        findings: parcel
            .findings
            .iter()
            .flat_map(|finding| finding.value.findings.iter().copied())
            .collect(),
        notes: notes
            .chain(count.map(|count| count.note.clone()))
            .filter(|note| !note.is_empty())
            .collect(),
        photos: parcel
            .photos
            .iter()
            .map(|photo| shop_photo(&photo.value))
            .collect(),
        received_at_ms: parcel.received.as_ref().map(|received| received.mark.at_ms),
        shipped_at_ms: parcel.shipped.as_ref().map(|shipped| shipped.mark.at_ms),
        begun_at_ms: parcel.begun_at_ms,
    })
}

fn shop_photo(photo: &crate::fact::PhotoAdded) -> ShopPhoto {
    ShopPhoto {
        hash: photo.hash,
        place: photo.place,
        caption: photo.caption.clone(),
        width_px: photo.width_px,
        height_px: photo.height_px,
    }
}

fn shop_quote(job: &Job) -> Option<ShopQuote> {
    let head = job.quote.heads.first()?;
    let (Agreement::Agreed { at_ms, .. } | Agreement::Refused { at_ms }) = job.agreement else {
        return Some(quote_with(job, head, None));
    };
    Some(quote_with(job, head, Some(at_ms)))
}

fn quote_with(
    job: &Job,
    head: &crate::register::Head<crate::fact::Quote>,
    answered_at_ms: Option<u64>,
) -> ShopQuote {
    ShopQuote {
        quote_entry_id: head.mark.entry_id,
        lines: head.value.lines.clone(),
        total: job.quote_total,
        fee_if_refused: head.value.fee_if_refused,
        promised_date: head.value.promised_date.clone(),
        note: head.value.note.clone(),
        answer: job.answer(),
        answered_at_ms,
    }
}

fn where_it_is(job: &Job) -> String {
    if job.arrived.is_none() && job.missed.is_some() {
        return "It was not in the parcel when we opened it.".to_owned();
    }
    match job.stage {
        Stage::Advised => "Announced; not here yet.",
        Stage::Receiving => "Here, and waiting for its first check.",
        Stage::Inspecting => "Being examined and tested.",
        Stage::Holding => return holding(job),
        Stage::Repairing => "On the bench.",
        Stage::Proving => "Being tested after the work.",
        Stage::Packing => "Finished, and about to be packed.",
        Stage::Shipping => "Packed; it leaves with the next collection.",
        Stage::Returned => "On its way back to you.",
        Stage::Destroyed => "Destroyed, as agreed.",
    }
    .to_owned()
}

fn holding(job: &Job) -> String {
    match job.holds.first() {
        Some(HoldReason::ShopDecision | HoldReason::ShopAsked { .. }) => {
            "Waiting for your decision."
        }
        Some(HoldReason::Part { .. }) => "Waiting for a part.",
        Some(HoldReason::CellInIsolation) => "Held: its battery is in isolation.",
        Some(HoldReason::WrongItem) => "Held: it is not the device you announced.",
        Some(HoldReason::MissingFromParcel) => "Held: it was not in its parcel.",
        Some(HoldReason::Other { .. } | HoldReason::Disagreement) | None => {
            "Held while we settle a question."
        }
    }
    .to_owned()
}

fn needed(job: &Job) -> String {
    if job.stage == Stage::Returned || job.stage == Stage::Destroyed {
        return String::new();
    }
    if job.arrived.is_none() && job.missed.is_some() {
        return "Check whether it is still with you, and tell us.".to_owned();
    }
    if job.identity_difference.is_some() && job.holds.contains(&HoldReason::WrongItem) {
        return "The device differs from the one you announced. Please tell us which it is."
            .to_owned();
    }
    match &job.agreement {
        Agreement::Waiting if job.outcome.heads.is_empty() => "Decide on the quote.".to_owned(),
        Agreement::Asked { .. } if job.outcome.heads.is_empty() => {
            "Decide on the quote once your question is answered.".to_owned()
        }
        _ => String::new(),
    }
}
