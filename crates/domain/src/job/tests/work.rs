//! Work that opens tests: heat and its passes, alloys that met, jumpers, lots, procedures and their hold points.

use proptest::prelude::*;

use super::*;
use crate::fact::{
    Jumper, LotNumber, LotUsed, Procedure, ProcedureBegun, ProcedureCode, ProcedureDone,
    ProcedureStep, Step,
};
use crate::rework::{FloorLife, JumperReading, Wire};

fn heated(part: &str, alloy: &str) -> Fact {
    Fact::StepRecorded(Step {
        text: format!("{part} off"),
        heat: Some(HeatExposure {
            temperature_c: 245,
            seconds: 20,
            part: part.to_owned(),
            alloy: alloy.to_owned(),
            neighbours: vec!["C1".to_owned()],
            cell_off: Some(true),
            ..HeatExposure::default()
        }),
        ..Step::default()
    })
}

/// A jumper that should read 274 mΩ: 5 mm of 0.02 mm copper at 20 °C.
fn jumper(net: &str, milliohm: i64) -> Fact {
    Fact::StepRecorded(Step {
        text: "jumper laid".to_owned(),
        jumper: Some(Jumper {
            net: net.to_owned(),
            wire: Wire::Diameter { diameter_um: 20 },
            length_um: 5000,
            temperature_tenths_c: 200,
            reading: JumperReading {
                measured_micro_ohm: milliohm * 1000,
                leads_micro_ohm: 0,
                meter_micro_ohm: 1000,
            },
        }),
        ..Step::default()
    })
}

fn with(facts: &[(u8, Fact)]) -> Vec<Recorded> {
    let mut entries = story(15);
    entries.extend(facts.iter().map(|(number, fact)| at(*number, fact.clone())));
    entries
}

fn blocks(entries: &[Recorded]) -> Vec<Block> {
    may_close(&fold(entries), JobOutcome::Repaired)
        .into_iter()
        .map(|missing| missing.block)
        .collect()
}

#[test]
fn an_entry_older_than_the_heated_part_still_folds() {
    let old = br#"{"text":"part off","procedure":"","tool":"hot air","parts":[],"heat":{"temperature_c":350,"seconds":25,"side":"top","neighbours":["U2"],"neighbour_tests":[]},"witness_id":null,"photos":[]}"#;
    let Decoded::Known(fact) = Fact::decode("step.recorded", 1, old, false) else {
        panic!("an old entry must be read");
    };
    let job = fold(&[at(1, *fact)]);
    assert_eq!(job.steps.len(), 1);
    assert_eq!(job.judged_steps[0].pass, None);
}

#[test]
fn heatings_are_counted_for_each_part_apart() {
    let entries = [heated("U1", ""), heated("U2", ""), heated("U1", "")];
    let entries: Vec<Recorded> = entries
        .into_iter()
        .zip(1..)
        .map(|(fact, n)| at(n, fact))
        .collect();
    let passes: Vec<_> = fold(&entries)
        .judged_steps
        .iter()
        .map(|step| step.pass)
        .collect();
    assert_eq!(passes, [Some(1), Some(1), Some(2)]);
}

#[test]
fn the_fourth_heating_of_a_part_is_named() {
    let entries: Vec<Recorded> = (1..=4).map(|n| at(n, heated("U1", ""))).collect();
    let job = fold(&entries);
    assert!(
        job.judged_steps[2].warnings.is_empty(),
        "{:?}",
        job.judged_steps[2]
    );
    assert!(job.judged_steps[3].warnings[0].text.contains("number 4"));
}

#[test]
fn bismuth_after_lead_on_one_board_is_named_at_the_step_that_brings_it() {
    let entries = [
        at(1, heated("U1", "Sn63Pb37")),
        at(2, heated("U2", "Bi58Sn42")),
    ];
    let job = fold(&entries);
    let about_alloys = |at: usize| {
        job.judged_steps[at]
            .warnings
            .iter()
            .any(|warning| warning.text.contains("96 °C"))
    };
    assert!(!about_alloys(0));
    assert!(about_alloys(1), "{:?}", job.judged_steps[1]);
}

#[test]
fn a_part_without_named_neighbours_is_said_to_have_none_named() {
    let Fact::StepRecorded(mut step) = heated("U1", "") else {
        unreachable!("heated() makes steps");
    };
    step.heat.as_mut().expect("heat").neighbours.clear();
    let job = fold(&[at(1, Fact::StepRecorded(step))]);
    assert!(job.judged_steps[0].warnings[0].text.contains("near U1"));
}

#[test]
fn a_jumper_that_reads_right_keeps_nothing() {
    assert!(!blocks(&with(&[(40, jumper("PP1V8", 274))])).contains(&Block::JumperNotAccepted));
}

#[test]
fn a_jumper_that_reads_wrong_keeps_the_job_open_until_it_is_read_again() {
    let wrong = (40, jumper("PP1V8", 900));
    assert!(blocks(&with(std::slice::from_ref(&wrong))).contains(&Block::JumperNotAccepted));
    let again = with(&[wrong.clone(), (41, jumper("PP1V8", 280))]);
    assert!(!blocks(&again).contains(&Block::JumperNotAccepted));
    let other_net = with(&[wrong, (41, jumper("PP3V0", 280))]);
    assert!(blocks(&other_net).contains(&Block::JumperNotAccepted));
}

