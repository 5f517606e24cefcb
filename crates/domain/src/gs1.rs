//! What GS1 bar codes on parcels and devices carry: element strings and the check digits in them.
//!
//! Reads what a scanner delivers, or the bracketed print beneath a bar code. Never makes a GS1 key: that takes a company
//! prefix which the lab need not have.
//!
//! Rules: GS1 General Specifications 7.9 (check digit), 7.8 (FNC1); the GS1 Barcode Syntax Dictionary (Apache-2.0) for the
//! application identifiers.

use serde::{Deserialize, Serialize};

use crate::identifiers::check_digit::{gs1_mod_10, luhn_10};
use crate::identifiers::{Verdict, likely_readings};

#[cfg(test)]
mod tests;

/// FNC1 within the data, as scanners send it: the ASCII group separator.
pub const SEPARATOR: char = '\u{1D}';

/// One element: an application identifier and its value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "Gs1Element"))]
pub struct Element {
    /// The application identifier, two to four digits.
    pub ai: String,
    /// What the value is, in words.
    pub title: String,
    /// The value.
    pub value: String,
    /// Whether its check digit fits, where it has one.
    pub check: Verdict,
}

/// Why a text is no element string.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Gs1Error {
    /// No application identifier stands where one must.
    #[error(
        "“{rest}” does not begin with an application identifier that is known here, such as 00, 01 or 21"
    )]
    UnknownIdentifier {
        /// The text from there on.
        rest: String,
    },
    /// A value of a length that its identifier does not allow.
    #[error("the value “{value}” after ({ai}) has {length} characters; it must have {shape}")]
    Length {
        /// The identifier.
        ai: String,
        /// The value found.
        value: String,
        /// Its length.
        length: usize,
        /// What would be right.
        shape: String,
    },
    /// A character that the value can't have.
    #[error("the value “{value}” after ({ai}) holds “{character}”, where only digits may stand")]
    Character {
        /// The identifier.
        ai: String,
        /// The value found.
        value: String,
        /// The character.
        character: char,
    },
    /// Nothing to read.
    #[error("the element string is empty; it begins with an application identifier such as 00")]
    Empty,
}

/// What a value is checked by.
#[derive(Debug, Clone, Copy)]
enum Check {
    Absent,
    /// GS1 mod 10 over so many leading characters, check digit included.
    Mod10(usize),
    /// The IMEI's own check digit.
    Imei,
}

/// One row of the table of application identifiers.
struct Identifier {
    ai: &'static str,
    title: &'static str,
    /// So many digits first; the rest, if any, may hold letters.
    digits: usize,
    /// The fewest and the most characters.
    length: (usize, usize),
    check: Check,
}

const fn fixed(ai: &'static str, title: &'static str, length: usize, check: Check) -> Identifier {
    Identifier {
        ai,
        title,
        digits: length,
        length: (length, length),
        check,
    }
}

const fn numeric(ai: &'static str, title: &'static str, length_max: usize) -> Identifier {
    Identifier {
        ai,
        title,
        digits: length_max,
        length: (1, length_max),
        check: Check::Absent,
    }
}

const fn text(ai: &'static str, title: &'static str, length_max: usize) -> Identifier {
    Identifier {
        ai,
        title,
        digits: 0,
        length: (1, length_max),
        check: Check::Absent,
    }
}

const fn mixed(
    ai: &'static str,
    title: &'static str,
    digits: usize,
    length: (usize, usize),
    check: Check,
) -> Identifier {
    Identifier {
        ai,
        title,
        digits,
        length,
        check,
    }
}

