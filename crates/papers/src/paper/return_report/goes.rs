//! The right page: the work, the heat, the parts.

use super::super::set::{self, BODY, MONO, SMALL};
use super::super::sheet::{self, Column};
use super::spread_title;
use crate::layout::flow::Brick;
use crate::layout::text::Span;
use crate::model::{ReturnReport, WorkStep};

/// The right page.
pub(super) fn bricks(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let mut bricks = vec![spread_title(&report.wording.as_it_goes, width)];
    if !report.work.is_empty() {
        bricks.extend(set::section(&report.wording.work, width));
        for (index, step) in report.work.iter().enumerate() {
            bricks.extend(step_bricks(index + 1, step, width));
        }
    }
    bricks.extend(heat(report, width));
    bricks.extend(parts(report, width));
    bricks
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
    if report.heat.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(&report.wording.heat, width);
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
            vec![Span::new(&heat.part, BODY)],
            vec![Span::new(&heat.temperature, MONO)],
            vec![Span::new(&heat.duration, MONO)],
            vec![Span::new(&heat.side, BODY)],
        ]
    });
    bricks.extend(sheet::rows(&columns, rows.collect(), width));
    bricks
}

fn parts(report: &ReturnReport, width: f32) -> Vec<Brick> {
    if report.parts.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(&report.wording.parts, width);
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
    bricks.extend(sheet::rows(&columns, rows.collect(), width));
    bricks
}
