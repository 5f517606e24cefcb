//! The transport verdict: whether a parcel with lithium or sodium cells may go, how, with which marks and papers.
//!
//! `judge_parcel` applies the rule book to one question. Every rule that fires is shown, the worst wins, and what is not
//! known is never taken for good. The answer is a check list and no approval: the person who signs as shipper decides. It
//! never calls a parcel safe, never invents a rule for a carrier or a country it holds no text of, and never decides
//! between two readings of a law in favour of the easier one.

mod alternatives;
mod answer;
mod bridge;
mod carrier_rules;
mod condition_rules;
mod data_rules;
mod findings;
mod judge;
mod label;
mod ledger;
mod load;
mod marks;
mod names;
mod number;
mod problem;
mod question;
mod size;
mod sound_rules;
#[cfg(test)]
mod tests;

pub use answer::{
    Alternative, Caution, Flag, LimitChecked, Mark, MarkKind, PackingStep, Paper, RuleFired,
    UnNumber, Verdict, VerdictCode,
};
pub use bridge::{chem_of, codes_of};
pub use findings::{Condition, FindingCode, condition, conditions};
pub use judge::judge_parcel;
pub use label::label_refusal;
pub use number::Millionths;
pub use problem::ParcelError;
pub use question::{
    Carrier, Chem, Config, Contents, DeviceStatus, Mode, Overpack, Parcel, PrintedMark, Purpose,
    Regime,
};
