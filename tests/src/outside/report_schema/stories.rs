//! Jobs that end in every way there is, each with the facts that its record can hold. Each gives a job with its report made.

use std::fmt::Write as _;

use base64::Engine as _;
use desk::Desk;
use desk::PhotoTarget;
use desk::commands::PaperSize;
use desk::commands::bench::closing::{
    MakeReport, OverrideBlock, SetOutcome, make_report, override_block, set_outcome,
};
use desk::commands::bench::look_over::{
    RecordAccessories, RecordCondition, record_accessories, record_condition,
};
use desk::commands::bench::proof::{RecordResult, ResultInput, record_result};
use desk::commands::bench::quote::{BoardReadingInput, RecordDiagnosis, record_diagnosis};
use desk::commands::bench::trace::TraceFile;
use desk::commands::bench::work::{
    HeatInput, JumperInput, RecordStep, StepOfProcedure, record_step,
};
use desk::commands::cell_bay::{RemoveCell, remove_cell};
use desk::commands::dock::{
    CountParcel, ReceiveParcel, RecordParcelFindings, count_parcel, receive_parcel,
    record_parcel_findings,
};
use desk::commands::lots::{SaveLot, save_lot};
use desk::commands::procedures::{BeginProcedure, SaveProcedure, begin_procedure, save_procedure};
use domain::fact::{
    Answer, Assembly, Blemish, Condition, Face, FittedPart, IsolationPlace, JobOutcome,
    ParcelFinding, PartSource, Phase, PhotoPlace, ProcedureCode, ProcedureStep, Role,
};
use domain::job::Block;
use domain::reading::Unit;
use domain::rework::{MeasuredAt, MoistureLevel};
use domain::{JobId, Subject};

use crate::house::{
    FAULT_TEST, House, IMEI, NEIGHBOUR_TEST, OTHER_TEST, TRACKING, add_person, agree_by_word,
    all_jobs, answer_by_word, check_cell, choose, close, closed_job, code, imei, jpeg, look_over,
    quote, reading, result, state_of, take_in, test_after, test_before, work,
};

/// Sets an outcome and makes the report.
fn end(desk: &Desk, job_id: JobId, outcome: JobOutcome, words: &str) -> JobId {
    let request = SetOutcome {
        job_id,
        outcome,
        words: words.to_owned(),
        warranty_days: String::new(),
    };
    set_outcome(desk, request).expect("it may be closed so");
    let size = PaperSize::A4;
    make_report(desk, MakeReport { job_id, size }).expect("an outcome is set");
    job_id
}

fn looked_over(house: &House, number: u32) -> JobId {
    let job_id = take_in(&house.desk, house.shop_id, "K4", &imei(number));
    check_cell(&house.desk, job_id);
    look_over(&house.desk, job_id, &imei(number));
    job_id
}

fn tested(house: &House, number: u32) -> JobId {
    let job_id = looked_over(house, number);
    test_before(&house.desk, job_id);
    job_id
}

fn diagnose(desk: &Desk, job_id: JobId, text: &str) {
    let request = RecordDiagnosis {
        job_id,
        text: text.to_owned(),
        suspect: "U2400".to_owned(),
        readings: vec![BoardReadingInput {
            point: "VBUS".to_owned(),
            value: "0.4".to_owned(),
            unit: Unit::Volt,
            expected: "5.0 V".to_owned(),
        }],
    };
    record_diagnosis(desk, request).expect("it was tested");
}

/// Ends a job that nobody repairs, for a reason that is written down.
fn give_up(house: &House, number: u32, why: &str, outcome: JobOutcome, words: &str) -> JobId {
    let (desk, job_id) = (&house.desk, tested(house, number));
    diagnose(desk, job_id, why);
    end(desk, job_id, outcome, words)
}

fn photo(desk: &Desk, job_id: JobId, place: PhotoPlace, seed: u8) -> domain::ContentHash {
    let target = PhotoTarget {
        subject: Subject::Job(job_id),
        place,
        caption: "the charging corner".to_owned(),
        beside: None,
    };
    let taken = desk.take_photo(&jpeg(320, 240, u32::from(seed)), &target);
    taken.expect("a good picture").hash
}

pub(super) fn repaired(house: &House) -> JobId {
    closed_job(&house.desk, house.shop_id, 1)
}

