//! The steps of the route as a person takes them, each by the desk's own commands.

use desk::commands::bench::JobView;
use desk::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use desk::commands::bench::closing::{MakeReport, SetOutcome, make_report, set_outcome};
use desk::commands::bench::look_over::{
    RecordIdentity, RecordSigns, record_identity, record_signs,
};
use desk::commands::bench::proof::{
    ChooseTests, RecordResult, ResultInput, choose_tests, record_result,
};
use desk::commands::bench::quote::{
    QuoteLineInput, RecordDecision, SetQuote, record_decision, set_quote,
};
use desk::commands::bench::work::{HeatInput, RecordStep, record_step};
use desk::commands::dock::{CountParcel, ExtraDevice, ReceiveParcel, count_parcel, receive_parcel};
use desk::commands::outbound::{OpenReturnParcel, PackDevice, ShipParcel, WeighParcel};
use desk::commands::setup::SavePerson;
use desk::commands::shops::{InviteShopUser, SaveShop, invite_shop_user, save_shop};
use desk::commands::start::{DeskState, FoundLab, found_lab};
use desk::commands::transport::{RecordTransport, TransportView, record_transport};
use desk::commands::{PaperFile, PaperSize, dock, outbound, setup};
use desk::{Desk, DeskError};
use domain::cells::transport::{Carrier, Mode, Regime};
use domain::cells::{CellFinding, Chemistry};
use domain::device::DeviceKind;
use domain::fact::{
    AccountLock, Answer, BoardSide, FittedPart, JobOutcome, LabDescription, PartSource, Phase,
    Role, ShopDescription, Signs, TestCode, TransportPlan,
};
use domain::job::Job;
use domain::{JobId, ParcelId, ShopId};

use super::job;

/// An IMEI with a right check digit; the example of the GSMA's own papers and of 3GPP TS 23.003.
pub const IMEI: &str = "490154203237518";

/// A tracking number with a right check digit (the example of UPU standard S10).
pub const TRACKING: &str = "RR473124829GB";

/// A label of ours that goes by road: a GS1 SSCC under the prefix for examples, with its check digit.
pub const ROAD_LABEL: &str = "395060001234567894";

/// The test that shows the declared fault in these stories.
pub const FAULT_TEST: &str = "charge.current";

/// The test of a part that the heat reaches.
pub const NEIGHBOUR_TEST: &str = "radio.wifi";

/// One more test.
pub const OTHER_TEST: &str = "display.touch";

/// An IMEI of its own for each number: the check digit by the rule of 3GPP TS 23.003 annex B.2.
pub fn imei(number: u32) -> String {
    let body = format!("35209900{number:06}");
    let sum: u32 = body
        .bytes()
        .rev()
        .enumerate()
        .map(|(place, digit)| {
            let digit = u32::from(digit - b'0');
            let weighed = if place % 2 == 0 { digit * 2 } else { digit };
            weighed / 10 + weighed % 10
        })
        .sum();
    format!("{body}{}", (10 - sum % 10) % 10)
}

/// Founds the lab.
pub fn found(desk: &Desk) -> DeskState {
    let lab = LabDescription {
        name: "Harbour Board Lab".to_owned(),
        address_lines: vec!["4 Quay Street".to_owned(), "9000 Porthaven".to_owned()],
        country: "AT".to_owned(),
        phone: "+43 5500 7788".to_owned(),
        email: "bench@harbour.example".to_owned(),
        zone: "Europe/Vienna".to_owned(),
        currency: "EUR".to_owned(),
        warranty_days: 90,
    };
    let request = FoundLab {
        lab,
        owner_name: "Ada Lorne".to_owned(),
        desktop_name: "Bench one".to_owned(),
    };
    found_lab(desk, request).expect("the description is right")
}

