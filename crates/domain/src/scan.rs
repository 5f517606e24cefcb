//! What a scanned or typed text may mean.
//!
//! One input box serves the whole lab, so a text is classified before anything is looked up. It often means several
//! things: fifteen digits are an IMEI, a tracking number, or both. All readings are given, best first, and the caller looks
//! each up; nothing is decided here, and no address is ever opened.

use serde::{Deserialize, Serialize};

use crate::gs1::{self, Element};
use crate::identifiers::{self, IdentifierKind, Likely, Reading};
use crate::reference::{CellRef, JobRef, ParcelRef, ReferenceError};
use crate::tracking::{self, TrackingReading};

#[cfg(test)]
mod tests;

/// What the place where a scan lands is waiting for. It changes the order of the readings, never which there are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Expecting {
    /// Nothing in particular.
    #[default]
    Anything,
    /// A parcel: the Dock, and the tracking field of Outbound.
    Parcel,
    /// A device: the Bench, and an identifier's field.
    Device,
}

/// One thing a text may mean.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "meaning", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "ScanMeaning"))]
pub enum Meaning {
    /// A job's reference.
    Job {
        /// The reference.
        reference: JobRef,
    },
    /// A parcel's reference.
    Parcel {
        /// The reference.
        reference: ParcelRef,
    },
    /// A removed cell's reference.
    Cell {
        /// The reference.
        reference: CellRef,
    },
    /// A reference with a slip in it: no job or parcel may be opened by it.
    BrokenReference {
        /// One sentence: what is wrong and what would be right.
        message: String,
        /// What it may have been, best first.
        likely: Vec<Likely>,
    },
    /// The address of a return report on some server.
    Report {
        /// The server's name, and its port if any. The caller checks that it is the lab's own.
        host: String,
        /// What follows `/r/`.
        token: String,
    },
    /// The address of an inward slip on some server.
    Slip {
        /// The server's name, and its port if any. The caller checks that it is the lab's own.
        host: String,
        /// What follows `/p/`.
        token: String,
    },
    /// A carrier's tracking number.
    Tracking {
        /// The reading.
        reading: TrackingReading,
    },
    /// A device's identifier.
    Identifier {
        /// The reading.
        reading: Reading,
    },
    /// A GS1 element string.
    Gs1 {
        /// Its elements.
        elements: Vec<Element>,
    },
    /// Free words, to search for.
    Words {
        /// The words.
        text: String,
    },
}

/// A classified text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Scan {
    /// The text without what the scanner put before and after it.
    pub text: String,
    /// The symbology identifier the scanner sent, as in `]C1` (ISO/IEC 15424).
    pub symbology: Option<String>,
    /// What it may mean, best first. Empty for an empty text.
    pub meanings: Vec<Meaning>,
}

/// Classifies a text.
pub fn understand(text: &str, expecting: Expecting) -> Scan {
    let (symbology, content) = without_symbology(text);
    let trimmed = content.trim_matches(|character: char| {
        character.is_whitespace() || (character.is_control() && character != gs1::SEPARATOR)
    });
    let shown = trimmed.trim_matches(gs1::SEPARATOR).to_owned();
    let mut meanings = Vec::new();
    if !shown.is_empty() {
        meanings = certain(&shown).unwrap_or_else(|| possible(trimmed, symbology, expecting));
    }
    Scan {
        text: shown,
        symbology: symbology.map(str::to_owned),
        meanings,
    }
}

/// Splits off the three characters in which a scanner says what symbol it read: `]`, a letter and a modifier.
fn without_symbology(text: &str) -> (Option<&str>, &str) {
    const LENGTH: usize = 3;
    let text = text
        .trim_start_matches(|character: char| character.is_whitespace() || character == '\u{2}');
    let bytes = text.as_bytes();
    let fits = bytes.len() > LENGTH
        && bytes[0] == b']'
        && bytes[1].is_ascii_alphabetic()
        && bytes[2].is_ascii_alphanumeric();
    if fits {
        (Some(&text[..LENGTH]), &text[LENGTH..])
    } else {
        (None, text)
    }
}

