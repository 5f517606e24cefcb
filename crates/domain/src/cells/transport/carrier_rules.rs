//! Rules of carriers and posts, of countries, and of marks that are already printed: R24 to R33.
//!
//! A carrier, a post or a country whose terms this program does not hold says so and holds the parcel.

use super::answer::{Flag, VerdictCode};
use super::data_rules::hold;
use super::findings::Condition;
use super::ledger::Ledger;
use super::load::Loads;
use super::marks;
use super::question::{Carrier, Config, DeviceStatus, Mode, PrintedMark, Regime};
use crate::cells::book::RuleBody;

/// Applies what always applies.
pub(super) fn apply(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    match ledger.parcel.carrier {
        Carrier::Usps => used_in_the_mail(ledger, loads),
        Carrier::Ups => {
            used_at_ups(ledger, loads);
            damaged_at_ups(ledger, loads);
        }
        Carrier::Fedex if ledger.parcel.mode.is_air() && !loads.any(Config::Alone) => {
            ledger.unknown("whether FedEx takes this parcel: its sheet says that it takes small batteries in or with equipment by air");
        }
        Carrier::Fedex | Carrier::RoyalMail | Carrier::Other => {
            ledger.fire_of(
                "R29",
                RuleBody::Carrier,
                VerdictCode::Hold,
                format!("The carrier is {}.", ledger.parcel.carrier.words()),
            );
            ledger.flag(Flag::CarrierCheck);
        }
        Carrier::None => ledger.unknown("the carrier: its own terms may be stricter"),
    }
    if ledger.parcel.mode == Mode::PostDomestic && ledger.parcel.carrier != Carrier::Usps {
        ledger.fire_of("R28", RuleBody::Post, VerdictCode::Hold, "");
        ledger.flag(Flag::CarrierCheck);
    }
    country(ledger);
    overpack(ledger);
    if let Some(mark) = ledger.parcel.printed_mark {
        printed_mark(ledger, &mark);
    }
}

/// Whether any device is used; what nobody said is taken for used.
fn has_used_device(loads: &Loads<'_>) -> bool {
    loads.counted.iter().any(|load| {
        load.config != Some(Config::Alone)
            && !matches!(
                load.contents.device_status,
                Some(DeviceStatus::NewSealed | DeviceStatus::MfrCertified)
            )
    })
}

/// R24.
fn used_in_the_mail(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    if !has_used_device(loads) {
        return;
    }
    if ledger.parcel.mode == Mode::PostIntl {
        ledger.fire_of("R24", RuleBody::Usps, VerdictCode::Forbidden, "");
        return;
    }
    ledger.fire_of("R24", RuleBody::Usps, VerdictCode::Marked, "");
    ledger.flag(Flag::SurfaceOnly);
    ledger.mark(marks::used_device_words());
}

/// R25.
fn used_at_ups(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    if !has_used_device(loads) {
        return;
    }
    let mut wanting = Vec::new();
    for load in &loads.counted {
        if load.config == Some(Config::Alone) {
            continue;
        }
        if load.contents.powered_off != Some(true) {
            wanting.push("the device is not known to be off");
        }
        if load.contents.battery_original != Some(true) {
            wanting.push("the battery is not known to be the one the device was made with");
        }
        if !ledger.keeps_of(
            "UPS.PHONE.SOC",
            RuleBody::Carrier,
            "charge shown, for UPS",
            load.contents.soc_indicated_pct,
        ) {
            wanting.push("the charge shown is above the limit, or not known");
        }
    }
    wanting.sort_unstable();
    wanting.dedup();
    if !wanting.is_empty() {
        ledger.fire_of(
            "R25",
            RuleBody::Carrier,
            VerdictCode::Hold,
            format!("Here: {}.", wanting.join("; ")),
        );
        ledger.flag(Flag::CarrierCheck);
    }
}

