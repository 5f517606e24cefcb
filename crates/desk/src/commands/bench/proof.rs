//! Before and after: which tests the proof rests on, and what each gave.

use domain::fact::{
    ChosenTest, ChosenTests, Fact, Outcome, Phase, TestCode, TestDefinition, TestKind, TestResult,
};
use domain::job::Station;
use domain::reading::{Limits, Reading, Unit, parse_micro};
use domain::{ContentHash, JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobView, enter};
use crate::desk::Desk;
use crate::error::DeskError;

/// Chooses the tests that the proof rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ChooseTests {
    /// The job.
    pub job_id: JobId,
    /// Codes, in the order in which they are done.
    pub codes: Vec<TestCode>,
    /// Those of them that show the declared fault.
    pub shows_fault: Vec<TestCode>,
}

/// A result as typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ResultInput {
    /// It works.
    Pass,
    /// It doesn't.
    Fail,
    /// A number, as typed.
    Reading {
        /// The value.
        value: String,
        /// The instrument's expanded uncertainty; may be empty.
        uncertainty: String,
    },
    /// The device has no such thing.
    NotApplicable,
    /// It could not be tested.
    NotTestable {
        /// Why.
        why: String,
    },
}

/// Records one test's result.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordResult {
    /// The job.
    pub job_id: JobId,
    /// Before or after.
    pub phase: Phase,
    /// The test.
    pub code: TestCode,
    /// What it gave.
    pub result: ResultInput,
    /// A short note; may be empty.
    pub note: String,
    /// Evidence.
    pub photos: Vec<ContentHash>,
}

/// Chooses the tests that the proof rests on.
pub fn choose_tests(desk: &Desk, request: ChooseTests) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::Before)?;
    let lab = desk.lab()?;
    let catalogue = lab.catalogue();
    let mut tests = Vec::new();
    for code in &request.codes {
        let test = find(&catalogue, code)?;
        tests.push(ChosenTest {
            code: code.clone(),
            title: test.title.clone(),
            shows_fault: request.shows_fault.contains(code),
            version: test.version,
            definition_id: None,
        });
    }
    if !tests.iter().any(|test| test.shows_fault) {
        return Err(DeskError::field(
            "shows_fault",
            "mark at least one test as the one that shows the declared fault",
        ));
    }
    desk.record_all(vec![(
        Subject::Job(request.job_id),
        Fact::TestsChosen(ChosenTests { tests }),
        job.tests.based_on(),
    )])?;
    desk.job_view(request.job_id)
}

/// Records one test's result. A correction is one more result; both stay readable.
pub fn record_result(desk: &Desk, request: RecordResult) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(
        &job,
        match request.phase {
            Phase::Before => Station::Before,
            Phase::After => Station::After,
        },
    )?;
    if request.phase == Phase::Before && !job.steps.is_empty() {
        return Err(DeskError::refused(
            "work on the board has begun; a result from now on is an after result",
        ));
    }
    let lab = desk.lab()?;
    let catalogue = lab.catalogue();
    let test = find(&catalogue, &request.code)?;
    let result = TestResult {
        phase: request.phase,
        code: test.code.clone(),
        version: test.version,
        title: test.title.clone(),
        outcome: outcome(test, request.result)?,
        note: request.note.trim().to_owned(),
        photos: request.photos,
        taken: domain::fact::Taken::default(),
    };
    desk.record(Subject::Job(request.job_id), Fact::TestResulted(result))?;
    desk.job_view(request.job_id)
}

pub(crate) fn find<'a>(
    catalogue: &[&'a TestDefinition],
    code: &TestCode,
) -> Result<&'a TestDefinition, DeskError> {
    catalogue
        .iter()
        .find(|test| test.code == *code)
        .copied()
        .ok_or(DeskError::NotFound { what: "test" })
}

fn outcome(test: &TestDefinition, input: ResultInput) -> Result<Outcome, DeskError> {
    let measured = match &test.kind {
        TestKind::PassFail | TestKind::Choice { .. } => None,
        TestKind::Reading { unit, limits } => Some((*unit, *limits)),
        TestKind::Timed { limits } => Some((Unit::Second, *limits)),
    };
    match (input, measured) {
        (ResultInput::Pass, None) => Ok(Outcome::Pass),
        (ResultInput::Pass, Some((unit, _))) => Err(DeskError::field(
            "result",
            format!(
                "“{}” is measured; type the reading in {}",
                test.title,
                unit.symbol()
            ),
        )),
        // What fails so badly that nothing can be read is a fail all the same.
        (ResultInput::Fail, _) => Ok(Outcome::Fail),
        (ResultInput::Reading { .. }, None) => Err(DeskError::field(
            "result",
            format!("“{}” is passed or failed; it has no reading", test.title),
        )),
        (ResultInput::Reading { value, uncertainty }, Some((unit, limits))) => {
            reading(&value, &uncertainty, unit, limits)
        }
        (ResultInput::NotApplicable, _) => Ok(Outcome::NotApplicable),
        (ResultInput::NotTestable { why }, _) if why.trim().is_empty() => Err(DeskError::field(
            "why",
            "say why it could not be tested; the report prints it",
        )),
        (ResultInput::NotTestable { why }, _) => Ok(Outcome::NotTestable {
            why: why.trim().to_owned(),
        }),
    }
}

fn reading(
    value: &str,
    uncertainty: &str,
    unit: Unit,
    limits: Limits,
) -> Result<Outcome, DeskError> {
    let symbol = unit.symbol();
    let plain = |text: &str| text.trim().trim_end_matches(symbol).trim().to_owned();
    let micro = parse_micro(&plain(value)).map_err(|why| DeskError::field("value", why))?;
    let uncertainty = plain(uncertainty);
    let uncertainty_micro = if uncertainty.is_empty() {
        None
    } else {
        let parsed =
            parse_micro(&uncertainty).map_err(|why| DeskError::field("uncertainty", why))?;
        if parsed < 0 {
            return Err(DeskError::field(
                "uncertainty",
                "an uncertainty can't be negative; write it without the sign",
            ));
        }
        Some(parsed)
    };
    if micro < 0 && matches!(unit, Unit::Second | Unit::Count | Unit::Percent | Unit::Ohm) {
        return Err(DeskError::field(
            "value",
            format!("a reading in {symbol} can't be negative; type it without the sign"),
        ));
    }
    Ok(Outcome::Reading {
        reading: Reading {
            micro,
            unit,
            uncertainty_micro,
        },
        limits,
        rule: domain::judging::DecisionRule::default(),
    })
}

/// What passes, in words with the unit; empty for pass or fail.
pub(crate) fn limits_words(kind: &TestKind) -> String {
    match kind {
        TestKind::PassFail | TestKind::Choice { .. } => String::new(),
        TestKind::Reading { unit, limits } => limits.words(*unit),
        TestKind::Timed { limits } => limits.words(Unit::Second),
    }
}
