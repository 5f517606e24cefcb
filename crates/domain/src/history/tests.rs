//! Rates and survival at their edges. The published figures are checked in `tests/src/outside/statistics.rs`.

use proptest::prelude::*;

use super::*;

fn check_words(hits: u32, count: u32, expected: &str) {
    assert_eq!(Rate { hits, count }.words(), expected);
}

#[test]
fn a_rate_never_stands_without_its_count_and_its_interval() {
    check_words(0, 0, "no data");
    check_words(2, 3, "2 of 3, too few for a rate");
    check_words(4, 4, "4 of 4, too few for a rate");
    check_words(9, 10, "9 of 10 (90 %; 60 to 98 % at 95 % confidence)");
    check_words(20, 20, "20 of 20 (100 %; 84 to 100 % at 95 % confidence)");
}

#[test]
fn more_hits_than_cases_have_no_interval() {
    assert_eq!(Rate { hits: 3, count: 2 }.interval(), None);
}

fn stays(days: &[(u32, bool)]) -> Vec<Stay> {
    days.iter()
        .map(|&(days, came_back)| Stay { days, came_back })
        .collect()
}

fn check_no_curve(days: &[(u32, bool)], words: &str) {
    let curve = survival(&stays(days));
    assert!(curve.steps.is_empty(), "{:?}", curve.steps);
    assert_eq!(curve.words, words);
}

#[test]
fn too_little_gives_words_and_no_curve() {
    check_no_curve(&[], "No such repair has gone back yet.");
    check_no_curve(
        &[(5, true), (9, false), (12, true)],
        "2 of 3 came back; too few to draw how long such repairs last.",
    );
}

#[test]
fn the_curve_ends_where_too_few_are_still_watched() {
    let mut days: Vec<(u32, bool)> = (1..=6).map(|day| (day * 10, true)).collect();
    days.extend([(5, false); 4]);
    let curve = survival(&stays(&days));
    let last = curve.steps.last().expect("a step");
    assert_eq!((last.day, last.at_risk), (20, 5));
}

#[test]
fn a_comeback_counts_before_an_end_of_watching_on_the_same_day() {
    let steps = survival::all_steps(&stays(&[(10, true), (10, false)]));
    assert_eq!(steps[0].at_risk, 2);
}

#[test]
fn when_all_came_back_nothing_lasts_and_the_band_holds() {
    let steps = survival::all_steps(&stays(&[(1, true), (2, true)]));
    let last = steps[1];
    assert!((last.lasting, last.low, last.high) == (0.0, 0.0, 0.0));
}

#[test]
fn quartiles_are_those_of_a_spreadsheet() {
    // numpy 2.4.6, method 'linear', of the data in `tests/vectors/statistics.json`: 2.25, 4.5, 11.75.
    let spread = past::spread(vec![40, 1, 2, 2, 3, 4, 5, 8, 13, 21]).expect("a spread");
    assert_eq!(
        (
            spread.count,
            spread.quarter,
            spread.half,
            spread.three_quarters
        ),
        (10, 2, 5, 12)
    );
    let one = past::spread(vec![7]).expect("a spread");
    assert_eq!((one.quarter, one.half, one.three_quarters), (7, 7, 7));
    assert_eq!(past::spread(Vec::new()), None);
}

fn any_stays() -> impl Strategy<Value = Vec<Stay>> {
    let stay = (0u32..200, any::<bool>()).prop_map(|(days, came_back)| Stay { days, came_back });
    proptest::collection::vec(stay, 0..60)
}

proptest! {
    #[test]
    fn an_interval_holds_its_share_and_never_leaves_0_and_1(count in 1u32..5000, share in 0.0f64..=1.0) {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a count that fits")]
        let hits = (f64::from(count) * share) as u32;
        let interval = Rate { hits, count }.interval().expect("an interval");
        let rate = f64::from(hits) / f64::from(count);
        prop_assert!(0.0 <= interval.low && interval.low <= rate + 1e-12);
        prop_assert!(rate - 1e-12 <= interval.high && interval.high <= 1.0);
    }

    #[test]
    fn more_cases_of_the_same_share_never_widen_the_interval(count in 1u32..500, hits in 0u32..500) {
        let hits = hits.min(count);
        let width = |rate: Rate| rate.interval().map(|interval| interval.high - interval.low).expect("an interval");
        let (few, many) = (Rate { hits, count }, Rate { hits: hits * 2, count: count * 2 });
        prop_assert!(width(many) <= width(few) + 1e-12);
    }

    #[test]
    fn the_curve_only_falls_and_lies_in_its_band(stays in any_stays()) {
        let mut before = 1.0;
        for step in survival::all_steps(&stays) {
            prop_assert!(step.lasting <= before);
            prop_assert!(0.0 <= step.low && step.low <= step.lasting + 1e-12);
            prop_assert!(step.lasting - 1e-12 <= step.high && step.high <= 1.0);
            before = step.lasting;
        }
    }

    #[test]
    fn the_order_of_the_devices_does_not_matter(stays in any_stays()) {
        let mut turned = stays.clone();
        turned.reverse();
        prop_assert_eq!(survival(&stays), survival(&turned));
    }
}
