//! Lots of parts, folded: how long each lay open, and which bake counts.
//!
//! Where benches recorded an opening twice, the earlier one counts: a clock is never set back by a repeated entry.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::fact::{Fact, LotBag, LotBake, LotNumber, LotReceipt};
use crate::ids::EntryId;
use crate::recorded::Recorded;
use crate::register::Register;
use crate::rework::{
    BakeHours, Exposure, FloorLife, Moisture, MoistureLevel, bake_hours, floor_life,
};

/// One lot with its history.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Lot {
    /// Its number.
    pub lot: LotNumber,
    /// What it is, as its label says.
    pub receipt: Register<LotReceipt>,
    /// Its times out of the bag, oldest first.
    pub exposures: Vec<Exposure>,
    /// Its bakes, oldest first.
    pub bakes: Vec<JudgedBake>,
    /// The standing entries about it, oldest first.
    pub entries: Vec<EntryId>,
    /// When the last thing happened to it, in milliseconds since 1970: nothing that is recorded from now on lies before.
    pub last_event_ms: Option<i64>,
    /// True while it lies in the dry cabinet.
    pub in_dry_cabinet: bool,
}

/// A bake, and whether it set the clock back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JudgedBake {
    /// The bake.
    pub bake: LotBake,
    /// True when it gives the floor life back.
    pub counts: bool,
    /// Why, or why not.
    pub words: String,
}

/// The oven that the table of bake hours is for, in degrees Celsius.
const TABLE_C: u16 = 125;
/// The most that the floor life may be passed for the shorter bake, in milliseconds (J-STD-033, as reprinted).
const LITTLE_OVER_MS: i64 = 72 * 3_600_000;

impl Lot {
    /// Its history for the floor life; `None` for parts that moisture does not harm.
    pub fn moisture(&self) -> Option<Moisture> {
        let receipt = self.receipt.value()?;
        Some(Moisture {
            level: receipt.moisture?,
            label_hours: receipt.label_hours,
            exposures: self.exposures.clone(),
            baked_ms: self
                .bakes
                .iter()
                .filter(|judged| judged.counts)
                .map(|judged| judged.bake.ended_ms)
                .max(),
            history_unknown: receipt.history_unknown,
        })
    }

    /// What is left of its floor life.
    pub fn floor_life(&self, now_ms: i64) -> Option<FloorLife> {
        Some(floor_life(&self.moisture()?, now_ms))
    }

    /// True while its bag is open.
    pub fn is_open(&self) -> bool {
        self.exposures
            .iter()
            .any(|exposure| exposure.closed_ms.is_none())
    }

    /// How long it is baked at 125 °C; `None` where no table says.
    pub fn bake_hours(&self) -> Option<BakeHours> {
        let receipt = self.receipt.value()?;
        bake_hours(receipt.moisture?, receipt.thickness_um?)
    }

    /// How long it must be baked as it stands at a time, in hours at 125 °C.
    pub fn bake_needed(&self, at_ms: i64) -> Option<u32> {
        self.needed(&self.moisture()?, at_ms)
    }

    fn needed(&self, moisture: &Moisture, at_ms: i64) -> Option<u32> {
        let hours = self.bake_hours()?;
        let limit_ms = i64::from(moisture.level.hours()?) * 3_600_000;
        let over_ms = floor_life(moisture, at_ms).exposed_ms - limit_ms;
        Some(if moisture.history_unknown || over_ms > LITTLE_OVER_MS {
            hours.saturated
        } else {
            hours.little_over
        })
    }

    fn judge_bakes(&mut self, mut bakes: Vec<LotBake>) {
        bakes.sort_by_key(|bake| bake.ended_ms);
        for bake in bakes {
            let (counts, words) = self.judge_bake(&bake);
            self.bakes.push(JudgedBake {
                bake,
                counts,
                words,
            });
        }
    }

