//! Work: steps with parts and heat, holds, and the words between lab and shop.

use domain::fact::{
    Fact, FittedPart, Hold, HoldKind, HoldLift, Message, MessageFrom, Note, ProcedureDone, Role,
    Step,
};
use domain::house::Lab;
use domain::job::{Job, Station};
use domain::{ContentHash, EntryId, JobId, PersonId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::heat;
use super::jumper;
use super::{JobView, enter};
use crate::desk::Desk;
use crate::error::DeskError;

pub use super::heat::HeatInput;
pub use super::jumper::JumperInput;

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
    /// Its place in a procedure that the job is worked by.
    #[serde(default)]
    pub in_procedure: Option<StepOfProcedure>,
    /// The jumper it laid or read again.
    #[serde(default)]
    pub jumper: Option<JumperInput>,
}

impl RecordStep {
    /// A step of which nothing is said yet.
    pub const fn on(job_id: JobId) -> Self {
        Self {
            job_id,
            text: String::new(),
            procedure: String::new(),
            tool: String::new(),
            parts: Vec::new(),
            heat: None,
            witness_id: None,
            photos: Vec::new(),
            in_procedure: None,
            jumper: None,
        }
    }
}

/// Which step of a begun procedure a step is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct StepOfProcedure {
    /// The entry by which the job began the procedure.
    pub begun_id: EntryId,
    /// Its place, from 0.
    pub index: u32,
    /// For a hold point: whether the work may go on.
    pub passed: bool,
    /// For a hold point: what was found.
    pub result: String,
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
    refuse_when_closed(&job)?;
    enter(&job, Station::Work)?;
    let text = request.text.trim().to_owned();
    if text.is_empty() {
        return Err(DeskError::field("text", "say what was done"));
    }
    if let Some(witness_id) = request.witness_id {
        check_witness(desk, witness_id)?;
    }
    let lab = desk.lab()?;
    let in_procedure = request
        .in_procedure
        .map(|place| place_in(&job, place, request.witness_id))
        .transpose()?;
    if let (Some(witness_id), Some(place)) = (request.witness_id, &in_procedure)
        && place.needs_witness
        && place.done.passed
    {
        check_second_pair(desk, witness_id)?;
    }
    let parts = parts(&lab, request.parts)?;
    let step = Step {
        text,
        procedure: in_procedure.as_ref().map_or_else(
            || request.procedure.trim().to_owned(),
            |place| place.code.clone(),
        ),
        tool: request.tool.trim().to_owned(),
        lots: heat::lots_of(desk, &lab, &parts)
            .into_iter()
            .map(|chosen| chosen.used)
            .collect(),
        parts,
        heat: request
            .heat
            .map(|heat| heat::heat_to_record(&lab, &job, &heat))
            .transpose()?,
        witness_id: request.witness_id,
        photos: request.photos,
        hold_point: in_procedure
            .as_ref()
            .is_some_and(|place| place.needs_witness && place.done.passed),
        in_procedure: in_procedure.map(|place| place.done),
        jumper: request
            .jumper
            .map(|jumper| jumper::parse_jumper(&jumper))
            .transpose()?,
    };
    desk.record(Subject::Job(request.job_id), Fact::StepRecorded(step))?;
    desk.job_view(request.job_id)
}

/// Nothing more is done to a job that is closed.
pub(crate) fn refuse_when_closed(job: &Job) -> Result<(), DeskError> {
    job.outcome.value().map_or(Ok(()), |outcome| {
        Err(DeskError::refused(format!(
            "the job is closed as {}; take the outcome back before recording more work",
            outcome.outcome.words()
        )))
    })
}

fn check_witness(desk: &Desk, witness_id: PersonId) -> Result<(), DeskError> {
    if desk.person_id()? == witness_id {
        return Err(DeskError::field(
            "witness_id",
            "nobody witnesses their own step; choose the second person",
        ));
    }
    let is_here = desk
        .people()?
        .iter()
        .any(|person| person.person_id == witness_id && !person.left && !person.of_a_shop);
    if is_here {
        Ok(())
    } else {
        Err(DeskError::field(
            "witness_id",
            "this person does not work here; choose one of the lab's people",
        ))
    }
}

/// A hold point is witnessed by a person whom the lab has named for it; any colleague may have seen another step.
fn check_second_pair(desk: &Desk, witness_id: PersonId) -> Result<(), DeskError> {
    let people = desk.people()?;
    let witness = people.iter().find(|person| person.person_id == witness_id);
    match witness {
        Some(person) if person.roles.contains(&Role::SecondPair) => Ok(()),
        Some(person) => Err(DeskError::field(
            "witness_id",
            format!(
                "{} is no second pair of eyes, who witnesses hold points; choose one who is, or give the role under Setup, People",
                person.name
            ),
        )),
        None => Err(DeskError::NotFound { what: "person" }),
    }
}

struct Place {
    code: String,
    needs_witness: bool,
    done: ProcedureDone,
}

/// A step's place in its procedure; a hold point before it must be passed.
fn place_in(
    job: &Job,
    place: StepOfProcedure,
    witness_id: Option<PersonId>,
) -> Result<Place, DeskError> {
    let procedure = job
        .procedures
        .iter()
        .find(|procedure| procedure.mark.entry_id == place.begun_id)
        .ok_or(DeskError::NotFound {
            what: "procedure on this job",
        })?;
    let step = usize::try_from(place.index)
        .ok()
        .and_then(|index| procedure.places.get(index))
        .map(|place| &place.step)
        .ok_or(DeskError::NotFound {
            what: "step in this procedure",
        })?;
    if let Some(held) = procedure.held_before(place.index) {
        return Err(DeskError::refused(format!(
            "“{}” is a hold point and is not passed; record its result first",
            held.step.text
        )));
    }
    let result = place.result.trim().to_owned();
    if step.hold_point && result.is_empty() {
        return Err(DeskError::field(
            "result",
            "this is a hold point; write what was found before the work goes on",
        ));
    }
    if step.needs_witness && place.passed && witness_id.is_none() {
        return Err(DeskError::field(
            "witness_id",
            "a second person must have seen this result; choose who",
        ));
    }
    Ok(Place {
        code: procedure.begun.procedure.code.0.clone(),
        needs_witness: step.needs_witness,
        done: ProcedureDone {
            begun_id: place.begun_id,
            index: place.index,
            passed: place.passed || !step.hold_point,
            result,
        },
    })
}

fn lot_as_kept(lab: &Lab, typed: &str) -> String {
    lab.lots
        .iter()
        .find(|lot| lot.lot.0.eq_ignore_ascii_case(typed))
        .map_or_else(|| typed.to_owned(), |lot| lot.lot.0.clone())
}

/// The parts as typed; a lot that the lab keeps is written as the lab writes it, another number stays as it is.
fn parts(lab: &Lab, parts: Vec<FittedPart>) -> Result<Vec<FittedPart>, DeskError> {
    let mut kept = Vec::new();
    for part in parts {
        let part = FittedPart {
            designator: part.designator.trim().to_uppercase(),
            description: part.description.trim().to_owned(),
            source: part.source,
            lot: lot_as_kept(lab, part.lot.trim()),
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
