//! What the bay makes of a cell's entries, by small stories: one fact at its minute.
//!
//! Amounts stand in the rules; the sources are named there.

use std::collections::BTreeSet;

use super::*;
use crate::cells::{CellFinding, WarmedBy, judge};
use crate::fact::{CellJudged, CellReading, IsolationPlace, Withdrawal};
use crate::ids::{PersonId, StreamId, Subject};
use crate::recorded::Stamp;

mod apart;
mod properties;
mod readings;
mod rules;

const CELL: CellId = CellId::from_bytes([5; 16]);
const HOUR: u64 = 60;

fn id(minute: u64) -> EntryId {
    let mut bytes = [0; 16];
    bytes[8..].copy_from_slice(&minute.to_be_bytes());
    EntryId::from_bytes(bytes)
}

fn at(minute: u64, fact: Fact) -> Recorded {
    seeing(minute, fact, &[])
}

fn seeing(minute: u64, fact: Fact, seen: &[u64]) -> Recorded {
    Recorded {
        entry_id: id(minute),
        stamp: Stamp {
            hlc_ms: minute * 60_000,
            hlc_counter: 0,
            stream_id: StreamId::from_bytes([1; 16]),
            stream_seq: minute,
        },
        actor_id: PersonId::from_bytes([9; 16]),
        subject: Subject::Cell(CELL),
        based_on: seen.iter().copied().map(id).collect(),
        decoded: Decoded::Known(Box::new(fact)),
    }
}

fn sound() -> CellCheck {
    CellCheck {
        findings: BTreeSet::from([CellFinding::NothingWrong]),
        voltage_mv: Some(3_820),
        cells_in_series: Some(1),
        surface_tenths_c: Some(212),
        room_tenths_c: Some(210),
        ..CellCheck::default()
    }
}

fn found(findings: &[CellFinding]) -> Fact {
    Fact::CellChecked(CellCheck {
        findings: findings.iter().copied().collect(),
        ..sound()
    })
}

fn reading(surface: i32, voltage_mv: u32) -> Fact {
    Fact::CellReadingTaken(CellReading {
        surface_tenths_c: Some(surface),
        room_tenths_c: Some(210),
        voltage_mv: Some(voltage_mv),
        ..CellReading::default()
    })
}

fn seen(findings: &[CellFinding]) -> Fact {
    Fact::CellReadingTaken(CellReading {
        findings: findings.iter().copied().collect(),
        ..CellReading::default()
    })
}

fn judged(verdict: CellVerdict) -> Fact {
    Fact::CellJudged(CellJudged {
        verdict,
        reason: "opened and looked at".to_owned(),
        rules: Vec::new(),
    })
}

fn placed() -> Fact {
    Fact::CellPlaced(CellPlacement {
        place: IsolationPlace::Bay,
        position: "B3".to_owned(),
        rules: Vec::new(),
    })
}

fn fold(entries: &[Recorded]) -> CellState {
    fold_cell(CELL, entries).state
}

/// Checks the level, the diagnosis, and that a rule is among the reasons.
fn check(entries: &[Recorded], level: BenchLevel, diagnosis: Diagnosis, rule: &str) -> CellState {
    let state = fold(entries);
    let rules: Vec<&str> = state
        .standing
        .iter()
        .map(|standing| standing.reason.rule.as_str())
        .collect();
    assert_eq!(state.level, Some(level), "{rules:?}");
    assert_eq!(state.diagnosis, diagnosis, "{rules:?}");
    assert!(rules.contains(&rule), "{rule} not in {rules:?}");
    state
}

#[test]
fn one_look_is_judged_as_the_check_alone() {
    for findings in [
        vec![CellFinding::NothingWrong],
        vec![CellFinding::Swollen],
        vec![CellFinding::NotSeen],
        vec![CellFinding::WaterNearIt, CellFinding::HardDrop],
        vec![CellFinding::NothingWrong, CellFinding::Leaking],
        vec![CellFinding::Smoking],
    ] {
        let alone = CellCheck {
            findings: findings.iter().copied().collect(),
            ..sound()
        };
        let state = fold(&[at(0, Fact::CellChecked(alone.clone()))]);
        assert_eq!(state.judgement, Some(judge(&alone)), "{findings:?}");
    }
}

