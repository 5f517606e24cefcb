//! Work: steps with parts and heat, holds, and the words between lab and shop.

use domain::fact::{
    BoardSide, ChosenTest, Fact, FittedPart, HeatExposure, Hold, HoldKind, HoldLift, Message,
    MessageFrom, Note, Step, TestCode,
};
use domain::job::Station;
use domain::{ContentHash, EntryId, JobId, PersonId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobView, enter, proof};
use crate::desk::Desk;
use crate::error::DeskError;

/// Heat as typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HeatInput {
    /// Degrees Celsius at the tool.
    pub temperature_c: String,
    /// Seconds at that temperature.
    pub seconds: String,
    /// The heated side.
    pub side: BoardSide,
    /// Parts near enough to be harmed, on both sides.
    pub neighbours: Vec<String>,
    /// The tests that would show harm to them.
    pub neighbour_tests: Vec<TestCode>,
}

/// Records a step of work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordStep {
    /// The job.
    pub job_id: JobId,
    /// What was done.
    pub text: String,
    /// The lab's own procedure code; may be empty.
    pub procedure: String,
    /// The tool; may be empty.
    pub tool: String,
    /// Parts fitted.
    pub parts: Vec<FittedPart>,
    /// Heat, if any was used.
    pub heat: Option<HeatInput>,
    /// Who witnessed it, where it is a hold point.
    pub witness_id: Option<PersonId>,
    /// Photos of it.
    pub photos: Vec<ContentHash>,
}

/// Lets the job wait.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PlaceHold {
    /// The job.
    pub job_id: JobId,
    /// For what.
    pub kind: HoldKind,
    /// In words.
    pub note: String,
}

/// Lets the job go on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LiftHold {
    /// The job.
    pub job_id: JobId,
    /// The hold.
    pub hold_entry_id: EntryId,
    /// In words; may be empty.
    pub note: String,
}

/// Writes to the shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PostMessage {
    /// The job.
    pub job_id: JobId,
    /// The words.
    pub text: String,
}

/// Writes a note for the lab.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordNote {
    /// The job.
    pub job_id: JobId,
    /// The words.
    pub text: String,
}

/// Records a step of work. Heat opens the neighbours' tests.
pub fn record_step(desk: &Desk, request: RecordStep) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::Work)?;
    let text = request.text.trim().to_owned();
    if text.is_empty() {
        return Err(DeskError::field("text", "say what was done"));
    }
    if let Some(witness_id) = request.witness_id
        && desk.person_id()? == witness_id
    {
        return Err(DeskError::field(
            "witness_id",
            "nobody witnesses their own step; choose the second person",
        ));
    }
    let step = Step {
        text,
        procedure: request.procedure.trim().to_owned(),
        tool: request.tool.trim().to_owned(),
        parts: parts(request.parts)?,
        heat: request
            .heat
            .map(|heat| parse_heat(desk, heat))
            .transpose()?,
        witness_id: request.witness_id,
        photos: request.photos,
        hold_point: false,
    };
    desk.record(Subject::Job(request.job_id), Fact::StepRecorded(step))?;
    desk.job_view(request.job_id)
}

fn parts(parts: Vec<FittedPart>) -> Result<Vec<FittedPart>, DeskError> {
    let mut kept = Vec::new();
    for part in parts {
        let part = FittedPart {
            designator: part.designator.trim().to_uppercase(),
            description: part.description.trim().to_owned(),
            source: part.source,
            lot: part.lot.trim().to_owned(),
        };
        match (part.designator.is_empty(), part.description.is_empty()) {
            (true, true) => {}
            (true, false) => {
                return Err(DeskError::field(
                    "parts",
                    format!("give the designator of “{}”", part.description),
                ));
            }
            _ => kept.push(part),
        }
    }
    Ok(kept)
}

/// Hot-air and iron tools end well below this; above it a typed number is a slip. Common practice, no source.
const TEMPERATURE_MAX_C: u16 = 600;
/// A soldering joint under heat for ten minutes is no step but an oven run, which is recorded in several. Common practice, no source.
const SECONDS_MAX: u16 = 600;

