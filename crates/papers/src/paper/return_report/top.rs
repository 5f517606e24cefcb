//! The top of the report: which device, whose, when, and how it ended.

use super::super::set::{self, BODY, SMALL};
use super::super::sheet;
use super::{Spread, words};
use crate::error::PaperError;
use crate::fonts::Family;
use crate::layout::canvas::{INK, Role};
use crate::layout::flow::{Brick, stack_height};
use crate::layout::text::{Span, Style, wrap};
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
    let head = sheet::Head {
        lab: &report.lab,
        paper: &report.wording.paper,
        reference: &report.job_ref,
    };
    let mut bricks = sheet::head(&head, width, album)?;
    bricks.push(side_by_side(
        device(report, spread.column),
        party(report, spread.column),
        spread,
    ));
    bricks.extend(outcome(report, width));
    Ok(bricks)
}

/// Two short columns as one brick.
fn side_by_side(left: Vec<Brick>, right: Vec<Brick>, spread: &Spread) -> Brick {
    let offset = spread.right - spread.left;
    let height = stack_height(&left).max(stack_height(&right));
    Brick::new(height, move |pen, x, y| {
        for (column, x) in [(&left, x), (&right, x + offset)] {
            let mut top = y;
            for brick in column {
                top += brick.space_before;
                brick.draw_on(pen, x, top);
                top += brick.height;
            }
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
    if !device.fault.text.is_empty() {
        bricks.extend(set::spaced(
            set::plain(&report.wording.fault, SMALL, width),
            5.0,
        ));
        let quoted = Style { size: 9.6, ..BODY };
        bricks.extend(set::stated(&device.fault, quoted, width, &words(report)));
    }
    bricks
}

fn party(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let mut bricks = sheet::address(
        &report.wording.shop,
        &report.shop.name,
        &report.shop.address,
        width,
    );
    bricks.extend(set::spaced(set::labelled(&report.dates, width), 5.0));
    bricks
}

/// The outcome between two rules: its joint, its word, a sentence.
fn outcome(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let outcome = &report.outcome;
    let indent = 40.0;
    let word_style = Style {
        family: Family::TextBold,
        size: 12.0,
        colour: INK,
    };
    let word = wrap(&[Span::new(&outcome.word.text, word_style)], width * 0.35);
    let word_width = word.iter().map(|line| line.width).fold(0.0, f32::max);
    let text_left = indent + word_width + 16.0;
    let text = wrap(&[Span::new(&outcome.text, BODY)], width - text_left);
    let height = set::lines_height(&word).max(set::lines_height(&text) + 2.5) + 10.0;
    let kind = outcome.kind;
    let label = set::plain(&report.wording.outcome, SMALL, width);
    let label_height = stack_height(&label);
    let brick = Brick::new(height + label_height, move |pen, x, y| {
        joint::draw(
            pen,
            joint::of_outcome(kind),
            x + 2.0,
            y + label_height + 8.5,
            28.0,
            3.6,
        );
        for brick in &label {
            brick.draw_inside(pen, x, y);
        }
        set::draw_lines(pen, &word, x + indent, y + label_height);
        set::draw_lines(pen, &text, x + text_left, y + label_height + 3.0);
    })
    .role(Role::Heading)
    .before(9.0);
    let mut bricks = vec![set::hairline(width).before(9.0).keep(), brick.before(5.0)];
    bricks.extend(set::others(&outcome.word, width, &words(report)));
    bricks
}
