//! Which devices may lie in one return parcel, asked before anybody closes the box.
//!
//! A damaged battery never lies beside another device, in whatever order the two are scanned.

use domain::cells::bay::Diagnosis;
use domain::cells::transport::VerdictCode;
use domain::job::Job;
use domain::parcel::Parcel;

use super::question::holds_no_cell;
use crate::desk::Desk;
use crate::error::DeskError;

/// Refuses to put a device beside a damaged battery, or a damaged battery beside a device: each damaged one lies alone in its outer
/// packaging (49 CFR 173.185(f)(3); ADR P908 lets one package hold several, which no shop's ordinary parcel is packed for).
pub(crate) fn lies_alone(
    desk: &Desk,
    parcel: &Parcel,
    job: &Job,
    name: &str,
) -> Result<(), DeskError> {
    if parcel.inside.is_empty() {
        return Ok(());
    }
    if is_damaged(job) {
        return Err(DeskError::field(
            "scanned",
            format!(
                "The battery of {name} is damaged, so it lies alone in its parcel; ship this parcel or empty it first, then begin one for it alone"
            ),
        ));
    }
    for job_id in &parcel.inside {
        let other = desk.job(*job_id)?;
        if is_damaged(&other) {
            return Err(DeskError::field(
                "scanned",
                format!(
                    "Job {} in this parcel has a damaged battery, which lies alone; ship this parcel first, then begin one for {name}",
                    other.reference
                ),
            ));
        }
    }
    Ok(())
}

/// Refuses a device with which a parcel must not go the way that was said, before anybody closes the box.
pub(crate) fn may_go_along(
    desk: &Desk,
    parcel: &Parcel,
    job: &Job,
    name: &str,
) -> Result<(), DeskError> {
    if parcel.transport.is_none() {
        return Ok(());
    }
    let mut with = parcel.clone();
    with.inside.push(job.job_id);
    let Some(verdict) = desk.transport_view(&with)?.verdict else {
        return Ok(());
    };
    if verdict.verdict != VerdictCode::Forbidden {
        return Ok(());
    }
    let why = verdict.rules.first().map_or("", |rule| rule.text.as_str());
    let instead = verdict.alternatives.first().map_or_else(
        || "Say another way for it, or send it apart.".to_owned(),
        |alternative| format!("Instead, {}: {}.", alternative.change, alternative.words),
    );
    Err(DeskError::field(
        "scanned",
        format!(
            "With {name} inside, this parcel must not go the way that was said. {why} {instead}"
        ),
    ))
}

/// A device that goes back with a damaged battery in it.
fn is_damaged(job: &Job) -> bool {
    !holds_no_cell(job)
        && (job.cell_state.goes_back.is_some() || job.cell_state.diagnosis >= Diagnosis::Damaged)
}
