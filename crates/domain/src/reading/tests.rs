//! Typed readings, with and without their unit.

use proptest::prelude::*;

use super::*;

#[track_caller]
fn check(text: &str, unit: Unit, micro: i64) {
    assert_eq!(parse_reading(text, unit), Ok(micro), "{text}");
}

#[test]
fn a_number_alone_is_in_the_unit_of_the_test() {
    check("0.94", Unit::Ampere, 940_000);
    check("0,94", Unit::Ampere, 940_000);
    check(" -63 ", Unit::DecibelMilliwatt, -63_000_000);
    check("−63", Unit::DecibelMilliwatt, -63_000_000);
}

#[test]
fn a_prefix_moves_the_point_and_loses_nothing() {
    check("940 mA", Unit::Ampere, 940_000);
    check("940.5mA", Unit::Ampere, 940_500);
    check("3 µA", Unit::Ampere, 3);
    check("3 μA", Unit::Ampere, 3);
    check("1500 µV", Unit::Volt, 1_500);
    check("4.7 kΩ", Unit::Ohm, 4_700_000_000);
    check("4,75k", Unit::Ohm, 4_750_000_000);
    check("1 MΩ", Unit::Ohm, 1_000_000_000_000);
    check("0.50 mA", Unit::Ampere, 500);
    check("-5 mV", Unit::Volt, -5_000);
    check("85 %", Unit::Percent, 85_000_000);
}

#[test]
fn a_time_may_have_minutes() {
    check("2:05.3", Unit::Second, 125_300_000);
    check("2 min", Unit::Second, 120_000_000);
    check("21.4 s", Unit::Second, 21_400_000);
    check("900 ms", Unit::Second, 900_000);
}

#[track_caller]
fn refuse(text: &str, unit: Unit, sentence: &str) {
    let why = parse_reading(text, unit).unwrap_err().to_string();
    assert!(why.contains(sentence), "{why}");
}

#[test]
fn a_unit_that_does_not_fit_is_named() {
    refuse("3.8 V", Unit::Ampere, "is read in A, but “3.8 V” is in V");
    refuse("20 Ω", Unit::Second, "is read in s, but “20 Ω” is in Ω");
    refuse("5 s", Unit::Count, "is read in whole numbers");
}

#[test]
fn letters_that_are_no_unit_are_named() {
    refuse("3.8 foo", Unit::Ampere, "“foo” is no unit here");
    refuse("one", Unit::Ampere, "“one” is not a number");
    refuse("1.2.3 A", Unit::Ampere, "is not a number");
    refuse("2:75", Unit::Second, "is not a number");
    refuse("", Unit::Ampere, "is not a number");
}

#[test]
fn more_digits_than_a_bench_reading_has_are_refused() {
    refuse("0.0000001", Unit::Ampere, "more digits");
    refuse("0.5 µA", Unit::Ampere, "more digits");
    refuse("1234567890123", Unit::Ampere, "more digits");
}

proptest! {
    #[test]
    fn what_is_written_is_read_again(micro in -999_999_999_999_999_999i64..1_000_000_000_000_000_000) {
        prop_assert_eq!(parse_reading(&format_micro(micro), Unit::Volt), Ok(micro));
    }

    #[test]
    fn milliamperes_are_thousandths(micro in -1_000_000_000i64..1_000_000_000) {
        let (sign, size) = (if micro < 0 { "-" } else { "" }, micro.unsigned_abs());
        let text = format!("{sign}{}.{:03} mA", size / 1_000, size % 1_000);
        prop_assert_eq!(parse_reading(&text, Unit::Ampere), Ok(micro));
    }

    #[test]
    fn no_text_breaks_it(text in ".{0,20}") {
        for unit in [Unit::Ampere, Unit::Second, Unit::Ohm, Unit::Count] {
            let _ = parse_reading(&text, unit);
        }
    }
}

#[test]
fn an_uncertainty_is_said_with_two_digits_and_never_too_small() {
    let check = |uncertainty_micro: i64, said: &str| {
        let reading = Reading {
            micro: 1_620_000,
            unit: Unit::Ampere,
            uncertainty_micro: Some(uncertainty_micro),
        };
        assert_eq!(reading.to_string(), format!("1.62 ± {said} A"));
    };
    check(41_801, "0.042");
    check(20_000, "0.02");
    check(99_500, "0.1");
    check(1, "0.000001");
    check(0, "0");
    check(12_300_000, "13");
}
