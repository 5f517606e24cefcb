//! The return report: the spread of one job, as it came and as it goes.

use serde::{Deserialize, Serialize};

use super::{
    AttachedRecord, Caution, CellLevel, Lab, Labelled, PaperMeta, Party, Photo, ReportWording,
    Stated,
};

/// Everything the return report prints. Empty lists and texts leave their section out.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct ReturnReport {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings in the reader's language; the default is English.
    #[serde(default)]
    pub wording: ReportWording,
    /// The lab.
    pub lab: Lab,
    /// The job reference, shown large: `7K3M-2Q9X-T`.
    pub job_ref: String,
    /// The shop the device goes back to.
    pub shop: Party,
    /// The device.
    pub device: ReportDevice,
    /// Received, finished, sent back, turnaround ...
    pub dates: Vec<Labelled>,
    /// The result in a word and a sentence, shown near the top.
    pub outcome: Outcome,
    /// Left: what the parcel looked like and what was in it.
    pub parcel: Vec<Finding>,
    /// Left: condition of the device, with its outline.
    pub condition: Condition,
    /// Left: the look at the cell before power was applied.
    pub cell_check: Option<CellCheck>,
    /// Right: diagnosis and work, in order.
    pub work: Vec<WorkStep>,
    /// Right: heating steps.
    pub heat: Vec<HeatExposure>,
    /// Right: parts used.
    pub parts: Vec<PartUsed>,
    /// The tests, before and after.
    pub comparison: Vec<ComparisonRow>,
    /// Current traces that results were read from.
    #[serde(default)]
    pub traces: Vec<TraceChart>,
    /// Photos in pairs.
    pub photos: Vec<PhotoPair>,
    /// Photos that have no partner and need none, in a grid of their own.
    #[serde(default)]
    pub more_photos: Vec<Photo>,
    /// What was not tested, and why.
    pub not_tested: Vec<NotTested>,
    /// The price.
    pub quote: Option<Quote>,
    /// Warranty terms, one paragraph each.
    pub warranty: Vec<Stated>,
    /// Rules that an authorised person set aside, with the reason; one paragraph each.
    pub overrides: Vec<String>,
    /// Cautions to whoever opens the parcel or uses the device.
    pub cautions: Vec<Caution>,
    /// The lab's terms, one paragraph each, at the end.
    #[serde(default)]
    pub terms: Vec<String>,
    /// Where the same record is kept, and its digest.
    pub digest: Option<Digest>,
    /// The same facts for machines, and what proves them, put inside the file.
    #[serde(default)]
    pub attachments: Vec<AttachedRecord>,
}

/// The device, as the report names it.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct ReportDevice {
    /// `phone`, `tablet` ...
    pub kind: String,
    /// Maker and model.
    pub name: Stated,
    /// IMEI, serial ...
    pub identifiers: Vec<Labelled>,
    /// The fault in the shop's own words.
    pub fault: Stated,
    /// Accessories that came along; may be empty.
    pub accessories: String,
}

/// The result of the job.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Outcome {
    /// Which one; chooses the shape beside the word.
    pub kind: OutcomeKind,
    /// `Repaired`, `No fault found` ..., in the reader's language.
    pub word: Stated,
    /// One or two sentences.
    pub text: String,
}

/// The outcomes of the trade.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum OutcomeKind {
    /// The declared fault is fixed and nothing is worse.
    Repaired,
    /// Some of it is fixed.
    RepairedInPart,
    /// The declared fault did not show.
    #[default]
    NoFaultFound,
    /// It cannot be repaired.
    NotRepairable,
    /// It would cost more than it is worth.
    BeyondEconomicRepair,
    /// The shop refused the quote.
    Declined,
    /// Only the data were saved.
    DataOnly,
}

/// One thing seen, on the parcel or on the device.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Finding {
    /// The number of its mark on the outline, if it has one.
    pub number: Option<u32>,
    /// Where: `back, lower left`; may be empty.
    pub place: String,
    /// What.
    pub text: Stated,
}

/// The condition of the device on arrival.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct Condition {
    /// Which outline to draw; none leaves it out.
    pub outline: Option<OutlineKind>,
    /// Numbered marks on the outline.
    pub marks: Vec<Mark>,
    /// What was seen; the numbered ones belong to the marks.
    pub findings: Vec<Finding>,
    /// Further facts: seals, liquid indicators, earlier work, account lock.
    pub facts: Vec<Labelled>,
}

/// The shape of the device.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum OutlineKind {
    /// Tall and narrow.
    #[default]
    Phone,
    /// Nearly square.
    Tablet,
    /// A lid and a base.
    Laptop,
    /// Wide, with controls at both sides.
    Handheld,
}

/// A face of the device.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum Face {
    /// Display side; a laptop's lid and keyboard, opened.
    #[default]
    Front,
    /// Back; a laptop's underside.
    Back,
    /// Left edge, seen from the front.
    EdgeLeft,
    /// Right edge, seen from the front.
    EdgeRight,
    /// Top edge.
    EdgeTop,
    /// Bottom edge.
    EdgeBottom,
}

