//! What the Cell bay knows of one cell: in its device, or taken out of it.
//!
//! [`CellState`] is the same for both. It holds the looks, what stands against the cell, where it lies, when to look again and how
//! it left. A removed cell folds from its own entries alone: what was seen of it before stands in its first one. The bay never
//! decides that a cell is sound; only a person with battery knowledge does, and only for what they had before them.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::book::{BenchRules, UsedRule};
pub use super::history::{
    Diagnosis, Judging, Look, LookKind, Placed, Standing, judge_history, known_of,
};
use super::schedule::{NextReading, next_reading_due};
use super::{BenchLevel, CellCheck, Judgement};
use crate::fact::{
    CellHandOver, CellHold, CellOrigin, CellPlacement, CellReturn, CellVerdict, Fact, PhotoAdded,
};
use crate::ids::{CellId, EntryId};
use crate::job::Marked;
use crate::job::fold::standing_entries;
use crate::recorded::{Decoded, Mark, Recorded};
use crate::reference::CellRef;

/// How a cell left isolation for good.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum CellLeft {
    /// To a recycler.
    HandedOver {
        /// The record that left with it.
        record: Marked<CellHandOver>,
    },
    /// Back under the special provisions for damaged cells.
    Returned {
        /// The record.
        record: Marked<CellReturn>,
    },
}

/// What is known of one cell.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct CellState {
    /// Every look at it, oldest first.
    pub looks: Vec<Look>,
    /// What people with battery knowledge judged, oldest first.
    pub judged: Vec<Judging>,
    /// The level it stands at; `None` when nobody has looked and it was never put in isolation.
    pub level: Option<BenchLevel>,
    /// What the bench must do.
    pub judgement: Option<Judgement>,
    /// Why, each reason with the time since which it stands, the worst first.
    pub standing: Vec<Standing>,
    /// What it is, for whatever leaves the house.
    pub diagnosis: Diagnosis,
    /// Where it lies, while it is in isolation.
    pub placed: Option<Marked<CellPlacement>>,
    /// When its isolation began, in milliseconds since 1970, while it lasts.
    pub isolated_since_ms: Option<u64>,
    /// The next reading, if one is asked for.
    pub next_reading: Option<NextReading>,
    /// Why it stays, if somebody said so.
    pub held: Option<Marked<CellHold>>,
    /// How it left, if it did.
    pub left: Option<CellLeft>,
    /// Of a cell that is in its device: that a trained shipper sends it back under the special provisions. Until the parcel has left it
    /// lies here, in isolation, and is looked at.
    pub goes_back: Option<Marked<CellReturn>>,
}

impl CellState {
    /// True while it must be in isolation, or is.
    pub fn is_isolated(&self) -> bool {
        self.left.is_none()
            && (self.placed.is_some()
                || self.level.is_some_and(|level| level >= BenchLevel::Isolate))
    }

    /// True while readings at set times are asked for, though it need not be in isolation.
    pub fn is_watched(&self) -> bool {
        self.left.is_none() && !self.is_isolated() && self.level == Some(BenchLevel::Watch)
    }

    /// True when nothing stands against it and it is not in isolation.
    pub fn is_at_rest(&self) -> bool {
        self.level.is_none_or(|level| level == BenchLevel::Clear) && self.placed.is_none()
    }

    /// The bench rules that were the lab's own when something was last recorded of it: the times of its readings go by them.
    pub fn rules(&self) -> &[UsedRule] {
        let placed = self
            .placed
            .as_ref()
            .map(|placed| (placed.mark.at_ms, &placed.value.rules[..]));
        [self.last_judged(), placed]
            .into_iter()
            .flatten()
            .max_by_key(|(at_ms, _)| *at_ms)
            .map_or(&[], |(_, rules)| rules)
    }

    /// When it was last looked at or judged by a person, with the rules of that time.
    fn last_judged(&self) -> Option<(u64, &[UsedRule])> {
        let look = self
            .looks
            .last()
            .map(|look| (look.mark.at_ms, &look.check.rules[..]));
        let judged = self
            .judged
            .last()
            .map(|judging| (judging.mark.at_ms, &judging.rules[..]));
        [look, judged]
            .into_iter()
            .flatten()
            .max_by_key(|(at_ms, _)| *at_ms)
    }

