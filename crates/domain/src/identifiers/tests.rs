//! Unit cases. The numbers of devices begin with 00, the range set aside for tests.

use proptest::prelude::*;

use super::check_digit::{luhn_10, mod_37_36};
use super::*;

fn check(text: &str, kind: IdentifierKind, canonical: &str, is_right: Option<bool>) {
    let reading = read(text);
    assert_eq!(
        (reading.kind, reading.canonical.as_str()),
        (kind, canonical),
        "{text}"
    );
    let verdict = match &reading.check {
        Verdict::Right => Some(true),
        Verdict::Wrong { .. } => Some(false),
        Verdict::None => None,
    };
    assert_eq!(verdict, is_right, "{text}");
}

#[test]
fn an_imei_is_read_with_and_without_its_check_digit() {
    check(
        "00-101234-567890-2",
        IdentifierKind::Imei,
        "001012345678902",
        Some(true),
    );
    check(
        "00101234 567890",
        IdentifierKind::Imei,
        "001012345678902",
        None,
    );
    check(
        "IMEI: 001012345678902",
        IdentifierKind::Imei,
        "001012345678902",
        Some(true),
    );
    check(
        "imei1 001012345678902",
        IdentifierKind::Imei,
        "001012345678902",
        Some(true),
    );
    check(
        "001012345678902/71",
        IdentifierKind::Imei,
        "001012345678902",
        Some(true),
    );
    check(
        "urn:gsma:imei:00101234-567890-0",
        IdentifierKind::Imei,
        "001012345678902",
        None,
    );
    check(
        "urn:gsma:imei:00101234-567890-0;svn=42",
        IdentifierKind::Imei,
        "001012345678902",
        None,
    );
}

#[test]
fn sixteen_digits_are_an_imeisv_and_never_checked() {
    check(
        "0010123456789071",
        IdentifierKind::Imeisv,
        "0010123456789071",
        None,
    );
}

#[test]
fn a_wrong_check_digit_is_kept_with_a_warning() {
    check(
        "001012345678903",
        IdentifierKind::Imei,
        "001012345678903",
        Some(false),
    );
    let warning = read("001012345678903")
        .check
        .warning("IMEI")
        .expect("a warning");
    assert!(warning.contains("001012345678902"), "{warning}");
}

#[test]
fn a_misread_look_alike_is_the_first_likely_reading() {
    // The 8 of 001012345678902 was taken for a 3.
    let reading = read("001012345673902");
    let Verdict::Wrong { likely } = reading.check else {
        panic!("must be wrong")
    };
    let meant = likely
        .iter()
        .find(|likely| likely.text == "001012345678902")
        .expect("the right one is listed");
    assert_eq!(
        meant.slip,
        Slip::Misread {
            position: 12,
            read: '3',
            meant: '8'
        }
    );
    assert!(
        likely
            .iter()
            .all(|likely| read(&likely.text).check.is_right())
    );
}

#[test]
fn swapped_neighbours_are_among_the_likely_readings() {
    let likely = read("001012354678902").check.likely_texts().join(" ");
    assert!(likely.contains("001012345678902"), "{likely}");
}

#[test]
fn forms_of_one_number_share_their_match_key() {
    let key = read("001012345678902").match_key();
    for other in [
        "00101234567890",
        "0010123456789071",
        "001012345678903",
        "00101234567890271",
    ] {
        assert_eq!(read(other).match_key(), key, "{other}");
    }
    assert_ne!(read("001012345678910").match_key(), key);
}

#[test]
fn all_zeros_tell_no_devices_apart() {
    let reading = read("000000000000000");
    assert_eq!(reading.notes, [IdentifierNote::NotProgrammed]);
    assert!(!reading.same_number(&reading.clone()));
}

#[test]
fn group_and_withheld_addresses_tell_no_devices_apart() {
    for text in [
        "FF:FF:FF:FF:FF:FF",
        "01:00:5E:00:00:01",
        "02:00:00:00:00:00",
        "00:00:00:00:00:00",
    ] {
        assert!(!read(text).tells_devices_apart(), "{text}");
    }
    assert!(
        read("06:00:00:00:00:01")
            .notes
            .contains(&IdentifierNote::LocallyAdministered)
    );
}