pub(super) fn in_part(house: &House) -> JobId {
    let (desk, job_id) = (&house.desk, tested(house, 2));
    let camera = "camera.each";
    choose(
        desk,
        job_id,
        &[FAULT_TEST, NEIGHBOUR_TEST, OTHER_TEST, camera],
    );
    result(desk, job_id, Phase::Before, camera, ResultInput::Fail);
    quote(desk, job_id, "89");
    agree_by_word(desk, job_id);
    work(desk, job_id);
    test_after(desk, job_id);
    result(desk, job_id, Phase::After, camera, ResultInput::Fail);
    end(
        desk,
        job_id,
        JobOutcome::RepairedInPart,
        "It charges; the camera is gone.",
    )
}

pub(super) fn no_fault_found(house: &House) -> JobId {
    let (desk, job_id) = (&house.desk, looked_over(house, 3));
    choose(desk, job_id, &[FAULT_TEST]);
    result(desk, job_id, Phase::Before, FAULT_TEST, reading("1.51"));
    end(
        desk,
        job_id,
        JobOutcome::NoFaultFound,
        "It charged every time.",
    )
}

pub(super) fn not_repairable(house: &House) -> JobId {
    give_up(
        house,
        4,
        "The processor's pads are torn",
        JobOutcome::NotRepairable,
        "The board is torn under the processor.",
    )
}

pub(super) fn beyond_economic_repair(house: &House) -> JobId {
    give_up(
        house,
        5,
        "Six chips are corroded",
        JobOutcome::BeyondEconomicRepair,
        "It would cost more than it is worth.",
    )
}

pub(super) fn declined(house: &House) -> JobId {
    let (desk, job_id) = (&house.desk, tested(house, 6));
    quote(desk, job_id, "310");
    answer_by_word(desk, job_id, Answer::Ask, "with a new port?");
    answer_by_word(desk, job_id, Answer::Refuse, "too dear");
    end(desk, job_id, JobOutcome::Declined, "")
}

pub(super) fn data_only(house: &House) -> JobId {
    let (desk, job_id) = (&house.desk, tested(house, 7));
    quote(desk, job_id, "60");
    agree_by_word(desk, job_id);
    end(
        desk,
        job_id,
        JobOutcome::DataOnly,
        "Pictures and contacts are on the stick.",
    )
}

/// A cell that swelled is taken out; the device goes back without one.
pub(super) fn cell_removed(house: &House) -> JobId {
    let (desk, job_id) = (&house.desk, tested(house, 8));
    let request = RemoveCell {
        job_id,
        place: IsolationPlace::Drum,
        position: String::new(),
        note: "its wrapper is torn".to_owned(),
    };
    remove_cell(desk, request).expect("it was checked");
    diagnose(desk, job_id, "Nothing but the cell is wrong");
    end(
        desk,
        job_id,
        JobOutcome::NotRepairable,
        "It goes back without its cell.",
    )
}

/// A device that a shop announced, with everything in its record that can be.
pub(super) fn rich_repair(house: &House) -> JobId {
    let desk = &house.desk;
    let job_id = announced(house);
    check_cell(desk, job_id);
    look_over(desk, job_id, IMEI);
    let condition = Condition {
        face: Face::Back,
        x_permille: 400,
        y_permille: 120,
        blemish: Blemish::Crack,
        note: "hairline".to_owned(),
        photos: vec![photo(desk, job_id, PhotoPlace::Condition, 1)],
    };
    record_condition(desk, RecordCondition { job_id, condition }).expect("it is here");
    let items = vec!["SIM tray".to_owned()];
    record_accessories(desk, RecordAccessories { job_id, items }).expect("it is here");
    before(desk, job_id);
    diagnose(desk, job_id, "The charge controller takes nothing");
    quote(desk, job_id, "89");
    agree_by_word(desk, job_id);
    by_procedure(desk, job_id);
    with_a_lot_and_a_jumper(desk, job_id);
    after(desk, job_id);
    close(desk, job_id);
    job_id
}

