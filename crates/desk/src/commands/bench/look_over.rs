//! The look-over: which device it is, in what condition, with what, and its passcode.

use domain::fact::{
    Accessories, Condition, DeviceDescription, Fact, Identifier, Identity, PasscodeOpening,
    SealedPasscode, Signs,
};
use domain::identifiers;
use domain::job::{Job, Passcode, Stage, Station};
use domain::{JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobView, enter};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::passcode;

/// Describes the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DescribeDevice {
    /// The job.
    pub job_id: JobId,
    /// What it is.
    pub device: DeviceDescription,
}

/// Records the identifiers read from the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordIdentity {
    /// The job.
    pub job_id: JobId,
    /// Each as scanned or typed.
    pub texts: Vec<String>,
}

/// Records one mark on the case.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordCondition {
    /// The job.
    pub job_id: JobId,
    /// The mark.
    pub condition: Condition,
}

/// Records locks, seals and indicators.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordSigns {
    /// The job.
    pub job_id: JobId,
    /// The signs.
    pub signs: Signs,
}

/// Records what came with the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordAccessories {
    /// The job.
    pub job_id: JobId,
    /// Each in words.
    pub items: Vec<String>,
}

/// Seals a passcode.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SealPasscode {
    /// The job.
    pub job_id: JobId,
    /// The passcode, as the shop gave it.
    pub passcode: String,
}

/// Opens a passcode.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OpenPasscode {
    /// The job.
    pub job_id: JobId,
    /// Why.
    pub reason: String,
}

/// A passcode, opened.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OpenedPasscode {
    /// The passcode; the screen shows it and keeps it nowhere.
    pub passcode: String,
}

/// Describes the device as the lab sees it.
pub fn describe_device(desk: &Desk, request: DescribeDevice) -> Result<JobView, DeskError> {
    let job = in_house(desk, request.job_id)?;
    let device = DeviceDescription {
        kind: request.device.kind,
        maker: request.device.maker.trim().to_owned(),
        model: request.device.model.trim().to_owned(),
        colour: request.device.colour.trim().to_owned(),
    };
    if device.maker.is_empty() && device.model.is_empty() {
        return Err(DeskError::field(
            "model",
            "say what the device is: its maker or its model",
        ));
    }
    // The shop's own description shows as long as the lab has none; it is no edit that this one replaces.
    let advice = job.advice.as_ref().map(|advice| advice.mark.entry_id);
    let based_on = job
        .device
        .based_on()
        .into_iter()
        .filter(|entry_id| Some(*entry_id) != advice)
        .collect();
    desk.record_all(vec![(
        Subject::Job(request.job_id),
        Fact::DeviceDescribed(device),
        based_on,
    )])?;
    desk.job_view(request.job_id)
}

/// Records the identifiers read from the device. A wrong check digit is kept, with a warning.
pub fn record_identity(desk: &Desk, request: RecordIdentity) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::LookOver)?;
    let mut identifiers = Vec::new();
    for text in request
        .texts
        .iter()
        .map(|text| text.trim())
        .filter(|text| !text.is_empty())
    {
        let reading = identifiers::read(text);
        let warning = reading
            .check
            .warning(reading.kind.name())
            .unwrap_or_default();
        let identifier = Identifier {
            kind: reading.kind,
            text: reading.canonical,
            warning,
        };
        if !identifiers.contains(&identifier) {
            identifiers.push(identifier);
        }
    }
    if identifiers.is_empty() {
        return Err(DeskError::field(
            "texts",
            "scan or type at least one identifier of the device",
        ));
    }
    already_in_house(desk, &job, &identifiers)?;
    desk.record_all(vec![(
        Subject::Job(request.job_id),
        Fact::IdentityRecorded(Identity { identifiers }),
        job.identity.based_on(),
    )])?;
    desk.job_view(request.job_id)
}

/// Refuses an identifier that another device in the house bears: one of the two readings must be wrong.
fn already_in_house(desk: &Desk, job: &Job, read: &[Identifier]) -> Result<(), DeskError> {
    for identifier in read {
        for subject in desk.look_up_identifier(&identifier.text)? {
            let Subject::Job(other) = subject else {
                continue;
            };
            if other == job.job_id {
                continue;
            }
            if let Some(row) = desk.job_row(other)?
                && row.stage.in_house()
            {
                return Err(DeskError::field(
                    "texts",
                    format!(
                        "{} is already in the house as job {}; read both devices again",
                        identifier.text, row.reference
                    ),
                ));
            }
        }
    }
    Ok(())
}

