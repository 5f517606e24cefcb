//! From folds to rows: what lists show, what the scanner may read, what people search for.
//!
//! A row is made from one subject's entries alone. A shop's name is therefore not in it; it is filled in when rows are read.

use domain::cells::bay::{Cell, CellState};
use domain::fact::{DeviceDescription, TestCode, Tracking};
use domain::job::{Job, StationState};
use domain::parcel::Parcel;
use domain::{
    Recorded, Subject, fold_cell, fold_job, fold_lab, fold_parcel, fold_person, fold_shop,
};
use serde::Serialize;

use crate::store::{Code, Projection, Projector};
use crate::views::{CellRow, JobRow, ParcelRow, PersonBrief, ShopBrief};

/// Makes rows for the store.
pub(crate) struct Rows;

/// Raised whenever a row would come out differently for the same entries.
const FOLD_VERSION: u32 = 8;

impl Projector for Rows {
    fn fold_version(&self) -> u32 {
        FOLD_VERSION
    }

    fn project(&self, subject: Subject, entries: &[Recorded]) -> Projection {
        match subject {
            Subject::Job(job_id) => job_projection(&fold_job(job_id, entries)),
            Subject::Cell(cell_id) => cell_projection(&fold_cell(cell_id, entries)),
            Subject::Parcel(parcel_id) => parcel_projection(&fold_parcel(parcel_id, entries)),
            Subject::Shop(shop_id) => {
                let shop = fold_shop(shop_id, entries);
                let brief = shop_brief(&shop);
                let search_text = brief.name.to_lowercase();
                Projection {
                    summary_json: json(&brief),
                    shop_id: Some(shop_id),
                    is_open: true,
                    search_text,
                    ..Projection::default()
                }
            }
            Subject::Person(person_id) => {
                let person = fold_person(person_id, entries);
                let brief = person.description.value().map(|description| PersonBrief {
                    person_id,
                    name: description.name.clone(),
                    roles: description.roles.iter().copied().collect(),
                    of_a_shop: description.shop_id.is_some(),
                    left: description.left,
                });
                let is_open = brief.as_ref().is_some_and(|brief| !brief.left);
                Projection {
                    summary_json: json(&brief),
                    is_open,
                    ..Projection::default()
                }
            }
            Subject::Lab(lab_id) => {
                let lab = fold_lab(lab_id, entries);
                Projection {
                    summary_json: json(&lab.description.value()),
                    is_open: true,
                    ..Projection::default()
                }
            }
        }
    }
}

fn json<T: Serialize>(row: &T) -> String {
    serde_json::to_string(row)
        .expect("rows hold only strings, numbers and lists, which JSON can always express")
}

/// Brings a scanned code to the form in which it is kept: capital letters and digits only.
pub(crate) fn plain_code(text: &str) -> String {
    text.chars()
        .filter(char::is_ascii_alphanumeric)
        .map(|letter| letter.to_ascii_uppercase())
        .collect()
}

fn code(kind: &str, text: &str) -> Option<Code> {
    let text = plain_code(text);
    (!text.is_empty()).then(|| Code {
        kind: kind.to_owned(),
        text,
    })
}

/// Under which code the jobs on one model are kept. The sign in front keeps it out of the way of what is scanned or typed, which
/// is looked up by letters and digits alone.
pub(crate) fn model_code(device: &DeviceDescription) -> String {
    format!(
        "~M{}",
        plain_code(&format!("{}{}", device.maker, device.model))
    )
}

/// Under which code the jobs with one fault are kept: a test that shows it.
pub(crate) fn fault_code(test: &TestCode) -> String {
    format!("~F{}", test.0)
}

/// The form in which an identifier finds its device again, with or without its check digit. None for a number that many
/// devices share, such as all zeros.
pub(crate) fn identifier_code(text: &str) -> Option<Code> {
    let reading = domain::identifiers::read(text);
    if reading.tells_devices_apart() {
        code("identifier", &reading.match_key())
    } else {
        None
    }
}

/// How much of a report's digest its address holds: 16 hexadecimal digits, 64 bits.
pub(crate) const REPORT_TOKEN_CHARS: usize = 16;

