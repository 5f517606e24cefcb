//! A lot's clock: it runs while the bag is open, and only a bake that is long enough sets it back.
//!
//! Hours and bakes are those of `rework`, whose tables are checked in `tests/src/outside/rework.rs`.

use super::*;
use crate::fact::LotBag;
use crate::fold_lab;
use crate::ids::{LabId, Subject};

const LAB: LabId = LabId::from_bytes([3; 16]);
const HOUR_MS: i64 = 3_600_000;

fn recorded(number: u8, stream: u8, fact: Fact, seen: &[u8]) -> Recorded {
    Recorded::in_test(Subject::Lab(LAB), number, stream, fact, seen)
}

fn number() -> LotNumber {
    LotNumber("L-7".to_owned())
}

fn received(level: MoistureLevel, history_unknown: bool) -> Fact {
    Fact::LotReceived(LotReceipt {
        lot: number(),
        description: "charge controller".to_owned(),
        moisture: Some(level),
        label_hours: None,
        thickness_um: Some(900),
        history_unknown,
        used_up: false,
    })
}

fn bag(opened: bool, hour: i64) -> Fact {
    let bag = LotBag {
        lot: number(),
        at_ms: hour * HOUR_MS,
        dry_cabinet: false,
    };
    if opened {
        Fact::LotOpened(bag)
    } else {
        Fact::LotClosed(bag)
    }
}

fn baked(ended_hour: i64, hours: u32, temperature_c: u16, as_maker_says: &str) -> Fact {
    Fact::LotBaked(LotBake {
        lot: number(),
        ended_ms: ended_hour * HOUR_MS,
        hours,
        temperature_c,
        as_maker_says: as_maker_says.to_owned(),
    })
}

fn fold(facts: &[Fact]) -> Lot {
    let entries: Vec<Recorded> = facts
        .iter()
        .cloned()
        .zip(1..)
        .map(|(fact, number)| recorded(number, 1, fact, &[]))
        .collect();
    fold_lab(LAB, &entries)
        .lots
        .into_iter()
        .next()
        .expect("a lot")
}

fn check(facts: &[Fact], hour: i64, usable: bool, left_hours: Option<i64>) {
    let life = fold(facts).floor_life(hour * HOUR_MS).expect("a level");
    assert_eq!(life.usable, usable, "{}", life.words);
    assert_eq!(
        life.left_ms.map(|ms| ms / HOUR_MS),
        left_hours,
        "{}",
        life.words
    );
}

const L3: MoistureLevel = MoistureLevel::L3;

#[test]
fn the_clock_runs_only_while_the_bag_is_open() {
    let facts = [
        received(L3, false),
        bag(true, 0),
        bag(false, 10),
        bag(true, 100),
    ];
    check(&facts[..1], 5000, true, Some(168));
    check(&facts[..3], 5000, true, Some(158));
    check(&facts, 110, true, Some(148));
}

#[test]
fn an_opening_that_was_recorded_twice_keeps_the_earlier_one() {
    check(
        &[received(L3, false), bag(true, 5), bag(true, 50)],
        105,
        true,
        Some(68),
    );
    check(
        &[received(L3, false), bag(true, 50), bag(true, 5)],
        105,
        true,
        Some(68),
    );
}

#[test]
fn a_bake_that_is_long_enough_gives_the_floor_life_back() {
    // Level 3, 1.4 mm or thinner, at most 72 h over: 7 h at 125 °C.
    let over = [received(L3, false), bag(true, 0), bag(false, 170)];
    check(&over, 200, false, None);
    let whole = [&over[..], &[baked(200, 7, 125, "")]].concat();
    check(&whole, 300, true, Some(168));
    let short = [&over[..], &[baked(200, 6, 125, "")]].concat();
    check(&short, 300, false, None);
    assert!(!fold(&short).bakes[0].counts);
}

#[test]
fn far_over_or_unknown_needs_the_longer_bake() {
    // Level 3, 1.4 mm or thinner, saturated: 9 h at 125 °C.
    let far = [received(L3, false), bag(true, 0), bag(false, 168 + 73)];
    assert_eq!(fold(&far).bake_needed(300 * HOUR_MS), Some(9));
    let unknown = [received(L3, true), baked(20, 8, 125, "")];
    check(&unknown, 30, false, None);
    check(
        &[received(L3, true), baked(20, 9, 125, "")],
        30,
        true,
        Some(168),
    );
}

#[test]
fn a_bake_at_another_heat_counts_only_by_its_makers_word() {
    check(
        &[received(L3, true), baked(90, 80, 90, "")],
        100,
        false,
        None,
    );
    check(
        &[received(L3, true), baked(90, 80, 90, "data sheet, 3.2")],
        100,
        true,
        Some(168),
    );
}

#[test]
fn a_part_that_moisture_does_not_harm_has_no_clock() {
    let lot = fold(&[received(MoistureLevel::L1, false), bag(true, 0)]);
    assert!(lot.floor_life(i64::MAX).expect("a level").usable);
}

#[test]
fn the_clock_stands_in_the_dry_cabinet_as_in_a_closed_bag() {
    let into_cabinet = |hour: i64| {
        Fact::LotClosed(LotBag {
            lot: number(),
            at_ms: hour * HOUR_MS,
            dry_cabinet: true,
        })
    };
    let facts = [received(L3, false), bag(true, 0), into_cabinet(10)];
    check(&facts, 5000, true, Some(158));
    assert!(fold(&facts).in_dry_cabinet);
    let out_again = [&facts[..], &[bag(true, 20)]].concat();
    assert!(!fold(&out_again).in_dry_cabinet);
    check(&out_again, 30, true, Some(148));
}

#[test]
fn the_last_event_is_the_latest_by_its_own_time_whatever_was_recorded_last() {
    let facts = [
        received(L3, false),
        bag(true, 5),
        bag(false, 50),
        baked(20, 9, 125, ""),
    ];
    assert_eq!(fold(&facts[..1]).last_event_ms, None);
    assert_eq!(fold(&facts).last_event_ms, Some(50 * HOUR_MS));
}

#[test]
fn an_entry_of_a_bag_from_before_the_dry_cabinet_is_still_read() {
    let old = r#"{"lot":"L-7","at_ms":3600000}"#;
    let bag: LotBag = serde_json::from_str(old).expect("as it was written");
    assert!(!bag.dry_cabinet);
}
