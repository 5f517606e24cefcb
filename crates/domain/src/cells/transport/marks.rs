//! Marks, words and labels: their text and their sizes, with every measure from the rule book.
//!
//! Nothing is drawn here. A mark never holds anything inside its hatched edge but the symbol and the UN number.

use std::collections::BTreeSet;

use super::answer::{Mark, MarkKind, UnNumber};
use super::ledger::Ledger;
use super::question::{Chem, Regime};

const CHECK: &str = "Check against the edition in force.";

/// A measure of the book, in millimetres.
fn mm(ledger: &Ledger<'_>, id: &str) -> Option<u32> {
    u32::try_from(ledger.value(id)?).ok()
}

/// The battery mark.
pub(super) fn battery_mark(ledger: &Ledger<'_>, un: UnNumber) -> Mark {
    let width = mm(ledger, "MARK.WIDTH");
    Mark {
        code: format!("LBM({})", un.code()),
        kind: MarkKind::BatteryMark,
        words: format!("battery mark with {}", un.printed()),
        lines: vec![un.printed()],
        letter_height_mm: mm(ledger, "MARK.UN.HEIGHT"),
        size_mm: width.zip(mm(ledger, "MARK.HEIGHT")),
        small_size_mm: width.zip(mm(ledger, "MARK.HEIGHT.SMALL")),
        placing: format!(
            "On one side of the package, not folded over an edge, nothing added inside the hatched edge. {CHECK}"
        ),
    }
}

fn words(code: &str, what: &str, lines: Vec<String>, height_mm: Option<u32>) -> Mark {
    Mark {
        code: code.to_owned(),
        kind: MarkKind::Words,
        words: what.to_owned(),
        lines,
        letter_height_mm: height_mm,
        size_mm: None,
        small_size_mm: None,
        placing: format!(
            "On the outside of the package, outside the edge of any battery mark. {CHECK}"
        ),
    }
}

fn label(code: &str, what: &str) -> Mark {
    Mark {
        code: code.to_owned(),
        kind: MarkKind::Label,
        words: what.to_owned(),
        lines: Vec::new(),
        letter_height_mm: None,
        size_mm: None,
        small_size_mm: None,
        placing: format!("A bought label, on the same side as the UN number. {CHECK}"),
    }
}

