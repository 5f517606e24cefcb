//! One device's stay: what its entries add up to.
//!
//! [`fold_job`] takes the entries of one job in any order, any number of times, and always gives the same [`Job`]. It reads no
//! other subject: an action that concerns a parcel and its devices writes an entry for each. Nothing is refused here; what
//! does not fit becomes an exception for a person to settle.

mod closing;
mod comparison;
pub(crate) mod fold;
mod route;
mod trail;
mod work;

#[cfg(test)]
mod tests;

use serde::{Deserialize, Serialize};

pub use closing::may_close;
pub use comparison::{Comparison, Joint, MarkedResult, TestReason, Verdict, join};
pub use fold::{fold_job, unannounced_advice};
pub use route::{Block, HoldReason, Missing, Stage, Station, StationState, Stop, may_enter};
pub use trail::{TrailLine, biz_step, kept_because, trail};
pub use work::{JobProcedure, JudgedStep, ProcedurePlace, judge_step, judged as judge_jumper_of};

use crate::cells::bay::CellState;
use crate::cells::{CellCheck, Judgement};
use crate::fact::{
    Accessories, Answer, AnswerWay, CellRemoval, ChosenTests, Condition, Decision, Destruction,
    DeviceDescription, Diagnosis, Hold, Identity, IssuedReport, JobAdvice, JobArrival, JobParcel,
    JobShipment, Message, Note, OutcomeRecord, Override, PasscodeOpening, PhotoAdded, Quote, Signs,
    Step,
};
use crate::ids::{EntryId, JobId, ParcelId, ShopId};
use crate::money::Money;
use crate::recorded::Mark;
use crate::register::Register;

/// A value with who recorded it and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Marked<T> {
    /// Who and when.
    pub mark: Mark,
    /// What.
    pub value: T,
}

/// A cell check with the level it came to.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JudgedCell {
    /// Who and when.
    pub mark: Mark,
    /// What was seen and measured.
    pub check: CellCheck,
    /// What follows from it.
    pub judgement: Judgement,
}

/// Where a job's passcode is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Passcode {
    /// None was given.
    None,
    /// It lies sealed.
    Sealed {
        /// The sealed entry.
        entry_id: EntryId,
    },
    /// It was erased.
    Destroyed {
        /// Milliseconds since 1970.
        at_ms: u64,
    },
}

/// Whether the shop agreed to the standing quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Agreement {
    /// No price has been named.
    NoQuote,
    /// The shop has not answered the standing quote.
    Waiting,
    /// The shop asks something first.
    Asked {
        /// Its question.
        question: String,
    },
    /// Go on.
    Agreed {
        /// How the answer came.
        way: AnswerWay,
        /// When, in milliseconds since 1970.
        at_ms: u64,
    },
    /// Return it unrepaired.
    Refused {
        /// When, in milliseconds since 1970.
        at_ms: u64,
    },
}

/// A hold a person placed, while it lasts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StandingHold {
    /// Who and when.
    pub mark: Mark,
    /// For what.
    pub hold: Hold,
}

/// Something in a job that a person must look at; the facts stand as they are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Exception {
    /// What is odd, in a sentence.
    pub sentence: String,
}