#[test]
fn passing_a_jumper_does_not_pass_one_that_is_laid_later() {
    let over = Fact::BlockOverridden(crate::fact::Override {
        block: Block::JumperNotAccepted,
        reason: "the meter was at its end".to_owned(),
        tests: Vec::new(),
    });
    let passed = with(&[(40, jumper("A", 900)), (41, over.clone())]);
    assert!(!blocks(&passed).contains(&Block::JumperNotAccepted));
    let later = with(&[(40, jumper("A", 900)), (41, over), (42, jumper("B", 900))]);
    assert!(blocks(&later).contains(&Block::JumperNotAccepted));
}

#[test]
fn a_part_whose_floor_life_was_over_is_named_beside_its_step() {
    let used = LotUsed {
        designator: "U1".to_owned(),
        lot: LotNumber("L-7".to_owned()),
        floor_life: FloorLife {
            usable: false,
            exposed_ms: 1,
            left_ms: None,
            words: "Level 3: its 168 h are over by 2 h or less.".to_owned(),
        },
    };
    let step = Step {
        text: "U1 on".to_owned(),
        lots: vec![used],
        ..Step::default()
    };
    let job = fold(&[at(1, Fact::StepRecorded(step))]);
    assert!(job.judged_steps[0].warnings[0].text.contains("lot L-7"));
}

fn begun() -> Fact {
    let step = |text: &str, hold_point: bool, needs_witness: bool| ProcedureStep {
        text: text.to_owned(),
        hold_point,
        needs_witness,
    };
    Fact::ProcedureBegun(ProcedureBegun {
        procedure: Procedure {
            code: ProcedureCode("HP-03".to_owned()),
            version: 2,
            name: "Replace a ball grid part".to_owned(),
            steps: vec![
                step("take it off", false, false),
                step("pads whole under the microscope", true, true),
                step("put it on", false, false),
            ],
            retired: false,
        },
        definition_id: entry_id(200),
    })
}

fn done(index: u32, passed: bool, witness: Option<u8>) -> Fact {
    Fact::StepRecorded(Step {
        text: "done".to_owned(),
        witness_id: witness.map(|byte| PersonId::from_bytes([byte; 16])),
        in_procedure: Some(ProcedureDone {
            begun_id: entry_id(30),
            index,
            passed,
            result: String::new(),
        }),
        ..Step::default()
    })
}

fn check_next(steps: &[Fact], next: Option<u32>) {
    let mut facts = vec![(30, begun())];
    facts.extend(
        steps
            .iter()
            .cloned()
            .zip(31..)
            .map(|(fact, number)| (number, fact)),
    );
    let entries = with(&facts);
    let job = fold(&entries);
    assert_eq!(job.procedures[0].next, next, "{:?}", job.procedures[0]);
    let held = next.is_some_and(|next| next < 2);
    assert_eq!(blocks(&entries).contains(&Block::HoldPointOpen), held);
    let after = may_enter(&job, Station::After);
    assert_eq!(
        after
            .iter()
            .any(|missing| missing.block == Block::HoldPointOpen),
        held
    );
}

#[test]
fn a_hold_point_is_passed_by_its_result_and_its_witness_and_by_nothing_less() {
    check_next(&[], Some(0));
    check_next(&[done(0, true, None)], Some(1));
    check_next(&[done(0, true, None), done(1, false, Some(4))], Some(1));
    check_next(&[done(0, true, None), done(1, true, None)], Some(1));
    check_next(&[done(0, true, None), done(1, true, Some(4))], Some(2));
    check_next(
        &[
            done(0, true, None),
            done(1, true, Some(4)),
            done(2, true, None),
        ],
        None,
    );
}

#[test]
fn a_hold_point_that_fails_later_is_open_again() {
    check_next(
        &[
            done(0, true, None),
            done(1, true, Some(4)),
            done(1, false, Some(4)),
        ],
        Some(1),
    );
}

#[test]
fn nothing_before_a_hold_point_is_held_and_all_after_it_is() {
    let job = fold(&[at(30, begun())]);
    let procedure = &job.procedures[0];
    assert!(procedure.held_before(1).is_none());
    assert!(procedure.held_before(2).is_some());
}

proptest! {
    #[test]
    fn the_work_folds_alike_in_any_order(seed in proptest::collection::vec(0usize..40, 12)) {
        let facts = [
            (30, begun()), (31, done(0, true, None)), (32, done(1, true, Some(4))), (33, heated("U1", "Sn63Pb37")),
            (34, heated("U1", "Bi58Sn42")), (35, jumper("A", 900)), (36, jumper("A", 274)),
        ];
        let entries = with(&facts);
        let mut shuffled = entries.clone();
        for (at, to) in seed.iter().enumerate() {
            let length = shuffled.len();
            shuffled.swap(at % length, to % length);
        }
        shuffled.extend(entries[..3].to_vec());
        prop_assert_eq!(fold(&shuffled), fold(&entries));
    }
}
