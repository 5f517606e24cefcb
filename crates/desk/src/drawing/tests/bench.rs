//! A lab with one job, taken from its parcel to its outcome through the commands.

use crate::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use crate::commands::bench::closing::{MakeReport, SetOutcome, make_report, set_outcome};
use crate::commands::bench::look_over::{
    DescribeDevice, RecordAccessories, RecordCondition, RecordIdentity, RecordSigns,
    describe_device, record_accessories, record_condition, record_identity, record_signs,
};
use crate::commands::bench::proof::{
    ChooseTests, RecordResult, ResultInput, choose_tests, record_result,
};
use crate::commands::bench::quote::{
    BoardReadingInput, QuoteLineInput, RecordDecision, RecordDiagnosis, SetQuote, record_decision,
    record_diagnosis, set_quote,
};
use crate::commands::bench::work::{HeatInput, RecordStep, record_step};
use crate::commands::dock::{
    CountParcel, ExtraDevice, ReceiveParcel, RecordParcelFindings, count_parcel, receive_parcel,
    record_parcel_findings,
};
use crate::commands::shops::{SaveShop, save_shop};
use crate::commands::start::{FoundLab, found_lab};
use crate::commands::{PaperFile, PaperSize};
use crate::desk::{Desk, DeskOptions};
use crate::photo_intake::PhotoTarget;
use crate::ports::{Clock, Ports, SystemRandomness};
use domain::cells::{CellFinding, Chemistry};
use domain::device::DeviceKind;
use domain::fact::{
    AccountLock, Answer, Blemish, BoardSide, Condition, DeviceDescription, Face, FittedPart,
    JobOutcome, LabDescription, ParcelFinding, PartSource, Phase, PhotoPlace, ShopDescription,
    Signs, TestCode,
};
use domain::{ContentHash, JobId, Subject};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// 2026-11-20T08:12:00Z, which is 09:12 in Vienna.
pub(super) const BEGIN_MS: u64 = 1_795_162_320_000;
/// The IMEI that GSMA's papers and 3GPP TS 23.003 show as an example.
pub(super) const IMEI: &str = "490154203237518";

/// A clock that is a minute later whenever it is asked, and can be set forward.
pub(super) struct Minutes(pub(super) AtomicU64);

impl Clock for Minutes {
    fn now_ms(&self) -> u64 {
        self.0.fetch_add(60_000, Ordering::SeqCst)
    }
}

pub(crate) struct Bench {
    pub(crate) desk: Desk,
    pub(super) job_id: JobId,
    pub(super) clock: Arc<Minutes>,
    pub(crate) folder: tempfile::TempDir,
}

pub(super) fn code(text: &str) -> TestCode {
    TestCode(text.to_owned())
}

/// A lab with one device in the house, not looked at.
pub(crate) fn bench() -> Bench {
    let folder = tempfile::tempdir().unwrap();
    let clock = Arc::new(Minutes(AtomicU64::new(BEGIN_MS)));
    let ports = Ports {
        clock: clock.clone(),
        randomness: Arc::new(SystemRandomness),
    };
    let desk = Desk::open(DeskOptions::beside(&folder.path().join("lab")), ports).unwrap();
    let lab = LabDescription {
        name: "Tidewater Board Lab".to_owned(),
        address_lines: vec!["4 Quay Street".to_owned(), "9000 Porthaven".to_owned()],
        country: "AT".to_owned(),
        phone: "+43 5500 7788".to_owned(),
        email: "bench@tidewater.example".to_owned(),
        zone: "Europe/Vienna".to_owned(),
        currency: "EUR".to_owned(),
        warranty_days: 90,
    };
    let founded = FoundLab {
        lab,
        owner_name: "Ada Lorne".to_owned(),
        desktop_name: "Bench one".to_owned(),
    };
    found_lab(&desk, founded).unwrap();
    let job_id = take_in(&desk);
    Bench {
        desk,
        job_id,
        clock,
        folder,
    }
}

