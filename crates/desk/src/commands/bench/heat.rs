//! Heat on a board: what is typed, what the board's knowledge offers, what speaks against it, before anything is recorded.

use domain::boards::{Board, Neighbour};
use domain::fact::{BoardCode, BoardSide, FittedPart, HeatExposure, LotUsed, TestCode};
use domain::house::Lab;
use domain::job::{Job, judge_step};
use domain::rework::{ALLOYS, HeatWarning, JumperVerdict, MeasuredAt, alloy_named};
use domain::{EntryId, JobId};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::jumper::{JumperInput, parse_jumper};
use super::{JobKey, proof};
use crate::commands::boards::{self, TestName, names};
use crate::commands::lots;
use crate::desk::Desk;
use crate::error::DeskError;

/// Heat as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, TS)]
pub struct HeatInput {
    /// The highest temperature in degrees Celsius.
    pub temperature_c: String,
    /// Seconds at that temperature.
    pub seconds: String,
    /// The heated side.
    pub side: BoardSide,
    /// Parts near enough to be harmed, on both sides.
    pub neighbours: Vec<String>,
    /// The tests that would show harm to them.
    pub neighbour_tests: Vec<TestCode>,
    /// The heated part; may be empty.
    #[serde(default)]
    pub part: String,
    /// The board whose knowledge was offered.
    #[serde(default)]
    pub board: Option<BoardCode>,
    /// Where the temperature was measured.
    #[serde(default)]
    pub measured_at: MeasuredAt,
    /// Seconds above the alloy's liquidus; may be empty.
    #[serde(default)]
    pub above_liquidus_s: String,
    /// The alloy's name; may be empty.
    #[serde(default)]
    pub alloy: String,
    /// Whether the cell is off; none when it is not said.
    #[serde(default)]
    pub cell_off: Option<bool>,
    /// Why something that the board's knowledge offers is left out.
    #[serde(default)]
    pub changed_because: String,
}

/// A board that a step can be about, with its parts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BoardChoice {
    /// Its code.
    pub code: BoardCode,
    /// What it is called.
    pub name: String,
    /// Its parts.
    pub parts: Vec<PartChoice>,
}

/// A part that can be heated.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PartChoice {
    /// Its designator.
    pub designator: String,
    /// What it is.
    pub description: String,
    /// The side it is on.
    pub side: BoardSide,
}

/// A procedure by its name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ProcedureName {
    /// Its code.
    pub code: String,
    /// What it is called.
    pub name: String,
    /// Its steps.
    pub steps: u32,
}

/// What a bench has at hand for a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct WorkAids {
    /// Boards of the job's device.
    pub boards: Vec<BoardChoice>,
    /// The lab's procedures.
    pub procedures: Vec<ProcedureName>,
    /// Alloys by name.
    pub alloys: Vec<String>,
    /// Lots that are not used up.
    pub lots: Vec<lots::LotRow>,
    /// True when the record shows that no cell is in the device.
    pub without_cell: bool,
}

/// A step that is being typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PreviewStep {
    /// The job.
    pub job_id: JobId,
    /// Its heat, if any.
    pub heat: Option<HeatInput>,
    /// Its parts.
    pub parts: Vec<FittedPart>,
    /// Its jumper, if any.
    pub jumper: Option<JumperInput>,
}

/// A lot as it stands when a part of it is chosen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LotChosen {
    /// What would be recorded.
    pub used: LotUsed,
    /// What a bake would take; empty when none is needed.
    pub bake_words: String,
}

/// What would be recorded, and what speaks against it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct StepPreview {
    /// The board whose knowledge is offered.
    pub board: Option<BoardCode>,
    /// What is known, or that nothing is, in a sentence; empty without a heated part.
    pub knowledge: String,
    /// The known neighbours.
    pub neighbours: Vec<Neighbour>,
    /// The tests that they open.
    pub tests: Vec<TestName>,
    /// Which heating of this part it would be.
    pub pass: Option<u32>,
    /// What to think about, gravest first.
    pub warnings: Vec<HeatWarning>,
    /// How the jumper's reading compares.
    pub jumper: Option<JumperVerdict>,
    /// The moisture-sensitive lots.
    pub lots: Vec<LotChosen>,
}

