//! The price that a shop is asked for, and its answer.
//!
//! An answer names the quote it is about; it never counts for another.

use serde::{Deserialize, Serialize};

use crate::ids::EntryId;
use crate::money::{Money, MoneyError};

/// One line of a quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct QuoteLine {
    /// What for.
    pub text: String,
    /// How much.
    pub amount: Money,
}

/// A price for the shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Quote {
    /// Its lines, all in one currency.
    pub lines: Vec<QuoteLine>,
    /// What returning it unrepaired costs.
    pub fee_if_refused: Money,
    /// The day it is promised for, as `2026-11-25`; empty when none is.
    pub promised_date: String,
    /// More words; may be empty.
    pub note: String,
}

impl Quote {
    /// The sum of its lines, in the currency of the quote.
    pub fn total(&self) -> Result<Money, MoneyError> {
        Money::sum(
            self.fee_if_refused.currency,
            self.lines.iter().map(|line| line.amount),
        )
    }
}

/// A shop's answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Answer {
    /// Go on.
    Agree,
    /// Return it unrepaired.
    Refuse,
    /// A question first, in the note.
    Ask,
}

/// How an answer reached the lab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum AnswerWay {
    /// The shop answered on the portal.
    Portal,
    /// The shop told a person of the lab.
    Told,
    /// The price lies within the shop's standing limit.
    StandingLimit,
}

/// The shop's answer to one quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Decision {
    /// The quote it answers. A later quote needs an answer of its own.
    pub quote_entry_id: EntryId,
    /// The answer.
    pub answer: Answer,
    /// How it came.
    pub way: AnswerWay,
    /// The shop's words; may be empty.
    pub note: String,
}
