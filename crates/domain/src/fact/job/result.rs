//! Tests and their results, before and after, and what the board's readings led to.
//!
//! A test that could not be had says why; it is never recorded as a pass.

use serde::{Deserialize, Serialize};

use crate::fact::{Taken, TestCode};
use crate::ids::{ContentHash, EntryId};
use crate::judging::DecisionRule;
use crate::reading::{Limits, Reading};

/// One test that this job's proof rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ChosenTest {
    /// The test.
    pub code: TestCode,
    /// Its title when it was chosen.
    pub title: String,
    /// True when it shows the declared fault: the job counts as repaired only when it is fixed.
    pub shows_fault: bool,
    /// Its version when it was chosen; 0 in choices older than versions by entries.
    #[serde(default)]
    pub version: u32,
    /// The entry that defined it: the job is tested with this one, whatever the catalogue says later.
    #[serde(default)]
    pub definition_id: Option<EntryId>,
}

/// The tests chosen for a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ChosenTests {
    /// In the order they are done.
    pub tests: Vec<ChosenTest>,
}

/// Before or after the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Phase {
    /// As it came.
    Before,
    /// As it goes.
    After,
}

/// What a test gave.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Outcome {
    /// It works.
    Pass,
    /// It doesn't.
    Fail,
    /// A value, with the limits of the test's version at the time.
    Reading {
        /// The value.
        reading: Reading,
        /// What passes.
        limits: Limits,
        /// How the value is judged against them.
        #[serde(default)]
        rule: DecisionRule,
    },
    /// One of the test's answers.
    Choice {
        /// The answer.
        words: String,
        /// True when it counts as passed.
        passes: bool,
    },
    /// The device has no such thing.
    NotApplicable,
    /// It could not be tested.
    NotTestable {
        /// Why.
        why: String,
    },
}

/// One result of one test.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TestResult {
    /// Before or after.
    pub phase: Phase,
    /// The test.
    pub code: TestCode,
    /// Its version.
    pub version: u32,
    /// Its title, so that the job can be read without the catalogue.
    pub title: String,
    /// What it gave.
    pub outcome: Outcome,
    /// A short note; may be empty.
    pub note: String,
    /// Evidence.
    pub photos: Vec<ContentHash>,
    /// How it was taken.
    #[serde(default)]
    pub taken: Taken,
}

/// One reading on the board, against what this board should show.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct BoardReading {
    /// The point, net or rail.
    pub point: String,
    /// What was measured.
    pub measured: Reading,
    /// What it should be, in words; may be empty.
    pub expected: String,
}

/// What is thought to be wrong.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Diagnosis {
    /// In words.
    pub text: String,
    /// The suspected part's designator or net; may be empty.
    pub suspect: String,
    /// Readings on the board.
    pub readings: Vec<BoardReading>,
}
