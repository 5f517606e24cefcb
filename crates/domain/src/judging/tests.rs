//! Judging, against the worked example of `tests/vectors/statistics.json` and cases at the limits.

use proptest::prelude::*;

use super::*;
use crate::fact::Instrument;
use crate::reading::Unit;

fn reading(micro: i64, uncertainty_micro: Option<i64>) -> Reading {
    Reading {
        micro,
        unit: Unit::Ampere,
        uncertainty_micro,
    }
}

const LIMITS: Limits = Limits {
    low_micro: Some(500_000),
    high_micro: Some(1_000_000),
};

/// 0.5 % of reading + 3 counts of 0.1 mA, as in the vectors.
fn bench_meter() -> Instrument {
    Instrument {
        name: "bench meter".to_owned(),
        reading_ppm: 5_000,
        counts: 3,
        count_micro: 100,
        low_micro: Some(0),
        high_micro: Some(400_000),
    }
}

#[test]
fn the_worked_example_comes_out() {
    // Five readings of about 98.8 mA; JCGM 100:2008, numbers computed apart from this program.
    let readings = [98_700, 98_900, 98_600, 99_100, 98_800];
    let evaluation = evaluate(&readings, &bench_meter()).unwrap();
    assert_eq!(evaluation.mean_micro, 98_820);
    assert_eq!(evaluation.u_a_nano, Some(86_023), "8.6023e-5 A");
    assert_eq!(evaluation.u_b_nano, Some(458_474), "4.58474e-4 A");
    assert_eq!(
        evaluation.expanded_micro,
        Some(933),
        "9.32949e-4 A, rounded up"
    );
}

#[test]
fn a_single_reading_has_the_uncertainty_of_its_instrument_alone() {
    let evaluation = evaluate(&[98_820], &bench_meter()).unwrap();
    assert_eq!(
        (evaluation.u_a_nano, evaluation.expanded_micro),
        (None, Some(917))
    );
}

#[test]
fn repeated_readings_without_a_data_sheet_have_the_uncertainty_of_their_spread_alone() {
    let evaluation = evaluate(&[100, 102, 104], &Instrument::default()).unwrap();
    // s = 2, u_A = 2/sqrt(3) = 1.1547, U = 2.3094.
    assert_eq!(
        (evaluation.mean_micro, evaluation.expanded_micro),
        (102, Some(3))
    );
    assert_eq!(evaluation.u_b_nano, None);
}

#[test]
fn one_reading_of_an_unknown_instrument_has_no_uncertainty() {
    let evaluation = evaluate(&[5], &Instrument::default()).unwrap();
    assert_eq!(evaluation.expanded_micro, None);
}

#[test]
fn no_reading_is_no_value() {
    assert_eq!(
        evaluate(&[], &bench_meter()),
        Err(EvaluationError::NoReading)
    );
}

#[track_caller]
fn check(micro: i64, uncertainty: Option<i64>, rule: DecisionRule, judged: Judged) {
    assert_eq!(
        judge_reading(&reading(micro, uncertainty), &LIMITS, rule),
        judged
    );
}

#[test]
fn by_simple_acceptance_the_value_itself_decides() {
    let rule = DecisionRule::SimpleAcceptance;
    check(1_000_000, Some(50_000), rule, Judged::Accepted);
    check(1_000_001, Some(50_000), rule, Judged::Outside);
    check(500_000, None, rule, Judged::Accepted);
    check(499_999, None, rule, Judged::Outside);
}

#[test]
fn by_guarded_acceptance_the_value_keeps_clear_by_its_uncertainty() {
    let rule = DecisionRule::GuardedAcceptance;
    check(950_000, Some(50_000), rule, Judged::Accepted);
    check(950_001, Some(50_000), rule, Judged::InGuardBand);
    check(550_000, Some(50_000), rule, Judged::Accepted);
    check(549_999, Some(50_000), rule, Judged::InGuardBand);
    check(1_000_001, Some(50_000), rule, Judged::Outside);
    check(750_000, None, rule, Judged::UncertaintyNotKnown);
}

