//! Rules about the question itself: R09, R10, R34 and R35.
//!
//! Whatever decides the verdict and is missing holds the parcel, with one sentence that says what it is.

use super::answer::{Flag, VerdictCode};
use super::findings::FindingCode;
use super::ledger::Ledger;
use super::load::{Load, Loads};
use super::problem::ParcelError;
use super::question::{Chem, Config};
use super::size;
use crate::cells::book::{RuleBody, RuleBook};

/// Problems of the question.
pub(super) fn problems(ledger: &mut Ledger<'_>, book: &RuleBook) {
    for problem in ledger.parcel.problems(book) {
        let id = match problem {
            ParcelError::Edition(_) => "R35",
            _ => "R34",
        };
        let mut sentence = problem.to_string();
        if let Some(first) = sentence.get(..1).map(str::to_uppercase) {
            sentence.replace_range(..1, &first);
        }
        ledger.fire_of(id, RuleBody::Any, VerdictCode::Hold, format!("{sentence}."));
        ledger.flag(Flag::DataMissing);
        ledger.unknown(problem.to_string());
    }
}

/// What is missing of what is inside, and sodium-ion cells.
pub(super) fn apply(ledger: &mut Ledger<'_>, loads: &Loads<'_>) {
    let mut missing: Vec<String> = Vec::new();
    for load in &loads.counted {
        missing.extend(missing_of(ledger, load));
    }
    if ledger.parcel.packages_per_consignment.is_none() {
        missing.push("how many packages the consignment has".to_owned());
    }
    if loads.findings.contains(&FindingCode::F40) {
        missing.push(
            "whether the battery's type passed the UN 38.3 tests: it is re-celled, unbranded or untraceable".to_owned(),
        );
    }
    if loads.findings.contains(&FindingCode::F41) {
        missing.push(
            "the watt-hours: neither they nor volts and milliampere-hours are on the case"
                .to_owned(),
        );
    }
    for what in missing {
        hold(ledger, &what);
    }
    if loads
        .counted
        .iter()
        .any(|load| load.contents.chem == Chem::NaIon)
    {
        if size::has_sodium_rules(ledger) {
            ledger.fire("R10", VerdictCode::Ordinary, "");
        } else {
            ledger.fire_of("R10", RuleBody::Any, VerdictCode::Hold, "");
        }
    }
}

/// Something that decides is not known.
pub(super) fn hold(ledger: &mut Ledger<'_>, what: &str) {
    ledger.fire_of(
        "R09",
        RuleBody::Any,
        VerdictCode::Hold,
        format!("Not known: {what}."),
    );
    ledger.flag(Flag::DataMissing);
    ledger.unknown(what);
}

fn missing_of(ledger: &mut Ledger<'_>, load: &Load<'_>) -> Vec<String> {
    let contents = load.contents;
    let mut missing: Vec<String> = Vec::new();
    let mut need = |is_missing: bool, what: &str| {
        if is_missing {
            missing.push(what.to_owned());
        }
    };
    need(contents.chem == Chem::Unknown, "the chemistry");
    need(
        load.unit().is_none(),
        "whether it is a single cell or a battery of several: the limits differ five times",
    );
    need(
        matches!(contents.chem, Chem::LiIon | Chem::NaIon | Chem::Hybrid) && load.uwh().is_none(),
        "the watt-hours, or volts and milliampere-hours",
    );
    need(
        matches!(contents.chem, Chem::LiMetal | Chem::Hybrid) && load.li_ug().is_none(),
        "the grams of lithium",
    );
    need(
        load.config.is_none(),
        "whether the battery lies in its device, beside it, or alone",
    );
    need(
        load.config.is_some() && load.units.is_none(),
        match load.config {
            Some(Config::Alone) => "how many cells or batteries lie in the package",
            Some(Config::PackedWith) => {
                "how many devices, batteries and spare sets lie in the package"
            }
            _ => "how many devices, and batteries in each, lie in the package",
        },
    );
    for (id, limit) in size::deciding_limits(ledger, load) {
        if load.disagrees_across(limit) {
            let (label, product) = (load.contents.wh_label, load.product_uwh());
            missing.push(format!(
                "which is right, the label with {} Wh or volts times ampere-hours with {} Wh: they lie on different sides of the \
                 limit {id}",
                label.unwrap_or(super::number::Millionths(0)),
                super::number::Millionths(product.unwrap_or_default()),
            ));
        }
    }
    missing
}
