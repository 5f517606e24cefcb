//! How far the papers are fit for an archive: Apache PDFBox's preflight (Debian: `libpdfbox2-java`) reads them.
//!
//! It knows PDF/A-1b (ISO 19005-1) only, and the papers aim at PDF/A-3b (ISO 19005-3), for which no validator is in the
//! registries. So a paper is relabelled, and every remark must be one on which the two parts differ:
//! a subset font needs no list of its glyphs (CIDSet) from part 2 on, a colour profile may be of version 4 from part 2 on,
//! and files may be embedded in part 3. (What part 3 allows: from memory of its clauses 6.2.3, 6.2.11.4.2 and 6.8.)

use std::process::Command;

use super::{A4, LETTER, Printed, samples};

/// Where Debian keeps Java's libraries.
const JARS: [&str; 7] = [
    "/usr/share/java/preflight.jar",
    "/usr/share/java/pdfbox2.jar",
    "/usr/share/java/fontbox2.jar",
    "/usr/share/java/xmpbox.jar",
    "/usr/share/java/commons-logging.jar",
    "/usr/share/java/javax.activation.jar",
    "/usr/share/java/jaxb-api.jar",
];

/// Remarks of part 1 that part 3 doesn't make.
const GONE_IN_PART_3: [&str; 4] = [
    "The CIDSet entry is missing for the Composite Subset",
    "Invalid version of the ICCProfile",
    "EmbeddedFile entry is present in the Names dictionary",
    "EmbeddedFile entry is present in a FileSpecification dictionary",
];

fn replaced(bytes: &[u8], from: &[u8], to: &[u8]) -> Vec<u8> {
    assert_eq!(from.len(), to.len(), "offsets in the file must not move");
    let at = bytes
        .windows(from.len())
        .position(|window| window == from)
        .unwrap_or_else(|| panic!("{} is not in the paper", String::from_utf8_lossy(from)));
    let mut bytes = bytes.to_vec();
    bytes[at..at + to.len()].copy_from_slice(to);
    bytes
}

/// What preflight says of a paper that is labelled as part 1.
fn remarks(paper: &[u8]) -> Vec<String> {
    let paper = replaced(paper, b"%PDF-1.7", b"%PDF-1.4");
    let paper = replaced(&paper, b"<pdfaid:part>3<", b"<pdfaid:part>1<");
    let printed = Printed::new(&paper);
    let output = Command::new("java")
        .args([
            "-cp",
            &JARS.join(":"),
            "org.apache.pdfbox.preflight.Validator_A1b",
        ])
        .arg(&printed.file)
        .output()
        .unwrap_or_else(|error| panic!("java is not installed: {error}"));
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        said.contains("is a valid PDF/A-1b file") || said.contains("is not a valid PDF/A-1b file"),
        "preflight judged nothing: {said}{}",
        String::from_utf8_lossy(&output.stderr)
    );
    said.lines()
        .filter(|line| line.contains(" : ") && !line.starts_with("The file"))
        .map(str::to_owned)
        .collect()
}

fn check(paper: &[u8]) {
    let others: Vec<String> = remarks(paper)
        .into_iter()
        .filter(|remark| !GONE_IN_PART_3.iter().any(|known| remark.contains(known)))
        .collect();
    assert_eq!(others, Vec::<String>::new());
}

#[test]
fn a_report_with_photos_links_and_an_attachment_is_fit_for_an_archive() {
    check(&papers::return_report(&samples::large_report(), &A4).unwrap());
}

#[test]
fn a_report_in_several_scripts_is_fit_for_an_archive() {
    check(&papers::return_report(&samples::scripts_report(), &LETTER).unwrap());
}

#[test]
fn papers_with_a_lab_s_own_mark_and_words_are_fit_for_an_archive() {
    check(&papers::return_report(&samples::own_words_report(), &A4).unwrap());
    check(&papers::packing_slip(&samples::own_words_slip(), &LETTER).unwrap());
    check(&papers::inward_slip(&samples::own_words_inward(), &A4).unwrap());
    check(&papers::test_page(&samples::test_roll()).unwrap());
    check(&papers::test_page(&samples::test_sheet(papers::model::PageSize::A4)).unwrap());
}

#[test]
fn preflight_finds_what_is_wrong() {
    let paper = papers::return_report(&samples::simple_report(), &A4).unwrap();
    let broken = replaced(&paper, b"/GTS_PDFA1", b"/GTS_PDFX0");
    let remarks = remarks(&broken);
    let about_colours = |remark: &String| {
        remark.contains("DeviceRGB") || remark.contains("OutputIntent") || remark.contains("2.")
    };
    assert!(remarks.iter().any(about_colours), "{remarks:?}");
}