/// Which chemistries a text must name.
fn kinds(ledger: &Ledger<'_>) -> BTreeSet<&'static str> {
    ledger
        .parcel
        .contents
        .iter()
        .map(|contents| match contents.chem {
            Chem::LiMetal | Chem::Hybrid => "metal",
            Chem::NaIon => "sodium",
            Chem::LiIon | Chem::Unknown => "ion",
        })
        .collect()
}

/// Height of words about aircraft: larger on a heavy package, and on one that nobody weighed.
fn aircraft_height(ledger: &Ledger<'_>) -> Option<u32> {
    let light = ledger
        .parcel
        .gross_g_per_package
        .zip(ledger.value("AIRTXT.GROSS"))
        .is_some_and(|(gross, limit)| gross <= limit);
    mm(
        ledger,
        if light {
            "AIRTXT.HEIGHT"
        } else {
            "AIRTXT.HEIGHT.BIG"
        },
    )
}

/// The words that forbid passenger aircraft.
pub(super) fn passenger_words(ledger: &Ledger<'_>) -> Mark {
    let lines = kinds(ledger)
        .into_iter()
        .map(|kind| match kind {
            "metal" => "LITHIUM METAL BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD PASSENGER AIRCRAFT",
            "sodium" => "SODIUM ION BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD PASSENGER AIRCRAFT",
            _ => "LITHIUM ION BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD PASSENGER AIRCRAFT",
        })
        .map(str::to_owned)
        .collect();
    words(
        "T-PAX",
        "words that forbid passenger aircraft",
        lines,
        aircraft_height(ledger),
    )
}

/// The words of the mail for loose batteries.
pub(super) fn surface_mail_words(ledger: &Ledger<'_>) -> Mark {
    let lines = kinds(ledger)
        .into_iter()
        .map(|kind| match kind {
            "metal" => "Surface Mail Only, Primary Lithium Batteries - Forbidden for Transportation Aboard Passenger Aircraft",
            _ => "Surface Mail Only, Lithium-ion Batteries - Forbidden for Transportation Aboard Passenger Aircraft",
        })
        .map(str::to_owned)
        .collect();
    words(
        "T-PAX",
        "words that forbid passenger aircraft, as the mail wants them",
        lines,
        aircraft_height(ledger),
    )
}

/// The words that forbid aircraft and vessel.
pub(super) fn ground_words(ledger: &Ledger<'_>) -> Mark {
    words(
        "T-GND",
        "words that forbid aircraft and vessel",
        vec!["LITHIUM BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD AIRCRAFT AND VESSEL".to_owned()],
        aircraft_height(ledger),
    )
}

/// The words about damaged batteries.
pub(super) fn damaged_words(ledger: &Ledger<'_>) -> Mark {
    let lines = kinds(ledger)
        .into_iter()
        .map(|kind| match (ledger.parcel.regime, kind) {
            (Regime::UsHmr, "metal") => "Damaged/defective lithium metal battery",
            (Regime::UsHmr, "sodium") => "Damaged/defective sodium ion battery",
            (Regime::UsHmr, _) => "Damaged/defective lithium ion battery",
            (Regime::Adr, "metal") => "DAMAGED/DEFECTIVE LITHIUM METAL BATTERIES",
            (Regime::Adr, "sodium") => "DAMAGED/DEFECTIVE SODIUM ION BATTERIES",
            (Regime::Adr, _) => "DAMAGED/DEFECTIVE LITHIUM-ION BATTERIES",
        })
        .map(str::to_owned)
        .collect();
    words(
        "T-DDR",
        "words about damaged batteries",
        lines,
        mm(ledger, "DDR.TXT.HEIGHT"),
    )
}

/// The words of the mail for used devices.
pub(super) fn used_device_words() -> Mark {
    words(
        "T-USPS",
        "words of the mail for used devices",
        vec![
            "Restricted Electronic Device".to_owned(),
            "Surface Transportation Only".to_owned(),
        ],
        None,
    )
}

/// The word on packages held together.
pub(super) fn overpack_word(ledger: &Ledger<'_>) -> Mark {
    Mark {
        placing: format!("On the outside of the whole, beside every mark repeated there. {CHECK}"),
        ..words(
            "OVERPACK",
            "the word OVERPACK",
            vec!["OVERPACK".to_owned()],
            mm(ledger, "OVERPACK.TXT"),
        )
    }
}

/// The label of class 9.
pub(super) fn class_label(ledger: &Ledger<'_>) -> Mark {
    match ledger.parcel.regime {
        Regime::Adr if !ledger.parcel.mode.is_air() => {
            label("L9A", "lithium battery label of class 9, model 9A")
        }
        _ => label("L9", "lithium battery label of class 9 (49 CFR 172.447)"),
    }
}

/// The label of cargo aircraft.
pub(super) fn cargo_label() -> Mark {
    label("CAO", "Cargo Aircraft Only label")
}

/// The sentence on the air waybill.
pub(super) fn waybill_sentence(instructions: &[&str]) -> Mark {
    Mark {
        kind: MarkKind::Waybill,
        placing: format!("On the air waybill, not on the package. {CHECK}"),
        ..words(
            "AWB-II",
            "air waybill sentence",
            instructions
                .iter()
                .map(|instruction| {
                    let kind = match *instruction {
                        "969" | "970" => "Lithium metal",
                        "977" | "978" => "Sodium ion",
                        _ => "Lithium ion",
                    };
                    format!("{kind} batteries in compliance with Section II of PI{instruction}")
                })
                .collect(),
            None,
        )
    }
}
