//! What is printed on a cell, and reading what people type from it.
//!
//! Energy is counted in microwatt-hours, so that volts times ampere-hours is exact and a limit is compared without
//! rounding. A value that no cell of a mailed device can have is refused with what was probably meant.

use serde::{Deserialize, Serialize};

use crate::identifiers::plain;

/// The figures printed on a cell or battery.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "CellRating"))]
pub struct Rating {
    /// The watt-hours printed, in microwatt-hours: 19.4 Wh is 19400000.
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub label_uwh: Option<u64>,
    /// Nominal voltage, in millivolts.
    pub nominal_mv: Option<u32>,
    /// Rated capacity, in milliampere-hours. Where two are printed (rated, typical), the larger.
    pub capacity_mah: Option<u32>,
    /// The highest charge voltage printed, in millivolts, over the whole battery.
    pub charge_max_mv: Option<u32>,
}

impl Rating {
    /// The energy: as printed, or else nominal voltage times rated capacity (49 CFR 171.8: volts times ampere-hours).
    ///
    /// `None` when neither is known. The maker's declared figure rules, even where the product differs (PHMSA 22-0113).
    pub fn energy_uwh(&self) -> Option<u64> {
        self.label_uwh.or_else(|| self.product_uwh())
    }

    /// Nominal voltage times rated capacity, exactly: millivolts times milliampere-hours are microwatt-hours.
    pub fn product_uwh(&self) -> Option<u64> {
        Some(u64::from(self.nominal_mv?) * u64::from(self.capacity_mah?))
    }
}

/// Energy for people: watt-hours with two decimals, half up. For show only; limits are compared in microwatt-hours.
pub fn energy_text(uwh: u64) -> String {
    const PER_HUNDREDTH: u64 = 10_000;
    let hundredths = (uwh + PER_HUNDREDTH / 2) / PER_HUNDREDTH;
    format!("{}.{:02} Wh", hundredths / 100, hundredths % 100)
}

/// Why a typed value was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadingError {
    /// Not a number with a unit.
    #[error("“{text}” is not a {quantity}; write it like {example}")]
    NotANumber {
        /// What was typed.
        text: String,
        /// What was wanted.
        quantity: &'static str,
        /// How it would be right.
        example: &'static str,
    },
    /// More decimals than are kept.
    #[error("“{text}” has more decimals than a {quantity} needs; write it like {example}")]
    TooFine {
        /// What was typed.
        text: String,
        /// What was wanted.
        quantity: &'static str,
        /// How it would be right.
        example: &'static str,
    },
    /// A value that no such cell has.
    #[error("a {quantity} of “{text}” can't be right: it must lie between {min} and {max}{}", meant.as_ref().map(|meant| format!("; did you mean {meant}?")).unwrap_or_default())]
    Absurd {
        /// What was typed.
        text: String,
        /// What was wanted.
        quantity: &'static str,
        /// The least that is believed.
        min: String,
        /// The most that is believed.
        max: String,
        /// What was probably meant.
        meant: Option<String>,
    },
}

