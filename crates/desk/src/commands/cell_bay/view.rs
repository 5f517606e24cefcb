//! What the bay shows: lines, one leaf, and what each waits for. It reads; it records nothing.

use std::collections::BTreeMap;

use domain::cells::bay::{CellState, Look, LookKind, Placed, judge_history, known_of};
use domain::cells::schedule::overdue_by;
use domain::cells::{BenchLevel, CellCheck, Judgement};
use domain::fact::Role;
use domain::job::{Stage, TrailLine};
use domain::{EntryId, JobId, Mark, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::not_soundable;
use crate::commands::{CellRow, JobRow, PersonBrief, PhotoState};
use crate::desk::Desk;
use crate::error::DeskError;

/// One line of the bay.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BayRow {
    /// What it is: a job or a cell.
    pub subject: Subject,
    /// Its reference.
    pub reference: String,
    /// The device it is, or was in.
    pub device: String,
    /// The job.
    pub job_id: Option<JobId>,
    /// The shop's name; empty when unknown.
    pub shop_name: String,
    /// What is known of the cell.
    pub state: CellState,
    /// By how much its reading is overdue, in milliseconds.
    pub overdue_ms: Option<u64>,
    /// What it waits for, in a sentence.
    pub waits_for: String,
}

/// The Cell bay.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct CellBayView {
    /// In isolation, or must be: emergencies first, then what is overdue, then what is due next.
    pub isolated: Vec<BayRow>,
    /// Watched where it is: readings at set times.
    pub watched: Vec<BayRow>,
    /// Cells that left lately.
    pub left: Vec<CellRow>,
    /// The instant at which this was put together, in milliseconds since 1970.
    pub now_ms: u64,
}

/// One thing in the bay, with all that its leaf shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
pub struct CellView {
    /// Its line.
    pub row: BayRow,
    /// What is printed on the cell and known of it.
    pub known: CellCheck,
    /// What happened to it, oldest first.
    pub trail: Vec<TrailLine>,
    /// The people named in it.
    pub people: Vec<PersonBrief>,
    /// Photos of the cell.
    pub photos: Vec<domain::job::Marked<domain::fact::PhotoAdded>>,
    /// Where each photo's bytes are, by hash.
    #[ts(as = "BTreeMap<String, PhotoState>")]
    pub photo_states: BTreeMap<String, PhotoState>,
    /// True when the person at this desktop may judge a cell.
    pub may_judge: bool,
    /// True when the person at this desktop is trained to send it under the special provisions.
    pub may_return: bool,
    /// What keeps it from being judged sound, in sentences; empty when nothing does.
    pub not_soundable: Vec<String>,
    /// What to mind, in sentences.
    pub cautions: Vec<String>,
    /// That the lab's rules are others than when the cell was last judged, in a sentence.
    pub rules_changed: Option<String>,
    /// The instant at which this was put together, in milliseconds since 1970.
    pub now_ms: u64,
}

/// What a thing in the bay waits for, in a sentence.
fn waits_for(subject: Subject, state: &CellState) -> String {
    if state.left.is_some() {
        return "It has left.".to_owned();
    }
    if state.level == Some(BenchLevel::Emergency) {
        return "Nobody goes near it until the fire service lets you back in; then a person with battery knowledge judges it.".to_owned();
    }
    if let Some(back) = &state.goes_back {
        return format!(
            "It goes back under {}: to be packed by itself, by ground only; until then it is looked at here.",
            back.value.provisions.trim_end_matches('.')
        );
    }
    if let Some(held) = &state.held {
        return format!(
            "It stays here: {}.",
            held.value.reason.trim_end_matches('.')
        );
    }
    match (state.level, state.placed.is_some(), subject) {
        (Some(BenchLevel::Isolate), false, _) => {
            "It must go into isolation; say where it was put.".to_owned()
        }
        (Some(BenchLevel::Isolate), true, Subject::Cell(_)) => {
            "To be handed to a recycler, or judged by a person with battery knowledge.".to_owned()
        }
        (Some(BenchLevel::Isolate), true, _) => {
            "The cell to be taken out, or judged by a person with battery knowledge.".to_owned()
        }
        _ => "The next reading, or a person's judgement.".to_owned(),
    }
}

pub(super) fn job_bay_row(desk: &Desk, row: &JobRow, now_ms: u64) -> Result<BayRow, DeskError> {
    let state = desk.job(row.job_id)?.cell_state;
    let subject = Subject::Job(row.job_id);
    Ok(BayRow {
        subject,
        reference: row.reference.clone(),
        device: row.device.clone(),
        job_id: Some(row.job_id),
        shop_name: row.shop_name.clone(),
        overdue_ms: overdue(&state, now_ms),
        waits_for: waits_for(subject, &state),
        state,
    })
}

pub(super) fn cell_bay_row(desk: &Desk, row: &CellRow, now_ms: u64) -> Result<BayRow, DeskError> {
    let state = desk.cell(row.cell_id)?.state;
    let subject = Subject::Cell(row.cell_id);
    Ok(BayRow {
        subject,
        reference: row.reference.clone(),
        device: row.device.clone(),
        job_id: row.job_id,
        shop_name: row.shop_name.clone(),
        overdue_ms: overdue(&state, now_ms),
        waits_for: waits_for(subject, &state),
        state,
    })
}

fn overdue(state: &CellState, now_ms: u64) -> Option<u64> {
    state
        .next_reading
        .as_ref()
        .and_then(|next| overdue_by(next.due_ms, now_ms))
}