/// A shop's description.
pub fn shop_description(name: &str, country: &str, currency: &str) -> ShopDescription {
    ShopDescription {
        name: name.to_owned(),
        address_lines: vec!["1 Market Row".to_owned(), "Lindenford".to_owned()],
        country: country.to_owned(),
        phone: "+351 5500 1122".to_owned(),
        email: "counter@corner.example".to_owned(),
        currency: currency.to_owned(),
    }
}

/// Adds a shop.
pub fn add_shop(
    desk: &Desk,
    name: &str,
    country: &str,
    currency: &str,
    standing_limit: &str,
) -> ShopId {
    let description = shop_description(name, country, currency);
    let request = SaveShop {
        shop_id: None,
        description,
        standing_limit: standing_limit.to_owned(),
    };
    save_shop(desk, request)
        .expect("the description is right")
        .brief
        .shop_id
}

/// Adds a person of the lab.
pub fn add_person(desk: &Desk, name: &str, roles: &[Role]) {
    let request = SavePerson {
        person_id: None,
        name: name.to_owned(),
        roles: roles.to_vec(),
        left: false,
    };
    setup::save_person(desk, request).expect("a named person with a role");
}

/// A one-time sign-in link for a shop's user.
pub fn shop_link(desk: &Desk, shop_id: ShopId, email: &str) -> String {
    let request = InviteShopUser {
        shop_id,
        email: email.to_owned(),
    };
    invite_shop_user(desk, request)
        .expect("the server makes links")
        .url
}

/// A device that nobody announced.
pub fn extra_device(model: &str, identifier: &str) -> ExtraDevice {
    ExtraDevice {
        kind: DeviceKind::Phone,
        maker: "Kestrel".to_owned(),
        model: model.to_owned(),
        colour: "slate".to_owned(),
        fault: "does not charge".to_owned(),
        identifier: identifier.to_owned(),
    }
}

/// Takes in a parcel that its shop did not announce.
pub fn receive(desk: &Desk, shop_id: ShopId, scanned: &str) -> ParcelId {
    let request = ReceiveParcel {
        parcel_id: None,
        scanned: scanned.to_owned(),
        shop_id: Some(shop_id),
    };
    let view = receive_parcel(desk, request).expect("any parcel is taken in");
    view.parcel.parcel_id
}

/// A count of a parcel of which nothing was announced.
pub fn extra_in(parcel_id: ParcelId, extra: Vec<ExtraDevice>) -> CountParcel {
    CountParcel {
        parcel_id,
        found: Vec::new(),
        extra,
        note: String::new(),
    }
}

/// Takes in a parcel that nobody announced, and counts one device in it.
pub fn take_in(desk: &Desk, shop_id: ShopId, model: &str, identifier: &str) -> JobId {
    let parcel_id = receive(desk, shop_id, "");
    let count = extra_in(parcel_id, vec![extra_device(model, identifier)]);
    count_parcel(desk, count)
        .expect("it was taken in")
        .parcel
        .inside[0]
}

/// A sound cell, measured.
pub fn sound_cell() -> CellCheckInput {
    CellCheckInput {
        findings: vec![CellFinding::NothingWrong],
        voltage: "3.82".to_owned(),
        cells_in_series: "1".to_owned(),
        surface: "22.5".to_owned(),
        room: "21".to_owned(),
        chemistry: Chemistry::LiIon,
        label_wh: "15.4".to_owned(),
        charge_max_v: "4.4".to_owned(),
        ..CellCheckInput::default()
    }
}

/// Checks the cell: sound.
pub fn check_cell(desk: &Desk, job_id: JobId) {
    record_cell_check(
        desk,
        RecordCellCheck {
            job_id,
            check: sound_cell(),
        },
    )
    .expect("the device is in the house");
}

/// Signs of a device nobody opened before.
pub fn no_signs() -> Signs {
    Signs {
        account_lock: AccountLock::Off,
        liquid_indicator_turned: false,
        screws_missing: 0,
        seal_broken: false,
        earlier_work: false,
        note: String::new(),
    }
}

