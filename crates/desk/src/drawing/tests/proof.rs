//! What a report claims: what was set aside, how tests ended, what was heated, hold points, and a cell that is gone.

use super::bench::{Bench, bench, closed, code};
use super::{check, filled};
use crate::commands::bench::closing::{OverrideBlock, override_block};
use crate::commands::bench::proof::{ChooseTests, ResultInput, choose_tests};
use crate::commands::bench::work::{HeatInput, RecordStep, StepOfProcedure, record_step};
use crate::commands::cell_bay::{RemoveCell, remove_cell};
use crate::commands::procedures::{BeginProcedure, SaveProcedure, begin_procedure, save_procedure};
use crate::commands::setup::{SavePerson, save_person};
use domain::fact::{IsolationPlace, Phase, ProcedureCode, ProcedureStep, Role};
use domain::job::Block;

#[test]
fn what_was_set_aside_is_named_as_what_it_is() {
    let bench = closed();
    for (block, words) in [
        (Block::StillFailing, "A test fails after the work"),
        (Block::NothingFixed, "No test shows that anything is better"),
        (
            Block::NotClosed,
            "Tested after, but not in the closed device",
        ),
        (Block::FaultFound, "The declared fault did show before"),
        (Block::WorkDone, "The board was worked on"),
        (Block::NotRefused, "The shop has not refused"),
        (
            Block::JumperNotAccepted,
            "A jumper does not read as its wire should",
        ),
    ] {
        let request = OverrideBlock {
            job_id: bench.job_id,
            block,
            reason: "the owner asked for it".to_owned(),
        };
        override_block(&bench.desk, request).unwrap();
        check(&filled(&bench), &[words]);
    }
}

#[test]
fn every_test_is_in_the_tally_also_one_that_can_t_be_compared() {
    let bench = closed();
    bench.result(Phase::After, "radio.wifi", ResultInput::NotApplicable);
    let job = bench.desk.job(bench.job_id).unwrap();
    let tally = super::super::report::tally(&job);
    let counts: usize = tally
        .split(|letter: char| !letter.is_ascii_digit())
        .filter_map(|digits| digits.parse::<usize>().ok())
        .sum();
    assert_eq!(counts, 2 * job.comparison.len(), "{tally}");
    assert!(tally.contains("1 not comparable"), "{tally}");
}

#[test]
fn a_test_that_fails_with_nothing_known_of_before_says_so_in_one_line() {
    let bench = closed();
    bench.result(Phase::After, "camera.each", ResultInput::Fail);
    let job = bench.desk.job(bench.job_id).unwrap();
    let at = job
        .comparison
        .iter()
        .position(|row| row.code == code("camera.each"));
    let row = &super::super::proof::comparison(&job)[at.unwrap()];
    assert_eq!(
        row.note,
        "It fails after; before, there was no result to compare with; before: not testable, the module is missing"
    );
}

fn ready_for_work(bench: &Bench) {
    bench.check_cell();
    bench.look_over();
    bench.test_before();
    bench.diagnose_and_agree();
}

#[test]
fn a_heated_part_is_named_though_nothing_was_fitted() {
    let bench = bench();
    ready_for_work(&bench);
    let heat = HeatInput {
        temperature_c: "350".to_owned(),
        seconds: "40".to_owned(),
        part: "U2400".to_owned(),
        cell_off: Some(true),
        ..HeatInput::default()
    };
    let step = RecordStep {
        text: "Reflowed the charge controller".to_owned(),
        heat: Some(heat),
        ..RecordStep::on(bench.job_id)
    };
    record_step(&bench.desk, step).unwrap();
    let job = bench.desk.job(bench.job_id).unwrap();
    assert_eq!(super::super::goes::heat(&job)[0].part, "U2400");
}

#[test]
fn a_hold_point_stands_with_its_result_and_its_witness() {
    let bench = bench();
    ready_for_work(&bench);
    let person = SavePerson {
        person_id: None,
        name: "Ines Prado".to_owned(),
        roles: vec![Role::SecondPair],
        left: false,
    };
    save_person(&bench.desk, person).unwrap();
    let people = bench.desk.people().unwrap();
    let witness = people.iter().find(|person| person.name == "Ines Prado");
    let procedure = SaveProcedure {
        code: "HP-03".to_owned(),
        name: "Replace a part".to_owned(),
        steps: vec![ProcedureStep {
            text: "pads whole".to_owned(),
            hold_point: true,
            needs_witness: true,
        }],
        retired: false,
    };
    save_procedure(&bench.desk, procedure).unwrap();
    let asked = BeginProcedure {
        job_id: bench.job_id,
        code: ProcedureCode("HP-03".to_owned()),
    };
    let begun = begin_procedure(&bench.desk, asked).unwrap();
    let step = RecordStep {
        text: "Looked at under the microscope".to_owned(),
        witness_id: witness.map(|person| person.person_id),
        in_procedure: Some(StepOfProcedure {
            begun_id: begun.job.procedures[0].mark.entry_id,
            index: 0,
            passed: true,
            result: "all forty pads there".to_owned(),
        }),
        ..RecordStep::on(bench.job_id)
    };
    record_step(&bench.desk, step).unwrap();
    check(
        &filled(&bench),
        &[
            "Hold point “pads whole”, passed: all forty pads there.",
            "seen by Ines Prado",
            "HP-03",
        ],
    );
}

#[test]
fn an_answer_that_was_chosen_stands_in_its_own_words() {
    let bench = bench();
    bench.check_cell();
    bench.look_over();
    let choose = ChooseTests {
        job_id: bench.job_id,
        codes: vec![code("display.image")],
        shows_fault: vec![code("display.image")],
    };
    choose_tests(&bench.desk, choose).unwrap();
    let words = "lines".to_owned();
    bench.result(
        Phase::Before,
        "display.image",
        ResultInput::Choice { words },
    );
    let job = bench.desk.job(bench.job_id).unwrap();
    let row = &super::super::proof::comparison(&job)[0];
    assert_eq!(row.before.value.text, "lines");
    assert_eq!(row.before.word, "fail");
}

#[test]
fn a_device_whose_cell_was_taken_out_is_not_said_to_hold_one() {
    let bench = closed();
    let removal = RemoveCell {
        job_id: bench.job_id,
        place: IsolationPlace::Drum,
        position: String::new(),
        note: "its wrapper is torn".to_owned(),
    };
    remove_cell(&bench.desk, removal).unwrap();
    let job = bench.desk.job(bench.job_id).unwrap();
    let caution = super::super::cautions::of_report(&job, &[]).remove(0);
    assert_eq!(caution.title, "No cell inside: it was taken out");
    check(&caution.text, &["Fit only a sound cell"]);
    check(&filled(&bench), &["Taken out", "its wrapper is torn"]);
    assert!(super::super::cautions::of_parcel(&[job]).is_empty());
}