/// A text that can mean but one thing, because it says so itself.
fn certain(text: &str) -> Option<Vec<Meaning>> {
    if let Some(read) = JobRef::from_qr(text) {
        return Some(vec![read.map_or_else(
            |error| broken(&error),
            |reference| Meaning::Job { reference },
        )]);
    }
    if let Some(read) = ParcelRef::from_qr(text) {
        return Some(vec![read.map_or_else(
            |error| broken(&error),
            |reference| Meaning::Parcel { reference },
        )]);
    }
    if let Some(read) = CellRef::from_qr(text) {
        return Some(vec![read.map_or_else(
            |error| broken(&error),
            |reference| Meaning::Cell { reference },
        )]);
    }
    address(text).map(|meaning| vec![meaning])
}

fn broken(error: &ReferenceError) -> Meaning {
    let likely = match error {
        ReferenceError::Check { likely, .. } => likely.clone(),
        ReferenceError::Length { .. } | ReferenceError::Symbol { .. } => Vec::new(),
    };
    Meaning::BrokenReference {
        message: error.to_string(),
        likely,
    }
}

/// The address of a report (`/r/…`) or of a slip (`/p/…`). Other addresses are free words.
fn address(text: &str) -> Option<Meaning> {
    let (scheme, rest) = text.split_once("://")?;
    if !scheme.eq_ignore_ascii_case("https") && !scheme.eq_ignore_ascii_case("http") {
        return None;
    }
    let path_end = rest.find(['?', '#']).unwrap_or(rest.len());
    let mut parts = rest[..path_end].split('/');
    let (host, kind, token) = (parts.next()?, parts.next()?, parts.next()?);
    let ended = parts.all(str::is_empty);
    if host.is_empty() || token.is_empty() || !ended {
        return None;
    }
    let (host, token) = (host.to_ascii_lowercase(), token.to_owned());
    match kind {
        "r" => Some(Meaning::Report { host, token }),
        "p" => Some(Meaning::Slip { host, token }),
        _ => None,
    }
}

/// Everything else a text may mean, best first.
fn possible(text: &str, symbology: Option<&str>, expecting: Expecting) -> Vec<Meaning> {
    let mut ranked: Vec<(Rank, Meaning)> = Vec::new();
    let elements = elements(text, symbology);
    let announced = !elements.is_empty();
    for value in element_values(&elements) {
        ranked.extend(value);
    }
    if announced {
        ranked.push((Rank::Announced, Meaning::Gs1 { elements }));
    }
    let plain = text.replace(gs1::SEPARATOR, "");
    ranked.extend(references(&plain));
    ranked.extend(tracking::read(&plain).into_iter().map(|reading| {
        (
            tracking_rank(&reading, expecting),
            Meaning::Tracking { reading },
        )
    }));
    for part in parts(&plain) {
        let readings = identifiers::readings(part)
            .into_iter()
            .filter(|reading| reading.kind != IdentifierKind::Serial || could_be_serial(part));
        ranked.extend(
            readings.map(|reading| (identifier_rank(&reading), Meaning::Identifier { reading })),
        );
    }
    ranked.push((
        Rank::Words,
        Meaning::Words {
            text: plain.trim().to_owned(),
        },
    ));
    ranked.sort_by_key(|(rank, meaning)| (*rank, !expected(meaning, expecting)));
    let mut meanings: Vec<Meaning> = Vec::new();
    for (_, meaning) in ranked {
        if !meanings.contains(&meaning) {
            meanings.push(meaning);
        }
    }
    meanings
}

/// How sure a reading is. The order of the variants is the order shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    /// The text says itself what it is.
    Announced,
    /// The check digit fits.
    Checked,
    /// The shape fits; there is nothing to check.
    Shaped,
    /// The shape fits, the check digit does not.
    Doubtful,
    /// Anything may be a serial number.
    Loose,
    Words,
    /// So many things look like this that a wrong check digit says it is none.
    Unlikely,
}

