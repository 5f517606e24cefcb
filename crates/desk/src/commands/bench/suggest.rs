//! Which tests a job may be proved with: those of its kind of device, the suggested ones marked, each with why.
//!
//! A suggestion comes from the words of the declared fault, and from what failed in earlier devices of the kind whose fault reads
//! alike. It proposes; the technician chooses.

use std::collections::{BTreeMap, BTreeSet};

use domain::device::DeviceKind;
use domain::fact::{TestCode, TestDefinition};
use domain::job::{Comparison, Job, Verdict};

use super::SuggestedTest;
use super::proof::{limits_words, rule_words};
use crate::commands::JobRow;
use crate::desk::{Desk, latest_first};
use crate::error::DeskError;

/// So many earlier devices are looked through, the latest first: more would not change a suggestion, and a person waits.
const EARLIER_MAX: usize = 24;
/// A test is suggested by the past when it failed in at least so many of them, and in at least a third.
const FAILED_MIN: u32 = 2;

/// How often a test failed before in earlier devices with a like fault, and in how many of them it was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Earlier {
    failed: u32,
    done: u32,
}

impl Earlier {
    const fn suggests(self) -> bool {
        self.failed >= FAILED_MIN && self.failed * 3 >= self.done
    }
}

impl Desk {
    /// The tests of the catalogue that apply to the job's kind of device, the suggested ones first.
    pub(super) fn suggested_tests(&self, job: &Job) -> Result<Vec<SuggestedTest>, DeskError> {
        let Some(device) = job.device.value() else {
            return Ok(Vec::new());
        };
        let fault = job
            .advice
            .as_ref()
            .map_or("", |advice| advice.value.fault.as_str());
        let lab = self.lab()?;
        let in_use: Vec<&TestDefinition> = lab
            .tests_in_use()
            .into_iter()
            .map(|(_, test)| test)
            .collect();
        // Once tests are chosen nobody is asked, and the past need not be looked through.
        let earlier = if job.tests.heads.is_empty() {
            self.failed_before(job, device.kind, fault, &in_use)?
        } else {
            BTreeMap::new()
        };
        let mut suggested: Vec<SuggestedTest> =
            domain::house::suggest_tests(&in_use, device.kind, fault)
                .into_iter()
                .map(|(test, by_words)| {
                    let past = earlier.get(&test.code).copied().unwrap_or_default();
                    let mut why = Vec::new();
                    if by_words {
                        why.push("by the fault’s words".to_owned());
                    }
                    if past.failed > 0 {
                        why.push(format!(
                            "failed in {} of {} earlier ones with a like fault",
                            past.failed, past.done
                        ));
                    }
                    SuggestedTest {
                        limits_words: limits_words(&test.kind),
                        rule_words: rule_words(test),
                        suggested: by_words || past.suggests(),
                        why: why.join("; "),
                        test: test.clone(),
                    }
                })
                .collect();
        suggested.sort_by_key(|test| !test.suggested);
        Ok(suggested)
    }

    fn failed_before(
        &self,
        job: &Job,
        kind: DeviceKind,
        fault: &str,
        tests: &[&TestDefinition],
    ) -> Result<BTreeMap<TestCode, Earlier>, DeskError> {
        let words = words_in(fault, tests);
        let mut counts: BTreeMap<TestCode, Earlier> = BTreeMap::new();
        if words.is_empty() {
            return Ok(counts);
        }
        let rows: Vec<JobRow> = self.job_rows(&latest_first("job"))?;
        let alike = rows
            .into_iter()
            .filter(|row| row.job_id != job.job_id && row.kind == kind)
            .filter(|row| !words.is_disjoint(&words_in(&row.fault, tests)))
            .take(EARLIER_MAX);
        for row in alike {
            for compared in self.job(row.job_id)?.comparison {
                count(&mut counts, &compared);
            }
        }
        Ok(counts)
    }
}

fn count(counts: &mut BTreeMap<TestCode, Earlier>, row: &Comparison) {
    let Some(before) = &row.before else {
        return;
    };
    let failed = before.verdict == Verdict::Fail;
    if failed || before.verdict == Verdict::Pass {
        let entry = counts.entry(row.code.clone()).or_default();
        entry.done += 1;
        entry.failed += u32::from(failed);
    }
}

/// The catalogue's own words that occur in a fault: two faults that share one read alike.
fn words_in<'a>(fault: &str, tests: &[&'a TestDefinition]) -> BTreeSet<&'a str> {
    let fault = fault.to_lowercase();
    tests
        .iter()
        .flat_map(|test| &test.fault_words)
        .map(String::as_str)
        .filter(|word| fault.contains(word))
        .collect()
}
