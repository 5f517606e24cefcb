//! The inward slip: the paper that a shop puts in the box.

use serde::{Deserialize, Serialize};

use super::{Caution, Lab, Labelled, PaperMeta, Party, SlipWording};

/// Everything the inward slip prints.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct InwardSlip {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings; the default is English.
    #[serde(default)]
    pub wording: SlipWording,
    /// The lab, which is also the addressee.
    pub lab: Lab,
    /// The parcel reference, shown large.
    pub parcel_ref: String,
    /// What the QR code holds: `WB:P:...`.
    pub code: String,
    /// The shop that sends.
    pub shop: Party,
    /// Advised on, carrier, tracking number ...
    pub facts: Vec<Labelled>,
    /// What should be in the box.
    pub devices: Vec<SlipDevice>,
    /// How to pack, step by step.
    pub packing: Vec<String>,
    /// Cautions for whoever packs or carries it.
    pub cautions: Vec<Caution>,
}

/// One device in the box.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct SlipDevice {
    /// Maker, model, kind.
    pub name: String,
    /// IMEI, serial; fixed-width; may be empty.
    pub identifier: String,
    /// The fault in the shop's own words.
    pub fault: String,
    /// Accessories in the box; may be empty.
    pub accessories: String,
    /// The job reference; may be empty.
    pub job_ref: String,
}