fn job_projection(job: &Job) -> Projection {
    let row = job_row(job);
    let mut codes: Vec<Code> = code("job", &job.reference).into_iter().collect();
    codes.extend(
        row.identifiers
            .iter()
            .filter_map(|identifier| identifier_code(identifier)),
    );
    codes.extend(job.reports.iter().filter_map(|report| {
        code(
            "report",
            &report.value.digest.to_string()[..REPORT_TOKEN_CHARS],
        )
    }));
    if let Some(advice) = &job.advice {
        codes.extend(code("shop_reference", &advice.value.shop_reference));
    }
    codes.extend(job.device.value().map(|device| Code {
        kind: "model".to_owned(),
        text: model_code(device),
    }));
    codes.extend(domain::history::fault_of(job).iter().map(|test| Code {
        kind: "fault".to_owned(),
        text: fault_code(test),
    }));
    codes.sort();
    codes.dedup();
    // A job whose beginning was taken back is no job: nothing lists it, though its trail stays.
    let is_job = job.advice.is_some() || job.arrived.is_some();
    if !is_job {
        codes.clear();
    }
    Projection {
        summary_json: json(&row),
        stage: is_job.then(|| tag(&row.stage)),
        shop_id: row.shop_id,
        due_ms: None,
        is_open: is_job
            && !matches!(
                row.stage,
                domain::job::Stage::Returned | domain::job::Stage::Destroyed
            ),
        search_text: if is_job {
            format!(
                "{} {} {} {}",
                row.reference,
                row.device,
                row.fault,
                row.identifiers.join(" ")
            )
            .to_lowercase()
        } else {
            String::new()
        },
        codes,
    }
}

/// The word under which an enum's value is stored.
pub(crate) fn tag<T: Serialize>(value: &T) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => word,
        _ => String::new(),
    }
}

/// A job's row, without its shop's name.
pub(crate) fn job_row(job: &Job) -> JobRow {
    let advice = job.advice.as_ref().map(|advice| &advice.value);
    let device = job.device.value();
    let next = job
        .route
        .iter()
        .find(|stop| matches!(stop.state, StationState::Next | StationState::Blocked));
    let mut identifiers: Vec<String> = job.identity.value().map_or(Vec::new(), |identity| {
        identity
            .identifiers
            .iter()
            .map(|identifier| identifier.text.clone())
            .collect()
    });
    if let Some(advice) = advice
        && identifiers.is_empty()
        && !advice.identifier.is_empty()
    {
        identifiers.push(domain::identifiers::read(&advice.identifier).canonical);
    }
    let disputes = [
        job.quote.is_disputed(),
        job.outcome.is_disputed(),
        job.device.is_disputed(),
        job.identity.is_disputed(),
        job.signs.is_disputed(),
        job.accessories.is_disputed(),
        job.tests.is_disputed(),
    ];
    JobRow {
        job_id: job.job_id,
        reference: job.reference.clone(),
        shop_id: job.shop_id,
        shop_name: String::new(),
        kind: device.map_or(domain::device::DeviceKind::Phone, |device| device.kind),
        device: device.map_or_else(
            || "unknown device".to_owned(),
            |device| {
                format!("{} {}", device.maker, device.model)
                    .trim()
                    .to_owned()
            },
        ),
        identifiers,
        fault: advice.map_or_else(String::new, |advice| advice.fault.clone()),
        stage: job.stage,
        holds: job
            .holds
            .iter()
            // A row counts them, which says more.
            .filter(|hold| **hold != domain::job::HoldReason::Disagreement)
            .map(domain::job::HoldReason::words)
            .collect(),
        next: job.next,
        missing: next.map_or(Vec::new(), |stop| {
            stop.missing
                .iter()
                .map(|missing| missing.sentence.clone())
                .collect()
        }),
        promised_date: job
            .quote
            .value()
            .map_or_else(String::new, |quote| quote.promised_date.clone()),
        arrived_at_ms: job.arrived.as_ref().map(|arrived| arrived.mark.at_ms),
        last_at_ms: job.last_at_ms,
        cell_level: job
            .cell()
            .map(|cell| cell.judgement.level)
            .or(job.cell_state.level),
        in_isolation: job.cell_state.is_isolated() && job.stage.in_house(),
        reading_due_ms: reading_due(&job.cell_state).filter(|_| job.stage.in_house()),
        disagreements: u32::try_from(disputes.into_iter().filter(|disputed| *disputed).count())
            .unwrap_or(u32::MAX),
        exceptions: u32::try_from(job.exceptions.len()).unwrap_or(u32::MAX),
        outcome: job
            .outcome
            .value()
            .map_or_else(String::new, |outcome| outcome.outcome.words().to_owned()),
        parcel_id: job.parcel_id,
        return_parcel_id: job.packed.as_ref().map(|packed| packed.value.parcel_id),
        quote_total: job.quote_total,
    }
}

