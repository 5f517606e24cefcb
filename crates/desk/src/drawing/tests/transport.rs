//! The papers of a return parcel: which files, what stands in them, and what is refused. The verdicts are written out here, so that
//! what is tested is the drawing and not the rules.

use domain::cells::book::RuleBook;
use domain::cells::transport::{Parcel as Question, Verdict};
use domain::cells::{CellCheck, CellFinding};
use domain::fact::GivenVerdict;
use domain::{Fact, ParcelId, Subject};
use papers::model::Overridden;
use serde_json::{Value, json};

use super::bench::{Bench, closed};
use super::slips::packed;
use super::{check, text_of};
use crate::commands::PaperSize;
use crate::commands::cell_papers::{
    ParcelPaper, ParcelPaperKind, PrintTransportPapers, print_transport_papers,
};
use crate::drawing::transport::ForTransport;
use crate::error::DeskError;

fn battery_mark(un: &str) -> Value {
    json!({
        "code": format!("LBM({})", un.replace(' ', "")), "kind": "battery_mark", "words": format!("battery mark with {un}"),
        "lines": [un], "letter_height_mm": 12, "size_mm": [100, 100], "small_size_mm": [100, 70],
        "placing": "On one side of the package."
    })
}

fn words(code: &str, lines: &[&str], letter_height_mm: Option<u32>) -> Value {
    json!({
        "code": code, "kind": "words", "words": "words on the package", "lines": lines, "letter_height_mm": letter_height_mm,
        "size_mm": null, "small_size_mm": null, "placing": "On the outside of the package."
    })
}

fn verdict(code: &str, marks: &[Value]) -> Verdict {
    let value = json!({
        "verdict": code, "words": "may go with these marks and words", "un": ["UN3481"],
        "proper_shipping_name": ["Lithium ion batteries packed with equipment"], "packing_instruction": ["SP 188"],
        "marks": marks,
        "papers": [{"name": "packing slip", "text": "Inside, on top.", "clause": ""}],
        "flags": ["surface_only"],
        "rules": [{"id": "R19", "verdict": "MARKED", "text": "A spare beside its device needs the mark.", "regime": "ADR",
                   "clause": "SP 188(f)", "edition": "ADR 2025", "certainty": "from_memory", "source": "",
                   "last_checked": "2026-11-25"}],
        "limits": [{"id": "SM.CELL.WH", "what": "energy of a cell", "value": "16.64 Wh", "limit": "20 Wh", "within": true,
                    "clause": "SP 188(b)", "certainty": "primary"},
                   {"id": "PKG.GROSS", "what": "gross mass", "value": "not known", "limit": "30 kg", "within": false,
                    "clause": "SP 188(h)", "certainty": "primary"}],
        "alternatives": [{"change": "take the spare out", "verdict": "ORDINARY", "words": "may go, without a battery mark", "marks": []}],
        "unknowns": ["the gross mass"],
        "cautions": [{"id": "C8", "text": "What is not known is never taken for good."}],
        "packing": [{"text": "Switch the device off.", "clause": "SP 188(e)"}, {"text": "Cover the terminals of the spare.", "clause": ""}],
        "regime": "ADR", "mode": "GROUND", "carrier": "none", "ship_date": "2026-11-26", "book": "rule book of 2026-11-25"
    });
    serde_json::from_value(value).unwrap()
}

fn question(packages: u32) -> Question {
    let value = json!({"regime": "ADR", "mode": "GROUND", "ship_date": "2026-11-26", "packages_per_consignment": packages,
                       "gross_g_per_package": 412, "contents": []});
    serde_json::from_value(value).unwrap()
}

/// Prints for the sample parcel.
fn print(
    bench: &Bench,
    verdict: &Verdict,
    small_marks: bool,
) -> Result<Vec<ParcelPaper>, DeskError> {
    print_for(bench, verdict, small_marks, 2)
}

fn print_for(
    bench: &Bench,
    verdict: &Verdict,
    small_marks: bool,
    packages: u32,
) -> Result<Vec<ParcelPaper>, DeskError> {
    let parcel_id = packed(bench);
    let view = bench.desk.parcel_view(parcel_id).unwrap();
    bench.desk.transport_papers(&ForTransport {
        view: &view,
        question: &question(packages),
        verdict,
        book: RuleBook::shipped(),
        overridden: Some(Overridden {
            what: "Held for the gross mass".to_owned(),
            reason: "weighed by the carrier at the door".to_owned(),
            by: "Ines Varga, 25 Nov 2026".to_owned(),
        }),
        shipper: "Ines Varga".to_owned(),
        small_marks,
        size: PaperSize::A4,
    })
}

/// The names without the parcel's reference.
fn kinds(papers: &[ParcelPaper]) -> Vec<String> {
    let name = |paper: &ParcelPaper| {
        let name = &paper.paper.name;
        name[..name.len() - "-7K3M-2Q9X-C.pdf".len()].to_owned()
    };
    papers.iter().map(name).collect()
}

