//! What one package holds, as the rules count it: cells or batteries, how many, how large, lying how to their devices.
//!
//! Nothing is rounded and nothing is guessed: what can't be known from the question stays unknown.

use std::collections::BTreeSet;

use super::answer::UnNumber;
use super::findings::{Condition, FindingCode, conditions};
use super::question::{Chem, Config, Contents, Parcel};

/// A cell, or a battery of several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Unit {
    Cell,
    Battery,
}

/// One kind of content, as the rules count it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Load<'a> {
    pub(super) contents: &'a Contents,
    /// After mixed packages were brought under one heading.
    pub(super) config: Option<Config>,
    /// Cells or batteries in one package.
    pub(super) units: Option<i64>,
}

/// All that one package holds.
#[derive(Debug)]
pub(super) struct Loads<'a> {
    /// What counts. Button cells on boards are not among them when anything else is.
    pub(super) counted: Vec<Load<'a>>,
    /// The condition that every finding on anything inside calls for.
    pub(super) conditions: BTreeSet<Condition>,
    /// Every finding on anything inside.
    pub(super) findings: BTreeSet<FindingCode>,
}

impl<'a> Loads<'a> {
    pub(super) fn of(parcel: &'a Parcel) -> Self {
        let on_board =
            |contents: &Contents| contents.button && contents.config == Some(Config::Contained);
        let has_other = parcel.contents.iter().any(|contents| !on_board(contents));
        let counted: Vec<&Contents> = parcel
            .contents
            .iter()
            .filter(|contents| !(has_other && on_board(contents)))
            .collect();
        let mut found = BTreeSet::new();
        for contents in &parcel.contents {
            // A cell on a board that nobody named a finding for is not a reason to ask for one.
            if !(has_other && on_board(contents) && contents.findings.is_empty()) {
                found.extend(conditions(&contents.findings));
            }
        }
        Self {
            counted: loads(&counted, devices(parcel)),
            conditions: found,
            findings: parcel
                .contents
                .iter()
                .flat_map(|contents| contents.findings.iter().copied())
                .collect(),
        }
    }

    /// The worst condition of anything inside.
    pub(super) fn condition(&self) -> Condition {
        self.conditions
            .last()
            .copied()
            .unwrap_or(Condition::Undiagnosed)
    }

    pub(super) fn any(&self, config: Config) -> bool {
        self.counted.iter().any(|load| load.config == Some(config))
    }

    /// The loads that lie so to their devices.
    pub(super) fn lying(&self, config: Config) -> Vec<Load<'a>> {
        self.counted
            .iter()
            .filter(|load| load.config == Some(config))
            .copied()
            .collect()
    }

    /// Cells or batteries of a heading in one package; `None` when a count is missing.
    pub(super) fn count(&self, config: Config, unit: Unit) -> Option<i64> {
        self.lying(config)
            .iter()
            .filter(|load| load.unit() != Some(other(unit)))
            .map(|load| load.unit().and(load.units))
            .try_fold(0_i64, |sum, units| Some(sum.saturating_add(units?)))
    }

    /// The fewest cells or batteries of any heading that one package can hold, with everything that is missing taken for one.
    pub(super) fn at_least(&self, unit: Unit) -> i64 {
        self.counted
            .iter()
            .filter(|load| load.config != Some(Config::Alone))
            .filter(|load| load.unit().unwrap_or(Unit::Cell) == unit)
            .map(|load| load.units.unwrap_or_else(|| least_units(load.contents)))
            .fold(0, i64::saturating_add)
    }

    /// Whether all that lies so are button cells.
    pub(super) fn only_buttons(&self, config: Config) -> bool {
        self.lying(config).iter().all(|load| load.contents.button)
    }

    /// The UN numbers of what counts, in ascending order.
    pub(super) fn un(&self) -> BTreeSet<UnNumber> {
        self.counted.iter().filter_map(Load::un).collect()
    }

    /// Grams of cells and batteries in one package, or the most they can weigh; `None` when neither can be said.
    pub(super) fn net_g(&self, parcel: &Parcel, least_wh_per_kg: Option<i64>) -> Option<i64> {
        let sum = self.counted.iter().try_fold(0_i64, |sum, load| {
            let net = load
                .contents
                .battery_net_g_per_package
                .or_else(|| load.bound_g(least_wh_per_kg?));
            Some(sum.saturating_add(net?))
        });
        // What the whole package weighs is a bound too.
        match (sum, parcel.gross_g_per_package) {
            (Some(sum), Some(gross)) if !self.has_net() => Some(sum.min(gross)),
            (None, gross) => gross,
            (sum, _) => sum,
        }
    }

    /// Whether the mass of every kind was given.
    pub(super) fn has_net(&self) -> bool {
        self.counted
            .iter()
            .all(|load| load.contents.battery_net_g_per_package.is_some())
    }

    /// Spare sets of everything in one package; `None` when one is not said.
    pub(super) fn spare_sets(&self) -> Option<i64> {
        self.counted
            .iter()
            .filter(|load| {
                load.contents.config == Some(Config::PackedWith)
                    || load.contents.spare_sets.is_some()
            })
            .try_fold(0_i64, |sum, load| {
                Some(sum.saturating_add(load.contents.spare_sets?))
            })
    }
}

