//! Papers of the Cell bay: the label at a cell in isolation, and the record that leaves with a cell.

use serde::{Deserialize, Serialize};

use super::{
    BayWording, Caution, CellLevel, HandoverWording, Lab, Labelled, PaperMeta, Party, RuleCited,
    SignatureLine,
};

/// A run of bay labels.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct BayLabels {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings; the default is English.
    #[serde(default)]
    pub wording: BayWording,
    /// What they are printed on.
    pub stock: BayStock,
    /// The labels, in order.
    pub labels: Vec<BayLabel>,
}

/// What bay labels are printed on.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum BayStock {
    /// A continuous roll 62 mm wide: one label a page, as long as it needs.
    #[default]
    Roll62,
    /// A whole sheet for each, to be read from a few steps away.
    Sheet,
}

/// The label at a cell or device in isolation.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct BayLabel {
    /// What the QR code holds.
    pub code: String,
    /// The reference of the cell or job, shown large.
    pub reference: String,
    /// Chooses the shape.
    pub level: CellLevel,
    /// The level as a word.
    pub level_word: String,
    /// What it is: `Cell of Vireo Lumen 6, Li-ion 3.87 V, 4300 mAh`.
    pub what: String,
    /// Of which shop and job; may be empty.
    pub of: String,
    /// Where it is: bay, drum, outdoors box.
    pub place: String,
    /// Since when.
    pub since: String,
    /// Who put it there.
    pub by: String,
    /// Why, one sentence each.
    pub reasons: Vec<String>,
    /// When to look, in order; the first is the next one due.
    pub due: Vec<ReadingDue>,
    /// When to look after the last of these: `then once a day`; may be empty.
    pub after_that: String,
    /// Empty rows below, for the readings after that; on a sheet as many as it holds, if there are any.
    pub blank_rows: u32,
    /// What nobody may do: `Do not charge, open, bend or press it.`
    pub forbidden: String,
    /// What to do when it reacts, with the number to call.
    pub emergency: String,
    /// Cautions and their sources.
    pub cautions: Vec<Caution>,
}

/// A reading that is due.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct ReadingDue {
    /// When: `25 Nov, 15:05`.
    pub at: String,
    /// The reading, if it was taken already; empty fields are filled by pen.
    pub surface: String,
    /// Room temperature.
    pub room: String,
    /// Voltage.
    pub voltage: String,
    /// What was seen, smelt or heard.
    pub seen: String,
    /// Who.
    pub by: String,
}

/// The record that goes with a cell handed to a recycler.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct HandoverRecord {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings; the default is English.
    #[serde(default)]
    pub wording: HandoverWording,
    /// The lab that hands it over.
    pub lab: Lab,
    /// The reference of the cell, shown large.
    pub reference: String,
    /// What the QR code holds.
    pub code: String,
    /// Who takes it.
    pub to: Party,
    /// When, how, by whom.
    pub facts: Vec<Labelled>,
    /// Which level it had last; chooses the shape.
    pub level: CellLevel,
    /// The level and what it means, in words.
    pub level_words: String,
    /// Chemistry, rating, mass, where it came from.
    pub cell: Vec<Labelled>,
    /// What was found on it, in sentences.
    pub findings: Vec<String>,
    /// The packing that the rules ask for, in sentences.
    pub packing: Vec<String>,
    /// Its trail and readings, oldest first.
    pub trail: Vec<TrailRow>,
    /// Rules that apply to the next hands.
    pub rules: Vec<RuleCited>,
    /// What is not known.
    pub unknowns: Vec<String>,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// Who signs.
    pub signatures: Vec<SignatureLine>,
}

/// One line of a cell's trail.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct TrailRow {
    /// When.
    pub at: String,
    /// What happened.
    pub what: String,
    /// Readings: `24.1 °C, room 21.0 °C, 0.42 V`; may be empty.
    pub reading: String,
    /// Who.
    pub by: String,
}
