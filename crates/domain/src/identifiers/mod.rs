//! Identifiers that stand on a device or in it: IMEI, MEID, serial number and their kin.
//!
//! Recognises what a text is, brings it to one canonical form and judges its check digit. A wrong check digit is never a
//! reason to refuse a number: labels get typed by hand from worn housings. The number is kept, with what it probably was.
//!
//! Rules: 3GPP TS 23.003 clause 6 and annex B (IMEI, IMEISV), 3GPP2 S.R0048 (MEID), GSMA SGP.29 (EID, from memory), ITU-T
//! E.118 (ICCID, from memory), IEEE 802 (MAC address, from memory).

pub mod check_digit;
mod likely;
mod shapes;
#[cfg(test)]
mod tests;
mod text;

use std::fmt;

use serde::{Deserialize, Serialize};

pub(crate) use likely::likely_readings;
pub use likely::{Likely, Slip, Verdict, look_alike};
pub(crate) use text::plain;

/// What kind of number an identifier is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum IdentifierKind {
    /// International Mobile Equipment Identity: 8 digits of type, 6 of serial, 1 check digit.
    Imei,
    /// IMEI with a two-digit software version in place of the check digit: 16 digits.
    Imeisv,
    /// Mobile Equipment Identifier: 14 hexadecimal digits.
    Meid,
    /// Electronic Serial Number, the forerunner of the MEID: 8 hexadecimal digits.
    Esn,
    /// Identifier of an embedded SIM: 32 digits.
    Eid,
    /// Identifier of a SIM card: 19 or 20 digits beginning with 89.
    Iccid,
    /// Address of a network interface: 6 octets.
    Mac,
    /// The maker's own serial number, of any form and without a public check digit.
    Serial,
}

impl IdentifierKind {
    /// Every kind, in the order in which forms list them.
    pub const ALL: [Self; 8] = [
        Self::Imei,
        Self::Imeisv,
        Self::Meid,
        Self::Esn,
        Self::Serial,
        Self::Eid,
        Self::Iccid,
        Self::Mac,
    ];

    /// The name people use.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Imei => "IMEI",
            Self::Imeisv => "IMEISV",
            Self::Meid => "MEID",
            Self::Esn => "ESN",
            Self::Eid => "EID",
            Self::Iccid => "ICCID",
            Self::Mac => "MAC address",
            Self::Serial => "serial number",
        }
    }

    /// What a text of this kind looks like, for a message.
    pub const fn shape(self) -> &'static str {
        match self {
            Self::Imei => "15 digits, or 14 where the check digit is not shown",
            Self::Imeisv => "16 digits",
            Self::Meid => "14 hexadecimal digits, or 18 decimal ones",
            Self::Esn => "8 hexadecimal digits, or 11 decimal ones",
            Self::Eid => "32 digits",
            Self::Iccid => "19 or 20 digits that begin with 89",
            Self::Mac => "12 hexadecimal digits, as in D0:50:99:84:A2:A0",
            Self::Serial => "letters and digits",
        }
    }
}

impl fmt::Display for IdentifierKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Something worth knowing about a reading that is no matter of its check digit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum IdentifierNote {
    /// The check digit was not in the text; the one shown was worked out.
    CheckDigitComputed,
    /// Two more digits, the software version, were left out.
    SoftwareVersionLeftOut,
    /// All digits are zero: the device was never given a number, or has lost it.
    NotProgrammed,
    /// An IMEI set aside for tests (GSMA TS.06: 00 and 02 to 09).
    TestNumber,
    /// Filling at the end of a SIM's memory was left out.
    FillingLeftOut,
    /// The number does not begin as its kind usually does.
    UnusualBeginning,
    /// The address belongs to a group or to everyone, never to one device.
    GroupAddress,
    /// The address was made up by software, so another day it may differ.
    LocallyAdministered,
    /// The address that a phone shows when it withholds its own.
    Withheld,
}

