//! Carriers' tracking numbers: which formats a number fits, and whether its check digit is right.
//!
//! A number often fits several formats, so all are given, best first; the caller looks each up. A number of good shape
//! with a wrong check digit is kept with a warning, since labels get typed by hand from damaged paper. A right check digit
//! says nothing about whether a parcel exists, and carriers use numbers again (the UPU forbids it for 12 months only), so
//! a tracking number alone never identifies a parcel.
//!
//! Rules: UPU S10, GS1 General Specifications, and the open data set jkeen/tracking_number_data (MIT), restated here.

mod formats;
mod s10;
#[cfg(test)]
mod tests;

use serde::{Deserialize, Serialize};

use crate::identifiers::{Verdict, likely_readings, plain};
use formats::{FORMATS, Format};

/// One thing a tracking number may be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TrackingReading {
    /// Who carries it, as people say it.
    pub carrier: String,
    /// Which of the carrier's number formats it is.
    pub format: String,
    /// What was read, in upper case without spaces and dashes.
    pub canonical: String,
    /// The part that is the tracking number itself, for comparing two scans of one label: the postal code in front of a
    /// United States number and the routing part of a long label are left out.
    pub number: String,
    /// Whether the check digit fits. A likely reading replaces the whole canonical text.
    pub check: Verdict,
    /// The country of the operator that gave the number out, for an S10 number.
    pub country: Option<Country>,
    /// The kind of service, where the number tells it.
    pub service: Option<String>,
}

/// A country by its ISO 3166-1 code.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Country {
    /// Two letters, ISO 3166-1 alpha-2.
    pub code: String,
    /// Its short English name.
    pub name: String,
}

/// Reads a text as every tracking number it may be, best first. Empty when it fits no format.
///
/// If a check digit fits in one format, the formats in which it doesn't fit are left out.
pub fn read(text: &str) -> Vec<TrackingReading> {
    let canonical = canonical(text);
    let mut found: Vec<(u8, TrackingReading)> = FORMATS
        .iter()
        .filter_map(|format| {
            read_format(format, &canonical).map(|reading| (format.looseness, reading))
        })
        .collect();
    if found.iter().any(|(_, reading)| reading.check.is_right()) {
        found.retain(|(_, reading)| !reading.check.is_wrong());
    }
    found.sort_by_key(|(looseness, _)| *looseness);
    found.into_iter().map(|(_, reading)| reading).collect()
}

/// The name under which a post's number stands whose operator only its country tells.
pub(crate) const ANY_POST: &str = "Postal operator";
/// The carriers that are posts: designated operators, whose mail falls under the rules of the post.
const POSTS: [&str; 4] = [ANY_POST, "USPS", "Canada Post", "Royal Mail"];

/// True for the name of a carrier that is a post, as far as this program knows posts by name.
pub fn is_post(carrier: &str) -> bool {
    POSTS
        .iter()
        .any(|post| post.eq_ignore_ascii_case(carrier.trim()))
}

impl TrackingReading {
    /// True for a number that a post gave out.
    pub fn is_of_a_post(&self) -> bool {
        is_post(&self.carrier)
    }
}

/// The reading of a number whose shape no other carrier's has: letters in their places, or a beginning of its own. `None` where
/// the shape leaves a doubt, as with bare digits. A wrong check digit is no doubt about whose number it is.
pub fn certain(text: &str) -> Option<TrackingReading> {
    let canonical = canonical(text);
    FORMATS
        .iter()
        .filter(|format| format.looseness == 0)
        .find_map(|format| read_format(format, &canonical))
}

/// Upper case, without spaces, dashes and the brackets of a printed application identifier.
fn canonical(text: &str) -> String {
    plain(text)
        .chars()
        .filter(|character| !matches!(character, ' ' | '-' | '(' | ')'))
        .collect()
}

fn read_format(format: &Format, canonical: &str) -> Option<TrackingReading> {
    let span = format.fit(canonical)?;
    let is_right = |candidate: &str| {
        format
            .fit(candidate)
            .is_some_and(|span| format.is_right(candidate, &span))
    };
    let check = if !format.has_check() {
        Verdict::None
    } else if is_right(canonical) {
        Verdict::Right
    } else {
        Verdict::Wrong {
            likely: likely_readings(canonical, is_right, format.with_check(canonical, &span)),
        }
    };
    let postal = format.is_postal();
    let country = if postal {
        canonical.get(s10::COUNTRY).and_then(s10::country)
    } else {
        None
    };
    let service = if postal {
        canonical.get(..1).and_then(s10::service)
    } else {
        None
    };
    Some(TrackingReading {
        carrier: format.carrier.to_owned(),
        format: format.name.to_owned(),
        canonical: canonical.to_owned(),
        number: canonical[span.number].to_owned(),
        check,
        country,
        service: service.map(str::to_owned),
    })
}
