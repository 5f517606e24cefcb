//! The Cell bay: a swollen cell from its check to the recycler, readings that nobody took, and a cell that nobody can judge yet.

use desk::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use desk::commands::cell_bay::{
    BayKey, CellReadingInput, HandOverCell, JudgeCell, PlaceInIsolation, RemoveCell, ReturnCell,
    TakeCellReading, cell, cell_bay, hand_over_cell, judge_cell, place_in_isolation, remove_cell,
    return_cell, take_cell_reading,
};
use desk::commands::dock::{
    CountParcel, ReceiveParcel, RecordParcelFindings, ReleaseParcel, count_parcel, receive_parcel,
    record_parcel_findings, release_parcel,
};
use desk::commands::outbound::{OpenReturnParcel, open_return_parcel};
use desk::commands::rack::{RackFilter, rack};
use desk::commands::scan::{ScanTarget, ScanText, scan};
use desk::commands::start::{ChoosePerson, choose_person, state};
use desk::commands::{Nothing, cell_papers};
use domain::cells::bay::{CellLeft, Diagnosis};
use domain::cells::{BenchLevel, CellFinding};
use domain::fact::{CellVerdict, IsolationPlace, ParcelFinding, Role};
use domain::job::HoldReason;
use domain::{JobId, Subject};

use crate::house::{
    House, add_person, check_cell, closed_job, extra_device, imei, job, pack, refusal, take_in,
};

const HOUR_MS: i64 = 60 * 60 * 1000;

/// A check that finds something, with all readings sound.
fn find(house: &House, job_id: JobId, finding: CellFinding) {
    let check = CellCheckInput {
        findings: vec![finding],
        voltage: "3.82".to_owned(),
        cells_in_series: "1".to_owned(),
        surface: "21.4".to_owned(),
        room: "21.0".to_owned(),
        ..CellCheckInput::default()
    };
    record_cell_check(&house.desk, RecordCellCheck { job_id, check }).unwrap();
}

fn reading(surface: &str) -> CellReadingInput {
    CellReadingInput {
        surface: surface.to_owned(),
        room: "21.0".to_owned(),
        ..CellReadingInput::default()
    }
}

fn read(house: &House, subject: Subject, surface: &str) {
    let request = TakeCellReading {
        subject,
        reading: reading(surface),
    };
    take_cell_reading(&house.desk, request).unwrap();
}

/// Signs in somebody who may do what a role may.
fn sign_in(house: &House, name: &str, roles: &[Role]) {
    add_person(&house.desk, name, roles);
    let people = state(&house.desk, Nothing {}).unwrap().people;
    let person = people.iter().find(|person| person.name == name).unwrap();
    choose_person(
        &house.desk,
        ChoosePerson {
            person_id: person.person_id,
        },
    )
    .unwrap();
}

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

    let request = RemoveCell {
        job_id,
        place: IsolationPlace::Drum,
        position: String::new(),
        note: String::new(),
    };
    let removed = remove_cell(desk, request.clone()).unwrap();
    let Subject::Cell(cell_id) = removed.row.subject else {
        panic!("a removed cell is a subject of its own");
    };
    assert_eq!(removed.row.state.level, Some(BenchLevel::Isolate));
    assert_eq!(
        removed.row.state.looks.len(),
        2,
        "what was seen before goes with it"
    );
    assert!(job(desk, job_id).holds.is_empty(), "the device goes on");
    assert!(
        refusal(remove_cell(desk, request))
            .message
            .contains("taken out already")
    );

    let label = format!("WB:C:{}", removed.row.reference.replace('-', ""));
    let answer = scan(desk, ScanText { text: label }).unwrap();
    assert_eq!(answer.matches[0].target, ScanTarget::Cell { cell_id });

    let hand_over = HandOverCell {
        cell_id,
        recycler: "Quay Metals".to_owned(),
        paper_number: "QM-118".to_owned(),
        date: String::new(),
        note: String::new(),
    };
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
    assert!(
        refusal(hand_over_cell(desk, hand_over))
            .message
            .contains("has left")
    );
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
        job_id,
        place: IsolationPlace::Bay,
        position: "B1".to_owned(),
        note: String::new(),
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
    let request = RemoveCell {
        job_id,
        place: IsolationPlace::Bay,
        position: String::new(),
        note: String::new(),
    };
    assert!(
        refusal(remove_cell(desk, request))
            .message
            .contains("leave it alone")
    );
    let place = PlaceInIsolation {
        subject,
        place: IsolationPlace::OutdoorsBox,
        position: String::new(),
    };
    assert!(
        refusal(place_in_isolation(desk, place))
            .message
            .contains("leave it alone")
    );
}

