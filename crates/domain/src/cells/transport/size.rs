//! Small, or up to the larger limits of the road, or above: by the limits of the regime, compared in whole microwatt-hours.

use super::ledger::Ledger;
use super::load::{Load, Unit};
use super::question::{Chem, Mode, Regime};
use crate::cells::book::RowUnit;

/// How large one unit is in the eyes of the rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Size {
    /// Within the small limits.
    Small,
    /// Above them, within the larger limits of the United States' highways and rails.
    Road,
    /// Above those.
    Large,
    /// Something that decides it is missing.
    Unknown,
}

/// What a limit is compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Comparison {
    /// The limit's id in the book.
    pub(super) limit: &'static str,
    /// What is compared.
    pub(super) what: &'static str,
    /// The value, in the limit's unit.
    pub(super) value: Option<i64>,
}

const fn comparison(limit: &'static str, what: &'static str, value: Option<i64>) -> Comparison {
    Comparison { limit, what, value }
}

/// The larger of label and product where they disagree across a limit, else the label, else the product.
fn energy(load: &Load<'_>, limit_uwh: Option<i64>) -> Option<i64> {
    match limit_uwh {
        Some(limit) if load.disagrees_across(limit) => load.uwh().max(load.product_uwh()),
        _ => load.uwh(),
    }
}

/// The comparisons that make a load small; empty when the book has no limits for its kind here.
pub(super) fn small(ledger: &Ledger<'_>, load: &Load<'_>) -> Vec<Comparison> {
    // Where nobody said which it is, what is too much for a battery is too much for a cell.
    let unit = load.unit().unwrap_or(Unit::Battery);
    let wh = |id| energy(load, ledger.value(id));
    match (load.contents.chem, unit) {
        (Chem::LiIon, Unit::Cell) => {
            vec![comparison(
                "SM.CELL.WH",
                "watt-hours of a cell",
                wh("SM.CELL.WH"),
            )]
        }
        (Chem::LiIon, Unit::Battery) => {
            vec![comparison(
                "SM.BATT.WH",
                "watt-hours of a battery",
                wh("SM.BATT.WH"),
            )]
        }
        (Chem::LiMetal, Unit::Cell) => {
            vec![comparison("SM.CELL.G", "lithium in a cell", load.li_ug())]
        }
        (Chem::LiMetal, Unit::Battery) => {
            vec![comparison(
                "SM.BATT.G",
                "lithium in a battery",
                load.li_ug(),
            )]
        }
        (Chem::NaIon, _) if !has_sodium_rules(ledger) => Vec::new(),
        (Chem::NaIon, Unit::Cell) => {
            vec![comparison(
                "NA.CELL.WH",
                "watt-hours of a cell",
                wh("NA.CELL.WH"),
            )]
        }
        (Chem::NaIon, Unit::Battery) => {
            vec![comparison(
                "NA.BATT.WH",
                "watt-hours of a battery",
                wh("NA.BATT.WH"),
            )]
        }
        (Chem::Hybrid, _) => vec![
            comparison("HYB.G", "lithium in a battery of two kinds", load.li_ug()),
            comparison(
                "HYB.WH",
                "watt-hours of a battery of two kinds",
                wh("HYB.WH"),
            ),
        ],
        (Chem::Unknown, _) => Vec::new(),
    }
}

/// Whether the book holds rules for sodium-ion cells on this way: by road under ADR only.
pub(super) fn has_sodium_rules(ledger: &Ledger<'_>) -> bool {
    ledger.parcel.mode == Mode::Ground && ledger.parcel.regime == Regime::Adr
}

/// The comparison with the larger limits of the United States' road.
pub(super) fn road(ledger: &Ledger<'_>, load: &Load<'_>) -> Option<Comparison> {
    if ledger.parcel.mode != Mode::Ground || ledger.parcel.regime != Regime::UsHmr {
        return None;
    }
    let wh = |id| energy(load, ledger.value(id));
    Some(
        match (load.contents.chem, load.unit().unwrap_or(Unit::Battery)) {
            (Chem::LiIon, Unit::Cell) => comparison(
                "US.GND.CELL.WH",
                "watt-hours of a cell on the road",
                wh("US.GND.CELL.WH"),
            ),
            (Chem::LiIon, Unit::Battery) => comparison(
                "US.GND.BATT.WH",
                "watt-hours of a battery on the road",
                wh("US.GND.BATT.WH"),
            ),
            (Chem::LiMetal, Unit::Cell) => comparison(
                "US.GND.CELL.G",
                "lithium in a cell on the road",
                load.li_ug(),
            ),
            (Chem::LiMetal, Unit::Battery) => comparison(
                "US.GND.BATT.G",
                "lithium in a battery on the road",
                load.li_ug(),
            ),
            (Chem::NaIon | Chem::Hybrid | Chem::Unknown, _) => return None,
        },
    )
}

/// The size of one load.
pub(super) fn size(ledger: &Ledger<'_>, load: &Load<'_>) -> Size {
    let small = small(ledger, load);
    let keeps = |comparison: &Comparison| {
        comparison
            .value
            .zip(ledger.value(comparison.limit))
            .is_some_and(|(value, limit)| value <= limit)
    };
    // One value that is known to break its limit decides, whatever is missing beside it.
    let breaks = |comparison: &Comparison| comparison.value.is_some() && !keeps(comparison);
    if small.iter().any(breaks) {
        if road(ledger, load).as_ref().is_some_and(keeps) {
            Size::Road
        } else {
            Size::Large
        }
    } else if !small.is_empty() && small.iter().all(keeps) {
        Size::Small
    } else {
        Size::Unknown
    }
}

fn is_energy(ledger: &Ledger<'_>, id: &str) -> bool {
    ledger.row(id).and_then(|row| row.unit) == Some(RowUnit::Uwh)
}

/// The energy limits that can decide about a load here: label and product must lie on the same side of each.
pub(super) fn deciding_limits(ledger: &Ledger<'_>, load: &Load<'_>) -> Vec<(&'static str, i64)> {
    let mut ids: Vec<&'static str> = small(ledger, load)
        .iter()
        .map(|comparison| comparison.limit)
        .filter(|id| is_energy(ledger, id))
        .collect();
    ids.extend(
        road(ledger, load)
            .map(|comparison| comparison.limit)
            .filter(|id| is_energy(ledger, id)),
    );
    if ledger.parcel.mode.is_air() && load.config == Some(super::question::Config::PackedWith) {
        ids.push("SOC.WITH.WH");
    }
    ids.into_iter()
        .filter_map(|id| Some((id, ledger.value(id)?)))
        .collect()
}
