//! Lots of parts: received, opened, closed, baked, with what is left of their floor life.
//!
//! A time that is not typed is now. One that is typed lies neither ahead nor before what happened to the lot last: the clock of its
//! floor life follows the times, not the order of recording. A slip is taken back by a following entry, as everywhere.

use std::collections::BTreeMap;

use domain::fact::{Fact, LotBag, LotBake, LotNumber, LotReceipt};
use domain::job::TrailLine;
use domain::rework::{FloorLife, MoistureLevel};
use domain::stock::{JudgedBake, Lot, lot_event};
use domain::{EntryId, Subject};
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::Nothing;
use crate::desk::Desk;
use crate::error::DeskError;
use crate::views::PersonBrief;

/// One lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LotRow {
    /// What its label says.
    pub receipt: LotReceipt,
    /// What is left of its floor life; none for parts that moisture does not harm.
    pub floor_life: Option<FloorLife>,
    /// True while its bag is open.
    pub open: bool,
    /// True while it lies in the dry cabinet.
    pub in_dry_cabinet: bool,
    /// When its bag was last opened, in milliseconds since 1970.
    #[ts(type = "number | null")]
    pub opened_ms: Option<i64>,
    /// Its last bake.
    pub bake: Option<JudgedBake>,
    /// What a bake would take now, in words; empty when none is needed.
    pub bake_words: String,
}

/// Every lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LotsView {
    /// Those in use first, by number.
    pub lots: Vec<LotRow>,
}

/// Which lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LotKey {
    /// Its number.
    pub lot: LotNumber,
}

/// One thing that was recorded about a lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LotEvent {
    /// What, who recorded it and when, and whether it was taken back.
    pub line: TrailLine,
    /// When it happened, in milliseconds since 1970; none for what only describes the lot.
    #[ts(type = "number | null")]
    pub at_ms: Option<i64>,
}

/// One lot with all that was recorded about it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LotView {
    /// The lot.
    pub row: LotRow,
    /// What was recorded, oldest first, with what was taken back.
    pub events: Vec<LotEvent>,
    /// The people named in it.
    pub people: Vec<PersonBrief>,
    /// Whose entries these are.
    pub subject: Subject,
}

/// Adds or changes a lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SaveLot {
    /// Its number.
    pub lot: String,
    /// What the parts are.
    pub description: String,
    /// The level on the label.
    pub moisture: Option<MoistureLevel>,
    /// For level 6, the hours on the label, as typed; may be empty.
    pub label_hours: String,
    /// Thickness of a part's body in millimetres, as typed; may be empty.
    pub thickness: String,
    /// True when nobody knows how long it lay open.
    pub history_unknown: bool,
    /// True once none is left.
    pub used_up: bool,
}

/// What happened to a lot's bag.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum BagEvent {
    /// It was opened.
    Opened,
    /// It was closed again, with a desiccant.
    Closed,
    /// It was put into the dry cabinet: at 5 % relative humidity or less that is as good as a closed bag (IPC/JEDEC J-STD-033, from
    /// memory).
    IntoDryCabinet,
}

/// Opens or closes a lot's bag.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetLotBag {
    /// The lot.
    pub lot: LotNumber,
    /// What happened.
    pub event: BagEvent,
    /// When, as `2026-11-25 14:05` in the lab's time; empty for now.
    pub at: String,
}

/// Records a bake.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordBake {
    /// The lot.
    pub lot: LotNumber,
    /// When it ended, as `2026-11-25 14:05` in the lab's time; empty for now.
    pub ended: String,
    /// Whole hours, as typed.
    pub hours: String,
    /// The oven in degrees Celsius, as typed.
    pub temperature_c: String,
    /// What the part's maker says of it; empty for the usual bake.
    pub as_maker_says: String,
}

/// Every lot.
pub fn lots(desk: &Desk, _: Nothing) -> Result<LotsView, DeskError> {
    let lab = desk.lab()?;
    let now_ms = now(desk);
    let mut lots: Vec<LotRow> = lab.lots.iter().filter_map(|lot| row(lot, now_ms)).collect();
    lots.sort_by_key(|lot| (lot.receipt.used_up, lot.receipt.lot.clone()));
    Ok(LotsView { lots })
}

