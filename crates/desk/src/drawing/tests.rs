//! Papers of a whole job, made through the commands and read back.
//!
//! The PDFs are read with our own record attachment and, where poppler is installed, as text: what a person would read.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use domain::cells::{CellFinding, Chemistry};
use domain::device::DeviceKind;
use domain::fact::{
    AccountLock, Answer, Blemish, BoardSide, Condition, DeviceDescription, Face, FittedPart,
    JobOutcome, LabDescription, ParcelFinding, PartSource, Phase, PhotoPlace, ShopDescription,
    Signs, TestCode,
};
use domain::{ContentHash, JobId, ParcelId, Subject};
use sha2::{Digest as _, Sha256};

use super::record::address;
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
    CountParcel, ExtraDevice, PrintJobTags, ReceiveParcel, RecordParcelFindings, TagStock,
    count_parcel, print_job_tags, receive_parcel, record_parcel_findings,
};
use crate::commands::outbound::{
    OpenReturnParcel, PackDevice, PrintPackingSlip, WeighParcel, open_return_parcel, pack_device,
    print_packing_slip, weigh_parcel,
};
use crate::commands::shops::{SaveShop, save_shop};
use crate::commands::start::{FoundLab, found_lab};
use crate::commands::{PaperFile, PaperSize};
use crate::desk::{Desk, DeskOptions};
use crate::error::DeskError;
use crate::photo_intake::PhotoTarget;
use crate::ports::{Clock, Ports, SystemRandomness};

/// 2026-11-20T08:12:00Z, which is 09:12 in Vienna.
const BEGIN_MS: u64 = 1_795_162_320_000;
/// The IMEI that GSMA's papers and 3GPP TS 23.003 show as an example.
const IMEI: &str = "490154203237518";

/// A clock that is a minute later whenever it is asked, and can be set forward.
struct Minutes(AtomicU64);

impl Clock for Minutes {
    fn now_ms(&self) -> u64 {
        self.0.fetch_add(60_000, Ordering::SeqCst)
    }
}

struct Bench {
    desk: Desk,
    job_id: JobId,
    clock: Arc<Minutes>,
    folder: tempfile::TempDir,
}

fn code(text: &str) -> TestCode {
    TestCode(text.to_owned())
}

