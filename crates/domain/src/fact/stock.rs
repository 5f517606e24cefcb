//! Lots of parts, and what moisture may have done to them: received, bag opened, bag closed, baked.
//!
//! Facts on the lab. Every event bears the time it happened at, which may lie before it was recorded. How much floor life is
//! left follows in `rework`; nothing here judges.

use serde::{Deserialize, Serialize};

use crate::rework::MoistureLevel;

/// A lot's number as printed on its bag or reel, in capitals.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LotNumber(pub String);

/// A lot as it came, with what its label says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LotReceipt {
    /// Its number.
    pub lot: LotNumber,
    /// What the parts are.
    pub description: String,
    /// The level on the label; `None` for parts that moisture does not harm, or without a label.
    pub moisture: Option<MoistureLevel>,
    /// For level 6, the hours on the label.
    pub label_hours: Option<u32>,
    /// Thickness of a part's body in micrometres, by which it is baked; `None` when not known.
    pub thickness_um: Option<u32>,
    /// True when nobody knows how long it lay open before it came.
    pub history_unknown: bool,
    /// True once none is left.
    pub used_up: bool,
}

/// A lot's bag was opened, or closed again with a desiccant, or the lot was put into a dry cabinet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LotBag {
    /// The lot.
    pub lot: LotNumber,
    /// When, in milliseconds since 1970.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub at_ms: i64,
    /// For a closing: true when it lies in the dry cabinet instead of a closed bag.
    #[serde(default)]
    pub dry_cabinet: bool,
}

/// A lot was baked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LotBake {
    /// The lot.
    pub lot: LotNumber,
    /// When it ended, in milliseconds since 1970.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub ended_ms: i64,
    /// How long, in whole hours.
    pub hours: u32,
    /// The oven, in degrees Celsius.
    pub temperature_c: u16,
    /// What the part's maker or its label says of this bake, where it is not the usual one; empty otherwise.
    pub as_maker_says: String,
}
