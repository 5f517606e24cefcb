//! Rules for sound cells and batteries: R11 to R23.
//!
//! By purpose, by size, and by how the cells lie to their devices. Every rule that applies fires; none hides another.

use super::answer::{Flag, VerdictCode};
use super::data_rules::hold;
use super::ledger::Ledger;
use super::load::{Load, Loads, Unit};
use super::marks;
use super::names::air_instruction;
use super::number::Millionths;
use super::question::{Carrier, Chem, Config, DeviceStatus, Mode, Purpose, Regime};
use super::size::{self, Size};
use crate::cells::book::RuleBody;

/// Applies the rules for what is sound.
pub(super) fn apply(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    recycling(ledger);
    for load in &loads.counted {
        large(ledger, load);
    }
    if loads.any(Config::Alone) {
        alone(ledger, loads);
    }
    if loads.any(Config::PackedWith) {
        packed_with(ledger, loads);
    }
    if loads.any(Config::Contained) {
        contained(ledger, loads);
    }
}

/// R11.
fn recycling(ledger: &mut Ledger<'_>) {
    if ledger.parcel.purpose != Purpose::Recycle {
        return;
    }
    let verdict = match (ledger.parcel.mode, ledger.parcel.regime) {
        (Mode::Ground, Regime::UsHmr) => VerdictCode::Ordinary,
        (Mode::AirPax | Mode::AirCargo, _) => VerdictCode::Forbidden,
        _ => VerdictCode::Hold,
    };
    ledger.fire("R11", verdict, "");
}

/// R12, with the comparisons behind it.
fn large(ledger: &mut Ledger<'_>, load: &Load<'_>) {
    for comparison in size::small(ledger, load) {
        ledger.keeps(comparison.limit, comparison.what, comparison.value);
    }
    let size = size::size(ledger, load);
    if matches!(size, Size::Small | Size::Unknown) {
        return;
    }
    if let Some(comparison) = size::road(ledger, load) {
        ledger.keeps(comparison.limit, comparison.what, comparison.value);
    }
    let detail = match (load.uwh(), load.li_ug()) {
        (Some(uwh), _) if load.contents.chem != Chem::LiMetal => {
            format!("Here: {} Wh.", Millionths(uwh))
        }
        (_, Some(grams)) => format!("Here: {} g of lithium.", Millionths(grams)),
        _ => String::new(),
    };
    if size == Size::Road {
        ledger.fire("R12", VerdictCode::Marked, detail);
        ledger.mark(marks::ground_words(ledger));
        return;
    }
    let verdict = if ledger.parcel.mode.is_post() {
        VerdictCode::Forbidden
    } else {
        VerdictCode::Hold
    };
    ledger.fire("R12", verdict, detail);
    ledger.flag(Flag::FullyRegulated);
    fully_regulated(ledger);
}

/// What a fully regulated parcel needs, for the trained shipper.
fn fully_regulated(ledger: &mut Ledger<'_>) {
    if ledger.parcel.mode.is_post() {
        return;
    }
    ledger.mark(marks::class_label(ledger));
    if ledger.parcel.mode.is_air() {
        for id in ["AIR.NET.I.PAX", "AIR.NET.I.CARGO"] {
            if let Some(row) = ledger.row(id) {
                let text = format!("Section I: {}", row.text);
                ledger.unknown(format!("the mass limits of {text}"));
            }
        }
        ledger.paper(
            "shipper's declaration",
            "Declaration for dangerous goods by a trained shipper.",
            "IATA 8",
        );
    } else {
        ledger.paper(
            "transport document",
            "UN number, proper shipping name, class 9; by a trained shipper.",
            "49 CFR 172 subpart C; ADR 5.4.1",
        );
    }
}

/// R13 to R17.
fn alone(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    match (ledger.parcel.mode, ledger.parcel.carrier) {
        (Mode::AirPax, _) => ledger.fire("R13", VerdictCode::Forbidden, ""),
        (Mode::AirCargo, _) => alone_on_cargo_aircraft(ledger, loads),
        (Mode::PostIntl, _) => ledger.fire("R15", VerdictCode::Forbidden, ""),
        (Mode::PostDomestic, Carrier::Usps) => alone_in_the_mail(ledger, loads),
        // Another country's post: R28 holds it.
        (Mode::PostDomestic, _) => {}
        (Mode::Ground, _) => alone_by_road(ledger, loads),
    }
}

