//! The check-digit rules that the trade's numbers use, over plain text.
//!
//! Each rule answers two questions: which check character belongs to a payload, and is a whole number right. Nothing here
//! knows what the number is for, and nothing here refuses a number: a text with a character outside a rule's alphabet has
//! no check character and is not right.

/// The value of a decimal digit, or nothing.
fn decimal(character: char) -> Option<u32> {
    character.to_digit(10)
}

/// Luhn in the given base, over the payload without its check digit: every second digit from the right is doubled and the
/// digits of the product are added. ISO/IEC 7812-1 for base 10; base 16 is the MEID's (3GPP2 S.R0048).
fn luhn(payload: &str, base: u32) -> Option<char> {
    if payload.is_empty() {
        return None;
    }
    let mut sum = 0;
    for (index, character) in payload.chars().rev().enumerate() {
        let value = character.to_digit(base)?;
        let weighted = if index % 2 == 0 { value * 2 } else { value };
        sum += weighted / base + weighted % base;
    }
    char::from_digit((base - sum % base) % base, base).map(|check| check.to_ascii_uppercase())
}

/// The Luhn check digit of a decimal payload (ISO/IEC 7812-1; 3GPP TS 23.003 annex B for the IMEI).
pub fn luhn_10(payload: &str) -> Option<char> {
    luhn(payload, 10)
}

/// The Luhn check digit in base 16 of a hexadecimal payload, in upper case.
pub fn luhn_16(payload: &str) -> Option<char> {
    luhn(payload, 16)
}

/// Weights taken in turn from the left; the check digit fills the sum up to the next ten.
///
/// Letters count (ASCII - 3) mod 10, so A is 2 and I is 0, as the carriers that mix letters in do.
pub fn weighted_mod_10(payload: &str, weights: [u32; 2]) -> Option<char> {
    if payload.is_empty() {
        return None;
    }
    let mut sum = 0;
    for (index, character) in payload.chars().enumerate() {
        let value = match character {
            '0'..='9' => decimal(character)?,
            'A'..='Z' => (u32::from(character) - 3) % 10,
            _ => return None,
        };
        sum += value * weights[index % 2];
    }
    char::from_digit((10 - sum % 10) % 10, 10)
}

/// The GS1 check digit: weights 3, 1, 3 … from the right (GS1 General Specifications 7.9).
pub fn gs1_mod_10(payload: &str) -> Option<char> {
    let weights = if payload.len() % 2 == 1 {
        [3, 1]
    } else {
        [1, 3]
    };
    payload
        .chars()
        .all(|character| character.is_ascii_digit())
        .then(|| weighted_mod_10(payload, weights))
        .flatten()
}

/// The UPU S10 check digit of eight digits: weights 8 6 4 2 3 5 9 7, eleven minus the sum mod 11, 10 becoming 0 and 11 five.
pub fn s10(payload: &str) -> Option<char> {
    const WEIGHTS: [u32; 8] = [8, 6, 4, 2, 3, 5, 9, 7];
    if payload.len() != WEIGHTS.len() {
        return None;
    }
    let mut sum = 0;
    for (character, weight) in payload.chars().zip(WEIGHTS) {
        sum += decimal(character)? * weight;
    }
    let check = match 11 - sum % 11 {
        10 => 0,
        11 => 5,
        check => check,
    };
    char::from_digit(check, 10)
}

/// Weights taken in turn from the left; the check digit is the sum mod 11, then mod 10.
pub fn weighted_mod_11_10(payload: &str, weights: [u32; 3]) -> Option<char> {
    if payload.is_empty() {
        return None;
    }
    let mut sum = 0;
    for (index, character) in payload.chars().enumerate() {
        sum += decimal(character)? * weights[index % 3];
    }
    char::from_digit(sum % 11 % 10, 10)
}

/// The payload as a number, mod 7.
pub fn mod_7(payload: &str) -> Option<char> {
    remainder(payload, 7).and_then(|check| char::from_digit(check, 10))
}

/// The two check digits that make the whole number leave 1 mod 97 (ISO/IEC 7064 MOD 97-10), as the EID's do.
pub fn mod_97_10(payload: &str) -> Option<String> {
    let remainder = remainder(payload, 97)? * 100 % 97;
    Some(format!("{:02}", 98 - remainder))
}

/// The remainder of a decimal text of any length.
pub fn remainder(digits: &str, modulus: u32) -> Option<u32> {
    if digits.is_empty() {
        return None;
    }
    digits.chars().try_fold(0, |rest, character| {
        Some((rest * 10 + decimal(character)?) % modulus)
    })
}

/// The value of a character in the alphabet 0 to 9, A to Z.
fn alphanumeric(character: char) -> Option<u32> {
    if character.is_ascii_lowercase() {
        None
    } else {
        character.to_digit(36)
    }
}

/// The check character of the hybrid system ISO/IEC 7064 MOD 37,36 over the alphabet 0 to 9, A to Z (upper case).
///
/// It notices every wrong character and nearly every swap of neighbours.
pub fn mod_37_36(payload: &str) -> Option<char> {
    const M: u32 = 36;
    if payload.is_empty() {
        return None;
    }
    let mut product = M;
    for character in payload.chars() {
        let sum = (product + alphanumeric(character)?) % M;
        product = (if sum == 0 { M } else { sum }) * 2 % (M + 1);
    }
    char::from_digit((M + 1 - product) % M, M).map(|check| check.to_ascii_uppercase())
}
