//! Facts about transport: how a return parcel goes, what its verdict was, what a trained shipper decided, who is trained, and
//! newer rows of the rule book.
//!
//! Nothing here judges. A decision covers the verdict that its person had before them, and no other.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::cells::book::BookRow;
use crate::cells::transport::{Carrier, Mode, Parcel, Regime, Verdict, VerdictCode};

/// A newer row of the rule book, by the lab's owner.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct RuleUpdate {
    /// The row; it follows the one with the same id and regime.
    pub row: BookRow,
    /// Why, in the owner's words.
    pub reason: String,
}

/// How a return parcel goes, and what only a person at the box can say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TransportPlan {
    /// Whose law it starts under.
    pub regime: Regime,
    /// How it goes.
    pub mode: Mode,
    /// Who carries it.
    pub carrier: Carrier,
    /// Packages to the same address at the same time, this one among them.
    pub packages: u16,
    /// Whether every device is off and can't switch itself on; `None` when nobody looked.
    pub powered_off: Option<bool>,
    /// Whether every battery is the one its device was made with.
    pub batteries_original: Option<bool>,
    /// The highest charge of any battery inside, in percent of the rated capacity.
    pub charge_rated_pct: Option<u8>,
    /// The highest charge that any device shows, in percent.
    pub charge_shown_pct: Option<u8>,
    /// Whether it goes outside the 48 adjoining states of the United States.
    pub outside_us_lower_48: Option<bool>,
}

/// A trained shipper's decision where the law leaves a choice.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TransportDecision {
    /// The verdict decided about: a hold, or the road for damaged cells.
    pub verdict: VerdictCode,
    /// The rules that called for it. The decision covers these, and no others.
    pub rules: Vec<String>,
    /// Why it may go, in the shipper's words.
    pub reason: String,
    /// The last day of the shipper's training, as recorded then.
    #[cfg_attr(feature = "ts-rs", ts(type = "string"))]
    pub trained_until: Date,
}

/// The verdict with which a parcel left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct GivenVerdict {
    /// What was asked.
    pub question: Parcel,
    /// What was answered.
    pub verdict: Verdict,
}

/// A person's training for lithium shipments.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Training {
    /// Its last day.
    #[cfg_attr(feature = "ts-rs", ts(type = "string"))]
    pub until: Date,
    /// What it was: course, modes, who gave it.
    pub note: String,
}
