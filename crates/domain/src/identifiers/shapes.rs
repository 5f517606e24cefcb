//! What each kind of identifier looks like, and its check digit.
//!
//! `recognise` guesses and is careful; `read_as` knows what a person says the number is and accepts every form of it.

use super::check_digit::{luhn_10, luhn_16, mod_97_10, remainder};
use super::text::packed;
use super::{IdentifierKind, IdentifierNote, Reading, Verdict, likely_readings};

/// Type allocation code of an IMEI.
pub(super) const TAC_LENGTH: usize = 8;
/// Type allocation code and serial number: the part of an IMEI, and the whole of a MEID, that names the device.
pub(super) const IMEI_BODY_LENGTH: usize = 14;
const IMEI_LENGTH: usize = 15;
const IMEISV_LENGTH: usize = 16;
/// An IMEI followed by its software version, as some labels and settings screens print it. From memory.
const IMEI_AND_VERSION_LENGTH: usize = 17;
const MEID_DECIMAL_LENGTH: usize = 18;
/// The first octet of a MEID that is not in the IMEI's range begins here.
const MEID_REGION_MIN: u32 = 0xA0;
/// The IMEI range of the administrator that gives out numbers for both.
const SHARED_RANGE: &str = "99";
const EID_LENGTH: usize = 32;
const ICCID_LENGTHS: [usize; 2] = [19, 20];
/// Telecommunication, the industry that ITU-T E.118 cards and eSIMs belong to.
const TELECOM: &str = "89";
const MAC_LENGTH: usize = 12;
const ESN_LENGTH: usize = 8;
const ESN_DECIMAL_LENGTH: usize = 11;
const URN: &str = "URN:GSMA:IMEI:";

/// Reads `text` as `kind` if a careful eye would take it for one.
pub(super) fn recognise(kind: IdentifierKind, text: &str) -> Option<Reading> {
    let packed = packed(text);
    match kind {
        // A number of 16 digits with a label is a matter for `read_as`; alone it is the IMEISV.
        IdentifierKind::Meid => meid(&packed).filter(|_| {
            packed.len() > IMEI_LENGTH
                || packed.chars().any(|character| !character.is_ascii_digit())
        }),
        // Eight characters are an ESN only if they could not be a plain count or word.
        IdentifierKind::Esn => esn(&packed).filter(|_| {
            packed.len() == ESN_DECIMAL_LENGTH
                || (has_hex_letter(&packed) && packed.chars().any(|c| c.is_ascii_digit()))
        }),
        // Twelve bare decimal digits are more often a tracking number.
        IdentifierKind::Mac => {
            mac(&packed).filter(|_| has_hex_letter(&packed) || text.contains([':', '-', '.']))
        }
        IdentifierKind::Serial => None,
        _ => read_as(kind, text),
    }
}

/// Reads `text` as `kind` in any of its forms.
pub(super) fn read_as(kind: IdentifierKind, text: &str) -> Option<Reading> {
    let packed = packed(text);
    match kind {
        IdentifierKind::Imei => imei_urn(text).or_else(|| imei(&packed)),
        IdentifierKind::Imeisv => imeisv(&packed),
        IdentifierKind::Meid => meid(&packed),
        IdentifierKind::Esn => esn(&packed),
        IdentifierKind::Eid => eid(&packed),
        IdentifierKind::Iccid => iccid(&packed),
        IdentifierKind::Mac => mac(&packed),
        IdentifierKind::Serial => Some(serial(text)),
    }
}

/// True when numbers of this kind can hold the character.
pub(super) fn allows(kind: IdentifierKind, character: char) -> bool {
    match kind {
        IdentifierKind::Imei | IdentifierKind::Imeisv | IdentifierKind::Eid => {
            character.is_ascii_digit()
        }
        IdentifierKind::Iccid => character.is_ascii_digit() || character == 'F',
        IdentifierKind::Meid | IdentifierKind::Esn | IdentifierKind::Mac => {
            character.is_ascii_hexdigit()
        }
        IdentifierKind::Serial => true,
    }
}

/// A maker's serial number: upper case and without spaces, so that it can be found again.
pub(super) fn serial(plain: &str) -> Reading {
    let canonical = plain
        .chars()
        .filter(|character| *character != ' ')
        .collect();
    Reading {
        kind: IdentifierKind::Serial,
        canonical,
        check: Verdict::None,
        notes: Vec::new(),
    }
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|character| character.is_ascii_digit())
}

fn all_hex(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|character| character.is_ascii_hexdigit())
}