pub(super) fn take_in(desk: &Desk) -> JobId {
    let description = ShopDescription {
        name: "Corner & Sons".to_owned(),
        address_lines: vec!["1 Market Row".to_owned(), "Lindenford".to_owned()],
        country: "AT".to_owned(),
        phone: String::new(),
        email: "counter@corner.example".to_owned(),
        currency: "EUR".to_owned(),
    };
    let shop = SaveShop {
        shop_id: None,
        description,
        standing_limit: String::new(),
    };
    let shop_id = save_shop(desk, shop).unwrap().brief.shop_id;
    let received = ReceiveParcel {
        parcel_id: None,
        scanned: "RR473124829GB".to_owned(),
        shop_id: Some(shop_id),
    };
    let parcel_id = receive_parcel(desk, received).unwrap().parcel.parcel_id;
    let findings = vec![ParcelFinding::Crushed];
    record_parcel_findings(
        desk,
        RecordParcelFindings {
            parcel_id,
            findings,
            note: "one corner".to_owned(),
        },
    )
    .unwrap();
    let extra = ExtraDevice {
        kind: DeviceKind::Phone,
        maker: "Vireo".to_owned(),
        model: "Lumen 6".to_owned(),
        colour: "slate".to_owned(),
        fault: "does not charge since it fell into a sink".to_owned(),
        identifier: IMEI.to_owned(),
    };
    let count = CountParcel {
        parcel_id,
        found: Vec::new(),
        extra: vec![extra],
        note: String::new(),
    };
    count_parcel(desk, count).unwrap().parcel.inside[0]
}

impl Bench {
    pub(super) fn reading(&self, phase: Phase, test: &str, value: &str, uncertainty: &str) {
        let result = ResultInput::Reading {
            value: value.to_owned(),
            uncertainty: uncertainty.to_owned(),
        };
        self.result(phase, test, result);
    }

    pub(super) fn result(&self, phase: Phase, test: &str, result: ResultInput) {
        let request = RecordResult {
            job_id: self.job_id,
            phase,
            code: code(test),
            result,
            note: String::new(),
            photos: Vec::new(),
            assembly: Some(domain::fact::Assembly::Closed),
            trace: None,
        };
        record_result(&self.desk, request).unwrap();
    }

    pub(super) fn photo(
        &self,
        place: PhotoPlace,
        caption: &str,
        shade: u8,
        beside: Option<ContentHash>,
    ) -> ContentHash {
        let target = PhotoTarget {
            subject: Subject::Job(self.job_id),
            place,
            caption: caption.to_owned(),
            beside,
        };
        self.desk.take_photo(&png(shade), &target).unwrap().hash
    }

    pub(super) fn check_cell(&self) {
        let check = CellCheckInput {
            findings: vec![CellFinding::NothingWrong],
            voltage: "3.82".to_owned(),
            cells_in_series: "1".to_owned(),
            surface: "22.5".to_owned(),
            room: "21".to_owned(),
            chemistry: Chemistry::LiIon,
            label_wh: "15.4".to_owned(),
            charge_max_v: "4.4".to_owned(),
            ..CellCheckInput::default()
        };
        record_cell_check(
            &self.desk,
            RecordCellCheck {
                job_id: self.job_id,
                check,
            },
        )
        .unwrap();
    }

    pub(super) fn look_over(&self) {
        let (desk, job_id) = (&self.desk, self.job_id);
        let device = DeviceDescription {
            kind: DeviceKind::Phone,
            maker: "Vireo".to_owned(),
            model: "Lumen 6".to_owned(),
            colour: "graphite".to_owned(),
        };
        describe_device(desk, DescribeDevice { job_id, device }).unwrap();
        // The second IMEI has a wrong check digit: it is kept, with a warning.
        record_identity(
            desk,
            RecordIdentity {
                job_id,
                texts: vec![IMEI.to_owned(), "352099001761482".to_owned()],
            },
        )
        .unwrap();
        for (face, x_permille, blemish, note) in [
            (Face::Front, 200, Blemish::Crack, "hairline, 18 mm"),
            (
                Face::BottomEdge,
                500,
                Blemish::Stain,
                "green deposit in the port",
            ),
        ] {
            let condition = Condition {
                face,
                x_permille,
                y_permille: 800,
                blemish,
                note: note.to_owned(),
                photos: Vec::new(),
            };
            record_condition(desk, RecordCondition { job_id, condition }).unwrap();
        }
        let signs = Signs {
            account_lock: AccountLock::Off,
            liquid_indicator_turned: true,
            screws_missing: 1,
            seal_broken: true,
            earlier_work: false,
            note: String::new(),
        };
        record_signs(desk, RecordSigns { job_id, signs }).unwrap();
        record_accessories(
            desk,
            RecordAccessories {
                job_id,
                items: vec!["card tray".to_owned()],
            },
        )
        .unwrap();
    }

    pub(super) fn test_before(&self) {
        let codes = [
            "charge.current",
            "radio.wifi",
            "power.start_time",
            "camera.each",
        ]
        .map(code)
        .to_vec();
        choose_tests(
            &self.desk,
            ChooseTests {
                job_id: self.job_id,
                codes,
                shows_fault: vec![code("charge.current")],
            },
        )
        .unwrap();
        self.reading(Phase::Before, "charge.current", "0.08", "0.02");
        self.result(Phase::Before, "radio.wifi", ResultInput::Pass);
        self.result(
            Phase::Before,
            "power.start_time",
            ResultInput::NotTestable {
                why: "it does not start".to_owned(),
            },
        );
        self.result(
            Phase::Before,
            "camera.each",
            ResultInput::NotTestable {
                why: "the module is missing".to_owned(),
            },
        );
    }

