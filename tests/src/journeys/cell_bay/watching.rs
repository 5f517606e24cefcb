//! Readings of a cell in isolation: those that nobody took, and one that tells of an emergency.

use desk::commands::Nothing;
use desk::commands::cell_bay::{PlaceInIsolation, cell_bay, place_in_isolation, remove_cell};
use desk::commands::rack::{RackFilter, rack};
use desk::commands::start::state;
use domain::Subject;
use domain::cells::{BenchLevel, CellFinding};
use domain::fact::IsolationPlace;

use super::{find, read, taken_out};
use crate::house::{House, check_cell, check_refused, imei, take_in};

const HOUR_MS: i64 = 60 * 60 * 1000;

#[test]
fn a_reading_that_nobody_took_is_loud_until_it_is_taken() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", &imei(1));
    find(&house, job_id, CellFinding::Swollen);
    let around = state(desk, Nothing {}).unwrap();
    assert_eq!((around.cells_in_isolation, around.readings_overdue), (1, 0));
    assert!(around.next_reading_due_ms.is_some());

    house.desk.shift_clock(2 * HOUR_MS);
    assert_eq!(state(desk, Nothing {}).unwrap().readings_overdue, 1);
    let row = &cell_bay(desk, Nothing {}).unwrap().isolated[0];
    let late = row.overdue_ms.unwrap();
    assert!(
        (3_500_000..3_700_000).contains(&late),
        "{late} ms: an hour after the first hour"
    );
    let rows = rack(desk, RackFilter::default()).unwrap().rows;
    assert!(
        rows[0].holds[0].starts_with("a reading of its cell is overdue by"),
        "{:?}",
        rows[0].holds
    );

    read(&house, Subject::Job(job_id), "21.5");
    assert_eq!(state(desk, Nothing {}).unwrap().readings_overdue, 0);
}

#[test]
fn a_cell_that_grows_warmer_is_an_emergency_that_nobody_moves() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", &imei(1));
    find(&house, job_id, CellFinding::Swollen);
    let subject = Subject::Job(job_id);
    read(&house, subject, "24.6");
    let bay = cell_bay(desk, Nothing {}).unwrap();
    assert_eq!(bay.isolated[0].state.level, Some(BenchLevel::Emergency));
    assert_eq!(state(desk, Nothing {}).unwrap().cells_in_emergency, 1);
    check_refused(remove_cell(desk, taken_out(job_id)), "leave it alone");
    let place = PlaceInIsolation {
        subject,
        place: IsolationPlace::OutdoorsBox,
        position: String::new(),
    };
    check_refused(place_in_isolation(desk, place), "leave it alone");
}

#[test]
fn a_sound_cell_asks_for_nothing() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", &imei(1));
    check_cell(&house.desk, job_id);
    let bay = cell_bay(&house.desk, Nothing {}).unwrap();
    assert!(bay.isolated.is_empty() && bay.watched.is_empty());
    assert_eq!(
        state(&house.desk, Nothing {}).unwrap().next_reading_due_ms,
        None
    );
}
