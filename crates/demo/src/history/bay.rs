//! The Cell bay: a swollen cell in its device, one that was taken out and handed to a recycler, and a watched one whose reading
//! is overdue when the story ends.

use anyhow::{Context as _, Result};
use desk::commands::cell_bay::{
    CellReadingInput, HandOverCell, PlaceInIsolation, RemoveCell, TakeCellReading, hand_over_cell,
    place_in_isolation, remove_cell, take_cell_reading,
};
use domain::Subject;
use domain::cells::CellFinding;
use domain::fact::IsolationPlace;

use super::clock::WorkTime;
use super::story::Event;
use super::world::World;
use crate::data::{LAST_DAY, people};

/// The device whose swollen cell is still in it.
pub(crate) const ISOLATED: &str = "h5";
/// The device whose deeply discharged cell is watched, and was forgotten for two days.
pub(crate) const WATCHED: &str = "h8";
/// The device whose bent cell was taken out and handed over.
pub(crate) const REMOVED: &str = "n10";

/// What happens to a cell, if anything does, after its check at this time.
pub(crate) fn lay_out_cell(
    events: &mut Vec<(WorkTime, Event)>,
    key: &'static str,
    check: WorkTime,
) {
    let mut then = |time: WorkTime, event: Event| {
        if time.day() <= LAST_DAY {
            events.push((time, event));
        }
    };
    match key {
        ISOLATED => {
            then(check.plus(12), Event::Isolate(key));
            then(check.plus(64), Event::ReadCell(key));
            then(check.plus(245), Event::ReadCell(key));
            for day in check.day() + 1..=LAST_DAY {
                then(WorkTime::on(day, 480), Event::ReadCell(key));
            }
        }
        WATCHED => {
            then(check.plus(58), Event::ReadCell(key));
            then(check.plus(236), Event::ReadCell(key));
            for day in check.day() + 1..LAST_DAY.saturating_sub(1) {
                then(WorkTime::on(day, 60), Event::ReadCell(key));
            }
        }
        REMOVED => {
            then(check.plus(25), Event::RemoveCell(key));
            then(WorkTime::on(check.day() + 2, 330), Event::HandOver(key));
        }
        _ => {}
    }
}

impl World {
    /// A device with a dangerous cell is put away.
    pub(crate) fn isolate(&mut self, key: &str) -> Result<()> {
        self.act_as_technician(key)?;
        let request = PlaceInIsolation {
            subject: Subject::Job(self.job_id(key)?),
            place: IsolationPlace::Bay,
            position: "B2".to_owned(),
        };
        place_in_isolation(&self.desk, request)?;
        Ok(())
    }

    /// A reading at its time.
    pub(crate) fn read_cell(&mut self, key: &str) -> Result<()> {
        self.act_as(people::SECOND_PAIR)?;
        let room = 190 + u32::try_from(self.dice.below(25)).unwrap_or(0);
        let surface = room + 2 + u32::try_from(self.dice.below(6)).unwrap_or(0);
        let tenths = |value: u32| format!("{}.{}", value / 10, value % 10);
        let voltage = match key {
            WATCHED => format!("2.1{}", 8 - self.dice.below(3)),
            _ => format!("3.7{}", 4 - self.dice.below(2)),
        };
        let request = TakeCellReading {
            subject: Subject::Job(self.job_id(key)?),
            reading: CellReadingInput {
                findings: if key == ISOLATED {
                    vec![CellFinding::Swollen]
                } else {
                    Vec::new()
                },
                surface: tenths(surface),
                room: tenths(room),
                voltage: if key == ISOLATED {
                    String::new()
                } else {
                    voltage
                },
                ..CellReadingInput::default()
            },
        };
        take_cell_reading(&self.desk, request)?;
        Ok(())
    }

    /// The cell is taken out and becomes a thing of its own.
    pub(crate) fn take_cell_out(&mut self, key: &str) -> Result<()> {
        self.act_as_technician(key)?;
        let request = RemoveCell {
            job_id: self.job_id(key)?,
            place: IsolationPlace::Drum,
            position: "D1".to_owned(),
            note: "Out without force; terminals taped.".to_owned(),
        };
        let view = remove_cell(&self.desk, request)?;
        if let Subject::Cell(cell_id) = view.row.subject {
            self.removed_cell = Some(cell_id);
        }
        Ok(())
    }

    /// The recycler comes for the cell.
    pub(crate) fn hand_cell_over(&mut self) -> Result<()> {
        self.act_as(people::SHIPPER)?;
        let request = HandOverCell {
            cell_id: self
                .removed_cell
                .context("no cell was taken out before the recycler came")?,
            recycler: "Tidewater Metals".to_owned(),
            paper_number: "TM-4471".to_owned(),
            date: String::new(),
            note: "Collected in their own drum.".to_owned(),
        };
        hand_over_cell(&self.desk, request)?;
        Ok(())
    }
}