/// When a cell asks for its next reading, if it does.
fn reading_due(state: &CellState) -> Option<u64> {
    state.next_reading.as_ref().map(|next| next.due_ms)
}

fn cell_projection(cell: &Cell) -> Projection {
    let row = cell_row(cell);
    Projection {
        codes: code("cell", &cell.reference).into_iter().collect(),
        stage: None,
        shop_id: row.shop_id,
        due_ms: row
            .reading_due_ms
            .and_then(|due_ms| i64::try_from(due_ms).ok()),
        is_open: !row.has_left,
        search_text: format!("{} {}", row.reference, row.device).to_lowercase(),
        summary_json: json(&row),
    }
}

/// A removed cell's row, without its shop's name.
pub(crate) fn cell_row(cell: &Cell) -> CellRow {
    let origin = cell.origin.as_ref().map(|origin| &origin.value);
    CellRow {
        cell_id: cell.cell_id,
        reference: cell.reference.clone(),
        job_id: origin.map(|origin| origin.job_id),
        shop_id: origin.and_then(|origin| origin.shop_id),
        shop_name: String::new(),
        device: origin.map_or_else(
            || "unknown device".to_owned(),
            |origin| origin.device.clone(),
        ),
        level: cell.state.level,
        in_isolation: cell.state.is_isolated(),
        has_left: cell.state.left.is_some(),
        reading_due_ms: reading_due(&cell.state),
        removed_at_ms: cell.origin.as_ref().map(|origin| origin.mark.at_ms),
        last_at_ms: cell.last_at_ms,
    }
}

fn parcel_projection(parcel: &Parcel) -> Projection {
    let row = parcel_row(parcel);
    let mut codes: Vec<Code> = code("parcel", &parcel.reference).into_iter().collect();
    codes.extend(code("tracking", &row.tracking));
    if let Some(received) = &parcel.received {
        // The label as scanned finds the parcel again even when it was not recognised.
        codes.extend(code("label", &received.value.scanned));
    }
    codes.sort();
    codes.dedup();
    Projection {
        summary_json: json(&row),
        stage: Some(tag(&row.stage)),
        shop_id: row.shop_id,
        due_ms: None,
        is_open: !matches!(
            row.stage,
            domain::parcel::ParcelStage::Counted | domain::parcel::ParcelStage::Shipped
        ),
        search_text: format!("{} {} {}", row.reference, row.carrier, row.tracking).to_lowercase(),
        codes,
    }
}

/// A parcel's row, without its shop's name.
pub(crate) fn parcel_row(parcel: &Parcel) -> ParcelRow {
    let number = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
    let shipped = parcel
        .shipped
        .as_ref()
        .map(|shipped| &shipped.value.tracking);
    let tracking: Option<&Tracking> = shipped.or_else(|| parcel.tracking.value());
    ParcelRow {
        parcel_id: parcel.parcel_id,
        reference: parcel.reference.clone(),
        direction: parcel.direction,
        stage: parcel.stage,
        shop_id: parcel.shop_id,
        shop_name: String::new(),
        carrier: tracking.map_or_else(String::new, |tracking| tracking.carrier.clone()),
        tracking: tracking.map_or_else(String::new, |tracking| tracking.number.clone()),
        expected: number(parcel.expected.len()),
        inside: number(parcel.inside.len()),
        missing: parcel
            .count
            .as_ref()
            .map_or(0, |count| number(count.value.missing.len())),
        danger: parcel.danger,
        begun_at_ms: parcel.begun_at_ms,
        received_at_ms: parcel.received.as_ref().map(|received| received.mark.at_ms),
        shipped_at_ms: parcel.shipped.as_ref().map(|shipped| shipped.mark.at_ms),
        last_at_ms: parcel.last_at_ms,
    }
}

/// A shop in a line.
pub(crate) fn shop_brief(shop: &domain::house::Shop) -> ShopBrief {
    let description = shop.description.value();
    ShopBrief {
        shop_id: shop.shop_id,
        name: description.map_or_else(
            || "a shop without a name".to_owned(),
            |description| description.name.clone(),
        ),
        country: description.map_or_else(String::new, |description| description.country.clone()),
        currency: description.map_or_else(String::new, |description| description.currency.clone()),
        standing_limit: shop
            .standing_limit
            .value()
            .and_then(|standing| standing.limit),
    }
}
