//! What the lab knows of boards: parts, what heat reaches together, and the tests that show harm. Kept on the lab, one entry an edit.
//!
//! What is typed is parsed here and nowhere else: sizes in millimetres, designators in capitals, tests by the codes of the
//! catalogue. Nothing is ever removed; a part that was a mistake is struck out by one more entry.

use domain::boards::{Board, Neighbour, pair};
use domain::fact::{
    BoardCode, BoardDescription, BoardNearness, BoardPart, BoardSide, Fact, TestCode,
};
use domain::house::Lab;
use domain::job::TrailLine;
use domain::reading::{format_micro, parse_micro};
use domain::rework::{MoistureLevel, PackageBody};
use domain::{JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Nothing, PersonBrief};
use crate::desk::{Desk, NewFact};
use crate::error::DeskError;

/// Which board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BoardKey {
    /// Its code.
    pub code: BoardCode,
}

/// A board in a row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BoardRow {
    /// Its code.
    pub code: BoardCode,
    /// What it is called.
    pub name: String,
    /// The maker of its devices.
    pub maker: String,
    /// The models it is in.
    pub models: Vec<String>,
    /// Parts that are known.
    pub parts: u32,
    /// Pairs that heat reaches together.
    pub pairs: u32,
    /// Entries about it: its version.
    pub version: u32,
    /// True once it is not offered any more.
    pub retired: bool,
}

/// Every board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BoardsView {
    /// By maker and name.
    pub boards: Vec<BoardRow>,
}

/// A test by its name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TestName {
    /// Its code.
    pub code: TestCode,
    /// What it is called.
    pub title: String,
}

/// A part with all that hangs on it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BoardPartRow {
    /// The part.
    pub part: BoardPart,
    /// Its body in words, such as “7 x 7 x 0.9 mm”; empty when not known.
    pub body: String,
    /// What heat on it reaches.
    pub neighbours: Vec<Neighbour>,
    /// The tests that show harm to it.
    pub serves: Vec<TestName>,
    /// True when two benches described it differently.
    pub disputed: bool,
}

/// One board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BoardView {
    /// The board in a row.
    pub row: BoardRow,
    /// More words; may be empty.
    pub note: String,
    /// Its parts, by designator.
    pub parts: Vec<BoardPartRow>,
    /// The tests of the catalogue.
    pub tests: Vec<TestName>,
    /// What was recorded about it, oldest first.
    pub trail: Vec<TrailLine>,
    /// What its entries are about, for taking one back.
    pub subject: Subject,
    /// The people named in the trail.
    pub people: Vec<PersonBrief>,
}

/// Adds or changes a board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SaveBoard {
    /// Its code.
    pub code: String,
    /// What it is called.
    pub name: String,
    /// The maker of its devices.
    pub maker: String,
    /// The models it is in.
    pub models: Vec<String>,
    /// More words; may be empty.
    pub note: String,
    /// True when it is not to be offered any more.
    pub retired: bool,
}

/// Adds or changes a part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SaveBoardPart {
    /// The board.
    pub board: BoardCode,
    /// Its designator.
    pub designator: String,
    /// What it is.
    pub description: String,
    /// The side it is on.
    pub side: BoardSide,
    /// Length of its body in millimetres, as typed; empty when not known.
    pub length: String,
    /// Width, likewise.
    pub width: String,
    /// Thickness, likewise.
    pub thickness: String,
    /// Its moisture sensitivity, once known.
    pub moisture: Option<MoistureLevel>,
    /// The tests that would show harm to it.
    pub serves: Vec<TestCode>,
    /// True when it is no part of this board after all.
    pub gone: bool,
}

/// Says that heat on one part reaches another, or that it does not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetNearness {
    /// The board.
    pub board: BoardCode,
    /// One designator.
    pub one: String,
    /// The other.
    pub other: String,
    /// False takes it back.
    pub near: bool,
    /// How it is known; may be empty.
    pub note: String,
}

