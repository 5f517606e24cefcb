//! How a job ends: its outcome, its report, its way out of the house, and the words written about it.
//!
//! Nothing here changes what was recorded on the way.

use serde::{Deserialize, Serialize};

use crate::fact::Tracking;
use crate::ids::{ContentHash, ParcelId};

/// How a job ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum JobOutcome {
    /// The declared fault is gone and nothing is worse.
    Repaired,
    /// Some of it is gone.
    RepairedInPart,
    /// The declared fault could not be shown.
    NoFaultFound,
    /// It can't be repaired.
    NotRepairable,
    /// It could be, at no sensible price.
    BeyondEconomicRepair,
    /// The shop said no.
    Declined,
    /// Only its data was saved.
    DataOnly,
}

impl JobOutcome {
    /// The words on screens and papers.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Repaired => "repaired",
            Self::RepairedInPart => "repaired in part",
            Self::NoFaultFound => "no fault found",
            Self::NotRepairable => "not repairable",
            Self::BeyondEconomicRepair => "beyond economic repair",
            Self::Declined => "declined",
            Self::DataOnly => "data only",
        }
    }

    /// What it claims, in a sentence for the shop. It stands true only as long as [`crate::job::may_close`] finds nothing missing.
    pub const fn claim(self) -> &'static str {
        match self {
            Self::Repaired => {
                "The declared fault was there before and is gone; what heat could reach still works; nothing is worse."
            }
            Self::RepairedInPart => {
                "Part of the fault is gone, as the tests show; what is not is named here. Nothing is worse."
            }
            Self::NoFaultFound => {
                "The declared fault did not appear in the tests that would show it. Nothing was changed on the board."
            }
            Self::NotRepairable => {
                "The fault was found and can't be put right by this lab; why is named here."
            }
            Self::BeyondEconomicRepair => {
                "The fault was found and could be put right, for more than the device is worth; it goes back unrepaired."
            }
            Self::Declined => "The shop declined the price; the device goes back unrepaired.",
            Self::DataOnly => {
                "Only data was saved, as agreed; the device itself does not count as repaired."
            }
        }
    }
}

/// The outcome as recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct OutcomeRecord {
    /// How it ended.
    pub outcome: JobOutcome,
    /// What the shop should know; printed.
    pub words: String,
    /// Days of warranty on the work; 0 for none.
    pub warranty_days: u16,
}

/// A return report that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct IssuedReport {
    /// Hash of the PDF's bytes; the file travels like a photo.
    pub file: ContentHash,
    /// Its size in bytes.
    pub size_bytes: u64,
    /// Digest of the data it was made from: what the paper prints and its QR code leads to.
    pub digest: ContentHash,
    /// Its pages.
    pub pages: u32,
}

/// A job and a return parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
}

/// The device left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobShipment {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Carrier and number.
    pub tracking: Tracking,
}

/// The device was destroyed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Destruction {
    /// Why, and by whose agreement.
    pub reason: String,
}

/// Who wrote a message.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum MessageFrom {
    /// The lab.
    Lab,
    /// The shop.
    Shop,
}

/// A message between lab and shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Message {
    /// The side that wrote it.
    pub from: MessageFrom,
    /// Its words.
    pub text: String,
}

/// A note for the lab.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Note {
    /// Its words.
    pub text: String,
}
