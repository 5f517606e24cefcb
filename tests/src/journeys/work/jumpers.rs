//! Jumpers: what one should read, and what keeps the job open until it does.

use desk::commands::bench::work::{JumperInput, RecordStep, record_step};
use domain::JobId;
use domain::job::Block;

use super::{closing_blocks, on_the_bench};
use crate::house::{House, refusal};

fn bridge(job_id: JobId, measured: &str) -> RecordStep {
    RecordStep {
        text: "Jumper laid".to_owned(),
        jumper: Some(JumperInput {
            net: "PP1V8".to_owned(),
            wire: "0.02 mm".to_owned(),
            length_mm: "5".to_owned(),
            measured: measured.to_owned(),
            leads: "200 mΩ".to_owned(),
            uncertainty: "0.01".to_owned(),
            wire_temperature_c: String::new(),
        }),
        ..RecordStep::on(job_id)
    }
}

/// 5 mm of 0.02 mm copper read 274 mΩ at 20 °C (vectors of `rework.json`).
#[test]
fn a_jumper_that_reads_wrong_keeps_the_job_open_until_it_reads_right() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = on_the_bench(&house);
    record_step(desk, bridge(job_id, "1.9")).unwrap();
    assert!(closing_blocks(desk, job_id).contains(&Block::JumperNotAccepted));
    let view = record_step(desk, bridge(job_id, "474 mΩ")).unwrap();
    let verdict = view.job.judged_steps[1].jumper.as_ref().unwrap();
    assert!(verdict.accepted, "{}", verdict.words);
    assert!(!closing_blocks(desk, job_id).contains(&Block::JumperNotAccepted));
}

fn check_jumper(change: impl FnOnce(&mut JumperInput), field: &str, words: &str) {
    let house = House::founded();
    let job_id = on_the_bench(&house);
    let mut step = bridge(job_id, "0.47");
    change(step.jumper.as_mut().unwrap());
    let said = refusal(record_step(&house.desk, step));
    assert_eq!(said.field.as_deref(), Some(field), "{}", said.message);
    assert!(said.message.contains(words), "{}", said.message);
}

#[test]
fn a_jumper_s_reading_in_another_unit_is_told_what_a_wire_is_read_in() {
    check_jumper(
        |jumper| "474 mA".clone_into(&mut jumper.measured),
        "measured",
        "A wire is read in Ω, but “474 mA” is in A",
    );
}

#[test]
fn a_jumper_is_refused_only_where_it_is_none() {
    check_jumper(
        |jumper| "string".clone_into(&mut jumper.wire),
        "wire",
        "AWG 40",
    );
    check_jumper(
        |jumper| "AWG 4".clone_into(&mut jumper.wire),
        "wire",
        "from 20 to 56",
    );
    check_jumper(
        |jumper| "5000".clone_into(&mut jumper.length_mm),
        "length_mm",
        "0.1 to 500",
    );
    check_jumper(
        |jumper| "-1".clone_into(&mut jumper.measured),
        "measured",
        "negative",
    );
    check_jumper(
        |jumper| jumper.measured.clear(),
        "measured",
        "Measure the wire",
    );
}