fn has_hex_letter(text: &str) -> bool {
    text.chars().any(|character| matches!(character, 'A'..='F'))
}

/// Judges a number whose last character is the check digit of the ones before it.
pub(super) fn judge_last(number: &str, check_of: fn(&str) -> Option<char>) -> Verdict {
    let is_right = |candidate: &str| {
        let Some((index, check)) = candidate.char_indices().next_back() else {
            return false;
        };
        check_of(&candidate[..index]) == Some(check)
    };
    if is_right(number) {
        return Verdict::Right;
    }
    let body = number
        .char_indices()
        .next_back()
        .map_or("", |(index, _)| &number[..index]);
    let with_check = check_of(body).map(|check| format!("{body}{check}"));
    Verdict::Wrong {
        likely: likely_readings(number, is_right, with_check),
    }
}

fn imei_notes(digits: &str) -> Vec<IdentifierNote> {
    if digits.chars().all(|digit| digit == '0') {
        return vec![IdentifierNote::NotProgrammed];
    }
    // GSMA TS.06, reporting body identifiers: 00 and 02 to 09 are for tests; 01 is a body of its own.
    let test = digits.starts_with('0') && !digits.starts_with("01");
    if test {
        vec![IdentifierNote::TestNumber]
    } else {
        Vec::new()
    }
}

fn imei(packed: &str) -> Option<Reading> {
    if !all_digits(packed) {
        return None;
    }
    let mut notes = imei_notes(packed);
    let (canonical, check) = match packed.len() {
        IMEI_BODY_LENGTH => {
            notes.push(IdentifierNote::CheckDigitComputed);
            (format!("{packed}{}", luhn_10(packed)?), Verdict::None)
        }
        IMEI_LENGTH => (packed.to_owned(), judge_last(packed, luhn_10)),
        IMEI_AND_VERSION_LENGTH => {
            notes.push(IdentifierNote::SoftwareVersionLeftOut);
            let number = &packed[..IMEI_LENGTH];
            (number.to_owned(), judge_last(number, luhn_10))
        }
        _ => return None,
    };
    Some(Reading {
        kind: IdentifierKind::Imei,
        canonical,
        check,
        notes,
    })
}

/// The URN form, whose last field is a spare 0 and not the check digit (RFC 7254, 3GPP TS 24.229).
fn imei_urn(plain: &str) -> Option<Reading> {
    let body = plain.strip_prefix(URN)?.split(';').next()?;
    let mut fields = body.split('-');
    let digits = format!("{}{}", fields.next()?, fields.next()?);
    (digits.len() == IMEI_BODY_LENGTH)
        .then(|| imei(&digits))
        .flatten()
}

fn imeisv(packed: &str) -> Option<Reading> {
    if packed.len() != IMEISV_LENGTH || !all_digits(packed) {
        return None;
    }
    // The version stands in place of the check digit, so there is nothing to check.
    Some(Reading {
        kind: IdentifierKind::Imeisv,
        canonical: packed.to_owned(),
        check: Verdict::None,
        notes: imei_notes(packed),
    })
}

/// The check digit of a MEID: base 16, or the IMEI's own where all digits are decimal.
fn meid_check(payload: &str) -> Option<char> {
    if all_digits(payload) {
        luhn_10(payload)
    } else {
        luhn_16(payload)
    }
}

fn is_meid(hex: &str) -> bool {
    let region = hex
        .get(..2)
        .and_then(|octet| u32::from_str_radix(octet, 16).ok());
    all_hex(hex)
        && hex.len() == IMEI_BODY_LENGTH
        && (region.is_some_and(|region| region >= MEID_REGION_MIN)
            || (all_digits(hex) && hex.starts_with(SHARED_RANGE)))
}

fn meid(packed: &str) -> Option<Reading> {
    if all_digits(packed) && matches!(packed.len(), MEID_DECIMAL_LENGTH | 19) {
        return meid_decimal(packed);
    }
    if !all_hex(packed) || packed.len() < IMEI_BODY_LENGTH || !is_meid(&packed[..IMEI_BODY_LENGTH])
    {
        return None;
    }
    let (body, check) = match packed.len() {
        IMEI_BODY_LENGTH => (packed, Verdict::None),
        IMEI_LENGTH => (packed, judge_last(packed, meid_check)),
        _ => return None,
    };
    // A right check digit says no more; a wrong one is kept, so that what was read can be compared.
    let canonical = if check.is_wrong() {
        body
    } else {
        &body[..IMEI_BODY_LENGTH]
    };
    Some(Reading {
        kind: IdentifierKind::Meid,
        canonical: canonical.to_owned(),
        check,
        notes: Vec::new(),
    })
}

