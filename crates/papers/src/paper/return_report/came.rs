//! The left page: the parcel, the condition, the cell check.

use super::super::set::{self, BODY, SMALL, STRONG};
use super::{Section, words};
use crate::fonts::Family;
use crate::layout::canvas::{INK, Pen, Role, WHITE};
use crate::layout::flow::{Brick, draw_stack, stack_height};
use crate::layout::text::{Span, Style, single_line};
use crate::marks::{level, outline};
use crate::model::{CellCheck, Finding, OutlineKind, ReturnReport};

/// Text stands beside the outline if it has at least this much room; else below.
const BESIDE_WIDTH_MIN: f32 = 100.0;
const BESIDE_GAP: f32 = 12.0;

/// The left page.
pub(super) fn sections(report: &ReturnReport, width: f32) -> Vec<Section<'_>> {
    let words = &report.wording;
    let findings = report.parcel.iter();
    vec![
        Section {
            title: &words.parcel,
            bricks: findings
                .flat_map(|finding| finding_bricks(finding, report, width))
                .collect(),
        },
        Section {
            title: &words.condition,
            bricks: condition(report, width),
        },
        Section {
            title: &words.cell_check,
            bricks: report
                .cell_check
                .as_ref()
                .map(|check| cell_check(check, report, width))
                .unwrap_or_default(),
        },
    ]
}

fn condition(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let condition = &report.condition;
    let mut bricks = Vec::new();
    let texts = |width| {
        let mut texts: Vec<Brick> = condition
            .findings
            .iter()
            .flat_map(|finding| finding_bricks(finding, report, width))
            .collect();
        texts.extend(set::spaced(set::labelled(&condition.facts, width), 4.0));
        texts
    };
    let Some(kind) = condition.outline else {
        bricks.extend(texts(width));
        return bricks;
    };
    let (drawing_width, drawing_height) = outline::size(kind, &condition.marks);
    let beside_width = width - drawing_width - BESIDE_GAP;
    let beside = texts(beside_width.max(1.0));
    let beside_height = stack_height(&beside);
    if beside_width >= BESIDE_WIDTH_MIN && beside_height <= drawing_height * 1.5 {
        let height = drawing_height.max(beside_height);
        bricks.push(Brick::new(height, move |pen, x, y| {
            draw_stack(pen, &beside, x + width - beside_width, y);
        }));
        if let Some(brick) = bricks.last_mut() {
            brick.also_draw(drawing(report, kind, 0.0));
        }
    } else {
        let left = ((width - drawing_width) / 2.0).max(0.0);
        bricks.push(Brick::new(drawing_height + 3.0, drawing(report, kind, left)).keep());
        bricks.extend(texts(width));
    }
    bricks
}

/// The outline with its marks, as a figure.
fn drawing(
    report: &ReturnReport,
    kind: OutlineKind,
    left: f32,
) -> impl Fn(&mut Pen<'_>, f32, f32) + use<> {
    let marks = report.condition.marks.clone();
    let (front, back) = (report.wording.front.clone(), report.wording.back.clone());
    let alternative = alternative(report);
    move |pen, x, y| {
        pen.tagged(Role::Figure, &alternative, |pen| {
            outline::draw(pen, kind, &marks, (&front, &back), (x + left, y));
        });
    }
}

/// What the drawing shows, for a reader that cannot see it.
fn alternative(report: &ReturnReport) -> String {
    let numbered = report.condition.findings.iter().filter_map(|finding| {
        finding
            .number
            .map(|number| format!("{number}: {} {}", finding.place, finding.text.text))
    });
    let list: Vec<String> = numbered.collect();
    format!("{}. {}", report.wording.condition, list.join("; "))
}

/// A finding, with the number of its mark in a ring, or a dash.
fn finding_bricks(finding: &Finding, report: &ReturnReport, width: f32) -> Vec<Brick> {
    let mut spans = Vec::new();
    if !finding.place.is_empty() {
        spans.push(Span::new(format!("{}: ", finding.place), SMALL));
    }
    spans.push(Span::new(&finding.text.text, BODY));
    let mut bricks = match finding.number {
        Some(number) => numbered(number, &spans, width),
        None => set::bullet(&spans, width),
    };
    bricks.extend(set::others(&finding.text, width, &words(report)));
    bricks
}

fn numbered(number: u32, spans: &[Span], width: f32) -> Vec<Brick> {
    let mut bricks = set::paragraph(spans, width, 16.0);
    if let Some(first) = bricks.first_mut() {
        first.also_draw(move |pen, x, y| outline::draw_reference(pen, number, x + 6.0, y + 5.4));
        first.space_before = 3.0;
    }
    bricks
}

fn cell_check(check: &CellCheck, report: &ReturnReport, width: f32) -> Vec<Brick> {
    let mut bricks = Vec::new();
    let word_style = Style {
        family: Family::TextBold,
        size: 10.5,
        colour: INK,
    };
    let line = single_line(&[
        Span::new(format!("{}  ", check.word), word_style),
        Span::new(&report.wording.before_power, SMALL),
    ]);
    let shape = check.level;
    let head = Brick::new(14.0, move |pen, x, y| {
        level::draw(pen, shape, x + 0.5, y + 1.5, 10.5, INK, WHITE);
        pen.text(&line, x + 18.0, y + 10.5);
    });
    bricks.push(head.role(Role::Paragraph).keep());
    bricks.extend(set::labelled(&check.readings, width));
    let reasons = check.reasons.iter().flat_map(|reason| {
        let mut spans = vec![Span::new(&reason.text, BODY)];
        if !reason.source.is_empty() {
            spans.push(Span::new(format!("  {}", reason.source), SMALL));
        }
        set::bullet(&spans, width)
    });
    bricks.extend(set::spaced(reasons.collect(), 1.5));
    bricks.extend(set::spaced(set::plain(&check.action, STRONG, width), 2.0));
    bricks.extend(set::plain(&check.by, SMALL, width));
    bricks
}