/// What a bench has at hand for a job.
pub fn work_aids(desk: &Desk, request: JobKey) -> Result<WorkAids, DeskError> {
    let job = desk.job(request.job_id)?;
    let lab = desk.lab()?;
    let choices = boards_of(&lab, &job).into_iter().map(|board| BoardChoice {
        code: board.code.clone(),
        name: board
            .description
            .value()
            .map_or_else(String::new, |board| board.name.clone()),
        parts: board
            .standing_parts()
            .into_iter()
            .map(|part| PartChoice {
                designator: part.designator.clone(),
                description: part.description.clone(),
                side: part.side,
            })
            .collect(),
    });
    let procedures = lab.procedures.iter().filter_map(domain::Register::value);
    Ok(WorkAids {
        boards: choices.collect(),
        procedures: procedures
            .filter(|procedure| !procedure.retired)
            .map(|procedure| ProcedureName {
                code: procedure.code.0.clone(),
                name: procedure.name.clone(),
                steps: u32::try_from(procedure.steps.len()).unwrap_or(u32::MAX),
            })
            .collect(),
        alloys: ALLOYS.iter().map(|alloy| alloy.name.to_owned()).collect(),
        lots: lots::lots(desk, crate::commands::Nothing {})?
            .lots
            .into_iter()
            .filter(|lot| !lot.receipt.used_up)
            .collect(),
        without_cell: job.is_without_cell(),
    })
}

/// Shows what a step would open and what speaks against it. What can't be read yet is left out.
pub fn preview_step(desk: &Desk, request: PreviewStep) -> Result<StepPreview, DeskError> {
    let job = desk.job(request.job_id)?;
    let lab = desk.lab()?;
    let lots = lots_of(desk, &lab, &request.parts);
    let mut step = domain::fact::Step {
        lots: lots.iter().map(|chosen| chosen.used.clone()).collect(),
        jumper: request
            .jumper
            .as_ref()
            .and_then(|jumper| parse_jumper(jumper).ok()),
        ..domain::fact::Step::default()
    };
    let mut offered = Offered::none();
    if let Some(heat) = &request.heat {
        offered = Offered::of(&lab, &job, heat);
        step.heat = Some(heat_so_far(&lab, &job, heat));
    }
    let judged = judge_step(&job.steps, EntryId::new(desk.new_id()), &step);
    Ok(StepPreview {
        tests: names(&lab, &offered.tests),
        board: offered.board,
        knowledge: offered.words,
        neighbours: offered.neighbours,
        pass: judged.pass,
        warnings: judged.warnings,
        jumper: judged.jumper,
        lots,
    })
}

/// The heat that half a form tells: what is refused in one field takes nothing from what the others warn of. The cell comes first,
/// before any number is typed.
fn heat_so_far(lab: &Lab, job: &Job, input: &HeatInput) -> HeatExposure {
    let mut readable = input.clone();
    // Each refused field is emptied once, so the form is read at most once for each of them.
    for _ in 0..REFUSABLE_FIELDS {
        match parse_heat(lab, job, &readable) {
            Ok(heat) => return heat,
            Err(DeskError::Field { field, .. }) => match field.as_ref() {
                "alloy" => readable.alloy.clear(),
                "above_liquidus_s" => readable.above_liquidus_s.clear(),
                "neighbours" => readable.neighbours.clear(),
                "part" => readable.part.clear(),
                // The shortest time there is: no warning comes from it.
                "seconds" => "1".clone_into(&mut readable.seconds),
                // Without a peak there is nothing to judge.
                _ => break,
            },
            Err(_) => break,
        }
    }
    HeatExposure {
        cell_off: input
            .cell_off
            .or_else(|| job.is_without_cell().then_some(true)),
        ..HeatExposure::default()
    }
}

/// The fields of a heating form that can be left out of what it warns of.
const REFUSABLE_FIELDS: usize = 6;

fn boards_of<'a>(lab: &'a Lab, job: &Job) -> Vec<&'a Board> {
    let Some(device) = job.device.value() else {
        return Vec::new();
    };
    lab.boards
        .iter()
        .filter(|board| board.is_in(device))
        .collect()
}

/// What the board's knowledge offers for a heated part.
struct Offered {
    board: Option<BoardCode>,
    words: String,
    neighbours: Vec<Neighbour>,
    tests: Vec<TestCode>,
}

impl Offered {
    fn none() -> Self {
        Self {
            board: None,
            words: String::new(),
            neighbours: Vec::new(),
            tests: Vec::new(),
        }
    }

    fn of(lab: &Lab, job: &Job, heat: &HeatInput) -> Self {
        let part = heat.part.trim().to_uppercase();
        let boards = boards_of(lab, job);
        let board = heat
            .board
            .as_ref()
            .and_then(|code| boards.iter().find(|board| board.code == *code))
            .or_else(|| boards.first());
        let mut offered = Self::none();
        let Some(board) = board else {
            if !part.is_empty() {
                offered.words = format!(
                    "No board of this device is known, so nothing is known of what is near {part}: name its neighbours."
                );
            }
            return offered;
        };
        offered.board = Some(board.code.clone());
        if part.is_empty() {
            return offered;
        }
        offered.neighbours = board.neighbours_of(&part);
        offered.tests = board.opened_by(&part);
        offered.words = if offered.neighbours.is_empty() {
            format!("Nothing is known of what is near {part}: name its neighbours.")
        } else {
            let unserved: Vec<&str> = offered
                .neighbours
                .iter()
                .filter(|near| near.serves.is_empty())
                .map(|near| near.designator.as_str())
                .collect();
            if unserved.is_empty() {
                String::new()
            } else {
                format!(
                    "Nothing is known of which tests show harm to {}: choose them.",
                    unserved.join(", ")
                )
            }
        };
        offered
    }
}