impl IdentifierNote {
    /// One sentence for people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::CheckDigitComputed => "the check digit was not shown and has been worked out",
            Self::SoftwareVersionLeftOut => {
                "the last two digits are the software version and were left out"
            }
            Self::NotProgrammed => {
                "all digits are zero: the device has no number of its own at present"
            }
            Self::TestNumber => "this range is set aside for test numbers",
            Self::FillingLeftOut => "the filling F at the end was left out",
            Self::UnusualBeginning => "numbers of this kind usually begin otherwise",
            Self::GroupAddress => "this address belongs to a group, not to one device",
            Self::LocallyAdministered => "this address was made up by software and may change",
            Self::Withheld => "a phone shows this address when it withholds its own",
        }
    }
}

/// What an identifier was read as.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "IdentifierReading"))]
pub struct Reading {
    /// What kind of number it is.
    pub kind: IdentifierKind,
    /// The number in its one form: upper case, without spaces and dashes (a MAC address with colons).
    pub canonical: String,
    /// Whether its check digit fits.
    pub check: Verdict,
    /// What else is worth knowing.
    pub notes: Vec<IdentifierNote>,
}

/// A text that cannot be the kind of number it was entered as.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IdentifierError {
    /// Nothing was entered.
    #[error("no {kind} was entered; it is {}", kind.shape())]
    Empty {
        /// The kind asked for.
        kind: IdentifierKind,
    },
    /// A character that such a number can't have.
    #[error("{kind} “{text}” holds “{character}”; it is {}", kind.shape())]
    Character {
        /// The kind asked for.
        kind: IdentifierKind,
        /// What was entered.
        text: String,
        /// The first character that doesn't belong.
        character: char,
    },
    /// Too few or too many characters, or another beginning.
    #[error("{kind} “{text}” has {length} characters; it is {}", kind.shape())]
    Shape {
        /// The kind asked for.
        kind: IdentifierKind,
        /// What was entered.
        text: String,
        /// How many characters it has without spaces and dashes.
        length: usize,
    },
}

/// Reads a text as the one thing it most probably is. Any text is at least a serial number.
pub fn read(text: &str) -> Reading {
    readings(text)
        .into_iter()
        .next()
        .unwrap_or_else(|| shapes::serial(&plain(text)))
}

/// Reads a text as everything it may be, best first; a serial number comes last. Empty for an empty text.
///
/// A label before the number (`IMEI:`, `S/N`) says what it is and is left out of it.
pub fn readings(text: &str) -> Vec<Reading> {
    let plain = plain(text);
    let (labelled, number) = text::without_label(&plain);
    if number.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<Reading> = IdentifierKind::ALL
        .into_iter()
        .filter(|&kind| kind != IdentifierKind::Serial)
        .filter_map(|kind| shapes::recognise(kind, number))
        .collect();
    // A number whose check digit fits outranks one that has none, and that one a number whose check digit is wrong.
    found.sort_by_key(|reading| {
        (
            Some(reading.kind) != labelled,
            reading.kind == IdentifierKind::Esn,
            reading.check.rank(),
        )
    });
    let serial = shapes::serial(number);
    let weak = found.first().is_none_or(|best| {
        best.kind == IdentifierKind::Esn && labelled != Some(IdentifierKind::Esn)
    });
    if labelled == Some(IdentifierKind::Serial) || weak {
        found.insert(0, serial);
    } else {
        found.push(serial);
    }
    found
}

/// The kind of number that a label in front of the text names, if there is one.
pub fn labelled_kind(text: &str) -> Option<IdentifierKind> {
    text::without_label(&plain(text)).0
}