fn announced(house: &House) -> JobId {
    let desk = &house.desk;
    let mut counter = house.counter();
    counter.add_phone("K4", IMEI, "does not charge");
    counter.announce(TRACKING);
    desk.sync_now().expect("in touch");
    let known = all_jobs(desk).pop().expect("the announced device");
    let parcel_id = known.parcel_id.expect("its parcel");
    let receive = ReceiveParcel {
        parcel_id: Some(parcel_id),
        scanned: TRACKING.to_owned(),
        shop_id: None,
    };
    receive_parcel(desk, receive).expect("it came");
    let findings = RecordParcelFindings {
        parcel_id,
        findings: vec![ParcelFinding::Crushed],
        note: "one corner".to_owned(),
    };
    record_parcel_findings(desk, findings).expect("it is here");
    let count = CountParcel {
        parcel_id,
        found: vec![known.job_id],
        extra: Vec::new(),
        note: String::new(),
    };
    count_parcel(desk, count).expect("it was taken in");
    known.job_id
}

/// A rise of the current that settles, as a bench supply writes it down.
fn boot_trace() -> TraceFile {
    let mut text = "Time (s),Current (A)\n".to_owned();
    for row in 0..400_u32 {
        let milliamperes = match row {
            0..20 => 0,
            20..120 => 180 + row % 3,
            _ => 420 + row % 2,
        };
        let (seconds, amperes) = (f64::from(row) / 10.0, f64::from(milliamperes) / 1000.0);
        writeln!(text, "{seconds:.1},{amperes:.3}").expect("a text takes all");
    }
    TraceFile {
        name: "boot.csv".to_owned(),
        base64: base64::engine::general_purpose::STANDARD.encode(text),
    }
}

fn record(
    desk: &Desk,
    job_id: JobId,
    phase: Phase,
    test: &str,
    result: ResultInput,
) -> RecordResult {
    RecordResult {
        job_id,
        phase,
        code: code(test),
        result,
        note: "as usual".to_owned(),
        photos: vec![photo(
            desk,
            job_id,
            if phase == Phase::Before {
                PhotoPlace::Before
            } else {
                PhotoPlace::After
            },
            if phase == Phase::Before { 2 } else { 3 },
        )],
        assembly: Some(Assembly::Closed),
        trace: None,
    }
}

fn choice(words: &str) -> ResultInput {
    ResultInput::Choice {
        words: words.to_owned(),
    }
}

const START_TIME: &str = "power.start_time";
const NO_SUCH: &str = "charge.wireless";

fn before(desk: &Desk, job_id: JobId) {
    let codes = [
        FAULT_TEST,
        NEIGHBOUR_TEST,
        "display.image",
        START_TIME,
        NO_SUCH,
        OTHER_TEST,
    ];
    choose(desk, job_id, &codes);
    let gives = |code, input| result(desk, job_id, Phase::Before, code, input);
    let repeated = ResultInput::Reading {
        value: "0.08; 0.09; 0.08".to_owned(),
        uncertainty: String::new(),
    };
    let mut open = record(desk, job_id, Phase::Before, FAULT_TEST, repeated);
    open.assembly = Some(Assembly::PartsOff {
        parts: "back glass off".to_owned(),
    });
    record_result(desk, open).expect("the phase is open");
    gives(FAULT_TEST, reading("0.08"));
    gives(NEIGHBOUR_TEST, ResultInput::Pass);
    let picture = record(
        desk,
        job_id,
        Phase::Before,
        "display.image",
        choice("lines"),
    );
    record_result(desk, picture).expect("an answer of its own");
    let mut start = record(desk, job_id, Phase::Before, START_TIME, reading("48"));
    start.trace = Some(boot_trace());
    record_result(desk, start).expect("a trace");
    gives(NO_SUCH, ResultInput::NotApplicable);
    let why = "the digitiser was off".to_owned();
    gives(OTHER_TEST, ResultInput::NotTestable { why });
}

