//! Each paper as a whole: its bytes, its pages, what the file says about itself, what it refuses.

use lopdf::{Document, Object};

use super::*;
use crate::model::{BayStock, LabelGrid, PageSize, TagStock};
use crate::samples;

mod millimetres;

const A4: PageSetup = PageSetup {
    page_size: PageSize::A4,
};
const LETTER: PageSetup = PageSetup {
    page_size: PageSize::Letter,
};

/// Every sample on every sheet.
fn all_papers() -> Vec<(&'static str, Vec<u8>)> {
    let mut papers = Vec::new();
    for setup in [A4, LETTER] {
        let reports = [
            ("simple", samples::simple_report()),
            ("typical", samples::typical_report()),
            ("large", samples::large_report()),
            ("scripts", samples::scripts_report()),
            ("long names", samples::long_names_report()),
            ("current traces", samples::bench_report()),
        ];
        for (name, report) in reports {
            papers.push((name, return_report(&report, &setup).expect(name)));
        }
        papers.push((
            "inward slip",
            inward_slip(&samples::inward_slip(), &setup).expect("slip"),
        ));
        papers.push((
            "packing slip",
            packing_slip(&samples::packing_slip(), &setup).expect("slip"),
        ));
        let sheet = samples::tags_on_sheet(setup.page_size, 2);
        papers.push(("tags on a sheet", job_tags(&sheet, &setup).expect("tags")));
        papers.extend(cell_papers(&setup));
        papers.extend(own_papers(&setup));
    }
    papers.push((
        "test page on a roll",
        test_page(&samples::test_roll()).expect("test page"),
    ));
    papers.push((
        "tags on a roll",
        job_tags(&samples::tags_on_roll(), &A4).expect("tags"),
    ));
    papers
}

/// Every sample with what a lab sets itself.
fn own_papers(setup: &PageSetup) -> Vec<(&'static str, Vec<u8>)> {
    let report = return_report(&samples::own_words_report(), setup);
    let slip = packing_slip(&samples::own_words_slip(), setup);
    let inward = inward_slip(&samples::own_words_inward(), setup);
    let page = test_page(&samples::test_sheet(setup.page_size));
    vec![
        ("report in own words", report.expect("report")),
        ("slip in own words", slip.expect("slip")),
        ("inward slip in own words", inward.expect("inward")),
        ("test page", page.expect("test page")),
    ]
}

/// Every sample of the papers for cells and for parcels that hold them.
fn cell_papers(setup: &PageSetup) -> Vec<(&'static str, Vec<u8>)> {
    let instructions = [
        ("packing instruction", samples::packing_instruction()),
        ("damaged by road", samples::damaged_instruction()),
        ("not this way", samples::forbidden_instruction()),
        (
            "instruction in three scripts",
            samples::scripts_instruction(),
        ),
    ];
    let mut papers: Vec<_> = instructions
        .into_iter()
        .map(|(name, paper)| (name, packing_instruction(&paper, setup)))
        .collect();
    papers.extend([
        ("marks", battery_marks(&samples::battery_marks(), setup)),
        (
            "old mark",
            battery_marks(&samples::old_battery_mark(), setup),
        ),
        ("words", word_labels(&samples::word_labels(), setup)),
        (
            "wide words",
            word_labels(&samples::wide_word_label(), setup),
        ),
        (
            "waybill",
            waybill_sentences(&samples::waybill_sentences(), setup),
        ),
        (
            "bay labels",
            bay_labels(&samples::bay_labels(BayStock::Sheet), setup),
        ),
        (
            "bay roll",
            bay_labels(&samples::bay_labels(BayStock::Roll62), setup),
        ),
        (
            "handover",
            handover_record(&samples::handover_record(), setup),
        ),
    ]);
    let made = papers.into_iter();
    made.map(|(name, paper)| (name, paper.expect(name)))
        .collect()
}

fn read(bytes: &[u8]) -> Document {
    Document::load_mem(bytes).expect("our own file can be read")
}

fn pages(bytes: &[u8]) -> u32 {
    page_count(bytes).expect("our own file can be read")
}

