//! Amounts of money: integer minor units and an ISO 4217 code.
//!
//! Nothing here ever passes through a fraction, mixes two currencies, or overflows silently. Rounding happens only where
//! a rate is applied, and there the caller names the rule. How an amount is shown to a person is the edges' business.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

#[cfg(test)]
mod tests;
mod typed;

/// A currency with minor units, by its ISO 4217 code. Gold, test codes and the like have none and are refused.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(type = "string"))]
pub struct Currency(iso_currency::Currency);

impl Currency {
    /// The euro.
    pub const EUR: Self = Self(iso_currency::Currency::EUR);
    /// The pound sterling.
    pub const GBP: Self = Self(iso_currency::Currency::GBP);
    /// The United States dollar.
    pub const USD: Self = Self(iso_currency::Currency::USD);

    /// The three letters, ISO 4217.
    pub fn code(self) -> &'static str {
        self.0.code()
    }

    /// The name in English.
    pub fn name(self) -> String {
        self.0.name().to_owned()
    }

    /// How many digits stand after the decimal point in the books (ISO 4217): 2 for EUR, 0 for JPY, 3 for KWD.
    pub fn digits(self) -> u32 {
        u32::from(self.0.exponent().unwrap_or_default())
    }

    /// How many minor units make one major unit.
    fn minor_per_major(self) -> i64 {
        10_i64.pow(self.digits())
    }
}

impl FromStr for Currency {
    type Err = MoneyError;

    fn from_str(text: &str) -> Result<Self, MoneyError> {
        let code = text.trim().to_ascii_uppercase();
        iso_currency::Currency::from_code(&code)
            .filter(|currency| currency.exponent().is_some())
            .map(Self)
            .ok_or_else(|| MoneyError::UnknownCurrency {
                text: text.to_owned(),
            })
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl Serialize for Currency {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code())
    }
}

impl<'de> Deserialize<'de> for Currency {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(de::Error::custom)
    }
}

/// Why a sum, a share or a typed amount could not be had.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MoneyError {
    /// No such currency, or one without minor units.
    #[error("“{text}” is not a currency; a currency is three letters such as EUR")]
    UnknownCurrency {
        /// What was given.
        text: String,
    },
    /// Two currencies in one sum.
    #[error("{right} can't be added to {left}; a sum has one currency")]
    MixedCurrencies {
        /// The currency of the amounts before.
        left: Currency,
        /// The currency that doesn't fit.
        right: Currency,
    },
    /// The result is beyond what can be kept.
    #[error("the amount is too large; the largest is {} minor units", i64::MAX)]
    TooLarge,
    /// Shares that add up to nothing.
    #[error("an amount can't be shared out with no share above zero")]
    NoShares,
    /// A rate that would divide by zero or less.
    #[error(
        "a tax of {rate_bp} basis points can't be contained in an amount; it must be above -10000"
    )]
    RateNotContained {
        /// The rate asked for.
        rate_bp: i32,
    },
    /// The text is no amount.
    #[error("“{text}” is not an amount; an amount is written like {example}")]
    NotAnAmount {
        /// What was typed.
        text: String,
        /// An amount in this currency as it would be right.
        example: String,
    },
    /// More digits after the point than the currency has.
    #[error(
        "“{text}” has {found} digits after the point and {currency} has {digits}; write it like {example}"
    )]
    TooManyDecimals {
        /// What was typed.
        text: String,
        /// How many were typed.
        found: usize,
        /// The currency.
        currency: Currency,
        /// How many it has.
        digits: u32,
        /// An amount in this currency as it would be right.
        example: String,
    },
    /// A point or comma that may divide thousands or decimals.
    #[error("“{text}” can mean {grouped} or {decimal}; write it without a separator of thousands")]
    Ambiguous {
        /// What was typed.
        text: String,
        /// Read with a separator of thousands.
        grouped: String,
        /// Read with a decimal separator.
        decimal: String,
    },
    /// The text names another currency.
    #[error("“{text}” is in {found}, but this amount is in {expected}")]
    OtherCurrency {
        /// What was typed.
        text: String,
        /// The currency it names.
        found: Currency,
        /// The currency wanted.
        expected: Currency,
    },
}

/// What happens to half a minor unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Rounding {
    /// Half goes to the even neighbour, so that many roundings cancel out.
    HalfEven,
    /// Half goes away from zero, as most tax rules have it.
    HalfUp,
}

/// A rate in basis points: hundredths of a percent. 19 % is 1900.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct BasisPoints(pub i32);

impl BasisPoints {
    /// Basis points in a whole.
    const WHOLE: i128 = 10_000;
}

impl fmt::Display for BasisPoints {
    /// In percent, as in `19 %` or `7.25 %`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let (percent, rest) = (self.0.unsigned_abs() / 100, self.0.unsigned_abs() % 100);
        let decimals = if rest == 0 {
            String::new()
        } else {
            format!(".{rest:02}").trim_end_matches('0').to_owned()
        };
        write!(f, "{sign}{percent}{decimals} %")
    }
}

/// An amount of money.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Money {
    /// The amount in minor units: cents for EUR, yen for JPY.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub minor: i64,
    /// The currency.
    pub currency: Currency,
}

