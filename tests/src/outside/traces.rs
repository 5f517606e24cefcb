//! A measured discharge by others against our charge, and uncertainty against the worked numbers.
//!
//! Sources: PyPI `ampworks` 0.1.0 (BSD-3-Clause; `tests/vectors/traces/LICENCE.txt`), whose file carries the charge that the cycler
//! itself counted; `statistics.json`, whose uncertainty section follows JCGM 100:2008 and was computed apart from this program.

use std::fs;
use std::path::Path;

use domain::fact::Instrument;
use domain::judging::evaluate;
use domain::trace::{decode_text, figures, parse_trace};

use super::vector_files::{list, vectors};

#[test]
fn the_trapezoid_rule_gives_the_charge_that_the_cycler_counted() {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("vectors/traces/cell1_rough_300_rows.csv");
    let text = decode_text(&fs::read(path).expect("the excerpt lies beside its licence"));
    let trace = parse_trace(&text).expect("its head names seconds, amperes and volts");
    assert_eq!((trace.samples.len(), trace.broken_count), (300, 0));
    assert!(trace.assumed.is_empty(), "{:?}", trace.assumed);
    // The last row's own counter, in ampere-hours; it counts up while the current is negative.
    let cycler_ah: f64 = text
        .lines()
        .last()
        .and_then(|row| row.split(',').nth(3))
        .expect("the fourth column")
        .parse()
        .expect("a number");
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a few million nanoampere-hours"
    )]
    let counted_nah = (cycler_ah * 1e9).round() as i64;
    let own_nah = -figures(&trace.samples).charge_nah;
    // Currents are kept to a nanoampere, so that the sum over 2990 s can be off by 0.4 nAh.
    assert!(
        (own_nah - counted_nah).abs() <= 1,
        "{own_nah} against {counted_nah}"
    );
}

#[test]
fn uncertainty_comes_out_as_in_the_worked_example() {
    let all = vectors("statistics.json");
    let example = &all["uncertainty"];
    let to_nano = |value: &serde_json::Value| {
        #[expect(clippy::cast_possible_truncation, reason = "far below 2^53")]
        let nano = (value.as_f64().expect("a number") * 1e9).round() as i64;
        nano
    };
    let readings: Vec<i64> = list(example, "readings_A")
        .iter()
        .map(|value| to_nano(value) / 1_000)
        .collect();
    // 0.5 % of reading + 3 counts of 0.1 mA.
    let meter = Instrument {
        reading_ppm: 5_000,
        counts: 3,
        count_micro: 100,
        ..Instrument::default()
    };
    let found = evaluate(&readings, &meter).expect("five readings");
    assert_eq!(found.mean_micro * 1_000, to_nano(&example["mean"]));
    assert_eq!(found.u_a_nano, Some(to_nano(&example["u_A"])));
    assert_eq!(found.u_b_nano, Some(to_nano(&example["u_B"])));
    // Rounded up to the next millionth.
    let expanded = found.expanded_micro.expect("both kinds are known") * 1_000;
    let published = to_nano(&example["U_k2"]);
    assert!(
        expanded >= published && expanded - published < 1_000,
        "{expanded} against {published}"
    );
}
