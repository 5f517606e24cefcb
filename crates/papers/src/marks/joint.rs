//! The joint between the before and the after of a test.

use crate::layout::canvas::{INK, Paint, Pen, WHITE};
use crate::model::{Comparison, OutcomeKind};

const STROKE: f32 = 1.3;
const END_RADIUS: f32 = 1.9;

/// Draws a joint of `width` points around the line `y`; it stays within `rise` points above and below.
pub(crate) fn draw(
    pen: &mut Pen<'_>,
    comparison: Comparison,
    x: f32,
    y: f32,
    width: f32,
    rise: f32,
) {
    let (left, right, middle) = (x, x + width, x + width / 2.0);
    let step = rise * 1.1;
    match comparison {
        Comparison::Fixed => stepped(pen, (left, y + rise), (right, y - rise), middle, step),
        Comparison::Worse => stepped(pen, (left, y - rise), (right, y + rise), middle, step),
        Comparison::Steady => {
            pen.rule((left, y), (right, y), INK, STROKE);
            end(pen, left, y);
            end(pen, right, y);
        }
        Comparison::StillFailing => broken(pen, left, right, y, rise),
        Comparison::NewlyTestable => {
            pen.rule((middle, y), (right, y), INK, STROKE);
            pen.circle(
                middle - END_RADIUS * 1.3,
                y,
                END_RADIUS * 1.3,
                Paint::FillStroke(WHITE, INK, STROKE * 0.8),
            );
            end(pen, right, y);
        }
        Comparison::NotProved => dotted(pen, left, right, y),
    }
}

/// Draws the joint that stands for an outcome; of a repair in part only the end is still open.
pub(crate) fn draw_outcome(
    pen: &mut Pen<'_>,
    outcome: OutcomeKind,
    x: f32,
    y: f32,
    width: f32,
    rise: f32,
) {
    let comparison = match outcome {
        OutcomeKind::Repaired | OutcomeKind::RepairedInPart => Comparison::Fixed,
        OutcomeKind::NoFaultFound => Comparison::Steady,
        OutcomeKind::DataOnly => Comparison::NewlyTestable,
        OutcomeKind::NotRepairable | OutcomeKind::BeyondEconomicRepair => Comparison::StillFailing,
        OutcomeKind::Declined => Comparison::NotProved,
    };
    draw(pen, comparison, x, y, width, rise);
    if outcome == OutcomeKind::RepairedInPart {
        pen.circle(
            x + width,
            y - rise,
            END_RADIUS * 1.2,
            Paint::FillStroke(WHITE, INK, STROKE * 0.8),
        );
    }
}

fn end(pen: &mut Pen<'_>, x: f32, y: f32) {
    pen.circle(x, y, END_RADIUS, Paint::Fill(INK));
}

fn stepped(pen: &mut Pen<'_>, from: (f32, f32), to: (f32, f32), middle: f32, step: f32) {
    let points = [
        (from.0, from.1, false),
        (middle - step, from.1, false),
        (middle + step, to.1, false),
        (to.0, to.1, false),
    ];
    pen.path(&points, INK, STROKE);
    end(pen, from.0, from.1);
    end(pen, to.0, to.1);
}

fn broken(pen: &mut Pen<'_>, left: f32, right: f32, y: f32, rise: f32) {
    let middle = f32::midpoint(left, right);
    let (gap, lean) = (3.2, 1.6);
    pen.rule((left, y), (middle - gap, y), INK, STROKE);
    pen.rule((middle + gap, y), (right, y), INK, STROKE);
    for x in [middle - gap, middle + gap] {
        pen.rule((x - lean, y + rise), (x + lean, y - rise), INK, STROKE);
    }
    end(pen, left, y);
    end(pen, right, y);
}

fn dotted(pen: &mut Pen<'_>, left: f32, right: f32, y: f32) {
    let pitch = 4.2;
    let mut x = left;
    while x <= right + 0.01 {
        pen.circle(x, y, 0.85, Paint::Fill(INK));
        x += pitch;
    }
}
