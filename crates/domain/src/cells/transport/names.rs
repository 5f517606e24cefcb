//! Proper shipping names and packing instructions.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Flag, UnNumber};
use super::findings::Condition;
use super::ledger::Ledger;
use super::load::{Load, Loads};
use super::question::{Carrier, Chem, Config, Mode, Purpose, Regime};

/// The proper shipping name of each UN number, in ascending order.
pub(super) fn names(loads: &Loads<'_>) -> Vec<(UnNumber, String)> {
    let mut names: BTreeMap<UnNumber, BTreeSet<&'static str>> = BTreeMap::new();
    for load in &loads.counted {
        if let Some((un, config)) = load.un().zip(load.config) {
            names.entry(un).or_default().insert(name(un, config));
        }
    }
    names
        .into_iter()
        .map(|(un, names)| (un, names.into_iter().collect::<Vec<_>>().join(" / ")))
        .collect()
}

const fn name(un: UnNumber, config: Config) -> &'static str {
    match (un, config) {
        (UnNumber::Un3090, _) => "Lithium metal batteries",
        (UnNumber::Un3091, Config::PackedWith) => "Lithium metal batteries packed with equipment",
        (UnNumber::Un3091, _) => "Lithium metal batteries contained in equipment",
        (UnNumber::Un3480, _) => "Lithium ion batteries",
        (UnNumber::Un3481, Config::PackedWith) => "Lithium ion batteries packed with equipment",
        (UnNumber::Un3481, _) => "Lithium ion batteries contained in equipment",
        (UnNumber::Un3551, _) => "Sodium ion batteries with organic electrolyte",
        (UnNumber::Un3552, Config::PackedWith) => {
            "Sodium ion batteries packed with equipment, with organic electrolyte"
        }
        (UnNumber::Un3552, _) => {
            "Sodium ion batteries contained in equipment, with organic electrolyte"
        }
    }
}

/// The number of the air packing instruction.
pub(super) fn air_instruction(load: &Load<'_>) -> Option<&'static str> {
    Some(match (load.contents.chem, load.config?) {
        (Chem::LiIon, Config::Alone) => "965",
        (Chem::LiIon, Config::PackedWith) => "966",
        (Chem::LiIon, Config::Contained) => "967",
        (Chem::LiMetal | Chem::Hybrid, Config::Alone) => "968",
        (Chem::LiMetal | Chem::Hybrid, Config::PackedWith) => "969",
        (Chem::LiMetal | Chem::Hybrid, Config::Contained) => "970",
        (Chem::NaIon, Config::Alone) => "976",
        (Chem::NaIon, Config::PackedWith) => "977",
        (Chem::NaIon, Config::Contained) => "978",
        (Chem::Unknown, _) => return None,
    })
}

/// The packing instructions of what is inside, each once.
pub(super) fn instructions(ledger: &Ledger<'_>, loads: &Loads<'_>) -> Vec<String> {
    let large = ledger.flags.contains(&Flag::FullyRegulated);
    let mut instructions = BTreeSet::new();
    for load in &loads.counted {
        if let Some(instruction) = instruction(ledger, loads.condition(), load, large) {
            instructions.insert(instruction);
        }
    }
    instructions.into_iter().collect()
}

fn instruction(
    ledger: &Ledger<'_>,
    condition: Condition,
    load: &Load<'_>,
    large: bool,
) -> Option<String> {
    let parcel = ledger.parcel;
    let config = load.config?;
    let text = match (parcel.mode, parcel.regime) {
        (Mode::AirPax | Mode::AirCargo, _) => {
            let number = air_instruction(load)?;
            return Some(match config {
                Config::Alone if parcel.mode == Mode::AirPax => format!("PI {number}"),
                Config::Alone if is_over_small(ledger, load) => format!("PI {number}-IA"),
                Config::Alone => format!("PI {number}-IB"),
                _ if large => format!("PI {number}-I"),
                _ => format!("PI {number}-II"),
            });
        }
        (Mode::PostDomestic, _) if parcel.carrier == Carrier::Usps => match config {
            Config::Alone => "Packaging Instruction 9D",
            _ => "Pub 52 section 349",
        },
        (Mode::PostIntl, _) if parcel.carrier == Carrier::Usps => "IMM 135.6",
        (Mode::PostDomestic | Mode::PostIntl, _) => return None,
        (Mode::Ground, Regime::UsHmr) if condition > Condition::Undiagnosed => "173.185(f)",
        (Mode::Ground, Regime::UsHmr) if parcel.purpose == Purpose::Recycle => "173.185(d)",
        (Mode::Ground, Regime::UsHmr) if large => "173.185(b)",
        (Mode::Ground, Regime::UsHmr) => "173.185(c)",
        (Mode::Ground, Regime::Adr) if condition > Condition::Sound => "P908",
        (Mode::Ground, Regime::Adr) if parcel.purpose == Purpose::Recycle => "P909",
        (Mode::Ground, Regime::Adr) if large => "P903",
        (Mode::Ground, Regime::Adr) => "SP 188",
    };
    Some(text.to_owned())
}

/// Whether a loose load is above the small limits; what is not known counts as above.
fn is_over_small(ledger: &Ledger<'_>, load: &Load<'_>) -> bool {
    super::size::size(ledger, load) != super::size::Size::Small
}