/// All of one job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Job {
    /// The job.
    pub job_id: JobId,
    /// Its reference for people, as `7K3M-2Q9X-T`.
    pub reference: String,
    /// The shop it belongs to, once known.
    pub shop_id: Option<ShopId>,
    /// The parcel it came or comes in.
    pub parcel_id: Option<ParcelId>,
    /// What the shop said.
    pub advice: Option<Marked<JobAdvice>>,
    /// True when nobody announced it.
    pub unannounced: bool,
    /// What it is, as the lab sees it; the shop's word until then.
    pub device: Register<DeviceDescription>,
    /// When it was found in its parcel.
    pub arrived: Option<Marked<JobArrival>>,
    /// When it was found missing from its parcel, unless it arrived after all.
    pub missed: Option<Marked<JobArrival>>,
    /// Cell checks, oldest first. The judgement beside the last one is what follows from all that was seen of the cell before
    /// and since, or from its having been taken out; beside the others, from each alone.
    pub cell_checks: Vec<JudgedCell>,
    /// What is known of the cell that is in the device now: looks, isolation, the next reading.
    pub cell_state: CellState,
    /// Cells that were taken out of it, oldest first.
    pub cells_removed: Vec<Marked<CellRemoval>>,
    /// Identifiers read.
    pub identity: Register<Identity>,
    /// How the identity differs from the advice, in a sentence.
    pub identity_difference: Option<String>,
    /// Marks on the case, oldest first.
    pub conditions: Vec<Marked<Condition>>,
    /// Other signs.
    pub signs: Register<Signs>,
    /// What came with it.
    pub accessories: Register<Accessories>,
    /// Photos, oldest first.
    pub photos: Vec<Marked<PhotoAdded>>,
    /// Its passcode.
    pub passcode: Passcode,
    /// Who read it and why.
    pub passcode_openings: Vec<Marked<PasscodeOpening>>,
    /// The tests chosen.
    pub tests: Register<ChosenTests>,
    /// All results, oldest first.
    pub results: Vec<MarkedResult>,
    /// The spread's rows.
    pub comparison: Vec<Comparison>,
    /// Diagnoses, oldest first.
    pub diagnoses: Vec<Marked<Diagnosis>>,
    /// The price.
    pub quote: Register<Quote>,
    /// The standing quote's sum, if its lines can be added up.
    pub quote_total: Option<Money>,
    /// Answers, oldest first, to this quote and earlier ones.
    pub decisions: Vec<Marked<Decision>>,
    /// Where the agreement stands.
    pub agreement: Agreement,
    /// Steps of work, oldest first.
    pub steps: Vec<Marked<Step>>,
    /// What each of them came to, in the same order.
    pub judged_steps: Vec<JudgedStep>,
    /// The procedures it is worked by, in the order in which they were begun.
    pub procedures: Vec<JobProcedure>,
    /// Holds that last.
    pub standing_holds: Vec<StandingHold>,
    /// Blocks that were passed, with their reasons.
    pub overrides: Vec<Marked<Override>>,
    /// How it ended.
    pub outcome: Register<OutcomeRecord>,
    /// Reports made, oldest first.
    pub reports: Vec<Marked<IssuedReport>>,
    /// The return parcel it lies in.
    pub packed: Option<Marked<JobParcel>>,
    /// When it left.
    pub shipped: Option<Marked<JobShipment>>,
    /// When it was destroyed.
    pub destroyed: Option<Marked<Destruction>>,
    /// Messages with the shop, oldest first.
    pub messages: Vec<Marked<Message>>,
    /// The lab's own notes, oldest first.
    pub notes: Vec<Marked<Note>>,
    /// Where it is on its route.
    pub stage: Stage,
    /// Why it waits, if it does.
    pub holds: Vec<HoldReason>,
    /// The route, station by station.
    pub route: Vec<Stop>,
    /// The station that is next, if any is left.
    pub next: Option<Station>,
    /// What a person must look at.
    pub exceptions: Vec<Exception>,
    /// Entries of kinds this version can't read.
    pub unknown_entries: u32,
    /// True when one of those must not be ignored: the job can be read, not worked on, until the program is upgraded.
    pub read_only: bool,
    /// Milliseconds since 1970 of the latest entry.
    pub last_at_ms: u64,
}

impl Job {
    /// The cell check that counts, judged with all that was seen of the cell before and since.
    pub fn cell(&self) -> Option<&JudgedCell> {
        self.cell_checks.last()
    }

    /// True while the device has no cell in it, because it was taken out and no other was seen since.
    pub fn is_without_cell(&self) -> bool {
        !self.cells_removed.is_empty() && self.cell_state.level.is_none()
    }

    /// The answer that counts, if the standing quote has one.
    pub fn answer(&self) -> Option<Answer> {
        match self.agreement {
            Agreement::Agreed { .. } => Some(Answer::Agree),
            Agreement::Refused { .. } => Some(Answer::Refuse),
            Agreement::Asked { .. } => Some(Answer::Ask),
            Agreement::NoQuote | Agreement::Waiting => None,
        }
    }

    /// The report that goes with the device: the latest, if nothing it tells of has changed since.
    pub fn current_report(&self) -> Option<&Marked<IssuedReport>> {
        let report = self.reports.last()?;
        let stale = self.reported_change_ms() > report.mark.at_ms;
        (!stale).then_some(report)
    }

    /// When something the report tells of last changed, in milliseconds since 1970.
    fn reported_change_ms(&self) -> u64 {
        let outcome = self.outcome.mark().map_or(0, |mark| mark.at_ms);
        let result = self
            .results
            .iter()
            .map(|marked| marked.mark.at_ms)
            .max()
            .unwrap_or(0);
        let step = self
            .steps
            .iter()
            .map(|marked| marked.mark.at_ms)
            .max()
            .unwrap_or(0);
        outcome.max(result).max(step)
    }
}
