//! What a screen is shown of boards. Nothing here changes anything or reads what was typed.

use domain::Subject;
use domain::boards::{Board, Neighbour};
use domain::fact::{BoardCode, BoardPart, TestCode};
use domain::house::Lab;
use domain::job::TrailLine;
use domain::reading::format_micro;
use domain::rework::PackageBody;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::commands::PersonBrief;
use crate::desk::Desk;
use crate::error::DeskError;

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

pub(super) fn view(desk: &Desk, lab: &Lab, board: &Board) -> Result<BoardView, DeskError> {
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

pub(super) fn row(board: &Board) -> BoardRow {
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
        "{} × {} × {} mm",
        mm(body.length_um),
        mm(body.width_um),
        mm(body.thickness_um)
    )
}
