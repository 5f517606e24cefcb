//! Before and after: which tests the proof rests on, and what each gave.

use domain::fact::{
    Assembly, ChosenTest, ChosenTests, Fact, Needs, Outcome, Phase, Taken, TestCode,
    TestDefinition, TestKind, TestResult,
};
use domain::house::Lab;
use domain::job::{Job, Station};
use domain::judging::{evaluate, out_of_range};
use domain::reading::{Limits, Reading, Unit, parse_reading};
use domain::{ContentHash, EntryId, JobId, Subject};
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
        /// The value, alone or with its unit; several readings of the same with semicolons between count by their mean.
        value: String,
        /// The expanded uncertainty; when empty it is worked out from the instrument and the repeats, where they tell it.
        uncertainty: String,
    },
    /// One of the test's answers.
    Choice {
        /// The answer, as the test words it.
        words: String,
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
    /// How the device stood; not asked for a test that is done on the open board.
    #[serde(default)]
    pub assembly: Option<Assembly>,
    /// The current trace that it was read from.
    #[serde(default)]
    pub trace: Option<super::trace::TraceFile>,
}

/// Chooses the tests that the proof rests on. Each is chosen in the version that stands now, and done in that version.
pub fn choose_tests(desk: &Desk, request: ChooseTests) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::Before)?;
    let lab = desk.lab()?;
    let known: Vec<&ChosenTest> = job
        .tests
        .value()
        .map_or(Vec::new(), |chosen| chosen.tests.iter().collect());
    let mut tests = Vec::new();
    for code in &request.codes {
        let shows_fault = request.shows_fault.contains(code);
        // A test that was chosen before keeps the version it was chosen in.
        tests.push(match known.iter().find(|test| test.code == *code) {
            Some(test) => ChosenTest {
                shows_fault,
                ..(*test).clone()
            },
            None => choose(&lab, code, shows_fault)?,
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

/// A test as it stands in the catalogue, chosen.
pub(crate) fn choose(
    lab: &Lab,
    code: &TestCode,
    shows_fault: bool,
) -> Result<ChosenTest, DeskError> {
    let (entry_id, test) = lab
        .tests_in_use()
        .into_iter()
        .find(|(_, test)| test.code == *code)
        .ok_or(DeskError::NotFound { what: "test" })?;
    Ok(ChosenTest {
        code: code.clone(),
        title: test.title.clone(),
        shows_fault,
        version: test.version,
        definition_id: Some(entry_id),
    })
}

/// The version of a test that a job is tested with: the one it was first tested with, else the one it was chosen in, else the
/// one that stands.
pub(crate) fn version_for<'a>(
    lab: &'a Lab,
    job: &Job,
    code: &TestCode,
) -> Option<(Option<EntryId>, &'a TestDefinition)> {
    let row = job.comparison.iter().find(|row| row.code == *code);
    let pinned = row.and_then(|row| row.definition_id);
    if let Some(entry_id) = pinned
        && let Some(test) = lab.definition(entry_id)
    {
        return Some((Some(entry_id), test));
    }
    lab.tests.iter().find_map(|register| {
        let test = register.value().filter(|test| test.code == *code)?;
        Some((register.mark().map(|mark| mark.entry_id), test))
    })
}

/// Records one test's result. A correction is one more result, which replaces those it has seen; all stay readable.
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
    let (definition_id, test) =
        version_for(&lab, &job, &request.code).ok_or(DeskError::NotFound { what: "test" })?;
    let (outcome, repeats_micro) = outcome(test, request.result)?;
    let trace = request
        .trace
        .map(|file| desk.keep_trace(&file))
        .transpose()?;
    let result = TestResult {
        phase: request.phase,
        code: test.code.clone(),
        version: test.version,
        title: test.title.clone(),
        outcome,
        note: request.note.trim().to_owned(),
        photos: request.photos,
        taken: Taken {
            definition_id,
            needs: test.needs,
            attached: test.attached.clone(),
            assembly: assembly(test, request.assembly),
            instrument: test.instrument.name.clone(),
            repeats_micro,
            trace,
        },
    };
    let seen = job
        .results
        .iter()
        .filter(|marked| {
            !marked.replaced
                && marked.result.phase == result.phase
                && marked.result.code == result.code
        })
        .map(|marked| marked.mark.entry_id)
        .collect();
    desk.record_all(vec![(
        Subject::Job(request.job_id),
        Fact::TestResulted(result),
        seen,
    )])?;
    desk.job_view(request.job_id)
}

/// How the device stood. A test on the open board says so itself.
fn assembly(test: &TestDefinition, said: Option<Assembly>) -> Option<Assembly> {
    if test.needs == Needs::OnBench {
        return Some(Assembly::PartsOff {
            parts: test.attached.clone(),
        });
    }
    said.map(|assembly| match assembly {
        Assembly::PartsOff { parts } => Assembly::PartsOff {
            parts: parts.trim().to_owned(),
        },
        other => other,
    })
}

/// What a result gave, and the single readings where its value is the mean of several.
fn outcome(test: &TestDefinition, input: ResultInput) -> Result<(Outcome, Vec<i64>), DeskError> {
    let plain = |outcome| Ok((outcome, Vec::new()));
    match (input, &test.kind) {
        (ResultInput::Pass, TestKind::PassFail) => plain(Outcome::Pass),
        (ResultInput::Pass, TestKind::Choice { .. }) => Err(DeskError::field(
            "result",
            format!("“{}” has answers to choose from; choose one", test.title),
        )),
        (ResultInput::Pass, kind) => Err(DeskError::field(
            "result",
            format!(
                "“{}” is measured; type the reading in {}",
                test.title,
                kind.measured().map_or("", |(unit, _)| unit.name())
            ),
        )),
        // What fails so badly that nothing can be read is a fail all the same.
        (ResultInput::Fail, _) => plain(Outcome::Fail),
        (ResultInput::Reading { value, uncertainty }, kind) => match kind.measured() {
            Some(measured) => reading(test, &value, &uncertainty, measured),
            None => Err(DeskError::field(
                "result",
                format!("“{}” is passed or failed; it has no reading", test.title),
            )),
        },
        (ResultInput::Choice { words }, TestKind::Choice { answers }) => answers
            .iter()
            .find(|answer| answer.words == words)
            .map(|answer| {
                let outcome = Outcome::Choice {
                    words: answer.words.clone(),
                    passes: answer.passes,
                };
                (outcome, Vec::new())
            })
            .ok_or_else(|| {
                DeskError::field(
                    "result",
                    format!(
                        "“{words}” is no answer of “{}”; choose one of its own",
                        test.title
                    ),
                )
            }),
        (ResultInput::Choice { .. }, _) => Err(DeskError::field(
            "result",
            format!("“{}” has no answers to choose from", test.title),
        )),
        (ResultInput::NotApplicable, _) => plain(Outcome::NotApplicable),
        (ResultInput::NotTestable { why }, _) if why.trim().is_empty() => Err(DeskError::field(
            "why",
            "say why it could not be tested; the report prints it",
        )),
        (ResultInput::NotTestable { why }, _) => plain(Outcome::NotTestable {
            why: why.trim().to_owned(),
        }),
    }
}

/// Readings of one quantity that can be typed at once: more are a trace, and belong in a file.
const REPEATS_MAX: usize = 30;

fn reading(
    test: &TestDefinition,
    value: &str,
    uncertainty: &str,
    (unit, limits): (Unit, Limits),
) -> Result<(Outcome, Vec<i64>), DeskError> {
    let readings = value
        .split(';')
        .filter(|part| !part.trim().is_empty() || !value.contains(';'))
        .map(|part| parse_reading(part, unit).map_err(|why| DeskError::field("value", why)))
        .collect::<Result<Vec<_>, _>>()?;
    if readings.len() > REPEATS_MAX {
        return Err(DeskError::field(
            "value",
            format!("at most {REPEATS_MAX} readings of the same can be typed"),
        ));
    }
    for micro in &readings {
        if *micro < 0 && unit.is_never_negative() {
            return Err(DeskError::field(
                "value",
                format!(
                    "a reading in {} can't be negative; type it without the sign",
                    unit.name()
                ),
            ));
        }
        if let Some(why) = out_of_range(&test.instrument, *micro, unit) {
            return Err(DeskError::field("value", why));
        }
    }
    let evaluation =
        evaluate(&readings, &test.instrument).map_err(|why| DeskError::field("value", why))?;
    let uncertainty_micro = match uncertainty.trim() {
        "" => evaluation.expanded_micro,
        typed => Some(typed_uncertainty(typed, unit)?),
    };
    if test.safety_limit && uncertainty_micro.is_none() {
        return Err(DeskError::field(
            "uncertainty",
            "this limit protects people and is judged with the uncertainty; type the ± of the instrument, or set the instrument in Setup",
        ));
    }
    Ok((
        Outcome::Reading {
            reading: Reading {
                micro: evaluation.mean_micro,
                unit,
                uncertainty_micro,
            },
            limits,
            rule: test.rule(),
        },
        if readings.len() > 1 {
            readings
        } else {
            Vec::new()
        },
    ))
}

fn typed_uncertainty(typed: &str, unit: Unit) -> Result<i64, DeskError> {
    let micro = parse_reading(typed, unit).map_err(|why| DeskError::field("uncertainty", why))?;
    if micro < 0 {
        return Err(DeskError::field(
            "uncertainty",
            "an uncertainty can't be negative; write it without the sign",
        ));
    }
    Ok(micro)
}

/// What passes, in words with the unit; empty for pass or fail.
pub(crate) fn limits_words(kind: &TestKind) -> String {
    kind.measured()
        .map_or_else(String::new, |(unit, limits)| limits.words(unit))
}

/// The rule that a test's readings are judged by, with its source; empty where nothing is measured or there are no limits.
pub(crate) fn rule_words(test: &TestDefinition) -> String {
    if limits_words(&test.kind).is_empty() {
        return String::new();
    }
    format!("{} ({})", test.rule().name(), test.rule().source())
}