#[test]
fn a_swollen_cell_stays_isolated_whatever_a_later_look_says() {
    let entries = [
        at(0, found(&[CellFinding::Swollen])),
        at(60, found(&[CellFinding::NothingWrong])),
    ];
    let state = check(&entries, BenchLevel::Isolate, Diagnosis::Damaged, "B10");
    assert_eq!(state.standing[0].since_ms, 0, "it stands since it was seen");
    assert_eq!(state.isolated_since_ms, Some(0));
}

#[test]
fn a_look_ends_what_only_a_look_was_missing_for() {
    let unseen = at(0, found(&[CellFinding::NotSeen]));
    check(
        std::slice::from_ref(&unseen),
        BenchLevel::Watch,
        Diagnosis::Undiagnosed,
        "B36",
    );
    let looked = [unseen, at(60, found(&[CellFinding::NothingWrong]))];
    check(&looked, BenchLevel::Clear, Diagnosis::Sound, "B50");
    let wet = at(0, found(&[CellFinding::WaterNearIt]));
    let dry = [wet.clone(), at(60, found(&[CellFinding::NothingWrong]))];
    check(&dry, BenchLevel::Clear, Diagnosis::Sound, "B50");
    let reached = [wet, at(60, found(&[CellFinding::WaterReachedIt]))];
    check(&reached, BenchLevel::Isolate, Diagnosis::Damaged, "B20");
}

#[test]
fn a_glance_at_a_closed_container_does_not_undo_an_earlier_look() {
    let entries = [
        at(0, found(&[CellFinding::NothingWrong])),
        at(60, seen(&[CellFinding::NotSeen])),
    ];
    check(&entries, BenchLevel::Clear, Diagnosis::Sound, "B50");
}

#[test]
fn a_hard_drop_a_lost_charge_and_a_low_voltage_need_a_person() {
    for finding in [CellFinding::HardDrop, CellFinding::LosesCharge] {
        let entries = [
            at(0, found(&[finding])),
            at(60, found(&[CellFinding::NothingWrong])),
        ];
        let state = fold(&entries);
        assert_eq!(state.level, Some(BenchLevel::Watch), "{finding:?}");
        assert_eq!(state.diagnosis, Diagnosis::Undiagnosed);
    }
    let low = [
        at(0, reading(212, 2_300)),
        at(60, found(&[CellFinding::NothingWrong])),
    ];
    check(&low, BenchLevel::Watch, Diagnosis::Undiagnosed, "B30");
    let cleared = [
        low[0].clone(),
        low[1].clone(),
        seeing(90, judged(CellVerdict::Sound), &[0, 60]),
    ];
    check(&cleared, BenchLevel::Clear, Diagnosis::Sound, "B67");
}

#[test]
fn a_person_clears_only_what_they_had_before_them() {
    let clearing = seeing(90, judged(CellVerdict::Sound), &[0]);
    let unseen_reading = at(80, seen(&[CellFinding::SolventSmell]));
    let entries = [
        at(0, found(&[CellFinding::Bent])),
        unseen_reading,
        clearing.clone(),
    ];
    check(&entries, BenchLevel::Isolate, Diagnosis::Damaged, "B14");
    let after = [
        at(0, found(&[CellFinding::Bent])),
        clearing,
        at(120, seen(&[CellFinding::Swollen])),
    ];
    check(&after, BenchLevel::Isolate, Diagnosis::Damaged, "B10");
}

#[test]
fn a_judgement_without_a_look_leaves_the_cell_unknown() {
    let entries = [
        at(0, found(&[CellFinding::NotSeen])),
        seeing(60, judged(CellVerdict::Sound), &[0]),
    ];
    check(&entries, BenchLevel::Watch, Diagnosis::Undiagnosed, "B36");
}

#[test]
fn of_two_judgements_made_apart_damage_is_believed() {
    let apart = [
        at(0, found(&[CellFinding::HardDrop])),
        seeing(60, judged(CellVerdict::Damaged), &[0]),
        seeing(61, judged(CellVerdict::Sound), &[0]),
    ];
    check(&apart, BenchLevel::Isolate, Diagnosis::Damaged, "B66");
    let knowing = [
        apart[0].clone(),
        apart[1].clone(),
        seeing(61, judged(CellVerdict::Sound), &[0, 60]),
    ];
    check(&knowing, BenchLevel::Clear, Diagnosis::Sound, "B67");
}