#[test]
fn the_same_paper_gives_the_same_bytes() {
    for ((name, first), (_, second)) in all_papers().into_iter().zip(all_papers()) {
        assert!(first == second, "{name} differs from one time to the next");
    }
}

#[test]
fn another_word_gives_another_document_id() {
    let id = |bytes: &[u8]| read(bytes).trailer.get(b"ID").expect("an id").clone();
    let first = samples::simple_report();
    let mut second = first.clone();
    second.outcome.text.push('!');
    let (first, second) = (
        return_report(&first, &A4).expect("report"),
        return_report(&second, &A4).expect("report"),
    );
    assert_ne!(id(&first), id(&second));
}

#[test]
fn a_simple_job_takes_one_page_and_a_large_one_as_many_as_it_needs() {
    for setup in [A4, LETTER] {
        let simple = return_report(&samples::simple_report(), &setup).expect("report");
        assert_eq!(pages(&simple), 1, "{setup:?}");
    }
    assert!(pages(&return_report(&samples::large_report(), &A4).expect("report")) >= 5);
}

#[test]
fn what_is_no_pdf_has_no_pages() {
    assert!(matches!(page_count(b"no paper"), Err(PaperError::Read(_))));
}

#[test]
fn an_empty_report_is_still_a_paper() {
    assert_eq!(
        pages(&return_report(&ReturnReport::default(), &A4).expect("report")),
        1
    );
    assert_eq!(
        pages(&inward_slip(&InwardSlip::default(), &LETTER).expect("slip")),
        1
    );
    assert_eq!(
        pages(&packing_slip(&PackingSlip::default(), &LETTER).expect("slip")),
        1
    );
}

#[test]
fn pictures_are_in_the_file_byte_for_byte() {
    let report = samples::large_report();
    let document = read(&return_report(&report, &A4).expect("report"));
    let stored: Vec<&Vec<u8>> = document
        .objects
        .values()
        .filter_map(|object| object.as_stream().ok())
        .filter(|stream| {
            stream
                .dict
                .get(b"Filter")
                .and_then(Object::as_name)
                .is_ok_and(|name| name == b"DCTDecode")
        })
        .map(|stream| &stream.content)
        .collect();
    let photos = report
        .photos
        .iter()
        .flat_map(|pair| [&pair.before, &pair.after])
        .flatten();
    for photo in photos {
        assert!(
            stored.contains(&&photo.picture.jpeg),
            "{} was changed",
            photo.caption
        );
    }
    assert_eq!(stored.len(), 17, "16 photos and the mark of the lab");
}

#[test]
fn the_attached_record_can_be_taken_out_again() {
    let report = samples::simple_report();
    let document = read(&return_report(&report, &A4).expect("report"));
    let file = document
        .objects
        .values()
        .filter_map(|object| object.as_stream().ok())
        .find(|stream| {
            stream
                .dict
                .get(b"Type")
                .and_then(Object::as_name)
                .is_ok_and(|name| name == b"EmbeddedFile")
        })
        .expect("an embedded file");
    let content = file
        .decompressed_content()
        .unwrap_or_else(|_| file.content.clone());
    assert_eq!(content, report.attachments[0].bytes);
}

/// The smallest size on any paper is 7.5 pt, so that a person can read it (common practice, no source).
#[test]
fn no_text_is_smaller_than_seven_and_a_half_points() {
    for (name, bytes) in all_papers() {
        let document = read(&bytes);
        for page in document.get_pages().into_values() {
            let content = document.get_and_decode_page_content(page).expect("content");
            let sizes = content
                .operations
                .iter()
                .filter(|operation| operation.operator == "Tf");
            for operation in sizes {
                let size = operation.operands[1].as_float().expect("a size");
                assert!(size >= 7.5, "{name} has text of {size} pt");
            }
        }
    }
}

#[test]
fn marked_content_is_never_nested_and_always_closed() {
    for (name, bytes) in all_papers() {
        let document = read(&bytes);
        for page in document.get_pages().into_values() {
            let mut open = 0;
            for operation in document
                .get_and_decode_page_content(page)
                .expect("content")
                .operations
            {
                open += match operation.operator.as_str() {
                    "BDC" | "BMC" => 1,
                    "EMC" => -1,
                    _ => 0,
                };
                assert!((0..=1).contains(&open), "{name}");
            }
            assert_eq!(open, 0, "{name}");
        }
    }
}