/// The application identifiers that turn up on parcels, devices and parts (GS1 Barcode Syntax Dictionary).
const IDENTIFIERS: &[Identifier] = &[
    fixed("00", "SSCC", 18, Check::Mod10(18)),
    fixed("01", "GTIN", 14, Check::Mod10(14)),
    fixed("02", "GTIN of the contained items", 14, Check::Mod10(14)),
    text("10", "batch", 20),
    fixed("11", "production date", 6, Check::Absent),
    fixed("13", "packing date", 6, Check::Absent),
    fixed("15", "best before", 6, Check::Absent),
    fixed("17", "expiry date", 6, Check::Absent),
    fixed("20", "variant", 2, Check::Absent),
    text("21", "serial number", 20),
    numeric("37", "count", 8),
    text("240", "additional item number", 30),
    text("241", "customer part number", 30),
    text("250", "secondary serial number", 30),
    mixed("253", "document (GDTI)", 13, (13, 30), Check::Mod10(13)),
    text("400", "customer's order", 30),
    text("401", "consignment (GINC)", 30),
    fixed("402", "shipment (GSIN)", 17, Check::Mod10(17)),
    text("403", "routing code", 30),
    fixed("410", "ship to", 13, Check::Mod10(13)),
    fixed("414", "place (GLN)", 13, Check::Mod10(13)),
    text("420", "postal code of the receiver", 20),
    mixed(
        "421",
        "country and postal code of the receiver",
        3,
        (4, 12),
        Check::Absent,
    ),
    text("4300", "receiver's company", 35),
    text("4301", "receiver's contact", 35),
    text("4302", "receiver's address, line 1", 70),
    text("4303", "receiver's address, line 2", 70),
    text("4304", "receiver's suburb", 70),
    text("4305", "receiver's town", 70),
    text("4306", "receiver's region", 70),
    text("4307", "receiver's country", 2),
    text("4308", "receiver's telephone", 30),
    text("4310", "return to: company", 35),
    text("4311", "return to: contact", 35),
    text("4312", "return to: address, line 1", 70),
    text("4313", "return to: address, line 2", 70),
    text("4314", "return to: suburb", 70),
    text("4315", "return to: town", 70),
    text("4316", "return to: region", 70),
    text("4317", "return to: country", 2),
    text("4318", "return to: postal code", 20),
    text("4319", "return to: telephone", 30),
    fixed("4321", "dangerous goods, 1 for yes", 1, Check::Absent),
    fixed("4323", "signature required, 1 for yes", 1, Check::Absent),
    mixed(
        "8002",
        "mobile telephone identifier (IMEI)",
        0,
        (1, 20),
        Check::Imei,
    ),
    mixed(
        "8003",
        "returnable asset (GRAI)",
        14,
        (14, 30),
        Check::Mod10(14),
    ),
    text("8004", "asset (GIAI)", 30),
    text("8010", "component or part (CPID)", 30),
    fixed("8017", "service provider (GSRN)", 18, Check::Mod10(18)),
    fixed("8018", "service recipient (GSRN)", 18, Check::Mod10(18)),
    numeric("8019", "service relation instance (SRIN)", 10),
    text("90", "agreed between partners", 30),
    text("91", "internal to a company", 90),
    text("92", "internal to a company", 90),
    text("93", "internal to a company", 90),
    text("94", "internal to a company", 90),
    text("95", "internal to a company", 90),
    text("96", "internal to a company", 90),
    text("97", "internal to a company", 90),
    text("98", "internal to a company", 90),
    text("99", "internal to a company", 90),
];

/// Identifiers whose first two digits fix the length, so that no separator follows (GS1 General Specifications, figure of
/// predefined lengths): those of this table.
const PREDEFINED: &[&str] = &["00", "01", "02", "11", "13", "15", "17", "20", "41"];

const IMEI_LENGTH: usize = 15;

/// The check digit that belongs to a GS1 key without it.
pub fn check_digit(payload: &str) -> Option<char> {
    gs1_mod_10(payload)
}

/// Judges a GS1 key (GTIN, SSCC, GLN …) by its last digit.
pub fn check(key: &str) -> Verdict {
    judge(key, key.len(), gs1_mod_10)
}

/// True when a scanner's data begins with FNC1, as a symbology identifier or a character says it.
pub fn announces_elements(aim: Option<&str>) -> bool {
    // ]C1 is GS1-128, ]e0 to ]e2 GS1 DataBar, ]d2 GS1 DataMatrix, ]Q3 GS1 QR Code (ISO/IEC 15424).
    matches!(aim, Some("]C1" | "]e0" | "]e1" | "]e2" | "]d2" | "]Q3"))
}

/// Reads an element string: with FNC1 as the group separator, or printed with the identifiers in brackets.
///
/// A wrong check digit is kept as such. An unknown identifier, a wrong length or a letter among digits is an error, since
/// from there on nothing can be told apart.
pub fn read(data: &str) -> Result<Vec<Element>, Gs1Error> {
    let data = data.trim().trim_start_matches(SEPARATOR);
    if data.is_empty() {
        return Err(Gs1Error::Empty);
    }
    if data.starts_with('(') {
        read_bracketed(data)
    } else {
        read_scanned(data)
    }
}

