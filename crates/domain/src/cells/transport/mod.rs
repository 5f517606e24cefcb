//! The transport verdict: whether a parcel with lithium or sodium cells may go, how, with which marks and papers.
//!
//! `judge_parcel` applies the rule book to one question. Every rule that fires is shown, the worst wins, and what is not
//! known is never taken for good. The answer is a check list and no approval: the person who signs as shipper decides. It
//! never calls a parcel safe, never invents a rule for a carrier or a country it holds no text of, and never decides
//! between two readings of a law in favour of the easier one.

mod answer;
mod findings;
mod number;
mod question;

pub use answer::{
    Alternative, Caution, Flag, LimitChecked, Mark, MarkKind, PackingStep, Paper, RuleFired,
    UnNumber, Verdict, VerdictCode,
};
pub use findings::{Condition, FindingCode, condition, conditions};
pub use number::Millionths;
pub use question::{
    Carrier, Chem, Config, Contents, DeviceStatus, Mode, Overpack, Parcel, PrintedMark, Purpose,
    Regime,
};
