//! What the screen shows around every place: what waits, what stands open, and whether the clock is right.
//!
//! Of jobs and cells it reads rows only, never their entries.

use domain::PersonId;
use domain::cells::BenchLevel;
use domain::cells::schedule::overdue_by;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Desk, PERSON};
use crate::error::DeskError;
use crate::store::Filter;
use crate::views::{CellRow, JobRow, LabBrief, PersonBrief, SyncLine};

/// What the screen shows around every place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
pub struct DeskState {
    /// The lab, once there is one.
    pub lab: Option<LabBrief>,
    /// Who is at this desktop.
    pub person: Option<PersonBrief>,
    /// The lab's people, without those of shops.
    pub people: Vec<PersonBrief>,
    /// The line about the server.
    pub sync: SyncLine,
    /// Parcels that wait to be counted.
    pub parcels_to_count: u32,
    /// Jobs in the house.
    pub jobs_in_house: u32,
    /// Jobs that are ready to be packed.
    pub jobs_to_pack: u32,
    /// Cells and devices that lie in isolation, or must.
    pub cells_in_isolation: u32,
    /// Cells that stand at level emergency.
    pub cells_in_emergency: u32,
    /// Readings of cells that are overdue.
    pub readings_overdue: u32,
    /// When the nearest reading that is not overdue yet is due, in milliseconds since 1970.
    pub next_reading_due_ms: Option<u64>,
    /// Values that people disagree on.
    pub disagreements: u32,
    /// A sentence when this computer's clock is wrong; empty when it isn't, or nobody knows.
    pub clock_warning: String,
    /// Entries that only a newer version of the program can read.
    pub unknown_entries: u64,
    /// This desktop's name.
    pub desktop_name: String,
    /// Where the logbook lies.
    pub folder: String,
    /// The program's version.
    pub version: String,
}

impl Desk {
    /// What the screen shows around every place.
    pub(crate) fn state(&self) -> Result<DeskState, DeskError> {
        let installation = self.store.installation()?;
        let has_lab = installation.lab_id.is_some();
        let lab = if has_lab { self.lab_brief()? } else { None };
        let people: Vec<PersonBrief> = self
            .people()?
            .into_iter()
            .filter(|person| !person.of_a_shop)
            .collect();
        let person_id = self.store.setting::<PersonId>(PERSON)?;
        let staged = |tag: &'static str, stages: &[&str]| Filter {
            stages: stages.iter().map(|stage| (*stage).to_owned()).collect(),
            ..Filter::all(tag)
        };
        let sync = self.sync_line()?;
        let bay = self.what_stands_open()?;
        Ok(DeskState {
            person: people
                .iter()
                .find(|person| Some(person.person_id) == person_id)
                .cloned(),
            parcels_to_count: self.count(&staged("parcel", &["received"]))?,
            jobs_in_house: self.count(&staged(
                "job",
                &[
                    "receiving",
                    "inspecting",
                    "holding",
                    "repairing",
                    "proving",
                    "packing",
                    "shipping",
                ],
            ))?,
            jobs_to_pack: self.count(&staged("job", &["packing"]))?,
            cells_in_isolation: bay.in_isolation,
            cells_in_emergency: bay.in_emergency,
            readings_overdue: bay.overdue,
            next_reading_due_ms: bay.next_due_ms,
            disagreements: bay.disagreements,
            clock_warning: clock_warning(sync.clock_ahead_ms),
            unknown_entries: self.store.unknown_count()?,
            desktop_name: installation.desktop_name,
            folder: self.options.folder.display().to_string(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            lab,
            people,
            sync,
        })
    }

    /// One pass over open jobs and cells: disagreements, isolation, readings.
    fn what_stands_open(&self) -> Result<StandsOpen, DeskError> {
        let open = |tag| Filter {
            is_open: Some(true),
            ..Filter::all(tag)
        };
        let now_ms = self.ports.clock.now_ms();
        let mut stands = StandsOpen::default();
        for row in self.rows::<JobRow>(&open("job"))? {
            stands.disagreements += row.disagreements;
            if row.stage.in_house() {
                stands.cell(row.in_isolation, row.cell_level, row.reading_due_ms, now_ms);
            }
        }
        for row in self.rows::<CellRow>(&open("cell"))? {
            stands.cell(row.in_isolation, row.level, row.reading_due_ms, now_ms);
        }
        Ok(stands)
    }

    fn lab_brief(&self) -> Result<Option<LabBrief>, DeskError> {
        let lab = self.lab()?;
        Ok(lab.description.value().map(|description| LabBrief {
            lab_id: lab.lab_id,
            name: description.name.clone(),
            zone: description.zone.clone(),
            currency: description.currency.clone(),
            country: description.country.clone(),
            phone: description.phone.clone(),
        }))
    }
}

/// What the line round every place counts.
#[derive(Debug, Default)]
struct StandsOpen {
    disagreements: u32,
    in_isolation: u32,
    in_emergency: u32,
    overdue: u32,
    next_due_ms: Option<u64>,
}

impl StandsOpen {
    fn cell(
        &mut self,
        in_isolation: bool,
        level: Option<BenchLevel>,
        due_ms: Option<u64>,
        now_ms: u64,
    ) {
        self.in_isolation += u32::from(in_isolation);
        self.in_emergency += u32::from(level == Some(BenchLevel::Emergency));
        match due_ms {
            Some(due_ms) if overdue_by(due_ms, now_ms).is_some() => self.overdue += 1,
            Some(due_ms) => {
                self.next_due_ms = Some(self.next_due_ms.map_or(due_ms, |next| next.min(due_ms)));
            }
            None => {}
        }
    }
}

/// Clocks of phones and computers that ask a time server agree within a second; five minutes is a clock that nobody sets.
/// Common practice, no source.
const CLOCK_TOLERANCE_MS: i64 = 5 * 60 * 1000;

fn clock_warning(ahead_ms: Option<i64>) -> String {
    let Some(ahead_ms) = ahead_ms.filter(|ahead_ms| ahead_ms.abs() > CLOCK_TOLERANCE_MS) else {
        return String::new();
    };
    // To the nearest whole: a clock that was set three days ahead by hand is a moment short of it by now.
    let ms = ahead_ms.abs();
    let nearest = |unit_ms: i64| (ms + unit_ms / 2) / unit_ms;
    let amount = match nearest(60_000) {
        minutes @ 0..120 => format!("{minutes} minutes"),
        120..2880 => format!("{} hours", nearest(3_600_000)),
        _ => format!("{} days", nearest(86_400_000)),
    };
    let way = if ahead_ms > 0 { "fast" } else { "slow" };
    format!(
        "This computer’s clock is {amount} {way}. Nothing is lost by it, but set it right: the times in lists and on papers are wrong."
    )
}
