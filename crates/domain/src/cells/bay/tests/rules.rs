//! Each look is judged by the bench rules of its own time: those that ship, under the lab's own that its entry carries.

use super::*;
use crate::cells::book::{RuleBody, RuleBook, UsedRule};
use crate::cells::schedule::{HOT, ISOLATED, Plan};

/// Rules of the lab's own, with these numbers.
fn own(numbers: &[(&str, i64)]) -> Vec<UsedRule> {
    let shipped = RuleBook::shipped();
    let rows: Vec<_> = numbers
        .iter()
        .map(|(id, value)| {
            let mut row = shipped.latest().row(id, RuleBody::Bench).unwrap().clone();
            row.value = Some(*value);
            "stricter".clone_into(&mut row.edition);
            row
        })
        .collect();
    shipped
        .with_updates(&rows)
        .bench_changes("2026-12-01".parse().unwrap())
}

fn reading_by(rules: &[UsedRule], surface: i32, voltage_mv: Option<u32>) -> Fact {
    Fact::CellReadingTaken(CellReading {
        surface_tenths_c: Some(surface),
        room_tenths_c: Some(210),
        voltage_mv,
        rules: rules.to_vec(),
        ..CellReading::default()
    })
}

fn check_by(rules: &[UsedRule], findings: &[CellFinding]) -> Fact {
    Fact::CellChecked(CellCheck {
        findings: findings.iter().copied().collect(),
        rules: rules.to_vec(),
        ..sound()
    })
}

#[test]
fn a_stricter_limit_isolates_a_later_look_and_leaves_an_earlier_one_as_it_was() {
    let strict = own(&[("BENCH.DEAD", 3_900)]);
    let before = [at(0, check_by(&[], &[CellFinding::NothingWrong]))];
    check(&before, BenchLevel::Clear, Diagnosis::Sound, "B50");
    let after = [at(0, check_by(&strict, &[CellFinding::NothingWrong]))];
    check(&after, BenchLevel::Isolate, Diagnosis::Damaged, "B22");
    let both = [
        before[0].clone(),
        at(60, reading_by(&strict, 212, Some(3_820))),
    ];
    let state = check(&both, BenchLevel::Isolate, Diagnosis::Damaged, "B22");
    assert_eq!(
        state.isolated_since_ms,
        Some(60 * 60_000),
        "since the look under the stricter rule"
    );
}

#[test]
fn a_look_under_other_rules_judges_by_them_what_was_measured_before() {
    let strict = own(&[("BENCH.DEAD", 3_900)]);
    let entries = [
        at(0, check_by(&[], &[CellFinding::NothingWrong])),
        at(60, reading_by(&strict, 212, None)),
    ];
    check(&entries, BenchLevel::Isolate, Diagnosis::Damaged, "B22");
}

#[test]
fn a_looser_limit_does_not_take_back_what_was_found() {
    let loose = own(&[("BENCH.DEAD", 1_000)]);
    let entries = [
        at(0, reading_by(&[], 212, Some(1_400))),
        at(60, reading_by(&loose, 212, Some(1_400))),
    ];
    check(&entries, BenchLevel::Isolate, Diagnosis::Damaged, "B22");
    let alone = [at(60, reading_by(&loose, 212, Some(1_400)))];
    check(&alone, BenchLevel::Watch, Diagnosis::Undiagnosed, "B30");
}

#[test]
fn what_shows_only_in_comparison_goes_by_the_rules_of_the_later_look() {
    let strict = own(&[("BAY.RISE", 10)]);
    let first = at(0, reading_by(&[], 212, Some(3_820)));
    let calm = [first.clone(), at(60, reading_by(&[], 225, Some(3_820)))];
    assert_ne!(fold(&calm).level, Some(BenchLevel::Emergency));
    let rising = [first, at(60, reading_by(&strict, 225, Some(3_820)))];
    check(&rising, BenchLevel::Emergency, Diagnosis::Critical, "B60");
}

#[test]
fn a_reason_says_its_rule_in_the_words_of_its_own_time() {
    let mut strict = own(&[("BENCH.DEAD", 3_900)]);
    let mut words = strict[0].clone();
    "B22".clone_into(&mut words.id);
    words.value = None;
    "below 3.9 V a cell of ours is not charged".clone_into(&mut words.text);
    strict.push(words);
    let state = fold(&[at(0, check_by(&strict, &[CellFinding::NothingWrong]))]);
    let judgement = state.judgement.unwrap();
    assert!(
        judgement.reasons[0]
            .text
            .ends_with("a cell of ours is not charged"),
        "{}",
        judgement.reasons[0].text
    );
    assert!(
        judgement.rules_revision.contains("2 of them the lab's own"),
        "{}",
        judgement.rules_revision
    );
}