fn sheet(grid: LabelGrid, start_position: u32) -> JobTags {
    JobTags {
        stock: TagStock::Sheet {
            grid,
            start_position,
        },
        ..samples::tags_on_roll()
    }
}

#[test]
fn a_begun_sheet_is_finished_before_the_next_is_taken() {
    let last_two = sheet(LabelGrid::a4_3x8_70x36(), 23);
    assert_eq!(pages(&job_tags(&last_two, &A4).expect("tags")), 2);
    let last_four = sheet(LabelGrid::a4_3x8_70x36(), 21);
    assert_eq!(pages(&job_tags(&last_four, &A4).expect("tags")), 1);
}

#[test]
fn a_label_that_is_not_on_the_sheet_is_refused() {
    for start_position in [0, 25] {
        let error = job_tags(&sheet(LabelGrid::a4_3x8_70x36(), start_position), &A4)
            .expect_err("not on the sheet");
        assert!(
            matches!(error, PaperError::StartPosition { labels: 24, .. }),
            "{error}"
        );
    }
}

#[test]
fn a_grid_that_does_not_fit_the_sheet_is_refused() {
    let a4 = LabelGrid::a4_3x8_70x36();
    let overlapping = LabelGrid {
        pitch_x_mm: 60.0,
        ..a4.clone()
    };
    let none = LabelGrid {
        rows: 0,
        ..a4.clone()
    };
    for (grid, setup) in [(a4, LETTER), (overlapping, A4), (none, A4)] {
        let error = job_tags(&sheet(grid, 1), &setup).expect_err("does not fit");
        assert!(
            matches!(error, PaperError::GridDoesNotFit { .. }),
            "{error}"
        );
    }
}

#[test]
fn no_tag_is_refused() {
    let none = JobTags {
        tags: Vec::new(),
        ..samples::tags_on_roll()
    };
    assert!(matches!(
        job_tags(&none, &A4),
        Err(PaperError::NothingToPrint)
    ));
}

#[test]
fn a_code_that_is_too_long_is_refused() {
    let mut slip = samples::inward_slip();
    slip.code = "x".repeat(2_332);
    let error = inward_slip(&slip, &A4).expect_err("too long");
    assert_eq!(
        error.to_string(),
        "a QR code cannot hold 2332 bytes; use at most 2,331"
    );
}

#[test]
fn a_date_that_no_file_can_name_is_refused() {
    let mut slip = samples::inward_slip();
    slip.meta.made_at_ms = i64::MAX;
    assert!(matches!(
        inward_slip(&slip, &A4),
        Err(PaperError::Date { .. })
    ));
    slip.meta.made_at_ms = -70_000_000_000_000;
    assert!(matches!(
        inward_slip(&slip, &A4),
        Err(PaperError::Date { .. })
    ));
}

#[test]
fn a_picture_that_is_none_names_which() {
    let mut report = samples::typical_report();
    report.photos[0]
        .after
        .as_mut()
        .expect("a photo")
        .picture
        .jpeg = b"no".to_vec();
    let error = return_report(&report, &A4).expect_err("no picture");
    assert_eq!(
        error.to_string(),
        "picture 3 cannot be printed: it is not a whole JPEG file"
    );
}

#[test]
fn very_different_jobs_have_about_the_pages_they_need() {
    for (name, report, pages) in [
        ("one page", samples::simple_report(), 1..=1),
        ("no photos", samples::bench_report(), 2..=2),
        ("long names", samples::long_names_report(), 2..=2),
        ("sixty photos", samples::sixty_photos_report(), 8..=10),
        ("twelve pages", samples::twelve_pages_report(), 11..=12),
        ("wordy", samples::wordy_report(), 8..=14),
    ] {
        let made = return_report(&report, &A4).expect(name);
        let count = read(&made).get_pages().len();
        assert!(pages.contains(&count), "{name}: {count} pages");
    }
}