/// R14.
fn alone_on_cargo_aircraft(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let mut charge_kept = true;
    for load in loads.lying(Config::Alone) {
        if load.contents.chem != Chem::LiMetal {
            charge_kept &= ledger.keeps(
                "SOC.ALONE",
                "charge of the rated capacity",
                load.contents.soc_rated_pct,
            );
        }
    }
    if !charge_kept {
        ledger.fire(
            "R14",
            VerdictCode::Forbidden,
            "The charge is above that, or not known.",
        );
        return;
    }
    ledger.fire("R14", VerdictCode::Hold, "");
    ledger.flag(Flag::FullyRegulated);
    ledger.flag(Flag::CargoAircraftOnly);
    let net = loads.net_g(ledger.parcel, ledger.value("BOUND.WH.KG"));
    let id = if loads
        .lying(Config::Alone)
        .iter()
        .all(|load| matches!(load.contents.chem, Chem::LiMetal | Chem::Hybrid))
    {
        "AIR.968IB"
    } else {
        "AIR.965IB"
    };
    ledger.keeps(id, net_what(loads), net);
    fully_regulated(ledger);
    ledger.mark(marks::cargo_label());
    battery_marks(ledger, loads, Config::Alone);
}

/// R16.
fn alone_in_the_mail(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let sealed = loads
        .lying(Config::Alone)
        .iter()
        .all(|load| load.contents.device_status == Some(DeviceStatus::NewSealed));
    let gross = ledger.parcel.gross_g_per_package;
    let light = ledger.keeps("USPS.ALONE", "weight of the mailpiece", gross);
    if !sealed || (!light && gross.is_some()) {
        ledger.fire("R16", VerdictCode::Forbidden, "");
        return;
    }
    if gross.is_none() {
        hold(ledger, "the weight of the mailpiece");
    }
    ledger.fire("R16", VerdictCode::Marked, "");
    ledger.flag(Flag::SurfaceOnly);
    battery_marks(ledger, loads, Config::Alone);
    ledger.mark(marks::surface_mail_words(ledger));
}

/// R17.
fn alone_by_road(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let gross = ledger.parcel.gross_g_per_package;
    if gross.is_none() {
        hold(ledger, "the weight of the package");
    }
    let light = ledger.keeps("PKG.GROSS", "weight of the package", gross);
    let verdict = if light {
        VerdictCode::Marked
    } else {
        VerdictCode::Hold
    };
    ledger.fire("R17", verdict, "");
    battery_marks(ledger, loads, Config::Alone);
    let on_road_only = loads
        .lying(Config::Alone)
        .iter()
        .all(|load| size::size(ledger, load) == Size::Road);
    if ledger.parcel.regime == Regime::UsHmr && !on_road_only {
        ledger.mark(marks::passenger_words(ledger));
    }
    drop_test(ledger);
}

/// R18 to R21.
fn packed_with(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    match (ledger.parcel.mode, ledger.parcel.carrier) {
        (Mode::AirPax | Mode::AirCargo, _) => packed_with_by_air(ledger, loads),
        (Mode::Ground, _) => {
            ledger.fire("R19", VerdictCode::Marked, "");
            battery_marks(ledger, loads, Config::PackedWith);
            heavy_in_the_states(ledger, loads);
            drop_test(ledger);
        }
        (Mode::PostDomestic, Carrier::Usps) => {
            let verdict = if keeps_mail_counts(ledger, loads) {
                VerdictCode::Marked
            } else {
                VerdictCode::Forbidden
            };
            ledger.fire("R20", verdict, "");
            battery_marks(ledger, loads, Config::PackedWith);
        }
        (Mode::PostIntl, _) => ledger.fire("R21", VerdictCode::Forbidden, ""),
        (Mode::PostDomestic, _) => {}
    }
}

