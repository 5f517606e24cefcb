//! Whether the number on the carrier's label fits the way for which a parcel was judged.
//!
//! A post's number means that a post carries the parcel, for part of its way at least, and then the post's rules hold. A number
//! that more than one carrier gives out says nothing here, and a parcel number of a carrier that has roads and aircraft says
//! nothing of which it takes. Nothing is guessed: only a number that leaves no doubt can speak against what was said.

use super::question::{Carrier, Mode};
use crate::tracking::{self, TrackingReading};

/// The one sentence that refuses a number, or none when it fits. `said` is the carrier as a person typed it; it may be empty.
pub fn label_refusal(mode: Mode, carrier: Carrier, number: &str, said: &str) -> Option<String> {
    let certain = tracking::certain(number);
    let of_a_post = match &certain {
        Some(reading) => reading.is_of_a_post().then(|| named(reading)),
        None => post_by_check(number, said),
    };
    if let Some(what) = of_a_post
        && !mode.is_post()
    {
        let way = mode.words();
        return Some(format!(
            "{what}, but this parcel was judged for going {way}; say its way again as by post, or scan the number of the carrier that takes it {way}"
        ));
    }
    let reading = certain?;
    let gave_it = giver(&reading);
    let fits = match gave_it {
        Some(gave_it) => carrier == gave_it,
        None => !matches!(carrier, Carrier::Usps | Carrier::Ups | Carrier::Fedex),
    };
    (!fits).then(|| {
        format!(
            "{}, but this parcel was judged for {}; say its way again with {}, or scan the number of the carrier that takes it",
            named(&reading),
            match carrier {
                Carrier::None => "a carrier that nobody had chosen",
                Carrier::Usps | Carrier::Ups | Carrier::Fedex | Carrier::RoyalMail | Carrier::Other => carrier.words(),
            },
            gave_it.unwrap_or(Carrier::Other).words(),
        )
    })
}

/// A number whose shape alone is no proof, but whose check digit fits a post's and no other carrier's. What a person says of the
/// carrier counts for more.
fn post_by_check(number: &str, said: &str) -> Option<String> {
    let readings = tracking::read(number);
    let only_posts = !readings.is_empty()
        && readings
            .iter()
            .all(|reading| reading.is_of_a_post() && reading.check.is_right());
    let said = said.trim();
    if only_posts && said.is_empty() {
        return readings.first().map(named);
    }
    tracking::is_post(said).then(|| format!("{said} is a post"))
}

/// The number, and whose it is.
fn named(reading: &TrackingReading) -> String {
    let number = &reading.number;
    match (&reading.country, reading.is_of_a_post()) {
        (Some(country), _) => format!("{number} is a post's number ({})", country.name),
        (None, true) if reading.carrier == tracking::ANY_POST => {
            format!("{number} is a post's number")
        }
        (None, true) => format!("{number} is a number of {}, a post", reading.carrier),
        (None, false) => format!("{number} is a number of {}", reading.carrier),
    }
}

/// The carrier whose own terms the verdict asks about, by its number.
fn giver(reading: &TrackingReading) -> Option<Carrier> {
    match reading.carrier.as_str() {
        "USPS" => Some(Carrier::Usps),
        "UPS" => Some(Carrier::Ups),
        "FedEx" => Some(Carrier::Fedex),
        _ => reading
            .country
            .as_ref()
            .filter(|country| country.code == "US")
            .map(|_| Carrier::Usps),
    }
}
