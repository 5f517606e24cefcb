//! The packing instruction: what the hands do with a return parcel, in their order, and why.

use serde::{Deserialize, Serialize};

use super::{
    Caution, InstructionWording, Lab, Labelled, PaperMeta, Party, RuleCited, TransportMark,
};

/// Everything the packing instruction prints.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct PackingInstruction {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings; the default is English.
    #[serde(default)]
    pub wording: InstructionWording,
    /// The lab that sends.
    pub lab: Lab,
    /// The parcel reference, shown large.
    pub parcel_ref: String,
    /// What the QR code holds.
    pub code: String,
    /// To whom the parcel goes.
    pub to: Party,
    /// Regime, way, carrier, ship date, UN number, proper shipping name, packing instruction ...
    pub facts: Vec<Labelled>,
    /// Which verdict; chooses the shape and the band.
    pub verdict: VerdictKind,
    /// The verdict in a few words: `May go with these marks`.
    pub verdict_words: String,
    /// One or two sentences about it; may be empty.
    pub verdict_text: String,
    /// Nearest lawful alternatives, in sentences.
    pub alternatives: Vec<String>,
    /// The devices and loose cells in the parcel.
    pub devices: Vec<InstructionDevice>,
    /// What to do, in order.
    pub steps: Vec<PackingStep>,
    /// Limits with the parcel's value against each.
    pub limits: Vec<LimitChecked>,
    /// Marks and words on the outside: what and where.
    pub marks: Vec<TransportMark>,
    /// Papers that go with it.
    pub papers: Vec<TransportMark>,
    /// Every rule that spoke.
    pub rules: Vec<RuleCited>,
    /// What is not known, in sentences; never left out when there is something.
    pub unknowns: Vec<String>,
    /// Cautions, all of them.
    pub cautions: Vec<Caution>,
    /// The override, where a person chose otherwise within the law.
    pub overridden: Option<Overridden>,
    /// Who has to sign.
    pub signatures: Vec<SignatureLine>,
}

/// The verdict over a parcel, from best to worst.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum VerdictKind {
    /// Open ring: may go.
    MayGo,
    /// Half-filled ring: may go with marks or words.
    Marked,
    /// Square with a bar: road only, under the provisions for damaged cells, and a trained shipper signs.
    DamagedByRoad,
    /// Two bars: held for a trained shipper.
    #[default]
    Hold,
    /// Solid diamond: not this way.
    NotThisWay,
}

/// A device or a loose cell in the parcel.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct InstructionDevice {
    /// Job or cell reference.
    pub reference: String,
    /// Maker, model, kind.
    pub name: String,
    /// IMEI, serial; fixed-width; may be empty.
    pub identifier: String,
    /// Chemistry, rating, how many cells, inside or beside the device.
    pub cell: String,
    /// What the look at the cell found, who and when.
    pub condition: String,
    /// What to do with this one; may be empty.
    pub note: String,
}

/// One step of the hands' work.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct PackingStep {
    /// A few words: `Switch off`; may be empty.
    pub title: String,
    /// How.
    pub text: String,
    /// The rule it rests on; may be empty.
    pub source: String,
}

/// A limit and the parcel's value.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct LimitChecked {
    /// `Energy of a cell`.
    pub what: String,
    /// `17.33 Wh`, or `not known`.
    pub value: String,
    /// `at most 20 Wh`.
    pub limit: String,
    /// `within`, `over`, `not known`.
    pub result: String,
    /// Whether it is within; what is not known is not.
    pub is_within: bool,
    /// Clause and edition.
    pub source: String,
}

/// An override.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Overridden {
    /// What was set aside.
    pub what: String,
    /// The reason in the person's own words.
    pub reason: String,
    /// Who and when.
    pub by: String,
}

/// A line to sign on.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct SignatureLine {
    /// As what the person signs: `Shipper, trained for dangerous goods`.
    pub role: String,
    /// Printed name, if it is known; may be empty.
    pub name: String,
}