impl Money {
    /// An amount of so many minor units.
    pub const fn new(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// Nothing, in that currency.
    pub const fn zero(currency: Currency) -> Self {
        Self { minor: 0, currency }
    }

    /// How many digits stand after the decimal point.
    pub fn digits(self) -> u32 {
        self.currency.digits()
    }

    /// Adds an amount of the same currency.
    pub fn checked_add(self, other: Self) -> Result<Self, MoneyError> {
        self.same_currency(other)?;
        self.with(self.minor.checked_add(other.minor))
    }

    /// Takes away an amount of the same currency.
    pub fn checked_sub(self, other: Self) -> Result<Self, MoneyError> {
        self.same_currency(other)?;
        self.with(self.minor.checked_sub(other.minor))
    }

    /// So many times the amount.
    pub fn checked_mul(self, count: i64) -> Result<Self, MoneyError> {
        self.with(self.minor.checked_mul(count))
    }

    /// The amount with the other sign.
    pub fn checked_neg(self) -> Result<Self, MoneyError> {
        self.with(self.minor.checked_neg())
    }

    /// The sum of amounts that all have `currency`; zero when there are none.
    pub fn sum(
        currency: Currency,
        amounts: impl IntoIterator<Item = Self>,
    ) -> Result<Self, MoneyError> {
        amounts
            .into_iter()
            .try_fold(Self::zero(currency), Self::checked_add)
    }

    /// That rate of the amount: a tax on a net amount, a discount.
    pub fn rate(self, rate: BasisPoints, rounding: Rounding) -> Result<Self, MoneyError> {
        let exact = i128::from(self.minor) * i128::from(rate.0);
        self.with(divide(exact, BasisPoints::WHOLE, rounding).try_into().ok())
    }

    /// The tax that an amount contains, if it was added at that rate.
    pub fn tax_contained(self, rate: BasisPoints, rounding: Rounding) -> Result<Self, MoneyError> {
        let whole = BasisPoints::WHOLE + i128::from(rate.0);
        if whole <= 0 {
            return Err(MoneyError::RateNotContained { rate_bp: rate.0 });
        }
        let exact = i128::from(self.minor) * i128::from(rate.0);
        self.with(divide(exact, whole, rounding).try_into().ok())
    }

    /// Shares the amount out by weights, so that the parts add up to it exactly.
    ///
    /// Each part gets its whole units; those left over go to the largest remainders, the first of equals before the next.
    pub fn allocate(self, weights: &[u32]) -> Result<Vec<Self>, MoneyError> {
        let whole: i128 = weights.iter().map(|&weight| i128::from(weight)).sum();
        if whole == 0 {
            return Err(MoneyError::NoShares);
        }
        let total = i128::from(self.minor).abs();
        let mut parts: Vec<i128> = weights
            .iter()
            .map(|&weight| total * i128::from(weight) / whole)
            .collect();
        let remainder = |index: usize| total * i128::from(weights[index]) % whole;
        let mut order: Vec<usize> = (0..weights.len()).collect();
        order.sort_by_key(|&index| std::cmp::Reverse(remainder(index)));
        let left_over = total - parts.iter().sum::<i128>();
        for (index, _) in order.into_iter().zip(0..left_over) {
            parts[index] += 1;
        }
        let sign = i128::from(self.minor.signum());
        parts
            .into_iter()
            .map(|part| self.with((part * sign).try_into().ok()))
            .collect()
    }

    /// Reads an amount as a person types it: with a decimal point or comma, perhaps with separators of thousands, perhaps
    /// with the currency's code.
    ///
    /// A single separator followed by exactly three digits is refused as ambiguous where the currency has two decimals.
    pub fn parse(text: &str, currency: Currency) -> Result<Self, MoneyError> {
        typed::read(text, currency)
    }

    /// The amount without its currency, as a person may type it: `12.50`.
    pub fn amount(self) -> String {
        let sign = if self.minor < 0 { "-" } else { "" };
        let digits = self.digits() as usize;
        let per_major = self.currency.minor_per_major().unsigned_abs();
        let (major, minor) = (
            self.minor.unsigned_abs() / per_major,
            self.minor.unsigned_abs() % per_major,
        );
        if digits == 0 {
            format!("{sign}{major}")
        } else {
            format!("{sign}{major}.{minor:0digits$}")
        }
    }

    fn same_currency(self, other: Self) -> Result<(), MoneyError> {
        if self.currency == other.currency {
            return Ok(());
        }
        Err(MoneyError::MixedCurrencies {
            left: self.currency,
            right: other.currency,
        })
    }

    fn with(self, minor: Option<i64>) -> Result<Self, MoneyError> {
        minor
            .map(|minor| Self { minor, ..self })
            .ok_or(MoneyError::TooLarge)
    }
}

impl fmt::Display for Money {
    /// With a decimal point and the code, as in `12.50 EUR`: the same everywhere, for logs, exports and messages.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.amount(), self.currency)
    }
}

/// The quotient rounded to a whole number; `divisor` is above zero.
fn divide(dividend: i128, divisor: i128, rounding: Rounding) -> i128 {
    let (quotient, remainder) = (dividend / divisor, dividend % divisor);
    let away = match (remainder.abs() * 2).cmp(&divisor) {
        std::cmp::Ordering::Less => false,
        std::cmp::Ordering::Greater => true,
        std::cmp::Ordering::Equal => rounding == Rounding::HalfUp || quotient % 2 != 0,
    };
    if away {
        quotient + dividend.signum()
    } else {
        quotient
    }
}
