//! Measured values: an integer in millionths of a unit, its unit, its uncertainty, and the limits it is judged by.
//!
//! No floating point: a reading prints as it was typed on every machine.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Units in which tests are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Unit {
    /// Volt.
    Volt,
    /// Ampere.
    Ampere,
    /// Watt.
    Watt,
    /// Ohm.
    Ohm,
    /// Second.
    Second,
    /// Degree Celsius.
    Celsius,
    /// Percent.
    Percent,
    /// Decibel-milliwatt.
    DecibelMilliwatt,
    /// A plain number of things.
    Count,
}

impl Unit {
    /// The symbol of the International System, or the usual sign.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Volt => "V",
            Self::Ampere => "A",
            Self::Watt => "W",
            Self::Ohm => "Ω",
            Self::Second => "s",
            Self::Celsius => "°C",
            Self::Percent => "%",
            Self::DecibelMilliwatt => "dBm",
            Self::Count => "",
        }
    }

    /// The unit in a sentence: its sign, or the word where it has none.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Count => "whole numbers",
            other => other.symbol(),
        }
    }

    /// True where a value below zero makes no sense.
    pub const fn is_never_negative(self) -> bool {
        matches!(self, Self::Second | Self::Count | Self::Percent | Self::Ohm)
    }
}

/// A measured value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Reading {
    /// Millionths of the unit.
    pub micro: i64,
    /// The unit.
    pub unit: Unit,
    /// Expanded uncertainty of the instrument (k = 2), in millionths of the unit, if known.
    pub uncertainty_micro: Option<i64>,
}

/// A typed number that is not one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadingError {
    /// Not a decimal number.
    #[error("“{text}” is not a number; write it like 3.82 or 3,82")]
    NotANumber {
        /// What was typed.
        text: String,
    },
    /// More than six decimals, or out of range.
    #[error(
        "“{text}” has more digits than a bench reading can; use at most six decimals and twelve digits before them"
    )]
    TooManyDigits {
        /// What was typed.
        text: String,
    },
    /// A unit that measures something else.
    #[error(
        "this test is read in {wanted}, but “{text}” is in {typed}; measure again, or check which test is at hand"
    )]
    OtherUnit {
        /// What was typed.
        text: String,
        /// The unit typed.
        typed: &'static str,
        /// The unit of the test.
        wanted: &'static str,
    },
    /// Letters that are no unit.
    #[error("“{typed}” is no unit here; write the number in {wanted}, or leave the unit out")]
    NoUnit {
        /// The letters typed.
        typed: String,
        /// The unit of the test.
        wanted: &'static str,
    },
}

/// Reads a typed decimal number, with point or comma, into millionths.
pub fn parse_micro(text: &str) -> Result<i64, ReadingError> {
    let trimmed = text.trim();
    let not_a_number = || ReadingError::NotANumber {
        text: text.to_owned(),
    };
    let (negative, digits) = match trimmed.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, trimmed.strip_prefix('+').unwrap_or(trimmed)),
    };
    let (whole, fraction) = digits.split_once(['.', ',']).unwrap_or((digits, ""));
    let all_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if (whole.is_empty() && fraction.is_empty()) || !all_digits(whole) || !all_digits(fraction) {
        return Err(not_a_number());
    }
    if whole.len() > 12 || fraction.len() > 6 {
        return Err(ReadingError::TooManyDigits {
            text: text.to_owned(),
        });
    }
    let whole: i64 = if whole.is_empty() {
        0
    } else {
        whole.parse().map_err(|_| not_a_number())?
    };
    let fraction: i64 = format!("{fraction:0<6}")
        .parse()
        .map_err(|_| not_a_number())?;
    let micro = whole * 1_000_000 + fraction;
    Ok(if negative { -micro } else { micro })
}

