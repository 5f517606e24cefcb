//! Numbers of the question: decimals kept exactly in millionths, and whole numbers.
//!
//! No value passes through a floating-point sum: a decimal is read from the digits it was written with.

use std::fmt;

use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::cells::book::scaled;

/// A decimal number with up to six decimals, such as watt-hours or grams, kept in millionths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(type = "number"))]
pub struct Millionths(pub i64);

/// Decimals that are kept.
const DECIMALS: usize = 6;

impl Millionths {
    /// Reads the digits of a decimal number.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        let (negative, digits) = match text.strip_prefix('-') {
            Some(digits) => (true, digits),
            None => (false, text),
        };
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        let fraction = fraction.trim_end_matches('0');
        let only_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if whole.is_empty()
            || !only_digits(whole)
            || !only_digits(fraction)
            || fraction.len() > DECIMALS
        {
            return None;
        }
        let magnitude: i64 = format!("{whole}{fraction:0<DECIMALS$}").parse().ok()?;
        Some(Self(if negative { -magnitude } else { magnitude }))
    }
}

impl fmt::Display for Millionths {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&scaled(self.0, 6))
    }
}

impl Serialize for Millionths {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let number: serde_json::Number = self
            .to_string()
            .parse()
            .map_err(serde::ser::Error::custom)?;
        number.serialize(serializer)
    }
}

struct DecimalVisitor;

impl Visitor<'_> for DecimalVisitor {
    type Value = Millionths;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a decimal number with up to six decimals, such as 19.4")
    }

    fn visit_u64<E: de::Error>(self, value: u64) -> Result<Millionths, E> {
        self.visit_str(&value.to_string())
    }

    fn visit_i64<E: de::Error>(self, value: i64) -> Result<Millionths, E> {
        self.visit_str(&value.to_string())
    }

    fn visit_f64<E: de::Error>(self, value: f64) -> Result<Millionths, E> {
        // The shortest text that reads back as the same number is the one that was written.
        self.visit_str(&value.to_string())
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Millionths, E> {
        Millionths::parse(text).ok_or_else(|| {
            E::custom(format!(
                "“{text}” is not a decimal number with up to six decimals; write it like 19.4"
            ))
        })
    }
}

impl<'de> Deserialize<'de> for Millionths {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(DecimalVisitor)
    }
}

struct WholeVisitor;

impl Visitor<'_> for WholeVisitor {
    type Value = Option<i64>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a whole number, such as 3200")
    }

    fn visit_unit<E: de::Error>(self) -> Result<Self::Value, E> {
        Ok(None)
    }

    fn visit_none<E: de::Error>(self) -> Result<Self::Value, E> {
        Ok(None)
    }

    fn visit_i64<E: de::Error>(self, value: i64) -> Result<Self::Value, E> {
        Ok(Some(value))
    }

    fn visit_u64<E: de::Error>(self, value: u64) -> Result<Self::Value, E> {
        i64::try_from(value)
            .map(Some)
            .map_err(|_| E::custom(format!("{value} is more than any parcel holds")))
    }

    fn visit_f64<E: de::Error>(self, value: f64) -> Result<Self::Value, E> {
        Err(E::custom(format!(
            "{value} is not a whole number; write whole millivolts, milliampere-hours, grams, percent or pieces, such as 3200"
        )))
    }
}

/// Reads a whole number or null.
pub(super) fn whole<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<i64>, D::Error> {
    deserializer.deserialize_any(WholeVisitor)
}