#[test]
fn the_next_reading_goes_by_the_rules_of_what_was_recorded_last() {
    let often = own(&[("BENCH.RECHECK.1", 30)]);
    let due = |entries: &[Recorded]| fold(entries).next_reading.map(|next| next.due_ms / 60_000);
    let swollen = |rules: &[UsedRule]| at(0, check_by(rules, &[CellFinding::Swollen]));
    assert_eq!(due(&[swollen(&[])]), Some(60));
    assert_eq!(due(&[swollen(&often)]), Some(30));
    let moved = Fact::CellPlaced(CellPlacement {
        place: IsolationPlace::Bay,
        position: String::new(),
        rules: often.clone(),
    });
    assert_eq!(due(&[swollen(&[]), at(5, moved)]), Some(30));
    let state = fold(&[swollen(&often)]);
    assert_eq!(
        state.next_reading.unwrap().plan_words,
        "after 30 minutes, 4 hours and 24 hours, then daily"
    );
    assert!(
        state
            .judgement
            .unwrap()
            .actions
            .iter()
            .any(|action| action.contains("after 30 minutes"))
    );
}

#[test]
fn times_that_make_no_plan_are_brought_into_one() {
    // Out of order, and so many that no list could hold them.
    let odd = own(&[
        ("BENCH.RECHECK.1", 300),
        ("BENCH.RECHECK.2", 240),
        ("BENCH.HOT.WATCH", 4_000_000_000),
        ("BAY.HOT.READ", 1),
    ]);
    let isolated = Plan::of_id(ISOLATED, &odd).unwrap();
    assert_eq!(isolated.at_minutes, [240, 300, 1440]);
    assert!(Plan::of_id(HOT, &odd).unwrap().at_minutes.len() <= 1440);
}

#[test]
fn a_number_that_no_limit_can_have_counts_as_passed_and_takes_nobody_down() {
    let mut broken = own(&[("BENCH.DEAD", 3_900), ("BAY.HOT.READ", 30)]);
    for rule in &mut broken {
        rule.value = Some(-5);
    }
    let state = fold(&[at(0, check_by(&broken, &[CellFinding::NothingWrong]))]);
    assert_eq!(state.level, Some(BenchLevel::Isolate));
}

#[test]
fn a_cell_that_was_judged_by_other_numbers_says_which() {
    let strict = own(&[("BENCH.DEAD", 3_900)]);
    let state = fold(&[at(0, check_by(&[], &[CellFinding::NothingWrong]))]);
    assert_eq!(state.limits_changed(&[]), Vec::<String>::new());
    assert_eq!(state.limits_changed(&strict), ["BENCH.DEAD"]);
    let anew = fold(&[
        at(0, check_by(&[], &[CellFinding::NothingWrong])),
        at(60, reading_by(&strict, 212, Some(3_950))),
    ]);
    assert_eq!(anew.limits_changed(&strict), Vec::<String>::new());
    assert_eq!(anew.limits_changed(&[]), ["BENCH.DEAD"]);
    assert_eq!(
        fold(&[at(0, placed())]).limits_changed(&strict),
        Vec::<String>::new(),
        "nobody has judged it yet"
    );
}

#[test]
fn other_words_for_the_same_number_ask_for_no_new_reading() {
    let same = own(&[("BENCH.DEAD", 1_500)]);
    assert_eq!(same.len(), 1, "its edition is another");
    let state = fold(&[at(0, check_by(&[], &[CellFinding::NothingWrong]))]);
    assert_eq!(state.limits_changed(&same), Vec::<String>::new());
}

#[test]
fn a_rule_that_begins_later_is_not_in_force_today() {
    let shipped = RuleBook::shipped();
    let mut row = shipped
        .latest()
        .row("BENCH.DEAD", RuleBody::Bench)
        .unwrap()
        .clone();
    row.value = Some(3_900);
    row.effective_from = "2027-01-01".parse().unwrap();
    let book = shipped.with_updates(std::slice::from_ref(&row));
    let on = |day: &str| book.bench_changes(day.parse().unwrap()).len();
    assert_eq!((on("2026-12-31"), on("2027-01-01")), (0, 1));
    // One that has ended goes on as it shipped.
    row.effective_to = Some("2027-02-01".parse().unwrap());
    let book = shipped.with_updates(&[row]);
    let on = |day: &str| book.bench_changes(day.parse().unwrap()).len();
    assert_eq!((on("2027-02-01"), on("2027-02-02")), (1, 0));
}

#[test]
fn an_entry_from_before_rules_were_recorded_is_judged_by_those_that_ship() {
    let old: CellCheck = serde_json::from_str(r#"{"findings":["nothing_wrong"],"voltage_mv":3820,"cells_in_series":1,"surface_tenths_c":212,"room_tenths_c":210}"#).unwrap();
    assert_eq!(old.rules, []);
    assert_eq!(old.cells_in_parallel, None);
    let judged: CellJudged =
        serde_json::from_str(r#"{"verdict":"sound","reason":"flat"}"#).unwrap();
    let placed: CellPlacement = serde_json::from_str(r#"{"place":"bay","position":"B3"}"#).unwrap();
    assert!(judged.rules.is_empty() && placed.rules.is_empty());
}
