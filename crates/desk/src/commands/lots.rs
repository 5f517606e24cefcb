//! Lots of parts: received, opened, closed, baked, with what is left of their floor life.
//!
//! A time that is not typed is now. What was recorded stays; a slip is taken back as any entry of the lab is.

use domain::Subject;
use domain::fact::{Fact, LotBag, LotBake, LotNumber, LotReceipt};
use domain::rework::{FloorLife, MoistureLevel};
use domain::stock::{JudgedBake, Lot};
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::Nothing;
use crate::desk::Desk;
use crate::error::DeskError;

/// One lot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LotRow {
    /// What its label says.
    pub receipt: LotReceipt,
    /// What is left of its floor life; none for parts that moisture does not harm.
    pub floor_life: Option<FloorLife>,
    /// True while its bag is open.
    pub open: bool,
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
    /// It was closed again.
    Closed,
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
    let at_ms = instant(desk, "at", &request.at)?;
    let bag = LotBag {
        lot: request.lot,
        at_ms,
    };
    let fact = match (request.event, lot.is_open()) {
        (BagEvent::Opened, true) => {
            return Err(DeskError::refused(
                "this bag is open already; its clock runs",
            ));
        }
        (BagEvent::Closed, false) => {
            return Err(DeskError::refused(
                "this bag is not open; there is nothing to close",
            ));
        }
        (BagEvent::Opened, false) => Fact::LotOpened(bag),
        (BagEvent::Closed, true) => {
            let opened_ms = lot.exposures.last().map_or(at_ms, |last| last.opened_ms);
            if at_ms < opened_ms {
                return Err(DeskError::field(
                    "at",
                    "the bag was opened later than that; write when it was closed again",
                ));
            }
            Fact::LotClosed(bag)
        }
    };
    desk.record(Subject::Lab(lab.lab_id), fact)?;
    lots(desk, Nothing {})
}

/// Records a bake. One that is too short is recorded too, and does not set the clock back.
pub fn record_bake(desk: &Desk, request: RecordBake) -> Result<LotsView, DeskError> {
    let lab = desk.lab()?;
    find(&lab.lots, &request.lot)?;
    let temperature_c = whole("temperature_c", &request.temperature_c, 150, "oven in °C")?;
    let bake = LotBake {
        ended_ms: instant(desk, "ended", &request.ended)?,
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

/// A typed time of the lab, or now; never one that is still ahead.
fn instant(desk: &Desk, field: &'static str, text: &str) -> Result<i64, DeskError> {
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
    let at_ms = desk
        .zone()?
        .instant_ms(local)
        .map_err(|why| DeskError::field(field, why))?;
    if at_ms > now(desk) {
        return Err(DeskError::field(
            field,
            "this time is still ahead; write when it happened",
        ));
    }
    Ok(at_ms)
}

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
        opened_ms: lot.exposures.last().map(|exposure| exposure.opened_ms),
        bake: lot.bakes.last().cloned(),
        bake_words: bake_words(lot, now_ms),
    })
}
