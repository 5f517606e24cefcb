//! Papers with what a lab sets itself: marks of every shape, a foot, terms, a warranty in its own words; and the test page.

use jpeg_encoder::ColorType;
use papers::model::{
    InwardSlip, PackingSlip, PageSetup, PageSize, Picture, ReturnReport, TestPage, TestPageWording,
    TestStock,
};

use super::{encode, inward_slip, meta, packing_slip, strings, typical_report};

const FOOT: &str = "Marrow & Finch Board Repair Ltd  ·  registered in Port Ellery, no. 0 455 118  ·  VAT XX 204 771 390";

/// A report whose lab has a very wide mark, and says everything in its own words.
pub(crate) fn own_words_report() -> ReturnReport {
    let mut report = typical_report();
    report.lab.mark = Some(bars(960, 48, ColorType::Rgb));
    FOOT.clone_into(&mut report.lab.foot);
    report.warranty.push(
        "It covers the parts that were replaced and the joints that were made. It does not cover a new fall, new water, or \
         work that somebody else did after us. Send the device with this report, and no fee is due."
            .into(),
    );
    report.terms = strings(&[
        "What belongs to the shop's customer stays theirs. We keep removed parts for 30 days, then they go to a recycler.",
        "Data are nobody's business: we look at none, and keep none once the device has left.",
        "A device that nobody asks for within 90 days of our third letter is returned at the shop's cost.",
    ]);
    report
}

/// A packing slip whose lab has a very tall, grey mark and a foot of two lines.
pub(crate) fn own_words_slip() -> PackingSlip {
    let mut slip = packing_slip();
    slip.lab.mark = Some(bars(60, 960, ColorType::Luma));
    slip.lab.foot = format!(
        "{FOOT}  ·  Account XX21 0000 0000 4471 2, Ellery Savings  ·  www.marrowfinch.example"
    );
    slip.terms = strings(&[
        "What belongs to the shop's customer stays theirs. We keep removed parts for 30 days.",
    ]);
    slip
}

/// An inward slip of a lab without a mark but with a foot.
pub(crate) fn own_words_inward() -> InwardSlip {
    let mut slip = inward_slip();
    slip.lab.mark = None;
    FOOT.clone_into(&mut slip.lab.foot);
    slip
}

/// A test page on a whole sheet.
pub(crate) fn test_sheet(page_size: PageSize) -> TestPage {
    TestPage {
        meta: meta("Test page", "en"),
        lab: super::lab().name,
        printer: "Papers_by_the_window".to_owned(),
        stock: TestStock::Sheet(PageSetup { page_size }),
        wording: TestPageWording::default(),
    }
}

/// A test page on a roll of labels.
pub(crate) fn test_roll() -> TestPage {
    TestPage {
        printer: "Labels_at_the_dock".to_owned(),
        stock: TestStock::Roll62,
        ..test_sheet(PageSize::A4)
    }
}

/// A mark of upright bars, dark at its border, so that its edges can be seen.
fn bars(width: u16, height: u16, colours: ColorType) -> Picture {
    let channels: &[u8] = match colours {
        ColorType::Luma => &[70],
        _ => &[31, 78, 121],
    };
    let mut pixels = Vec::new();
    for y in 0..height {
        for x in 0..width {
            let at_border = x < 6 || y < 6 || x + 6 >= width || y + 6 >= height;
            let ink = at_border || (x / 20) % 2 == 0;
            pixels.extend(
                channels
                    .iter()
                    .map(|channel| if ink { *channel } else { 255 }),
            );
        }
    }
    encode(&pixels, width, height, colours)
}
