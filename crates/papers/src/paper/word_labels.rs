//! Words for the outside of a parcel, each in letters of the height that its rule asks for.

use super::set::{self, STRONG};
use super::sheet::{POINTS_PER_MM, page_points};
use super::true_size::{Area, TrueSheet, cut_corners, rests_on};
use crate::error::PaperError;
use crate::finish;
use crate::fonts::Family;
use crate::layout::canvas::{BLACK, Canvas, Pen, Role};
use crate::layout::flow::{Brick, draw_stack, stack_height};
use crate::layout::lettering::{self, Lettering};
use crate::layout::text::{Span, Style};
use crate::model::{MarkWording, PageSetup, WordLabel, WordLabels};
use crate::picture::Album;

/// White between the letters and the cut.
const CUT_MARGIN: f32 = 6.0 * POINTS_PER_MM;
/// White between a label's lines and the next label.
const GAP: f32 = 9.0 * POINTS_PER_MM;
const HEIGHT_MM_MIN: f32 = 3.0;
const HEIGHT_MM_MAX: f32 = 60.0;
const STYLE: Style = Style {
    family: Family::TextBold,
    size: 1.0,
    colour: BLACK,
};

/// Makes the sheets of words.
pub(crate) fn make(labels: &WordLabels, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    if labels.labels.is_empty() {
        return Err(PaperError::NoMark);
    }
    let sheet = TrueSheet {
        lab: &labels.lab,
        reference: &labels.reference,
        title: &labels.wording.words,
        words: &labels.wording,
    };
    let upright = page_points(setup.page_size);
    let across = (upright.1, upright.0);
    let mut canvas = Canvas::default();
    let mut at: Option<(usize, (f32, f32), f32)> = None;
    for label in &labels.labels {
        let block = Block::of(label, &labels.wording, upright)?
            .map_or_else(
                || Block::of(label, &labels.wording, across),
                |block| Ok(Some(block)),
            )?
            .ok_or_else(|| PaperError::WordsDoNotFit {
                words: label.words.clone(),
                letter_height_mm: label.letter_height_mm,
            })?;
        let area = Area::of(block.page);
        let (page, top) = match at {
            Some((page, size, top))
                if size == block.page && top + block.height() <= area.bottom =>
            {
                (page, top)
            }
            _ => (sheet.add_to(&mut canvas, block.page), area.top),
        };
        block.draw(&mut canvas.on(page), (area.left, top));
        at = Some((page, block.page, top + block.height() + GAP));
    }
    finish::write(canvas, Album::default(), &labels.meta, &[])
}

/// One label, measured, with the lines under it.
struct Block {
    page: (f32, f32),
    lettering: Lettering,
    below: Vec<Brick>,
}

impl Block {
    /// Measures a label for a page of this size; `None` when it does not fit.
    fn of(
        label: &WordLabel,
        words: &MarkWording,
        page: (f32, f32),
    ) -> Result<Option<Self>, PaperError> {
        let letter_height_mm = label.letter_height_mm;
        if !(HEIGHT_MM_MIN..=HEIGHT_MM_MAX).contains(&letter_height_mm) {
            return Err(PaperError::LetterHeight { letter_height_mm });
        }
        if !label.words.chars().any(char::is_alphanumeric) {
            let words = label.words.clone();
            return Err(PaperError::NoLetters { words });
        }
        let area = Area::of(page);
        let height = letter_height_mm * POINTS_PER_MM;
        let width_max = area.width() - 2.0 * CUT_MARGIN;
        let lettering = lettering::fit(&label.words, STYLE, height, width_max);
        let block = lettering.map(|lettering| Self {
            page,
            lettering,
            below: below(label, words, area.width()),
        });
        Ok(block.filter(|block| block.height() <= area.bottom - area.top))
    }

    fn cut(&self) -> (f32, f32) {
        (
            self.lettering.width + 2.0 * CUT_MARGIN,
            self.lettering.height + 2.0 * CUT_MARGIN,
        )
    }

    fn height(&self) -> f32 {
        self.cut().1 + stack_height(&self.below)
    }

    fn draw(&self, pen: &mut Pen<'_>, (x, y): (f32, f32)) {
        let (width, height) = self.cut();
        cut_corners(pen, (x, y), (width, height));
        pen.tagged(Role::Heading, "", |pen| {
            let mut baseline = y + CUT_MARGIN + self.lettering.ascent;
            for line in &self.lettering.lines {
                pen.text_centred(line, x + width / 2.0, baseline);
                baseline += self.lettering.leading;
            }
        });
        draw_stack(pen, &self.below, x, y + height);
    }
}

/// How high the letters are, where the words go, and what they rest on.
fn below(label: &WordLabel, words: &MarkWording, width: f32) -> Vec<Brick> {
    let mut spans = vec![Span::new(
        format!(
            "{} {} {}",
            words.letters, label.letter_height_mm, words.high
        ),
        STRONG,
    )];
    if !label.placement.is_empty() {
        spans.push(Span::new(format!("   {}", label.placement), set::BODY));
    }
    let mut bricks = set::spaced(set::paragraph(&spans, width, 0.0), 5.0);
    let rules = rests_on(words, &label.rules);
    bricks.extend(set::paragraph(&rules, width, 0.0));
    bricks
}
