//! A desktop whose clock is three days off.

use desk::commands::bench::work::{RecordNote, record_note};

use crate::house::{Desktop, House, IMEI, assert_same, check_cell, job, state_of, take_in};

const DAY_MS: i64 = 24 * 60 * 60 * 1000;

/// How far another desktop's clock may be pushed ahead by what it hears: `logbook::hlc`.
const BOUND_MS: u64 = logbook::ADOPTION_MAX_MS;

fn now_ms() -> u64 {
    desk::ports::Ports::system().clock.now_ms()
}

/// When the last note of a job says it was written.
fn last_note_ms(desk: &desk::Desk, job_id: domain::JobId) -> u64 {
    job(desk, job_id)
        .notes
        .iter()
        .map(|note| note.mark.at_ms)
        .max()
        .unwrap()
}

fn note(desk: &desk::Desk, job_id: domain::JobId, text: &str) {
    record_note(
        desk,
        RecordNote {
            job_id,
            text: text.to_owned(),
        },
    )
    .unwrap();
}

#[test]
fn three_days_fast_works_is_said_and_pushes_nobody_else() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    house.desk.sync_now().unwrap();
    let fast = Desktop::new();
    fast.shift_clock(3 * DAY_MS);
    house.join(&fast, "Bench two");
    check_cell(&fast, job_id);
    note(&fast, job_id, "by the fast clock");
    fast.sync_now().unwrap();
    let warning = state_of(&fast).clock_warning;
    assert!(
        warning.contains("3 days fast") && warning.contains("Nothing is lost"),
        "{warning}"
    );

    house.catch_up(&[&fast]);
    assert_same(&house.desk, &fast);
    assert_eq!(
        state_of(&house.desk).clock_warning,
        "",
        "the other one is right"
    );
    assert!(
        job(&house.desk, job_id).cell().is_some(),
        "no fact is lost by it"
    );

    // What the right desktop writes next stands at its own time, at most the bound ahead.
    let other = take_in(&house.desk, house.shop_id, "K5", &crate::house::imei(5));
    note(&house.desk, other, "by the right clock");
    assert!(last_note_ms(&house.desk, other) <= now_ms() + BOUND_MS + 1_000);
    // Nor is the shop's next answer pushed ahead: the server keeps to its own clock too.
    house.catch_up(&[&fast]);
    let page = house.counter().get(&format!("/devices/{other}"));
    assert_eq!(page.status, 200);
    let mut counter = house.counter_of(house.shop_id, "second@corner.example");
    counter.get(&format!("/devices/{other}"));
    assert_eq!(
        counter
            .post(
                &format!("/devices/{other}/messages"),
                &[("text", "any news?")]
            )
            .status,
        303
    );
    house.desk.sync_now().unwrap();
    let message = job(&house.desk, other).messages.last().unwrap().mark.at_ms;
    assert!(message <= now_ms() + BOUND_MS + 1_000, "{message}");
}

#[test]
fn three_days_slow_works_is_said_and_follows_what_it_has_seen() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    check_cell(&house.desk, job_id);
    house.desk.sync_now().unwrap();
    let slow = Desktop::new();
    slow.shift_clock(-3 * DAY_MS);
    house.join(&slow, "Bench two");
    let warning = state_of(&slow).clock_warning;
    assert!(warning.contains("3 days slow"), "{warning}");
    note(&slow, job_id, "by the slow clock");
    house.catch_up(&[&slow]);
    assert_same(&house.desk, &slow);
    let held = job(&house.desk, job_id);
    assert_eq!(held.notes.len(), 1);
    assert!(held.cell().is_some());
}

#[test]
fn a_clock_that_is_set_back_never_makes_an_entry_stand_before_what_it_followed() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    house.desk.shift_clock(3 * DAY_MS);
    note(&house.desk, job_id, "first");
    house.desk.shift_clock(0);
    note(&house.desk, job_id, "second");
    let texts: Vec<String> = job(&house.desk, job_id)
        .notes
        .iter()
        .map(|note| note.value.text.clone())
        .collect();
    assert_eq!(texts, ["first", "second"]);
}