    /// The ids of the limits whose number is another under the lab's rules of now than when the cell was last judged; empty for a
    /// cell that nobody has judged yet, or that has left.
    pub fn limits_changed(&self, now: &[UsedRule]) -> Vec<String> {
        match self.last_judged() {
            Some((_, then)) if self.left.is_none() => {
                BenchRules::used(then).differing(BenchRules::used(now))
            }
            _ => Vec::new(),
        }
    }

    /// The entries a judgement given now has before it.
    pub fn seen_entries(&self) -> Vec<EntryId> {
        let looks = self.looks.iter().map(|look| look.mark.entry_id);
        let placed = self.placed.iter().map(|placed| placed.mark.entry_id);
        let judged = self.judged.iter().map(|judging| judging.mark.entry_id);
        looks.chain(placed).chain(judged).collect()
    }
}

/// Puts together what the entries of a cell in its device say. They are in the display order and stand.
pub(crate) fn cell_in_device(standing: &[&Recorded]) -> CellState {
    let mut state = collected(standing, None);
    // It is in the house as long as its device is.
    if let Some(CellLeft::Returned { record }) = state.left.take() {
        state.goes_back = Some(record);
    }
    judge_state(&mut state);
    state
}

/// The same of a cell that was taken out.
fn cell_by_itself(standing: &[&Recorded], origin: Option<&CellOrigin>) -> CellState {
    let mut state = collected(standing, origin);
    judge_state(&mut state);
    state
}

fn collected(standing: &[&Recorded], origin: Option<&CellOrigin>) -> CellState {
    let mut state = CellState::default();
    let origin = origin.map(|origin| without_withdrawn(origin, standing));
    let origin = origin.as_ref();
    if let Some(origin) = origin {
        state.looks.clone_from(&origin.looks);
        state.judged.clone_from(&origin.judged);
    }
    let mut placements: Vec<Marked<CellPlacement>> = Vec::new();
    for recorded in standing {
        let mark = Mark::from(*recorded);
        match recorded.fact() {
            Some(Fact::CellChecked(check)) => state.looks.push(Look {
                mark,
                kind: LookKind::Check,
                check: check.clone(),
            }),
            Some(Fact::CellReadingTaken(reading)) => state.looks.push(Look {
                mark,
                kind: LookKind::Reading,
                check: reading.as_check(),
            }),
            Some(Fact::CellPlaced(placement)) => placements.push(Marked {
                mark,
                value: placement.clone(),
            }),
            Some(Fact::CellJudged(judged)) => state.judged.push(Judging {
                mark,
                verdict: judged.verdict,
                reason: judged.reason.clone(),
                seen: recorded.based_on.clone(),
                rules: judged.rules.clone(),
            }),
            Some(Fact::CellHeld(held)) => {
                state.held = Some(Marked {
                    mark,
                    value: held.clone(),
                });
            }
            Some(Fact::CellHandedOver(record)) => {
                state.left = Some(CellLeft::HandedOver {
                    record: Marked {
                        mark,
                        value: record.clone(),
                    },
                });
            }
            Some(Fact::CellReturned(record)) => {
                state.left = Some(CellLeft::Returned {
                    record: Marked {
                        mark,
                        value: record.clone(),
                    },
                });
            }
            _ => {}
        }
    }
    place(&mut state, &placements, origin);
    state
}

/// What was seen of a cell in its device, without what was taken back since. Then nothing says any more since when it was isolated, but
/// what still stands.
fn without_withdrawn(origin: &CellOrigin, standing: &[&Recorded]) -> CellOrigin {
    let withdrawn: BTreeSet<EntryId> = standing
        .iter()
        .filter_map(|recorded| match recorded.fact() {
            Some(Fact::EntryWithdrawn(withdrawal)) => Some(withdrawal.entry_id),
            _ => None,
        })
        .collect();
    let mut origin = origin.clone();
    let before = origin.looks.len() + origin.judged.len();
    origin
        .looks
        .retain(|look| !withdrawn.contains(&look.mark.entry_id));
    origin
        .judged
        .retain(|judging| !withdrawn.contains(&judging.mark.entry_id));
    if origin.looks.len() + origin.judged.len() < before {
        origin.isolated_since_ms = None;
    }
    origin
}