#[test]
fn a_marked_parcel_gets_instruction_mark_words_and_waybill_sentence_under_names_of_their_own() {
    let mut marks = vec![battery_mark("UN 3481"), battery_mark("UN 3091")];
    marks.push(words("OVERPACK", &["OVERPACK"], Some(12)));
    marks.push(words(
        "T-USPS",
        &[
            "Restricted Electronic Device",
            "Surface Transportation Only",
        ],
        None,
    ));
    let mut sentence = words(
        "AWB-II",
        &["Lithium ion batteries in compliance with Section II of PI966"],
        None,
    );
    sentence["kind"] = json!("waybill");
    marks.push(sentence);
    let bench = closed();
    let papers = print(&bench, &verdict("MARKED", &marks), false).unwrap();
    assert_eq!(
        kinds(&papers),
        [
            "packing-instruction",
            "battery-mark",
            "parcel-words",
            "air-waybill"
        ]
    );
    let texts: Vec<String> = papers
        .iter()
        .filter_map(|paper| text_of(&paper.paper.path))
        .collect();
    let [instruction, mark, words, waybill] = texts.as_slice() else {
        return;
    };
    check(
        instruction,
        &[
            "May go with these marks and words",
            "By surface only, never by air.",
            "Take the spare out: may go, without a battery mark.",
            "Vireo Lumen 6",
            "Switch the device off.",
            "Cover the terminals of the spare.",
            "Energy of a cell",
            "kept",
            "not known",
            "The gross mass",
            "What is not known is never taken for good.",
            "from memory, to be checked",
            "last checked 25 Nov 2026",
            "weighed by the carrier at the door",
            "Shipper, trained for dangerous goods Ines Varga",
            "Check against the edition in force.",
        ],
    );
    check(
        mark,
        &[
            "UN 3481",
            "UN 3091",
            "For package 2 of 2.",
            "100 × 100 mm",
            "ADR 2025",
        ],
    );
    check(
        words,
        &[
            "OVERPACK",
            "Letters 12 mm high",
            "Surface",
            "Transportation Only",
        ],
    );
    check(waybill, &["Section II of PI966"]);
}

#[test]
fn each_paper_says_how_often_it_is_printed_and_whether_its_size_counts() {
    use ParcelPaperKind::{BatteryMark, PackingInstruction, Words};
    let marks = [
        battery_mark("UN 3481"),
        words("T-DDR", &["Damaged"], Some(12)),
    ];
    // A mark for each package, up to 20 on one copy; words once for each package; one instruction for them all.
    for (packages, mark_copies, on_one, placed) in [
        (1, 1, 1, "For package 1 of 1."),
        (20, 1, 20, "For package 20 of 20."),
        (21, 2, 20, "For one of 21 packages."),
    ] {
        let bench = closed();
        let papers = print_for(&bench, &verdict("MARKED", &marks), false, packages).unwrap();
        let said: Vec<_> = papers
            .iter()
            .map(|paper| (paper.kind, paper.copies, paper.pieces, paper.true_size))
            .collect();
        assert_eq!(
            said,
            [
                (PackingInstruction, 1, 1, false),
                (BatteryMark, mark_copies, on_one, true),
                (Words, packages, 1, true),
            ]
        );
        if let Some(text) = text_of(&papers[1].paper.path) {
            check(&text, &[placed]);
        }
    }
}

#[test]
fn a_parcel_that_must_not_go_gets_its_instruction_and_nothing_to_stick_on_a_box() {
    let bench = closed();
    let papers = print(&bench, &verdict("FORBIDDEN", &[]), false).unwrap();
    assert_eq!(kinds(&papers), ["packing-instruction"]);
}

#[test]
fn words_about_damage_are_printed_in_capitals_of_their_height() {
    let line = "Damaged/defective lithium ion battery";
    let bench = closed();
    let papers = print(
        &bench,
        &verdict("DDR_GROUND", &[words("T-DDR", &[line], Some(12))]),
        false,
    )
    .unwrap();
    let Some(text) = text_of(&papers[1].paper.path) else {
        return;
    };
    check(
        &text,
        &[
            "DAMAGED/ DEFECTIVE LITHIUM ION BATTERY",
            "Letters 12 mm high",
            "173.185(f)(4)",
        ],
    );
}

#[test]
fn a_small_package_gets_the_small_mark() {
    let bench = closed();
    let papers = print(&bench, &verdict("MARKED", &[battery_mark("UN 3481")]), true).unwrap();
    let Some(text) = text_of(&papers[1].paper.path) else {
        return;
    };
    check(
        &text,
        &["100 × 70 mm, only for a package that is too small"],
    );
}

