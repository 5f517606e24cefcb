//! A device that comes again is known, in warranty or out of it, and the lab's past is told with its count.

use desk::Desk;
use desk::commands::bench::past::{PastView, past};
use desk::commands::bench::quote::{RecordDiagnosis, record_diagnosis};
use desk::commands::bench::{JobKey, JobView};
use domain::JobId;

use crate::house::{
    House, ROAD_LABEL, check_cell, close, imei, look_over, repair, ship, take_in, test_before,
};

fn view(desk: &Desk, job_id: JobId) -> JobView {
    desk::commands::bench::job(desk, JobKey { job_id }).expect("the job")
}

fn told(desk: &Desk, job_id: JobId) -> PastView {
    past(desk, JobKey { job_id }).expect("the past")
}

/// A repaired device of the usual model.
fn closed_job(house: &House, number: u32) -> JobId {
    let job_id = take_in(&house.desk, house.shop_id, "Nine", &imei(number));
    repair(&house.desk, job_id, &imei(number));
    close(&house.desk, job_id);
    job_id
}

/// A device of the same model that has come as far as its tests before.
fn on_the_bench(house: &House, number: u32) -> JobId {
    let job_id = take_in(&house.desk, house.shop_id, "Nine", &imei(number));
    check_cell(&house.desk, job_id);
    look_over(&house.desk, job_id, &imei(number));
    test_before(&house.desk, job_id);
    job_id
}

#[test]
fn a_comeback_names_its_earlier_stay_its_warranty_and_its_report() {
    let house = House::founded();
    let first = closed_job(&house, 1);
    ship(&house.desk, house.shop_id, &[first], ROAD_LABEL);
    let again = on_the_bench(&house, 1);
    let earlier = view(&house.desk, again).earlier;
    assert_eq!(earlier.len(), 1);
    assert_eq!(earlier[0].row.job_id, first);
    assert_eq!(earlier[0].in_warranty, Some(true));
    assert!(
        earlier[0].warranty.starts_with("in warranty until "),
        "{}",
        earlier[0].warranty
    );
    assert!(earlier[0].report.is_some());
    assert!(view(&house.desk, first).earlier.is_empty());
}

#[test]
fn without_tests_that_show_the_fault_nothing_is_told() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "Nine", &imei(1));
    let told = told(&house.desk, job_id);
    assert!(told.past.is_none() && told.fault.is_empty());
}

#[test]
fn the_past_counts_like_jobs_and_never_gives_a_bare_percentage() {
    let house = House::founded();
    let asked = on_the_bench(&house, 9);
    let none = told(&house.desk, asked).past.expect("a fault");
    assert_eq!(none.fixed_words, "no data");
    for number in 1..=2 {
        closed_job(&house, number);
    }
    let few = told(&house.desk, asked).past.expect("a fault");
    assert_eq!((few.fixed.hits, few.fixed.count), (2, 2));
    assert_eq!(few.fixed_words, "2 of 2, too few for a rate");
    assert_eq!(few.bench_minutes.expect("two times").count, 2);
    assert_eq!(few.parts[0].jobs, 2);
    assert!(few.lasting.steps.is_empty());
    for number in 3..=6 {
        closed_job(&house, number);
    }
    let more = told(&house.desk, asked).past.expect("a fault");
    assert!(
        more.fixed_words.contains("6 of 6 (100 %; 61 to 100 %"),
        "{}",
        more.fixed_words
    );
}

#[test]
fn another_model_and_another_fault_do_not_count() {
    let house = House::founded();
    closed_job(&house, 1);
    let other = take_in(&house.desk, house.shop_id, "Ten", &imei(8));
    check_cell(&house.desk, other);
    look_over(&house.desk, other, &imei(8));
    test_before(&house.desk, other);
    let told = told(&house.desk, other);
    assert_eq!(told.past.expect("a fault").fixed_words, "no data");
}

#[test]
fn a_comeback_with_the_same_fault_counts_against_how_such_repairs_last() {
    let house = House::founded();
    let first = closed_job(&house, 1);
    ship(&house.desk, house.shop_id, &[first], ROAD_LABEL);
    on_the_bench(&house, 1);
    let asked = on_the_bench(&house, 9);
    let lasting = told(&house.desk, asked).past.expect("a fault").lasting;
    assert_eq!((lasting.devices, lasting.comebacks), (1, 1));
}

#[test]
fn the_job_to_go_by_is_the_latest_that_was_repaired_and_nothing_measured_comes_along() {
    let house = House::founded();
    let asked = on_the_bench(&house, 9);
    assert_eq!(
        told(&house.desk, asked).past.expect("a fault").precedent,
        None
    );
    closed_job(&house, 1);
    let latest = take_in(&house.desk, house.shop_id, "Nine", &imei(2));
    repair(&house.desk, latest, &imei(2));
    let diagnosis = RecordDiagnosis {
        job_id: latest,
        text: "The charge controller takes no current.".to_owned(),
        suspect: "U253".to_owned(),
        readings: Vec::new(),
    };
    record_diagnosis(&house.desk, diagnosis).expect("it is on the bench");
    close(&house.desk, latest);
    let told = told(&house.desk, asked);
    let precedent = told
        .past
        .expect("a fault")
        .precedent
        .expect("a job to go by");
    assert_eq!(precedent.job_id, latest);
    let job = view(&house.desk, latest).job;
    assert_eq!(
        precedent.diagnosis,
        "The charge controller takes no current."
    );
    assert_eq!(precedent.suspect, "U253");
    assert!(!job.steps.is_empty());
    assert_eq!(precedent.steps.len(), job.steps.len());
    for (taken_over, step) in precedent.steps.iter().zip(&job.steps) {
        assert_eq!(taken_over.text, step.value.text);
        assert_eq!(taken_over.heat, None);
        assert!(taken_over.parts.iter().all(|part| part.lot.is_empty()));
        assert!(taken_over.photos.is_empty() && taken_over.witness_id.is_none());
    }
    let quote = job.quote.value().expect("a quote");
    assert_eq!(told.quote_lines.len(), quote.lines.len());
    for (typed, line) in told.quote_lines.iter().zip(&quote.lines) {
        let read = domain::money::Money::parse(&typed.amount, line.amount.currency);
        assert_eq!((&typed.text, read), (&line.text, Ok(line.amount)));
    }
}

#[test]
fn a_repair_that_came_back_is_no_job_to_go_by() {
    let house = House::founded();
    let lasting = closed_job(&house, 1);
    let failed = closed_job(&house, 2);
    ship(&house.desk, house.shop_id, &[failed], ROAD_LABEL);
    on_the_bench(&house, 2);
    let asked = on_the_bench(&house, 9);
    let precedent = told(&house.desk, asked).past.expect("a fault").precedent;
    assert_eq!(precedent.expect("a job to go by").job_id, lasting);
}