fn tracking_rank(reading: &TrackingReading, expecting: Expecting) -> Rank {
    // Telephone numbers and article numbers are no longer than this.
    const PLAIN_LENGTH_MAX: usize = 13;
    let plain = reading.canonical.len() <= PLAIN_LENGTH_MAX
        && reading
            .canonical
            .chars()
            .all(|character| character.is_ascii_digit());
    if reading.check.is_right() {
        Rank::Checked
    } else if reading.check.is_wrong() && plain && expecting != Expecting::Parcel {
        Rank::Unlikely
    } else if reading.check.is_wrong() {
        Rank::Doubtful
    } else {
        Rank::Shaped
    }
}

fn identifier_rank(reading: &Reading) -> Rank {
    match reading.kind {
        IdentifierKind::Serial | IdentifierKind::Esn => Rank::Loose,
        _ if reading.check.is_right() => Rank::Checked,
        _ if reading.check.is_wrong() => Rank::Doubtful,
        _ => Rank::Shaped,
    }
}

fn expected(meaning: &Meaning, expecting: Expecting) -> bool {
    match expecting {
        // Where nothing is awaited, a device is looked for more often than a parcel.
        Expecting::Anything | Expecting::Device => {
            matches!(meaning, Meaning::Job { .. } | Meaning::Identifier { .. })
        }
        Expecting::Parcel => matches!(meaning, Meaning::Parcel { .. } | Meaning::Tracking { .. }),
    }
}

/// A bare reference may be a job's, a parcel's or a cell's.
fn references(text: &str) -> Vec<(Rank, Meaning)> {
    match (text.parse::<JobRef>(), text.parse::<ParcelRef>()) {
        (Ok(job), Ok(parcel)) => vec![
            (Rank::Checked, Meaning::Job { reference: job }),
            (Rank::Checked, Meaning::Parcel { reference: parcel }),
        ]
        .into_iter()
        .chain(
            text.parse::<CellRef>()
                .map(|cell| (Rank::Checked, Meaning::Cell { reference: cell })),
        )
        .collect(),
        // Nine characters with dashes in the two places were meant as a reference; without them they may be any word.
        (Err(error @ ReferenceError::Check { .. }), _) if text.contains('-') => {
            vec![(Rank::Doubtful, broken(&error))]
        }
        _ => Vec::new(),
    }
}

/// The elements, if the scanner or the print announces them. Bare digits are not taken for elements unannounced.
fn elements(text: &str, symbology: Option<&str>) -> Vec<Element> {
    let announced = gs1::announces_elements(symbology)
        || text.starts_with('(')
        || text.contains(gs1::SEPARATOR);
    if announced {
        gs1::read(text).unwrap_or_default()
    } else {
        Vec::new()
    }
}

/// What single elements mean by themselves: a parcel's SSCC, a device's IMEI or serial number.
fn element_values(elements: &[Element]) -> Vec<Vec<(Rank, Meaning)>> {
    let value = |element: &Element| match element.ai.as_str() {
        "00" => tracking::read(&element.value)
            .into_iter()
            .map(|reading| (Rank::Announced, Meaning::Tracking { reading }))
            .collect(),
        "8002" => identifiers::read_as(IdentifierKind::Imei, &element.value)
            .map(|reading| vec![(Rank::Announced, Meaning::Identifier { reading })])
            .unwrap_or_default(),
        "21" => identifiers::read_as(IdentifierKind::Serial, &element.value)
            .map(|reading| vec![(Rank::Announced, Meaning::Identifier { reading })])
            .unwrap_or_default(),
        _ => Vec::new(),
    };
    elements.iter().map(value).collect()
}

/// A code on a box or a settings screen may hold several numbers, one after another.
fn parts(text: &str) -> Vec<&str> {
    text.split([',', ';', '|', '\n', '\r', '\t'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect()
}

/// A serial number is one word that holds a digit; anything else is words to search for.
fn could_be_serial(text: &str) -> bool {
    const LENGTH_MIN: usize = 4;
    text.chars().count() >= LENGTH_MIN
        && text.chars().any(|character| character.is_ascii_digit())
        && (!text.contains(' ') || identifiers::labelled_kind(text).is_some())
}
