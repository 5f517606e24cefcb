//! What can't be right gets one clear sentence, and a hold.

use serde_json::json;

use super::{judged, parcel};
use crate::cells::book::RuleBook;
use crate::cells::transport::{Parcel, VerdictCode};

/// The question has exactly this problem, and is held for it.
fn refused(changes: serde_json::Value, sentence: &str) {
    let parcel = parcel(changes);
    let problems: Vec<String> = parcel
        .problems(RuleBook::shipped())
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(problems, [sentence]);
    assert!(judged(&parcel).verdict >= VerdictCode::Hold);
}

#[test]
fn numbers_below_zero_are_refused() {
    refused(
        json!({"devices_per_package": -3}),
        "-3 is below zero; devices_per_package is counted from 0",
    );
    refused(
        json!({"wh_label": -19.4}),
        "-19.4 Wh is below zero; wh_label is counted from 0",
    );
    refused(
        json!({"gross_g_per_package": -5}),
        "-5 g is below zero; gross_g_per_package is counted from 0",
    );
    refused(
        json!({"soc_rated_pct": -1}),
        "-1 % is below zero; soc_rated_pct is counted from 0",
    );
}

#[test]
fn absurd_numbers_are_refused_with_what_was_probably_meant() {
    refused(
        json!({"mah": 3_200_000}),
        "3200000 mAh can't be right for mah: at most 60000 mAh is believed; did you mean 3200 mAh?",
    );
    refused(
        json!({"mv": 3_850_000}),
        "3850 V can't be right for mv: at most 75 V is believed; did you mean 3.85 V?",
    );
    refused(
        json!({"wh_label": 19_400}),
        "19400 Wh can't be right for wh_label: at most 1000 Wh is believed; did you mean 19.4 Wh?",
    );
    refused(
        json!({"soc_indicated_pct": 101}),
        "101 % can't be right for soc_indicated_pct: at most 100 % is believed",
    );
}

#[test]
fn counts_of_nothing_are_refused() {
    refused(
        json!({"units_in_devices": 0}),
        "units_in_devices is 0, but something must be in the package; count again",
    );
    refused(
        json!({"packages_per_consignment": 0}),
        "packages_per_consignment is 0, but something must be in the package; count again",
    );
}

#[test]
fn findings_that_contradict_each_other_are_refused() {
    refused(
        json!({"findings": ["F01", "F10"]}),
        "the findings contradict each other: “fault only in screen, glass, board or port; battery seen and fine” and “swollen, or \
         the back or screen is lifted” can't both be true; look again and take one away",
    );
}

#[test]
fn a_ship_date_outside_every_edition_is_refused() {
    refused(
        json!({"ship_date": "2019-06-01"}),
        "the rules of United States (49 CFR) in this program are for ship dates from 2024-05-10 to 2027-06-30; 2019-06-01 lies \
         outside, so a trained shipper must read the edition in force",
    );
}

#[test]
fn a_parcel_without_any_cell_data_is_refused() {
    let empty: Parcel = serde_json::from_value(
        json!({"regime": "ADR", "mode": "GROUND", "ship_date": "2026-03-01", "packages_per_consignment": 1}),
    )
    .unwrap();
    let problems = empty.problems(RuleBook::shipped());
    assert_eq!(
        problems.iter().map(ToString::to_string).collect::<Vec<_>>(),
        [
            "nothing is said about any cell or battery; a parcel without one needs no lithium verdict, any other needs its contents"
        ]
    );
    assert_eq!(judged(&empty).verdict, VerdictCode::Hold);
}

#[test]
fn a_slip_of_the_pen_in_a_field_name_is_not_taken_for_silence() {
    refused(
        json!({"battery_orignal": true}),
        "“battery_orignal” is not a field of the question; see the list of fields",
    );
}

#[test]
fn a_post_asked_for_by_road_is_refused() {
    refused(
        json!({"carrier": "USPS"}),
        "USPS is a post: ask for post inside the country or post abroad",
    );
}

#[test]
fn a_button_cell_of_several_cells_is_refused() {
    refused(
        json!({"button": true, "cells_per_unit": 3}),
        "a button cell is one cell, and the question counts 3",
    );
}

/// What the reader of the question says.
fn unreadable(changes: &serde_json::Value) -> String {
    let mut question = json!({"regime": "ADR", "mode": "GROUND", "ship_date": "2026-03-01"});
    for (name, value) in changes.as_object().unwrap() {
        question[name] = value.clone();
    }
    serde_json::from_value::<Parcel>(question)
        .unwrap_err()
        .to_string()
}

#[test]
fn fractions_and_too_many_decimals_are_refused_in_words() {
    assert_eq!(
        unreadable(&json!({"mah": 3.2})),
        "3.2 is not a whole number; write whole millivolts, milliampere-hours, grams, percent or pieces, such as 3200"
    );
    assert_eq!(
        unreadable(&json!({"wh_label": "19.4000001"})),
        "“19.4000001” is not a decimal number with up to six decimals; write it like 19.4"
    );
}

#[test]
fn decimals_are_read_from_their_digits() {
    let label = |value: serde_json::Value| {
        parcel(json!({"wh_label": value})).contents[0]
            .wh_label
            .unwrap()
            .0
    };
    assert_eq!(label(json!(20.02)), 20_020_000);
    assert_eq!(label(json!("99.999999")), 99_999_999);
    assert_eq!(label(json!(0.1)), 100_000);
    assert_eq!(label(json!(42)), 42_000_000);
}

#[test]
fn a_question_reads_back_as_it_was_written() {
    let question = parcel(json!({"wh_label": 20.02, "li_grams": 0.1}));
    let text = serde_json::to_string(&question).unwrap();
    assert_eq!(serde_json::from_str::<Parcel>(&text).unwrap(), question);
}