/// Looks the device over.
pub fn look_over(desk: &Desk, job_id: JobId, identifier: &str) {
    record_identity(
        desk,
        RecordIdentity {
            job_id,
            texts: vec![identifier.to_owned()],
        },
    )
    .expect("the cell is checked");
    record_signs(
        desk,
        RecordSigns {
            job_id,
            signs: no_signs(),
        },
    )
    .expect("the cell is checked");
}

/// A test's code.
pub fn code(text: &str) -> TestCode {
    TestCode(text.to_owned())
}

/// Records a result.
pub fn result(desk: &Desk, job_id: JobId, phase: Phase, test: &str, result: ResultInput) {
    let request = RecordResult {
        job_id,
        phase,
        code: code(test),
        result,
        note: String::new(),
        photos: Vec::new(),
        assembly: Some(domain::fact::Assembly::Closed),
        trace: None,
    };
    record_result(desk, request).expect("the phase is open");
}

/// A reading as typed.
pub fn reading(value: &str) -> ResultInput {
    ResultInput::Reading {
        value: value.to_owned(),
        uncertainty: "0.02".to_owned(),
    }
}

/// Chooses tests, among them [`FAULT_TEST`], which shows the fault.
pub fn choose(desk: &Desk, job_id: JobId, codes: &[&str]) {
    let request = ChooseTests {
        job_id,
        codes: codes.iter().copied().map(code).collect(),
        shows_fault: vec![code(FAULT_TEST)],
    };
    choose_tests(desk, request).expect("it was looked over");
}

/// Chooses three tests and records them as the device came: it does not charge.
pub fn test_before(desk: &Desk, job_id: JobId) {
    choose(desk, job_id, &[FAULT_TEST, NEIGHBOUR_TEST, OTHER_TEST]);
    result(desk, job_id, Phase::Before, FAULT_TEST, reading("0.08"));
    result(
        desk,
        job_id,
        Phase::Before,
        NEIGHBOUR_TEST,
        ResultInput::Pass,
    );
    result(desk, job_id, Phase::Before, OTHER_TEST, ResultInput::Pass);
}

/// A quote of one line as typed.
pub fn quote_of(job_id: JobId, amount: &str) -> SetQuote {
    SetQuote {
        job_id,
        lines: vec![QuoteLineInput {
            text: "Charging line, part and work".to_owned(),
            amount: amount.to_owned(),
        }],
        fee_if_refused: "15".to_owned(),
        promised_date: String::new(),
        note: String::new(),
    }
}

/// Sets a quote of one line.
pub fn quote(desk: &Desk, job_id: JobId, amount: &str) -> JobView {
    set_quote(desk, quote_of(job_id, amount)).expect("the amount is right")
}

/// Records what the shop answered by word.
pub fn answer_by_word(desk: &Desk, job_id: JobId, answer: Answer, note: &str) {
    let request = RecordDecision {
        job_id,
        answer,
        note: note.to_owned(),
    };
    record_decision(desk, request).expect("a quote stands");
}

/// Records that the shop agreed by telephone.
pub fn agree_by_word(desk: &Desk, job_id: JobId) {
    answer_by_word(desk, job_id, Answer::Agree, "by phone, the owner");
}

/// Replaces a part with hot air; the heat reaches a neighbour.
pub fn work(desk: &Desk, job_id: JobId) {
    let part = FittedPart {
        designator: "u3101".to_owned(),
        description: "charging controller".to_owned(),
        source: PartSource::New,
        lot: "L-2291".to_owned(),
    };
    let heat = HeatInput {
        temperature_c: "350".to_owned(),
        seconds: "45".to_owned(),
        side: BoardSide::Top,
        neighbours: vec!["u5200".to_owned()],
        neighbour_tests: vec![code(NEIGHBOUR_TEST)],
        ..HeatInput::default()
    };
    let request = RecordStep {
        job_id,
        text: "Replaced the charging controller".to_owned(),
        procedure: "HB-12".to_owned(),
        tool: "hot air, 8 mm nozzle".to_owned(),
        parts: vec![part],
        heat: Some(heat),
        witness_id: None,
        photos: Vec::new(),
        ..RecordStep::on(job_id)
    };
    record_step(desk, request).expect("the shop agreed");
}

