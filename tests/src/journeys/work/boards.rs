//! The board's knowledge at the bench: what heat reaches, which tests it opens, and what is refused of it.

use desk::commands::Nothing;
use desk::commands::bench::JobKey;
use desk::commands::bench::closing::{Withdraw, withdraw};
use desk::commands::bench::heat::{PreviewStep, preview_step, work_aids};
use desk::commands::bench::work::{HeatInput, record_step};
use desk::commands::boards::{
    AddNeighbour, BoardKey, SaveBoard, SaveBoardPart, SetNearness, add_neighbour, board, boards,
    save_board, save_board_part, set_nearness,
};
use desk::{Desk, ErrorCode};
use domain::JobId;
use domain::fact::{BoardCode, BoardSide, TestCode};
use domain::job::{Block, TestReason};
use domain::rework::MoistureLevel;

use super::{MODEL, closing_blocks, heat, heating, on_the_bench};
use crate::house::{House, IMEI, check_refused, code, extra_device, job, refusal};

fn board_code() -> BoardCode {
    BoardCode("MB-K4".to_owned())
}

fn part(designator: &str, side: BoardSide, serves: &[&str]) -> SaveBoardPart {
    SaveBoardPart {
        board: board_code(),
        designator: designator.to_owned(),
        description: format!("part {designator}"),
        side,
        length: "7".to_owned(),
        width: "7 mm".to_owned(),
        thickness: "0.9".to_owned(),
        moisture: Some(MoistureLevel::L3),
        serves: serves.iter().map(|test| code(test)).collect(),
        gone: false,
    }
}

fn near(one: &str, other: &str) -> SetNearness {
    SetNearness {
        board: board_code(),
        one: one.to_owned(),
        other: other.to_owned(),
        near: true,
        note: String::new(),
    }
}

/// A board with a charge controller on top and a radio part behind it.
fn known_board(desk: &Desk) {
    let maker = extra_device(MODEL, IMEI).maker;
    save_board(
        desk,
        SaveBoard {
            code: "mb-k4".to_owned(),
            name: "Main board".to_owned(),
            maker,
            models: vec![MODEL.to_owned()],
            note: String::new(),
            retired: false,
        },
    )
    .unwrap();
    save_board_part(desk, part("u2400", BoardSide::Top, &["charge.current"])).unwrap();
    save_board_part(
        desk,
        part(
            "U5200",
            BoardSide::Bottom,
            &["radio.registration", "radio.call"],
        ),
    )
    .unwrap();
    set_nearness(desk, near("U2400", "U5200")).unwrap();
}

/// The form as the knowledge of the board fills it in.
fn filled(desk: &Desk, job_id: JobId, mut heat: HeatInput) -> HeatInput {
    let preview = preview_step(
        desk,
        PreviewStep {
            job_id,
            heat: Some(heat.clone()),
            parts: Vec::new(),
            jumper: None,
        },
    )
    .unwrap();
    heat.neighbours = preview
        .neighbours
        .into_iter()
        .map(|near| near.designator)
        .collect();
    heat.neighbour_tests = preview.tests.into_iter().map(|test| test.code).collect();
    heat
}

fn opened(desk: &Desk, job_id: JobId) -> Vec<String> {
    job(desk, job_id)
        .comparison
        .into_iter()
        .filter(|row| row.reason == TestReason::Neighbour)
        .map(|row| row.code.0)
        .collect()
}

#[test]
fn heat_on_a_charge_controller_opens_the_tests_of_the_radio_part_behind_it() {
    let house = House::founded();
    let desk = &house.desk;
    known_board(desk);
    let job_id = on_the_bench(&house);
    let heat = filled(desk, job_id, heat("u2400"));
    assert_eq!(heat.neighbours, ["U5200"]);
    record_step(desk, heating(job_id, heat)).unwrap();
    assert_eq!(opened(desk, job_id), ["radio.registration", "radio.call"]);
    assert!(closing_blocks(desk, job_id).contains(&Block::NeighbourNotProved));
    let folded = job(desk, job_id);
    let heated = folded.steps[0].value.heat.as_ref().unwrap();
    assert_eq!(
        heated.body.unwrap().thickness_um,
        900,
        "the body is copied onto the step"
    );
    assert_eq!(folded.judged_steps[0].pass, Some(1));
}

