//! The nearest lawful ways: the same question asked anew with one thing done otherwise.
//!
//! Only what is better, and may go, is offered. Nothing is offered for a cell that is reacting: nobody goes near it.

use super::answer::{Alternative, Flag, VerdictCode};
use super::findings::{Condition, FindingCode, condition};
use super::judge::judge_once;
use super::question::{Carrier, Config, Mode, Parcel};
use crate::cells::book::{RuleBody, RuleBook};

/// Finds them, the best first.
pub(super) fn find(book: &RuleBook, parcel: &Parcel, verdict: VerdictCode) -> Vec<Alternative> {
    let worst = worst_condition(parcel);
    if verdict == VerdictCode::Ordinary
        || worst == Condition::Critical
        || parcel.contents.is_empty()
    {
        return Vec::new();
    }
    let mut found: Vec<Alternative> = changes(book, parcel)
        .into_iter()
        .filter_map(|(change, other)| better(book, &change, &other, verdict))
        .collect();
    if may_leave_battery(parcel, verdict) {
        found.push(Alternative {
            change:
                "send the device without its battery, which stays in the lab or goes to a recycler"
                    .to_owned(),
            verdict: VerdictCode::Ordinary,
            words: "no battery inside, so that no lithium rule applies".to_owned(),
            marks: Vec::new(),
        });
    }
    found.sort_by_key(|alternative| alternative.verdict);
    found
}

fn worst_condition(parcel: &Parcel) -> Condition {
    parcel
        .contents
        .iter()
        .map(|contents| condition(&contents.findings))
        .max()
        .unwrap_or(Condition::Undiagnosed)
}

fn better(
    book: &RuleBook,
    change: &str,
    other: &Parcel,
    verdict: VerdictCode,
) -> Option<Alternative> {
    let answer = judge_once(book, other);
    let may_go = matches!(
        answer.verdict,
        VerdictCode::Ordinary | VerdictCode::Marked | VerdictCode::DdrGround
    ) && !answer.flags.contains(&Flag::Emergency);
    (may_go && answer.verdict < verdict).then(|| Alternative {
        change: change.to_owned(),
        verdict: answer.verdict,
        words: answer.verdict.words().to_owned(),
        marks: answer.marks.into_iter().map(|mark| mark.code).collect(),
    })
}

/// Taking the battery out helps where the device is what matters; a loose battery has no device.
fn may_leave_battery(parcel: &Parcel, verdict: VerdictCode) -> bool {
    verdict >= VerdictCode::DdrGround
        && parcel.contents.iter().all(|contents| {
            matches!(
                contents.config,
                Some(Config::Contained | Config::PackedWith)
            )
        })
}

type Change = (String, Parcel);

fn changes(book: &RuleBook, parcel: &Parcel) -> Vec<Change> {
    let mut changes = other_ways(parcel);
    changes.extend(other_carrier(parcel));
    changes.extend(without_spares(parcel));
    changes.extend(fewer(book, parcel));
    changes.extend(fewer_packages(book, parcel));
    changes.extend(less_charge(book, parcel));
    changes.extend(once_diagnosed(parcel));
    changes.extend(new_mark(parcel));
    changes
}

/// Another way of transport, with a carrier of its own where the post would not fit.
fn other_ways(parcel: &Parcel) -> Vec<Change> {
    let mut ways = Vec::new();
    let mut add = |change: &str, mode: Mode| {
        if parcel.mode != mode {
            let mut other = parcel.clone();
            other.mode = mode;
            if matches!(other.carrier, Carrier::Usps | Carrier::RoyalMail) {
                other.carrier = Carrier::None;
            }
            ways.push((change.to_owned(), other));
        }
    };
    add("by road instead", Mode::Ground);
    if parcel.mode == Mode::AirPax {
        add("by cargo aircraft instead", Mode::AirCargo);
    }
    ways
}

fn other_carrier(parcel: &Parcel) -> Option<Change> {
    (parcel.carrier != Carrier::None && !parcel.mode.is_post()).then(|| {
        let mut other = parcel.clone();
        other.carrier = Carrier::None;
        (
            "with a carrier that takes it by its own terms".to_owned(),
            other,
        )
    })
}

