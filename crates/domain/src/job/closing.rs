//! When a job may be closed, and with which outcome: each outcome is a claim, and has its own conditions.
//!
//! The list of what is missing is the verdict: it names every reason, not the first. What a person with the right has passed, with a
//! reason that prints, is left out of it, but only for the tests that it was passed for. Common practice, no source, where no other
//! is named.

use super::route::quote_blocks;
use super::work::{open_hold_points, unread_jumpers};
use super::{Agreement, Block, Comparison, Job, Joint, Missing, TestReason, Verdict};
use crate::fact::{JobOutcome, Needs, TestCode};

/// One reason against an outcome, with the tests it is about.
struct Lack {
    block: Block,
    tests: Vec<(TestCode, String)>,
    /// The sentence, with `{}` where the titles of the tests stand.
    sentence: String,
}

/// Lists what keeps a job from being closed with an outcome; empty when it may be.
pub fn may_close(job: &Job, outcome: JobOutcome) -> Vec<Missing> {
    let mut lacks = Lacks {
        job,
        found: Vec::new(),
    };
    if job.arrived.is_none() {
        lacks.say(
            Block::NotArrived,
            "The device is not in the house yet; count its parcel on the Dock.",
        );
    }
    match outcome {
        JobOutcome::Repaired => lacks.of_repaired(),
        JobOutcome::RepairedInPart => lacks.of_repaired_in_part(),
        JobOutcome::NoFaultFound => lacks.of_no_fault_found(),
        JobOutcome::NotRepairable | JobOutcome::BeyondEconomicRepair => lacks.of_given_up(),
        JobOutcome::Declined => lacks.of_declined(),
        JobOutcome::DataOnly => lacks.of_data_only(),
    }
    lacks
        .found
        .into_iter()
        .filter_map(|lack| standing(job, lack))
        .collect()
}

/// What is left of a reason once the passed tests are taken out of it.
fn standing(job: &Job, mut lack: Lack) -> Option<Missing> {
    let passed: Vec<_> = job
        .overrides
        .iter()
        .map(|over| &over.value)
        .filter(|over| over.block == lack.block && lack.block.can_be_overridden())
        .collect();
    // Passing a jumper covers those that were read before it, which are left out already; not the ones laid since.
    if lack.block != Block::JumperNotAccepted
        && passed
            .iter()
            .any(|over| over.tests.is_empty() || lack.tests.is_empty())
    {
        return None;
    }
    if !lack.tests.is_empty() {
        lack.tests
            .retain(|(code, _)| !passed.iter().any(|over| over.tests.contains(code)));
        if lack.tests.is_empty() {
            return None;
        }
    }
    let titles: Vec<&str> = lack.tests.iter().map(|(_, title)| title.as_str()).collect();
    Some(Missing {
        block: lack.block,
        sentence: lack.sentence.replace("{}", &titles.join(", ")),
        can_be_overridden: lack.block.can_be_overridden(),
        tests: lack.tests.into_iter().map(|(code, _)| code).collect(),
    })
}

struct Lacks<'a> {
    job: &'a Job,
    found: Vec<Lack>,
}