/// Reads a text as the kind of number it was entered as.
pub fn read_as(kind: IdentifierKind, text: &str) -> Result<Reading, IdentifierError> {
    let plain = plain(text);
    let (_, number) = text::without_label(&plain);
    if number.is_empty() {
        return Err(IdentifierError::Empty { kind });
    }
    if let Some(reading) = shapes::read_as(kind, number) {
        return Ok(reading);
    }
    let packed = text::packed(number);
    let stray = packed
        .chars()
        .find(|&character| !shapes::allows(kind, character));
    Err(match stray {
        Some(character) => IdentifierError::Character {
            kind,
            text: text.trim().to_owned(),
            character,
        },
        None => IdentifierError::Shape {
            kind,
            text: text.trim().to_owned(),
            length: packed.chars().count(),
        },
    })
}

impl Reading {
    /// True when the number tells one device from another. All zeros, a group's address or a withheld one do not.
    pub fn tells_devices_apart(&self) -> bool {
        !self.notes.iter().any(|note| {
            matches!(
                note,
                IdentifierNote::NotProgrammed
                    | IdentifierNote::GroupAddress
                    | IdentifierNote::Withheld
            )
        })
    }

    /// What two readings of one number share, however each was written: an IMEI with or without its check digit or with a
    /// software version, a MEID with or without its check digit. For lookup and comparison, not for show.
    pub fn match_key(&self) -> String {
        let digits = match self.kind {
            IdentifierKind::Imei | IdentifierKind::Imeisv | IdentifierKind::Meid => self
                .canonical
                .get(..shapes::IMEI_BODY_LENGTH)
                .unwrap_or(&self.canonical),
            _ => &self.canonical,
        };
        let family = match self.kind {
            // An all-decimal MEID is taken from the IMEI's range, so both are one number.
            IdentifierKind::Imei | IdentifierKind::Imeisv | IdentifierKind::Meid => "mobile",
            IdentifierKind::Esn => "esn",
            IdentifierKind::Eid => "eid",
            IdentifierKind::Iccid => "iccid",
            IdentifierKind::Mac => "mac",
            IdentifierKind::Serial => "serial",
        };
        format!("{family}:{digits}")
    }

    /// True when both readings name the same device as far as this number can tell.
    pub fn same_number(&self, other: &Self) -> bool {
        self.tells_devices_apart()
            && other.tells_devices_apart()
            && self.match_key() == other.match_key()
    }

    /// The number with all but its last four characters hidden, for lists and papers that don't need it whole. An ICCID
    /// names its owner's line and should be shown only so.
    pub fn masked(&self) -> String {
        const SHOWN: usize = 4;
        let length = self.canonical.chars().count();
        let hidden = length.saturating_sub(SHOWN);
        format!(
            "{}{}",
            "…".repeat(usize::from(hidden > 0)),
            self.canonical.chars().skip(hidden).collect::<String>()
        )
    }

    /// The number as it is printed for people, in the groups its standard shows.
    pub fn grouped(&self) -> String {
        match self.kind {
            // TS 23.003 names the parts: type allocation code, serial number, check digit or software version.
            IdentifierKind::Imei | IdentifierKind::Imeisv
                if self.canonical.len() > shapes::IMEI_BODY_LENGTH =>
            {
                let (tac, rest) = self.canonical.split_at(shapes::TAC_LENGTH);
                let (serial, end) = rest.split_at(shapes::IMEI_BODY_LENGTH - shapes::TAC_LENGTH);
                format!("{tac} {serial} {end}")
            }
            IdentifierKind::Eid | IdentifierKind::Iccid => {
                let characters: Vec<char> = self.canonical.chars().collect();
                characters
                    .chunks(4)
                    .map(|group| group.iter().collect::<String>())
                    .collect::<Vec<_>>()
                    .join(" ")
            }
            _ => self.canonical.clone(),
        }
    }
}

/// True when two serial numbers differ, but only in characters that look alike (0 and O, 1 and I, 5 and S, 8 and B …).
pub fn differ_only_in_look_alikes(a: &str, b: &str) -> bool {
    let (a, b) = (text::packed(&plain(a)), text::packed(&plain(b)));
    a != b
        && a.chars().count() == b.chars().count()
        && a.chars()
            .zip(b.chars())
            .all(|(x, y)| x == y || look_alike(x, y))
}