/// R26.
fn damaged_at_ups(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let counts_as_damaged = if ledger.parcel.regime == Regime::Adr {
        Condition::Undiagnosed
    } else {
        Condition::Ddr
    };
    if loads.condition() < counts_as_damaged {
        return;
    }
    let outside = match ledger.parcel.regime {
        Regime::Adr => Some(true),
        Regime::UsHmr => ledger.parcel.outside_us_lower_48,
    };
    let (verdict, detail) = match outside {
        Some(true) => (VerdictCode::Forbidden, "It goes outside them."),
        Some(false) => (VerdictCode::DdrGround, ""),
        None => (VerdictCode::Hold, "Whether it goes there is not known."),
    };
    ledger.fire_of("R26", RuleBody::Carrier, verdict, detail);
    ledger.flag(Flag::CarrierCheck);
}

/// R30.
fn country(ledger: &mut Ledger<'_>) {
    let Some(country) = &ledger.parcel.destination_country else {
        return;
    };
    let id = match ledger.parcel.regime {
        Regime::UsHmr => "US.COUNTRIES",
        Regime::Adr => "ADR.PARTIES",
    };
    let known = ledger.row_of(id, ledger.ground_body()).is_some_and(|row| {
        row.codes
            .iter()
            .any(|code| code.eq_ignore_ascii_case(country.trim()))
    });
    if ledger.parcel.mode.is_domestic() && !known {
        let detail = format!("It goes to {country}.");
        ledger.fire_of("R30", RuleBody::Any, VerdictCode::Hold, detail);
        ledger.flag(Flag::CarrierCheck);
    }
}

/// R33.
fn overpack(ledger: &mut Ledger<'_>) {
    let Some(overpack) = ledger.parcel.overpack else {
        return;
    };
    if overpack.marks_visible == Some(true) || ledger.marks.is_empty() {
        return;
    }
    ledger.fire_of("R33", RuleBody::Any, VerdictCode::Marked, "");
    ledger.mark(marks::overpack_word(ledger));
}

/// R27, R31 and R32.
fn printed_mark(ledger: &mut Ledger<'_>, mark: &PrintedMark) {
    let may_show_number = ledger
        .book()
        .row("MARK.PHONE", RuleBody::UsHmr)
        .is_some_and(|row| row.regime == RuleBody::UsHmr);
    if mark.phone_number != Some(false) && ledger.parcel.regime == Regime::UsHmr && !may_show_number
    {
        ledger.fire_of("R27", RuleBody::UsHmr, VerdictCode::Hold, "");
    }
    if let Some(fault) = size_fault(ledger, mark) {
        ledger.fire_of("R31", RuleBody::Any, VerdictCode::Hold, fault);
    }
    if mark.added_inside != Some(false) {
        ledger.fire_of("R32", RuleBody::Any, VerdictCode::Hold, "");
    }
}

/// What is wrong with the printed mark's measures.
fn size_fault(ledger: &mut Ledger<'_>, mark: &PrintedMark) -> Option<String> {
    let (Some(width), Some(height)) = (mark.width_mm, mark.height_mm) else {
        hold(
            ledger,
            "the width and the height of the printed battery mark",
        );
        return None;
    };
    let least = |id| ledger.value(id);
    let (Some(full_width), Some(full_height), Some(small_height), Some(edge)) = (
        least("MARK.WIDTH"),
        least("MARK.HEIGHT"),
        least("MARK.HEIGHT.SMALL"),
        least("MARK.HATCH"),
    ) else {
        hold(ledger, "the lawful size of the battery mark");
        return None;
    };
    let least_height = if mark.package_too_small == Some(true) {
        small_height
    } else {
        full_height
    };
    // The mark may stand upright or lie.
    let (long, short) = (width.max(height), width.min(height));
    let large_enough =
        long >= full_width.max(least_height) && short >= full_width.min(least_height);
    let fault = if !large_enough {
        format!(
            "This one measures {width} by {height} mm; here it must be {full_width} by {least_height} mm."
        )
    } else if mark.hatching_mm.is_some_and(|given| given < edge) {
        "Its hatched edge is too narrow.".to_owned()
    } else if mark.folded_over_edge == Some(true) {
        "This one is folded over an edge.".to_owned()
    } else {
        return None;
    };
    Some(fault)
}