/// A lab with one device in the house, not looked at.
fn bench() -> Bench {
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

fn take_in(desk: &Desk) -> JobId {
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
    fn reading(&self, phase: Phase, test: &str, value: &str, uncertainty: &str) {
        let result = ResultInput::Reading {
            value: value.to_owned(),
            uncertainty: uncertainty.to_owned(),
        };
        self.result(phase, test, result);
    }

    fn result(&self, phase: Phase, test: &str, result: ResultInput) {
        let request = RecordResult {
            job_id: self.job_id,
            phase,
            code: code(test),
            result,
            note: String::new(),
            photos: Vec::new(),
        };
        record_result(&self.desk, request).unwrap();
    }

    fn photo(
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

    fn check_cell(&self) {
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

    fn look_over(&self) {
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

    fn test_before(&self) {
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

    fn diagnose_and_agree(&self) {
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

    fn work(&self) {
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

    fn close(&self) {
        let outcome = SetOutcome {
            job_id: self.job_id,
            outcome: JobOutcome::RepairedInPart,
            words: "It charges again; the camera module was missing when it came.".to_owned(),
            warranty_days: String::new(),
        };
        set_outcome(&self.desk, outcome).unwrap();
    }

    fn report(&self, size: PaperSize) -> PaperFile {
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
fn closed() -> Bench {
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
fn png(shade: u8) -> Vec<u8> {
    let (width, height) = (320_u32, 240_u32);
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Grayscale);
    let pixels: Vec<u8> = (0..height)
        .flat_map(|y| (0..width).map(move |x| shade.wrapping_add(((x + y) / 8) as u8)))
        .collect();
    encoder
        .write_header()
        .unwrap()
        .write_image_data(&pixels)
        .unwrap();
    bytes
}

/// What a person reads on a paper, with runs of white space made one; `None` where poppler isn't installed.
fn text_of(path: &str) -> Option<String> {
    let output = Command::new("pdftotext").args([path, "-"]).output().ok()?;
    assert!(output.status.success(), "poppler reads it");
    Some(
        String::from_utf8(output.stdout)
            .unwrap()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" "),
    )
}

/// The record inside a report; `None` where poppler isn't installed.
fn attached(path: &str, folder: &Path) -> Option<Vec<u8>> {
    let target: PathBuf = folder.join("record.json");
    let status = Command::new("pdfdetach")
        .args(["-save", "1", "-o"])
        .arg(&target)
        .arg(path)
        .status()
        .ok()?;
    assert!(status.success(), "the record can be taken out");
    Some(std::fs::read(target).unwrap())
}

#[track_caller]
fn check(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "“{part}” is missing in: {text}");
    }
}

#[test]
fn a_report_tells_how_it_came_and_how_it_goes() {
    let bench = closed();
    let paper = bench.report(PaperSize::A4);
    let Some(text) = text_of(&paper.path) else {
        return;
    };
    check(
        &text,
        &[
            "Tidewater Board Lab",
            "Corner & Sons",
            "Vireo Lumen 6, graphite",
            IMEI,
            "352099001761482",
            "check digit",
        ],
    );
    check(
        &text,
        &[
            "RR473124829GB",
            "Crushed or dented: one corner",
            "Nobody had announced this device",
        ],
    );
    check(
        &text,
        &[
            "crack, hairline, 18 mm",
            "green deposit in the port",
            "1 missing",
            "card tray",
        ],
    );
    check(
        &text,
        &[
            "Clear",
            "3.820 V",
            "15.40 Wh",
            domain::cells::RULES_REVISION,
        ],
    );
    check(
        &text,
        &[
            "Replaced the charging controller",
            "U3101",
            "350 °C",
            "45 s",
            "L-2291",
            "VBUS 0.4 V (expected 5.0 V)",
        ],
    );
    check(
        &text,
        &["64.00 EUR", "9.80 EUR", "73.80 EUR", "by phone, the owner"],
    );
    check(
        &text,
        &[
            "Repaired in part",
            "the camera module was missing when it came",
            "Cameras",
        ],
    );
}

#[test]
fn readings_stand_with_unit_uncertainty_limits_and_the_rule_they_are_judged_by() {
    let bench = closed();
    let paper = bench.report(PaperSize::A4);
    let Some(text) = text_of(&paper.path) else {
        return;
    };
    check(
        &text,
        &[
            "0.08 ± 0.02 A",
            "1.82 ± 0.02 A",
            "14.2 ± 0.3 s",
            "limits",
            "fixed",
            "newly testable",
            "steady",
        ],
    );
    check(
        &text,
        &[
            "simple acceptance (JCGM 106)",
            "k = 2",
            "harm by heat to U5200",
        ],
    );
}

#[test]
fn times_are_the_lab_s_own_and_the_warranty_ends_on_a_day_of_the_calendar() {
    let bench = closed();
    let paper = bench.report(PaperSize::A4);
    let Some(text) = text_of(&paper.path) else {
        return;
    };
    // 20 November and ninety days is 18 February: 10 days left in November, 31, 31, and 18.
    check(
        &text,
        &[
            "20 Nov 2026, 09:",
            "Europe/Vienna",
            "until the end of 18 Feb 2027",
            "26 Nov 2026",
        ],
    );
}

#[test]
fn the_printed_digest_is_that_of_the_record_inside() {
    let bench = closed();
    let paper = bench.report(PaperSize::A4);
    let issued = bench
        .desk
        .job(bench.job_id)
        .unwrap()
        .reports
        .pop()
        .unwrap()
        .value;
    let Some(record) = attached(&paper.path, bench.folder.path()) else {
        return;
    };
    assert_eq!(
        hex::encode(Sha256::digest(&record)),
        issued.digest.to_string()
    );
    let text: String = text_of(&paper.path).unwrap().split(' ').collect();
    assert!(text.contains(&issued.digest.to_string()), "{text}");
    let value: serde_json::Value = serde_json::from_slice(&record).unwrap();
    assert_eq!(
        value["reference"],
        bench.desk.job(bench.job_id).unwrap().reference
    );
    for secret in ["passcode", "notes", "messages"] {
        assert!(value.get(secret).is_none(), "{secret}");
    }
}

#[test]
fn the_same_facts_give_the_same_paper_whatever_the_time() {
    let bench = closed();
    let job = bench.desk.job(bench.job_id).unwrap();
    let first = bench.desk.draw_report(&job, PaperSize::A4).unwrap();
    bench
        .clock
        .0
        .fetch_add(40 * 24 * 3_600_000, Ordering::SeqCst);
    let second = bench.desk.draw_report(&job, PaperSize::A4).unwrap();
    assert_eq!(
        (first.file, first.digest, first.pages),
        (second.file, second.digest, second.pages)
    );
    // A report that was issued changes nothing that the next one tells.
    bench.report(PaperSize::A4);
    let again = bench
        .desk
        .draw_report(&bench.desk.job(bench.job_id).unwrap(), PaperSize::A4)
        .unwrap();
    assert_eq!((again.file, again.digest), (first.file, first.digest));
}

#[test]
fn another_page_is_another_file_with_the_same_digest() {
    let bench = closed();
    let job = bench.desk.job(bench.job_id).unwrap();
    let sheet = bench.desk.draw_report(&job, PaperSize::A4).unwrap();
    let letter = bench.desk.draw_report(&job, PaperSize::Letter).unwrap();
    assert_ne!(sheet.file, letter.file);
    assert_eq!(sheet.digest, letter.digest);
}

#[test]
fn a_changed_fact_changes_the_digest() {
    let bench = closed();
    let first = bench
        .desk
        .draw_report(&bench.desk.job(bench.job_id).unwrap(), PaperSize::A4)
        .unwrap();
    bench.reading(Phase::After, "charge.current", "1.79", "0.02");
    let second = bench
        .desk
        .draw_report(&bench.desk.job(bench.job_id).unwrap(), PaperSize::A4)
        .unwrap();
    assert_ne!(first.digest, second.digest);
}

#[test]
fn a_report_is_kept_among_the_files_and_written_among_the_papers() {
    let bench = closed();
    let paper = bench.report(PaperSize::A4);
    let job = bench.desk.job(bench.job_id).unwrap();
    assert_eq!(paper.name, format!("report-{}.pdf", job.reference));
    let written = std::fs::read(&paper.path).unwrap();
    let issued = &job.reports.last().unwrap().value;
    assert_eq!(bench.desk.file_bytes(&issued.file).unwrap(), written);
    assert_eq!(bench.desk.paper_bytes(&paper.name).unwrap(), written);
    assert_eq!(issued.size_bytes, written.len() as u64);
    assert!(issued.pages >= 1, "{}", issued.pages);
    let folder = Path::new(&paper.path).parent().unwrap();
    assert_eq!(
        std::fs::read_dir(folder).unwrap().count(),
        1,
        "no half of a file stays behind"
    );
}

#[test]
fn a_picture_that_is_not_here_is_named_and_keeps_no_report_back() {
    let bench = closed();
    let photo = bench.desk.job(bench.job_id).unwrap().photos[0]
        .value
        .clone();
    let with_all = bench
        .desk
        .draw_report(&bench.desk.job(bench.job_id).unwrap(), PaperSize::A4)
        .unwrap();
    bench.desk.files.whole().remove(&photo.hash).unwrap();
    let paper = bench
        .desk
        .draw_report(&bench.desk.job(bench.job_id).unwrap(), PaperSize::A4)
        .unwrap();
    assert_eq!(
        paper.digest, with_all.digest,
        "the record is the same wherever the report is made"
    );
    let Some(text) = text_of(&paper.paper.path) else {
        return;
    };
    check(
        &text,
        &[
            "1 picture not shown",
            "charging port",
            &photo.hash.to_string()[..12],
        ],
    );
}

#[test]
fn photos_stand_beside_the_one_they_name_else_in_order() {
    let bench = closed();
    let gathered = super::report::Gathered::of;
    let job = bench.desk.job(bench.job_id).unwrap();
    let gathered = gathered(&bench.desk, &job).unwrap();
    let gallery = super::pictures::gallery(&bench.desk, &gathered.told()).unwrap();
    let captions: Vec<(bool, bool)> = gallery
        .pairs
        .iter()
        .map(|pair| {
            let has = |photo: &Option<papers::model::Photo>, part: &str| {
                photo
                    .as_ref()
                    .is_some_and(|photo| photo.caption.contains(part))
            };
            (
                has(&pair.before, "charging port") && has(&pair.after, "cleaned port"),
                has(&pair.before, "green deposit") && has(&pair.after, "new controller"),
            )
        })
        .collect();
    assert_eq!(captions, [(true, false), (false, true)]);
}

#[test]
fn the_code_holds_the_address_at_the_server_or_a_code_without_one() {
    let digest = super::record::digest(b"abc");
    // SHA-256 of “abc” (FIPS 180-4, example B.1) begins ba7816bf 8f01cfea.
    assert_eq!(
        address("https://lab.example/", &digest),
        "https://lab.example/r/ba7816bf8f01cfea"
    );
    assert_eq!(address("", &digest), "WB:R:ba7816bf8f01cfea");
}

#[test]
fn a_refused_price_says_what_the_return_costs() {
    let bench = bench();
    bench.check_cell();
    bench.look_over();
    bench.test_before();
    let line = QuoteLineInput {
        text: "Board repair".to_owned(),
        amount: "64".to_owned(),
    };
    let quote = SetQuote {
        job_id: bench.job_id,
        lines: vec![line],
        fee_if_refused: "15".to_owned(),
        promised_date: String::new(),
        note: String::new(),
    };
    set_quote(&bench.desk, quote).unwrap();
    let note = "by phone".to_owned();
    record_decision(
        &bench.desk,
        RecordDecision {
            job_id: bench.job_id,
            answer: Answer::Refuse,
            note,
        },
    )
    .unwrap();
    let job = bench.desk.job(bench.job_id).unwrap();
    let gathered = super::report::Gathered::of(&bench.desk, &job).unwrap();
    let quote = super::goes::quote(&gathered.told()).unwrap();
    assert_eq!(quote.sum.text, "64.00 EUR");
    check(
        &quote.decision,
        &[
            "Refused as told to Ada Lorne",
            "“by phone”",
            "Return unrepaired costs 15.00 EUR.",
        ],
    );
}

#[test]
fn a_cell_that_is_not_clear_is_named_on_tag_and_report() {
    let bench = bench();
    let seen = CellCheckInput {
        findings: vec![CellFinding::Swollen],
        ..CellCheckInput::default()
    };
    record_cell_check(
        &bench.desk,
        RecordCellCheck {
            job_id: bench.job_id,
            check: seen,
        },
    )
    .unwrap();
    let job = bench.desk.job(bench.job_id).unwrap();
    let caution = super::cautions::of_report(&job, Vec::new()).remove(0);
    assert_eq!(caution.title, "Lithium cell: isolate");
    check(
        &caution.text,
        &[
            "do not post it",
            "call the fire service",
            "Local fire code",
            "trained, licensed persons",
        ],
    );
    check(&caution.source, &[domain::cells::RULES_REVISION]);
    let paper = tags(&bench, TagStock::Roll62Mm, 1).unwrap();
    let Some(text) = text_of(&paper.path) else {
        return;
    };
    check(&text, &["isolate", "do not charge", &job.reference]);
}

fn tags(bench: &Bench, stock: TagStock, first_label: u32) -> Result<PaperFile, DeskError> {
    print_job_tags(
        &bench.desk,
        PrintJobTags {
            job_ids: vec![bench.job_id],
            stock,
            first_label,
        },
    )
}

#[test]
fn a_tag_names_the_job_the_shop_and_the_device() {
    let bench = bench();
    let reference = bench.desk.job(bench.job_id).unwrap().reference;
    for stock in [TagStock::Roll62Mm, TagStock::SheetA4, TagStock::SheetLetter] {
        let paper = tags(&bench, stock, 2).unwrap();
        assert_eq!(paper.name, format!("tag-{reference}.pdf"));
        let Some(text) = text_of(&paper.path) else {
            return;
        };
        check(
            &text,
            &[
                &reference,
                "Corner & Sons",
                "Vireo Lumen 6",
                "in 20 Nov 2026",
            ],
        );
    }
}

#[test]
fn a_label_that_is_not_on_the_sheet_is_refused() {
    for (stock, first_label, labels) in [
        (TagStock::SheetA4, 0, 24),
        (TagStock::SheetA4, 25, 24),
        (TagStock::SheetLetter, 11, 10),
    ] {
        let error = tags(&bench(), stock, first_label).unwrap_err();
        assert_eq!(
            error.to_string(),
            format!("Label {first_label} is not on the sheet; choose one from 1 to {labels}.")
        );
    }
}

fn packed(bench: &Bench) -> ParcelId {
    bench.report(PaperSize::A4);
    let job = bench.desk.job(bench.job_id).unwrap();
    let parcel_id = open_return_parcel(
        &bench.desk,
        OpenReturnParcel {
            shop_id: job.shop_id.unwrap(),
        },
    )
    .unwrap()
    .parcel
    .parcel_id;
    pack_device(
        &bench.desk,
        PackDevice {
            parcel_id,
            scanned: job.reference,
        },
    )
    .unwrap();
    weigh_parcel(
        &bench.desk,
        WeighParcel {
            parcel_id,
            grams: "412".to_owned(),
        },
    )
    .unwrap();
    parcel_id
}

#[test]
fn a_packing_slip_lists_devices_weight_and_what_to_mind() {
    let bench = closed();
    let parcel_id = packed(&bench);
    for size in [PaperSize::A4, PaperSize::Letter] {
        let paper = print_packing_slip(&bench.desk, PrintPackingSlip { parcel_id, size }).unwrap();
        let parcel = bench.desk.parcel(parcel_id).unwrap();
        assert_eq!(paper.name, format!("packing-slip-{}.pdf", parcel.reference));
        let Some(text) = text_of(&paper.path) else {
            return;
        };
        check(
            &text,
            &[
                &parcel.reference,
                "1 Market Row",
                "412 g",
                "Vireo Lumen 6",
                "Repaired in part",
                "card tray",
            ],
        );
        check(
            &text,
            &[
                "Lithium cells",
                "no transport document",
                "trained for it",
                domain::cells::RULES_REVISION,
            ],
        );
    }
}
