//! Unit cases. Published dates are in the outside checks.

use jiff::civil::date;
use proptest::prelude::*;

use super::*;

const HOUR_MS: i64 = 60 * 60 * 1000;

fn zone(name: &str) -> Zone {
    name.parse().expect(name)
}

#[test]
fn a_day_in_the_lab_is_a_day_on_its_wall() {
    // 2026-11-25T23:30:00Z is already the 26th in Berlin and still the 25th in New York.
    let at_ms = Zone::utc()
        .instant_ms(date(2026, 11, 25).at(23, 30, 0, 0))
        .expect("in range");
    assert_eq!(
        zone("Europe/Berlin").local_date(at_ms),
        Ok(date(2026, 11, 26))
    );
    assert_eq!(
        zone("America/New_York").local_date(at_ms),
        Ok(date(2026, 11, 25))
    );
    assert_eq!(
        zone("Europe/Berlin").days_between(at_ms, at_ms + 23 * HOUR_MS),
        Ok(0)
    );
    assert_eq!(
        zone("Europe/Berlin").days_between(at_ms, at_ms + 24 * HOUR_MS),
        Ok(1)
    );
}

#[test]
fn a_day_begins_when_the_clock_says_so() {
    let berlin = zone("Europe/Berlin");
    let start = |day| berlin.start_of_day_ms(day).expect("in range");
    // The day on which the clock goes forward has 23 hours.
    assert_eq!(
        start(date(2026, 3, 30)) - start(date(2026, 3, 29)),
        23 * HOUR_MS
    );
    // In Asuncion the clock skipped midnight on 2023-10-01, so the day began at one.
    let asuncion = zone("America/Asuncion");
    let at_ms = asuncion
        .start_of_day_ms(date(2023, 10, 1))
        .expect("in range");
    assert_eq!(asuncion.local(at_ms), Ok(date(2023, 10, 1).at(1, 0, 0, 0)));
}

#[test]
fn a_zone_that_is_none_says_what_would_be_right() {
    let error = "Berlin"
        .parse::<Zone>()
        .expect_err("no such zone")
        .to_string();
    assert_eq!(
        error,
        "“Berlin” is not a time zone; a time zone is written like Europe/Berlin"
    );
    assert_eq!(
        serde_json::from_str::<Zone>("\"europe/berlin\"")
            .expect("any case")
            .name(),
        "Europe/Berlin"
    );
    assert_eq!(
        serde_json::to_string(&Zone::utc()).expect("json"),
        "\"UTC\""
    );
}

#[test]
fn an_instant_beyond_all_years_is_an_error() {
    assert_eq!(
        Zone::utc().local_date(i64::MAX),
        Err(CalendarError::OutOfRange)
    );
}

#[test]
fn a_closed_lab_never_counts_a_day() {
    let closed_weekdays = (1..=7)
        .map(|number| WeekdayNumber::try_from(number).expect("a weekday"))
        .collect();
    let holidays = Holidays {
        closed_weekdays,
        ..Holidays::default()
    };
    assert!(matches!(
        add_business_days(date(2026, 11, 25), 1, &holidays),
        Err(CalendarError::NeverOpen { .. })
    ));
    assert_eq!(
        business_days_between(date(2026, 11, 1), date(2026, 12, 1), &holidays),
        0
    );
}

#[test]
fn a_lab_that_works_on_saturdays_counts_them() {
    let mut holidays = Holidays::default();
    holidays.closed_weekdays.remove(&WeekdayNumber::SATURDAY);
    assert_eq!(
        add_business_days(date(2026, 11, 27), 1, &holidays),
        Ok(date(2026, 11, 28))
    );
    assert_eq!(
        add_business_days(date(2026, 11, 27), 2, &holidays),
        Ok(date(2026, 11, 30))
    );
}

#[test]
fn holidays_travel_as_numbers_and_dates() {
    let holidays = Holidays::on([date(2026, 12, 25)]);
    let json = serde_json::to_string(&holidays).expect("json");
    assert_eq!(json, r#"{"closed_weekdays":[6,7],"dates":["2026-12-25"]}"#);
    assert_eq!(
        serde_json::from_str::<Holidays>(&json).expect("the same"),
        holidays
    );
    assert!(serde_json::from_str::<Holidays>(r#"{"closed_weekdays":[0],"dates":[]}"#).is_err());
}

proptest! {
    #[test]
    fn counting_undoes_adding(day in 0_i32..3000, count in 0_u32..200) {
        let start = date(2024, 1, 1).checked_add(Span::new().days(day)).expect("in range");
        let holidays = Holidays::on([date(2026, 12, 25), date(2026, 12, 28), date(2027, 1, 1)]);
        let end = add_business_days(start, count, &holidays).expect("the lab opens");
        prop_assert!(holidays.is_business_day(end));
        let from = next_business_day(start, &holidays).expect("the lab opens");
        prop_assert_eq!(business_days_between(from, end, &holidays), i64::from(count));
        prop_assert_eq!(business_days_between(end, from, &holidays), -i64::from(count));
    }
}
