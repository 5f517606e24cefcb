//! The letters of a UPU S10 number: kind of service in front, country of the operator behind.

use std::ops::Range;

use super::Country;

/// Where the two country letters stand in the thirteen characters.
pub(super) const COUNTRY: Range<usize> = 11..13;

/// The country, if the letters are an assigned ISO 3166-1 code. An unassigned one, such as XX, has no postal operator.
pub(super) fn country(code: &str) -> Option<Country> {
    let country: iso_currency::Country = code.parse().ok()?;
    Some(Country {
        code: code.to_owned(),
        name: country.name().to_owned(),
    })
}

/// The service by the first letter of the number (UPU S10 service indicators, from memory).
pub(super) fn service(first: &str) -> Option<&'static str> {
    Some(match first {
        "C" => "parcel",
        "E" => "express",
        "H" => "e-commerce parcel",
        "L" => "tracked letter",
        "R" => "registered",
        "U" => "untracked letter",
        "V" => "insured",
        _ => return None,
    })
}