fn read_scanned(data: &str) -> Result<Vec<Element>, Gs1Error> {
    let mut elements = Vec::new();
    let mut rest = data;
    while !rest.is_empty() {
        let (identifier, after) = identifier_of(rest)?;
        let end = if PREDEFINED
            .iter()
            .any(|prefix| identifier.ai.starts_with(prefix))
        {
            let length = after
                .char_indices()
                .nth(identifier.length.1)
                .map_or(after.len(), |(at, _)| at);
            after
                .find(SEPARATOR)
                .map_or(length, |separator| separator.min(length))
        } else {
            after.find(SEPARATOR).unwrap_or(after.len())
        };
        elements.push(element(identifier, &after[..end])?);
        rest = after[end..]
            .strip_prefix(SEPARATOR)
            .unwrap_or(&after[end..]);
    }
    Ok(elements)
}

fn read_bracketed(data: &str) -> Result<Vec<Element>, Gs1Error> {
    let mut elements = Vec::new();
    // The first piece is what stands before the first bracket: nothing.
    for piece in data.split('(').skip(1) {
        let unknown = || Gs1Error::UnknownIdentifier {
            rest: piece.to_owned(),
        };
        let (ai, value) = piece.split_once(')').ok_or_else(unknown)?;
        let identifier = IDENTIFIERS
            .iter()
            .find(|identifier| identifier.ai == ai)
            .ok_or_else(unknown)?;
        let value = value.trim();
        let spaced = identifier.digits > 0;
        let value: String = value
            .chars()
            .filter(|&character| !(spaced && character == ' '))
            .collect();
        elements.push(element(identifier, &value)?);
    }
    Ok(elements)
}

fn identifier_of(rest: &str) -> Result<(&'static Identifier, &str), Gs1Error> {
    IDENTIFIERS
        .iter()
        .find_map(|identifier| {
            rest.strip_prefix(identifier.ai)
                .map(|after| (identifier, after))
        })
        .ok_or_else(|| Gs1Error::UnknownIdentifier {
            rest: rest.to_owned(),
        })
}

fn element(identifier: &Identifier, value: &str) -> Result<Element, Gs1Error> {
    let (min, max) = identifier.length;
    let length = value.chars().count();
    if length < min || length > max {
        let shape = if min == max {
            format!("{min}")
        } else {
            format!("{min} to {max}")
        };
        return Err(Gs1Error::Length {
            ai: identifier.ai.to_owned(),
            value: value.to_owned(),
            length,
            shape,
        });
    }
    if let Some(character) = value
        .chars()
        .take(identifier.digits)
        .find(|character| !character.is_ascii_digit())
    {
        return Err(Gs1Error::Character {
            ai: identifier.ai.to_owned(),
            value: value.to_owned(),
            character,
        });
    }
    let check = match identifier.check {
        Check::Mod10(length) => judge(value, length, gs1_mod_10),
        Check::Imei if value.len() == IMEI_LENGTH => judge(value, IMEI_LENGTH, luhn_10),
        Check::Absent | Check::Imei => Verdict::None,
    };
    Ok(Element {
        ai: identifier.ai.to_owned(),
        title: identifier.title.to_owned(),
        value: value.to_owned(),
        check,
    })
}

/// Judges a value whose first `length` characters are a key that ends in its check digit.
fn judge(value: &str, length: usize, check_of: fn(&str) -> Option<char>) -> Verdict {
    let Some(body) = length.checked_sub(1).and_then(|end| value.get(..end)) else {
        return Verdict::None;
    };
    let is_right = |candidate: &str| {
        candidate
            .get(..length - 1)
            .and_then(check_of)
            .is_some_and(|check| candidate[length - 1..].starts_with(check))
    };
    if is_right(value) {
        return Verdict::Right;
    }
    let with_check = check_of(body)
        .zip(value.get(length..))
        .map(|(check, rest)| format!("{body}{check}{rest}"));
    Verdict::Wrong {
        likely: likely_readings(value, is_right, with_check),
    }
}
