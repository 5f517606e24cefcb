//! Money against ISO 4217 and against arithmetic done elsewhere.
//!
//! `vectors/money_time.json`: ISO 4217 List One as carried by the Python package iso4217 1.16.20260101 (public domain);
//! rounding by Python's decimal module; shares by the largest-remainder rule, computed apart from this program.

use domain::money::{BasisPoints, Currency, Money, Rounding};
use serde_json::Value;

use super::vector_files::{list, number, vectors};

#[test]
fn every_currency_has_the_digits_of_the_standard() {
    let vectors = vectors("money_time.json");
    let listed = &vectors["iso4217"];
    for table in ["minor_unit_digits_not_2", "examples"] {
        for (code, digits) in listed[table].as_object().expect("a table") {
            let found = code
                .parse::<Currency>()
                .ok()
                .map(|currency| u64::from(currency.digits()));
            assert_eq!(found, digits.as_u64(), "{code}");
        }
    }
}

#[test]
fn halves_are_rounded_as_the_other_arithmetic_rounds_them() {
    let vectors = vectors("money_time.json");
    for (table, rounding) in [
        ("half_even", Rounding::HalfEven),
        ("half_up", Rounding::HalfUp),
    ] {
        for case in list(&vectors["rounding"], table) {
            // A tenth of an amount ten times as large: the thousandths are the minor units of the amount.
            let decimal = |value: &Value| value.as_str().expect("a text").replace('.', "");
            let exact: i64 = decimal(&case[0]).parse().expect("digits");
            let rounded: i64 = decimal(&case[1]).parse().expect("digits");
            let tenth = Money::new(exact, Currency::EUR)
                .rate(BasisPoints(1000), rounding)
                .expect("small");
            assert_eq!(tenth.minor, rounded, "{table} {case}");
        }
    }
}

#[test]
fn shares_are_those_of_the_largest_remainder() {
    for case in list(&vectors("money_time.json")["allocation"], "cases") {
        let weights: Vec<u32> = list(case, "weights")
            .iter()
            .map(|weight| number(weight).try_into().expect("small"))
            .collect();
        let parts = Money::new(number(&case["total_minor"]), Currency::EUR)
            .allocate(&weights)
            .expect("shares");
        let expected: Vec<i64> = list(case, "parts").iter().map(number).collect();
        assert_eq!(
            parts.iter().map(|part| part.minor).collect::<Vec<_>>(),
            expected,
            "{case}"
        );
    }
}