const fn other(unit: Unit) -> Unit {
    match unit {
        Unit::Cell => Unit::Battery,
        Unit::Battery => Unit::Cell,
    }
}

/// Devices in one package; `None` when a line does not say.
fn devices(parcel: &Parcel) -> Option<i64> {
    parcel
        .contents
        .iter()
        .filter(|contents| contents.config != Some(Config::Alone))
        .try_fold(0_i64, |sum, contents| {
            Some(sum.saturating_add(contents.devices_per_package?))
        })
}

/// Brings what lies in and beside devices under one heading: both together count as packed with (49 CFR SP 181, ADR SP 390),
/// and cells beside no device at all count as loose.
fn loads<'a>(contents: &[&'a Contents], devices: Option<i64>) -> Vec<Load<'a>> {
    let has_spares = |contents: &Contents| contents.spare_sets.is_some_and(|sets| sets > 0);
    let packed_with = contents.iter().any(|contents| {
        contents.config == Some(Config::PackedWith)
            || contents.config == Some(Config::Contained) && has_spares(contents)
    });
    contents
        .iter()
        .map(|contents| {
            let config = match contents.config {
                Some(Config::PackedWith) if devices == Some(0) => Some(Config::Alone),
                Some(Config::Contained) if packed_with => Some(Config::PackedWith),
                config => config,
            };
            Load {
                contents,
                config,
                units: units(contents),
            }
        })
        .collect()
}

/// Units of one line in one package.
fn units(contents: &Contents) -> Option<i64> {
    let each = contents.units_in_devices?;
    let sets = match contents.config? {
        Config::Alone => 1,
        Config::Contained => contents
            .devices_per_package?
            .saturating_add(contents.spare_sets.unwrap_or(0)),
        Config::PackedWith => contents
            .devices_per_package?
            .saturating_add(contents.spare_sets?)
            // Beside no device and with no spare set named, the units themselves are what is there.
            .max(1),
    };
    let units = each.saturating_mul(sets);
    (units > 0).then_some(units)
}

/// Units of one line, with every count that is missing taken for the least.
fn least_units(contents: &Contents) -> i64 {
    let each = contents.units_in_devices.unwrap_or(1).max(1);
    let devices = contents.devices_per_package.unwrap_or(0).max(0);
    let spares = contents.spare_sets.unwrap_or(0).max(0);
    each.saturating_mul(devices.saturating_add(spares).max(1))
}

impl Load<'_> {
    /// A cell or a battery. A battery of a single cell is a cell (49 CFR 173.185(a)(1), ADR SP 188).
    pub(super) fn unit(&self) -> Option<Unit> {
        match self.contents.cells_per_unit {
            Some(1) => Some(Unit::Cell),
            Some(cells) if cells > 1 => Some(Unit::Battery),
            _ if self.contents.button => Some(Unit::Cell),
            _ => None,
        }
    }

    /// Nominal voltage times capacity, exactly: millivolts times milliampere-hours are microwatt-hours. Of two printed
    /// capacities the larger counts.
    pub(super) fn product_uwh(&self) -> Option<i64> {
        let capacity = self.contents.mah.max(self.contents.mah_second)?;
        self.contents.mv?.checked_mul(capacity)
    }

    /// The energy of one unit: as printed, or else the product. The maker's declared figure rules (PHMSA 22-0113).
    pub(super) fn uwh(&self) -> Option<i64> {
        self.contents
            .wh_label
            .map(|label| label.0)
            .or_else(|| self.product_uwh())
    }

    /// Whether label and product lie on different sides of a limit.
    pub(super) fn disagrees_across(&self, limit_uwh: i64) -> bool {
        self.contents
            .wh_label
            .zip(self.product_uwh())
            .is_some_and(|(label, product)| (label.0 <= limit_uwh) != (product <= limit_uwh))
    }

    /// Micrograms of lithium in one unit.
    pub(super) fn li_ug(&self) -> Option<i64> {
        self.contents.li_grams.map(|grams| grams.0)
    }

    /// The most that the units of one package weigh, by their energy.
    fn bound_g(&self, least_wh_per_kg: i64) -> Option<i64> {
        if !matches!(self.contents.chem, Chem::LiIon) || least_wh_per_kg <= 0 {
            return None;
        }
        // Larger of label and product, so that the bound holds whichever is right.
        let uwh = self
            .contents
            .wh_label
            .map(|label| label.0)
            .max(self.product_uwh())?;
        let total = uwh.checked_mul(self.units?)?;
        // Microwatt-hours over watt-hours in a kilogram are micrograms times a thousand: rounded up to whole grams.
        let per_gram = least_wh_per_kg.checked_mul(1_000)?;
        Some(total / per_gram + 1)
    }

    /// The UN number by chemistry and heading.
    pub(super) fn un(&self) -> Option<UnNumber> {
        let alone = self.config? == Config::Alone;
        Some(match (self.contents.chem, alone) {
            (Chem::LiIon, true) => UnNumber::Un3480,
            (Chem::LiIon, false) => UnNumber::Un3481,
            (Chem::LiMetal | Chem::Hybrid, true) => UnNumber::Un3090,
            (Chem::LiMetal | Chem::Hybrid, false) => UnNumber::Un3091,
            (Chem::NaIon, true) => UnNumber::Un3551,
            (Chem::NaIon, false) => UnNumber::Un3552,
            (Chem::Unknown, _) => return None,
        })
    }
}
