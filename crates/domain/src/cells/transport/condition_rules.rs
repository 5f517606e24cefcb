//! Rules about the condition of the cells: R01 to R08.
//!
//! Nothing here looks at sizes or counts. A cell that is reacting goes nowhere whatever else is known.

use super::answer::{Flag, VerdictCode};
use super::findings::{Condition, FindingCode};
use super::ledger::Ledger;
use super::load::Loads;
use super::marks;
use super::question::{Mode, Regime};
use crate::cells::book::RuleBody;

/// Applies the rules of every condition that the findings call for, so that one more finding never hides another.
pub(super) fn apply(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    for condition in &loads.conditions {
        match condition {
            Condition::Sound => {}
            Condition::Undiagnosed => undiagnosed(ledger, loads),
            Condition::Ddr => damaged(ledger, loads),
            Condition::Critical => critical(ledger),
        }
    }
}

fn critical(ledger: &mut Ledger<'_>) {
    let body = match ledger.parcel.regime {
        Regime::Adr => RuleBody::Adr,
        Regime::UsHmr => RuleBody::Any,
    };
    ledger.fire_of("R01", body, VerdictCode::Forbidden, "");
    ledger.flag(Flag::Emergency);
}

fn damaged(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    match (ledger.parcel.mode, ledger.parcel.regime) {
        (Mode::AirPax | Mode::AirCargo, _) => {
            ledger.fire("R02", VerdictCode::Forbidden, "");
        }
        (Mode::PostDomestic | Mode::PostIntl, _) => {
            ledger.fire("R03", VerdictCode::Forbidden, "");
        }
        (Mode::Ground, Regime::UsHmr) => {
            ledger.fire("R04", VerdictCode::DdrGround, "");
            damaged_in_the_states(ledger, loads);
        }
        (Mode::Ground, Regime::Adr) => {
            ledger.fire("R05", VerdictCode::DdrGround, "");
            damaged_under_adr(ledger, loads);
        }
    }
}

fn undiagnosed(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    match (ledger.parcel.mode, ledger.parcel.regime) {
        (Mode::AirPax | Mode::AirCargo, _) => {
            ledger.fire("R06", VerdictCode::Forbidden, "");
        }
        (Mode::PostIntl, _) => ledger.fire("R07", VerdictCode::Forbidden, ""),
        (Mode::PostDomestic, _) => ledger.fire("R07", VerdictCode::Hold, ""),
        (Mode::Ground, Regime::Adr) => {
            ledger.fire("R08", VerdictCode::DdrGround, "");
            damaged_under_adr(ledger, loads);
        }
        (Mode::Ground, Regime::UsHmr) => ledger.fire("R08", VerdictCode::Hold, ""),
    }
    ledger.unknown(
        "whether the battery is sound: it must be looked at, measured and judged before any return",
    );
}

/// What the paper for the road says of each kind inside.
fn document_lines(loads: &Loads<'_>) -> String {
    super::names::names(loads)
        .into_iter()
        .map(|(un, name)| format!("{}, {name}, 9", un.printed()))
        .collect::<Vec<_>>()
        .join("; ")
}

fn damaged_in_the_states(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    const F: &str = "173.185(f)";
    ledger.mark(marks::damaged_words(ledger));
    ledger.mark(marks::class_label(ledger));
    ledger.paper(
        "shipping paper",
        format!(
            "{}; with an emergency telephone number and emergency information",
            document_lines(loads)
        ),
        "49 CFR 172 subparts C and G",
    );
    ledger.paper(
        "training record",
        "The person who packs and signs is trained: general, function-specific, safety and security awareness.",
        "49 CFR 172.704",
    );
    ledger.pack(
        10,
        "Wear gloves and eye protection; do not press, bend, charge or power it.",
        "derived here",
    );
    ledger.pack(20, "Put each battery, or the device with its battery, alone into an inner packaging that is not metal and encloses it completely.", "173.185(f)(1)");
    ledger.pack(30, "Surround the inner packaging with cushioning that does not burn, does not conduct and absorbs.", "173.185(f)(2)");
    ledger.pack(40, "Put each inner packaging alone into an outer packaging of packing group I: box 4A, 4B, 4N, 4C1, 4C2, 4D, 4F or 4H2, or drum 1A2, 1B2, 1N2, 1D or 1H2. Fibreboard (4G) is not on the list.", "173.185(f)(3)");
    ledger.unknown("how a damaged battery inside its device is packed under (f)(1) and (f)(3): PHMSA letter 14-0246 answers this and was not read; the trained shipper decides");
    ledger.pack(
        90,
        "Highway, rail or vessel only: hand it to a carrier that has agreed to take it.",
        F,
    );
}

fn damaged_under_adr(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    const P908: &str = "ADR 2025, P908";
    ledger.mark(marks::damaged_words(ledger));
    ledger.mark(marks::class_label(ledger));
    ledger.paper(
        "transport document",
        format!(
            "{}; “Transport in accordance with special provision 376”",
            document_lines(loads)
        ),
        "ADR 5.4.1; SP 376",
    );
    ledger.paper(
        "training record",
        "The person who packs and signs is trained.",
        "ADR 1.3",
    );
    ledger.pack(
        10,
        "Wear gloves and eye protection; do not press, bend, charge or power it.",
        "derived here",
    );
    ledger.pack(20, "Put each battery, or the device with its battery, alone into an inner packaging; the inner or the outer packaging must be leak-proof.", P908);
    ledger.pack(30, "Surround each inner packaging with thermal insulation that does not burn and does not conduct, against short circuits and movement.", P908);
    if loads.findings.contains(&FindingCode::F12) {
        ledger.pack(
            35,
            "Add enough absorbent for all that can leak, in a leak-proof packaging.",
            P908,
        );
    }
    ledger.pack(40, "Outer packaging of packing group II: drum, box or jerrican; one item in each above 30 kg; a vent where it is sealed.", P908);
    ledger.pack(41, "Where a United States carrier may take it on, pack to its rule too: packing group I, no fibreboard.", "derived here");
    ledger.unknown(
        "the English wording of the ADR words is from memory; compare it with the text in force",
    );
}
