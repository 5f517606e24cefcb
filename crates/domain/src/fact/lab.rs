//! Facts about the lab, its people, its tests and its partner shops.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::device::DeviceKind;
use crate::ids::ShopId;
use crate::judging::DecisionRule;
use crate::money::Money;
use crate::reading::{Limits, Unit};

/// The lab as its papers name it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LabDescription {
    /// The lab's name.
    pub name: String,
    /// Postal address, one line an element, without the country.
    pub address_lines: Vec<String>,
    /// ISO 3166-1 alpha-2 code.
    pub country: String,
    /// Telephone number as printed; the one a shop calls about a dangerous cell.
    pub phone: String,
    /// E-mail address as printed.
    pub email: String,
    /// IANA time zone in which the lab's days are counted.
    pub zone: String,
    /// ISO 4217 code of the lab's own accounts.
    pub currency: String,
    /// Days of warranty that a repair carries unless its outcome says otherwise.
    pub warranty_days: u16,
}

/// The catalogue's name for a test: short, lower case, stable, such as `charge.current`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TestCode(pub String);

/// What a test's result looks like.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum TestKind {
    /// It works or it doesn't.
    PassFail,
    /// A number with a unit, judged against limits.
    Reading {
        /// The unit readings are taken in.
        unit: Unit,
        /// What passes.
        limits: Limits,
    },
    /// A time by stopwatch, in seconds, judged against limits.
    Timed {
        /// What passes.
        limits: Limits,
    },
    /// One of a few answers, each of which passes or fails.
    Choice {
        /// The answers, in the order of their keys.
        answers: Vec<super::ChoiceAnswer>,
    },
}

impl TestKind {
    /// The unit and limits of a test that gives a number.
    pub const fn measured(&self) -> Option<(Unit, Limits)> {
        match self {
            Self::Reading { unit, limits } => Some((*unit, *limits)),
            Self::Timed { limits } => Some((Unit::Second, *limits)),
            Self::PassFail | Self::Choice { .. } => None,
        }
    }
}

/// A functional test of the lab's catalogue.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TestDefinition {
    /// Its code; a later definition with the same code follows this one.
    pub code: TestCode,
    /// Counts definitions of this code, from 1.
    pub version: u32,
    /// The group it is listed under, such as “power”.
    pub group: String,
    /// What it is called.
    pub title: String,
    /// How to do it, in at most three lines.
    pub how: String,
    /// What must be attached for the result to mean anything; empty when nothing.
    pub attached: String,
    /// The kinds of device it applies to.
    pub device_kinds: BTreeSet<DeviceKind>,
    /// Words in a declared fault that suggest this test, lower case.
    pub fault_words: Vec<String>,
    /// What its result looks like.
    pub kind: TestKind,
    /// A caution to read before doing it; empty when none.
    pub caution: String,
    /// How the device must stand for the result to mean anything.
    #[serde(default)]
    pub needs: super::Needs,
    /// What a reading is taken with.
    #[serde(default)]
    pub instrument: super::Instrument,
    /// True when its limits protect people: a reading must keep clear of them by its uncertainty.
    #[serde(default)]
    pub safety_limit: bool,
    /// True once the lab does it no more; jobs that were tested with it keep it.
    #[serde(default)]
    pub retired: bool,
}

impl TestDefinition {
    /// How its readings are judged.
    pub const fn rule(&self) -> DecisionRule {
        if self.safety_limit {
            DecisionRule::GuardedAcceptance
        } else {
            DecisionRule::SimpleAcceptance
        }
    }
}

/// What a person does in the lab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Role {
    /// Opens parcels.
    Receiver,
    /// Tests and repairs.
    Technician,
    /// Witnesses hold points.
    SecondPair,
    /// Packs; trained for lithium.
    Shipper,
    /// Knows batteries: may judge a cell sound or damaged (ADR 2025 SP 376: “a technical expert”).
    CellExpert,
    /// Prices, figures, partners; may override.
    Owner,
    /// Uses the portal for one shop.
    ShopUser,
}

/// A person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PersonDescription {
    /// The name shown and printed.
    pub name: String,
    /// What the person does.
    pub roles: BTreeSet<Role>,
    /// The shop, for a shop's user.
    pub shop_id: Option<ShopId>,
    /// True once the person no longer works here; kept for the history.
    pub left: bool,
}

/// A partner shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ShopDescription {
    /// Its name.
    pub name: String,
    /// Postal address for returns, one line an element, without the country.
    pub address_lines: Vec<String>,
    /// ISO 3166-1 alpha-2 code.
    pub country: String,
    /// Telephone number.
    pub phone: String,
    /// E-mail address for notices.
    pub email: String,
    /// ISO 4217 code of its quotes.
    pub currency: String,
}

/// The price up to which a shop agrees without being asked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StandingLimit {
    /// The limit, inclusive; `None` when every quote is asked about.
    pub limit: Option<Money>,
}

/// A dispatch advice that was refused because of its cell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct RefusedAdvice {
    /// The device, in the shop's words.
    pub device: String,
    /// The answers that made the post out of the question.
    pub answers: BTreeSet<super::CellAnswer>,
}
