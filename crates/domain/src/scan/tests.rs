//! Unit cases. The numbers of devices begin with 00, the range set aside for tests.

use proptest::prelude::*;
use uuid::Uuid;

use super::*;
use crate::ids::{JobId, ParcelId};

/// A short name for a meaning, to compare lists of them.
fn name(meaning: &Meaning) -> String {
    match meaning {
        Meaning::Job { .. } => "job".to_owned(),
        Meaning::Parcel { .. } => "parcel".to_owned(),
        Meaning::Cell { .. } => "cell".to_owned(),
        Meaning::BrokenReference { .. } => "broken reference".to_owned(),
        Meaning::Report { host, token } => format!("report {token} on {host}"),
        Meaning::Slip { host, token } => format!("slip {token} on {host}"),
        Meaning::Tracking { reading } => format!("tracking {} {}", reading.carrier, reading.number),
        Meaning::Identifier { reading } => format!("{} {}", reading.kind, reading.canonical),
        Meaning::Gs1 { elements } => format!("{} elements", elements.len()),
        Meaning::Words { text } => format!("words {text}"),
    }
}

fn names(text: &str, expecting: Expecting) -> Vec<String> {
    understand(text, expecting)
        .meanings
        .iter()
        .map(name)
        .collect()
}

fn check(text: &str, expected: &[&str]) {
    assert_eq!(names(text, Expecting::Anything), expected, "{text}");
}

fn job() -> JobRef {
    JobRef::of(JobId::new(Uuid::from_u128(0x12_3456_789A)))
}

fn parcel() -> ParcelRef {
    ParcelRef::of(ParcelId::new(Uuid::from_u128(0x12_3456_789A)))
}

#[test]
fn a_tag_means_its_job_and_nothing_else() {
    let scan = understand(&format!("]Q1{}\r\n", job().qr_text()), Expecting::Anything);
    assert_eq!(scan.symbology.as_deref(), Some("]Q1"));
    assert_eq!(scan.text, job().qr_text());
    assert_eq!(scan.meanings, [Meaning::Job { reference: job() }]);
    assert_eq!(
        understand(&parcel().qr_text(), Expecting::Device).meanings,
        [Meaning::Parcel {
            reference: parcel()
        }]
    );
}

#[test]
fn a_typed_reference_may_be_a_job_or_a_parcel() {
    let typed = job().to_string().to_lowercase();
    assert_eq!(names(&typed, Expecting::Anything)[..2], ["job", "parcel"]);
    assert_eq!(names(&typed, Expecting::Parcel)[..2], ["parcel", "job"]);
}

#[test]
fn a_reference_with_a_slip_opens_nothing() {
    let mut typed = job().qr_text();
    typed.replace_range(5..6, "Z");
    let scan = understand(&typed, Expecting::Anything);
    let [Meaning::BrokenReference { message, .. }] = &scan.meanings[..] else {
        panic!("{scan:?}")
    };
    assert!(message.contains("does not fit"), "{message}");
}

#[test]
fn the_address_of_a_report_or_slip_is_recognised_and_not_opened() {
    check(
        "https://lab.example/r/3fa9c2",
        &["report 3fa9c2 on lab.example"],
    );
    check(
        "HTTPS://Lab.Example:8443/p/3fa9c2/?x=1#y",
        &["slip 3fa9c2 on lab.example:8443"],
    );
    for other in [
        "https://lab.example/r/",
        "https://lab.example/x/1",
        "ftp://lab.example/r/1",
        "https:///r/1",
    ] {
        assert!(
            names(other, Expecting::Anything)
                .iter()
                .all(|name| !name.starts_with("report")),
            "{other}"
        );
    }
}

#[test]
fn digits_that_are_an_imei_and_a_tracking_number_mean_both() {
    let text = "001012895559791";
    let device = ["IMEI 001012895559791", "tracking FedEx 001012895559791"];
    assert_eq!(names(text, Expecting::Device)[..2], device);
    assert_eq!(names(text, Expecting::Anything)[..2], device);
    assert_eq!(names(text, Expecting::Parcel)[..2], [device[1], device[0]]);
}

#[test]
fn a_right_check_digit_comes_before_a_wrong_one_whatever_is_awaited() {
    // Right as an IMEI, wrong as a tracking number, and the other way round.
    assert_eq!(
        names("001012345678902", Expecting::Parcel)[0],
        "IMEI 001012345678902"
    );
    assert_eq!(
        names("041441760228964", Expecting::Device)[0],
        "tracking FedEx 041441760228964"
    );
}

#[test]
fn a_parcel_label_is_read_through_its_elements() {
    let found = names("]C100376104250021234569", Expecting::Anything);
    assert_eq!(found[0], "tracking Any carrier 376104250021234569");
    assert!(found.contains(&"1 elements".to_owned()), "{found:?}");
    let imei = names("(8002)001012345678902(21)KX7781", Expecting::Anything);
    assert_eq!(imei[..2], ["IMEI 001012345678902", "serial number KX7781"]);
}

#[test]
fn elements_parted_by_a_separator_are_kept_apart() {
    let found = names(
        "]d2010629104150021321ABC123\u{1D}8002001012345678902",
        Expecting::Anything,
    );
    assert_eq!(found[..2], ["serial number ABC123", "IMEI 001012345678902"]);
}

#[test]
fn several_numbers_in_one_code_are_all_read() {
    let found = names(
        "IMEI1:001012345678902,IMEI2:004499990001232,S/N KX7781",
        Expecting::Device,
    );
    assert_eq!(found[..2], ["IMEI 001012345678902", "IMEI 004499990001232"]);
    assert!(
        found.contains(&"serial number KX7781".to_owned()),
        "{found:?}"
    );
}

#[test]
fn a_telephone_number_is_no_parcel_unless_one_is_awaited() {
    let text = "5551234567";
    assert_eq!(names(text, Expecting::Parcel)[0], "tracking DHL 5551234567");
    assert_eq!(
        names(text, Expecting::Anything)[..2],
        ["serial number 5551234567", "words 5551234567"]
    );
}

#[test]
fn words_are_words() {
    check("cracked screen", &["words cracked screen"]);
    check("screen", &["words screen"]);
    check("", &[]);
    check(" \r\n", &[]);
}

proptest! {
    #[test]
    fn any_text_is_understood_without_a_fall(text in "\\PC{0,60}", prefix in "(\\][A-Za-z][0-9])?") {
        let scan = understand(&format!("{prefix}{text}"), Expecting::Anything);
        prop_assert_eq!(scan.meanings.is_empty(), scan.text.is_empty());
    }

    #[test]
    fn what_is_awaited_changes_the_order_only(text in "[0-9A-Z]{8,34}") {
        let sorted = |expecting| {
            let mut found = names(&text, expecting);
            found.sort();
            found
        };
        prop_assert_eq!(sorted(Expecting::Parcel), sorted(Expecting::Device));
    }
}