/// One lot with all that was recorded about it.
pub fn lot(desk: &Desk, request: LotKey) -> Result<LotView, DeskError> {
    let lab = desk.lab()?;
    let found = find(&lab.lots, &request.lot)?;
    let row = row(found, now(desk)).ok_or(DeskError::NotFound { what: "lot" })?;
    let subject = Subject::Lab(lab.lab_id);
    let entries = desk.entries(subject)?;
    let at_ms: BTreeMap<EntryId, Option<i64>> = entries
        .iter()
        .filter_map(|recorded| {
            let (number, at_ms) = lot_event(recorded)?;
            (*number == request.lot).then_some((recorded.entry_id, at_ms))
        })
        .collect();
    let events: Vec<LotEvent> = domain::job::trail(&entries)
        .into_iter()
        .filter_map(|line| {
            let at_ms = *at_ms.get(&line.mark.entry_id)?;
            Some(LotEvent { line, at_ms })
        })
        .collect();
    let actors = events.iter().map(|event| event.line.mark.actor_id);
    Ok(LotView {
        row,
        people: desk.people_named(actors)?,
        events,
        subject,
    })
}

/// Adds or changes a lot.
pub fn save_lot(desk: &Desk, request: SaveLot) -> Result<LotsView, DeskError> {
    let number = request.lot.trim().to_uppercase();
    if number.is_empty() {
        return Err(DeskError::field(
            "lot",
            "write the lot's number as it stands on its bag or reel",
        ));
    }
    let description =
        super::setup::named("description", "what the parts are", &request.description)?;
    let label_hours = match request.label_hours.trim() {
        "" => None,
        text => Some(whole("label_hours", text, 8760, "number of hours")?),
    };
    let thickness_um = match request.thickness.trim() {
        "" => None,
        text => Some(super::boards::size("thickness", text, 15_000)?),
    };
    let lab = desk.lab()?;
    let lot = LotNumber(number);
    let based_on = lab
        .lots
        .iter()
        .find(|known| known.lot == lot)
        .map_or_else(Vec::new, |known| known.receipt.based_on());
    let receipt = LotReceipt {
        lot,
        description,
        moisture: request.moisture,
        label_hours,
        thickness_um,
        history_unknown: request.history_unknown,
        used_up: request.used_up,
    };
    desk.record_all(vec![(
        Subject::Lab(lab.lab_id),
        Fact::LotReceived(receipt),
        based_on,
    )])?;
    lots(desk, Nothing {})
}

/// Opens or closes a lot's bag.
pub fn set_lot_bag(desk: &Desk, request: SetLotBag) -> Result<LotsView, DeskError> {
    let lab = desk.lab()?;
    let lot = find(&lab.lots, &request.lot)?;
    let bag = LotBag {
        lot: request.lot,
        at_ms: instant(desk, "at", &request.at, lot)?,
        dry_cabinet: request.event == BagEvent::IntoDryCabinet,
    };
    let fact = match (request.event, lot.is_open()) {
        (BagEvent::Opened, true) => {
            return Err(DeskError::refused(
                "this bag is open already; its clock runs",
            ));
        }
        (BagEvent::Closed | BagEvent::IntoDryCabinet, false) => {
            return Err(DeskError::refused(
                "this bag is not open; there is nothing to close",
            ));
        }
        (BagEvent::Opened, false) => Fact::LotOpened(bag),
        (BagEvent::Closed | BagEvent::IntoDryCabinet, true) => Fact::LotClosed(bag),
    };
    desk.record(Subject::Lab(lab.lab_id), fact)?;
    lots(desk, Nothing {})
}

