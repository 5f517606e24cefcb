//! What the lab knows of its boards, folded: parts, what heat reaches together, and the tests that heat on a part opens.
//!
//! Nothing is guessed: where nothing is recorded near a part, the answer says that nothing is known, which is not the same as
//! that nothing is near.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::fact::{
    BoardCode, BoardDescription, BoardNearness, BoardPart, BoardSide, DeviceDescription, Fact,
    TestCode,
};
use crate::ids::EntryId;
use crate::recorded::Recorded;
use crate::register::Register;

/// One board with all that is known of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Board {
    /// Its code.
    pub code: BoardCode,
    /// Name and models.
    pub description: Register<BoardDescription>,
    /// Its parts, each a register of its own, by designator.
    pub parts: Vec<Register<BoardPart>>,
    /// Which parts heat reaches together, each pair a register of its own.
    pub near: Vec<Register<BoardNearness>>,
    /// The standing entries about it, oldest first: its versions.
    pub entries: Vec<EntryId>,
}

/// A part that heat on another one reaches.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Neighbour {
    /// Its designator.
    pub designator: String,
    /// What it is; empty when it was only named.
    pub description: String,
    /// Where it lies, seen from the heated part; `None` when a side is not known.
    pub way: Option<NearWay>,
    /// The tests that would show harm to it.
    pub serves: Vec<TestCode>,
    /// How it is known; may be empty.
    pub note: String,
}

/// How heat gets from one part to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum NearWay {
    /// On the same side.
    SameSide,
    /// Through the board.
    ThroughBoard,
}

impl NearWay {
    /// Seen from one side to another.
    pub fn between(one: BoardSide, other: BoardSide) -> Self {
        if one == other {
            Self::SameSide
        } else {
            Self::ThroughBoard
        }
    }
}

impl Board {
    /// A part of it, unless it was recorded by mistake.
    pub fn part(&self, designator: &str) -> Option<&BoardPart> {
        self.parts
            .iter()
            .filter_map(Register::value)
            .find(|part| part.designator == designator && !part.gone)
    }

    /// Its parts, by designator.
    pub fn standing_parts(&self) -> Vec<&BoardPart> {
        let standing = self.parts.iter().filter_map(Register::value);
        standing.filter(|part| !part.gone).collect()
    }

    /// The register of a part, standing or gone.
    pub fn part_register(&self, designator: &str) -> Option<&Register<BoardPart>> {
        self.parts.iter().find(|register| {
            register
                .value()
                .is_some_and(|part| part.designator == designator)
        })
    }

    /// The register of a pair, in either order.
    pub fn near_register(&self, one: &str, other: &str) -> Option<&Register<BoardNearness>> {
        let (a, b) = pair(one, other);
        self.near.iter().find(|register| {
            register
                .value()
                .is_some_and(|near| near.a == a && near.b == b)
        })
    }

    /// The parts that heat on this one reaches, on both sides, in the order of their designators.
    pub fn neighbours_of(&self, designator: &str) -> Vec<Neighbour> {
        let own_side = self.part(designator).map(|part| part.side);
        let mut found: Vec<Neighbour> = self
            .near
            .iter()
            .filter_map(Register::value)
            .filter(|near| near.near)
            .filter_map(|near| {
                let other = match (near.a == designator, near.b == designator) {
                    (true, false) => &near.b,
                    (false, true) => &near.a,
                    _ => return None,
                };
                let part = self.part(other);
                Some(Neighbour {
                    designator: other.clone(),
                    description: part.map_or_else(String::new, |part| part.description.clone()),
                    way: own_side
                        .zip(part)
                        .map(|(own, part)| NearWay::between(own, part.side)),
                    serves: part.map_or_else(Vec::new, |part| part.serves.clone()),
                    note: near.note.clone(),
                })
            })
            .collect();
        found.sort_by(|a, b| a.designator.cmp(&b.designator));
        found
    }

    /// The tests that heat on a part opens: those of its neighbours, each once.
    pub fn opened_by(&self, designator: &str) -> Vec<TestCode> {
        let mut tests: Vec<TestCode> = Vec::new();
        for code in self
            .neighbours_of(designator)
            .into_iter()
            .flat_map(|near| near.serves)
        {
            if !tests.contains(&code) {
                tests.push(code);
            }
        }
        tests
    }

    /// True when it is in devices of this maker and model, however they are written.
    pub fn is_in(&self, device: &DeviceDescription) -> bool {
        let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
        self.description.value().is_some_and(|board| {
            !board.retired
                && same(&board.maker, &device.maker)
                && board.models.iter().any(|model| same(model, &device.model))
        })
    }
}

/// A pair of designators as it is kept: the smaller first.
pub fn pair<'a>(one: &'a str, other: &'a str) -> (&'a str, &'a str) {
    if one <= other {
        (one, other)
    } else {
        (other, one)
    }
}

type Edits<'a, T> = Vec<(&'a Recorded, T)>;

/// Folds what is known of boards. `standing` is in the display order, without what was withdrawn.
pub(crate) fn fold_boards(standing: &[&Recorded]) -> Vec<Board> {
    let mut described: BTreeMap<BoardCode, Edits<'_, BoardDescription>> = BTreeMap::new();
    let mut parts: BTreeMap<(BoardCode, String), Edits<'_, BoardPart>> = BTreeMap::new();
    let mut near: BTreeMap<(BoardCode, String, String), Edits<'_, BoardNearness>> = BTreeMap::new();
    let mut entries: BTreeMap<BoardCode, Vec<EntryId>> = BTreeMap::new();
    for recorded in standing {
        let code = match recorded.fact() {
            Some(Fact::BoardDescribed(board)) => {
                let edits = described.entry(board.code.clone()).or_default();
                edits.push((recorded, board.clone()));
                &board.code
            }
            Some(Fact::BoardPartDescribed(part)) => {
                let key = (part.board.clone(), part.designator.clone());
                parts.entry(key).or_default().push((recorded, part.clone()));
                &part.board
            }
            Some(Fact::BoardNearnessSet(pair)) => {
                let key = (pair.board.clone(), pair.a.clone(), pair.b.clone());
                near.entry(key).or_default().push((recorded, pair.clone()));
                &pair.board
            }
            _ => continue,
        };
        entries
            .entry(code.clone())
            .or_default()
            .push(recorded.entry_id);
    }
    entries
        .into_iter()
        .map(|(code, entries)| Board {
            description: Register::fold(described.remove(&code).unwrap_or_default()),
            parts: parts
                .iter()
                .filter(|((board, _), _)| *board == code)
                .map(|(_, edits)| Register::fold(edits.iter().cloned()))
                .collect(),
            near: near
                .iter()
                .filter(|((board, ..), _)| *board == code)
                .map(|(_, edits)| Register::fold(edits.iter().cloned()))
                .collect(),
            entries,
            code,
        })
        .collect()
}

#[cfg(test)]
mod tests;