/// Records the same tests as the device goes: it charges, and nothing is worse.
pub fn test_after(desk: &Desk, job_id: JobId) {
    result(desk, job_id, Phase::After, FAULT_TEST, reading("1.62"));
    result(
        desk,
        job_id,
        Phase::After,
        NEIGHBOUR_TEST,
        ResultInput::Pass,
    );
    result(desk, job_id, Phase::After, OTHER_TEST, ResultInput::Pass);
}

/// Sets the outcome.
pub fn set_repaired(desk: &Desk, job_id: JobId) {
    let words = "The charging controller was replaced; the device charges again.".to_owned();
    let request = SetOutcome {
        job_id,
        outcome: JobOutcome::Repaired,
        words,
        warranty_days: String::new(),
    };
    set_outcome(desk, request).expect("the fault is fixed and nothing is worse");
}

/// Sets the outcome and makes the report.
pub fn close(desk: &Desk, job_id: JobId) -> PaperFile {
    set_repaired(desk, job_id);
    make_report(
        desk,
        MakeReport {
            job_id,
            size: PaperSize::A4,
        },
    )
    .expect("an outcome is set")
}

/// Everything from the cell check to the after tests, with an agreement by telephone.
pub fn repair(desk: &Desk, job_id: JobId, identifier: &str) {
    check_cell(desk, job_id);
    look_over(desk, job_id, identifier);
    test_before(desk, job_id);
    quote(desk, job_id, "89");
    agree_by_word(desk, job_id);
    work(desk, job_id);
    test_after(desk, job_id);
}

/// A device from the door to a closed job.
pub fn closed_job(desk: &Desk, shop_id: ShopId, number: u32) -> JobId {
    let job_id = take_in(desk, shop_id, &format!("K{number}"), &imei(number));
    repair(desk, job_id, &imei(number));
    close(desk, job_id);
    job_id
}

/// What the tag on a job's bag holds.
pub fn tag_of(job: &Job) -> String {
    format!("WB:J:{}", job.reference.replace('-', ""))
}

/// Scans a device into a return parcel.
pub fn pack(
    desk: &Desk,
    parcel_id: ParcelId,
    job_id: JobId,
) -> Result<dock::ParcelView, DeskError> {
    let scanned = tag_of(&job(desk, job_id));
    outbound::pack_device(desk, PackDevice { parcel_id, scanned })
}

/// Says that a return parcel goes by road, every device switched off.
pub fn goes_by_road(desk: &Desk, parcel_id: ParcelId) -> TransportView {
    let plan = TransportPlan {
        regime: Regime::Adr,
        mode: Mode::Ground,
        carrier: Carrier::None,
        packages: 1,
        powered_off: Some(true),
        batteries_original: Some(true),
        charge_rated_pct: None,
        charge_shown_pct: None,
        outside_us_lower_48: None,
    };
    record_transport(desk, RecordTransport { parcel_id, plan }).expect("it is being packed")
}

/// Packs devices of one shop and hands the parcel to its carrier.
pub fn ship(desk: &Desk, shop_id: ShopId, job_ids: &[JobId], tracking: &str) -> ParcelId {
    let parcel_id = outbound::open_return_parcel(desk, OpenReturnParcel { shop_id })
        .expect("the shop is known")
        .parcel
        .parcel_id;
    for job_id in job_ids {
        pack(desk, parcel_id, *job_id).expect("the device belongs there");
    }
    outbound::weigh_parcel(
        desk,
        WeighParcel {
            parcel_id,
            grams: "640".to_owned(),
        },
    )
    .expect("a weight");
    goes_by_road(desk, parcel_id);
    let request = ShipParcel {
        parcel_id,
        tracking: tracking.to_owned(),
        carrier: String::new(),
    };
    outbound::ship_parcel(desk, request).expect("it is ready");
    parcel_id
}
