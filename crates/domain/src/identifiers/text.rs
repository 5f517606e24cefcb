//! Brings typed and scanned text to plain upper-case ASCII, as far as that changes nothing but its looks.

use super::IdentifierKind;

/// Trims, upper-cases and turns full-width characters, odd dashes and odd spaces into their plain ASCII forms.
pub(crate) fn plain(text: &str) -> String {
    text.trim()
        .chars()
        .map(plain_character)
        .collect::<String>()
        .trim()
        .to_owned()
}

fn plain_character(character: char) -> char {
    match character {
        // The full-width forms repeat ASCII from ! to ~ at a fixed distance (Unicode, block FF00).
        '\u{FF01}'..='\u{FF5E}' => char::from_u32(u32::from(character) - 0xFEE0)
            .unwrap_or(character)
            .to_ascii_uppercase(),
        '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
        _ if character.is_whitespace() => ' ',
        _ => character.to_ascii_uppercase(),
    }
}

/// The text without what only groups it: spaces, dashes, slashes, dots and colons.
pub(super) fn packed(plain: &str) -> String {
    plain
        .chars()
        .filter(|character| !matches!(character, ' ' | '-' | '/' | '.' | ':'))
        .collect()
}

/// Labels that stand before a number on housings, boxes and settings screens. The longest comes first.
const LABELS: &[(&str, IdentifierKind)] = &[
    ("IMEISV", IdentifierKind::Imeisv),
    ("IMEI/MEID", IdentifierKind::Imei),
    ("IMEI 1", IdentifierKind::Imei),
    ("IMEI 2", IdentifierKind::Imei),
    ("IMEI1", IdentifierKind::Imei),
    ("IMEI2", IdentifierKind::Imei),
    ("IMEI", IdentifierKind::Imei),
    ("MEID", IdentifierKind::Meid),
    ("ESN", IdentifierKind::Esn),
    ("EID", IdentifierKind::Eid),
    ("ICCID", IdentifierKind::Iccid),
    ("WI-FI ADDRESS", IdentifierKind::Mac),
    ("MAC ADDRESS", IdentifierKind::Mac),
    ("MAC", IdentifierKind::Mac),
    ("SERIAL NUMBER", IdentifierKind::Serial),
    ("SERIAL NO", IdentifierKind::Serial),
    ("SERIAL", IdentifierKind::Serial),
    ("S/N", IdentifierKind::Serial),
    ("SN", IdentifierKind::Serial),
];

/// Splits a label off. A label is followed by a colon, an equals sign, a full stop or a space; without that, the letters
/// belong to the number. The URN form (`urn:gsma:imei:`, RFC 7254) is left to the IMEI's own reading.
pub(super) fn without_label(plain: &str) -> (Option<IdentifierKind>, &str) {
    for &(label, kind) in LABELS {
        let Some(rest) = plain.strip_prefix(label) else {
            continue;
        };
        let number = rest.trim_start_matches([':', '=', '.', '#', ' ']);
        if number.len() < rest.len() && !number.is_empty() {
            return (Some(kind), number);
        }
    }
    (None, plain)
}
