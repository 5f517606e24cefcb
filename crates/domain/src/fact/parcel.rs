//! Facts about parcels, inward and outward.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::ids::{ContentHash, JobId, ShopId};

/// A parcel's tracking number as scanned or typed, and what it was recognised as.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Tracking {
    /// The carrier's name, as recognised or chosen; empty when unknown.
    pub carrier: String,
    /// The number, as kept: canonical when recognised, else as typed.
    pub number: String,
    /// A warning about its check digit, with the likely right reading; empty when it is right or has none.
    pub warning: String,
}

/// A shop's notice of a parcel. Each device in it has a `job.advised` of its own.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelAdvice {
    /// The sender.
    pub shop_id: ShopId,
    /// The devices it says are inside.
    pub job_ids: Vec<JobId>,
    /// What the shop wants to say about the parcel.
    pub note: String,
}

/// Which shop an unannounced parcel is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelShop {
    /// The sender.
    pub shop_id: ShopId,
}

/// A parcel was taken over from its carrier.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelReceipt {
    /// What was scanned to take it in, verbatim; empty when nothing was.
    pub scanned: String,
    /// Where: the lab's name for the place.
    pub read_point: String,
}

/// Something that can be seen on a parcel before it is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum ParcelFinding {
    /// Nothing wrong with it.
    Sound,
    /// Crushed or dented.
    Crushed,
    /// Wet, or was wet.
    Wet,
    /// Open, or was opened.
    Opened,
    /// Taped again by someone.
    Retaped,
    /// Torn or holed.
    Torn,
    /// Bulging: do not open.
    Bulging,
    /// Warm: do not open.
    Warm,
    /// Smoking or smelling of solvent: do not open, leave.
    Smoking,
    /// Something else, in the note.
    Other,
}

impl ParcelFinding {
    /// True for what may be a cell at work: the parcel must not be opened.
    pub const fn is_danger(self) -> bool {
        matches!(self, Self::Bulging | Self::Warm | Self::Smoking)
    }
}

/// What was seen on a parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelFindingRecord {
    /// What.
    pub findings: BTreeSet<ParcelFinding>,
    /// More words.
    pub note: String,
}

/// A trained person found it safe to open. It covers the findings that the entry names as seen, and no other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelRelease {
    /// What was found, and why it may be opened.
    pub reason: String,
}

/// Where a photo belongs in the notebook.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum PhotoPlace {
    /// The parcel as it came.
    Parcel,
    /// The device's condition as it came.
    Condition,
    /// The cell.
    Cell,
    /// Evidence of the fault, before.
    Before,
    /// The board, while looking for the fault.
    Diagnosis,
    /// The work.
    Work,
    /// Evidence of the repair, after.
    After,
    /// The device as it is packed.
    Packing,
}

/// A photo that stands in the logbook. Its bytes travel apart, under its hash.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PhotoAdded {
    /// Hash of the picture's bytes.
    pub hash: ContentHash,
    /// Bytes of the picture.
    pub size_bytes: u64,
    /// Pixels across.
    pub width_px: u32,
    /// Pixels down.
    pub height_px: u32,
    /// Where it belongs.
    pub place: PhotoPlace,
    /// What it shows; may be empty.
    pub caption: String,
    /// The photo from before that this one is set beside; only for photos taken after.
    pub beside: Option<ContentHash>,
}

/// Expected against found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelCount {
    /// Announced devices that were inside.
    pub found: Vec<JobId>,
    /// Announced devices that were not.
    pub missing: Vec<JobId>,
    /// Devices inside that nobody announced.
    pub extra: Vec<JobId>,
    /// More words.
    pub note: String,
}

/// A return parcel was begun.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelOpening {
    /// The shop it goes to.
    pub shop_id: ShopId,
}

/// A device and a return parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelDevice {
    /// The device's job.
    pub job_id: JobId,
}

/// A parcel's weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ParcelWeight {
    /// Grams, packed and closed.
    pub grams: u32,
}

/// A return parcel was handed to its carrier.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Shipment {
    /// Carrier and number.
    pub tracking: Tracking,
    /// The devices inside.
    pub job_ids: Vec<JobId>,
}
