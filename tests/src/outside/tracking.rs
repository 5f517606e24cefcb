//! Tracking numbers against the test numbers of an open data set.
//!
//! `vectors/tracking_numbers.json`: jkeen/tracking_number_data (MIT), commit b79ce4b of 2026-08: 21 formats with numbers
//! that must be right and numbers that must not.

use domain::identifiers::{self, IdentifierKind};
use domain::tracking::{TrackingReading, read};
use serde_json::Value;

use super::vector_files::{list, text, vectors};

/// A carrier and one of its formats.
type Named = (&'static str, &'static str);

/// The formats of the data set by the names they have here. A format may be told apart more finely here.
const NAMES: &[(&str, &str, &[Named])] = &[
    ("upu", "S10", &[("Postal operator", "UPU S10")]),
    ("ups", "1Z", &[("UPS", "1Z")]),
    ("ups", "waybill", &[("UPS", "waybill")]),
    (
        "fedex",
        "12 digit (Express)",
        &[("FedEx", "12 digits (Express)")],
    ),
    (
        "fedex",
        "34 digit label barcode",
        &[("FedEx", "34 digits (label)")],
    ),
    (
        "fedex",
        "15 digit (Ground)",
        &[("FedEx", "15 digits (Ground)")],
    ),
    (
        "fedex",
        "18 digit (Ground, an SSCC-18)",
        &[("FedEx", "18 digits (Ground)")],
    ),
    (
        "fedex",
        "22 digit (Ground 96)",
        &[("FedEx", "22 digits (Ground 96)")],
    ),
    (
        "fedex",
        "34 digit Ground 96",
        &[("FedEx", "34 digits (Ground 96)")],
    ),
    ("usps", "20 digit", &[("USPS", "20 digits")]),
    (
        "usps",
        "IMpb 94 (22 digits, optional 420+ZIP prefix)",
        &[("USPS", "IMpb 92 to 95")],
    ),
    (
        "usps",
        "IMpb 92/93/95 (22 digits, optional 420+ZIP prefix)",
        &[("USPS", "IMpb 92 to 95")],
    ),
    (
        "usps",
        "legacy 91",
        &[("USPS", "91"), ("USPS", "91 left out")],
    ),
    (
        "dhl",
        "Express waybill (10 or 11 digits)",
        &[("DHL", "Express waybill")],
    ),
    ("dhl", "Express piece id", &[("DHL", "Express piece")]),
    ("canada_post", "16 digit", &[("Canada Post", "16 digits")]),
    ("purolator", "12 digit", &[("Purolator", "12 digits")]),
    ("dpd", "14 digit + check", &[("DPD", "14 digits and check")]),
    ("dpd", "28 (27 + check)", &[("DPD", "27 digits and check")]),
    (
        "yodel",
        "JD/JJD + 16 digits",
        &[("Yodel", "JD and 16 digits")],
    ),
    ("ontrac", "C + 14 digits", &[("OnTrac", "C and 14 digits")]),
];

/// The readings of a number in the format of the data set.
fn readings_in(format: &Value, typed: &str) -> Vec<TrackingReading> {
    let (carrier, name) = (text(format, "carrier"), text(format, "format"));
    let (.., here) = NAMES
        .iter()
        .find(|known| (known.0, known.1) == (carrier, name))
        .unwrap_or_else(|| panic!("{carrier} {name} has no name here"));
    let belongs = |reading: &TrackingReading| {
        here.contains(&(reading.carrier.as_str(), reading.format.as_str()))
    };
    read(typed).into_iter().filter(belongs).collect()
}

#[test]
fn every_right_number_is_recognised_in_its_format() {
    let mut count = 0;
    for format in list(&vectors("tracking_numbers.json"), "formats") {
        let checked = text(format, "algorithm") != "none";
        for case in list(format, "valid") {
            let typed = text(case, "typed");
            let found = readings_in(format, typed);
            let reading = found
                .first()
                .unwrap_or_else(|| panic!("{typed} is not read as {}", format["format"]));
            assert_eq!(reading.canonical, text(case, "canonical"));
            assert_eq!(reading.check.is_right(), checked, "{typed}");
            assert!(!reading.check.is_wrong(), "{typed}");
            count += 1;
        }
    }
    assert_eq!(count, 109, "the data set has 109 right numbers");
}

#[test]
fn no_wrong_number_is_taken_for_right_in_its_format() {
    let mut count = 0;
    for format in list(&vectors("tracking_numbers.json"), "formats") {
        for case in list(format, "invalid") {
            let (typed, why) = (text(case, "typed"), text(case, "why"));
            let found = readings_in(format, typed);
            assert!(
                found.iter().all(|reading| reading.check.is_wrong()),
                "{typed} ({why}): {found:?}"
            );
            if why == "shape" {
                assert!(found.is_empty(), "{typed} does not have the shape");
            } else {
                // Kept with a warning, unless it is right as something else.
                let elsewhere = read(typed).iter().any(|reading| reading.check.is_right());
                assert!(elsewhere || !found.is_empty(), "{typed} is lost");
            }
            count += 1;
        }
    }
    assert_eq!(count, 44, "the data set has 44 wrong numbers");
}

#[test]
fn a_number_that_may_be_several_things_is_read_as_all() {
    for case in list(&vectors("tracking_numbers.json"), "ambiguous") {
        let number = text(case, "canonical");
        for candidate in list(case, "candidates") {
            let candidate = candidate.as_str().expect("a text");
            let (carrier, name) = candidate.split_once(':').expect("carrier and format");
            if carrier == "imei" {
                let reading = identifiers::read(number);
                assert!(
                    reading.kind == IdentifierKind::Imei && reading.check.is_right(),
                    "{number}"
                );
            } else {
                let format = serde_json::json!({ "carrier": carrier, "format": name });
                assert!(
                    readings_in(&format, number)
                        .iter()
                        .any(|reading| reading.check.is_right()),
                    "{number} as {candidate}"
                );
            }
        }
    }
}

#[test]
fn two_scans_of_one_label_give_the_same_number() {
    // From the data set: the label with and without its postal code, the long label and its last twelve digits.
    for (long, short) in [
        ("420787459400111206206406260787", "9400111206206406260787"),
        ("420112139261290983497923666238", "9261290983497923666238"),
        ("9622001560000000000000794808390594", "794808390594"),
        ("1002297871540001000300790695517286", "790695517286"),
    ] {
        assert_eq!(read(long)[0].number, read(short)[0].number, "{long}");
    }
}
