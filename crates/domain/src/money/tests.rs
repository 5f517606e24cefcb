//! Unit cases. Rounding, allocation and the digits of currencies are in the outside checks too.

use proptest::prelude::*;

use super::*;

fn currency(code: &str) -> Currency {
    code.parse().expect(code)
}

fn check(text: &str, code: &str, minor: i64) {
    assert_eq!(
        Money::parse(text, currency(code)),
        Ok(Money::new(minor, currency(code))),
        "{text} {code}"
    );
}

fn refusal(text: &str, code: &str) -> String {
    Money::parse(text, currency(code))
        .expect_err(text)
        .to_string()
}

#[test]
fn amounts_are_read_with_point_or_comma() {
    check("12.50", "EUR", 1250);
    check("12,50", "EUR", 1250);
    check("12,5", "EUR", 1250);
    check("12", "EUR", 1200);
    check(".5", "EUR", 50);
    check("-3", "EUR", -300);
    check("−3.05", "EUR", -305);
    check("+ 3", "EUR", 300);
    check("0.05", "EUR", 5);
    check("007", "EUR", 700);
    check("1.234", "KWD", 1234);
    check("500", "JPY", 500);
}

#[test]
fn separators_of_thousands_are_read_where_they_are_plain() {
    check("1,234.50", "EUR", 123_450);
    check("1.234,50", "EUR", 123_450);
    check("1 234,50", "EUR", 123_450);
    check("1\u{A0}234\u{A0}567,5", "EUR", 123_456_750);
    check("1'234'567.00", "CHF", 123_456_700);
    check("1,234,567", "EUR", 123_456_700);
    check("1,234", "JPY", 1234);
}

#[test]
fn the_currency_may_stand_before_or_behind() {
    check("12.50 EUR", "EUR", 1250);
    check("EUR12,50", "EUR", 1250);
    check("12.50 eur", "EUR", 1250);
    assert_eq!(
        refusal("12.50 USD", "EUR"),
        "“12.50 USD” is in USD, but this amount is in EUR"
    );
}

#[test]
fn one_separator_before_three_digits_is_ambiguous() {
    assert_eq!(
        refusal("1,234", "EUR"),
        "“1,234” can mean 1234 or 1.234; write it without a separator of thousands"
    );
    assert!(matches!(
        Money::parse("1.234", Currency::EUR),
        Err(MoneyError::Ambiguous { .. })
    ));
    assert!(matches!(
        Money::parse("0.234", Currency::EUR),
        Err(MoneyError::TooManyDecimals { .. })
    ));
}

#[test]
fn a_refusal_says_what_would_be_right() {
    assert_eq!(
        refusal("12.345", "EUR"),
        "“12.345” can mean 12345 or 12.345; write it without a separator of thousands"
    );
    assert_eq!(
        refusal("12.3456", "EUR"),
        "“12.3456” has 4 digits after the point and EUR has 2; write it like 12.50"
    );
    assert_eq!(
        refusal("12.5", "JPY"),
        "“12.5” has 1 digits after the point and JPY has 0; write it like 12"
    );
    for text in [
        "",
        " ",
        "-",
        ".",
        "12.",
        "ten",
        "1,23,4",
        "1 23",
        "12..5",
        "1.2.3",
        "--5",
        "1,2345.00",
        "12EURO",
        "é",
        "५",
    ] {
        assert!(
            matches!(
                Money::parse(text, Currency::EUR),
                Err(MoneyError::NotAnAmount { .. })
            ),
            "{text}"
        );
    }
    assert_eq!(
        Money::parse("99999999999999999999", Currency::EUR),
        Err(MoneyError::TooLarge)
    );
}

#[test]
fn an_amount_shows_its_digits_and_code() {
    let show = |minor, code| Money::new(minor, currency(code)).to_string();
    assert_eq!(show(1250, "EUR"), "12.50 EUR");
    assert_eq!(show(-5, "EUR"), "-0.05 EUR");
    assert_eq!(show(500, "JPY"), "500 JPY");
    assert_eq!(show(1, "KWD"), "0.001 KWD");
    assert_eq!(show(i64::MIN, "EUR"), "-92233720368547758.08 EUR");
}