#[test]
fn a_mark_that_the_book_wants_larger_is_refused_and_nothing_is_written() {
    let mut mark = battery_mark("UN 3481");
    mark["size_mm"] = json!([110, 110]);
    let bench = closed();
    let error = print(&bench, &verdict("MARKED", &[mark]), false).unwrap_err();
    check(
        &error.to_string(),
        &[
            "other measures than this program draws",
            "use a printed mark",
        ],
    );
    let papers = bench.desk.options.folder.join(crate::desk::PAPERS);
    let written = std::fs::read_dir(papers).unwrap();
    let instructions = written.filter(|file| {
        let name = file.as_ref().unwrap().file_name();
        name.to_string_lossy().starts_with("packing-instruction")
    });
    assert_eq!(instructions.count(), 0);
}

fn asked(findings: &[&str]) -> Question {
    let question = json!({
        "regime": "ADR", "mode": "GROUND", "ship_date": "2026-11-26", "packages_per_consignment": 1, "gross_g_per_package": 412,
        "chem": "LI_ION", "cells_per_unit": 1, "wh_label": 15.4, "config": "PACKED_WITH", "findings": findings,
        "units_in_devices": 1, "spare_sets": 1, "devices_per_package": 1, "battery_net_g_per_package": 120,
        "device_status": "USED", "battery_original": true
    });
    serde_json::from_value(question).unwrap()
}

fn ask(
    bench: &Bench,
    parcel_id: ParcelId,
    findings: &[&str],
) -> Result<Vec<ParcelPaper>, DeskError> {
    print_transport_papers(
        &bench.desk,
        PrintTransportPapers {
            parcel_id,
            question: asked(findings),
            shipper: String::new(),
            small_marks: false,
            size: PaperSize::Letter,
        },
    )
}

/// Packed with its device: the battery mark whatever the count (ADR 2025, SP 188(f), text read).
#[test]
fn the_rules_own_verdict_is_printed_with_the_mark_it_asks_for() {
    let bench = closed();
    let papers = ask(&bench, packed(&bench), &["F00"]).unwrap();
    assert_eq!(kinds(&papers), ["packing-instruction", "battery-mark"]);
    let texts: Vec<String> = papers
        .iter()
        .filter_map(|paper| text_of(&paper.paper.path))
        .collect();
    let [instruction, mark] = texts.as_slice() else {
        return;
    };
    check(
        instruction,
        &[
            "May go with these marks and words",
            "ADR 2025",
            "no approval",
            "Smoke, a hiss or heat",
        ],
    );
    check(mark, &["UN 3481", "5.2.1.9.2"]);
}

#[test]
fn a_parcel_that_has_left_is_printed_again_with_the_verdict_it_left_with() {
    let bench = closed();
    let parcel_id = packed(&bench);
    let given = GivenVerdict {
        question: asked(&["F00"]),
        verdict: verdict("MARKED", &[words("OVERPACK", &["OVERPACK"], Some(12))]),
    };
    let fact = Fact::ParcelVerdictGiven(given);
    bench.desk.record(Subject::Parcel(parcel_id), fact).unwrap();
    let papers = ask(&bench, parcel_id, &["F00"]).unwrap();
    assert_eq!(kinds(&papers), ["packing-instruction", "parcel-words"]);
}

#[test]
fn a_question_that_says_less_than_the_cell_checks_prints_nothing() {
    let bench = closed();
    let parcel_id = packed(&bench);
    // Seen and fine is what the check says too, and a worse question is answered.
    for findings in [&["F01"][..], &[]] {
        assert!(ask(&bench, parcel_id, findings).is_ok(), "{findings:?}");
    }
    let swollen = CellCheck {
        findings: [CellFinding::Swollen].into(),
        ..CellCheck::default()
    };
    let fact = Fact::CellChecked(swollen);
    bench.desk.record(Subject::Job(bench.job_id), fact).unwrap();
    let error = ask(&bench, parcel_id, &["F00"]).unwrap_err();
    check(
        &error.to_string(),
        &[
            "damaged, defective or recalled",
            "ask for the verdict anew with what was found",
        ],
    );
    assert!(ask(&bench, parcel_id, &["F10"]).is_ok());
}

/// The measure itself is invented: what is tested is whose book is asked.
#[test]
fn the_papers_follow_the_lab_s_own_rule_book() {
    let bench = closed();
    let parcel_id = packed(&bench);
    assert!(ask(&bench, parcel_id, &["F00"]).is_ok());
    let lab = bench.desk.lab().unwrap();
    for row in lab.rule_book().rows() {
        if row.id == "MARK.HATCH" {
            let mut row = row.clone();
            row.value = Some(9);
            let reason = "read anew".to_owned();
            let update = domain::fact::RuleUpdate { row, reason };
            bench
                .desk
                .record(Subject::Lab(lab.lab_id), Fact::RuleUpdated(update))
                .unwrap();
        }
    }
    let error = ask(&bench, parcel_id, &["F00"]).unwrap_err();
    check(
        &error.to_string(),
        &["other measures than this program draws"],
    );
}