#[test]
fn the_judgement_names_its_rule_and_limits() {
    let words =
        |micro, uncertainty, rule| judgement_words(&reading(micro, uncertainty), &LIMITS, rule);
    assert_eq!(
        words(990_000, Some(20_000), DecisionRule::SimpleAcceptance),
        "0.99 ± 0.02 A against 0.5 to 1 A, by simple acceptance: within, though its uncertainty reaches across a limit"
    );
    assert_eq!(
        words(990_000, Some(20_000), DecisionRule::GuardedAcceptance),
        "0.99 ± 0.02 A against 0.5 to 1 A, by guarded acceptance, w = U: nearer to a limit than its uncertainty, which this rule refuses"
    );
    assert_eq!(
        acceptance_words(
            &reading(0, Some(20_000)),
            &LIMITS,
            DecisionRule::GuardedAcceptance
        ),
        "0.52 to 0.98 A"
    );
}

#[test]
fn a_reading_beyond_its_instrument_is_named_with_the_instrument() {
    assert_eq!(
        out_of_range(&bench_meter(), 94_000_000, Unit::Ampere).as_deref(),
        Some(
            "bench meter can't show more than 0.4 A, but 94 A was typed; check the number and its unit"
        )
    );
    assert_eq!(out_of_range(&bench_meter(), 94_000, Unit::Ampere), None);
    assert!(out_of_range(&bench_meter(), -1, Unit::Ampere).is_some());
}

proptest! {
    #[test]
    fn what_a_guarded_limit_accepts_simple_acceptance_accepts(micro in -2_000_000i64..2_000_000, u in 0i64..500_000) {
        let guarded = judge_reading(&reading(micro, Some(u)), &LIMITS, DecisionRule::GuardedAcceptance);
        let simple = judge_reading(&reading(micro, Some(u)), &LIMITS, DecisionRule::SimpleAcceptance);
        prop_assert!(guarded != Judged::Accepted || simple == Judged::Accepted);
    }

    #[test]
    fn more_uncertainty_never_turns_a_refusal_into_an_acceptance(micro in 0i64..2_000_000, u in 0i64..300_000, more in 0i64..300_000) {
        let judged = |u| judge_reading(&reading(micro, Some(u)), &LIMITS, DecisionRule::GuardedAcceptance);
        prop_assert!(judged(u) == Judged::Accepted || judged(u + more) != Judged::Accepted);
    }

    #[test]
    fn the_order_of_repeated_readings_never_matters(mut readings in proptest::collection::vec(-5_000_000_000i64..5_000_000_000, 1..12)) {
        let one = evaluate(&readings, &bench_meter());
        readings.reverse();
        prop_assert_eq!(evaluate(&readings, &bench_meter()), one);
    }

    #[test]
    fn the_uncertainty_agrees_with_floating_point_within_a_millionth(
        readings in proptest::collection::vec(-900_000i64..900_000, 2..12), ppm in 1u32..20_000, counts in 0u32..10, count_micro in 0u64..1_000,
    ) {
        let instrument = Instrument { reading_ppm: ppm, counts, count_micro, ..Instrument::default() };
        let evaluation = evaluate(&readings, &instrument).unwrap();
        let values: Vec<f64> = readings.iter().map(|reading| f64::from(i32::try_from(*reading).unwrap())).collect();
        let n = f64::from(u32::try_from(values.len()).unwrap());
        let mean = values.iter().sum::<f64>() / n;
        let variance = values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (n - 1.0);
        let half = mean.abs() * f64::from(ppm) / 1e6 + f64::from(counts) * f64::from(u32::try_from(count_micro).unwrap());
        let expected = 2.0 * (variance / n + half * half / 3.0).sqrt();
        let found = f64::from(i32::try_from(evaluation.expanded_micro.unwrap()).unwrap());
        // Rounded up, and the mean that the data sheet's part grows with is rounded to a millionth.
        prop_assert!(found >= expected - 0.1 && found <= expected + 1.1, "{found} against {expected}");
    }
}