    fn judge_bake(&self, bake: &LotBake) -> (bool, String) {
        if !bake.as_maker_says.is_empty() {
            return (true, format!("As its maker says: {}.", bake.as_maker_says));
        }
        let Some(moisture) = self.moisture() else {
            return (true, "It needs no bake.".to_owned());
        };
        if moisture.level == MoistureLevel::L1 {
            return (true, "It needs no bake.".to_owned());
        }
        let began_ms = bake.ended_ms - i64::from(bake.hours) * 3_600_000;
        match self.needed(&moisture, began_ms) {
            None => (
                false,
                "No table here says how long such a part is baked: give its level and thickness, or what its maker says."
                    .to_owned(),
            ),
            Some(_) if bake.temperature_c != TABLE_C => (
                false,
                format!("The hours known here are for {TABLE_C} °C; for {} °C give what its maker says.", bake.temperature_c),
            ),
            Some(needed) if bake.hours < needed => (
                false,
                format!("{} h are too short: it needs {needed} h at {TABLE_C} °C.", bake.hours),
            ),
            Some(needed) => (true, format!("{} h at {TABLE_C} °C; {needed} h were needed.", bake.hours)),
        }
    }
}

#[derive(Default)]
struct Events<'a> {
    receipts: Vec<(&'a Recorded, LotReceipt)>,
    bags: Vec<BagTurn>,
    bakes: Vec<LotBake>,
    entries: Vec<EntryId>,
}

/// When a bag was opened or closed, and how it was closed.
struct BagTurn {
    at_ms: i64,
    opened: bool,
    dry_cabinet: bool,
}

/// The lot that an entry is about, and when that happened to it; no time for what only describes it.
pub fn lot_event(recorded: &Recorded) -> Option<(&LotNumber, Option<i64>)> {
    match recorded.fact()? {
        Fact::LotReceived(receipt) => Some((&receipt.lot, None)),
        Fact::LotOpened(bag) | Fact::LotClosed(bag) => Some((&bag.lot, Some(bag.at_ms))),
        Fact::LotBaked(bake) => Some((&bake.lot, Some(bake.ended_ms))),
        _ => None,
    }
}

/// Folds the lots. `standing` is in the display order, without what was withdrawn.
pub(crate) fn fold_lots(standing: &[&Recorded]) -> Vec<Lot> {
    let mut lots: BTreeMap<LotNumber, Events<'_>> = BTreeMap::new();
    for recorded in standing {
        let Some((lot, _)) = lot_event(recorded) else {
            continue;
        };
        let events = lots.entry(lot.clone()).or_default();
        events.entries.push(recorded.entry_id);
        match recorded.fact() {
            Some(Fact::LotReceived(receipt)) => events.receipts.push((recorded, receipt.clone())),
            Some(Fact::LotOpened(bag)) => events.bags.push(BagTurn::of(bag, true)),
            Some(Fact::LotClosed(bag)) => events.bags.push(BagTurn::of(bag, false)),
            Some(Fact::LotBaked(bake)) => events.bakes.push(bake.clone()),
            _ => {}
        }
    }
    lots.into_iter()
        .map(|(lot, mut events)| {
            // At one instant, closing comes after opening.
            events.bags.sort_by_key(|turn| (turn.at_ms, !turn.opened));
            let bake_ms = events.bakes.iter().map(|bake| bake.ended_ms);
            let mut folded = Lot {
                lot,
                receipt: Register::fold(events.receipts),
                exposures: exposures(&events.bags),
                bakes: Vec::new(),
                entries: events.entries,
                last_event_ms: bake_ms
                    .chain(events.bags.iter().map(|turn| turn.at_ms))
                    .max(),
                in_dry_cabinet: events
                    .bags
                    .last()
                    .is_some_and(|turn| !turn.opened && turn.dry_cabinet),
            };
            folded.judge_bakes(events.bakes);
            folded
        })
        .collect()
}

impl BagTurn {
    const fn of(bag: &LotBag, opened: bool) -> Self {
        Self {
            at_ms: bag.at_ms,
            opened,
            dry_cabinet: bag.dry_cabinet,
        }
    }
}

/// The times between an opening and the next closing. `turns` are in their order.
fn exposures(turns: &[BagTurn]) -> Vec<Exposure> {
    let mut exposures: Vec<Exposure> = Vec::new();
    for turn in turns {
        let open = exposures
            .last_mut()
            .filter(|exposure| exposure.closed_ms.is_none());
        match (turn.opened, open) {
            (true, None) => exposures.push(Exposure {
                opened_ms: turn.at_ms,
                closed_ms: None,
            }),
            (false, Some(exposure)) => exposure.closed_ms = Some(turn.at_ms),
            // Opened while open, or closed while closed: the earlier entry stands.
            _ => {}
        }
    }
    exposures
}

#[cfg(test)]
mod tests;
