//! Unit cases. The published numbers of each carrier are in the outside checks.

use proptest::prelude::*;

use super::*;

fn check(text: &str, expected: &[(&str, &str)]) {
    let found: Vec<(String, String)> = read(text)
        .into_iter()
        .map(|reading| (reading.carrier, reading.format))
        .collect();
    let found: Vec<(&str, &str)> = found
        .iter()
        .map(|(carrier, format)| (carrier.as_str(), format.as_str()))
        .collect();
    assert_eq!(found, expected, "{text}");
}

#[test]
fn a_postal_number_names_its_country_and_service() {
    let readings = read("rb 123 456 785 gb");
    assert_eq!(readings.len(), 1);
    let reading = &readings[0];
    assert_eq!(reading.canonical, "RB123456785GB");
    assert!(reading.check.is_right());
    assert_eq!(
        reading
            .country
            .as_ref()
            .map(|country| country.code.as_str()),
        Some("GB")
    );
    assert_eq!(reading.service.as_deref(), Some("registered"));
}

#[test]
fn a_postal_number_of_no_country_is_not_right() {
    let readings = read("RB123456785XX");
    assert!(readings[0].check.is_wrong());
    assert_eq!(readings[0].country, None);
}

#[test]
fn a_wrong_check_digit_is_kept_with_a_warning() {
    let readings = read("RB123456786GB");
    let Verdict::Wrong { likely } = &readings[0].check else {
        panic!("must be wrong")
    };
    let alone = likely
        .iter()
        .find(|likely| likely.text == "RB123456785GB")
        .expect("the check digit alone");
    assert!(alone.explanation.contains('5'), "{}", alone.explanation);
}

#[test]
fn a_number_that_fits_two_carriers_is_read_as_both() {
    check(
        "287809468872",
        &[("FedEx", "12 digits (Express)"), ("Purolator", "12 digits")],
    );
}

#[test]
fn a_right_format_drives_out_the_wrong_ones() {
    check("320595463938", &[("Purolator", "12 digits")]);
    check("986578788855", &[("FedEx", "12 digits (Express)")]);
}

#[test]
fn the_postal_code_in_front_is_no_part_of_the_number() {
    let long = read("420787459400111206206406260787");
    let short = read("9400111206206406260787");
    assert_eq!(long[0].number, short[0].number);
    assert_ne!(long[0].canonical, short[0].canonical);
}

#[test]
fn the_long_label_holds_the_short_number() {
    let label = read("1001921334250001000300779017972697");
    assert_eq!(label[0].number, "779017972697");
    assert!(read("779017972697")[0].check.is_right());
}

#[test]
fn a_logistic_unit_is_read_bare_and_after_its_identifier() {
    assert_eq!(
        read("(00) 3 7610425 002123456 9")[0].format,
        "GS1 SSCC after (00)"
    );
    assert_eq!(
        read("(00) 3 7610425 002123456 9")[0].number,
        "376104250021234569"
    );
    assert_eq!(read("376104250021234569")[0].format, "GS1 SSCC");
}

#[test]
fn words_are_no_tracking_numbers() {
    for text in [
        "",
        "screen",
        "AB12",
        "é€漢字",
        "1Z",
        "RB12345678SGB",
        "420",
        "00",
    ] {
        check(text, &[]);
    }
}

proptest! {
    #[test]
    fn any_text_is_read_without_a_fall(text in "\\PC{0,40}") {
        for reading in read(&text) {
            prop_assert!(reading.canonical.ends_with(&reading.number));
        }
    }

    #[test]
    fn any_digits_are_read_without_a_fall(text in "[0-9A-Z]{10,36}") {
        for reading in read(&text) {
            for likely in reading.check.likely_texts() {
                prop_assert!(read(likely).iter().any(|other| other.format == reading.format && other.check.is_right()));
            }
        }
    }

    #[test]
    fn a_single_wrong_digit_of_a_postal_number_is_noticed(digits in "[0-9]{8}", place in 0_usize..8, step in 1_u8..10) {
        let check = crate::identifiers::check_digit::s10(&digits).expect("eight digits");
        let mut bytes = digits.into_bytes();
        bytes[place] = (bytes[place] - b'0' + step) % 10 + b'0';
        let other = crate::identifiers::check_digit::s10(std::str::from_utf8(&bytes).expect("digits")).expect("eight digits");
        // The standard maps 11 to 5 as well as 5 itself, so only there two sums share a digit.
        prop_assert!(check != other || check == '5');
    }
}
