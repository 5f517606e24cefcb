//! The right page: the work, the heat, the parts, the price, the warranty.

use super::super::set::{self, BODY, MONO, SMALL, STRONG};
use super::super::sheet::{self, Column};
use super::{Section, words};
use crate::fonts::Family;
use crate::layout::canvas::{INK, Role};
use crate::layout::flow::Brick;
use crate::layout::text::{Span, Style, single_line, wrap};
use crate::model::{ReturnReport, WorkStep};

/// The right page.
pub(super) fn sections(report: &ReturnReport, width: f32) -> Vec<Section<'_>> {
    let words = &report.wording;
    let steps = report.work.iter().enumerate();
    vec![
        Section {
            title: &words.work,
            bricks: steps
                .flat_map(|(index, step)| step_bricks(index + 1, step, width))
                .collect(),
        },
        Section {
            title: &words.heat,
            bricks: heat(report, width),
        },
        Section {
            title: &words.parts,
            bricks: parts(report, width),
        },
        Section {
            title: &words.price,
            bricks: price(report, width),
        },
        Section {
            title: &words.warranty,
            bricks: warranty(report, width),
        },
    ]
}

fn step_bricks(number: usize, step: &WorkStep, width: f32) -> Vec<Brick> {
    let mut spans = vec![Span::new(&step.text, BODY)];
    if !step.designators.is_empty() {
        spans.push(Span::new("  ", BODY));
        spans.push(Span::new(&step.designators, MONO));
    }
    let mut bricks = set::numbered(number, &spans, width);
    let by = set::paragraph(&[Span::new(&step.by, SMALL)], width, 16.0);
    if !by.is_empty()
        && let Some(last) = bricks.last_mut()
    {
        last.keep_with_next = true;
    }
    bricks.extend(by);
    bricks
}

fn heat(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let shares = [0.42, 0.22, 0.16, 0.20];
    let columns: Vec<Column> = shares
        .iter()
        .map(|share| Column {
            title: String::new(),
            width: width * share,
        })
        .collect();
    let rows = report.heat.iter().map(|heat| {
        vec![
            vec![Span::new(&heat.part, MONO)],
            vec![Span::new(&heat.temperature, MONO)],
            vec![Span::new(&heat.duration, MONO)],
            vec![Span::new(&heat.side, BODY)],
        ]
    });
    sheet::rows(&columns, &rows.collect::<Vec<_>>(), width)
}

fn parts(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let shares = [0.26, 0.56, 0.18];
    let columns: Vec<Column> = shares
        .iter()
        .map(|share| Column {
            title: String::new(),
            width: width * share,
        })
        .collect();
    let rows = report.parts.iter().map(|part| {
        let mut name = vec![Span::new(&part.name, BODY)];
        if !part.origin.is_empty() {
            name.push(Span::new(format!("\n{}", part.origin), SMALL));
        }
        vec![
            vec![Span::new(&part.designator, MONO)],
            name,
            vec![Span::new(&part.quantity, MONO)],
        ]
    });
    sheet::rows(&columns, &rows.collect::<Vec<_>>(), width)
}

fn price(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let Some(quote) = &report.quote else {
        return Vec::new();
    };
    let mut bricks = Vec::new();
    for line in &quote.lines {
        bricks.extend(amount_row(&line.text, &line.amount, BODY, MONO, width));
        // Only its last line: all of a long text would be a chain that no page holds.
        if let Some(last) = bricks.last_mut() {
            last.keep_with_next = true;
        }
    }
    let sum_style = Style {
        family: Family::MonoBold,
        size: 9.0,
        colour: INK,
    };
    bricks.push(
        Brick::new(3.0, move |pen, x, y| {
            pen.rule((x, y + 1.5), (x + width, y + 1.5), INK, 0.8);
        })
        .keep(),
    );
    bricks.extend(amount_row(
        &report.wording.sum,
        &quote.sum.text,
        STRONG,
        sum_style,
        width,
    ));
    // Who agreed to the sum stands with it.
    if let Some(last) = bricks.last_mut() {
        last.keep_with_next = true;
    }
    bricks.extend(set::others(&quote.sum, width, &words(report)));
    bricks.extend(set::spaced(set::plain(&quote.decision, SMALL, width), 2.0));
    bricks
}

fn amount_row(
    text: &str,
    amount: &str,
    text_style: Style,
    amount_style: Style,
    width: f32,
) -> Vec<Brick> {
    let amount = single_line(&[Span::new(amount, amount_style)]);
    let lines = wrap(
        &[Span::new(text, text_style)],
        (width - amount.width - 10.0).max(width * 0.3),
    );
    let (lines, rest) = set::first_and_rest(lines);
    let height = set::lines_height(&lines).max(set::leading(amount_style.size)) + 1.5;
    let first = Brick::new(height, move |pen, x, y| {
        set::draw_lines(pen, &lines, x, y);
        pen.text_right(&amount, x + width, y + set::ascent(text_style.size));
    })
    .role(Role::Paragraph);
    set::followed_by(first, rest, 0.0)
}

fn warranty(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let terms = report.warranty.iter();
    terms
        .flat_map(|term| set::spaced(set::stated(term, BODY, width, &words(report)), 2.0))
        .collect()
}