/// A unit and how many of the smallest kept unit it is.
type Unit = (&'static str, u64);

/// A quantity as it is typed.
struct Quantity {
    name: &'static str,
    example: &'static str,
    /// The first is taken when none is typed.
    units: &'static [Unit],
    /// In the smallest kept unit: what is believed of a cell or battery in a mailed device. Common practice, no source.
    min: u64,
    max: u64,
    /// Whether a comma before three digits divides thousands in the text.
    thousands_usual: fn(&str) -> bool,
}

/// A button cell of a few mAh up to a large laptop battery, with room above.
const CAPACITY: Quantity = Quantity {
    name: "capacity",
    example: "3200 mAh",
    units: &[("MAH", 1), ("AH", 1000)],
    min: 5,
    max: 60_000,
    thousands_usual: |_| true,
};
/// A discharged cell reads near 0 V; sixteen cells in series reach 70 V.
const VOLTAGE: Quantity = Quantity {
    name: "voltage",
    example: "3.85 V",
    units: &[("V", 1000), ("MV", 1)],
    min: 0,
    max: 75_000,
    thousands_usual: |text| text.ends_with("MV"),
};
/// From a button cell to well above any laptop battery.
const ENERGY: Quantity = Quantity {
    name: "energy",
    example: "19.4 Wh",
    units: &[("WH", 1_000_000), ("MWH", 1000)],
    min: 10_000,
    max: 1_000_000_000,
    thousands_usual: |_| true,
};

/// Reads a capacity: `3200 mAh`, `3.2 Ah`, or a bare number of mAh.
pub fn parse_capacity_mah(text: &str) -> Result<u32, ReadingError> {
    CAPACITY.parse(text).map(small)
}

/// Reads a voltage: `3.85 V`, `3850 mV`, or a bare number of volts.
pub fn parse_voltage_mv(text: &str) -> Result<u32, ReadingError> {
    VOLTAGE.parse(text).map(small)
}

/// Reads an energy: `19.4 Wh`, or a bare number of watt-hours.
pub fn parse_energy_uwh(text: &str) -> Result<u64, ReadingError> {
    ENERGY.parse(text)
}

/// Reads a temperature: `23.5 °C`, `74 F`, or a bare number of degrees Celsius.
pub fn parse_temperature_tenths_c(text: &str) -> Result<i32, ReadingError> {
    const NAME: &str = "temperature";
    const EXAMPLE: &str = "23.5 °C";
    // Below the coldest vehicle and above the hottest cell that anyone would stand beside. Common practice, no source.
    const TENTHS: std::ops::RangeInclusive<i64> = -500..=10_000;
    let packed = packed(text, |_| false);
    let not_a_number = || ReadingError::NotANumber {
        text: text.trim().to_owned(),
        quantity: NAME,
        example: EXAMPLE,
    };
    let (number, fahrenheit) = match packed.strip_suffix('F') {
        Some(number) => (number, true),
        None => (packed.strip_suffix('C').unwrap_or(&packed), false),
    };
    let number = number.trim_end_matches(['°', 'º']);
    let (sign, number) = number
        .strip_prefix('-')
        .map_or((1, number), |rest| (-1, rest));
    let tenths = match decimal(number, 10) {
        Decimal::Exact(tenths) => sign * i64::try_from(tenths).map_err(|_| not_a_number())?,
        Decimal::TooFine => {
            return Err(ReadingError::TooFine {
                text: text.trim().to_owned(),
                quantity: NAME,
                example: EXAMPLE,
            });
        }
        Decimal::NotANumber => return Err(not_a_number()),
    };
    // The freezing point is 32 °F, and nine degrees Fahrenheit are five Celsius; rounded to the nearest tenth.
    let tenths_c = if fahrenheit {
        ((tenths - 320) * 10 + 9).div_euclid(18)
    } else {
        tenths
    };
    let absurd = || ReadingError::Absurd {
        text: text.trim().to_owned(),
        quantity: NAME,
        min: "-50 °C".to_owned(),
        max: "1000 °C".to_owned(),
        meant: None,
    };
    if !TENTHS.contains(&tenths_c) {
        return Err(absurd());
    }
    i32::try_from(tenths_c).map_err(|_| absurd())
}

fn small(value: u64) -> u32 {
    u32::try_from(value).expect("the largest value believed fits 32 bits")
}

impl Quantity {
    fn parse(&self, text: &str) -> Result<u64, ReadingError> {
        let packed = packed(text, self.thousands_usual);
        let typed = text.trim().to_owned();
        let not_a_number = || ReadingError::NotANumber {
            text: typed.clone(),
            quantity: self.name,
            example: self.example,
        };
        let unit = self
            .units
            .iter()
            .filter(|(name, _)| packed.ends_with(name))
            .max_by_key(|(name, _)| name.len());
        let number = unit.map_or(packed.as_str(), |(name, _)| {
            &packed[..packed.len() - name.len()]
        });
        let &(_, factor) = unit.unwrap_or(&self.units[0]);
        let value = match decimal(number, factor) {
            Decimal::Exact(value) => value,
            // Too fine in this unit may be just right in another: "3.2 mAh" was meant as ampere-hours.
            Decimal::TooFine if self.other_unit(number, factor).is_some() => {
                return Err(self.absurd(typed, number, factor));
            }
            Decimal::TooFine => {
                return Err(ReadingError::TooFine {
                    text: typed,
                    quantity: self.name,
                    example: self.example,
                });
            }
            Decimal::NotANumber => return Err(not_a_number()),
        };
        if (self.min..=self.max).contains(&value) {
            Ok(value)
        } else {
            Err(self.absurd(typed, number, factor))
        }
    }

    /// The error for a value beyond belief, with the same number in another unit where that would be believed.
    fn absurd(&self, text: String, number: &str, factor: u64) -> ReadingError {
        ReadingError::Absurd {
            text,
            quantity: self.name,
            min: self.shown(self.min),
            max: self.shown(self.max),
            meant: self.other_unit(number, factor),
        }
    }

    /// The number with another unit, if that would be believed.
    fn other_unit(&self, number: &str, factor: u64) -> Option<String> {
        let mut others = self.units.iter().filter(|(_, other)| *other != factor);
        others.find_map(|(name, other)| match decimal(number, *other) {
            Decimal::Exact(value) if (self.min..=self.max).contains(&value) => {
                Some(format!("{number} {}", shown_unit(name)))
            }
            _ => None,
        })
    }

    fn shown(&self, value: u64) -> String {
        let &(name, factor) = &self.units[0];
        let shown = format!(
            "{}.{:06}",
            value / factor,
            value % factor * (1_000_000 / factor)
        );
        format!(
            "{} {}",
            shown.trim_end_matches('0').trim_end_matches('.'),
            shown_unit(name)
        )
    }
}

/// Units are compared in upper case and shown as they are written.
fn shown_unit(name: &str) -> &'static str {
    match name {
        "MAH" => "mAh",
        "AH" => "Ah",
        "V" => "V",
        "MV" => "mV",
        "WH" => "Wh",
        _ => "mWh",
    }
}