/// A placement ends when the cell is judged sound by somebody who knew that it was there.
fn place(state: &mut CellState, placements: &[Marked<CellPlacement>], origin: Option<&CellOrigin>) {
    let released = |entry_id: EntryId| {
        state.judged.iter().any(|judging| {
            judging.verdict == CellVerdict::Sound && judging.seen.contains(&entry_id)
        })
    };
    let last = placements.last().cloned();
    let standing = last.filter(|placement| !released(placement.mark.entry_id));
    if standing.is_some() {
        let first = placements
            .iter()
            .find(|placement| !released(placement.mark.entry_id))
            .map(|placement| placement.mark.at_ms);
        let before = origin.and_then(|origin| origin.isolated_since_ms);
        state.isolated_since_ms = [first, before].into_iter().flatten().min();
    }
    state.placed = standing;
}

fn judge_state(state: &mut CellState) {
    let placed = state.isolated_since_ms.map(|since_ms| Placed {
        since_ms,
        rules: state
            .placed
            .as_ref()
            .map_or(&[], |placed| &placed.value.rules),
    });
    let Some(judged) = judge_history(&state.looks, &state.judged, placed) else {
        return;
    };
    state.level = Some(judged.judgement.level);
    state.diagnosis = judged.diagnosis;
    state.isolated_since_ms = judged
        .standing
        .iter()
        .filter(|standing| standing.reason.level >= BenchLevel::Isolate)
        .map(|standing| standing.since_ms)
        .min();
    state.standing = judged.standing;
    state.judgement = Some(judged.judgement);
    if state.level == Some(BenchLevel::Clear) {
        state.held = None;
    }
    state.next_reading = next_reading_due(state);
}

/// All of one removed cell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Cell {
    /// The cell.
    pub cell_id: CellId,
    /// Its reference for people, as `7K3M-2Q9X-T`.
    pub reference: String,
    /// Where it comes from, with who took it out and when.
    pub origin: Option<Marked<CellOrigin>>,
    /// What is known of it.
    pub state: CellState,
    /// What is printed on it and known of it now, from all looks.
    pub known: CellCheck,
    /// Photos, oldest first.
    pub photos: Vec<Marked<PhotoAdded>>,
    /// Entries of kinds this version can't read.
    pub unknown_entries: u32,
    /// True when one of those must not be ignored.
    pub read_only: bool,
    /// Milliseconds since 1970 of the latest entry.
    pub last_at_ms: u64,
}

/// Folds the entries of one removed cell.
pub fn fold_cell(cell_id: CellId, entries: &[Recorded]) -> Cell {
    let standing = standing_entries(entries);
    let origin = standing.iter().find_map(|recorded| match recorded.fact() {
        Some(Fact::CellSetApart(origin)) => Some(Marked {
            mark: Mark::from(*recorded),
            value: origin.clone(),
        }),
        _ => None,
    });
    let state = cell_by_itself(&standing, origin.as_ref().map(|origin| &origin.value));
    let unknown = |must: bool| {
        let count = standing
            .iter()
            .filter(|recorded| matches!(&recorded.decoded, Decoded::Unknown { must_not_ignore, .. } if !must || *must_not_ignore))
            .count();
        u32::try_from(count).unwrap_or(u32::MAX)
    };
    Cell {
        cell_id,
        reference: CellRef::of(cell_id).to_string(),
        known: known_of(&state.looks),
        photos: standing
            .iter()
            .filter_map(|recorded| match recorded.fact() {
                Some(Fact::PhotoAdded(photo)) => Some(Marked {
                    mark: Mark::from(*recorded),
                    value: photo.clone(),
                }),
                _ => None,
            })
            .collect(),
        origin,
        state,
        unknown_entries: unknown(false),
        read_only: unknown(true) > 0,
        last_at_ms: standing.last().map_or(0, |recorded| recorded.stamp.hlc_ms),
    }
}

#[cfg(test)]
mod tests;