/// R18.
fn packed_with_by_air(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let mut verdict = VerdictCode::Marked;
    for load in loads.lying(Config::PackedWith) {
        if !charge_kept_beside_device(ledger, &load) {
            verdict = VerdictCode::Forbidden;
        }
    }
    let detail = if verdict == VerdictCode::Forbidden {
        "The charge is above that, or not known; only an approval of the States and the operator (A331) could let it go."
    } else {
        ""
    };
    let sets = ledger.keeps("AIR.SETS", "spare sets in the package", loads.spare_sets());
    let net = loads.net_g(ledger.parcel, ledger.value("BOUND.WH.KG"));
    let light = ledger.keeps("AIR.NET", net_what(loads), net);
    if !sets || !light {
        verdict = verdict.max(VerdictCode::Hold);
    }
    if net.is_none() {
        hold(ledger, "the mass of the batteries in the package");
    }
    ledger.fire("R18", verdict, detail);
    battery_marks(ledger, loads, Config::PackedWith);
    waybill(ledger, loads, Config::PackedWith);
    drop_test(ledger);
    if let Some(row) = ledger.row("STACK") {
        ledger.pack(51, row.text.clone(), &row.clause);
    }
}

/// The charge of what is packed beside its device: a limit from 2026, advice in 2025, nothing up to 2.7 Wh.
fn charge_kept_beside_device(ledger: &mut Ledger<'_>, load: &Load<'_>) -> bool {
    if !matches!(load.contents.chem, Chem::LiIon | Chem::Unknown) {
        return true;
    }
    let charge = load.contents.soc_rated_pct;
    let what = "charge of the rated capacity";
    if ledger.value("SOC.WITH").is_some() {
        let uwh = load.uwh().max(load.product_uwh());
        return ledger.keeps(
            "SOC.WITH.WH",
            "watt-hours without a limit of the charge",
            uwh,
        ) || ledger.keeps("SOC.WITH", what, charge);
    }
    if ledger.value("SOC.WITH.ADVICE").is_some() && !ledger.keeps("SOC.WITH.ADVICE", what, charge) {
        ledger.flag(Flag::AdviceSoc);
    }
    true
}

/// R22 and R23.
fn contained(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    if ledger.parcel.mode.is_post() {
        in_the_post(ledger, loads);
    }
    if ledger.parcel.mode == Mode::PostIntl {
        return;
    }
    if is_excused_from_mark(ledger, loads) {
        ledger.fire("R22", VerdictCode::Ordinary, "");
    } else {
        ledger.fire("R22", VerdictCode::Marked, "");
        battery_marks(ledger, loads, Config::Contained);
        if ledger.parcel.mode.is_air() {
            waybill(ledger, loads, Config::Contained);
        }
    }
    if ledger.parcel.mode.is_air() {
        contained_by_air(ledger, loads);
    }
    heavy_in_the_states(ledger, loads);
}

/// Whether no mark is needed: button cells only, or few enough of one kind in few enough packages.
fn is_excused_from_mark(ledger: &mut Ledger<'_>, loads: &Loads<'_>) -> bool {
    if loads.only_buttons(Config::Contained) {
        return true;
    }
    let cells = loads.count(Config::Contained, Unit::Cell);
    let batteries = loads.count(Config::Contained, Unit::Battery);
    let few = match (cells, batteries) {
        (cells, Some(0)) => ledger.keeps("MARK.EX.CELLS", "cells in the package", cells),
        (Some(0), batteries) => {
            ledger.keeps("MARK.EX.BATTS", "batteries in the package", batteries)
        }
        // Cells and batteries together are not addressed: the mark is required.
        _ => false,
    };
    let packages = ledger.parcel.packages_per_consignment;
    ledger.keeps("MARK.EX.PKGS", "packages in the consignment", packages) && few
}

fn contained_by_air(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let net = loads.net_g(ledger.parcel, ledger.value("BOUND.WH.KG"));
    if net.is_none() {
        hold(ledger, "the mass of the batteries in the package");
    }
    if !ledger.keeps("AIR.NET", net_what(loads), net) {
        ledger.fire(
            "R22",
            VerdictCode::Hold,
            "There are more than 5 kg of batteries, or their mass is not known.",
        );
    }
    for load in loads.lying(Config::Contained) {
        if load.contents.chem == Chem::LiIon
            && !ledger.keeps(
                "SOC.IN",
                "charge of the rated capacity (advice)",
                load.contents.soc_rated_pct,
            )
            && !ledger.keeps(
                "SOC.IN.SHOWN",
                "charge shown (advice)",
                load.contents.soc_indicated_pct,
            )
        {
            ledger.flag(Flag::AdviceSoc);
        }
    }
}