/// Records one mark on the case.
pub fn record_condition(desk: &Desk, request: RecordCondition) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::LookOver)?;
    let condition = request.condition;
    if condition.x_permille > 1000 || condition.y_permille > 1000 {
        return Err(DeskError::field(
            "condition",
            "the mark lies outside the outline; place it on the device",
        ));
    }
    desk.record(
        Subject::Job(request.job_id),
        Fact::ConditionRecorded(condition),
    )?;
    desk.job_view(request.job_id)
}

/// Records locks, seals and indicators.
pub fn record_signs(desk: &Desk, request: RecordSigns) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::LookOver)?;
    desk.record_all(vec![(
        Subject::Job(request.job_id),
        Fact::SignsRecorded(request.signs),
        job.signs.based_on(),
    )])?;
    desk.job_view(request.job_id)
}

/// Records what came with the device.
pub fn record_accessories(desk: &Desk, request: RecordAccessories) -> Result<JobView, DeskError> {
    let job = in_house(desk, request.job_id)?;
    let items = request
        .items
        .iter()
        .map(|item| item.trim().to_owned())
        .filter(|item| !item.is_empty())
        .collect();
    desk.record_all(vec![(
        Subject::Job(request.job_id),
        Fact::AccessoriesRecorded(Accessories { items }),
        job.accessories.based_on(),
    )])?;
    desk.job_view(request.job_id)
}

/// Seals a passcode under the lab's key, which the server never has. An earlier one is destroyed.
pub fn seal_passcode(desk: &Desk, request: SealPasscode) -> Result<JobView, DeskError> {
    let job = in_house(desk, request.job_id)?;
    if request.passcode.is_empty() {
        return Err(DeskError::field(
            "passcode",
            "type the passcode as the shop gave it",
        ));
    }
    let sealed = passcode::seal(
        &desk.lab_key()?,
        request.job_id,
        &request.passcode,
        desk.random(),
    );
    let mut facts = Vec::new();
    if let Passcode::Sealed { entry_id } = job.passcode {
        facts.push((
            Subject::Job(request.job_id),
            passcode::destruction(entry_id),
            Vec::new(),
        ));
    }
    facts.push((
        Subject::Job(request.job_id),
        Fact::PasscodeSealed(SealedPasscode { sealed }),
        Vec::new(),
    ));
    desk.record_all(facts)?;
    desk.job_view(request.job_id)
}

/// Opens a passcode. The opening is an entry, recorded before the passcode is shown.
pub fn open_passcode(desk: &Desk, request: OpenPasscode) -> Result<OpenedPasscode, DeskError> {
    let job = desk.job(request.job_id)?;
    let reason = request.reason.trim().to_owned();
    if reason.is_empty() {
        return Err(DeskError::field(
            "reason",
            "say why the passcode is needed; the reason is recorded",
        ));
    }
    let entry_id = match job.passcode {
        Passcode::Sealed { entry_id } => entry_id,
        Passcode::Destroyed { .. } => return Err(DeskError::refused("the passcode was destroyed")),
        Passcode::None => {
            return Err(DeskError::refused(
                "no passcode is recorded for this device",
            ));
        }
    };
    let entries = desk.entries(Subject::Job(request.job_id))?;
    let sealed = entries
        .iter()
        .find(|recorded| recorded.entry_id == entry_id)
        .and_then(|recorded| recorded.fact());
    let Some(Fact::PasscodeSealed(sealed)) = sealed else {
        return Err(DeskError::NotFound { what: "passcode" });
    };
    let passcode = passcode::open(&desk.lab_key()?, request.job_id, &sealed.sealed)
        .ok_or(DeskError::WrongKey)?;
    desk.record(
        Subject::Job(request.job_id),
        Fact::PasscodeOpened(PasscodeOpening {
            sealed_entry_id: entry_id,
            reason,
        }),
    )?;
    Ok(OpenedPasscode { passcode })
}

/// A job whose device is in the house.
fn in_house(desk: &Desk, job_id: JobId) -> Result<Job, DeskError> {
    let job = desk.job(job_id)?;
    match job.stage {
        Stage::Advised => Err(DeskError::refused(
            "the device is not in the house yet; count its parcel on the Dock first",
        )),
        Stage::Returned | Stage::Destroyed => {
            Err(DeskError::refused("the device has left the house"))
        }
        _ => Ok(job),
    }
}
