//! The packing slip: what is in a return parcel.

use serde::{Deserialize, Serialize};

use super::{Caution, Lab, Labelled, OutcomeKind, PackingWording, PaperMeta, Party};

/// Everything the packing slip prints.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct PackingSlip {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings; the default is English.
    #[serde(default)]
    pub wording: PackingWording,
    /// The lab that sends.
    pub lab: Lab,
    /// The parcel reference, shown large.
    pub parcel_ref: String,
    /// What the QR code holds.
    pub code: String,
    /// The shop the parcel goes to.
    pub to: Party,
    /// Carrier, tracking number, weight, packed by, date ...
    pub facts: Vec<Labelled>,
    /// What is in the box.
    pub devices: Vec<PackedDevice>,
    /// Marks on the box and papers that go with it.
    pub marks: Vec<TransportMark>,
    /// Cautions for whoever opens it.
    pub cautions: Vec<Caution>,
    /// Anything else, one paragraph each.
    pub notes: Vec<String>,
    /// The lab's terms, one paragraph each, at the end.
    #[serde(default)]
    pub terms: Vec<String>,
}

/// One device in the box.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct PackedDevice {
    /// Job reference.
    pub job_ref: String,
    /// Maker, model, kind.
    pub name: String,
    /// IMEI, serial; fixed-width; may be empty.
    pub identifier: String,
    /// Accessories that go back with it; may be empty.
    pub accessories: String,
    /// Which outcome; chooses the shape.
    pub outcome: OutcomeKind,
    /// The outcome as a word.
    pub outcome_word: String,
    /// Anything the shop must know about this one; may be empty.
    pub note: String,
}

/// A mark on the box, or a paper that goes with it.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct TransportMark {
    /// What: `Lithium battery mark, UN 3481`.
    pub title: String,
    /// Where and how; may be empty.
    pub text: String,
    /// Rule and edition; may be empty.
    pub source: String,
}
