//! Writes sample papers of invented data into the folder given, to be looked at.

mod samples;

use std::error::Error;
use std::path::PathBuf;

use papers::model::{BayStock, PageSetup, PageSize};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(
        std::env::args()
            .nth(1)
            .ok_or("give a folder to write into")?,
    );
    std::fs::create_dir_all(&folder)?;
    let a4 = PageSetup {
        page_size: PageSize::A4,
    };
    let letter = PageSetup {
        page_size: PageSize::Letter,
    };
    let write = |name: &str, bytes: Vec<u8>| std::fs::write(folder.join(name), bytes);

    write(
        "report-typical.pdf",
        papers::return_report(&samples::typical_report(), &a4)?,
    )?;
    write(
        "report-typical-letter.pdf",
        papers::return_report(&samples::typical_report(), &letter)?,
    )?;
    write(
        "report-large.pdf",
        papers::return_report(&samples::large_report(), &a4)?,
    )?;
    write(
        "inward-slip.pdf",
        papers::inward_slip(&samples::inward_slip(), &a4)?,
    )?;
    write(
        "inward-slip-letter.pdf",
        papers::inward_slip(&samples::inward_slip(), &letter)?,
    )?;
    write(
        "packing-slip.pdf",
        papers::packing_slip(&samples::packing_slip(), &a4)?,
    )?;
    write(
        "packing-slip-letter.pdf",
        papers::packing_slip(&samples::packing_slip(), &letter)?,
    )?;
    write(
        "tags-roll.pdf",
        papers::job_tags(&samples::tags_on_roll(), &a4)?,
    )?;
    write(
        "tags-a4.pdf",
        papers::job_tags(&samples::tags_on_sheet(PageSize::A4, 5), &a4)?,
    )?;
    write(
        "tags-letter.pdf",
        papers::job_tags(&samples::tags_on_sheet(PageSize::Letter, 2), &letter)?,
    )?;
    write(
        "test-page-roll.pdf",
        papers::test_page(&samples::test_roll())?,
    )?;
    for (setup, size) in [(&a4, ""), (&letter, "-letter")] {
        let own = [
            (
                "report-own-words",
                papers::return_report(&samples::own_words_report(), setup)?,
            ),
            (
                "packing-slip-own-words",
                papers::packing_slip(&samples::own_words_slip(), setup)?,
            ),
            (
                "inward-slip-own-words",
                papers::inward_slip(&samples::own_words_inward(), setup)?,
            ),
            (
                "test-page",
                papers::test_page(&samples::test_sheet(setup.page_size))?,
            ),
        ];
        for (name, bytes) in own {
            write(&format!("{name}{size}.pdf"), bytes)?;
        }
        for (name, report) in six_jobs() {
            let bytes = papers::return_report(&report, setup)?;
            write(&format!("job-{name}{size}.pdf"), bytes)?;
        }
        for (name, bytes) in cell_papers(setup)? {
            write(&format!("{name}{size}.pdf"), bytes)?;
        }
    }
    Ok(())
}

/// Six jobs as different as jobs are, and one whose people write a great deal.
fn six_jobs() -> Vec<(&'static str, papers::model::ReturnReport)> {
    vec![
        ("one-page", samples::simple_report()),
        ("twelve-pages", samples::twelve_pages_report()),
        ("long-names", samples::long_names_report()),
        ("scripts", samples::scripts_report()),
        ("no-photos", samples::bench_report()),
        ("sixty-photos", samples::sixty_photos_report()),
        ("wordy", samples::wordy_report()),
    ]
}

/// The papers for cells and for parcels that hold them.
fn cell_papers(setup: &PageSetup) -> Result<Vec<(&'static str, Vec<u8>)>, papers::PaperError> {
    Ok(vec![
        (
            "marks",
            papers::battery_marks(&samples::battery_marks(), setup)?,
        ),
        (
            "mark-old",
            papers::battery_marks(&samples::old_battery_mark(), setup)?,
        ),
        (
            "words",
            papers::word_labels(&samples::word_labels(), setup)?,
        ),
        (
            "words-wide",
            papers::word_labels(&samples::wide_word_label(), setup)?,
        ),
        (
            "waybill",
            papers::waybill_sentences(&samples::waybill_sentences(), setup)?,
        ),
        (
            "instruction",
            papers::packing_instruction(&samples::packing_instruction(), setup)?,
        ),
        (
            "instruction-damaged",
            papers::packing_instruction(&samples::damaged_instruction(), setup)?,
        ),
        (
            "instruction-forbidden",
            papers::packing_instruction(&samples::forbidden_instruction(), setup)?,
        ),
        (
            "instruction-scripts",
            papers::packing_instruction(&samples::scripts_instruction(), setup)?,
        ),
        (
            "bay-sheet",
            papers::bay_labels(&samples::bay_labels(BayStock::Sheet), setup)?,
        ),
        (
            "bay-roll",
            papers::bay_labels(&samples::bay_labels(BayStock::Roll62), setup)?,
        ),
        (
            "handover",
            papers::handover_record(&samples::handover_record(), setup)?,
        ),
    ])
}