    pub(super) fn diagnose_and_agree(&self) {
        let (desk, job_id) = (&self.desk, self.job_id);
        let reading = BoardReadingInput {
            point: "VBUS".to_owned(),
            value: "0.4".to_owned(),
            unit: domain::reading::Unit::Volt,
            expected: "5.0 V".to_owned(),
        };
        let diagnosis = RecordDiagnosis {
            job_id,
            text: "The charging controller is shorted".to_owned(),
            suspect: "U3101".to_owned(),
            readings: vec![reading],
        };
        record_diagnosis(desk, diagnosis).unwrap();
        let line = |text: &str, amount: &str| QuoteLineInput {
            text: text.to_owned(),
            amount: amount.to_owned(),
        };
        let quote = SetQuote {
            job_id,
            lines: vec![
                line("Board repair, charging line", "64.00"),
                line("Charging controller", "9.80"),
            ],
            fee_if_refused: "15".to_owned(),
            promised_date: "2026-11-26".to_owned(),
            note: String::new(),
        };
        set_quote(desk, quote).unwrap();
        let note = "by phone, the owner".to_owned();
        record_decision(
            desk,
            RecordDecision {
                job_id,
                answer: Answer::Agree,
                note,
            },
        )
        .unwrap();
    }

    pub(super) fn work(&self) {
        let part = FittedPart {
            designator: "U3101".to_owned(),
            description: "charging controller".to_owned(),
            source: PartSource::New,
            lot: "L-2291".to_owned(),
        };
        let heat = HeatInput {
            temperature_c: "350".to_owned(),
            seconds: "45".to_owned(),
            side: BoardSide::Top,
            neighbours: vec!["U5200".to_owned()],
            neighbour_tests: vec![code("radio.wifi")],
            ..HeatInput::default()
        };
        let step = RecordStep {
            job_id: self.job_id,
            text: "Replaced the charging controller".to_owned(),
            procedure: "TB-12".to_owned(),
            tool: "hot air, 8 mm nozzle".to_owned(),
            parts: vec![part],
            heat: Some(heat),
            witness_id: None,
            photos: Vec::new(),
            ..RecordStep::on(self.job_id)
        };
        record_step(&self.desk, step).unwrap();
        self.reading(Phase::After, "charge.current", "1.82", "0.02");
        self.result(Phase::After, "radio.wifi", ResultInput::Pass);
        self.reading(Phase::After, "power.start_time", "14.2", "0.3");
        self.result(
            Phase::After,
            "camera.each",
            ResultInput::NotTestable {
                why: "the module is missing".to_owned(),
            },
        );
    }

    pub(super) fn close(&self) {
        let outcome = SetOutcome {
            job_id: self.job_id,
            outcome: JobOutcome::RepairedInPart,
            words: "It charges again; the camera module was missing when it came.".to_owned(),
            warranty_days: String::new(),
        };
        set_outcome(&self.desk, outcome).unwrap();
    }

    pub(super) fn report(&self, size: PaperSize) -> PaperFile {
        make_report(
            &self.desk,
            MakeReport {
                job_id: self.job_id,
                size,
            },
        )
        .unwrap()
    }
}

/// A job from the parcel to its outcome, with everything that a report can show.
pub(super) fn closed() -> Bench {
    let bench = bench();
    bench.check_cell();
    bench.look_over();
    let port = bench.photo(PhotoPlace::Condition, "charging port", 40, None);
    let before = bench.photo(
        PhotoPlace::Before,
        "input stage with a green deposit",
        90,
        None,
    );
    bench.test_before();
    bench.diagnose_and_agree();
    bench.work();
    bench.photo(PhotoPlace::After, "cleaned port", 140, Some(port));
    bench.photo(PhotoPlace::After, "new controller", 200, None);
    assert_ne!(port, before);
    bench.close();
    bench
}

/// A picture with a gradient, so that no two shades give the same bytes.
pub(super) fn png(shade: u8) -> Vec<u8> {
    let (width, height) = (320_u32, 240_u32);
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Grayscale);
    let pixels: Vec<u8> = (0..height)
        .flat_map(|y| (0..width).map(move |x| shade.wrapping_add(((x + y) / 8).to_le_bytes()[0])))
        .collect();
    encoder
        .write_header()
        .unwrap()
        .write_image_data(&pixels)
        .unwrap();
    bytes
}
