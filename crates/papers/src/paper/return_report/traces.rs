//! Current traces: before at the left, after at the right, on the same scales, so that two curves can be compared by eye.

use std::rc::Rc;

use super::super::set::{self, SMALL, STRONG};
use super::Spread;
use crate::layout::canvas::{ACCENT, INK, MUTED, Pen, RULE, Role};
use crate::layout::flow::Brick;
use crate::layout::text::{Line, Span, single_line, wrap};
use crate::model::{ReturnReport, TraceChart, TraceCurve};

/// Height of the field that a curve lies in, and how low it may be where that saves a page.
const FIELD: f32 = 64.0;
const FIELD_LOWEST: f32 = 44.0;
/// Space over the field, for the name of the test and the highest current.
const OVER: f32 = 22.0;
/// Space under the field, for the ends of the time.
const UNDER: f32 = 11.0;
/// Length of the strokes of an upright line, and of the white between them.
const DASH: f32 = 2.6;

/// The heading and one brick a test. `spacing` is that of the whole report: a tighter one has lower curves.
pub(super) fn bricks(report: &ReturnReport, spread: &Spread, spacing: f32) -> Vec<Brick> {
    let field = (FIELD * spacing).max(FIELD_LOWEST);
    if report.traces.is_empty() {
        return Vec::new();
    }
    let wording = &report.wording;
    let title = single_line(&[
        Span::new(&wording.traces, set::SECTION),
        Span::new(format!("   {}", wording.before), SMALL),
    ]);
    let after = single_line(&[Span::new(&wording.after, SMALL)]);
    let offset = spread.right - spread.left;
    let head = Rc::new(
        Brick::new(16.0, move |pen, x, y| {
            pen.text(&title, x, y + 10.0);
            pen.text(&after, x + offset, y + 10.0);
        })
        .role(Role::Heading),
    );
    let mut bricks = vec![(*head).clone().before(12.0).keep()];
    bricks.extend(
        report
            .traces
            .iter()
            .map(|chart| chart_brick(chart, spread, field).under(&head)),
    );
    bricks
}

/// One side: its curve, or why there is none, and its figures in words.
struct Side {
    curve: Option<TraceCurve>,
    absent: Line,
    figures: Vec<Line>,
    alternative: String,
}

impl Side {
    fn of(curve: &TraceCurve, chart: &TraceChart, width: f32) -> Self {
        Self {
            curve: (!curve.points.is_empty()).then(|| curve.clone()),
            absent: single_line(&[Span::new(&curve.absent, SMALL)]),
            figures: wrap(&[Span::new(&curve.figures, SMALL)], width),
            alternative: format!("{}: {} {}", chart.test, curve.absent, curve.figures),
        }
    }

    fn draw(&self, pen: &mut Pen<'_>, (x, y): (f32, f32), (width, height): (f32, f32)) {
        let bottom = y + height;
        let Some(curve) = &self.curve else {
            pen.rule((x, y), (x + width, y), RULE, 0.6);
            pen.rule((x, bottom), (x + width, bottom), RULE, 0.6);
            pen.text_centred(&self.absent, x + width / 2.0, y + height / 2.0 + 3.0);
            return;
        };
        pen.rule((x, y), (x, bottom), RULE, 0.6);
        pen.rule((x, bottom), (x + width, bottom), MUTED, 0.6);
        for at in [curve.from, curve.to].into_iter().flatten() {
            upright(pen, x + at * width, (y, bottom));
        }
        let points: Vec<(f32, f32, bool)> = curve
            .points
            .iter()
            .map(|(at, level)| (x + at * width, bottom - level * height, false))
            .collect();
        pen.path(&points, INK, 0.9);
    }
}

/// A broken upright line: it stays apart from the curve in grey too.
fn upright(pen: &mut Pen<'_>, x: f32, (top, bottom): (f32, f32)) {
    let mut y = top;
    while y < bottom {
        pen.rule((x, y), (x, (y + DASH).min(bottom)), ACCENT, 0.7);
        y += 2.0 * DASH;
    }
}

fn chart_brick(chart: &TraceChart, spread: &Spread, height: f32) -> Brick {
    let (column, offset) = (spread.column, spread.right - spread.left);
    let name = single_line(&[Span::new(&chart.test, STRONG)]);
    let highest = single_line(&[Span::new(&chart.highest, SMALL)]);
    let [begin, length] =
        [&chart.begin, &chart.length].map(|text| single_line(&[Span::new(text, SMALL)]));
    let sides = [&chart.before, &chart.after].map(|curve| Side::of(curve, chart, column));
    let figures = sides
        .iter()
        .map(|side| set::lines_height(&side.figures))
        .fold(0.0, f32::max);
    Brick::new(OVER + height + UNDER + figures + 2.0, move |pen, x, y| {
        pen.tagged(Role::Paragraph, "", |pen| {
            pen.text(&name, x, y + set::ascent(STRONG.size));
        });
        let field = y + OVER;
        for (side, x) in sides.iter().zip([x, x + offset]) {
            pen.tagged(Role::Figure, &side.alternative, |pen| {
                side.draw(pen, (x, field), (column, height));
                if side.curve.is_some() {
                    pen.text(&highest, x, field - 2.5);
                    pen.text(&begin, x, field + height + 8.5);
                    pen.text_right(&length, x + column, field + height + 8.5);
                }
            });
            pen.tagged(Role::Paragraph, "", |pen| {
                set::draw_lines(pen, &side.figures, x, field + height + UNDER);
            });
        }
    })
    .before(3.0)
}
