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

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", format_micro(self.micro))?;
        if let Some(uncertainty) = self.uncertainty_micro {
            write!(f, " ± {}", format_micro(uncertainty))?;
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
