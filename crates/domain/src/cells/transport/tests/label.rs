//! Numbers on carriers' labels against the way that was said. The S10 number is the UPU's own worked example; the others are
//! made up, their check digits right.

use super::super::{Carrier, Mode, label_refusal};

const S10: &str = "RR473124829GB";
const S10_US: &str = "RR473124829US";
const UPS: &str = "1Z5R89390357567127";
const USPS: &str = "9400111202555842332669";
/// GS1 prefix 950 is the one for examples; no carrier can be told from it.
const SSCC: &str = "395060001234567894";

#[track_caller]
fn fits(mode: Mode, carrier: Carrier, number: &str, said: &str) {
    assert_eq!(label_refusal(mode, carrier, number, said), None, "{number}");
}

#[track_caller]
fn refused(mode: Mode, carrier: Carrier, number: &str, said: &str, words: &[&str]) {
    let why = label_refusal(mode, carrier, number, said).expect(number);
    for word in words {
        assert!(why.contains(word), "{why}");
    }
    assert!(!why.contains(". "), "one sentence: {why}");
}

#[test]
fn a_posts_number_does_not_go_by_road() {
    let words = [S10, "United Kingdom", "going by road", "as by post"];
    refused(Mode::Ground, Carrier::None, S10, "", &words);
}

#[test]
fn a_posts_number_does_not_go_as_freight_by_air() {
    for mode in [Mode::AirCargo, Mode::AirPax] {
        refused(mode, Carrier::None, S10, "", &[mode.words(), "as by post"]);
    }
}

#[test]
fn a_posts_number_goes_by_post() {
    for mode in [Mode::PostDomestic, Mode::PostIntl] {
        fits(mode, Carrier::None, S10, "");
        fits(mode, Carrier::RoyalMail, S10, "Royal Mail");
        fits(mode, Carrier::Other, S10, "");
    }
}

#[test]
fn a_posts_number_with_a_slip_in_it_is_still_a_posts() {
    refused(
        Mode::Ground,
        Carrier::None,
        "RR473124828GB",
        "",
        &["by road"],
    );
}

#[test]
fn another_name_beside_a_posts_number_does_not_make_it_a_roads() {
    refused(Mode::Ground, Carrier::None, S10, "Own van", &[S10]);
}

#[test]
fn a_number_that_any_carrier_gives_out_fits_every_way() {
    for mode in Mode::ALL {
        fits(*mode, Carrier::None, SSCC, "");
        fits(*mode, Carrier::None, "77-1", "Own van");
    }
}

#[test]
fn a_carrier_of_roads_and_aircraft_fits_both() {
    for mode in [Mode::Ground, Mode::AirCargo, Mode::AirPax] {
        fits(mode, Carrier::Ups, UPS, "");
    }
}

#[test]
fn a_carriers_number_asks_for_that_carriers_verdict() {
    refused(
        Mode::Ground,
        Carrier::None,
        UPS,
        "",
        &["UPS", "nobody had chosen"],
    );
    refused(Mode::Ground, Carrier::Fedex, UPS, "", &["UPS", "FedEx"]);
    refused(Mode::PostIntl, Carrier::None, S10_US, "", &["with USPS"]);
    refused(
        Mode::PostDomestic,
        Carrier::Usps,
        S10,
        "",
        &["USPS", "another carrier"],
    );
}

#[test]
fn a_parcel_that_two_carriers_carry_follows_the_stricter_the_post() {
    // Numbers that begin with 92 to 95 are given out for parcels whose last part the post carries.
    refused(
        Mode::Ground,
        Carrier::Fedex,
        USPS,
        "FedEx",
        &["USPS, a post", "as by post"],
    );
    fits(Mode::PostDomestic, Carrier::Usps, USPS, "");
}

#[test]
fn digits_that_only_by_their_check_are_a_posts_yield_to_a_person() {
    // Sixteen digits with the check of one post; other carriers give out sixteen digits too.
    let digits = "0073938000549297";
    refused(
        Mode::Ground,
        Carrier::None,
        digits,
        "",
        &["Canada Post, a post"],
    );
    fits(Mode::Ground, Carrier::None, digits, "Own van");
    refused(
        Mode::Ground,
        Carrier::None,
        digits,
        "Canada Post",
        &["Canada Post is a post"],
    );
}

#[test]
fn a_post_by_name_is_a_post_whatever_its_number() {
    refused(
        Mode::Ground,
        Carrier::None,
        "77-1",
        "royal mail",
        &["royal mail is a post", "by road"],
    );
}
