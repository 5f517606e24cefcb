//! What the bay makes of a cell's entries, by small stories: one fact at its minute.
//!
//! Amounts and times stand in the rules and plans; the sources are named there. The plan of readings (hot: 2 hours, then hourly;
//! isolated: 1, 4, 24 hours, then daily) is common practice and battery makers' guides, as the plan's own source says.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;
use crate::cells::schedule::{HOT, ISOLATED, overdue_by};
use crate::cells::{CellFinding, WarmedBy, judge};
use crate::fact::{CellJudged, CellReading, IsolationPlace, Withdrawal};
use crate::ids::{JobId, PersonId, StreamId, Subject};
use crate::recorded::Stamp;

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
    })
}

fn placed() -> Fact {
    Fact::CellPlaced(CellPlacement {
        place: IsolationPlace::Bay,
        position: "B3".to_owned(),
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

/// Minutes from the beginning to the next reading, after readings at these minutes.
fn due(start: &Recorded, readings: &[u64]) -> u64 {
    let mut entries = vec![start.clone()];
    entries.extend(
        readings
            .iter()
            .map(|minute| at(*minute, reading(212, 3_820))),
    );
    fold(&entries)
        .next_reading
        .expect("one is asked for")
        .due_ms
        / 60_000
}

#[test]
fn an_isolated_cell_is_looked_at_after_1_4_and_24_hours_and_then_daily() {
    let start = at(0, found(&[CellFinding::Swollen]));
    assert_eq!(due(&start, &[]), HOUR);
    assert_eq!(due(&start, &[62]), 4 * HOUR);
    assert_eq!(due(&start, &[62, 235]), 24 * HOUR, "a little early counts");
    assert_eq!(due(&start, &[62, 120]), 4 * HOUR, "far too early doesn't");
    assert_eq!(
        due(&start, &[24 * HOUR + 10]),
        48 * HOUR + 10,
        "a day after the last"
    );
    assert_eq!(due(&start, &[10]), HOUR);
}

#[test]
fn a_hot_cell_is_watched_for_two_hours_then_hourly_until_it_is_at_room_temperature() {
    let warm = at(
        0,
        Fact::CellChecked(CellCheck {
            surface_tenths_c: Some(280),
            warmed_by: Some(WarmedBy::Journey),
            ..sound()
        }),
    );
    let next = |readings: &[(u64, i32)]| {
        let mut entries = vec![warm.clone()];
        entries.extend(
            readings
                .iter()
                .map(|(minute, surface)| at(*minute, reading(*surface, 3_820))),
        );
        fold(&entries)
            .next_reading
            .map(|next| (next.due_ms / 60_000, next.plan))
    };
    assert_eq!(next(&[]), Some((15, HOT.id.to_owned())));
    assert_eq!(
        next(&[(121, 240)]),
        None,
        "cool, sound and never put away: it is clear again"
    );
    let explained = |minute, surface| {
        at(
            minute,
            Fact::CellReadingTaken(CellReading {
                surface_tenths_c: Some(surface),
                room_tenths_c: Some(210),
                warmed_by: Some(WarmedBy::Journey),
                ..CellReading::default()
            }),
        )
    };
    let after_two_hours = fold(&[warm.clone(), explained(121, 265)]);
    assert_eq!(
        after_two_hours
            .next_reading
            .map(|next| next.due_ms / 60_000),
        Some(181)
    );
    let swollen_and_cool = fold(&[
        at(0, found(&[CellFinding::Swollen, CellFinding::Hot])),
        at(60, reading(215, 3_820)),
        seeing(61, judged(CellVerdict::Damaged), &[0, 60]),
    ]);
    assert_eq!(
        swollen_and_cool.next_reading.map(|next| next.plan),
        Some(ISOLATED.id.to_owned())
    );
}

#[test]
fn a_reading_is_overdue_only_after_its_time() {
    assert_eq!(overdue_by(1_000, 1_000), None);
    assert_eq!(overdue_by(1_000, 1_001), Some(1));
    assert_eq!(overdue_by(1_000, 0), None);
}

#[test]
fn a_cell_that_left_asks_for_nothing_more() {
    let handed = Fact::CellHandedOver(CellHandOver {
        recycler: "Quay Metals".to_owned(),
        paper_number: "QM-118".to_owned(),
        date: "2026-11-25".to_owned(),
        note: String::new(),
    });
    let state = fold(&[at(0, found(&[CellFinding::Swollen])), at(60, handed)]);
    assert!(!state.is_isolated());
    assert_eq!(state.next_reading, None);
    assert!(matches!(state.left, Some(CellLeft::HandedOver { .. })));
}

#[test]
fn a_removed_cell_keeps_what_was_seen_of_it_in_its_device() {
    let look = Look {
        mark: Mark {
            entry_id: id(7),
            actor_id: PersonId::from_bytes([9; 16]),
            at_ms: 7 * 60_000,
        },
        kind: LookKind::Check,
        check: CellCheck {
            findings: BTreeSet::from([CellFinding::Swollen]),
            ..sound()
        },
    };
    let origin = Fact::CellSetApart(CellOrigin {
        job_id: JobId::from_bytes([7; 16]),
        shop_id: None,
        device: "Arvo Nine".to_owned(),
        looks: vec![look],
        judged: Vec::new(),
        isolated_since_ms: Some(7 * 60_000),
    });
    let cell = fold_cell(CELL, &[at(100, origin)]);
    assert_eq!(cell.state.level, Some(BenchLevel::Isolate));
    assert_eq!(cell.state.isolated_since_ms, Some(7 * 60_000));
    assert_eq!(cell.known.cells_in_series, Some(1));
    assert_eq!(cell.reference, CellRef::of(CELL).to_string());
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

#[test]
fn every_rule_and_limit_of_the_bay_stands_in_the_rule_book() {
    let book = crate::cells::book::RuleBook::shipped();
    for id in crate::cells::history::COMPARED {
        assert!(book.rows().iter().any(|row| row.id == id), "{id}");
    }
    // Reading each plan and amount once reads every limit: a missing one fails here.
    assert_eq!(ISOLATED.at_minutes, [60, 240, 1440]);
    assert_eq!((HOT.at_minutes.len(), HOT.then_every_minutes), (8, 60));
    assert_eq!(crate::cells::schedule::WATCHED.then_every_minutes, 1440);
}

fn any_reading() -> impl Strategy<Value = CellReading> {
    (
        prop::collection::btree_set(prop::sample::select(CellFinding::ALL), 0..3),
        prop::option::of(1_000_u32..4_600),
        prop::option::of(150_i32..700),
        prop::option::of(150_i32..300),
    )
        .prop_map(
            |(findings, voltage_mv, surface_tenths_c, room_tenths_c)| CellReading {
                findings,
                voltage_mv,
                surface_tenths_c,
                room_tenths_c,
                ..CellReading::default()
            },
        )
}

fn any_story() -> impl Strategy<Value = Vec<Recorded>> {
    let fact = prop_oneof![
        6 => any_reading().prop_map(Fact::CellReadingTaken),
        1 => Just(placed()),
        1 => Just(judged(CellVerdict::Sound)),
        1 => Just(judged(CellVerdict::Damaged)),
        1 => Just(found(&[CellFinding::NothingWrong])),
    ];
    prop::collection::vec((fact, any::<bool>()), 1..8).prop_map(|facts| {
        (0_u64..)
            .zip(facts)
            .map(|(number, (fact, knows))| {
                let before: Vec<u64> = (0..number).map(|earlier| earlier * 40).collect();
                seeing(number * 40, fact, if knows { &before } else { &[] })
            })
            .collect()
    })
}

proptest! {
    #[test]
    fn the_order_of_entries_does_not_matter(story in any_story(), seed in any::<u64>()) {
        let mut shuffled = story.clone();
        let length = shuffled.len();
        for index in 0..length {
            let other = usize::try_from(seed.rotate_left(u32::try_from(index).unwrap()) % length as u64).unwrap();
            shuffled.swap(index, other);
        }
        shuffled.push(story[0].clone());
        prop_assert_eq!(fold_cell(CELL, &story), fold_cell(CELL, &shuffled));
    }

    #[test]
    fn a_worse_reading_never_improves_the_level(
        story in any_story(), last in any_reading(), more in prop::sample::select(CellFinding::ALL)
    ) {
        prop_assume!(!matches!(more, CellFinding::NothingWrong | CellFinding::Missing));
        let with = |reading: CellReading| {
            let mut entries = story.clone();
            entries.push(at(1_000, Fact::CellReadingTaken(reading)));
            fold(&entries).level
        };
        let mut worse = last.clone();
        worse.findings.insert(more);
        // A cell that is not there has no level of its own to get worse.
        prop_assume!(!last.findings.contains(&CellFinding::Missing));
        prop_assert!(with(worse) >= with(last));
    }

    #[test]
    fn a_further_reading_never_ends_isolation(story in any_story(), last in any_reading()) {
        let before = fold(&story);
        let stands = |state: &CellState| {
            state.standing.iter().filter(|standing| standing.reason.rule != "B08").map(|standing| standing.reason.level).max()
        };
        prop_assume!(stands(&before) >= Some(BenchLevel::Isolate));
        let mut entries = story;
        entries.push(at(1_000, Fact::CellReadingTaken(last)));
        prop_assert!(stands(&fold(&entries)) >= stands(&before));
    }

    #[test]
    fn the_next_reading_is_never_before_the_last(story in any_story()) {
        let state = fold(&story);
        if let (Some(next), Some(last)) = (&state.next_reading, state.looks.last()) {
            prop_assert!(next.due_ms > last.mark.at_ms.saturating_sub(24 * 60 * 60_000));
        }
    }
}