fn parse_heat(desk: &Desk, input: HeatInput) -> Result<HeatExposure, DeskError> {
    let number = |field: &'static str, text: &str, most: u16, what: &str| {
        text.trim()
            .parse::<u16>()
            .ok()
            .filter(|number| (1..=most).contains(number))
            .ok_or_else(|| {
                DeskError::field(
                    field,
                    format!(
                        "“{}” is no {what}; write a whole number up to {most}",
                        text.trim()
                    ),
                )
            })
    };
    let lab = desk.lab()?;
    let catalogue = lab.catalogue();
    let mut neighbour_tests = Vec::new();
    for code in &input.neighbour_tests {
        let test = proof::find(&catalogue, code)?;
        neighbour_tests.push(ChosenTest {
            code: code.clone(),
            title: test.title.clone(),
            shows_fault: false,
            version: test.version,
            definition_id: None,
        });
    }
    let neighbours = input
        .neighbours
        .iter()
        .map(|part| part.trim().to_uppercase())
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>();
    if !neighbours.is_empty() && neighbour_tests.is_empty() {
        return Err(DeskError::field(
            "neighbour_tests",
            "choose the tests that would show harm to the heated neighbours",
        ));
    }
    Ok(HeatExposure {
        temperature_c: number(
            "temperature_c",
            &input.temperature_c,
            TEMPERATURE_MAX_C,
            "temperature in °C",
        )?,
        seconds: number("seconds", &input.seconds, SECONDS_MAX, "time in seconds")?,
        side: input.side,
        neighbours,
        neighbour_tests,
    })
}

/// Lets the job wait.
pub fn place_hold(desk: &Desk, request: PlaceHold) -> Result<JobView, DeskError> {
    let note = request.note.trim().to_owned();
    if note.is_empty() {
        return Err(DeskError::field("note", "say what the job waits for"));
    }
    desk.job(request.job_id)?;
    desk.record(
        Subject::Job(request.job_id),
        Fact::HoldPlaced(Hold {
            kind: request.kind,
            note,
        }),
    )?;
    desk.job_view(request.job_id)
}

/// Lets the job go on.
pub fn lift_hold(desk: &Desk, request: LiftHold) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    if !job
        .standing_holds
        .iter()
        .any(|hold| hold.mark.entry_id == request.hold_entry_id)
    {
        return Err(DeskError::refused("this hold is over already"));
    }
    let lift = HoldLift {
        hold_entry_id: request.hold_entry_id,
        note: request.note.trim().to_owned(),
    };
    desk.record(Subject::Job(request.job_id), Fact::HoldLifted(lift))?;
    desk.job_view(request.job_id)
}

/// Writes to the shop.
pub fn post_message(desk: &Desk, request: PostMessage) -> Result<JobView, DeskError> {
    let text = words(&request.text)?;
    desk.job(request.job_id)?;
    desk.record(
        Subject::Job(request.job_id),
        Fact::MessagePosted(Message {
            from: MessageFrom::Lab,
            text,
        }),
    )?;
    desk.job_view(request.job_id)
}

/// Writes a note for the lab only.
pub fn record_note(desk: &Desk, request: RecordNote) -> Result<JobView, DeskError> {
    let text = words(&request.text)?;
    desk.job(request.job_id)?;
    desk.record(
        Subject::Job(request.job_id),
        Fact::NoteRecorded(Note { text }),
    )?;
    desk.job_view(request.job_id)
}

/// Most characters of a message or note: about four printed pages.
const WORDS_CHARS_MAX: usize = 10_000;

fn words(text: &str) -> Result<String, DeskError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(DeskError::field("text", "write at least a word"));
    }
    if text.chars().count() > WORDS_CHARS_MAX {
        return Err(DeskError::field(
            "text",
            format!("this is longer than {WORDS_CHARS_MAX} characters; send it in parts"),
        ));
    }
    Ok(text.to_owned())
}