/// R23.
fn in_the_post(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let within = match (ledger.parcel.mode, ledger.parcel.carrier) {
        (Mode::PostDomestic, Carrier::Usps) => keeps_mail_counts(ledger, loads),
        (Mode::PostIntl, _) => keeps_counts(ledger, loads, ("POST.INT.CELLS", "POST.INT.BATTS")),
        _ => return,
    };
    if !within {
        ledger.fire("R23", VerdictCode::Forbidden, "");
        return;
    }
    ledger.fire("R23", VerdictCode::Ordinary, "");
    if ledger.parcel.mode == Mode::PostIntl {
        ledger.flag(Flag::NoOutsideBatteryLabels);
        ledger.unknown(
            "whether the post of the country it goes to has agreed to take lithium batteries",
        );
        if !is_excused_from_mark(ledger, loads) {
            ledger.fire("R23", VerdictCode::Hold, "So many would need the battery mark by air, and the post wants none: send fewer, or fewer packages at a time.");
        }
    }
}

/// Cells or batteries of every heading.
fn total(loads: &Loads<'_>, unit: Unit) -> Option<i64> {
    let of = |config| loads.count(config, unit);
    Some(of(Config::Contained)?.saturating_add(of(Config::PackedWith)?))
}

fn keeps_mail_counts(ledger: &mut Ledger<'_>, loads: &Loads<'_>) -> bool {
    keeps_counts(ledger, loads, ("USPS.MAX.CELLS", "USPS.MAX.BATTS"))
}

/// Whether a mailpiece keeps its counts. Where one is missing the parcel is held for that; here only what is too many in any
/// case counts. Both are noted, so that a person sees each count beside its limit.
fn keeps_counts(
    ledger: &mut Ledger<'_>,
    loads: &Loads<'_>,
    (cells, batteries): (&str, &str),
) -> bool {
    let mut keeps = |id: &str, what: &str, unit: Unit| {
        let known = total(loads, unit);
        let within = ledger.keeps(id, what, known);
        let least = loads.at_least(unit);
        within || (known.is_none() && ledger.value(id).is_some_and(|limit| least <= limit))
    };
    let few_cells = keeps(cells, "cells in the mailpiece", Unit::Cell);
    let few_batteries = keeps(batteries, "batteries in the mailpiece", Unit::Battery);
    few_cells && few_batteries
}

/// The words about passenger aircraft on a heavy package of the United States' road.
fn heavy_in_the_states(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    if ledger.parcel.mode != Mode::Ground || ledger.parcel.regime != Regime::UsHmr {
        return;
    }
    let net = loads.net_g(ledger.parcel, ledger.value("BOUND.WH.KG"));
    let light = ledger.keeps_of("AIR.NET", RuleBody::UsHmr, net_what(loads), net);
    if !light {
        let id = if loads.any(Config::PackedWith) {
            "R19"
        } else {
            "R22"
        };
        ledger.fire(id, VerdictCode::Marked, "There are more than 5 kg of batteries, or their mass is not known: the words about passenger aircraft too.");
        ledger.mark(marks::passenger_words(ledger));
    }
}

/// A mass that nobody gave is bounded from above, and says so.
fn net_what(loads: &Loads<'_>) -> &'static str {
    if loads.has_net() {
        "mass of batteries in the package"
    } else {
        "mass of batteries in the package, at most"
    }
}

fn battery_marks(ledger: &mut Ledger<'_>, loads: &Loads<'_>, config: Config) {
    for load in loads.lying(config) {
        if let Some(un) = load.un() {
            ledger.mark(marks::battery_mark(ledger, un));
        }
    }
}

fn waybill(ledger: &mut Ledger<'_>, loads: &Loads<'_>, config: Config) {
    let mut instructions: Vec<&'static str> = loads
        .lying(config)
        .iter()
        .filter_map(air_instruction)
        .collect();
    instructions.sort_unstable();
    instructions.dedup();
    let mark = marks::waybill_sentence(&instructions);
    for line in &mark.lines {
        ledger.paper(
            "air waybill",
            line.clone(),
            "PI 966, 967, 969 and 970, Section II",
        );
    }
    ledger.mark(mark);
}

fn drop_test(ledger: &mut Ledger<'_>) {
    if let Some(row) = ledger.row("DROP") {
        ledger.pack(50, row.text.clone(), &row.clause);
    }
}
