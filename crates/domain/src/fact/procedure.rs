//! The lab's own procedures, versioned, and what a job keeps of the one it is worked by.

use serde::{Deserialize, Serialize};

use crate::ids::EntryId;

/// The lab's own code for a procedure, such as `HP-03`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ProcedureCode(pub String);

/// One step of a procedure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ProcedureStep {
    /// What is done.
    pub text: String,
    /// True when the work may not go on without its result.
    pub hold_point: bool,
    /// True when a second person must have seen that result.
    pub needs_witness: bool,
}

/// A procedure of the lab; a later definition with the same code follows this one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Procedure {
    /// Its code.
    pub code: ProcedureCode,
    /// Counts definitions of this code, from 1.
    pub version: u32,
    /// What it is called.
    pub name: String,
    /// Its steps, in order.
    pub steps: Vec<ProcedureStep>,
    /// True once the lab works by it no more; jobs that were worked by it keep it.
    pub retired: bool,
}

/// A job is worked by a procedure from now on, in the version that stood then.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ProcedureBegun {
    /// The procedure, whole, so that the job can be read without the lab's entries.
    pub procedure: Procedure,
    /// The entry that defined it.
    pub definition_id: EntryId,
}
