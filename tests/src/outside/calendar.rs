//! Days against calendars worked out elsewhere.
//!
//! `vectors/money_time.json`: public holidays of 2026 by the Python package holidays 0.109 (MIT); business days by numpy
//! 2.4.6 (`busday_offset` with roll forward, `busday_count`); zones by the IANA database through Python's zoneinfo; weeks by
//! Python's isocalendar; months added with the day held to the month's end.

use domain::calendar::{
    Holidays, Zone, add_business_days, add_months, business_days_between, iso_week,
};
use jiff::Timestamp;
use jiff::civil::{Date, DateTime};
use serde_json::Value;

use super::vector_files::{list, number, text, vectors};

fn date(value: &Value) -> Date {
    value
        .as_str()
        .and_then(|text| text.parse().ok())
        .unwrap_or_else(|| panic!("{value} is not a date"))
}

fn instant_ms(value: &Value) -> i64 {
    let text = value.as_str().expect("a text");
    text.parse::<Timestamp>()
        .unwrap_or_else(|error| panic!("{text}: {error}"))
        .as_millisecond()
}

fn zone(case: &Value) -> Zone {
    text(case, "zone")
        .parse()
        .unwrap_or_else(|error| panic!("{error}"))
}

/// The holidays of 2026, and New Year's Day of 2027 where a case runs past the year's end.
fn holidays(vectors: &Value, case: &Value) -> Holidays {
    let named = vectors["holidays_2026"]["calendars"][text(case, "calendar")]
        .as_object()
        .expect("a calendar");
    let new_year = Date::constant(2027, 1, 1);
    Holidays::on(
        named
            .keys()
            .map(|day| day.parse().expect("a date"))
            .chain([new_year]),
    )
}

#[test]
fn business_days_are_added_as_elsewhere() {
    let vectors = vectors("money_time.json");
    for case in list(&vectors["business_days"], "offset") {
        let count = number(&case["add_business_days"])
            .try_into()
            .expect("small");
        let result = add_business_days(date(&case["start"]), count, &holidays(&vectors, case));
        assert_eq!(result, Ok(date(&case["result"])), "{case}");
    }
}

#[test]
fn business_days_are_counted_as_elsewhere() {
    let vectors = vectors("money_time.json");
    for case in list(&vectors["business_days"], "count") {
        let (from, to) = (date(&case["from_inclusive"]), date(&case["to_exclusive"]));
        let count = business_days_between(from, to, &holidays(&vectors, case));
        assert_eq!(count, number(&case["business_days"]), "{case}");
    }
}

#[test]
fn local_times_that_never_come_or_come_twice_are_settled_one_way() {
    for case in list(&vectors("money_time.json")["time_zones"], "cases") {
        let local: DateTime = text(case, "local").parse().expect("a local time");
        // The vectors call this reading fold 0 (PEP 495).
        assert_eq!(
            zone(case).instant_ms(local),
            Ok(instant_ms(&case["utc_fold0"])),
            "{case}"
        );
    }
}

#[test]
fn days_in_the_lab_are_the_difference_of_local_dates() {
    let vectors = vectors("money_time.json");
    let case = &vectors["time_zones"]["days_between_in_lab_zone"];
    let (a, b) = (instant_ms(&case["a"]), instant_ms(&case["b"]));
    let dates = list(case, "local_dates");
    assert_eq!(zone(case).local_date(a), Ok(date(&dates[0])));
    assert_eq!(zone(case).local_date(b), Ok(date(&dates[1])));
    assert_eq!(
        zone(case).days_between(a, b),
        Ok(number(&case["calendar_days"]))
    );
}

#[test]
fn months_are_added_with_the_day_held_to_the_months_end() {
    for case in list(&vectors("money_time.json")["warranty_months"], "cases") {
        let months = number(&case[1]).try_into().expect("small");
        assert_eq!(
            add_months(date(&case[0]), months),
            Ok(date(&case[2])),
            "{case}"
        );
    }
}

#[test]
fn weeks_are_those_of_the_standard() {
    for case in list(&vectors("money_time.json")["iso8601_week"], "cases") {
        let day = date(&case[0]);
        let week = format!("{}-{}", iso_week(day), day.weekday().to_monday_one_offset());
        assert_eq!(Some(week.as_str()), case[1].as_str());
    }
}