impl Desk {
    /// What is known of the cell of a job, or of a removed one.
    pub(super) fn bay_state(&self, subject: Subject) -> Result<CellState, DeskError> {
        match subject {
            Subject::Job(job_id) => Ok(self.job(job_id)?.cell_state),
            Subject::Cell(cell_id) => Ok(self.cell(cell_id)?.state),
            _ => Err(DeskError::NotFound { what: "cell" }),
        }
    }

    /// The same, for something that can still be acted on.
    pub(super) fn in_the_house(&self, subject: Subject) -> Result<CellState, DeskError> {
        let read_only = match subject {
            Subject::Job(job_id) => {
                let job = self.job(job_id)?;
                match job.stage {
                    Stage::Advised => {
                        return Err(DeskError::refused(
                            "the device is not in the house yet; count its parcel on the Dock",
                        ));
                    }
                    Stage::Returned | Stage::Destroyed => {
                        return Err(DeskError::refused("the device has left the house"));
                    }
                    _ => job.read_only,
                }
            }
            Subject::Cell(cell_id) => {
                let cell = self.cell(cell_id)?;
                if cell.state.left.is_some() {
                    return Err(DeskError::refused(
                        "this cell has left; nothing more is recorded of it",
                    ));
                }
                cell.read_only
            }
            _ => return Err(DeskError::NotFound { what: "cell" }),
        };
        if read_only {
            return Err(DeskError::refused(
                "a newer version of the program recorded something here that must not be ignored; upgrade this desktop to go on",
            ));
        }
        self.bay_state(subject)
    }

    /// What a look would come to, with all that was seen before it.
    pub(crate) fn judged_with(
        &self,
        state: &CellState,
        kind: LookKind,
        mut check: CellCheck,
    ) -> Result<Judgement, DeskError> {
        check.rules = self.bench_rules()?;
        let mark = Mark {
            entry_id: EntryId::new(self.new_id()),
            actor_id: self.person_id()?,
            at_ms: self.now_ms(),
        };
        let mut looks = state.looks.clone();
        looks.push(Look { mark, kind, check });
        let placed = state.placed.as_ref().map(|placed| Placed {
            since_ms: placed.mark.at_ms,
            rules: &placed.value.rules,
        });
        judge_history(&looks, &state.judged, placed)
            .map(|judged| judged.judgement)
            .ok_or(DeskError::NotFound { what: "cell" })
    }

    /// A day as typed, or today.
    pub(super) fn day(&self, name: &'static str, text: &str) -> Result<String, DeskError> {
        let text = text.trim();
        if text.is_empty() {
            return self.today();
        }
        text.parse::<jiff::civil::Date>()
            .map(|date| date.to_string())
            .map_err(|_| {
                DeskError::field(
                    name,
                    format!("“{text}” is not a day; write it like 2026-11-25"),
                )
            })
    }

    /// One thing in the bay with all that its leaf shows.
    pub(crate) fn cell_view(&self, subject: Subject) -> Result<CellView, DeskError> {
        let now_ms = self.now_ms();
        let entries = self.entries(subject)?;
        let (row, photos) = match subject {
            Subject::Cell(cell_id) => {
                let cell = self.cell(cell_id)?;
                let mut row = crate::rows::cell_row(&cell);
                if let Some(shop_id) = row.shop_id {
                    row.shop_name = self
                        .shop_brief(shop_id)?
                        .map_or_else(String::new, |shop| shop.name);
                }
                (cell_bay_row(self, &row, now_ms)?, cell.photos)
            }
            Subject::Job(job_id) => {
                let job = self.job(job_id)?;
                let row = self.row_of(&job)?;
                let photos = job
                    .photos
                    .iter()
                    .filter(|photo| photo.value.place == domain::fact::PhotoPlace::Cell)
                    .cloned()
                    .collect();
                (job_bay_row(self, &row, now_ms)?, photos)
            }
            _ => return Err(DeskError::NotFound { what: "cell" }),
        };
        let mut trail = domain::job::trail(&entries);
        if matches!(subject, Subject::Job(_)) {
            let of_cell = |entry_id: EntryId| {
                entries.iter().any(|recorded| {
                    recorded.entry_id == entry_id
                        && recorded
                            .fact()
                            .is_none_or(|fact| fact.kind().starts_with("cell."))
                })
            };
            trail.retain(|line| of_cell(line.mark.entry_id));
        }
        let hashes: Vec<_> = photos.iter().map(|photo| photo.value.hash).collect();
        let roles = self.person().map_or(Vec::new(), |person| person.roles);
        let looked = row.state.looks.iter().map(|look| look.mark.actor_id);
        let named: Vec<_> = trail
            .iter()
            .map(|line| line.mark.actor_id)
            .chain(looked)
            .collect();
        let rules_changed = self.rules_changed(&row.state)?;
        Ok(CellView {
            known: known_of(&row.state.looks),
            people: self.people_named(named.into_iter())?,
            photo_states: self.photo_states(&hashes)?,
            photos,
            may_judge: roles.contains(&Role::CellExpert),
            may_return: roles.contains(&Role::Shipper),
            not_soundable: not_soundable(&row.state),
            cautions: rules_changed
                .iter()
                .chain(
                    row.state
                        .judgement
                        .iter()
                        .flat_map(|judgement| &judgement.cautions),
                )
                .cloned()
                .collect(),
            rules_changed,
            trail,
            row,
            now_ms,
        })
    }
}
