//! Facts about the lab's papers: its mark, and the texts of its own that they print.

use serde::{Deserialize, Serialize};

use crate::ids::ContentHash;

/// The picture that stands beside the lab's name on its papers. One without a picture takes the mark off them again.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LabMark {
    /// The picture; none for papers without a mark.
    pub picture: Option<MarkPicture>,
}

/// A mark's picture as it is kept: a JPEG on white, upright, without metadata.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MarkPicture {
    /// The hash of its bytes, by which every desktop and the server find it.
    pub hash: ContentHash,
    /// Its size in bytes.
    pub size_bytes: u64,
    /// Its width in pixels.
    pub width_px: u32,
    /// Its height in pixels.
    pub height_px: u32,
}

/// What the lab says on its papers in its own words. A line break begins a new paragraph; an empty text prints nothing.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PaperTexts {
    /// On return reports that give a warranty, after the sentence that says how long it lasts.
    pub warranty: String,
    /// At the end of return reports and packing slips.
    pub terms: String,
    /// At the foot of every page: a registration, a tax number.
    pub foot: String,
}

impl PaperTexts {
    /// The warranty's own words at most: about fifteen lines of a report's column.
    pub const WARRANTY_CHARS_MAX: usize = 1200;
    /// The terms at most: about a third of a page.
    pub const TERMS_CHARS_MAX: usize = 2400;
    /// The foot at most: two lines across the sheet.
    pub const FOOT_CHARS_MAX: usize = 200;

    /// True when nothing is said.
    pub const fn is_empty(&self) -> bool {
        self.warranty.is_empty() && self.terms.is_empty() && self.foot.is_empty()
    }

    /// The first text that is longer than its place on the paper: its field, what it is, its length and the most it may have.
    pub fn too_long(&self) -> Option<(&'static str, &'static str, usize, usize)> {
        let texts = [
            (
                "warranty",
                "the warranty's text",
                &self.warranty,
                Self::WARRANTY_CHARS_MAX,
            ),
            ("terms", "the terms", &self.terms, Self::TERMS_CHARS_MAX),
            ("foot", "the foot line", &self.foot, Self::FOOT_CHARS_MAX),
        ];
        texts.into_iter().find_map(|(field, what, text, max)| {
            let chars = text.chars().count();
            (chars > max).then_some((field, what, chars, max))
        })
    }
}

/// A text's paragraphs: its lines without white at their ends, empty ones left out.
pub fn paragraphs(text: &str) -> Vec<String> {
    text.lines()
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(str::to_owned)
        .collect()
}
