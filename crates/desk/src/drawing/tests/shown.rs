//! Pages of papers as the window shows them.

use super::bench::{Bench, closed};
use crate::commands::PaperSize;
use crate::commands::printing::{ShowPage, ShownPage, show_page};
use crate::error::DeskError;
use crate::printing::Asked;

fn show(bench: &Bench, paper: Asked, page: u32) -> Result<ShownPage, DeskError> {
    show_page(&bench.desk, ShowPage { paper, page })
}

/// The report that is kept with the job.
fn kept(bench: &Bench) -> Asked {
    let job = bench.desk.job(bench.job_id).unwrap();
    let file = job.current_report().unwrap().value.file;
    Asked::Kept { file }
}

fn check_refused(answer: Result<ShownPage, DeskError>, part: &str) {
    let said = answer.unwrap_err().to_string();
    assert!(said.contains(part), "{said}");
}

#[test]
fn every_page_of_a_kept_report_is_shown_at_the_size_of_its_sheet() {
    // ISO 216 A4, and the sheet of 8.5 by 11 inches; a point is 1/72 inch (ISO 32000-2:2020, 8.3.2.3).
    for (size, width_pt, height_pt) in [
        (PaperSize::A4, 595.28, 841.89),
        (PaperSize::Letter, 612.0, 792.0),
    ] {
        let bench = closed();
        bench.report(size);
        let pages = show(&bench, kept(&bench), 1).unwrap().pages;
        assert!(pages > 0);
        for page in 1..=pages {
            let shown = show(&bench, kept(&bench), page).unwrap();
            assert_eq!(shown.pages, pages);
            let document = shown.svg.split_once('>').unwrap().0.to_owned();
            let side = |name: &str| -> f64 {
                let (_, after) = document.split_once(&format!(" {name}=\"")).unwrap();
                after.split_once('"').unwrap().0.parse().unwrap()
            };
            assert!((side("width") - width_pt).abs() < 0.1, "{document}");
            assert!((side("height") - height_pt).abs() < 0.1, "{document}");
        }
    }
}

#[test]
fn a_page_that_the_paper_lacks_is_refused_with_the_number_of_its_pages() {
    let bench = closed();
    bench.report(PaperSize::A4);
    let pages = show(&bench, kept(&bench), 1).unwrap().pages;
    for page in [0, pages + 1, u32::MAX] {
        check_refused(
            show(&bench, kept(&bench), page),
            &format!("page {page} is not among them"),
        );
    }
}

#[test]
fn a_file_that_is_no_pdf_sends_the_person_to_the_systems_viewer() {
    let bench = closed();
    let file = bench.desk.files.whole().put(b"not a paper").unwrap().hash;
    check_refused(
        show(&bench, Asked::Kept { file }, 1),
        "open it in the system's viewer",
    );
}

#[test]
fn a_name_that_leads_out_of_the_papers_shows_nothing() {
    let bench = closed();
    for name in ["../lab.json", "", "none.pdf"] {
        let paper = Asked::Made {
            name: name.to_owned(),
        };
        assert!(matches!(
            show(&bench, paper, 1),
            Err(DeskError::NotFound { what: "paper" })
        ));
    }
}