#[test]
fn an_emergency_that_is_over_ends_as_damaged_in_isolation() {
    let hot = at(0, found(&[CellFinding::Hot]));
    let state = check(
        std::slice::from_ref(&hot),
        BenchLevel::Emergency,
        Diagnosis::Critical,
        "B04",
    );
    assert_eq!(state.next_reading, None, "nobody is sent to it");
    let cool = [hot.clone(), at(300, reading(215, 3_820))];
    check(&cool, BenchLevel::Emergency, Diagnosis::Critical, "B04");
    let over = [
        hot,
        cool[1].clone(),
        seeing(310, judged(CellVerdict::Damaged), &[0, 300]),
    ];
    let state = check(&over, BenchLevel::Isolate, Diagnosis::Damaged, "B66");
    assert!(state.next_reading.is_some());
}

#[test]
fn a_temperature_that_rises_is_an_emergency_from_three_degrees() {
    let rise = |second| [at(0, reading(215, 3_820)), at(60, reading(second, 3_820))];
    assert_ne!(fold(&rise(244)).level, Some(BenchLevel::Emergency));
    let state = check(
        &rise(245),
        BenchLevel::Emergency,
        Diagnosis::Critical,
        "B60",
    );
    let judgement = state.judgement.unwrap();
    assert_eq!(
        judgement.actions,
        judge(&CellCheck {
            findings: BTreeSet::from([CellFinding::Burning]),
            ..CellCheck::default()
        })
        .actions,
        "it says to leave, like any emergency"
    );
    let warmed = Fact::CellReadingTaken(CellReading {
        surface_tenths_c: Some(245),
        room_tenths_c: Some(210),
        warmed_by: Some(WarmedBy::Running),
        ..CellReading::default()
    });
    let explained = [at(0, reading(215, 3_820)), at(60, warmed)];
    assert_ne!(fold(&explained).level, Some(BenchLevel::Emergency));
}

#[test]
fn a_warmer_room_is_no_warmer_cell() {
    let morning = at(0, reading(215, 3_820));
    let noon = Fact::CellReadingTaken(CellReading {
        surface_tenths_c: Some(265),
        room_tenths_c: Some(260),
        ..CellReading::default()
    });
    assert_ne!(
        fold(&[morning, at(300, noon)]).level,
        Some(BenchLevel::Emergency)
    );
}

#[test]
fn a_voltage_that_falls_by_itself_isolates_from_a_tenth_of_a_volt() {
    let fall = |to| {
        [
            at(0, found(&[CellFinding::NothingWrong])),
            at(600, reading(212, to)),
        ]
    };
    assert_eq!(fold(&fall(3_721)).level, Some(BenchLevel::Clear));
    check(&fall(3_720), BenchLevel::Isolate, Diagnosis::Damaged, "B61");
}

#[test]
fn a_charge_that_stays_too_low_for_a_week_isolates() {
    let week = 7 * 24 * HOUR;
    let after = |minutes| [at(0, reading(212, 1_900)), at(minutes, reading(212, 1_890))];
    check(
        &after(week),
        BenchLevel::Watch,
        Diagnosis::Undiagnosed,
        "B30",
    );
    check(
        &after(week + 1),
        BenchLevel::Isolate,
        Diagnosis::Damaged,
        "B62",
    );
}

#[test]
fn what_somebody_puts_in_isolation_stays_there_until_it_is_judged_sound() {
    let entries = [at(0, found(&[CellFinding::NothingWrong])), at(5, placed())];
    let state = check(&entries, BenchLevel::Isolate, Diagnosis::Sound, "B65");
    assert!(state.is_isolated());
    let out = [
        entries[0].clone(),
        entries[1].clone(),
        seeing(9, judged(CellVerdict::Sound), &[0, 5]),
    ];
    let state = check(&out, BenchLevel::Clear, Diagnosis::Sound, "B67");
    assert!(!state.is_isolated());
    assert_eq!((state.placed, state.next_reading), (None, None));
}

#[test]
fn put_in_isolation_before_anyone_looked_is_isolated_and_not_diagnosed() {
    check(
        &[at(0, placed())],
        BenchLevel::Isolate,
        Diagnosis::Undiagnosed,
        "B65",
    );
}

#[test]
fn a_reading_by_a_slip_can_be_taken_back() {
    let slip = at(60, seen(&[CellFinding::Smoking]));
    let taken_back = Fact::EntryWithdrawn(Withdrawal {
        entry_id: slip.entry_id,
        reason: "another cell".to_owned(),
    });
    let entries = [
        at(0, found(&[CellFinding::NothingWrong])),
        slip,
        at(61, taken_back),
    ];
    check(&entries, BenchLevel::Clear, Diagnosis::Sound, "B50");
}
