//! Rates and survival against published figures and other programs.
//!
//! Sources, also in `vectors/statistics.json`: R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3 (from
//! memory, each confirmed to four decimals with statsmodels 0.15.0); the remission times of Freireich et al. (1963) as printed
//! in Gehan (1965), with the product-limit values printed in Kalbfleisch and Prentice; lifelines 0.30.3 (MIT), whose
//! `KaplanMeierFitter` gave the bands below.

use domain::history::{Rate, Stay, survival};
use serde_json::Value;

use super::vector_files::{list, number, vectors};

/// Six decimals are printed.
const PRINTED: f64 = 5e-7;

fn check_near(what: &str, found: f64, expected: &Value, tolerance: f64) {
    let expected = expected.as_f64().expect("a number");
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: {found} is not {expected}"
    );
}

fn small(value: &Value) -> u32 {
    number(value).try_into().expect("a small count")
}

#[test]
fn wilson_s_interval_is_that_of_statsmodels_and_of_newcombe_s_table() {
    let vectors = vectors("statistics.json");
    for case in list(&vectors["wilson"], "cases") {
        let rate = Rate {
            hits: small(&case["x"]),
            count: small(&case["n"]),
        };
        let interval = rate.interval().expect("an interval");
        let what = format!("{} of {}", rate.hits, rate.count);
        check_near(&what, interval.low, &case["wilson95"][0], PRINTED);
        check_near(&what, interval.high, &case["wilson95"][1], PRINTED);
        if let Some(published) = case.get("published_newcombe_1998_method3") {
            // Four decimals are printed; the table cuts some of them off instead of rounding.
            check_near(&what, interval.low, &published[0], 1e-4);
            check_near(&what, interval.high, &published[1], 1e-4);
        }
    }
}

fn stays(days: &[Value], came_back: &[Value]) -> Vec<Stay> {
    let stay = |(days, came_back): (&Value, &Value)| Stay {
        days: small(days),
        came_back: number(came_back) == 1,
    };
    days.iter().zip(came_back).map(stay).collect()
}

/// Checks each step that the curve shows; it ends where too few are left.
fn check_curve(stays: &[Stay], expected: &[Value], shown: usize, bands: &[(f64, f64)]) {
    let curve = survival(stays);
    assert_eq!(curve.steps.len(), shown);
    for ((step, expected), (low, high)) in curve.steps.iter().zip(expected).zip(bands) {
        let what = format!("day {}", step.day);
        assert_eq!(i64::from(step.day), number(&expected["t"]), "{what}");
        assert_eq!(
            i64::from(step.at_risk),
            number(&expected["at_risk"]),
            "{what}"
        );
        assert_eq!(
            i64::from(step.comebacks),
            number(&expected["events"]),
            "{what}"
        );
        check_near(&what, step.lasting, &expected["S"], PRINTED);
        check_near(&what, step.low, &Value::from(*low), PRINTED);
        check_near(&what, step.high, &Value::from(*high), PRINTED);
    }
}

#[test]
fn the_survival_of_the_published_trial_comes_out_with_the_band_of_lifelines() {
    let vectors = vectors("statistics.json");
    let trial = &vectors["kaplan_meier"];
    let bands = [
        (0.619_718, 0.951_552),
        (0.563_147, 0.922_809),
        (0.503_200, 0.889_362),
        (0.431_610, 0.849_066),
        (0.367_511, 0.804_912),
        (0.267_779, 0.746_791),
        (0.188_052, 0.680_143),
    ];
    let stays = stays(list(trial, "times"), list(trial, "event"));
    check_curve(&stays, list(trial, "steps"), bands.len(), &bands);
}

#[test]
fn a_small_set_of_comebacks_is_not_the_naive_share() {
    let vectors = vectors("statistics.json");
    let small_set = &vectors["kaplan_meier_small"];
    // The last step rests on four devices, too few to be shown.
    let bands = [
        (0.473_009, 0.985_281),
        (0.408_691, 0.945_873),
        (0.304_585, 0.887_148),
    ];
    let stays = stays(list(small_set, "days"), list(small_set, "returned"));
    check_curve(&stays, list(small_set, "steps"), bands.len(), &bands);
}
