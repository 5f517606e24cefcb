//! Procedures and their hold points: the job keeps its version, and nobody witnesses themselves.

use desk::commands::Nothing;
use desk::commands::bench::work::{RecordStep, StepOfProcedure, record_step};
use desk::commands::procedures::{
    BeginProcedure, SaveProcedure, begin_procedure, procedures, save_procedure,
};
use domain::fact::{ProcedureCode, ProcedureStep, Role};
use domain::job::Block;
use domain::{EntryId, JobId, PersonId};

use super::{closing_blocks, on_the_bench};
use crate::house::{House, add_person, check_refused, job, refusal, state_of};

fn procedure(first: &str) -> SaveProcedure {
    let step = |text: &str, hold_point: bool| ProcedureStep {
        text: text.to_owned(),
        hold_point,
        needs_witness: hold_point,
    };
    SaveProcedure {
        code: "hp-03".to_owned(),
        name: "Replace a part".to_owned(),
        steps: vec![
            step(first, false),
            step("pads whole", true),
            step("part on", false),
        ],
        retired: false,
    }
}

fn place(begun_id: EntryId, job_id: JobId, index: u32, witness_id: Option<PersonId>) -> RecordStep {
    RecordStep {
        text: "done".to_owned(),
        witness_id,
        in_procedure: Some(StepOfProcedure {
            begun_id,
            index,
            passed: true,
            result: "all pads there".to_owned(),
        }),
        ..RecordStep::on(job_id)
    }
}

#[test]
fn a_job_can_t_pass_a_hold_point_without_its_result_and_its_second_person() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = on_the_bench(&house);
    add_person(desk, "Ines Prado", &[Role::SecondPair]);
    let own = state_of(desk).person.unwrap().person_id;
    let witness = state_of(desk)
        .people
        .into_iter()
        .find(|person| person.person_id != own)
        .unwrap()
        .person_id;
    save_procedure(desk, procedure("part off")).unwrap();
    let begin = || BeginProcedure {
        job_id,
        code: ProcedureCode("HP-03".to_owned()),
    };
    let view = begin_procedure(desk, begin()).unwrap();
    let begun_id = view.job.procedures[0].mark.entry_id;
    check_refused(begin_procedure(desk, begin()), "already");
    save_procedure(desk, procedure("part off, slowly")).unwrap();
    assert_eq!(
        procedures(desk, Nothing {}).unwrap().procedures[0].version,
        2
    );
    assert_eq!(
        job(desk, job_id).procedures[0].begun.procedure.version,
        1,
        "the job keeps its version"
    );

    record_step(desk, place(begun_id, job_id, 0, None)).unwrap();
    check_refused(
        record_step(desk, place(begun_id, job_id, 2, None)),
        "“pads whole” is a hold point",
    );
    let said = refusal(record_step(desk, place(begun_id, job_id, 1, None)));
    assert_eq!(said.field.as_deref(), Some("witness_id"));
    let said = refusal(record_step(desk, place(begun_id, job_id, 1, Some(own))));
    assert_eq!(said.field.as_deref(), Some("witness_id"));
    add_person(desk, "Pavle Dorn", &[Role::Receiver, Role::Technician]);
    let colleague = state_of(desk)
        .people
        .into_iter()
        .find(|person| person.name == "Pavle Dorn")
        .unwrap()
        .person_id;
    let said = refusal(record_step(
        desk,
        place(begun_id, job_id, 1, Some(colleague)),
    ));
    assert_eq!(said.field.as_deref(), Some("witness_id"));
    assert!(
        said.message.contains("Pavle Dorn is no second pair"),
        "{}",
        said.message
    );
    let mut silent = place(begun_id, job_id, 1, Some(witness));
    silent.in_procedure.as_mut().unwrap().result.clear();
    assert_eq!(
        refusal(record_step(desk, silent)).field.as_deref(),
        Some("result")
    );
    assert!(closing_blocks(desk, job_id).contains(&Block::HoldPointOpen));

    record_step(desk, place(begun_id, job_id, 1, Some(witness))).unwrap();
    let view = record_step(desk, place(begun_id, job_id, 2, None)).unwrap();
    assert_eq!(view.job.procedures[0].next, None);
    assert!(!closing_blocks(desk, job_id).contains(&Block::HoldPointOpen));
}
