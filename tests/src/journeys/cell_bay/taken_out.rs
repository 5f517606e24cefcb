//! A cell that is taken out of its device, on its way to the recycler, and checks of it that are taken back.

use desk::commands::bench::closing::{Withdraw, withdraw};
use desk::commands::cell_bay::{
    BayKey, HandOverCell, PlaceInIsolation, RemoveCell, cell, cell_bay, hand_over_cell,
    place_in_isolation, remove_cell,
};
use desk::commands::scan::{ScanTarget, ScanText, scan};
use desk::commands::{Nothing, cell_papers};
use domain::Subject;
use domain::cells::bay::{CellLeft, Diagnosis};
use domain::cells::{BenchLevel, CellFinding};
use domain::fact::IsolationPlace;
use domain::job::HoldReason;

use super::{cell_of, find, read, taken_out, to_the_recycler};
use crate::house::{House, check_cell, check_refused, imei, job, refusal, take_in};

#[test]
fn a_swollen_cell_goes_from_its_check_to_the_recycler() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", &imei(1));
    find(&house, job_id, CellFinding::Swollen);
    assert_eq!(job(desk, job_id).holds, [HoldReason::CellInIsolation]);
    let device = Subject::Job(job_id);
    let placed = PlaceInIsolation {
        subject: device,
        place: IsolationPlace::Bay,
        position: "B3".to_owned(),
    };
    let view = place_in_isolation(desk, placed).unwrap();
    assert_eq!(view.row.state.placed.unwrap().value.position, "B3");
    read(&house, device, "21.6");

    let into_the_drum = RemoveCell {
        place: IsolationPlace::Drum,
        ..taken_out(job_id)
    };
    let removed = remove_cell(desk, into_the_drum.clone()).unwrap();
    let cell_id = cell_of(&removed);
    assert_eq!(removed.row.state.level, Some(BenchLevel::Isolate));
    assert_eq!(
        removed.row.state.looks.len(),
        2,
        "what was seen before goes with it"
    );
    assert!(job(desk, job_id).holds.is_empty(), "the device goes on");
    check_refused(remove_cell(desk, into_the_drum), "taken out already");

    let label = format!("WB:C:{}", removed.row.reference.replace('-', ""));
    let answer = scan(desk, ScanText { text: label }).unwrap();
    assert_eq!(answer.matches[0].target, ScanTarget::Cell { cell_id });

    let hand_over = to_the_recycler(cell_id);
    let unnumbered = HandOverCell {
        paper_number: String::new(),
        ..hand_over.clone()
    };
    assert_eq!(
        refusal(hand_over_cell(desk, unnumbered)).field.as_deref(),
        Some("paper_number")
    );
    let gone = hand_over_cell(desk, hand_over.clone()).unwrap();
    assert!(matches!(
        gone.row.state.left,
        Some(CellLeft::HandedOver { .. })
    ));
    check_refused(hand_over_cell(desk, hand_over), "has left");
    let bay = cell_bay(desk, Nothing {}).unwrap();
    assert!(bay.isolated.is_empty());
    assert_eq!(bay.left[0].cell_id, cell_id);
    let paper = cell_papers::print_handover(
        desk,
        cell_papers::PrintHandover {
            cell_id,
            size: desk::commands::PaperSize::A4,
        },
    )
    .unwrap();
    assert!(paper.size_bytes > 0);
}

#[test]
fn another_desktop_shows_the_same_bay() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let job_id = take_in(&house.desk, house.shop_id, "K4", &imei(1));
    find(&house, job_id, CellFinding::Bent);
    let request = RemoveCell {
        position: "B1".to_owned(),
        ..taken_out(job_id)
    };
    let removed = remove_cell(&house.desk, request).unwrap();
    house.catch_up(&[&second]);
    let key = BayKey {
        subject: removed.row.subject,
    };
    let there = cell(&second, key).unwrap();
    assert_eq!(there.row.state, removed.row.state);
    // A shop's page says nothing of cells as such; its device still shows.
    let page = house.counter().get(&format!("/devices/{job_id}"));
    assert_eq!(page.status, 200);
}

#[test]
fn a_check_that_is_taken_back_is_taken_back_on_the_cell_that_was_taken_out() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", &imei(1));
    check_cell(desk, job_id);
    find(&house, job_id, CellFinding::Leaking);
    let subject = remove_cell(desk, taken_out(job_id)).unwrap().row.subject;
    let slip = job(desk, job_id).cell_checks[1].mark.entry_id;
    let take_back = Withdraw {
        subject: Subject::Job(job_id),
        entry_id: slip,
        reason: "the leak was of another device".to_owned(),
    };
    withdraw(desk, take_back).unwrap();
    house.catch_up(&[&second]);
    for desk in [desk, &second] {
        let state = cell(desk, BayKey { subject }).unwrap().row.state;
        assert_eq!(state.looks.len(), 1);
        assert_eq!(state.diagnosis, Diagnosis::Sound);
        assert_eq!(
            state.level,
            Some(BenchLevel::Isolate),
            "who put it in isolation is not overruled"
        );
    }
}

#[test]
fn a_check_on_which_a_recyclers_record_rests_is_not_taken_back() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", &imei(1));
    find(&house, job_id, CellFinding::Leaking);
    let cell_id = cell_of(&remove_cell(desk, taken_out(job_id)).unwrap());
    let hand_over = to_the_recycler(cell_id);
    hand_over_cell(desk, hand_over).unwrap();
    let take_back = Withdraw {
        subject: Subject::Job(job_id),
        entry_id: job(desk, job_id).cell_checks[0].mark.entry_id,
        reason: "another device".to_owned(),
    };
    check_refused(withdraw(desk, take_back), "has left");
}
