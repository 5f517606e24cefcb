//! Counting expected against found: one entry for the parcel, one for each device, all or none.
//!
//! A device is never counted for a parcel that did not announce it; it is added as an extra one.

use std::collections::BTreeSet;

use domain::fact::{DeviceDescription, Fact, JobAdvice, JobArrival};
use domain::parcel::{Parcel, count};
use domain::{JobId, ParcelId, ShopId, Subject};

use super::request::{CountParcel, ExtraDevice};
use super::view::ParcelView;
use crate::desk::Desk;
use crate::error::DeskError;

/// Counts expected against found: one entry for the parcel, one for each device, all or none.
pub fn count_parcel(desk: &Desk, request: CountParcel) -> Result<ParcelView, DeskError> {
    let parcel = desk.parcel(request.parcel_id)?;
    let shop_id = may_be_counted(&parcel)?;
    let found: BTreeSet<JobId> = request.found.iter().copied().collect();
    all_announced(desk, &parcel, &found)?;
    if found.is_empty() && request.extra.is_empty() && parcel.expected.is_empty() {
        return Err(DeskError::refused(
            "nothing was announced and nothing is counted; add each device that is in the parcel",
        ));
    }
    let mut facts = Vec::new();
    let mut extra_ids = Vec::new();
    for (number, extra) in (1..).zip(request.extra) {
        let job_id = JobId::new(desk.new_id());
        facts.push((
            Subject::Job(job_id),
            Fact::JobOpened(extra_advice(shop_id, request.parcel_id, number, extra)?),
            Vec::new(),
        ));
        facts.push((Subject::Job(job_id), arrival(request.parcel_id), Vec::new()));
        extra_ids.push(job_id);
    }
    let counted = count(
        &parcel.expected,
        &found,
        extra_ids,
        request.note.trim().to_owned(),
    );
    for job_id in &counted.found {
        facts.push((
            Subject::Job(*job_id),
            arrival(request.parcel_id),
            Vec::new(),
        ));
    }
    for job_id in &counted.missing {
        let missed = JobArrival {
            parcel_id: request.parcel_id,
            note: String::new(),
        };
        facts.push((Subject::Job(*job_id), Fact::JobMissed(missed), Vec::new()));
    }
    facts.push((
        Subject::Parcel(request.parcel_id),
        Fact::ParcelCounted(counted),
        Vec::new(),
    ));
    desk.record_all(facts)?;
    desk.parcel_view(request.parcel_id)
}

/// The shop for which a parcel is counted; refuses one that must stay closed, or that was counted already.
fn may_be_counted(parcel: &Parcel) -> Result<ShopId, DeskError> {
    if parcel.received.is_none() {
        return Err(DeskError::refused(
            "this parcel has not been taken in; scan its label on the Dock first",
        ));
    }
    if parcel.danger {
        return Err(DeskError::refused(
            "this parcel is warm, bulging or smoking: do not open it; it stays closed until a person with battery knowledge has found it safe",
        ));
    }
    let shop_id = parcel.shop_id.ok_or_else(|| {
        DeskError::refused("nobody knows which shop this parcel is from; choose the shop first")
    })?;
    if parcel.count.is_some() {
        return Err(DeskError::refused(
            "this parcel was counted already; take the count back to count again",
        ));
    }
    Ok(shop_id)
}

/// Refuses a device that was not announced for the parcel.
fn all_announced(desk: &Desk, parcel: &Parcel, found: &BTreeSet<JobId>) -> Result<(), DeskError> {
    let Some(stranger) = found
        .iter()
        .find(|job_id| !parcel.expected.contains(job_id))
    else {
        return Ok(());
    };
    let row = desk
        .job_row(*stranger)?
        .ok_or(DeskError::NotFound { what: "job" })?;
    Err(DeskError::refused(format!(
        "job {} was not announced for this parcel; add the device as an extra one",
        row.reference
    )))
}

fn arrival(parcel_id: ParcelId) -> Fact {
    Fact::JobArrived(JobArrival {
        parcel_id,
        note: String::new(),
    })
}

fn extra_advice(
    shop_id: ShopId,
    parcel_id: ParcelId,
    number: usize,
    extra: ExtraDevice,
) -> Result<JobAdvice, DeskError> {
    let maker = extra.maker.trim().to_owned();
    let model = extra.model.trim().to_owned();
    if maker.is_empty() && model.is_empty() {
        return Err(DeskError::field(
            format!("extra-{number}-model"),
            "say what the extra device is: its maker or its model",
        ));
    }
    let device = DeviceDescription {
        kind: extra.kind,
        maker,
        model,
        colour: extra.colour.trim().to_owned(),
    };
    let mut advice = domain::job::unannounced_advice(shop_id, parcel_id, device);
    extra.fault.trim().clone_into(&mut advice.fault);
    extra.identifier.trim().clone_into(&mut advice.identifier);
    Ok(advice)
}