#[test]
fn what_the_board_names_is_left_out_for_a_reason_only() {
    let house = House::founded();
    let desk = &house.desk;
    known_board(desk);
    let job_id = on_the_bench(&house);
    let said = refusal(record_step(desk, heating(job_id, heat("U2400"))));
    assert_eq!(said.field.as_deref(), Some("changed_because"));
    assert!(said.message.contains("U5200"), "{}", said.message);
    let reasoned = HeatInput {
        changed_because: "this device has no radio part".to_owned(),
        ..heat("U2400")
    };
    let view = record_step(desk, heating(job_id, reasoned)).unwrap();
    let kept = view.job.steps[0].value.heat.as_ref().unwrap();
    assert_eq!(kept.changed_because, "this device has no radio part");
}

#[test]
fn a_neighbour_named_at_the_bench_is_known_to_the_next_job() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = on_the_bench(&house);
    let ask = |part: &str| {
        let request = PreviewStep {
            job_id,
            heat: Some(heat(part)),
            parts: Vec::new(),
            jumper: None,
        };
        preview_step(desk, request).unwrap()
    };
    assert!(ask("U2400").knowledge.contains("name its neighbours"));
    let add = |heated: &str, neighbour: &str| AddNeighbour {
        job_id,
        board: None,
        heated: heated.to_owned(),
        heated_side: BoardSide::Top,
        neighbour: neighbour.to_owned(),
        description: "radio part".to_owned(),
        side: BoardSide::Bottom,
        serves: vec![code("radio.call")],
    };
    check_refused(add_neighbour(desk, add("U2400", "u2400")), "near itself");
    add_neighbour(desk, add("U2400", "U5200")).unwrap();
    let preview = ask("U2400");
    assert_eq!(preview.knowledge, "");
    assert_eq!(preview.tests.len(), 1);
    assert_eq!(boards(desk, Nothing {}).unwrap().boards.len(), 1);
    let aids = work_aids(desk, JobKey { job_id }).unwrap();
    assert_eq!(aids.boards[0].parts.len(), 2);
}

#[test]
fn a_board_reaches_the_other_desktop_and_what_is_taken_back_is_gone() {
    let house = House::founded();
    let desk = &house.desk;
    known_board(desk);
    let other = house.second_desktop("Bench 2");
    house.catch_up(&[&other]);
    let key = || BoardKey { code: board_code() };
    let view = board(&other, key()).unwrap();
    assert_eq!(view.parts.len(), 2);
    let pair = view.trail.last().unwrap().mark.entry_id;
    let request = Withdraw {
        subject: view.subject,
        entry_id: pair,
        reason: "the wrong board".to_owned(),
    };
    withdraw(&other, request).unwrap();
    assert!(board(&other, key()).unwrap().parts[0].neighbours.is_empty());
    house.catch_up(&[&other]);
    assert!(board(desk, key()).unwrap().parts[0].neighbours.is_empty());
}

fn check_part(change: impl FnOnce(&mut SaveBoardPart), field: &str, words: &str) {
    let house = House::founded();
    known_board(&house.desk);
    let mut part = part("U7", BoardSide::Top, &[]);
    change(&mut part);
    let said = refusal(save_board_part(&house.desk, part));
    assert_eq!(said.code, ErrorCode::Field);
    assert_eq!(said.field.as_deref(), Some(field), "{}", said.message);
    assert!(said.message.contains(words), "{}", said.message);
}

#[test]
fn a_size_in_metres_is_refused_by_its_field() {
    check_part(
        |part| "0.9 m".clone_into(&mut part.thickness),
        "thickness",
        "not in millimetres",
    );
}

#[test]
fn a_size_that_no_part_has_points_at_its_unit() {
    check_part(
        |part| "900".clone_into(&mut part.length),
        "length",
        "look at the unit",
    );
}

#[test]
fn two_of_three_sizes_say_nothing() {
    check_part(|part| part.width.clear(), "width", "or none of them");
}

#[test]
fn a_test_that_the_catalogue_lacks_is_named() {
    check_part(
        |part| part.serves = vec![TestCode("radio.smoke".to_owned())],
        "serves",
        "“radio.smoke” is no test",
    );
}

#[test]
fn a_part_is_not_near_itself_nor_near_an_unknown_one() {
    let house = House::founded();
    known_board(&house.desk);
    check_refused(
        set_nearness(&house.desk, near("U2400", "u2400")),
        "near itself",
    );
    check_refused(
        set_nearness(&house.desk, near("U2400", "U9")),
        "U9 is not described",
    );
}
