//! Work that opens tests: the board's knowledge at the bench, jumpers, lots, procedures, and what is refused.

use desk::Desk;
use desk::ErrorCode;
use desk::commands::Nothing;
use desk::commands::bench::JobKey;
use desk::commands::bench::closing::{Withdraw, withdraw};
use desk::commands::bench::heat::{PreviewStep, preview_step, work_aids};
use desk::commands::bench::work::{
    HeatInput, JumperInput, RecordStep, StepOfProcedure, record_step,
};
use desk::commands::boards::{
    AddNeighbour, BoardKey, SaveBoard, SaveBoardPart, SetNearness, add_neighbour, board, boards,
    save_board, save_board_part, set_nearness,
};
use desk::commands::lots::{
    BagEvent, RecordBake, SaveLot, SetLotBag, lots, record_bake, save_lot, set_lot_bag,
};
use desk::commands::procedures::{
    BeginProcedure, SaveProcedure, begin_procedure, procedures, save_procedure,
};
use domain::fact::{
    BoardCode, BoardSide, FittedPart, JobOutcome, LotNumber, PartSource, ProcedureCode,
    ProcedureStep, Role, TestCode,
};
use domain::job::{Block, TestReason, may_close};
use domain::rework::MoistureLevel;
use domain::{EntryId, JobId, PersonId};

use crate::house::{
    House, IMEI, add_person, agree_by_word, check_cell, closed_job, code, extra_device, job,
    look_over, quote, refusal, state_of, take_in, test_before,
};

const MODEL: &str = "K4";

/// A device that may be worked on.
fn on_the_bench(house: &House) -> JobId {
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, MODEL, IMEI);
    check_cell(desk, job_id);
    look_over(desk, job_id, IMEI);
    test_before(desk, job_id);
    quote(desk, job_id, "89");
    agree_by_word(desk, job_id);
    job_id
}

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

fn heat(part: &str) -> HeatInput {
    HeatInput {
        part: part.to_owned(),
        temperature_c: "350".to_owned(),
        seconds: "40".to_owned(),
        cell_off: Some(true),
        ..HeatInput::default()
    }
}

fn heating(job_id: JobId, heat: HeatInput) -> RecordStep {
    RecordStep {
        text: "Replaced the charge controller".to_owned(),
        heat: Some(heat),
        ..RecordStep::on(job_id)
    }
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

fn closing_blocks(desk: &Desk, job_id: JobId) -> Vec<Block> {
    may_close(&job(desk, job_id), JobOutcome::Repaired)
        .into_iter()
        .map(|missing| missing.block)
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
    let said = refusal(add_neighbour(desk, add("U2400", "u2400")));
    assert!(said.message.contains("near itself"), "{}", said.message);
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
    let said = refusal(set_nearness(&house.desk, near("U2400", "u2400")));
    assert!(said.message.contains("near itself"), "{}", said.message);
    let said = refusal(set_nearness(&house.desk, near("U2400", "U9")));
    assert!(
        said.message.contains("U9 is not described"),
        "{}",
        said.message
    );
}

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

fn lot() -> LotNumber {
    LotNumber("L-7".to_owned())
}

#[test]
fn a_part_whose_floor_life_is_over_may_be_used_and_is_named() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = on_the_bench(&house);
    let receipt = SaveLot {
        lot: "l-7".to_owned(),
        description: "charge controller".to_owned(),
        moisture: Some(MoistureLevel::L3),
        label_hours: String::new(),
        thickness: "0.9".to_owned(),
        history_unknown: true,
        used_up: false,
    };
    let view = save_lot(desk, receipt).unwrap();
    assert!(
        view.lots[0].bake_words.contains("9 h"),
        "{}",
        view.lots[0].bake_words
    );
    let fitted = FittedPart {
        designator: "U1".to_owned(),
        description: "charge controller".to_owned(),
        source: PartSource::New,
        lot: "L-7".to_owned(),
    };
    let step = |parts: Vec<FittedPart>| RecordStep {
        text: "Fitted it".to_owned(),
        parts,
        ..RecordStep::on(job_id)
    };
    let view = record_step(desk, step(vec![fitted.clone()])).unwrap();
    assert!(
        view.job.judged_steps[0].warnings[0]
            .text
            .contains("unknown history")
    );
    let bake = |hours: &str| RecordBake {
        lot: lot(),
        ended: String::new(),
        hours: hours.to_owned(),
        temperature_c: "125".to_owned(),
        as_maker_says: String::new(),
    };
    assert!(
        !record_bake(desk, bake("8")).unwrap().lots[0]
            .floor_life
            .as_ref()
            .unwrap()
            .usable
    );
    assert!(
        record_bake(desk, bake("9")).unwrap().lots[0]
            .floor_life
            .as_ref()
            .unwrap()
            .usable
    );
    let view = record_step(desk, step(vec![fitted])).unwrap();
    assert_eq!(view.job.judged_steps[1].warnings, []);
    let bag = |event: BagEvent| SetLotBag {
        lot: lot(),
        event,
        at: String::new(),
    };
    set_lot_bag(desk, bag(BagEvent::Opened)).unwrap();
    let said = refusal(set_lot_bag(desk, bag(BagEvent::Opened)));
    assert!(said.message.contains("open already"), "{}", said.message);
    set_lot_bag(desk, bag(BagEvent::Closed)).unwrap();
    assert!(!lots(desk, Nothing {}).unwrap().lots[0].open);
}

#[test]
fn a_bag_that_was_opened_in_the_future_is_refused() {
    let house = House::founded();
    let receipt = SaveLot {
        lot: "L-7".to_owned(),
        description: "controller".to_owned(),
        moisture: None,
        label_hours: String::new(),
        thickness: String::new(),
        history_unknown: false,
        used_up: false,
    };
    save_lot(&house.desk, receipt).unwrap();
    let at = |at: &str| SetLotBag {
        lot: lot(),
        event: BagEvent::Opened,
        at: at.to_owned(),
    };
    let said = refusal(set_lot_bag(&house.desk, at("2999-01-01 10:00")));
    assert!(said.message.contains("still ahead"), "{}", said.message);
    let said = refusal(set_lot_bag(&house.desk, at("yesterday")));
    assert!(said.message.contains("is no time"), "{}", said.message);
}

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
    assert!(
        refusal(begin_procedure(desk, begin()))
            .message
            .contains("already")
    );
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
    let said = refusal(record_step(desk, place(begun_id, job_id, 2, None)));
    assert!(
        said.message.contains("“pads whole” is a hold point"),
        "{}",
        said.message
    );
    let said = refusal(record_step(desk, place(begun_id, job_id, 1, None)));
    assert_eq!(said.field.as_deref(), Some("witness_id"));
    let said = refusal(record_step(desk, place(begun_id, job_id, 1, Some(own))));
    assert_eq!(said.field.as_deref(), Some("witness_id"));
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
