//! Device identifiers against published numbers.
//!
//! `vectors/identifiers.json`: worked examples of 3GPP TS 23.003 annex B.3, RFC 7254, GSMA SGP.23 annex A, and numbers
//! computed with python-stdnum 2.2, a library that had no part in this program.

use domain::identifiers::{IdentifierKind, IdentifierNote, Reading, check_digit, read, read_as};
use serde_json::Value;

use super::vector_files::{list, text, vectors};

fn reading(kind: IdentifierKind, typed: &str) -> Reading {
    read_as(kind, typed).unwrap_or_else(|error| panic!("{error}"))
}

fn check_right(kind: IdentifierKind, typed: &str, canonical: &str) {
    let reading = reading(kind, typed);
    assert_eq!(reading.canonical, canonical, "{typed}");
    assert!(reading.check.is_right(), "{typed}: {:?}", reading.check);
}

/// Either refused, or kept with a wrong check digit.
fn check_not_right(kind: IdentifierKind, typed: &str) {
    if let Ok(reading) = read_as(kind, typed) {
        assert!(reading.check.is_wrong(), "{typed}: {reading:?}");
    }
}

#[test]
fn published_imeis_are_right() {
    let vectors = vectors("identifiers.json");
    for case in list(&vectors, "imei_valid") {
        let imei = text(case, "imei15");
        check_right(IdentifierKind::Imei, imei, imei);
        assert_eq!(read(imei).kind, IdentifierKind::Imei, "{imei}");
        let check = check_digit::luhn_10(&imei[..14]).and_then(|check| check.to_digit(10));
        assert_eq!(check.map(u64::from), case["cd"].as_u64(), "{imei}");
        assert_eq!(
            reading(IdentifierKind::Imei, imei).grouped(),
            format!("{} {} {}", text(case, "tac"), text(case, "snr"), case["cd"])
        );
        let urn = reading(IdentifierKind::Imei, text(case, "urn"));
        assert_eq!(urn.canonical, imei);
    }
    for case in list(&vectors, "imei_valid_as_typed") {
        check_right(
            IdentifierKind::Imei,
            text(case, "typed"),
            text(case, "canonical"),
        );
    }
}

#[test]
fn published_wrong_imeis_are_told_as_the_other_library_tells_them() {
    const RIGHT: &str = "260531793113837";
    for case in list(&vectors("identifiers.json"), "imei_invalid_or_other") {
        let (value, verdict) = (text(case, "value"), text(case, "stdnum_2_2"));
        let read = read_as(IdentifierKind::Imei, value);
        match verdict {
            "InvalidChecksum" => {
                let reading = read.unwrap_or_else(|error| panic!("{error}"));
                assert_eq!(reading.canonical, value, "kept as it was");
                assert!(
                    reading.check.likely_texts().contains(&RIGHT),
                    "{value}: {:?}",
                    reading.check
                );
            }
            "InvalidLength" | "InvalidFormat" => assert!(read.is_err(), "{value}"),
            "accepts as IMEI" => {
                assert_eq!(
                    read.unwrap_or_else(|error| panic!("{error}")).canonical,
                    RIGHT,
                    "{value}"
                );
            }
            other => panic!("{other} is not a verdict known here"),
        }
    }
}

#[test]
fn the_blind_spots_of_the_check_digit_are_known() {
    let vectors = vectors("identifiers.json");
    let spots = list(&vectors, "imei_luhn_blind_spots");
    check_right(
        IdentifierKind::Imei,
        text(&spots[0], "a"),
        text(&spots[0], "a"),
    );
    check_right(
        IdentifierKind::Imei,
        text(&spots[0], "b"),
        text(&spots[0], "b"),
    );
    let zeros = reading(IdentifierKind::Imei, text(&spots[1], "a"));
    assert!(zeros.notes.contains(&IdentifierNote::NotProgrammed) && !zeros.tells_devices_apart());
}

#[test]
fn a_number_with_a_software_version_is_the_same_device() {
    for case in list(&vectors("identifiers.json"), "imeisv_16") {
        let with_version = read(text(case, "imeisv16"));
        assert_eq!(with_version.kind, IdentifierKind::Imeisv);
        assert!(
            with_version.same_number(&read(text(case, "imei15"))),
            "{with_version:?}"
        );
    }
}

#[test]
fn published_meids_are_right_in_both_forms() {
    let vectors = vectors("identifiers.json");
    for case in list(&vectors, "meid_valid") {
        let hex = text(case, "hex14");
        for typed in [
            hex.to_owned(),
            format!("{hex}{}", text(case, "hex_check_digit")).to_lowercase(),
            text(case, "dec18").to_owned(),
            text(case, "stdnum_format_dec").to_owned(),
        ] {
            let reading = reading(IdentifierKind::Meid, &typed);
            assert_eq!(reading.canonical, hex, "{typed}");
            assert!(!reading.check.is_wrong(), "{typed}");
            assert_eq!(
                reading.check.is_right(),
                typed.len() != 14 && typed.len() != 18,
                "{typed}"
            );
        }
        // One that is all decimal comes from the range that IMEIs share, and is read as one.
        let decimal = case["dec_only_hex_digits"] == Value::Bool(true);
        let kind = if decimal {
            IdentifierKind::Imei
        } else {
            IdentifierKind::Meid
        };
        assert_eq!(read(hex).kind, kind, "{hex}");
        assert!(
            read(hex).same_number(&reading(IdentifierKind::Meid, hex)),
            "{hex}"
        );
    }
    for case in list(&vectors, "meid_invalid") {
        check_not_right(IdentifierKind::Meid, text(case, "value"));
    }
}

#[test]
fn published_eids_are_right() {
    let vectors = vectors("identifiers.json");
    for case in list(&vectors, "eid_valid") {
        check_right(
            IdentifierKind::Eid,
            text(case, "eid32"),
            text(case, "eid32"),
        );
        assert_eq!(
            check_digit::mod_97_10(text(case, "first30")).as_deref(),
            Some(text(case, "check2"))
        );
    }
    for case in list(&vectors, "eid_invalid") {
        check_not_right(IdentifierKind::Eid, text(case, "value"));
    }
}

#[test]
fn published_iccids_are_right() {
    let vectors = vectors("identifiers.json");
    for case in list(&vectors, "iccid_valid") {
        check_right(
            IdentifierKind::Iccid,
            text(case, "iccid"),
            text(case, "iccid"),
        );
        assert_eq!(read(text(case, "iccid")).kind, IdentifierKind::Iccid);
    }
    for case in list(&vectors, "iccid_invalid") {
        match case["canonical"].as_str() {
            Some(canonical) => check_right(IdentifierKind::Iccid, text(case, "value"), canonical),
            None => check_not_right(IdentifierKind::Iccid, text(case, "value")),
        }
    }
}

#[test]
fn published_mac_addresses_are_read() {
    let vectors = vectors("identifiers.json");
    for case in list(&vectors, "mac_valid") {
        let reading = read(text(case, "typed"));
        assert_eq!(
            (reading.kind, reading.canonical.as_str()),
            (IdentifierKind::Mac, text(case, "canonical"))
        );
        assert!(reading.tells_devices_apart());
        let local = reading.notes.contains(&IdentifierNote::LocallyAdministered);
        assert_eq!(Some(local), case["locally_administered"].as_bool());
    }
    for case in list(&vectors, "mac_extra") {
        assert!(!read(text(case, "value")).tells_devices_apart(), "{case}");
    }
}
