//! Papers of an invented lab, its invented shops and devices. Shared by the example and by the checks.

mod cells;
mod jobs;
mod own;
mod report;
mod slips;
mod transport;

pub(crate) use cells::{bay_labels, handover_record};

pub(crate) use jobs::{bench_report, sixty_photos_report, twelve_pages_report, wordy_report};
pub(crate) use own::{own_words_inward, own_words_report, own_words_slip, test_roll, test_sheet};
pub(crate) use report::{
    large_report, long_names_report, scripts_report, simple_report, typical_report,
};
pub(crate) use slips::{inward_slip, packing_slip, tags_on_roll, tags_on_sheet};
pub(crate) use transport::{
    battery_marks, damaged_instruction, forbidden_instruction, old_battery_mark,
    packing_instruction, scripts_instruction, waybill_sentences, wide_word_label, word_labels,
};

use jpeg_encoder::{ColorType, Encoder};
use papers::model::{Caution, Lab, Labelled, PaperMeta, Party, Picture};

/// 25 November 2026, 10:30 UTC.
pub(crate) const MADE_AT_MS: i64 = 1_795_602_600_000;

pub(crate) fn meta(title: &str, language: &str) -> PaperMeta {
    PaperMeta {
        title: title.to_owned(),
        author: lab().name,
        language: language.to_owned(),
        made_at_ms: MADE_AT_MS,
    }
}

pub(crate) fn lab() -> Lab {
    Lab {
        name: "Marrow & Finch Board Repair".to_owned(),
        address: strings(&["7 Tidewater Yard", "Port Ellery EL4 2QN"]),
        contact: strings(&["+44 1632 960 117", "bench@marrowfinch.example"]),
        mark: Some(mark_picture()),
        foot: String::new(),
    }
}

pub(crate) fn shop() -> Party {
    Party {
        name: "Glass & Signal".to_owned(),
        address: strings(&["112 Harbour Street", "Cantle Bay CB1 9RT"]),
    }
}

pub(crate) fn strings(lines: &[&str]) -> Vec<String> {
    lines.iter().map(|line| (*line).to_owned()).collect()
}

pub(crate) fn text(label: &str, value: &str) -> Labelled {
    Labelled::text(label, value)
}

pub(crate) fn mono(label: &str, value: &str) -> Labelled {
    Labelled::mono(label, value)
}

pub(crate) fn lithium_caution() -> Caution {
    Caution {
        title: "Lithium cell inside".to_owned(),
        text: "If the case bulges, smells sweet or gets hot: do not charge or press it, take it away from people and from \
               anything that burns, and call the lab. A swollen cell must not be sent by post or by air."
            .to_owned(),
        source: "49 CFR 173.185(f), text of December 2022; ADR 2025, SP 376. Local rules and the carrier's own come first."
            .to_owned(),
    }
}

/// A picture with something to see: a board with a chip, in one of several colours.
pub(crate) fn picture(seed: u8, width: u16, height: u16) -> Picture {
    let (columns, rows) = (usize::from(width), usize::from(height));
    let mut pixels = Vec::with_capacity(columns * rows * 3);
    for y in 0..rows {
        for x in 0..columns {
            pixels.extend(pixel(seed, x * 240 / columns, y * 180 / rows));
        }
    }
    encode(&pixels, width, height, ColorType::Rgb)
}

fn pixel(seed: u8, x: usize, y: usize) -> [u8; 3] {
    let chip = (70..150).contains(&x) && (50..120).contains(&y);
    let leg = (60..160).contains(&x) && (54..116).contains(&y) && y % 8 < 4;
    let trace = (x + y + usize::from(seed) * 7) % 29 < 3;
    match (chip, leg, trace) {
        (true, ..) => [38, 40, 44],
        (_, true, _) => [196, 192, 180],
        (_, _, true) => [120, 150, 96],
        _ => [30, 70 + seed % 60, 62],
    }
}

/// The invented lab's mark: a ring with a joint in it.
fn mark_picture() -> Picture {
    let side: i32 = 240;
    let mut pixels = Vec::new();
    for y in 0..side {
        for x in 0..side {
            let (dx, dy) = (x - side / 2, y - side / 2);
            let distance = dx * dx + dy * dy;
            let ring = (92 * 92..114 * 114).contains(&distance);
            let joint = dx.abs() < 66 && (dy + dx / 2).abs() < 11;
            pixels.extend(if ring || joint {
                [31, 78, 121]
            } else {
                [255, 255, 255]
            });
        }
    }
    encode(&pixels, 240, 240, ColorType::Rgb)
}

fn encode(pixels: &[u8], width: u16, height: u16, colours: ColorType) -> Picture {
    let mut jpeg = Vec::new();
    Encoder::new(&mut jpeg, 85)
        .encode(pixels, width, height, colours)
        .expect("the buffer has the size that is named");
    Picture {
        jpeg,
        width_px: u32::from(width),
        height_px: u32::from(height),
    }
}
