//! Writes sample papers of invented data into the folder given, to be looked at.

mod samples;

use std::error::Error;
use std::path::PathBuf;

use papers::model::{PageSetup, PageSize};

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
        "report-simple.pdf",
        papers::return_report(&samples::simple_report(), &a4)?,
    )?;
    write(
        "report-simple-letter.pdf",
        papers::return_report(&samples::simple_report(), &letter)?,
    )?;
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
        "report-scripts.pdf",
        papers::return_report(&samples::scripts_report(), &a4)?,
    )?;
    write(
        "report-long-names.pdf",
        papers::return_report(&samples::long_names_report(), &letter)?,
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
    Ok(())
}
