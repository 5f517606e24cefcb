//! When a job may be closed with which outcome, and what keeps it open.

use proptest::prelude::*;

use super::*;
use crate::fact::PartSource;

#[test]
fn repaired_needs_the_fault_fixed_the_neighbours_proved_and_nothing_worse() {
    check_cannot_close(&story(12), JobOutcome::Repaired, Block::FaultNotFixed);
    check_cannot_close(&story(13), JobOutcome::Repaired, Block::AfterMissing);
    check_cannot_close(&story(14), JobOutcome::Repaired, Block::NeighbourNotProved);
    let mut worse = story(15);
    worse.push(at(50, result(Phase::After, "sound", Outcome::Fail)));
    check_cannot_close(&worse, JobOutcome::Repaired, Block::MadeWorse);
    check_cannot_close(&worse, JobOutcome::RepairedInPart, Block::MadeWorse);
}

#[test]
fn a_result_that_could_not_be_had_is_never_a_pass() {
    let mut entries = story(15);
    let outcome = Outcome::NotTestable {
        why: "no SIM at hand".to_owned(),
    };
    entries.push(at(50, result(Phase::After, "radio", outcome)));
    check_cannot_close(&entries, JobOutcome::Repaired, Block::NeighbourNotProved);
}

#[test]
fn a_report_is_stale_once_a_result_follows_it() {
    let mut entries = story(17);
    assert!(fold(&entries).current_report().is_some());
    entries.push(at(50, result(Phase::After, "sound", Outcome::Pass)));
    check_block(&entries, Station::Outbound, Block::ReportMissing);
}

#[test]
fn an_override_covers_the_tests_it_was_given_for_and_no_others() {
    let mut entries = story(15);
    entries.push(at(50, result(Phase::After, "sound", Outcome::Fail)));
    let over = Override {
        block: Block::MadeWorse,
        reason: "the shop knows that the loudspeaker is torn".to_owned(),
        tests: vec![TestCode("sound".to_owned())],
    };
    entries.push(at(51, Fact::BlockOverridden(over)));
    assert_eq!(may_close(&fold(&entries), JobOutcome::Repaired), []);
    entries.push(at(
        52,
        tests(&[("charge", true), ("sound", false), ("touch", false)]),
    ));
    entries.push(at(53, result(Phase::Before, "touch", Outcome::Pass)));
    entries.push(at(54, result(Phase::After, "touch", Outcome::Fail)));
    let missing = may_close(&fold(&entries), JobOutcome::Repaired);
    assert_eq!(missing.len(), 1);
    assert!(
        missing[0]
            .sentence
            .starts_with("Passed before and fails now: touch."),
        "{missing:?}"
    );
}

#[test]
fn no_fault_found_needs_the_fault_tested_and_not_there() {
    check_cannot_close(&story(9), JobOutcome::NoFaultFound, Block::FaultFound);
    check_cannot_close(&story(7), JobOutcome::NoFaultFound, Block::BeforeMissing);
    check_cannot_close(&story(6), JobOutcome::NoFaultFound, Block::TestsNotChosen);
    let mut entries = story(7);
    entries.push(at(50, result(Phase::Before, "charge", Outcome::Pass)));
    assert_eq!(may_close(&fold(&entries), JobOutcome::NoFaultFound), []);
    entries.push(at(51, step(&[])));
    check_cannot_close(&entries, JobOutcome::NoFaultFound, Block::WorkDone);
}

#[test]
fn giving_up_needs_a_written_diagnosis() {
    for outcome in [JobOutcome::NotRepairable, JobOutcome::BeyondEconomicRepair] {
        let mut entries = story(9);
        check_cannot_close(&entries, outcome, Block::DiagnosisMissing);
        let diagnosis = Diagnosis {
            text: "burnt through".to_owned(),
            suspect: String::new(),
            readings: Vec::new(),
        };
        entries.push(at(50, Fact::DiagnosisRecorded(diagnosis)));
        assert_eq!(may_close(&fold(&entries), outcome), []);
    }
}

#[test]
fn declined_is_the_shops_word_and_data_only_is_agreed() {
    check_cannot_close(&story(9), JobOutcome::Declined, Block::NotRefused);
    check_cannot_close(&story(10), JobOutcome::DataOnly, Block::NotAgreed);
    assert_eq!(may_close(&fold(&story(11)), JobOutcome::DataOnly), []);
    let mut entries = story(10);
    entries.push(at(50, answer(10, Answer::Refuse)));
    assert_eq!(may_close(&fold(&entries), JobOutcome::Declined), []);
}

#[test]
fn a_hold_point_without_its_witness_keeps_the_job_open() {
    let point = |witness_id| {
        let Fact::StepRecorded(mut plain) = step(&[]) else {
            unreachable!("step() makes steps");
        };
        plain.hold_point = true;
        plain.witness_id = witness_id;
        plain.parts = vec![crate::fact::FittedPart {
            designator: "U2400".to_owned(),
            description: "charge controller".to_owned(),
            source: PartSource::New,
            lot: String::new(),
        }];
        Fact::StepRecorded(plain)
    };
    let mut entries = story(15);
    entries.push(at(50, point(None)));
    check_cannot_close(&entries, JobOutcome::Repaired, Block::HoldPointOpen);
    entries.pop();
    entries.push(at(50, point(Some(PersonId::from_bytes([8; 16])))));
    assert_eq!(may_close(&fold(&entries), JobOutcome::Repaired), []);
}

#[test]
fn what_is_recorded_after_closing_is_named_and_stays() {
    let mut entries = story(17);
    entries.push(at(50, step(&[])));
    let job = fold(&entries);
    assert_eq!(job.steps.len(), 2);
    assert!(
        job.exceptions[0]
            .sentence
            .starts_with("Work is recorded after the job was closed as repaired")
    );
    let mut entries = story(17);
    entries.push(at(50, result(Phase::After, "charge", Outcome::Fail)));
    let job = fold(&entries);
    assert!(
        job.exceptions[0]
            .sentence
            .contains("no longer fits the outcome repaired"),
        "{:?}",
        job.exceptions
    );
}

proptest! {
    #[test]
    fn a_failing_result_never_helps_to_close(length in 12..16usize, code in prop::sample::select(vec!["charge", "sound", "radio"])) {
        let entries = story(length);
        let before = may_close(&fold(&entries), JobOutcome::Repaired).len();
        let mut more = entries;
        more.push(at(50, result(Phase::After, code, Outcome::Fail)));
        prop_assert!(may_close(&fold(&more), JobOutcome::Repaired).len() >= before.min(1));
        prop_assert!(!may_close(&fold(&more), JobOutcome::Repaired).is_empty());
    }
}