#[test]
fn a_serial_number_is_what_nothing_else_fits() {
    check("sn: kx 7781-b", IdentifierKind::Serial, "KX7781-B", None);
    check("KX7781", IdentifierKind::Serial, "KX7781", None);
    check("80161234", IdentifierKind::Serial, "80161234", None);
    assert!(readings("").is_empty());
}

#[test]
fn a_labelled_serial_number_stays_one_even_if_it_looks_like_an_imei() {
    check(
        "S/N 001012345678902",
        IdentifierKind::Serial,
        "001012345678902",
        None,
    );
}

#[test]
fn serial_numbers_that_differ_in_look_alikes_only_are_told() {
    assert!(differ_only_in_look_alikes("KX0781-B", "kxo78i-8"));
    assert!(!differ_only_in_look_alikes("KX0781-B", "KX0781-B"));
    assert!(!differ_only_in_look_alikes("KX0781-B", "KX0782-B"));
}

#[test]
fn an_entered_kind_says_what_would_be_right() {
    let error = |kind, text: &str| read_as(kind, text).expect_err(text).to_string();
    assert_eq!(
        error(IdentifierKind::Imei, "0010123456789"),
        "IMEI “0010123456789” has 13 characters; it is 15 digits, or 14 where the check digit is not shown"
    );
    assert!(error(IdentifierKind::Imei, "00101234567890X").contains("holds “X”"));
    assert!(error(IdentifierKind::Iccid, " ").starts_with("no ICCID was entered"));
    assert!(error(IdentifierKind::Mac, "D0:50:99:84:A2").contains("has 10 characters"));
}

#[test]
fn text_that_is_no_number_is_read_without_a_fall() {
    for text in [
        "é€漢字漢字漢字漢字",
        "—",
        "\u{FEFF}",
        "MAC",
        "IMEI",
        "a\u{301}bcd",
        "ＳＮ：ＫＸ７",
    ] {
        assert!(
            readings(text)
                .iter()
                .all(|reading| !reading.canonical.is_empty()),
            "{text}"
        );
    }
}

#[test]
fn a_line_number_is_masked_to_its_end() {
    assert_eq!(read("8910042348144559361").masked(), "…9361");
    assert_eq!(read("KX7").masked(), "KX7");
}

#[test]
fn an_imei_is_printed_in_the_groups_of_its_standard() {
    assert_eq!(read("001012345678902").grouped(), "00101234 567890 2");
}

proptest! {
    #[test]
    fn a_single_wrong_digit_never_passes_luhn(body in "[0-9]{14}", place in 0_usize..15, step in 1_u8..10) {
        let check = luhn_10(&body).expect("digits");
        let mut digits: Vec<u8> = format!("{body}{check}").into_bytes();
        digits[place] = (digits[place] - b'0' + step) % 10 + b'0';
        let text = String::from_utf8(digits).expect("digits");
        prop_assert!(read_as(IdentifierKind::Imei, &text).expect("fifteen digits").check.is_wrong());
    }

    #[test]
    fn a_single_wrong_character_never_passes_mod_37_36(body in "[0-9A-Z]{1,27}", place in 0_usize..28, step in 1_u32..36) {
        let check = mod_37_36(&body).expect("in the alphabet");
        let mut characters: Vec<char> = format!("{body}{check}").chars().collect();
        let place = place % characters.len();
        let value = (characters[place].to_digit(36).expect("in the alphabet") + step) % 36;
        characters[place] = char::from_digit(value, 36).expect("below 36").to_ascii_uppercase();
        let (wrong, payload) = (characters.pop(), characters.into_iter().collect::<String>());
        prop_assert_ne!(mod_37_36(&payload), wrong);
    }

    #[test]
    fn every_likely_reading_is_right(digits in "[0-9]{15}") {
        let reading = read_as(IdentifierKind::Imei, &digits).expect("fifteen digits");
        for text in reading.check.likely_texts() {
            prop_assert!(read_as(IdentifierKind::Imei, text).expect("fifteen digits").check.is_right());
        }
        prop_assert_eq!(reading.check.likely_texts().is_empty(), reading.check.is_right());
    }

    #[test]
    fn any_text_is_read_without_a_fall(text in ".{0,40}") {
        for reading in readings(&text) {
            prop_assert!(!reading.match_key().is_empty());
        }
        for kind in IdentifierKind::ALL {
            let _ = read_as(kind, &text);
        }
    }
}