/// Adds a neighbour from the bench, and the board and the parts with it where they are not known yet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AddNeighbour {
    /// The job at whose bench it was seen.
    pub job_id: JobId,
    /// The board; none makes one for the job's device.
    pub board: Option<BoardCode>,
    /// The heated part.
    pub heated: String,
    /// The side it is on, if it is new.
    pub heated_side: BoardSide,
    /// The neighbour.
    pub neighbour: String,
    /// What it is.
    pub description: String,
    /// The side it is on.
    pub side: BoardSide,
    /// The tests that would show harm to it.
    pub serves: Vec<TestCode>,
}

/// Every board.
pub fn boards(desk: &Desk, _: Nothing) -> Result<BoardsView, DeskError> {
    let lab = desk.lab()?;
    let mut boards: Vec<BoardRow> = lab.boards.iter().map(row).collect();
    boards.sort_by(|a, b| (a.retired, &a.maker, &a.name).cmp(&(b.retired, &b.maker, &b.name)));
    Ok(BoardsView { boards })
}

/// One board.
pub fn board(desk: &Desk, request: BoardKey) -> Result<BoardView, DeskError> {
    let lab = desk.lab()?;
    view(desk, &lab, find(&lab, &request.code)?)
}

/// Adds or changes a board.
pub fn save_board(desk: &Desk, request: SaveBoard) -> Result<BoardView, DeskError> {
    let code = code_of(&request.code)?;
    let name = super::setup::named("name", "the board's name", &request.name)?;
    let models = super::setup::lines(&request.models);
    if models.is_empty() {
        return Err(DeskError::field(
            "models",
            "name at least one model that the board is in, as jobs name it",
        ));
    }
    let lab = desk.lab()?;
    let based_on =
        find(&lab, &code).map_or_else(|_| Vec::new(), |board| board.description.based_on());
    let board = BoardDescription {
        code: code.clone(),
        name,
        maker: super::setup::named("maker", "the maker", &request.maker)?,
        models,
        note: request.note.trim().to_owned(),
        retired: request.retired,
    };
    desk.record_all(vec![(
        Subject::Lab(lab.lab_id),
        Fact::BoardDescribed(board),
        based_on,
    )])?;
    self::board(desk, BoardKey { code })
}

/// Adds or changes a part.
pub fn save_board_part(desk: &Desk, request: SaveBoardPart) -> Result<BoardView, DeskError> {
    let lab = desk.lab()?;
    let known = find(&lab, &request.board)?;
    let description = super::setup::named("description", "what the part is", &request.description)?;
    let part = BoardPart {
        board: request.board.clone(),
        designator: designator("designator", &request.designator)?,
        description,
        side: request.side,
        body: body(&request)?,
        moisture: request.moisture,
        serves: tests_of(&lab, &request.serves)?,
        gone: request.gone,
    };
    desk.record_all(vec![part_fact(&lab, Some(known), part)])?;
    board(
        desk,
        BoardKey {
            code: request.board,
        },
    )
}

