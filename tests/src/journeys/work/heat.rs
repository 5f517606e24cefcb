//! Warnings before and at a heating step, and steps that come too late.

use desk::ErrorCode;
use desk::commands::bench::heat::{PreviewStep, preview_step};
use desk::commands::bench::work::{HeatInput, RecordStep, record_step};

use super::{heat, heating, on_the_bench};
use crate::house::{House, closed_job, code, refusal};

#[test]
fn a_cell_that_is_still_attached_is_warned_about_first_and_stays_on_the_step() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = on_the_bench(&house);
    let attached = HeatInput {
        cell_off: Some(false),
        neighbours: vec!["C1".to_owned()],
        neighbour_tests: vec![code("radio.wifi")],
        ..heat("U1")
    };
    let view = record_step(desk, heating(job_id, attached)).unwrap();
    let first = &view.job.judged_steps[0].warnings[0];
    assert!(first.text.contains("still attached"), "{}", first.text);
}

#[test]
fn the_cell_is_warned_about_before_any_number_is_typed() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = on_the_bench(&house);
    let warned = |cell_off: Option<bool>| {
        let heat = HeatInput {
            cell_off,
            ..HeatInput::default()
        };
        let request = PreviewStep {
            job_id,
            heat: Some(heat),
            parts: Vec::new(),
            jumper: None,
        };
        let warnings = preview_step(desk, request).unwrap().warnings;
        warnings.into_iter().next().map(|warning| warning.text)
    };
    assert!(warned(None).unwrap().contains("whether the cell is off"));
    assert!(warned(Some(false)).unwrap().contains("still attached"));
    assert_eq!(warned(Some(true)), None);
}

#[test]
fn a_field_that_cannot_be_read_takes_no_warning_from_the_others() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = on_the_bench(&house);
    let warned = |change: fn(&mut HeatInput)| {
        let mut typed = HeatInput {
            alloy: "SAC305".to_owned(),
            temperature_c: "180".to_owned(),
            cell_off: Some(true),
            ..heat("U1")
        };
        change(&mut typed);
        let request = PreviewStep {
            job_id,
            heat: Some(typed),
            parts: Vec::new(),
            jumper: None,
        };
        let warnings = preview_step(desk, request).unwrap().warnings;
        warnings
            .into_iter()
            .map(|warning| warning.text)
            .collect::<String>()
    };
    let cold = "melts fully at 220 °C";
    assert!(warned(|_| ()).contains(cold));
    assert!(warned(|heat| heat.seconds.clear()).contains(cold));
    assert!(warned(|heat| "long".clone_into(&mut heat.above_liquidus_s)).contains(cold));
    assert!(warned(|heat| heat.neighbours = vec!["U1".to_owned()]).contains(cold));
    let unknown = warned(|heat| "Unobtainium".clone_into(&mut heat.alloy));
    assert!(unknown.contains("named what stands near U1"), "{unknown}");
}

#[test]
fn a_step_after_closing_is_refused_in_one_sentence() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = closed_job(desk, house.shop_id, 7);
    let step = RecordStep {
        text: "One more thing".to_owned(),
        ..RecordStep::on(job_id)
    };
    let said = refusal(record_step(desk, step));
    assert_eq!(said.code, ErrorCode::Refused);
    assert!(
        said.message.contains("closed as repaired"),
        "{}",
        said.message
    );
}
