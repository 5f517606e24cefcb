//! What the lab knows of boards: parts, what heat reaches together, and the tests that show harm. Kept on the lab, one entry an edit.
//!
//! Nothing is ever removed; a part that was a mistake is struck out by one more entry.

mod neighbour;
mod request;
mod typed;
mod view;

pub use neighbour::add_neighbour;
pub use request::{AddNeighbour, BoardKey, SaveBoard, SaveBoardPart, SetNearness};
pub(crate) use typed::{designator, size};
pub(crate) use view::names;
pub use view::{BoardPartRow, BoardRow, BoardView, BoardsView, TestName};

use domain::Subject;
use domain::boards::{Board, pair};
use domain::fact::{BoardCode, BoardDescription, BoardNearness, BoardPart, Fact};
use domain::house::Lab;

use super::Nothing;
use crate::desk::{Desk, NewFact};
use crate::error::DeskError;
use typed::{body, code_of, tests_of};
use view::{row, view};

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