/// Says that heat on one part reaches another, or that it does not.
pub fn set_nearness(desk: &Desk, request: SetNearness) -> Result<BoardView, DeskError> {
    let lab = desk.lab()?;
    let known = find(&lab, &request.board)?;
    let one = designator("one", &request.one)?;
    let other = designator("other", &request.other)?;
    for (field, part) in [("one", &one), ("other", &other)] {
        if request.near && known.part(part).is_none() {
            return Err(DeskError::field(
                field,
                format!("{part} is not described on this board yet; add the part first"),
            ));
        }
    }
    let note = request.note.trim().to_owned();
    let fact = near_fact(
        &lab,
        Some(known),
        &request.board,
        (&one, &other),
        request.near,
        note,
    )?;
    desk.record_all(vec![fact])?;
    board(
        desk,
        BoardKey {
            code: request.board,
        },
    )
}

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
            description: super::setup::named(
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

fn part_fact(lab: &Lab, board: Option<&Board>, part: BoardPart) -> NewFact {
    let based_on = board
        .and_then(|board| board.part_register(&part.designator))
        .map_or_else(Vec::new, domain::Register::based_on);
    (
        Subject::Lab(lab.lab_id),
        Fact::BoardPartDescribed(part),
        based_on,
    )
}

fn near_fact(
    lab: &Lab,
    board: Option<&Board>,
    code: &BoardCode,
    (one, other): (&str, &str),
    near: bool,
    note: String,
) -> Result<NewFact, DeskError> {
    if one == other {
        return Err(DeskError::field(
            "other",
            format!("{one} can't be near itself; name the part that heat on it reaches"),
        ));
    }
    let based_on = board
        .and_then(|board| board.near_register(one, other))
        .map_or_else(Vec::new, domain::Register::based_on);
    let (a, b) = pair(one, other);
    let nearness = BoardNearness {
        board: code.clone(),
        a: a.to_owned(),
        b: b.to_owned(),
        near,
        note,
    };
    Ok((
        Subject::Lab(lab.lab_id),
        Fact::BoardNearnessSet(nearness),
        based_on,
    ))
}

pub(crate) fn find<'a>(lab: &'a Lab, code: &BoardCode) -> Result<&'a Board, DeskError> {
    lab.boards
        .iter()
        .find(|board| board.code == *code)
        .ok_or(DeskError::NotFound { what: "board" })
}

/// A board's code: capitals, digits and hyphens.
fn code_of(text: &str) -> Result<BoardCode, DeskError> {
    let joined: String = text
        .trim()
        .to_uppercase()
        .chars()
        .map(|c| if c.is_whitespace() { '-' } else { c })
        .collect();
    if joined.is_empty() {
        return Err(DeskError::field(
            "code",
            "give the board a code, best the number printed on it",
        ));
    }
    Ok(BoardCode(joined))
}

/// A designator: letters and digits, such as U2400.
pub(crate) fn designator(field: &'static str, text: &str) -> Result<String, DeskError> {
    let designator = text.trim().to_uppercase();
    let is_one = designator.chars().any(char::is_alphanumeric)
        && !designator.chars().any(char::is_whitespace)
        && designator.chars().count() <= 16;
    if is_one {
        Ok(designator)
    } else {
        Err(DeskError::field(
            field,
            format!(
                "“{}” is no designator; write one part as on the board, such as U2400",
                text.trim()
            ),
        ))
    }
}

fn tests_of(lab: &Lab, codes: &[TestCode]) -> Result<Vec<TestCode>, DeskError> {
    let catalogue = lab.catalogue();
    let unknown = codes
        .iter()
        .find(|code| !catalogue.iter().any(|test| test.code == **code));
    match unknown {
        Some(code) => Err(DeskError::field(
            "serves",
            format!(
                "“{}” is no test of the catalogue; choose one of its tests, or add this one under Setup, Tests",
                code.0
            ),
        )),
        None => Ok(codes.to_vec()),
    }
}

/// No package on such a board is longer; a larger number is a slip of the unit. Common practice, no source.
const SIDE_MAX_UM: i64 = 60_000;
/// Likewise for its thickness.
const THICKNESS_MAX_UM: i64 = 15_000;
/// The smallest chip parts are 0.1 mm thin (EIA 01005: 0.4 x 0.2 mm; thickness from memory).
const SIDE_MIN_UM: i64 = 100;

fn body(request: &SaveBoardPart) -> Result<Option<PackageBody>, DeskError> {
    let typed = [&request.length, &request.width, &request.thickness];
    if typed.iter().all(|text| text.trim().is_empty()) {
        return Ok(None);
    }
    Ok(Some(PackageBody {
        length_um: size("length", &request.length, SIDE_MAX_UM)?,
        width_um: size("width", &request.width, SIDE_MAX_UM)?,
        thickness_um: size("thickness", &request.thickness, THICKNESS_MAX_UM)?,
    }))
}

