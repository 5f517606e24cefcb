//! One row of the rule book: what it says, where from, from when to when, and how sure that is.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::cells::Certainty;

/// What a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "BookRowKind"))]
pub enum RowKind {
    /// From when to when this book knows a regime at all. A ship date outside it is held.
    Edition,
    /// A number that something is compared with, or a list of codes.
    Limit,
    /// A rule of the transport verdict.
    Rule,
    /// A rule of the bench level.
    Bench,
    /// A sentence that stands on every verdict.
    Caution,
}

impl RowKind {
    /// The word on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Edition => "edition",
            Self::Limit => "limit",
            Self::Rule => "transport rule",
            Self::Bench => "bench rule",
            Self::Caution => "caution",
        }
    }
}

/// Whose rule a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "SCREAMING_SNAKE_CASE")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum RuleBody {
    /// United States, 49 CFR.
    UsHmr,
    /// European road, ADR.
    Adr,
    /// Air: ICAO Technical Instructions, IATA regulations.
    Air,
    /// The United States Postal Service.
    Usps,
    /// Posts other than that, and the Universal Postal Union.
    Post,
    /// A carrier's own terms.
    Carrier,
    /// The bench of a repair lab.
    Bench,
    /// Every regime, or this program's own caution.
    Any,
}

impl RuleBody {
    /// The words on screens and papers.
    pub const fn words(self) -> &'static str {
        match self {
            Self::UsHmr => "United States (49 CFR)",
            Self::Adr => "European road (ADR)",
            Self::Air => "air (ICAO, IATA)",
            Self::Usps => "USPS",
            Self::Post => "posts abroad",
            Self::Carrier => "a carrier's terms",
            Self::Bench => "the bench",
            Self::Any => "everywhere",
        }
    }
}

/// The unit of a row's value. Values are integers in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "BookUnit"))]
pub enum RowUnit {
    /// Microwatt-hours.
    Uwh,
    /// Micrograms.
    Ug,
    /// Grams.
    G,
    /// Millimetres.
    Mm,
    /// Percent.
    Percent,
    /// A number of things.
    Pieces,
    /// Millivolts.
    Mv,
    /// Milliampere-hours.
    Mah,
    /// Tenths of a degree Celsius.
    TenthsC,
    /// Minutes.
    Minutes,
    /// Watt-hours in each kilogram.
    WhPerKg,
}

impl RowUnit {
    /// The value as people read it, with its unit, in decimals where the kept unit is small.
    pub fn shown(self, value: i64) -> String {
        match self {
            Self::Uwh => format!("{} Wh", scaled(value, 6)),
            Self::Ug => format!("{} g", scaled(value, 6)),
            Self::Mv => format!("{} V", scaled(value, 3)),
            Self::TenthsC => format!("{} °C", scaled(value, 1)),
            Self::G if value >= 1000 => format!("{} kg", scaled(value, 3)),
            Self::G => format!("{value} g"),
            Self::Mm => format!("{value} mm"),
            Self::Percent => format!("{value} %"),
            Self::Pieces => value.to_string(),
            Self::Mah => format!("{value} mAh"),
            Self::Minutes => format!("{value} min"),
            Self::WhPerKg => format!("{value} Wh/kg"),
        }
    }
}

/// An integer as a decimal number: exact, without zeros at its end.
pub(in crate::cells) fn scaled(value: i64, decimals: u32) -> String {
    let scale = 10_u64.pow(decimals);
    let sign = if value < 0 { "-" } else { "" };
    let magnitude = value.unsigned_abs();
    let whole = magnitude / scale;
    let fraction = format!(
        "{:0width$}",
        magnitude % scale,
        width = usize::try_from(decimals).unwrap_or_default()
    );
    match fraction.trim_end_matches('0') {
        "" => format!("{sign}{whole}"),
        fraction => format!("{sign}{whole}.{fraction}"),
    }
}

/// One row of the rule book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct BookRow {
    /// Stable for ever, such as `SM.CELL.WH` or `R12`. One id may stand under several regimes.
    pub id: String,
    /// What it is.
    pub kind: RowKind,
    /// Whose rule it is.
    pub regime: RuleBody,
    /// The number, in `unit`; `None` for rules that compare nothing themselves.
    #[serde(default)]
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub value: Option<i64>,
    /// The unit of `value`.
    #[serde(default)]
    pub unit: Option<RowUnit>,
    /// A list, where the row is one, such as ISO 3166-1 codes of countries.
    #[serde(default)]
    pub codes: Vec<String>,
    /// The edition of the text it was taken from.
    pub edition: String,
    /// The first ship date it is for.
    #[cfg_attr(feature = "ts-rs", ts(type = "string"))]
    pub effective_from: Date,
    /// The last ship date it is for; `None` until it is replaced.
    #[serde(default)]
    #[cfg_attr(feature = "ts-rs", ts(type = "string | null"))]
    pub effective_to: Option<Date>,
    /// Paragraph or provision.
    pub clause: String,
    /// How sure it is.
    pub certainty: Certainty,
    /// Where it was read.
    pub source: String,
    /// When somebody last compared it with its source.
    #[cfg_attr(feature = "ts-rs", ts(type = "string"))]
    pub last_checked: Date,
    /// What it says, for people.
    pub text: String,
}

impl BookRow {
    /// Whether it is in force on that day.
    pub fn is_in_force(&self, date: Date) -> bool {
        self.effective_from <= date && self.effective_to.is_none_or(|last| date <= last)
    }

    /// The number with its unit, for people; empty without one.
    pub fn value_text(&self) -> String {
        match (self.value, self.unit) {
            (Some(value), Some(unit)) => unit.shown(value),
            _ => self.codes.join(" "),
        }
    }
}
