//! A first catalogue of tests, recorded when a lab is founded. From then on it is the lab's own.
//!
//! Groups and tests are common practice, no source; limits come from public USB summaries and stand to be changed by the lab. The
//! accuracies are examples of what a data sheet says: a lab writes those of its own instruments in Setup.

mod chosen;
mod display;
mod power;
mod radio;
mod rest;

use std::collections::BTreeSet;

use domain::device::DeviceKind;
use domain::fact::{ChoiceAnswer, Instrument, Needs, TestCode, TestDefinition, TestKind};
use domain::reading::{Limits, Unit};

const ALL: &[DeviceKind] = &DeviceKind::ALL;
const HANDHELD: &[DeviceKind] = &[DeviceKind::Phone, DeviceKind::Tablet, DeviceKind::Handheld];
const PHONE: &[DeviceKind] = &[DeviceKind::Phone];
const LAPTOP: &[DeviceKind] = &[DeviceKind::Laptop];
const HANDHELD_ONLY: &[DeviceKind] = &[DeviceKind::Handheld];

struct First {
    code: &'static str,
    group: &'static str,
    title: &'static str,
    how: &'static str,
    attached: &'static str,
    needs: Needs,
    kinds: &'static [DeviceKind],
    words: &'static [&'static str],
    kind: Kind,
    instrument: Meter,
    safety_limit: bool,
    caution: &'static str,
}

/// What a test's result looks like, as far as a table can hold it.
enum Kind {
    PassFail,
    Reading(Unit, Limits),
    Timed(Limits),
    /// Answers in the order of their keys, and whether each passes.
    Choice(&'static [(bool, &'static str)]),
}

impl Kind {
    fn of_test(&self) -> TestKind {
        match self {
            Self::PassFail => TestKind::PassFail,
            Self::Reading(unit, limits) => TestKind::Reading {
                unit: *unit,
                limits: *limits,
            },
            Self::Timed(limits) => TestKind::Timed { limits: *limits },
            Self::Choice(answers) => TestKind::Choice {
                answers: answers
                    .iter()
                    .map(|(passes, words)| ChoiceAnswer {
                        words: (*words).to_owned(),
                        passes: *passes,
                    })
                    .collect(),
            },
        }
    }
}

/// An instrument with an accuracy that is an example: its share of the reading, counts, and one count in millionths of the unit.
struct Meter {
    name: &'static str,
    reading_ppm: u32,
    counts: u32,
    count_micro: u64,
    high_micro: Option<i64>,
}

const fn unspecified(name: &'static str) -> Meter {
    Meter {
        name,
        reading_ppm: 0,
        counts: 0,
        count_micro: 0,
        high_micro: None,
    }
}

const NONE: Meter = unspecified("");
const OWN_DISPLAY: Meter = unspecified("the device’s own display");
const STOPWATCH: Meter = unspecified("stopwatch");
const SUPPLY: Meter = Meter {
    name: "bench supply",
    reading_ppm: 2_000,
    counts: 3,
    count_micro: 1_000,
    high_micro: Some(10_000_000),
};
const USB_METER: Meter = Meter {
    name: "USB meter",
    reading_ppm: 10_000,
    counts: 2,
    count_micro: 10_000,
    high_micro: Some(6_000_000),
};
const BENCH_METER_V: Meter = Meter {
    name: "bench meter, volts",
    reading_ppm: 5_000,
    counts: 3,
    count_micro: 1_000,
    high_micro: Some(60_000_000),
};
const BENCH_METER_OHM: Meter = Meter {
    name: "bench meter, ohms",
    reading_ppm: 8_000,
    counts: 3,
    count_micro: 100_000,
    high_micro: Some(40_000_000_000_000),
};
const THERMOMETER: Meter = Meter {
    name: "contact thermometer",
    reading_ppm: 5_000,
    counts: 10,
    count_micro: 100_000,
    high_micro: Some(200_000_000),
};

/// For tests that put current through a board without its own battery.
const SUPPLY_CAUTION: &str =
    "Set voltage and current limit before connecting; never feed a battery that is still attached.";
const CELL_OFF_CAUTION: &str = "Take the cell off first; ohms are measured on a dead board only.";
const CELL_CAUTION: &str = "If it swells, smells of solvent, smokes or grows hot: unplug, leave it alone, keep people away; the Cell bay’s rules and local fire code come first.";
const MAINS_CAUTION: &str =
    "Mains is in the adapter: never open it here; leave that to a licensed person.";

const fn between(unit: Unit, low_micro: i64, high_micro: i64) -> Kind {
    Kind::Reading(
        unit,
        Limits {
            low_micro: Some(low_micro),
            high_micro: Some(high_micro),
        },
    )
}

const fn at_least(unit: Unit, low_micro: i64) -> Kind {
    Kind::Reading(
        unit,
        Limits {
            low_micro: Some(low_micro),
            high_micro: None,
        },
    )
}

const fn at_most(unit: Unit, high_micro: i64) -> Kind {
    Kind::Reading(
        unit,
        Limits {
            low_micro: None,
            high_micro: Some(high_micro),
        },
    )
}

const fn at_most_seconds(seconds: i64) -> Kind {
    Kind::Timed(Limits {
        low_micro: None,
        high_micro: Some(seconds * 1_000_000),
    })
}

const PASS_FAIL: Kind = Kind::PassFail;

/// The tests a new lab begins with.
pub(crate) fn first_tests() -> Vec<TestDefinition> {
    [
        power::TESTS,
        display::TESTS,
        radio::TESTS,
        rest::TESTS,
        chosen::TESTS,
    ]
    .into_iter()
    .flatten()
    .map(definition)
    .collect()
}

fn definition(first: &First) -> TestDefinition {
    let meter = &first.instrument;
    TestDefinition {
        code: TestCode(first.code.to_owned()),
        version: 1,
        group: first.group.to_owned(),
        title: first.title.to_owned(),
        how: first.how.to_owned(),
        attached: first.attached.to_owned(),
        device_kinds: first.kinds.iter().copied().collect::<BTreeSet<_>>(),
        fault_words: first.words.iter().map(|word| (*word).to_owned()).collect(),
        kind: first.kind.of_test(),
        caution: first.caution.to_owned(),
        needs: first.needs,
        instrument: Instrument {
            name: meter.name.to_owned(),
            reading_ppm: meter.reading_ppm,
            counts: meter.counts,
            count_micro: meter.count_micro,
            low_micro: None,
            high_micro: meter.high_micro,
        },
        safety_limit: first.safety_limit,
        retired: false,
    }
}

#[cfg(test)]
mod tests;