/// A numbered mark on the outline.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct Mark {
    /// The number in the mark.
    pub number: u32,
    /// Which face.
    pub face: Face,
    /// From the left of the face as one looks at it, 0 to 1 (values outside are drawn at the border).
    pub x: f32,
    /// From the top of the face, 0 to 1.
    pub y: f32,
}

/// The cell check.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct CellCheck {
    /// The level; chooses the shape.
    pub level: CellLevel,
    /// The level as a word in the reader's language.
    pub word: String,
    /// Volts, temperatures, chemistry, rating.
    pub readings: Vec<Labelled>,
    /// Why this level.
    pub reasons: Vec<Reason>,
    /// What was done with the cell; may be empty.
    pub action: String,
    /// Who and when.
    pub by: String,
}

/// A reason, with where the rule comes from.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Reason {
    /// The reason.
    pub text: String,
    /// Rule and edition; may be empty.
    pub source: String,
}

/// One thing done.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct WorkStep {
    /// What was done.
    pub text: String,
    /// Part designators, nets: `U4021, L4020`; fixed-width; may be empty.
    pub designators: String,
    /// Who and when, witness too; may be empty.
    pub by: String,
}

/// One heating step.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct HeatExposure {
    /// What was heated.
    pub part: String,
    /// `350 °C`.
    pub temperature: String,
    /// `25 s`.
    pub duration: String,
    /// Side of the board.
    pub side: String,
}

/// One part used.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct PartUsed {
    /// Where it went: `U4021`; may be empty.
    pub designator: String,
    /// What it is.
    pub name: String,
    /// Lot or donor board; may be empty.
    pub origin: String,
    /// `1`, `2 pcs`.
    pub quantity: String,
}

/// One test, before and after.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct ComparisonRow {
    /// The test's name.
    pub test: String,
    /// A short remark under the name: `declared fault`, `neighbour of U4021`, `limit 40 to 60 mA`; may be empty.
    pub remark: String,
    /// As it came.
    pub before: Reading,
    /// As it goes.
    pub after: Reading,
    /// Chooses the joint.
    pub comparison: Comparison,
    /// The joint's word in the reader's language.
    pub word: String,
    /// Why it was judged so, if that needs saying (near a limit, guard band); may be empty.
    pub note: String,
}

/// The result of one test at one time.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Reading {
    /// Pass, fail, none.
    pub kind: ReadingKind,
    /// `pass`, `fail`, `not tested` ... in the reader's language.
    pub word: String,
    /// The reading with its unit and uncertainty: `1.82 ± 0.02 A`; may be empty.
    pub value: Stated,
    /// True for an answer in words, which is set as text.
    #[serde(default)]
    pub in_words: bool,
}

/// How a test ended.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum ReadingKind {
    /// Within its limits.
    Pass,
    /// Outside.
    Fail,
    /// Too close to the limit to say.
    Unsure,
    /// Not done, or could not be.
    #[default]
    None,
}

/// How before and after compare.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum Comparison {
    /// Failed before, passes now: upward joint.
    Fixed,
    /// Failed before and now: broken joint.
    StillFailing,
    /// Passed before, fails now: downward joint.
    Worse,
    /// Passed before and now: straight line.
    Steady,
    /// Could not be tested before, passes now: a line that begins at an open end.
    NewlyTestable,
    /// Not shown either way: dotted line.
    #[default]
    NotProved,
}

/// The current traces of one test, before and after, on the same scales.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct TraceChart {
    /// The test's name.
    pub test: String,
    /// The highest current of both, at the top of the scale: `0.94 A`.
    pub highest: String,
    /// Where the time begins: `0 s`.
    pub begin: String,
    /// Where it ends, for both: `40 s`.
    pub length: String,
    /// As it came.
    pub before: TraceCurve,
    /// As it goes.
    pub after: TraceCurve,
}

/// One curve; without points it is said to be absent.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct TraceCurve {
    /// Time and current, each a share of its scale, in the order of time.
    pub points: Vec<(f32, f32)>,
    /// Where the start-up begins, as a share of the time; drawn as an upright line.
    pub from: Option<f32>,
    /// Where it ends.
    pub to: Option<f32>,
    /// What it came to, in words; may be empty.
    pub figures: String,
    /// What stands in place of a curve.
    pub absent: String,
}

/// Two photos that belong together.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct PhotoPair {
    /// As it came.
    pub before: Option<Photo>,
    /// As it goes.
    pub after: Option<Photo>,
}

/// A test that was not done.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct NotTested {
    /// The test.
    pub test: String,
    /// Why.
    pub reason: String,
}

/// The price agreed.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Quote {
    /// Its lines.
    pub lines: Vec<QuoteLine>,
    /// The sum with its currency.
    pub sum: Stated,
    /// Who agreed and when, or that it was refused; may be empty.
    pub decision: String,
}

/// One line of the price.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct QuoteLine {
    /// What for.
    pub text: String,
    /// How much, with its currency.
    pub amount: String,
}

/// Where the same record is kept.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Digest {
    /// The digest, with its algorithm: `sha256:ab12...`.
    pub digest: String,
    /// The address in the QR code.
    pub url: String,
    /// One sentence: what the reader can do with it.
    pub text: String,
}
