//! Holds the papers against programs that had no part in making them: qpdf reads the structure (ISO 32000-1 as qpdf
//! understands it), poppler reads text, fonts, pictures and sizes, zbar reads the codes (ISO/IEC 18004 as zbar understands
//! it), poppler again draws the pages. All must be installed (Debian: `qpdf`, `poppler-utils`, `zbar-tools`).
//!
//! Must never look into a paper with the library that wrote it.

#[path = "../../../crates/papers/examples/samples/mod.rs"]
mod samples;

mod archive;
mod layout;
mod millimetres;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use papers::model::{BayStock, PageSetup, PageSize, ReturnReport};
use tempfile::TempDir;

const A4: PageSetup = PageSetup {
    page_size: PageSize::A4,
};
const LETTER: PageSetup = PageSetup {
    page_size: PageSize::Letter,
};

/// A folder with one paper in it.
struct Printed {
    folder: TempDir,
    file: PathBuf,
}

impl Printed {
    fn new(bytes: &[u8]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("paper.pdf");
        fs::write(&file, bytes).unwrap();
        Self { folder, file }
    }

    fn report(report: &ReturnReport, setup: &PageSetup) -> Self {
        Self::new(&papers::return_report(report, setup).unwrap())
    }

    /// The text as pdftotext lays it out, with the white between words made single.
    fn text(&self) -> String {
        let text = run(
            "pdftotext",
            &["-layout".as_ref(), self.file.as_ref(), "-".as_ref()],
        );
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// What zbar reads from the drawn pages.
    fn codes(&self) -> Vec<String> {
        let stem = self.folder.path().join("page");
        run(
            "pdftoppm",
            &[
                "-r".as_ref(),
                "200".as_ref(),
                "-png".as_ref(),
                self.file.as_ref(),
                stem.as_ref(),
            ],
        );
        let mut pages = files(self.folder.path(), "png");
        pages.sort();
        let read = |page: &PathBuf| {
            run_lenient(
                "zbarimg",
                &["--quiet".as_ref(), "--raw".as_ref(), page.as_ref()],
            )
        };
        pages
            .iter()
            .map(read)
            .flat_map(|text| text.lines().map(str::to_owned).collect::<Vec<_>>())
            .collect()
    }

    fn info(&self) -> String {
        run("pdfinfo", &["-isodates".as_ref(), self.file.as_ref()])
    }
}

fn run(program: &str, arguments: &[&Path]) -> String {
    let output = Command::new(program)
        .args(arguments)
        .output()
        .unwrap_or_else(|error| {
            panic!("{program} must be installed for the outside checks: {error}")
        });
    assert!(
        output.status.success(),
        "{program}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

/// zbar ends with an error when a page holds no code, which is no fault of the page.
fn run_lenient(program: &str, arguments: &[&Path]) -> String {
    let output = Command::new(program)
        .args(arguments)
        .output()
        .unwrap_or_else(|error| {
            panic!("{program} must be installed for the outside checks: {error}")
        });
    String::from_utf8(output.stdout).unwrap()
}

fn files(folder: &Path, extension: &str) -> Vec<PathBuf> {
    let paths = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path());
    paths
        .filter(|path| path.extension().is_some_and(|found| found == extension))
        .collect()
}

fn all_papers() -> Vec<(&'static str, Printed)> {
    let mut papers = Vec::new();
    for setup in [A4, LETTER] {
        for (name, report) in [
            ("simple report", samples::simple_report()),
            ("typical report", samples::typical_report()),
            ("large report", samples::large_report()),
            ("report in three scripts", samples::scripts_report()),
            ("report with long names", samples::long_names_report()),
            ("report with current traces", samples::bench_report()),
        ] {
            papers.push((name, Printed::report(&report, &setup)));
        }
        let slip = papers::inward_slip(&samples::inward_slip(), &setup).unwrap();
        papers.push(("inward slip", Printed::new(&slip)));
        let slip = papers::packing_slip(&samples::packing_slip(), &setup).unwrap();
        papers.push(("packing slip", Printed::new(&slip)));
        let tags = papers::job_tags(&samples::tags_on_sheet(setup.page_size, 2), &setup).unwrap();
        papers.push(("tags on a sheet", Printed::new(&tags)));
        papers.extend(cell_papers(&setup));
    }
    let tags = papers::job_tags(&samples::tags_on_roll(), &A4).unwrap();
    papers.push(("tags on a roll", Printed::new(&tags)));
    papers
}

/// The papers for cells and for parcels that hold them.
fn cell_papers(setup: &PageSetup) -> Vec<(&'static str, Printed)> {
    let instruction = |paper| papers::packing_instruction(&paper, setup);
    let papers = [
        (
            "packing instruction",
            instruction(samples::packing_instruction()),
        ),
        (
            "instruction for a damaged cell",
            instruction(samples::damaged_instruction()),
        ),
        (
            "instruction not to send",
            instruction(samples::forbidden_instruction()),
        ),
        (
            "instruction in three scripts",
            instruction(samples::scripts_instruction()),
        ),
        (
            "battery marks",
            papers::battery_marks(&samples::battery_marks(), setup),
        ),
        (
            "old battery mark",
            papers::battery_marks(&samples::old_battery_mark(), setup),
        ),
        ("words", papers::word_labels(&samples::word_labels(), setup)),
        (
            "wide words",
            papers::word_labels(&samples::wide_word_label(), setup),
        ),
        (
            "waybill sentence",
            papers::waybill_sentences(&samples::waybill_sentences(), setup),
        ),
        (
            "bay labels on sheets",
            papers::bay_labels(&samples::bay_labels(BayStock::Sheet), setup),
        ),
        (
            "bay labels on a roll",
            papers::bay_labels(&samples::bay_labels(BayStock::Roll62), setup),
        ),
        (
            "handover record",
            papers::handover_record(&samples::handover_record(), setup),
        ),
    ];
    papers
        .into_iter()
        .map(|(name, paper)| (name, Printed::new(&paper.unwrap())))
        .collect()
}

#[test]
fn qpdf_finds_nothing_wrong_with_any_paper() {
    for (name, paper) in all_papers() {
        let output = Command::new("qpdf")
            .arg("--check")
            .arg(&paper.file)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stdout);
        assert!(
            output.status.success(),
            "{name}: {said} {}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert!(
            said.contains("No syntax or stream encoding errors found"),
            "{name}: {said}"
        );
        assert!(said.contains("PDF Version: 1.7"), "{name}: {said}");
    }
}

/// `pdffonts`: the columns emb, sub and uni must all say yes, so that a reader needs no font and can copy the text.
#[test]
fn every_font_is_embedded_cut_and_can_be_copied() {
    for (name, paper) in all_papers() {
        let listing = run("pdffonts", &[paper.file.as_ref()]);
        let fonts: Vec<&str> = listing.lines().skip(2).collect();
        assert!(!fonts.is_empty(), "{name} has no font");
        for font in fonts {
            let words: Vec<&str> = font.split_whitespace().collect();
            assert!(
                words[0].starts_with("WB") && words[0].contains('+'),
                "{name}: {font}"
            );
            assert!(
                font.contains("Identity-H") && font.contains("yes yes yes"),
                "{name}: {font}"
            );
        }
    }
}

fn check_text(paper: &Printed, expected: &[&str]) {
    let text = paper.text();
    for part in expected {
        assert!(text.contains(part), "{part:?} is missing from: {text}");
    }
}

#[test]
fn a_reader_gets_every_figure_of_a_report_back() {
    let figures = [
        "7K3M-2Q9X-T",
        "490154203237518",
        "VL6-22O0-1lI7",
        "3.61 ± 0.02 V",
        "21.4 °C, 21.0 °C",
        "3.87 V, 4300 mAh, 16.6 Wh",
        "350 °C",
        "25 s",
        "0.00 ± 0.01 A",
        "1.82 ± 0.02 A",
        "14.2 ± 0.3 s",
        "limit ≤ 25 s",
        "6.1 ± 0.4 mA",
        "£ 64.00",
        "£ 9.80",
        "£ 6.50",
        "£ 80.30",
        "20 November 2026, 09:12",
        "As it came",
        "As it goes",
        "newly testable",
        "Lithium cell inside",
        "Page 1 of 1",
    ];
    check_text(&Printed::report(&samples::simple_report(), &A4), &figures);
}

#[test]
fn a_reader_gets_all_forty_tests_of_a_large_report_back() {
    let report = samples::large_report();
    let text = Printed::report(&report, &LETTER).text();
    for row in &report.comparison {
        assert!(
            text.contains(&row.before.value.text) && text.contains(&row.after.value.text),
            "{}",
            row.test
        );
    }
    for word in [
        "fixed",
        "still failing",
        "worse",
        "steady",
        "newly testable",
        "not proved",
        "not settled:",
    ] {
        assert!(text.contains(word), "{word:?} is missing");
    }
    assert!(text.contains("Rail 39, 11.7 V") && text.contains("Rail 40, 12.0 V"));
}

#[test]
fn names_in_greek_and_cyrillic_come_back_whole() {
    let parts = [
        "Ηλεκτρονική Αυγή",
        "Οδός Αγίου Δημητρίου 48",
        "546 32 Θεσσαλονίκη",
        "«После падения не заряжается, экран чёрный»",
        "Проверено в собранном виде: ёмкость 10 µF,",
        "Олена Ґрунтова",
        "Łódź, Győr, Ålesund, Čačak, İzmir, Đà Nẵng",
        "→ ≤ ≥ ≠ √ € ₴ ₽",
        "Unknown here: \u{FFFD} \u{FFFD}",
    ];
    check_text(&Printed::report(&samples::scripts_report(), &A4), &parts);
}

#[test]
fn slips_and_tags_can_be_read_back() {
    let slip = Printed::new(&papers::inward_slip(&samples::inward_slip(), &LETTER).unwrap());
    check_text(
        &slip,
        &[
            "4H8W-Q2ZT-Z",
            "RR 473 124 829 GB",
            "IMEI 490154203237518",
            "9D2V-7HNB-L",
            "Port Ellery EL4 2QN",
        ],
    );
    let slip = Printed::new(&papers::packing_slip(&samples::packing_slip(), &A4).unwrap());
    check_text(
        &slip,
        &[
            "8F5C-1KXA-K",
            "RR 473 124 832 GB",
            "1.24 kg",
            "Beyond economic repair",
            "UN 3481",
        ],
    );
    let tags = Printed::new(&papers::job_tags(&samples::tags_on_roll(), &A4).unwrap());
    check_text(
        &tags,
        &[
            "7K3M-2Q9X-T",
            "bag 1 of 2",
            "Isolate swollen: no charging, no post",
            "Ηλεκτρονική Αυγή,",
        ],
    );
}

#[test]
fn what_a_lab_says_in_its_own_words_is_on_its_papers_and_its_foot_on_every_page() {
    let report = Printed::report(&samples::own_words_report(), &A4);
    let foot = "registered in Port Ellery, no. 0 455 118";
    check_text(
        &report,
        &[
            "It does not cover a new fall,",
            "Data are nobody's business:",
            foot,
        ],
    );
    assert_eq!(
        report.text().matches(foot).count(),
        2,
        "two pages, two feet"
    );
    let slip = papers::packing_slip(&samples::own_words_slip(), &LETTER).unwrap();
    check_text(
        &Printed::new(&slip),
        &[
            "We keep removed parts for 30 days.",
            "www.marrowfinch.example",
        ],
    );
    let inward = papers::inward_slip(&samples::own_words_inward(), &A4).unwrap();
    check_text(&Printed::new(&inward), &[foot]);
}

fn check_codes(paper: &Printed, expected: &[&str]) {
    let mut found = paper.codes();
    found.sort();
    let mut expected = expected.to_vec();
    expected.sort_unstable();
    assert_eq!(found, expected);
}

#[test]
fn zbar_reads_the_code_of_every_paper() {
    let address = ["https://lab.marrowfinch.example/r/5f1d7a84db00d2fc"];
    check_codes(&Printed::report(&samples::simple_report(), &A4), &address);
    check_codes(
        &Printed::report(&samples::large_report(), &LETTER),
        &address,
    );
    let slip = papers::inward_slip(&samples::inward_slip(), &A4).unwrap();
    check_codes(&Printed::new(&slip), &["WB:P:4H8WQ2ZTZ"]);
    let slip = papers::packing_slip(&samples::packing_slip(), &LETTER).unwrap();
    check_codes(&Printed::new(&slip), &["WB:P:8F5C1KXAK"]);
}

#[test]
fn zbar_reads_every_tag_on_roll_and_sheet() {
    let codes = [
        "WB:J:7K3M2Q9XT",
        "WB:J:9D2V7HNBL",
        "WB:J:2M6RXJ4EC",
        "WB:J:5T8YB3WAZ",
    ];
    check_codes(
        &Printed::new(&papers::job_tags(&samples::tags_on_roll(), &A4).unwrap()),
        &codes,
    );
    for setup in [A4, LETTER] {
        let tags = samples::tags_on_sheet(setup.page_size, 3);
        check_codes(
            &Printed::new(&papers::job_tags(&tags, &setup).unwrap()),
            &codes,
        );
    }
}

/// `pdfimages -j` writes the DCT streams out as they are: the files must be those that were put in.
#[test]
fn photos_come_out_byte_for_byte() {
    let report = samples::large_report();
    let paper = Printed::report(&report, &A4);
    run(
        "pdfimages",
        &[
            "-j".as_ref(),
            paper.file.as_ref(),
            paper.folder.path().join("photo").as_ref(),
        ],
    );
    let written: Vec<Vec<u8>> = files(paper.folder.path(), "jpg")
        .iter()
        .map(|path| fs::read(path).unwrap())
        .collect();
    let photos = report
        .photos
        .iter()
        .flat_map(|pair| [&pair.before, &pair.after])
        .flatten();
    let mut count = 0;
    for photo in photos {
        assert!(
            written.contains(&photo.picture.jpeg),
            "{} was changed",
            photo.caption
        );
        count += 1;
    }
    assert_eq!(count, 16);
}

/// A4 by ISO 216 is 210 x 297 mm, Letter by ANSI/ASME Y14.1 8.5 x 11 in; a roll tag is 62 mm wide.
#[test]
fn pages_have_the_size_of_their_sheet() {
    let report = samples::simple_report();
    assert!(Printed::report(&report, &A4).info().contains("(A4)"));
    assert!(
        Printed::report(&report, &LETTER)
            .info()
            .contains("(letter)")
    );
    let tags = Printed::new(&papers::job_tags(&samples::tags_on_roll(), &A4).unwrap());
    let info = run(
        "pdfinfo",
        &["-l".as_ref(), "9".as_ref(), tags.file.as_ref()],
    );
    let sizes: Vec<f64> = info
        .lines()
        .filter(|line| line.contains("size:") && line.starts_with("Page "))
        .filter_map(|line| {
            line.split_whitespace()
                .find_map(|word| word.parse::<f64>().ok().filter(|n| *n > 100.0))
        })
        .collect();
    assert_eq!(sizes.len(), 4, "{info}");
    for width in sizes {
        assert!((width / 72.0 * 25.4 - 62.0).abs() < 0.05, "{width} points");
    }
}

#[test]
fn the_file_says_who_wrote_it_and_when() {
    let info = Printed::report(&samples::scripts_report(), &A4).info();
    for part in [
        "Return report 7K3M-2Q9X-T",
        "Marrow & Finch Board Repair",
        "2026-11-25T10:30:00Z",
        "Tagged: yes",
    ] {
        let info = info.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(info.contains(part), "{part:?} is missing from: {info}");
    }
    assert!(!info.to_lowercase().contains("printpdf"), "{info}");
}

/// `pdfinfo -struct` walks the structure tree, as a program that reads aloud does.
#[test]
fn a_screen_reader_finds_headings_tables_and_figures() {
    let paper = Printed::report(&samples::large_report(), &A4);
    let tree = run("pdfinfo", &["-struct".as_ref(), paper.file.as_ref()]);
    for element in ["Document", "H1", "H2", "Table", "TR", "TD", "Figure"] {
        let found = tree
            .lines()
            .any(|line| line.split_whitespace().next() == Some(element));
        assert!(found, "no {element} in: {tree}");
    }
    let text = run("pdfinfo", &["-struct-text".as_ref(), paper.file.as_ref()]);
    assert!(
        text.contains("Charging controller") && text.contains("Rail 40, 12.0 V"),
        "{text}"
    );
}

#[test]
fn the_record_for_machines_can_be_taken_out() {
    let report = samples::simple_report();
    let paper = Printed::report(&report, &A4);
    let out = paper.folder.path().join("record.json");
    run(
        "pdfdetach",
        &[
            "-save".as_ref(),
            "1".as_ref(),
            "-o".as_ref(),
            out.as_ref(),
            paper.file.as_ref(),
        ],
    );
    assert_eq!(fs::read(out).unwrap(), report.attachments[0].bytes);
}
