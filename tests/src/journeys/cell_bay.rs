//! The Cell bay: a swollen cell from its check to the recycler, readings that nobody took, and a cell that nobody can judge yet.

use desk::commands::bench::cell::{
    CellCheckInput, RecordCellCheck, preview_cell_check, record_cell_check,
};
use desk::commands::bench::closing::{Withdraw, withdraw};
use desk::commands::bench::{self, JobKey, JobView};
use desk::commands::cell_bay::{
    BayKey, CellReadingInput, HandOverCell, JudgeCell, PlaceInIsolation, RemoveCell, ReturnCell,
    TakeCellReading, cell, cell_bay, hand_over_cell, judge_cell, place_in_isolation, remove_cell,
    return_cell, take_cell_reading,
};
use desk::commands::dock::{
    CountParcel, ReceiveParcel, RecordParcelFindings, ReleaseParcel, count_parcel, receive_parcel,
    record_parcel_findings, release_parcel,
};
use desk::commands::outbound::{OpenReturnParcel, UnpackDevice, open_return_parcel, unpack_device};
use desk::commands::rack::{RackFilter, rack};
use desk::commands::scan::{ScanTarget, ScanText, scan};
use desk::commands::start::{ChoosePerson, choose_person, state};
use desk::commands::transport::{UpdateRule, rule_book, update_rule};
use desk::commands::{Nothing, cell_papers};
use domain::cells::bay::{CellLeft, Diagnosis};
use domain::cells::{BenchLevel, CellFinding};
use domain::fact::{CellVerdict, IsolationPlace, ParcelFinding, Role};
use domain::job::HoldReason;
use domain::{JobId, Subject};

use crate::house::{
    House, add_person, check_cell, closed_job, extra_device, imei, job, pack, refusal, sound_cell,
    take_in,
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
    let view = return_cell(desk, back).unwrap();
    assert!(job(desk, job_id).holds.is_empty());
    assert!(
        view.row.waits_for.contains("goes back under ADR 2025"),
        "{}",
        view.row.waits_for
    );
    let bay = cell_bay(desk, Nothing {}).unwrap();
    assert_eq!(
        bay.isolated.len(),
        1,
        "it lies here until its parcel has left"
    );
    assert!(bay.isolated[0].state.next_reading.is_some());
}

/// A device that a shipper sends back with its swollen cell in it.
fn goes_back_damaged(house: &House, number: u32) -> JobId {
    let job_id = closed_job(&house.desk, house.shop_id, number);
    find(house, job_id, CellFinding::Swollen);
    let back = ReturnCell {
        subject: Subject::Job(job_id),
        provisions: "ADR 2025, special provision 376".to_owned(),
        paper_number: String::new(),
        date: String::new(),
        note: String::new(),
    };
    return_cell(&house.desk, back).unwrap();
    job_id
}

#[test]
fn a_device_with_a_damaged_cell_lies_alone_in_its_parcel() {
    let house = House::founded();
    let desk = &house.desk;
    sign_in(
        &house,
        "Pia Holm",
        &[Role::Shipper, Role::Technician, Role::Receiver],
    );
    let damaged = goes_back_damaged(&house, 4);
    let sound = closed_job(desk, house.shop_id, 5);
    let begin = || {
        let shop_id = house.shop_id;
        let view = open_return_parcel(desk, OpenReturnParcel { shop_id }).unwrap();
        view.parcel.parcel_id
    };
    let parcel_id = begin();
    pack(desk, parcel_id, sound).unwrap();
    let why = refusal(pack(desk, parcel_id, damaged));
    assert_eq!(why.field.as_deref(), Some("scanned"));
    assert!(why.message.contains("lies alone"), "{}", why.message);
    unpack_device(
        desk,
        UnpackDevice {
            parcel_id,
            job_id: sound,
        },
    )
    .unwrap();
    pack(desk, parcel_id, damaged).unwrap();
    let why = refusal(pack(desk, parcel_id, sound));
    assert!(why.message.contains("lies alone"), "{}", why.message);
}

#[test]
fn a_check_that_is_taken_back_is_taken_back_on_the_cell_that_was_taken_out() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", &imei(1));
    check_cell(desk, job_id);
    find(&house, job_id, CellFinding::Leaking);
    let request = RemoveCell {
        job_id,
        place: IsolationPlace::Bay,
        position: String::new(),
        note: String::new(),
    };
    let subject = remove_cell(desk, request).unwrap().row.subject;
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
    let request = RemoveCell {
        job_id,
        place: IsolationPlace::Bay,
        position: String::new(),
        note: String::new(),
    };
    let Subject::Cell(cell_id) = remove_cell(desk, request).unwrap().row.subject else {
        panic!("a removed cell is a subject of its own");
    };
    let hand_over = HandOverCell {
        cell_id,
        recycler: "Quay Metals".to_owned(),
        paper_number: "QM-118".to_owned(),
        date: String::new(),
        note: String::new(),
    };
    hand_over_cell(desk, hand_over).unwrap();
    let take_back = Withdraw {
        subject: Subject::Job(job_id),
        entry_id: job(desk, job_id).cell_checks[0].mark.entry_id,
        reason: "another device".to_owned(),
    };
    let why = refusal(withdraw(desk, take_back));
    assert!(why.message.contains("has left"), "{}", why.message);
}

/// The owner makes one limit of the bench another.
fn set_limit(house: &House, id: &str, value: i64) {
    let rows = rule_book(&house.desk, Nothing {}).unwrap().rows;
    let mut row = rows
        .into_iter()
        .map(|each| each.row)
        .find(|row| row.id == id)
        .unwrap();
    row.value = Some(value);
    let reason = "The maker's sheet, read today".to_owned();
    update_rule(&house.desk, UpdateRule { row, reason }).unwrap();
}

#[test]
fn a_stricter_limit_of_the_lab_isolates_a_later_check_and_leaves_an_earlier_one() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let desk = &house.desk;
    let earlier = take_in(desk, house.shop_id, "K4", &imei(1));
    check_cell(desk, earlier);
    assert_eq!(bench_view(desk, earlier).cell_rules_changed, None);
    set_limit(&house, "BENCH.DEAD", 3_900);
    let later = take_in(desk, house.shop_id, "K5", &imei(2));
    let preview = preview_cell_check(
        desk,
        RecordCellCheck {
            job_id: later,
            check: sound_cell(),
        },
    )
    .unwrap();
    assert_eq!(preview.level, BenchLevel::Isolate);
    check_cell(desk, later);
    house.catch_up(&[&second]);
    for desk in [desk, &second] {
        let view = bench_view(desk, earlier);
        assert_eq!(view.job.cell_state.level, Some(BenchLevel::Clear));
        let said = view.cell_rules_changed.unwrap();
        assert!(
            said.contains("BENCH.DEAD") && said.contains("take a reading"),
            "{said}"
        );
        let view = bench_view(desk, later);
        assert_eq!(view.job.cell_state.level, Some(BenchLevel::Isolate));
        assert_eq!(view.cell_rules_changed, None);
    }
    // A reading of the earlier one judges it by the rules of now, though nobody measured its voltage again.
    let subject = Subject::Job(earlier);
    read(&house, subject, "21.2");
    house.catch_up(&[&second]);
    for desk in [desk, &second] {
        let view = cell(desk, BayKey { subject }).unwrap();
        assert_eq!(view.row.state.level, Some(BenchLevel::Isolate));
        assert_eq!(view.rules_changed, None);
    }
}

fn bench_view(desk: &desk::Desk, job_id: JobId) -> JobView {
    bench::job(desk, JobKey { job_id }).unwrap()
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
