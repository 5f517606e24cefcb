//! What a shop says of a device before it posts it, and that the device arrived.
//!
//! An answer that the shop left out stays out: nobody's guess stands in its place.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::cells::Rating;
use crate::device::DeviceKind;
use crate::ids::{ParcelId, ShopId};

/// What a device is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeviceDescription {
    /// Its kind.
    pub kind: DeviceKind,
    /// Its maker.
    pub maker: String,
    /// Its model.
    pub model: String,
    /// Its colour or another mark that tells it apart; may be empty.
    pub colour: String,
}

/// A shop's answer about the cell, given before posting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum CellAnswer {
    /// The cell, back or screen bulges.
    Swollen,
    /// Something leaks or smells of solvent.
    Leaking,
    /// It is hot without reason.
    Hot,
    /// It is or was burnt, or smoked.
    Burnt,
    /// It is pierced, crushed or bent.
    Pierced,
    /// Its maker recalls it, or calls it unsafe.
    Recalled,
    /// Water reached the inside.
    Wet,
    /// Nobody could see the cell.
    NotSeen,
    /// It fell hard or its frame is bent, though the cell looks fine.
    Dropped,
}

impl CellAnswer {
    /// True for what forbids the post: the sign of a damaged or defective cell (49 CFR 173.185(f); ADR 2025 SP 376).
    pub const fn forbids_post(self) -> bool {
        matches!(
            self,
            Self::Swollen
                | Self::Leaking
                | Self::Hot
                | Self::Burnt
                | Self::Pierced
                | Self::Recalled
        )
    }

    /// True for what leaves the cell's condition open: no label until a trained person has answered (ADR 2025 SP 376, “cannot be
    /// diagnosed before carriage”; IATA A154).
    pub const fn needs_an_answer(self) -> bool {
        matches!(self, Self::Wet | Self::NotSeen | Self::Dropped)
    }
}

/// Whether the device met liquid.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LiquidStory {
    /// What it was, in the shop's words.
    pub what: String,
    /// When, in the shop's words.
    pub when: String,
}

/// How many cells a shop says a battery has. More than one makes it a battery, for which the limits are higher.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum AdvisedCells {
    /// One cell.
    One,
    /// Two or more.
    More,
}

/// What a shop read of a battery's rating, on the battery or in its maker's data sheet. What it did not say is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct AdvisedBattery {
    /// Watt-hours, or volts and milliampere-hours.
    pub rating: Rating,
    /// How many cells are in it.
    pub cells: Option<AdvisedCells>,
}

impl AdvisedBattery {
    /// True when the shop said nothing about it.
    pub fn is_silent(&self) -> bool {
        *self == Self::default()
    }
}

/// What the shop says about one device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobAdvice {
    /// The sender.
    pub shop_id: ShopId,
    /// The parcel it is in or came in.
    pub parcel_id: ParcelId,
    /// The device.
    pub device: DeviceDescription,
    /// Identifier as given by the shop; may be empty.
    pub identifier: String,
    /// The fault in the shop's own words.
    pub fault: String,
    /// What was tried already.
    pub tried: String,
    /// The liquid it met, if any.
    pub liquid: Option<LiquidStory>,
    /// True when the data on it must be kept.
    pub data_needed: bool,
    /// What the shop put in with it.
    pub accessories: Vec<String>,
    /// What the shop answered about the cell.
    pub cell_answers: BTreeSet<CellAnswer>,
    /// The shop's own number for the job; may be empty.
    pub shop_reference: String,
    /// The rating of its battery, as far as the shop read it.
    #[serde(default, skip_serializing_if = "AdvisedBattery::is_silent")]
    #[cfg_attr(feature = "ts-rs", ts(as = "Option<AdvisedBattery>", optional))]
    pub battery: AdvisedBattery,
}

/// A device was, or was not, in its parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobArrival {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// How it differs from its advice, or anything else worth saying; may be empty.
    pub note: String,
}