/// What may stand behind a number: letters, the unit they belong to, the power of ten, and a factor.
const SUFFIXES: &[(&str, Unit, i32, i64)] = &[
    ("V", Unit::Volt, 0, 1),
    ("mV", Unit::Volt, -3, 1),
    ("µV", Unit::Volt, -6, 1),
    ("uV", Unit::Volt, -6, 1),
    ("kV", Unit::Volt, 3, 1),
    ("A", Unit::Ampere, 0, 1),
    ("mA", Unit::Ampere, -3, 1),
    ("µA", Unit::Ampere, -6, 1),
    ("uA", Unit::Ampere, -6, 1),
    ("W", Unit::Watt, 0, 1),
    ("mW", Unit::Watt, -3, 1),
    ("kW", Unit::Watt, 3, 1),
    ("Ω", Unit::Ohm, 0, 1),
    ("ohm", Unit::Ohm, 0, 1),
    ("R", Unit::Ohm, 0, 1),
    ("mΩ", Unit::Ohm, -3, 1),
    ("mohm", Unit::Ohm, -3, 1),
    ("kΩ", Unit::Ohm, 3, 1),
    ("kohm", Unit::Ohm, 3, 1),
    ("k", Unit::Ohm, 3, 1),
    ("MΩ", Unit::Ohm, 6, 1),
    ("Mohm", Unit::Ohm, 6, 1),
    ("s", Unit::Second, 0, 1),
    ("sec", Unit::Second, 0, 1),
    ("ms", Unit::Second, -3, 1),
    ("min", Unit::Second, 0, 60),
    ("h", Unit::Second, 0, 3_600),
    ("°C", Unit::Celsius, 0, 1),
    ("C", Unit::Celsius, 0, 1),
    ("%", Unit::Percent, 0, 1),
    ("dBm", Unit::DecibelMilliwatt, 0, 1),
];

/// Reads a typed reading into millionths of the unit: a number, alone or with its unit and prefix (“940 mA”); a time also as
/// minutes and seconds (“2:05.3”). A unit of another kind is refused by its name.
pub fn parse_reading(text: &str, unit: Unit) -> Result<i64, ReadingError> {
    // The micro and ohm signs have twins for old character sets (U+00B5, U+2126).
    let plain = text.trim().replace('μ', "µ").replace('\u{2126}', "Ω");
    if unit == Unit::Second
        && let Some((minutes, seconds)) = plain.split_once(':')
    {
        return parse_minutes(text, minutes, seconds);
    }
    let end = plain
        .find(|letter: char| !(letter.is_ascii_digit() || "+-−.,".contains(letter)))
        .unwrap_or(plain.len());
    let (number, letters) = (&plain[..end], plain[end..].trim());
    if number.is_empty() || letters.is_empty() {
        return parse_micro(&plain).map_err(|error| with_text(error, text));
    }
    let known = |exact: bool| {
        SUFFIXES
            .iter()
            .find(|(suffix, of, ..)| (!exact || *of == unit) && *suffix == letters)
    };
    let Some((_, of, power, factor)) = known(true).or_else(|| known(false)) else {
        return Err(ReadingError::NoUnit {
            typed: letters.to_owned(),
            wanted: unit.name(),
        });
    };
    if *of != unit {
        return Err(ReadingError::OtherUnit {
            text: text.trim().to_owned(),
            typed: of.name(),
            wanted: unit.name(),
        });
    }
    scaled(number, *power, *factor).map_err(|error| with_text(error, text))
}

/// Names the whole of what was typed, not the part that was looked at.
fn with_text(error: ReadingError, text: &str) -> ReadingError {
    let text = text.trim().to_owned();
    match error {
        ReadingError::NotANumber { .. } => ReadingError::NotANumber { text },
        ReadingError::TooManyDigits { .. } => ReadingError::TooManyDigits { text },
        other => other,
    }
}

fn parse_minutes(text: &str, minutes: &str, seconds: &str) -> Result<i64, ReadingError> {
    let not_a_number = || ReadingError::NotANumber {
        text: text.trim().to_owned(),
    };
    let whole: i64 = minutes.trim().parse().map_err(|_| not_a_number())?;
    let rest = parse_micro(seconds.trim()).map_err(|_| not_a_number())?;
    if !(0..10_000).contains(&whole) || !(0..60_000_000).contains(&rest) {
        return Err(not_a_number());
    }
    Ok(whole * 60_000_000 + rest)
}

