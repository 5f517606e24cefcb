//! The sheet with the sentences for the air waybill, large enough to be copied without a mistake.

use super::parts;
use super::set::{self, BODY, SMALL};
use super::sheet::Furniture;
use crate::error::PaperError;
use crate::fonts::Family;
use crate::layout::canvas::{INK, Paint, Role};
use crate::layout::flow::Brick;
use crate::layout::text::{Span, Style, width_of, wrap};
use crate::model::{PageSetup, WaybillSentence, WaybillSentences};

const SIZE: f32 = 19.0;
/// A sentence that fits on one line at this size or more stays on it.
const SIZE_MIN: f32 = 14.0;

/// Makes the sheet.
pub(crate) fn make(paper: &WaybillSentences, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    if paper.sentences.is_empty() {
        return Err(PaperError::NoMark);
    }
    let furniture = furniture(paper);
    let (mut flow, album) = furniture.begin(setup, 1.0)?;
    let width = flow.frame.width();
    let words = &paper.wording;
    flow.column(&set::spaced(set::strip(&paper.facts, width), 6.0));
    for sentence in &paper.sentences {
        flow.column(&set::section(&words.copy, width));
        flow.column(&framed(sentence, &words.where_it_goes, width));
    }
    if !paper.notes.is_empty() {
        flow.column(&set::section(&words.notes, width));
        flow.column(&parts::sentences(&paper.notes, "", width));
    }
    flow.column(&parts::edition(&words.edition, width));
    furniture.end(flow, album, &paper.meta)
}

fn furniture(paper: &WaybillSentences) -> Furniture<'_> {
    let words = &paper.wording;
    Furniture {
        lab: &paper.lab,
        paper: &words.paper,
        reference: &paper.reference,
        page: &words.page,
        of: &words.of,
    }
}

/// The sentence in a frame, with where it goes and what it rests on below.
fn framed(sentence: &WaybillSentence, where_it_goes: &str, width: f32) -> Vec<Brick> {
    let padding = 14.0;
    let one = Style {
        family: Family::TextBold,
        size: 1.0,
        colour: INK,
    };
    let fits = (width - 2.0 * padding) / width_of(&sentence.text, one).max(1.0);
    let size = if fits >= SIZE_MIN {
        fits.min(SIZE)
    } else {
        SIZE
    };
    let style = Style { size, ..one };
    let lines = wrap(&[Span::new(&sentence.text, style)], width - 2.0 * padding);
    // The white that a line brings along below its letters is taken off the padding.
    let height = set::lines_height(&lines) + 2.0 * padding - size * 0.25;
    let frame = Brick::new(height, move |pen, x, y| {
        pen.artifact(|pen| pen.rectangle(x, y, width, height, Paint::Stroke(INK, 1.2)));
        pen.tagged(Role::Paragraph, "", |pen| {
            set::draw_lines(pen, &lines, x + padding, y + padding);
        });
    });
    let mut bricks = vec![frame.keep()];
    if !sentence.placement.is_empty() {
        let spans = [
            Span::new(format!("{where_it_goes}  "), SMALL),
            Span::new(&sentence.placement, BODY),
        ];
        bricks.extend(set::spaced(set::paragraph(&spans, width, 0.0), 6.0));
    }
    for rule in &sentence.rules {
        let spans = [
            Span::new(format!("{}  ", rule.text), BODY),
            Span::new(rule.cited(), SMALL),
        ];
        bricks.extend(set::spaced(set::paragraph(&spans, width, 0.0), 2.0));
    }
    bricks
}