#[test]
fn an_amount_travels_as_minor_units_and_code() {
    let json = serde_json::to_string(&Money::new(1250, Currency::EUR)).expect("json");
    assert_eq!(json, r#"{"minor":1250,"currency":"EUR"}"#);
    assert!(serde_json::from_str::<Money>(r#"{"minor":1,"currency":"XAU"}"#).is_err());
    assert!(serde_json::from_str::<Money>(r#"{"minor":1.5,"currency":"EUR"}"#).is_err());
}

#[test]
fn two_currencies_never_add_up() {
    let euro = Money::new(1, Currency::EUR);
    let error = euro
        .checked_add(Money::new(1, Currency::USD))
        .expect_err("mixed")
        .to_string();
    assert_eq!(error, "USD can't be added to EUR; a sum has one currency");
    assert!(Money::sum(Currency::USD, [euro]).is_err());
    assert_eq!(
        Money::sum(Currency::EUR, [euro, euro]),
        Ok(Money::new(2, Currency::EUR))
    );
    assert_eq!(
        Money::sum(Currency::EUR, []),
        Ok(Money::zero(Currency::EUR))
    );
}

#[test]
fn what_cannot_be_kept_is_an_error() {
    let most = Money::new(i64::MAX, Currency::EUR);
    assert_eq!(
        most.checked_add(Money::new(1, Currency::EUR)),
        Err(MoneyError::TooLarge)
    );
    assert_eq!(most.checked_mul(2), Err(MoneyError::TooLarge));
    assert_eq!(
        Money::new(i64::MIN, Currency::EUR).checked_neg(),
        Err(MoneyError::TooLarge)
    );
    assert_eq!(
        most.rate(BasisPoints(20_000), Rounding::HalfUp),
        Err(MoneyError::TooLarge)
    );
}

#[test]
fn half_a_cent_goes_where_the_rule_says() {
    // 19 % of 0.50 is 0.095; 5 % of 0.50 is 0.025; 5 % of 0.10 is 0.005.
    let tax = |minor, rate, rounding| {
        Money::new(minor, Currency::EUR)
            .rate(BasisPoints(rate), rounding)
            .expect("small")
            .minor
    };
    assert_eq!(
        (
            tax(50, 1900, Rounding::HalfUp),
            tax(50, 1900, Rounding::HalfEven)
        ),
        (10, 10)
    );
    assert_eq!(
        (
            tax(50, 500, Rounding::HalfUp),
            tax(50, 500, Rounding::HalfEven)
        ),
        (3, 2)
    );
    assert_eq!(
        (
            tax(-50, 500, Rounding::HalfUp),
            tax(-50, 500, Rounding::HalfEven)
        ),
        (-3, -2)
    );
    assert_eq!(
        (
            tax(10, 500, Rounding::HalfUp),
            tax(10, 500, Rounding::HalfEven)
        ),
        (1, 0)
    );
}

#[test]
fn a_contained_tax_is_taken_out_of_the_whole() {
    let gross = Money::new(11_900, Currency::EUR);
    assert_eq!(
        gross.tax_contained(BasisPoints(1900), Rounding::HalfUp),
        Ok(Money::new(1900, Currency::EUR))
    );
    assert!(
        gross
            .tax_contained(BasisPoints(-10_000), Rounding::HalfUp)
            .is_err()
    );
}

#[test]
fn a_rate_shows_in_percent() {
    let shown: Vec<String> = [1900, 725, 550, 5, -1000, 0]
        .map(|rate| BasisPoints(rate).to_string())
        .into();
    assert_eq!(shown, ["19 %", "7.25 %", "5.5 %", "0.05 %", "-10 %", "0 %"]);
}

#[test]
fn an_amount_is_not_shared_among_nobody() {
    let euro = Money::new(100, Currency::EUR);
    assert_eq!(euro.allocate(&[]), Err(MoneyError::NoShares));
    assert_eq!(euro.allocate(&[0, 0]), Err(MoneyError::NoShares));
}

proptest! {
    #[test]
    fn shares_add_up_exactly(minor in any::<i64>(), weights in prop::collection::vec(any::<u32>(), 1..20)) {
        prop_assume!(weights.iter().any(|&weight| weight > 0));
        let parts = Money::new(minor, Currency::EUR).allocate(&weights).expect("a share above zero");
        prop_assert_eq!(parts.len(), weights.len());
        prop_assert_eq!(parts.iter().map(|part| i128::from(part.minor)).sum::<i128>(), i128::from(minor));
        let whole: i128 = weights.iter().map(|&weight| i128::from(weight)).sum();
        for (part, &weight) in parts.iter().zip(&weights) {
            // No part is a whole unit away from its exact share, and a weight of zero gets nothing.
            let distance = i128::from(part.minor) * whole - i128::from(minor) * i128::from(weight);
            prop_assert!(distance.abs() < whole);
            prop_assert!(weight > 0 || part.minor == 0);
        }
    }

    #[test]
    fn what_is_shown_reads_back(minor in -i64::MAX..=i64::MAX, code in prop::sample::select(vec!["EUR", "JPY", "KWD", "CLF"])) {
        let money = Money::new(minor, currency(code));
        prop_assert_eq!(Money::parse(&money.to_string(), money.currency), Ok(money));
    }

    #[test]
    fn any_text_is_read_without_a_fall(text in "[-+0-9.,' €A-Z]{0,16}") {
        let _ = Money::parse(&text, Currency::EUR);
    }
}