/// A size in millimetres, as typed, in micrometres.
pub(crate) fn size(field: &'static str, text: &str, most_um: i64) -> Result<u32, DeskError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(DeskError::field(
            field,
            "give length, width and thickness, or none of them; two of three say nothing of its volume",
        ));
    }
    let number = text.strip_suffix("mm").unwrap_or(text).trim();
    if number.ends_with(|c: char| c.is_alphabetic() || c == '"' || c == '″') {
        return Err(DeskError::field(
            field,
            format!("“{text}” is not in millimetres; write the size in mm, such as 0.9"),
        ));
    }
    let micro = parse_micro(number).map_err(|why| DeskError::field(field, why))?;
    let um = micro / 1000;
    if !(SIDE_MIN_UM..=most_um).contains(&um) {
        return Err(DeskError::field(
            field,
            format!(
                "{text} mm is no size of a part on such a board: it has 0.1 to {} mm; look at the unit",
                most_um / 1000
            ),
        ));
    }
    u32::try_from(um).map_err(|why| DeskError::field(field, why))
}

fn row(board: &Board) -> BoardRow {
    let description = board.description.value();
    let count = |length: usize| u32::try_from(length).unwrap_or(u32::MAX);
    let pairs = board
        .near
        .iter()
        .filter(|near| near.value().is_some_and(|near| near.near));
    BoardRow {
        code: board.code.clone(),
        name: description.map_or_else(|| board.code.0.clone(), |board| board.name.clone()),
        maker: description.map_or_else(String::new, |board| board.maker.clone()),
        models: description.map_or_else(Vec::new, |board| board.models.clone()),
        parts: count(board.standing_parts().len()),
        pairs: count(pairs.count()),
        version: count(board.entries.len()),
        retired: description.is_some_and(|board| board.retired),
    }
}

/// The tests that codes name, by their titles; a test that is gone from the catalogue keeps its code.
pub(crate) fn names(lab: &Lab, codes: &[TestCode]) -> Vec<TestName> {
    let catalogue = lab.catalogue();
    codes
        .iter()
        .map(|code| TestName {
            code: code.clone(),
            title: catalogue
                .iter()
                .find(|test| test.code == *code)
                .map_or_else(|| code.0.clone(), |test| test.title.clone()),
        })
        .collect()
}

/// A body in words.
fn body_words(body: PackageBody) -> String {
    let mm = |um: u32| format_micro(i64::from(um) * 1000);
    format!(
        "{} x {} x {} mm",
        mm(body.length_um),
        mm(body.width_um),
        mm(body.thickness_um)
    )
}

fn view(desk: &Desk, lab: &Lab, board: &Board) -> Result<BoardView, DeskError> {
    let subject = Subject::Lab(lab.lab_id);
    let trail: Vec<TrailLine> = domain::job::trail(&desk.entries(subject)?)
        .into_iter()
        .filter(|line| board.entries.contains(&line.mark.entry_id))
        .collect();
    let parts = board.standing_parts().into_iter().map(|part| BoardPartRow {
        body: part.body.map_or_else(String::new, body_words),
        neighbours: board.neighbours_of(&part.designator),
        serves: names(lab, &part.serves),
        disputed: board
            .part_register(&part.designator)
            .is_some_and(domain::Register::is_disputed),
        part: part.clone(),
    });
    Ok(BoardView {
        row: row(board),
        note: board
            .description
            .value()
            .map_or_else(String::new, |board| board.note.clone()),
        parts: parts.collect(),
        tests: lab
            .catalogue()
            .into_iter()
            .filter(|test| !test.retired)
            .map(|test| TestName {
                code: test.code.clone(),
                title: test.title.clone(),
            })
            .collect(),
        people: desk.people_named(trail.iter().map(|line| line.mark.actor_id))?,
        trail,
        subject,
    })
}
