//! What a screen asks at the Dock. Texts come as they were typed or scanned; nothing here reads or judges them.

pub use crate::drawing::TagStock;

use domain::device::DeviceKind;
use domain::fact::ParcelFinding;
use domain::{JobId, ParcelId, ShopId};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Which parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ParcelKey {
    /// The parcel.
    pub parcel_id: ParcelId,
}

/// Takes a parcel in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ReceiveParcel {
    /// The announced parcel, if it is one.
    pub parcel_id: Option<ParcelId>,
    /// What was scanned; may be empty.
    pub scanned: String,
    /// The shop, for a parcel that nobody announced; may be chosen later.
    pub shop_id: Option<ShopId>,
}

/// Says which shop a parcel is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetParcelShop {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The shop.
    pub shop_id: ShopId,
}

/// Records what is seen on a parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordParcelFindings {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// What is seen.
    pub findings: Vec<ParcelFinding>,
    /// More words.
    pub note: String,
}

/// Finds a dangerous parcel safe to open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ReleaseParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// What was found, and why it may be opened.
    pub reason: String,
}

/// Sets a parcel's tracking number.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetTracking {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The number as scanned or typed.
    pub text: String,
}

/// A device in a parcel that nobody announced.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ExtraDevice {
    /// Its kind.
    pub kind: DeviceKind,
    /// Its maker.
    pub maker: String,
    /// Its model.
    pub model: String,
    /// Its colour or another mark.
    pub colour: String,
    /// The fault, if a note in the parcel says it.
    pub fault: String,
    /// An identifier, if one can be read.
    pub identifier: String,
}

/// Counts expected against found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct CountParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Announced devices that are inside.
    pub found: Vec<JobId>,
    /// Devices inside that nobody announced.
    pub extra: Vec<ExtraDevice>,
    /// More words; the shop sees them.
    pub note: String,
}

/// Prints job tags.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PrintJobTags {
    /// The jobs.
    pub job_ids: Vec<JobId>,
    /// On what.
    pub stock: TagStock,
    /// The first free label of a sheet, from 1.
    pub first_label: u32,
}
