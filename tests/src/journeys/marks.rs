//! The lab's mark: set at one desktop, it stands on the papers of the others and on the slip that a shop prints.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use desk::Desk;
use desk::commands::PaperSize;
use desk::commands::paper_setup::{
    PreviewPapers, PreviewedPaper, SetLabMark, preview_papers, set_lab_mark,
};

use crate::house::{House, holds, imei, jpeg};

/// Checks whether a desktop's sample report bears a picture.
fn check_report(desk: &Desk, wanted: bool) {
    let request = PreviewPapers {
        paper: PreviewedPaper::Report,
        size: PaperSize::A4,
    };
    let paper = preview_papers(desk, request).expect("a lab is described");
    let pdf = std::fs::read(paper.path).expect("it was written");
    assert_eq!(has_picture(&pdf), wanted);
}

/// A picture is a stream of its own, whose dictionary is never packed away (ISO 32000-2:2020, 7.5.7 and 8.9.5).
fn has_picture(pdf: &[u8]) -> bool {
    holds(pdf, b"/Subtype/Image") || holds(pdf, b"/Subtype /Image")
}

#[test]
fn the_labs_mark_stands_on_the_papers_of_every_desktop_and_on_the_slip_that_a_shop_prints() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let mut counter = house.counter();
    counter.add_phone("K4", &imei(7), "black screen");
    let parcel_path = counter.announce("");
    let slip_path = format!("{parcel_path}/slip.pdf");
    let plain = counter.get(&slip_path);
    assert_eq!((plain.status, has_picture(&plain.body)), (200, false));
    check_report(&second, false);

    let base64 = STANDARD.encode(jpeg(900, 300, 4));
    set_lab_mark(&house.desk, SetLabMark { base64 }).expect("a picture");
    check_report(&house.desk, true);
    check_report(&second, false);

    house.catch_up(&[&second]);
    check_report(&second, true);
    let slip = counter.get(&slip_path);
    assert_eq!((slip.status, has_picture(&slip.body)), (200, true));
}
