//! The lab's own procedures: their steps, their hold points, their versions.

use domain::fact::{Fact, Procedure, ProcedureBegun, ProcedureCode, ProcedureStep};
use domain::job::Station;
use domain::{JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::Nothing;
use super::bench::{JobView, enter};
use crate::desk::Desk;
use crate::error::DeskError;

/// Every procedure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ProceduresView {
    /// Those in use first, by code.
    pub procedures: Vec<Procedure>,
}

/// Adds or changes a procedure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SaveProcedure {
    /// Its code.
    pub code: String,
    /// What it is called.
    pub name: String,
    /// Its steps, in order.
    pub steps: Vec<ProcedureStep>,
    /// True when the lab works by it no more.
    pub retired: bool,
}

/// Works a job by a procedure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BeginProcedure {
    /// The job.
    pub job_id: JobId,
    /// The procedure.
    pub code: ProcedureCode,
}

/// Every procedure.
pub fn procedures(desk: &Desk, _: Nothing) -> Result<ProceduresView, DeskError> {
    let lab = desk.lab()?;
    let standing = lab.procedures.iter().filter_map(domain::Register::value);
    let mut procedures: Vec<Procedure> = standing.cloned().collect();
    procedures.sort_by_key(|procedure| (procedure.retired, procedure.code.clone()));
    Ok(ProceduresView { procedures })
}

/// Adds or changes a procedure. Jobs keep the version they are worked by.
pub fn save_procedure(desk: &Desk, request: SaveProcedure) -> Result<ProceduresView, DeskError> {
    let code = request.code.trim().to_uppercase();
    if code.is_empty() || code.chars().any(char::is_whitespace) {
        return Err(DeskError::field(
            "code",
            "write the code without blanks, such as HP-03",
        ));
    }
    let name = super::setup::named("name", "the procedure's name", &request.name)?;
    let mut steps = Vec::new();
    for step in request.steps {
        let text = step.text.trim().to_owned();
        match (text.is_empty(), step.hold_point) {
            // A line that was left empty is no step.
            (true, false) => {}
            (true, true) => {
                return Err(DeskError::field(
                    "steps",
                    format!(
                        "hold point {} is empty; write what must be found there",
                        steps.len() + 1
                    ),
                ));
            }
            (false, _) => steps.push(ProcedureStep {
                text,
                hold_point: step.hold_point,
                needs_witness: step.hold_point && step.needs_witness,
            }),
        }
    }
    if steps.is_empty() {
        return Err(DeskError::field(
            "steps",
            "a procedure has at least one step; write what is done first",
        ));
    }
    let lab = desk.lab()?;
    let code = ProcedureCode(code);
    let register = lab.procedures.iter().find(|register| {
        register
            .value()
            .is_some_and(|procedure| procedure.code == code)
    });
    let procedure = Procedure {
        code,
        version: register
            .and_then(|register| register.heads.iter().map(|head| head.value.version).max())
            .map_or(1, |version| version + 1),
        name,
        steps,
        retired: request.retired,
    };
    desk.record_all(vec![(
        Subject::Lab(lab.lab_id),
        Fact::ProcedureDefined(procedure),
        register.map_or_else(Vec::new, domain::Register::based_on),
    )])?;
    procedures(desk, Nothing {})
}

/// Works a job by a procedure, in the version that stands now.
pub fn begin_procedure(desk: &Desk, request: BeginProcedure) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    super::bench::work::refuse_when_closed(&job)?;
    enter(&job, Station::Work)?;
    let under_way = job.procedures.iter().any(|procedure| {
        procedure.begun.procedure.code == request.code && procedure.next.is_some()
    });
    if under_way {
        return Err(DeskError::refused(format!(
            "the job is worked by {} already; finish it, or take its beginning back",
            request.code.0
        )));
    }
    let lab = desk.lab()?;
    let found = lab.procedures.iter().find_map(|register| {
        let procedure = register.value()?;
        let in_use = procedure.code == request.code && !procedure.retired;
        in_use.then_some((procedure, register.mark()?.entry_id))
    });
    let (procedure, definition_id) = found.ok_or(DeskError::NotFound { what: "procedure" })?;
    desk.record(
        Subject::Job(request.job_id),
        Fact::ProcedureBegun(ProcedureBegun {
            procedure: procedure.clone(),
            definition_id,
        }),
    )?;
    desk.job_view(request.job_id)
}