/// Hot-air and iron tools end well below this; above it a typed number is a slip. Common practice, no source.
const TEMPERATURE_MAX_C: u16 = 600;
/// A soldering joint under heat for ten minutes is no step but an oven run, which is recorded in several. Common practice, no source.
const SECONDS_MAX: u16 = 600;

fn number(field: &'static str, text: &str, most: u16, what: &str) -> Result<u16, DeskError> {
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
}

/// Heat as typed, with the board's knowledge of the heated part.
fn parse_heat(lab: &Lab, job: &Job, input: &HeatInput) -> Result<HeatExposure, DeskError> {
    let mut neighbour_tests = Vec::new();
    for code in &input.neighbour_tests {
        neighbour_tests.push(proof::choose(lab, code, false)?);
    }
    let neighbours: Vec<String> = input
        .neighbours
        .iter()
        .map(|part| part.trim().to_uppercase())
        .filter(|part| !part.is_empty())
        .collect();
    let part = match input.part.trim() {
        "" => String::new(),
        text => boards::designator("part", text)?,
    };
    if !part.is_empty() && neighbours.contains(&part) {
        return Err(DeskError::field(
            "neighbours",
            format!("{part} is the heated part itself; name the parts that its heat reaches"),
        ));
    }
    let alloy = match input.alloy.trim() {
        "" => String::new(),
        text => alloy_named(text)
            .map(|alloy| alloy.name.to_owned())
            .ok_or_else(|| {
                DeskError::field(
                    "alloy",
                    format!("“{text}” is no alloy known here; write it like SAC305 or Bi58Sn42, or leave it empty"),
                )
            })?,
    };
    let offered = Offered::of(lab, job, input);
    let body = offered
        .board
        .as_ref()
        .and_then(|code| boards::find(lab, code).ok())
        .and_then(|board| board.part(&part))
        .and_then(|part| part.body);
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
        part,
        board: offered.board,
        measured_at: input.measured_at,
        above_liquidus_s: match input.above_liquidus_s.trim() {
            "" => None,
            text => Some(number(
                "above_liquidus_s",
                text,
                SECONDS_MAX,
                "time in seconds",
            )?),
        },
        alloy,
        body,
        cell_off: input
            .cell_off
            .or_else(|| job.is_without_cell().then_some(true)),
        changed_because: input.changed_because.trim().to_owned(),
    })
}

/// Heat to be recorded: what the board's knowledge offers may be left out for a reason only.
pub(super) fn heat_to_record(
    lab: &Lab,
    job: &Job,
    input: &HeatInput,
) -> Result<HeatExposure, DeskError> {
    let mut heat = parse_heat(lab, job, input)?;
    if !heat.neighbours.is_empty() && heat.neighbour_tests.is_empty() {
        return Err(DeskError::field(
            "neighbour_tests",
            "choose the tests that would show harm to the heated neighbours",
        ));
    }
    let offered = Offered::of(lab, job, input);
    let parts_left_out = offered
        .neighbours
        .iter()
        .map(|near| near.designator.clone())
        .filter(|part| !heat.neighbours.contains(part));
    let tests_left_out = names(lab, &offered.tests)
        .into_iter()
        .filter(|test| !heat.neighbour_tests.iter().any(|own| own.code == test.code))
        .map(|test| format!("“{}”", test.title));
    let left_out: Vec<String> = parts_left_out.chain(tests_left_out).collect();
    if left_out.is_empty() {
        heat.changed_because.clear();
    } else if heat.changed_because.is_empty() {
        return Err(DeskError::field(
            "changed_because",
            format!(
                "the board's knowledge names {} too; take that in, or say why it is left out",
                left_out.join(", ")
            ),
        ));
    }
    Ok(heat)
}

/// The moisture-sensitive lots that parts are taken from, as they stand now.
pub(super) fn lots_of(desk: &Desk, lab: &Lab, parts: &[FittedPart]) -> Vec<LotChosen> {
    let now_ms = lots::now(desk);
    parts
        .iter()
        .filter_map(|part| {
            let number = part.lot.trim().to_uppercase();
            let lot = lab.lots.iter().find(|lot| lot.lot.0 == number)?;
            Some(LotChosen {
                used: LotUsed {
                    designator: part.designator.trim().to_uppercase(),
                    lot: lot.lot.clone(),
                    floor_life: lot.floor_life(now_ms)?,
                },
                bake_words: lots::bake_words(lot, now_ms),
            })
        })
        .collect()
}
