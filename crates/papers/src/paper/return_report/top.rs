//! The top of the report: which device, whose, when, and how it ended.

use super::super::set::{self, BODY, SMALL};
use super::super::sheet;
use super::{Spread, words};
use crate::error::PaperError;
use crate::fonts::Family;
use crate::layout::canvas::{INK, Role};
use crate::layout::flow::{Brick, draw_stack, stack_height};
use crate::layout::text::{Span, Style, single_line, wrap};
use crate::marks::joint;
use crate::model::{Labelled, ReturnReport};
use crate::picture::Album;

/// Head, device and dates side by side, outcome.
pub(super) fn bricks(
    report: &ReturnReport,
    width: f32,
    spread: &Spread,
    album: &mut Album,
) -> Result<Vec<Brick>, PaperError> {
    let mut bricks = sheet::head(&super::furniture(report), width, album)?;
    bricks.push(side_by_side(
        device(report, spread.column),
        party(report, spread.column),
        spread,
    ));
    bricks.extend(set::spaced(set::strip(&report.dates, width), 6.0));
    bricks.extend(fault(report, width));
    bricks.extend(outcome(report, width));
    Ok(bricks)
}

/// Two short columns as one brick.
fn side_by_side(left: Vec<Brick>, right: Vec<Brick>, spread: &Spread) -> Brick {
    let offset = spread.right - spread.left;
    let height = stack_height(&left).max(stack_height(&right));
    Brick::new(height, move |pen, x, y| {
        for (column, x) in [(&left, x), (&right, x + offset)] {
            draw_stack(pen, column, x, y);
        }
    })
    .before(4.0)
}

fn device(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let device = &report.device;
    let name_style = Style {
        family: Family::TextBold,
        size: 15.0,
        colour: INK,
    };
    let mut bricks = set::plain(&device.kind, SMALL, width);
    bricks.extend(set::stated(&device.name, name_style, width, &words(report)));
    let mut facts = device.identifiers.clone();
    if !device.accessories.is_empty() {
        facts.push(Labelled::text(
            &report.wording.accessories,
            &device.accessories,
        ));
    }
    bricks.extend(set::spaced(set::labelled(&facts, width), 3.0));
    bricks
}

/// The fault in the shop's own words, over the whole width.
fn fault(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let fault = &report.device.fault;
    if fault.text.is_empty() {
        return Vec::new();
    }
    let quoted = Style { size: 9.2, ..BODY };
    let spans = [
        Span::new(format!("{}   ", report.wording.fault), SMALL),
        Span::new(&fault.text, quoted),
    ];
    let mut bricks = set::spaced(set::paragraph(&spans, width, 0.0), 5.0);
    bricks.extend(set::others(fault, width, &words(report)));
    bricks
}

fn party(report: &ReturnReport, width: f32) -> Vec<Brick> {
    sheet::address(
        &report.wording.shop,
        &report.shop.name,
        &report.shop.address,
        width,
    )
}

/// The outcome under a rule: its joint, its word, a sentence.
fn outcome(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let outcome = &report.outcome;
    let label = single_line(&[Span::new(&report.wording.outcome, SMALL)]);
    let indent = label.width.max(32.0) + 14.0;
    let word_style = Style {
        family: Family::TextBold,
        size: 12.0,
        colour: INK,
    };
    let word = wrap(&[Span::new(&outcome.word.text, word_style)], width * 0.35);
    let word_width = word.iter().map(|line| line.width).fold(0.0, f32::max);
    let text_left = indent + word_width + 16.0;
    let text = wrap(&[Span::new(&outcome.text, BODY)], width - text_left);
    let (text, rest) = set::first_and_rest(text);
    let height = (set::lines_height(&word) + 4.0)
        .max(set::lines_height(&text) + 5.0)
        .max(24.0);
    let kind = outcome.kind;
    let brick = Brick::new(height, move |pen, x, y| {
        pen.text(&label, x, y + 8.2);
        joint::draw_outcome(pen, kind, x + 2.0, y + 16.5, 28.0, 3.4);
        set::draw_lines(pen, &word, x + indent, y + 3.0);
        set::draw_lines(pen, &text, x + text_left, y + 6.0);
    })
    .role(Role::Heading);
    let mut bricks = vec![set::hairline(width).before(6.0).keep()];
    bricks.extend(set::followed_by(brick.before(5.0), rest, text_left));
    bricks.extend(set::others(&outcome.word, width, &words(report)));
    bricks
}
