//! What each paper says, finished: localised text, dates and amounts as strings, disagreements marked.
//!
//! Nothing here computes a fact: whoever fills a model has already folded, judged and translated. The structs never hold
//! a secret (a passcode has no place on paper) and never a path or a clock.

#[macro_use]
mod wording;
mod cell_papers;
mod packing_instruction;
mod packing_slip;
mod return_report;
mod shared;
mod slip;
mod tags;
mod test_page;
mod transport;
mod transport_words;

pub use cell_papers::{BayLabel, BayLabels, BayStock, HandoverRecord, ReadingDue, TrailRow};
pub use packing_instruction::{
    InstructionDevice, LimitChecked, Overridden, PackingInstruction, PackingStep, SignatureLine,
    VerdictKind,
};
pub use packing_slip::{PackedDevice, PackingSlip, TransportMark};
pub use return_report::{
    CellCheck, Comparison, ComparisonRow, Condition, Digest, Face, Finding, HeatExposure, Mark,
    NotTested, Outcome, OutcomeKind, OutlineKind, PartUsed, PhotoPair, Quote, QuoteLine, Reading,
    ReadingKind, Reason, ReportDevice, ReturnReport, TraceChart, TraceCurve, WorkStep,
};
pub use shared::{
    AttachedRecord, Caution, CellLevel, Lab, Labelled, OtherValue, PageSetup, PageSize, PaperMeta,
    Party, Photo, Picture, Stated,
};
pub use slip::{InwardSlip, SlipDevice};
pub use tags::{HazardMark, JobTag, JobTags, LabelGrid, TagStock};
pub use test_page::{TestPage, TestPageWording, TestStock};
pub use transport::{
    BatteryMark, BatteryMarks, MarkSize, RuleCited, WaybillSentence, WaybillSentences, WordLabel,
    WordLabels,
};
pub use transport_words::{
    BayWording, HandoverWording, InstructionWording, MarkWording, SentenceWording,
};
pub use wording::{PackingWording, ReportWording, SlipWording};