impl Lacks<'_> {
    fn say(&mut self, block: Block, sentence: impl Into<String>) {
        self.found.push(Lack {
            block,
            tests: Vec::new(),
            sentence: sentence.into(),
        });
    }

    /// Says it of the tests that are wanted, if there are any.
    fn say_of(&mut self, block: Block, wanted: impl Fn(&Comparison) -> bool, sentence: &str) {
        let tests: Vec<_> = self
            .job
            .comparison
            .iter()
            .filter(|row| wanted(row))
            .map(|row| (row.code.clone(), row.title.clone()))
            .collect();
        if !tests.is_empty() {
            self.found.push(Lack {
                block,
                tests,
                sentence: sentence.to_owned(),
            });
        }
    }

    fn agreed(&mut self) {
        let mut blocks = Vec::new();
        quote_blocks(self.job, &mut blocks);
        for (block, sentence) in blocks {
            self.say(block, sentence);
        }
    }

    fn worked(&mut self) {
        if self.job.steps.is_empty() {
            self.say(
                Block::NoWork,
                "No step of work is recorded; record what was done first.",
            );
        }
        if let Some((block, sentence)) = open_hold_points(self.job) {
            self.say(block, sentence);
        }
        let open = self
            .job
            .steps
            .iter()
            .filter(|step| step.value.hold_point && step.value.witness_id.is_none())
            .map(|step| step.value.text.as_str())
            .collect::<Vec<_>>();
        if !open.is_empty() {
            let sentence = format!(
                "A hold point has no witness: {}. Have a second person look, and record the step with that witness.",
                open.join("; ")
            );
            self.say(Block::HoldPointOpen, sentence);
        }
    }

    /// What no outcome may hide.
    fn nothing_hidden(&mut self) {
        self.say_of(
            Block::ResultsDiffer,
            |row| !row.differing.is_empty(),
            "Two benches recorded different results for {}. Test it once more; the new result counts.",
        );
        self.say_of(
            Block::MadeWorse,
            |row| row.worse,
            "Passed before and fails now: {}. Repair it, or have an owner pass it with the reason that is printed.",
        );
    }

    fn neighbours_proved(&mut self) {
        self.say_of(
            Block::NeighbourNotProved,
            |row| {
                row.reason == TestReason::Neighbour
                    && !row.proved
                    && row.joint != Joint::NotApplicable
            },
            "Heat reached a neighbour and its test is not passed after: {}.",
        );
    }

    fn fault_chosen(&mut self) {
        if !self
            .job
            .comparison
            .iter()
            .any(|row| row.reason == TestReason::Fault)
        {
            self.say(
                Block::TestsNotChosen,
                "No test is chosen that shows the declared fault; choose at least one.",
            );
        }
    }

    fn of_repaired(&mut self) {
        self.agreed();
        self.worked();
        self.nothing_hidden();
        self.fault_chosen();
        self.say_of(
            Block::FaultNotFixed,
            |row| row.reason == TestReason::Fault && row.joint != Joint::Fixed,
            "The declared fault is not shown to be gone: {} must have failed before and pass after, in a way that can be compared.",
        );
        self.neighbours_proved();
        if let Some((block, sentence)) = unread_jumpers(self.job) {
            self.say(block, sentence);
        }
        self.say_of(
            Block::StillFailing,
            |row| {
                row.fails
                    && !row.worse
                    && matches!(row.reason, TestReason::Chosen | TestReason::Extra)
            },
            "Fails after the work: {}. Repair it, close as repaired in part, or have an owner pass it.",
        );
        self.say_of(
            Block::AfterMissing,
            |row| {
                row.reason == TestReason::Chosen
                    && !row.proved
                    && !row.fails
                    && row.joint != Joint::NotApplicable
                    && !taken_open(row)
            },
            "Without a result after that says anything: {}. Test it in the closed device.",
        );
        self.say_of(
            Block::NotClosed,
            taken_open,
            "Tested after, but not in the closed device with all its parts attached: {}. Close it and test again.",
        );
        self.closed_at_all();
    }

    /// Tests that lay the board open say nothing of the device as it goes.
    fn closed_at_all(&mut self) {
        let after: Vec<_> = self
            .job
            .comparison
            .iter()
            .filter_map(|row| row.after.as_ref())
            .collect();
        let any_closed = after
            .iter()
            .any(|marked| marked.verdict == Verdict::Pass && marked.result.taken.is_closed());
        let any_open = self.job.comparison.iter().any(taken_open);
        if !after.is_empty() && !any_closed && !any_open {
            self.say(
                Block::NotClosed,
                "No test after was passed in the closed device with all its parts attached; close it and test what its owner uses.",
            );
        }
    }

    fn of_repaired_in_part(&mut self) {
        self.agreed();
        self.worked();
        self.nothing_hidden();
        self.neighbours_proved();
        let better = |row: &Comparison| {
            matches!(row.joint, Joint::Fixed | Joint::NewlyTestable) && row.proved
        };
        if !self.job.comparison.iter().any(better) {
            self.say(
                Block::NothingFixed,
                "No test shows that anything is better than it was; close with another outcome.",
            );
        }
    }

    fn of_no_fault_found(&mut self) {
        self.nothing_hidden();
        self.fault_chosen();
        self.say_of(
            Block::FaultFound,
            |row| row.reason == TestReason::Fault && before_is(row, Verdict::Fail),
            "The declared fault did show before: {} failed. Close with another outcome.",
        );
        self.say_of(
            Block::BeforeMissing,
            |row| {
                row.reason == TestReason::Fault
                    && !before_is(row, Verdict::Fail)
                    && !before_is(row, Verdict::Pass)
            },
            "Without a result before, nobody knows whether the fault was there: {}. Test it.",
        );
        let touched = self
            .job
            .steps
            .iter()
            .any(|step| step.value.heat.is_some() || !step.value.parts.is_empty());
        if touched {
            self.say(
                Block::WorkDone,
                "The board was heated or parts were fitted; that is a repair, in part or whole, and is closed as one.",
            );
        }
    }

    fn of_given_up(&mut self) {
        self.nothing_hidden();
        if self.job.diagnoses.is_empty() {
            self.say(
                Block::DiagnosisMissing,
                "Nothing is written about what is wrong; write the diagnosis that the outcome rests on.",
            );
        }
    }

    fn of_declined(&mut self) {
        self.nothing_hidden();
        if !matches!(self.job.agreement, Agreement::Refused { .. }) {
            self.say(
                Block::NotRefused,
                "The shop has not refused a quote, and declining is its word; record its answer, or close with another outcome.",
            );
        }
    }

    fn of_data_only(&mut self) {
        self.agreed();
        self.nothing_hidden();
    }
}

fn before_is(row: &Comparison, verdict: Verdict) -> bool {
    row.before
        .as_ref()
        .is_some_and(|marked| marked.verdict == verdict)
}

/// True for a test that passed after, though not in the closed device, and could have been done there.
fn taken_open(row: &Comparison) -> bool {
    row.reason != TestReason::Extra
        && row.after.as_ref().is_some_and(|marked| {
            let taken = &marked.result.taken;
            marked.verdict == Verdict::Pass && taken.needs != Needs::OnBench && !taken.is_closed()
        })
}