/// Heat on a part whose cell is still attached, then a hold point with its witness.
fn by_procedure(desk: &Desk, job_id: JobId) {
    add_person(desk, "Ines Prado", &[Role::SecondPair]);
    let people = state_of(desk).people;
    let witness_id = people.iter().find(|person| person.name == "Ines Prado");
    let witness_id = witness_id.map(|person| person.person_id);
    let step = |text: &str, hold_point: bool| ProcedureStep {
        text: text.to_owned(),
        hold_point,
        needs_witness: hold_point,
    };
    let procedure = SaveProcedure {
        code: "HP-03".to_owned(),
        name: "Replace a part".to_owned(),
        steps: vec![step("part off and on", false), step("pads whole", true)],
        retired: false,
    };
    save_procedure(desk, procedure).expect("a new one");
    let code_of = ProcedureCode("HP-03".to_owned());
    let begun = begin_procedure(
        desk,
        BeginProcedure {
            job_id,
            code: code_of,
        },
    )
    .expect("agreed");
    let begun_id = begun.job.procedures[0].mark.entry_id;
    let place = |index: u32, result: &str| {
        Some(StepOfProcedure {
            begun_id,
            index,
            passed: true,
            result: result.to_owned(),
        })
    };
    let heat = HeatInput {
        temperature_c: "390".to_owned(),
        seconds: "90".to_owned(),
        part: "U2400".to_owned(),
        neighbours: vec!["U5200".to_owned()],
        neighbour_tests: vec![code(NEIGHBOUR_TEST)],
        measured_at: MeasuredAt::Package,
        above_liquidus_s: "200".to_owned(),
        alloy: "SAC305".to_owned(),
        cell_off: Some(false),
        ..HeatInput::default()
    };
    let heated = RecordStep {
        text: "Charge controller off and a new one on".to_owned(),
        heat: Some(heat),
        in_procedure: place(0, ""),
        photos: vec![photo(desk, job_id, PhotoPlace::Work, 4)],
        ..RecordStep::on(job_id)
    };
    let view = record_step(desk, heated).expect("agreed");
    assert!(!view.job.judged_steps[0].warnings.is_empty(), "it warns");
    let seen = RecordStep {
        text: "Seen under the microscope".to_owned(),
        in_procedure: place(1, "all pads there"),
        witness_id,
        ..RecordStep::on(job_id)
    };
    record_step(desk, seen).expect("with its witness");
}

fn with_a_lot_and_a_jumper(desk: &Desk, job_id: JobId) {
    let lot = SaveLot {
        lot: "L-7".to_owned(),
        description: "charge controller".to_owned(),
        moisture: Some(MoistureLevel::L3),
        label_hours: String::new(),
        thickness: "0.9".to_owned(),
        history_unknown: true,
        used_up: false,
    };
    save_lot(desk, lot).expect("a new lot");
    let part = FittedPart {
        designator: "U2400".to_owned(),
        description: "charge controller".to_owned(),
        source: PartSource::New,
        lot: "L-7".to_owned(),
    };
    let fitted = RecordStep {
        text: "Fitted it".to_owned(),
        parts: vec![part],
        ..RecordStep::on(job_id)
    };
    record_step(desk, fitted).expect("agreed");
    let jumper = JumperInput {
        net: "PP1V8".to_owned(),
        wire: "0.02 mm".to_owned(),
        length_mm: "5".to_owned(),
        measured: "474 mΩ".to_owned(),
        leads: "200 mΩ".to_owned(),
        uncertainty: "0.01".to_owned(),
        wire_temperature_c: String::new(),
    };
    let laid = RecordStep {
        text: "Jumper laid".to_owned(),
        jumper: Some(jumper),
        ..RecordStep::on(job_id)
    };
    record_step(desk, laid).expect("agreed");
}

fn after(desk: &Desk, job_id: JobId) {
    result(desk, job_id, Phase::After, FAULT_TEST, reading("1.62"));
    result(
        desk,
        job_id,
        Phase::After,
        NEIGHBOUR_TEST,
        ResultInput::Pass,
    );
    let picture = record(desk, job_id, Phase::After, "display.image", choice("good"));
    record_result(desk, picture).expect("an answer of its own");
    let mut start = record(desk, job_id, Phase::After, START_TIME, reading("31"));
    start.trace = Some(boot_trace());
    record_result(desk, start).expect("a trace");
    result(
        desk,
        job_id,
        Phase::After,
        NO_SUCH,
        ResultInput::NotApplicable,
    );
    result(desk, job_id, Phase::After, OTHER_TEST, ResultInput::Pass);
    let over = OverrideBlock {
        job_id,
        block: Block::BeforeMissing,
        reason: "the owner of the device could not wait".to_owned(),
    };
    override_block(desk, over).expect("an owner may");
}