/// The decimal form: 8 hexadecimal digits as 10 decimal ones, 6 as 8, and perhaps a Luhn check digit.
fn meid_decimal(packed: &str) -> Option<Reading> {
    const UPPER_LENGTH: usize = 10;
    let body = &packed[..MEID_DECIMAL_LENGTH];
    let upper: u64 = body[..UPPER_LENGTH].parse().ok()?;
    let lower: u64 = body[UPPER_LENGTH..].parse().ok()?;
    if upper > 0xFFFF_FFFF || lower > 0x00FF_FFFF {
        return None;
    }
    let canonical = format!("{upper:08X}{lower:06X}");
    if !is_meid(&canonical) {
        return None;
    }
    let check = if packed.len() == MEID_DECIMAL_LENGTH {
        Verdict::None
    } else {
        judge_last(packed, luhn_10)
    };
    Some(Reading {
        kind: IdentifierKind::Meid,
        canonical,
        check,
        notes: Vec::new(),
    })
}

/// 3 decimal digits for the first octet and 8 for the other three, or 8 hexadecimal digits. From memory.
fn esn(packed: &str) -> Option<Reading> {
    const MAKER_LENGTH: usize = 3;
    let canonical = match packed.len() {
        ESN_LENGTH if all_hex(packed) => packed.to_owned(),
        ESN_DECIMAL_LENGTH if all_digits(packed) => {
            let maker: u32 = packed[..MAKER_LENGTH].parse().ok()?;
            let serial: u32 = packed[MAKER_LENGTH..].parse().ok()?;
            if maker > 0xFF || serial > 0x00FF_FFFF {
                return None;
            }
            format!("{maker:02X}{serial:06X}")
        }
        _ => return None,
    };
    Some(Reading {
        kind: IdentifierKind::Esn,
        canonical,
        check: Verdict::None,
        notes: Vec::new(),
    })
}

fn eid(packed: &str) -> Option<Reading> {
    if packed.len() != EID_LENGTH || !all_digits(packed) {
        return None;
    }
    let body = &packed[..EID_LENGTH - 2];
    let is_right = |candidate: &str| all_digits(candidate) && remainder(candidate, 97) == Some(1);
    let check = if is_right(packed) {
        Verdict::Right
    } else {
        let with_check = mod_97_10(body).map(|check| format!("{body}{check}"));
        Verdict::Wrong {
            likely: likely_readings(packed, is_right, with_check),
        }
    };
    let notes = if packed.starts_with(TELECOM) {
        Vec::new()
    } else {
        vec![IdentifierNote::UnusualBeginning]
    };
    Some(Reading {
        kind: IdentifierKind::Eid,
        canonical: packed.to_owned(),
        check,
        notes,
    })
}

fn iccid(packed: &str) -> Option<Reading> {
    let digits = packed.trim_end_matches('F');
    if !ICCID_LENGTHS.contains(&digits.len()) || !all_digits(digits) || !digits.starts_with(TELECOM)
    {
        return None;
    }
    let notes = if digits.len() < packed.len() {
        vec![IdentifierNote::FillingLeftOut]
    } else {
        Vec::new()
    };
    let check = judge_last(digits, luhn_10);
    Some(Reading {
        kind: IdentifierKind::Iccid,
        canonical: digits.to_owned(),
        check,
        notes,
    })
}

fn mac(packed: &str) -> Option<Reading> {
    const GROUP_BIT: u8 = 0b01;
    const LOCAL_BIT: u8 = 0b10;
    const WITHHELD: &str = "020000000000";
    if packed.len() != MAC_LENGTH || !all_hex(packed) {
        return None;
    }
    let first = u8::from_str_radix(&packed[..2], 16).ok()?;
    let note = if packed.chars().all(|digit| digit == '0') {
        Some(IdentifierNote::NotProgrammed)
    } else if first & GROUP_BIT != 0 {
        Some(IdentifierNote::GroupAddress)
    } else if packed == WITHHELD {
        Some(IdentifierNote::Withheld)
    } else if first & LOCAL_BIT != 0 {
        Some(IdentifierNote::LocallyAdministered)
    } else {
        None
    };
    let octets: Vec<&str> = (0..MAC_LENGTH)
        .step_by(2)
        .map(|index| &packed[index..index + 2])
        .collect();
    Some(Reading {
        kind: IdentifierKind::Mac,
        canonical: octets.join(":"),
        check: Verdict::None,
        notes: note.into_iter().collect(),
    })
}
