//! Reads an amount as a person types it.

use super::{Currency, Money, MoneyError};

/// Reads the text; see `Money::parse`.
pub(super) fn read(text: &str, currency: Currency) -> Result<Money, MoneyError> {
    let typed = Typed { text, currency };
    let number = typed.without_code()?;
    let (sign, number) = match number.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (-1, rest.trim_start()),
        None => (1, number.strip_prefix('+').unwrap_or(&number).trim_start()),
    };
    let (whole, decimals) = typed.split(number)?;
    let digits = currency.digits() as usize;
    if decimals.len() > digits {
        return Err(typed.too_many_decimals(decimals.len()));
    }
    let minor = format!("{whole}{decimals:0<digits$}")
        .parse::<i64>()
        .map_err(|_| MoneyError::TooLarge)?;
    Ok(Money {
        minor: sign * minor,
        currency,
    })
}

/// An amount as typed, while it is being read.
struct Typed<'a> {
    text: &'a str,
    currency: Currency,
}

/// The digits between two separators of thousands.
const GROUP_LENGTH: usize = 3;

impl Typed<'_> {
    /// An amount in this currency as it would be right.
    fn example(&self) -> String {
        const TWELVE_AND_A_HALF_TIMES_TWO: i64 = 25;
        let minor = TWELVE_AND_A_HALF_TIMES_TWO * self.currency.minor_per_major() / 2;
        let shown = Money::new(minor, self.currency).to_string();
        shown.split(' ').next().unwrap_or_default().to_owned()
    }

    fn not_an_amount(&self) -> MoneyError {
        MoneyError::NotAnAmount {
            text: self.text.to_owned(),
            example: self.example(),
        }
    }

    fn too_many_decimals(&self, found: usize) -> MoneyError {
        MoneyError::TooManyDecimals {
            text: self.text.to_owned(),
            found,
            currency: self.currency,
            digits: self.currency.digits(),
            example: self.example(),
        }
    }

    /// The number without the currency's code before or after it.
    fn without_code(&self) -> Result<String, MoneyError> {
        let text = self.text.trim();
        let letters: String = text.chars().filter(char::is_ascii_alphabetic).collect();
        if letters.is_empty() {
            return Ok(text.to_owned());
        }
        let number = text
            .strip_prefix(letters.as_str())
            .or_else(|| text.strip_suffix(letters.as_str()));
        let (Some(number), Ok(found)) = (number, letters.parse::<Currency>()) else {
            return Err(self.not_an_amount());
        };
        if found != self.currency {
            return Err(MoneyError::OtherCurrency {
                text: self.text.to_owned(),
                found,
                expected: self.currency,
            });
        }
        Ok(number.trim().to_owned())
    }

    /// The digits before and after the decimal separator.
    fn split(&self, number: &str) -> Result<(String, String), MoneyError> {
        let is_separator = |character: char| matches!(character, '.' | ',');
        let last = number.rfind(is_separator);
        let count = number
            .chars()
            .filter(|&character| is_separator(character))
            .count();
        let (whole, decimals) = match last {
            None => (number, ""),
            Some(at) => {
                let (before, after) = (&number[..at], &number[at + 1..]);
                let same_before = before.contains(&number[at..=at]);
                if same_before {
                    // The decimal separator stands but once, so this one divides thousands.
                    (number, "")
                } else if count == 1 && after.len() == GROUP_LENGTH && is_group(before) {
                    match self.currency.digits() as usize {
                        GROUP_LENGTH => (before, after),
                        0 => (number, ""),
                        _ => {
                            let (grouped, decimal) =
                                (format!("{before}{after}"), format!("{before}.{after}"));
                            return Err(MoneyError::Ambiguous {
                                text: self.text.to_owned(),
                                grouped,
                                decimal,
                            });
                        }
                    }
                } else {
                    (before, after)
                }
            }
        };
        let whole = self.ungrouped(whole)?;
        let all_digits = |text: &str| text.chars().all(|character| character.is_ascii_digit());
        if !all_digits(decimals)
            || (whole.is_empty() && decimals.is_empty())
            || (last.is_some() && number.ends_with(is_separator))
        {
            return Err(self.not_an_amount());
        }
        Ok((whole, decimals.to_owned()))
    }

    /// The digits of a whole number, its separators of thousands taken out if they stand where they should.
    fn ungrouped(&self, whole: &str) -> Result<String, MoneyError> {
        let groups: Vec<&str> = whole
            .split(|character: char| !character.is_ascii_digit())
            .collect();
        let digits = groups.concat();
        let separators: Vec<char> = whole
            .chars()
            .filter(|character| !character.is_ascii_digit())
            .collect();
        if separators.is_empty() {
            return Ok(digits);
        }
        let known = |separator: &char| {
            matches!(
                separator,
                '.' | ',' | '\'' | '’' | ' ' | '\u{A0}' | '\u{202F}'
            )
        };
        let alike = separators
            .iter()
            .all(|separator| known(separator) && separator == &separators[0]);
        let sized =
            is_group(groups[0]) && groups[1..].iter().all(|group| group.len() == GROUP_LENGTH);
        if alike && sized {
            Ok(digits)
        } else {
            Err(self.not_an_amount())
        }
    }
}

/// True for one to three digits that don't begin with 0: what may stand before the first separator of thousands.
fn is_group(text: &str) -> bool {
    let fits = (1..=GROUP_LENGTH).contains(&text.len())
        && text.chars().all(|character| character.is_ascii_digit());
    fits && !text.starts_with('0')
}
