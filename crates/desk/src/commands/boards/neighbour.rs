//! A neighbour is added from the bench, and with it whatever of its board is not known yet: all in one action or nothing.
//!
//! What is known already is never described anew from here; a bench only adds.

use domain::boards::Board;
use domain::fact::{BoardCode, BoardDescription, BoardPart, Fact, TestCode};
use domain::house::Lab;
use domain::{JobId, Subject};

use super::request::AddNeighbour;
use super::typed::{code_of, designator, tests_of};
use super::{find, near_fact, part_fact};
use crate::commands::Nothing;
use crate::desk::{Desk, NewFact};
use crate::error::DeskError;

/// Adds a neighbour from the bench.
pub fn add_neighbour(desk: &Desk, request: AddNeighbour) -> Result<Nothing, DeskError> {
    let lab = desk.lab()?;
    let heated = designator("part", &request.heated)?;
    let neighbour = designator("neighbour", &request.neighbour)?;
    let serves = tests_of(&lab, &request.serves)?;
    let mut facts: Vec<NewFact> = Vec::new();
    let known = request
        .board
        .as_ref()
        .map(|code| find(&lab, code))
        .transpose()?;
    let code = if let Some(board) = known {
        board.code.clone()
    } else {
        let board = board_for(desk, &lab, request.job_id)?;
        let code = board.code.clone();
        facts.push((
            Subject::Lab(lab.lab_id),
            Fact::BoardDescribed(board),
            Vec::new(),
        ));
        code
    };
    let near = near_fact(
        &lab,
        known,
        &code,
        (&heated, &neighbour),
        true,
        String::new(),
    )?;
    if known.and_then(|board| board.part(&heated)).is_none() {
        let part = BoardPart {
            board: code.clone(),
            designator: heated,
            description: "not described yet".to_owned(),
            side: request.heated_side,
            body: None,
            moisture: None,
            serves: Vec::new(),
            gone: false,
        };
        facts.push(part_fact(&lab, known, part));
    }
    facts.extend(neighbour_part(
        &lab, known, &code, &request, neighbour, serves,
    )?);
    facts.push(near);
    desk.record_all(facts)?;
    Ok(Nothing {})
}

/// The neighbour's own entry: nothing when it is known and no test was added.
fn neighbour_part(
    lab: &Lab,
    board: Option<&Board>,
    code: &BoardCode,
    request: &AddNeighbour,
    designator: String,
    serves: Vec<TestCode>,
) -> Result<Option<NewFact>, DeskError> {
    let known = board.and_then(|board| board.part(&designator));
    let mut part = match known {
        Some(part) => part.clone(),
        None => BoardPart {
            board: code.clone(),
            designator,
            description: crate::commands::setup::named(
                "description",
                "what the neighbour is",
                &request.description,
            )?,
            side: request.side,
            body: None,
            moisture: None,
            serves: Vec::new(),
            gone: false,
        },
    };
    let added: Vec<TestCode> = serves
        .into_iter()
        .filter(|code| !part.serves.contains(code))
        .collect();
    if known.is_some() && added.is_empty() {
        return Ok(None);
    }
    part.serves.extend(added);
    if part.serves.is_empty() {
        return Err(DeskError::field(
            "serves",
            "choose the tests that would show harm to it; what cannot be tested protects nobody",
        ));
    }
    Ok(Some(part_fact(lab, board, part)))
}

/// A board for the device of a job, by its maker and model.
fn board_for(desk: &Desk, lab: &Lab, job_id: JobId) -> Result<BoardDescription, DeskError> {
    let job = desk.job(job_id)?;
    let device = job.device.value().ok_or_else(|| {
        DeskError::refused("nobody has said what this device is; describe it first")
    })?;
    let mut code = code_of(&format!("{}-{}", device.maker, device.model))?;
    // A code stays for good; a second board of one model gets a number.
    let taken = |code: &BoardCode| lab.boards.iter().any(|board| board.code == *code);
    let first = code.0.clone();
    for number in 2..100 {
        if !taken(&code) {
            break;
        }
        code = BoardCode(format!("{first}-{number}"));
    }
    Ok(BoardDescription {
        code,
        name: format!("Main board of {} {}", device.maker, device.model),
        maker: device.maker.clone(),
        models: vec![device.model.clone()],
        note: String::new(),
        retired: false,
    })
}