/// Records a bake. One that is too short is recorded too, and does not set the clock back.
pub fn record_bake(desk: &Desk, request: RecordBake) -> Result<LotsView, DeskError> {
    let lab = desk.lab()?;
    let lot = find(&lab.lots, &request.lot)?;
    let temperature_c = whole("temperature_c", &request.temperature_c, 150, "oven in °C")?;
    let bake = LotBake {
        ended_ms: instant(desk, "ended", &request.ended, lot)?,
        hours: whole("hours", &request.hours, 2000, "number of hours")?,
        temperature_c: u16::try_from(temperature_c)
            .map_err(|why| DeskError::field("temperature_c", why))?,
        as_maker_says: request.as_maker_says.trim().to_owned(),
        lot: request.lot,
    };
    desk.record(Subject::Lab(lab.lab_id), Fact::LotBaked(bake))?;
    lots(desk, Nothing {})
}

fn find<'a>(lots: &'a [Lot], number: &LotNumber) -> Result<&'a Lot, DeskError> {
    lots.iter()
        .find(|lot| lot.lot == *number)
        .ok_or(DeskError::NotFound { what: "lot" })
}

/// Milliseconds since 1970.
pub(crate) fn now(desk: &Desk) -> i64 {
    i64::try_from(desk.ports.clock.now_ms()).unwrap_or(i64::MAX)
}

fn whole(field: &'static str, text: &str, most: u32, what: &str) -> Result<u32, DeskError> {
    let text = text.trim();
    text.parse::<u32>()
        .ok()
        .filter(|number| (1..=most).contains(number))
        .ok_or_else(|| {
            DeskError::field(
                field,
                format!("“{text}” is no {what}; write a whole number up to {most}"),
            )
        })
}

/// A typed time of the lab, or now; never one that is still ahead, nor one before what happened to the lot last. Typed times have
/// minutes only, so that one in the minute of the last event is taken as right after it.
fn instant(desk: &Desk, field: &'static str, text: &str, lot: &Lot) -> Result<i64, DeskError> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(now(desk));
    }
    let local: DateTime = text.parse().map_err(|_| {
        DeskError::field(
            field,
            format!(
                "“{text}” is no time; write it like 2026-11-25 14:05, or leave it empty for now"
            ),
        )
    })?;
    let zone = desk.zone()?;
    let at_ms = zone
        .instant_ms(local)
        .map_err(|why| DeskError::field(field, why))?;
    if at_ms > now(desk) {
        return Err(DeskError::field(
            field,
            "this time is still ahead; write when it happened",
        ));
    }
    match lot.last_event_ms {
        Some(last_ms) if at_ms < last_ms - last_ms.rem_euclid(MINUTE_MS) => {
            let last = zone.local(last_ms).map_or_else(
                |_| "later".to_owned(),
                |last| format!("at {}", last.strftime("%Y-%m-%d %H:%M")),
            );
            Err(DeskError::field(
                field,
                format!(
                    "the last thing recorded about lot {} happened {last}; write a time after that, or take it back first",
                    lot.lot.0
                ),
            ))
        }
        last_ms => Ok(at_ms.max(last_ms.unwrap_or(at_ms))),
    }
}

const MINUTE_MS: i64 = 60_000;

/// What a bake would take, in words; empty when none is needed.
pub(crate) fn bake_words(lot: &Lot, now_ms: i64) -> String {
    match lot.floor_life(now_ms) {
        Some(life) if !life.usable => lot.bake_needed(now_ms).map_or_else(
            || "Ask its maker how long it is baked: no table here says.".to_owned(),
            |hours| {
                format!("Bake {hours} h at 125 °C; trays and tape may not stand that (J-STD-033, older revision as reprinted).")
            },
        ),
        _ => String::new(),
    }
}

fn row(lot: &Lot, now_ms: i64) -> Option<LotRow> {
    Some(LotRow {
        receipt: lot.receipt.value()?.clone(),
        floor_life: lot.floor_life(now_ms),
        open: lot.is_open(),
        in_dry_cabinet: lot.in_dry_cabinet,
        opened_ms: lot.exposures.last().map(|exposure| exposure.opened_ms),
        bake: lot.bakes.last().cloned(),
        bake_words: bake_words(lot, now_ms),
    })
}