/// Upper case, without spaces, apostrophes and a comma that divides thousands; a decimal comma becomes a point.
///
/// Where thousands are usual, "3,200" is read so and "0,500" as a fraction.
fn packed(text: &str, thousands_usual: impl Fn(&str) -> bool) -> String {
    const GROUP_LENGTH: usize = 3;
    let packed: String = plain(text)
        .chars()
        .filter(|character| !matches!(character, ' ' | '\'' | '’'))
        .collect();
    let number = packed.trim_end_matches(|character: char| !character.is_ascii_digit());
    let grouped = number
        .split_once(',')
        .is_some_and(|(whole, rest)| rest.len() == GROUP_LENGTH && whole != "0");
    let comma_is = if grouped && thousands_usual(&packed) {
        ""
    } else {
        "."
    };
    packed.replacen(',', comma_is, 1)
}

enum Decimal {
    Exact(u64),
    TooFine,
    NotANumber,
}

/// The number times `factor`, if that is whole.
fn decimal(number: &str, factor: u64) -> Decimal {
    let (whole, fraction) = number.split_once('.').unwrap_or((number, ""));
    let fraction = fraction.trim_end_matches('0');
    let digits = |text: &str| text.chars().all(|character| character.is_ascii_digit());
    if whole.is_empty() || !digits(whole) || !digits(fraction) {
        return Decimal::NotANumber;
    }
    let scale = u32::try_from(fraction.len())
        .ok()
        .and_then(|length| 10_u64.checked_pow(length));
    let (Ok(whole), Some(scale)) = (whole.parse::<u64>(), scale) else {
        return Decimal::NotANumber;
    };
    let fraction = if fraction.is_empty() {
        0
    } else {
        fraction.parse::<u64>().unwrap_or_default()
    };
    let (Some(whole), Some(part)) = (whole.checked_mul(factor), fraction.checked_mul(factor))
    else {
        return Decimal::NotANumber;
    };
    if part % scale == 0 {
        whole
            .checked_add(part / scale)
            .map_or(Decimal::NotANumber, Decimal::Exact)
    } else {
        Decimal::TooFine
    }
}