#[test]
fn a_cell_that_nobody_can_judge_keeps_its_device_from_the_parcel() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = closed_job(desk, house.shop_id, 3);
    find(&house, job_id, CellFinding::HardDrop);
    let parcel_id = open_return_parcel(
        desk,
        OpenReturnParcel {
            shop_id: house.shop_id,
        },
    )
    .unwrap()
    .parcel
    .parcel_id;
    let blocked = refusal(pack(desk, parcel_id, job_id));
    assert!(
        blocked.message.contains("sound or damaged"),
        "{}",
        blocked.message
    );

    let subject = Subject::Job(job_id);
    let seen = job(desk, job_id).cell_state.seen_entries();
    let judge = JudgeCell {
        subject,
        verdict: CellVerdict::Sound,
        reason: "opened, flat, no mark, holds its voltage".to_owned(),
        seen,
    };
    sign_in(&house, "Ole Brandt", &[Role::Technician]);
    let not_he = refusal(judge_cell(desk, judge.clone()));
    assert!(
        not_he.message.contains("battery knowledge") && not_he.message.contains("Ada Lorne"),
        "{}",
        not_he.message
    );
    sign_in(&house, "Mira Sol", &[Role::CellExpert]);
    let view = judge_cell(desk, judge).unwrap();
    assert_eq!(view.row.state.diagnosis, Diagnosis::Sound);
    pack(desk, parcel_id, job_id).unwrap();
}

#[test]
fn a_cell_is_not_judged_sound_before_it_was_seen_and_measured() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", &imei(1));
    let check = CellCheckInput {
        findings: vec![CellFinding::NotSeen],
        ..CellCheckInput::default()
    };
    record_cell_check(desk, RecordCellCheck { job_id, check }).unwrap();
    let judge = JudgeCell {
        subject: Subject::Job(job_id),
        verdict: CellVerdict::Sound,
        reason: "looks good from outside".to_owned(),
        seen: job(desk, job_id).cell_state.seen_entries(),
    };
    let refused = refusal(judge_cell(desk, judge));
    for wanted in ["Nobody has seen", "voltage", "temperature"] {
        assert!(refused.message.contains(wanted), "{}", refused.message);
    }
}

#[test]
fn only_a_shipper_sends_a_damaged_cell_back_in_its_device() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = closed_job(desk, house.shop_id, 4);
    find(&house, job_id, CellFinding::Swollen);
    let back = ReturnCell {
        subject: Subject::Job(job_id),
        provisions: "ADR 2025, special provision 376".to_owned(),
        paper_number: String::new(),
        date: String::new(),
        note: String::new(),
    };
    sign_in(&house, "Ole Brandt", &[Role::Technician]);
    assert!(
        refusal(return_cell(desk, back.clone()))
            .message
            .contains("trained for lithium")
    );
    sign_in(&house, "Pia Holm", &[Role::Shipper]);
    return_cell(desk, back).unwrap();
    assert!(job(desk, job_id).holds.is_empty());
}

#[test]
fn a_warm_parcel_stays_closed_until_a_person_with_battery_knowledge_releases_it() {
    let house = House::founded();
    let desk = &house.desk;
    let parcel_id = receive_parcel(
        desk,
        ReceiveParcel {
            parcel_id: None,
            scanned: String::new(),
            shop_id: Some(house.shop_id),
        },
    )
    .unwrap()
    .parcel
    .parcel_id;
    let warm = RecordParcelFindings {
        parcel_id,
        findings: vec![ParcelFinding::Warm],
        note: String::new(),
    };
    record_parcel_findings(desk, warm.clone()).unwrap();
    let count = CountParcel {
        parcel_id,
        found: Vec::new(),
        extra: vec![extra_device("K4", &imei(1))],
        note: String::new(),
    };
    assert!(
        refusal(count_parcel(desk, count.clone()))
            .message
            .contains("do not open it")
    );
    let release = ReleaseParcel {
        parcel_id,
        reason: "stood in the sun; at room temperature since two hours".to_owned(),
    };
    sign_in(&house, "Ole Brandt", &[Role::Receiver]);
    assert!(
        refusal(release_parcel(desk, release.clone()))
            .message
            .contains("battery knowledge")
    );
    sign_in(&house, "Mira Sol", &[Role::CellExpert]);
    assert!(!release_parcel(desk, release.clone()).unwrap().parcel.danger);
    record_parcel_findings(desk, warm).unwrap();
    assert!(
        refusal(count_parcel(desk, count.clone()))
            .message
            .contains("do not open it"),
        "a new finding closes it again"
    );
    release_parcel(desk, release).unwrap();
    count_parcel(desk, count).unwrap();
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
