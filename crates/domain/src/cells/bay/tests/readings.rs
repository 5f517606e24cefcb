//! When the next reading is due. The plan of readings (hot: 2 hours, then hourly; isolated: 1, 4, 24 hours, then daily) is common
//! practice and battery makers' guides, as the plan's own source says; that of a watched cell is derived here.

use super::*;
use crate::cells::schedule::{HOT, ISOLATED, Plan, WATCHED, overdue_by};

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
fn a_watched_cell_is_looked_at_after_4_and_24_hours_and_then_daily() {
    let start = at(0, found(&[CellFinding::HardDrop]));
    assert_eq!(due(&start, &[]), 4 * HOUR);
    assert_eq!(due(&start, &[235]), 24 * HOUR);
    assert_eq!(due(&start, &[235, 24 * HOUR]), 48 * HOUR);
    let state = fold(&[start]);
    assert_eq!(
        state.next_reading.map(|next| next.plan),
        Some(WATCHED.to_owned())
    );
    let judgement = state.judgement.unwrap();
    assert_eq!(judgement.recheck_minutes, [240, 1440]);
    assert!(
        judgement
            .actions
            .iter()
            .any(|action| action.ends_with("after 4 hours and 24 hours, then daily.")),
        "{:?}",
        judgement.actions
    );
}

#[test]
fn a_watched_cell_that_is_isolated_is_looked_at_like_an_isolated_one() {
    let entries = [at(0, found(&[CellFinding::HardDrop])), at(10, placed())];
    let next = fold(&entries).next_reading.unwrap();
    assert_eq!((next.due_ms / 60_000, next.plan), (70, ISOLATED.to_owned()));
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
    assert_eq!(next(&[]), Some((15, HOT.to_owned())));
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
        Some(ISOLATED.to_owned())
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
fn every_rule_and_limit_of_the_bay_stands_in_the_rule_book() {
    let book = crate::cells::book::RuleBook::shipped();
    for id in crate::cells::history::COMPARED {
        assert!(book.rows().iter().any(|row| row.id == id), "{id}");
    }
    // Reading each plan and amount once reads every limit: a missing one fails here.
    let plan = |id| Plan::of_id(id, &[]).unwrap();
    let isolated = plan(ISOLATED);
    assert_eq!(isolated.at_minutes, [60, 240, 1440]);
    assert_eq!(
        isolated.words,
        "after 1 hour, 4 hours and 24 hours, then daily"
    );
    let hot = plan(HOT);
    assert_eq!((hot.at_minutes.len(), hot.then_every_minutes), (8, 60));
    let watched = plan(WATCHED);
    assert_eq!(
        (watched.at_minutes, watched.then_every_minutes),
        (vec![240, 1440], 1440)
    );
}