/// The spare set, or what lies beside the device, is left out.
fn without_spares(parcel: &Parcel) -> Option<Change> {
    let spares = parcel.contents.iter().any(|contents| {
        contents.config == Some(Config::PackedWith)
            || contents.spare_sets.is_some_and(|sets| sets > 0)
    });
    if !spares {
        return None;
    }
    let mut other = parcel.clone();
    other.contents.retain(|contents| {
        contents.config != Some(Config::PackedWith)
            || contents
                .devices_per_package
                .is_some_and(|devices| devices > 0)
    });
    for contents in &mut other.contents {
        contents.spare_sets = Some(0);
        if contents.config == Some(Config::PackedWith) {
            contents.config = Some(Config::Contained);
        }
    }
    (!other.contents.is_empty()).then(|| {
        (
            "take the spare out and leave each device with the battery in it".to_owned(),
            other,
        )
    })
}

/// Fewer devices in a package: the counts at which a rule changes, and one alone.
fn fewer(book: &RuleBook, parcel: &Parcel) -> Vec<Change> {
    let [contents] = parcel.contents.as_slice() else {
        return Vec::new();
    };
    let (Some(devices), Some(units)) = (contents.devices_per_package, contents.units_in_devices)
    else {
        return Vec::new();
    };
    let on = book.on(parcel.ship_date);
    let mut counts: Vec<i64> = ["MARK.EX.CELLS", "MARK.EX.BATTS"]
        .into_iter()
        .filter_map(|id| on.value(id, RuleBody::UsHmr))
        .chain(
            ["USPS.MAX.CELLS", "USPS.MAX.BATTS"]
                .into_iter()
                .filter_map(|id| on.value(id, RuleBody::Usps)),
        )
        .filter(|_| units > 0)
        .map(|limit| limit / units.max(1))
        .chain([1])
        .filter(|count| (1..devices).contains(count))
        .collect();
    counts.sort_unstable_by(|a, b| b.cmp(a));
    counts.dedup();
    // The most that helps is enough: the first that betters the verdict ends the search.
    let now = judge_once(book, parcel).verdict;
    counts
        .into_iter()
        .map(|count| {
            let mut other = parcel.clone();
            other.contents[0].devices_per_package = Some(count);
            (format!("at most {count} in a package"), other)
        })
        .find(|(_, other)| judge_once(book, other).verdict < now)
        .into_iter()
        .collect()
}

fn fewer_packages(book: &RuleBook, parcel: &Parcel) -> Option<Change> {
    let most = book
        .on(parcel.ship_date)
        .value("MARK.EX.PKGS", RuleBody::UsHmr)?;
    (parcel.packages_per_consignment? > most).then(|| {
        let mut other = parcel.clone();
        other.packages_per_consignment = Some(most);
        (
            format!("at most {most} packages to one address at one time"),
            other,
        )
    })
}

/// The charge lowered to what every rule here allows.
fn less_charge(book: &RuleBook, parcel: &Parcel) -> Option<Change> {
    let on = book.on(parcel.ship_date);
    let rated = on.value("SOC.ALONE", RuleBody::Air)?;
    let shown = on.value("UPS.PHONE.SOC", RuleBody::Carrier)?;
    let high = parcel.contents.iter().any(|contents| {
        contents.soc_rated_pct.is_none_or(|charge| charge > rated)
            || contents
                .soc_indicated_pct
                .is_none_or(|charge| charge > shown)
    });
    high.then(|| {
        let mut other = parcel.clone();
        for contents in &mut other.contents {
            contents.soc_rated_pct = Some(rated);
            contents.soc_indicated_pct = Some(shown);
        }
        (
            format!(
                "wait until it is discharged to {rated} % of its rated capacity and shows {shown} %"
            ),
            other,
        )
    })
}

/// Once somebody has looked and found nothing wrong.
fn once_diagnosed(parcel: &Parcel) -> Option<Change> {
    (worst_condition(parcel) == Condition::Undiagnosed).then(|| {
        let mut other = parcel.clone();
        for contents in &mut other.contents {
            contents
                .findings
                .retain(|code| code.condition() != Some(Condition::Undiagnosed));
            contents.findings.insert(FindingCode::F00);
        }
        (
            "have the battery looked at and measured; if a technician finds it sound".to_owned(),
            other,
        )
    })
}

fn new_mark(parcel: &Parcel) -> Option<Change> {
    parcel.printed_mark.is_some().then(|| {
        let mut other = parcel.clone();
        other.printed_mark = None;
        ("print the battery mark anew from here".to_owned(), other)
    })
}