/// A decimal number times a power of ten and a factor, in millionths, exactly or not at all.
fn scaled(number: &str, power: i32, factor: i64) -> Result<i64, ReadingError> {
    let too_many = || ReadingError::TooManyDigits {
        text: number.to_owned(),
    };
    // Move the point in the text first, so that no digit is lost on the way.
    let (whole, fraction) = number.split_once(['.', ',']).unwrap_or((number, ""));
    let moved = if power >= 0 {
        let places = usize::try_from(power).unwrap_or(0);
        let padded = format!("{fraction:0<places$}");
        if !padded.is_char_boundary(places) {
            return Err(ReadingError::NotANumber {
                text: number.to_owned(),
            });
        }
        format!("{whole}{}.{}", &padded[..places], &padded[places..])
    } else {
        let places = usize::try_from(-power).unwrap_or(0);
        let (sign, digits) = match whole.strip_prefix(['-', '−', '+']) {
            Some(rest) => (&whole[..whole.len() - rest.len()], rest),
            None => ("", whole),
        };
        let padded = format!("{digits:0>places$}");
        let at = padded.len() - places;
        if !padded.is_char_boundary(at) {
            return Err(ReadingError::NotANumber {
                text: number.to_owned(),
            });
        }
        let tail = format!("{}{fraction}", &padded[at..]);
        // Zeros behind the last digit say nothing a reading can't hold.
        format!("{sign}{}.{}", &padded[..at], tail.trim_end_matches('0'))
    };
    let moved = if moved.ends_with('.') {
        format!("{moved}0")
    } else {
        moved
    };
    let micro = parse_micro(&moved)?;
    micro.checked_mul(factor).ok_or_else(too_many)
}

/// Writes millionths as a decimal number with a point, without trailing zeros.
pub fn format_micro(micro: i64) -> String {
    let sign = if micro < 0 { "−" } else { "" };
    let magnitude = micro.unsigned_abs();
    let fraction = format!("{:06}", magnitude % 1_000_000);
    let fraction = fraction.trim_end_matches('0');
    let whole = magnitude / 1_000_000;
    if fraction.is_empty() {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{fraction}")
    }
}

/// An uncertainty as it is said: two significant digits, rounded up, so that it is never said to be less than it is (JCGM 100:2008,
/// 7.2.6, from memory). What is kept and judged by has all its digits.
fn two_digits_up(micro: i64) -> i64 {
    let mut step = 1;
    while micro / step >= 100 {
        step *= 10;
    }
    micro.saturating_add(step - 1) / step * step
}

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", format_micro(self.micro))?;
        if let Some(uncertainty) = self.uncertainty_micro {
            write!(f, " ± {}", format_micro(two_digits_up(uncertainty)))?;
        }
        match self.unit.symbol() {
            "" => Ok(()),
            symbol => write!(f, " {symbol}"),
        }
    }
}

/// What passes: a value between the two, both inclusive. A missing side is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Limits {
    /// The lowest value that passes, in millionths of the unit.
    pub low_micro: Option<i64>,
    /// The highest value that passes, in millionths of the unit.
    pub high_micro: Option<i64>,
}

impl Limits {
    /// Judges by simple acceptance (JCGM 106:2012, 8.2): the measured value itself decides, whatever its uncertainty.
    pub fn accept(&self, micro: i64) -> bool {
        self.low_micro.is_none_or(|low| micro >= low)
            && self.high_micro.is_none_or(|high| micro <= high)
    }

    /// True when the uncertainty reaches across a limit, so that the judgement could be wrong either way.
    pub fn is_close(&self, reading: &Reading) -> bool {
        let reach = reading.uncertainty_micro.unwrap_or(0);
        let near =
            |limit: Option<i64>| limit.is_some_and(|limit| (reading.micro - limit).abs() < reach);
        near(self.low_micro) || near(self.high_micro)
    }

    /// The limits in words with their unit, such as “3.6 to 4.4 V”; empty when both sides are open.
    pub fn words(&self, unit: Unit) -> String {
        let text = match (self.low_micro, self.high_micro) {
            (Some(low), Some(high)) => format!("{} to {}", format_micro(low), format_micro(high)),
            (Some(low), None) => format!("at least {}", format_micro(low)),
            (None, Some(high)) => format!("at most {}", format_micro(high)),
            (None, None) => return String::new(),
        };
        if unit.symbol().is_empty() {
            text
        } else {
            format!("{text} {}", unit.symbol())
        }
    }
}

#[cfg(test)]
mod tests;
