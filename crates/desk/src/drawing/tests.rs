//! Papers of a whole job, made through the commands and read back.
//!
//! What a report is filled with is checked on its model; what reaches the paper is read back by poppler, where it is installed (it
//! must be where `CI` is set).

mod bay;
pub(crate) mod bench;
mod own;
mod pictures;
mod proof;
mod shown;
mod slips;
mod transport;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::Ordering;

use bench::{BEGIN_MS, Bench, IMEI, bench, closed};
use domain::cells::CellFinding;
use domain::fact::{Answer, Phase};
use sha2::{Digest as _, Sha256};
use slips::tags;

use super::record::address;
use crate::commands::PaperSize;
use crate::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use crate::commands::bench::quote::{
    QuoteLineInput, RecordDecision, SetQuote, record_decision, set_quote,
};
use crate::commands::dock::TagStock;

/// Everything that a report is filled with, as one text.
fn filled(bench: &Bench) -> String {
    let job = bench.desk.job(bench.job_id).unwrap();
    let gathered = super::report::Gathered::of(&bench.desk, &job).unwrap();
    let record = super::record::ReportRecord::of(&gathered.told()).bytes();
    let digest = super::record::digest(&record);
    // Without the record inside: only what is printed counts here.
    let model = super::report::model(&gathered, &bench.desk, &digest, Vec::new()).unwrap();
    let mut value = serde_json::to_value(model).unwrap();
    value["photos"] = serde_json::Value::Null;
    value["more_photos"] = serde_json::Value::Null;
    value.to_string()
}

/// Runs one of poppler's programs; `None` where it isn't installed.
fn poppler(program: &str, arguments: &[&str]) -> Option<Vec<u8>> {
    match Command::new(program).args(arguments).output() {
        Ok(output) => {
            assert!(output.status.success(), "{program} reads the paper");
            Some(output.stdout)
        }
        Err(why) => {
            assert!(
                std::env::var_os("CI").is_none(),
                "{program} is needed to check papers: {why}"
            );
            None
        }
    }
}

/// What a person reads on a paper, with runs of white space made one.
fn text_of(path: &str) -> Option<String> {
    let text = String::from_utf8(poppler("pdftotext", &[path, "-"])?).unwrap();
    Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// The record inside a report.
fn attached(path: &str, folder: &Path) -> Option<Vec<u8>> {
    let target: PathBuf = folder.join("record.json");
    poppler(
        "pdfdetach",
        &["-save", "1", "-o", target.to_str().unwrap(), path],
    )?;
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
    let text = filled(&closed());
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
            "1 device inside; none was announced.",
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
            "Every camera and the lamp",
        ],
    );
}

#[test]
fn readings_stand_with_unit_uncertainty_limits_and_the_rule_they_are_judged_by() {
    let text = filled(&closed());
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
    let text = filled(&closed());
    // 20 November and ninety days is 18 February: 10 days left in November, 31, 31, and 18.
    check(
        &text,
        &[
            // It began at 08:12 by UTC, and every entry since took a minute.
            "20 Nov 2026, 10:23",
            "Europe/Vienna",
            "until the end of 18 Feb 2027",
            "26 Nov 2026",
        ],
    );
}

#[test]
fn what_was_filled_in_can_be_read_on_the_paper() {
    let bench = closed();
    let paper = bench.report(PaperSize::A4);
    let Some(text) = text_of(&paper.path) else {
        return;
    };
    check(
        &text,
        &[
            "Tidewater Board Lab",
            "Vireo Lumen 6, graphite",
            IMEI,
            "1.82 ± 0.02 A",
            "73.80 EUR",
            "Repaired in part",
            "18 Feb 2027",
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
    let note = "By phone.".to_owned();
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
            "“By phone.” Return unrepaired costs 15.00 EUR.",
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
    let caution = super::cautions::of_report(&job, &[]).remove(0);
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

#[test]
fn every_value_that_people_disagree_on_stands_with_its_author() {
    let (ada, lin) = (person(1), person(2));
    let names = [(ada, "Ada Lorne".to_owned()), (lin, "Lin Okoro".to_owned())].into();
    let words = super::words::Words::new("Europe/Vienna".parse().unwrap(), names);
    let head = |number: u8, actor_id, value: &str| domain::Head {
        mark: domain::Mark {
            entry_id: domain::EntryId::from_bytes([number; 16]),
            actor_id,
            at_ms: BEGIN_MS,
        },
        value: value.to_owned(),
    };
    let register = domain::Register {
        heads: vec![
            head(1, ada, "black"),
            head(2, lin, "slate"),
            head(3, lin, "black"),
        ],
    };
    let stated = words.stated(&register, Clone::clone);
    assert_eq!(stated.text, "black");
    let others: Vec<(&str, &str)> = stated
        .others
        .iter()
        .map(|other| (other.text.as_str(), other.by.as_str()))
        .collect();
    assert_eq!(others, [("slate", "Lin Okoro, 20 Nov 2026, 09:12")]);
    assert_eq!(
        words.inline(&register, Clone::clone),
        "black; not settled: slate (Lin Okoro, 20 Nov 2026, 09:12)"
    );
}

fn person(number: u8) -> domain::PersonId {
    domain::PersonId::from_bytes([number; 16])
}
