//! The outline of a device, front and back, with numbered marks where something was seen.
//!
//! Outlines are of a kind of device, never of a maker's model.

use crate::fonts::Family;
use crate::layout::canvas::{INK, MUTED, Paint, Pen, WHITE, rounded_ring};
use crate::layout::text::{Span, Style, single_line};
use crate::model::{Face, Mark, OutlineKind};

const LINE: f32 = 0.9;
const DETAIL: f32 = 0.6;
const MARK_RADIUS: f32 = 5.4;
const EDGE_DEPTH: f32 = 4.6;
const EDGE_GAP: f32 = 4.0;
/// White around a face for the strip of an edge, and for half of a mark on it.
const EDGE_ROOM: f32 = EDGE_DEPTH + EDGE_GAP + 3.5;
/// White around a face without a strip, for half of a mark at its border.
const BARE_ROOM: f32 = 3.0;
const FACE_GAP: f32 = 10.0;
const CAPTION_HEIGHT: f32 = 11.0;

#[derive(Clone, Copy)]
struct Box2 {
    x: f32,
    y: f32,
    width: f32,
    height: f32,
}

impl Box2 {
    fn part(self, x: f32, y: f32, width: f32, height: f32) -> Self {
        Self {
            x: self.x + x * self.width,
            y: self.y + y * self.height,
            width: width * self.width,
            height: height * self.height,
        }
    }
}

fn face_size(kind: OutlineKind) -> (f32, f32) {
    match kind {
        OutlineKind::Phone => (40.0, 82.0),
        OutlineKind::Tablet => (66.0, 88.0),
        OutlineKind::Laptop => (84.0, 90.0),
        OutlineKind::Handheld => (92.0, 42.0),
    }
}

/// Where the faces stand in the drawing, seen from its corner.
struct Plan {
    front: Box2,
    back: Box2,
    width: f32,
    height: f32,
}

impl Plan {
    fn of(kind: OutlineKind, marks: &[Mark]) -> Self {
        let (width, height) = face_size(kind);
        let room = |edge: Face| {
            if has(marks, edge) {
                EDGE_ROOM
            } else {
                BARE_ROOM
            }
        };
        let front = Box2 {
            x: room(Face::EdgeLeft),
            y: room(Face::EdgeTop),
            width,
            height,
        };
        let back = Box2 {
            x: front.x + width + room(Face::EdgeRight) + FACE_GAP,
            ..front
        };
        let bottom = front.y + height + room(Face::EdgeBottom);
        Self {
            front,
            back,
            width: back.x + width + BARE_ROOM,
            height: bottom + CAPTION_HEIGHT,
        }
    }
}

fn has(marks: &[Mark], face: Face) -> bool {
    marks.iter().any(|mark| mark.face == face)
}

/// The size of the whole drawing, captions included.
pub(crate) fn size(kind: OutlineKind, marks: &[Mark]) -> (f32, f32) {
    let plan = Plan::of(kind, marks);
    (plan.width, plan.height)
}

/// Draws both faces with their marks; `captions` are the words for front and back.
pub(crate) fn draw(
    pen: &mut Pen<'_>,
    kind: OutlineKind,
    marks: &[Mark],
    captions: (&str, &str),
    corner: (f32, f32),
) {
    let plan = Plan::of(kind, marks);
    let at = |face: Box2| Box2 {
        x: corner.0 + face.x,
        y: corner.1 + face.y,
        ..face
    };
    let (front, back) = (at(plan.front), at(plan.back));
    draw_front(pen, kind, front);
    draw_back(pen, kind, back);
    let style = Style {
        family: Family::Text,
        size: 7.5,
        colour: MUTED,
    };
    for (face, caption) in [(front, captions.0), (back, captions.1)] {
        let line = single_line(&[Span::new(caption, style)]);
        pen.text_centred(
            &line,
            face.x + face.width / 2.0,
            corner.1 + plan.height - 3.0,
        );
    }
    for edge in [
        Face::EdgeLeft,
        Face::EdgeRight,
        Face::EdgeTop,
        Face::EdgeBottom,
    ] {
        if has(marks, edge) {
            body(pen, face_box(edge, front, back), 1.5, DETAIL);
        }
    }
    for mark in marks {
        draw_mark(pen, mark, face_box(mark.face, front, back));
    }
}

fn face_box(face: Face, front: Box2, back: Box2) -> Box2 {
    let edge = |x: f32, y: f32, width: f32, height: f32| Box2 {
        x,
        y,
        width,
        height,
    };
    match face {
        Face::Front => front,
        Face::Back => back,
        Face::EdgeLeft => edge(
            front.x - EDGE_GAP - EDGE_DEPTH,
            front.y,
            EDGE_DEPTH,
            front.height,
        ),
        Face::EdgeRight => edge(
            front.x + front.width + EDGE_GAP,
            front.y,
            EDGE_DEPTH,
            front.height,
        ),
        Face::EdgeTop => edge(
            front.x,
            front.y - EDGE_GAP - EDGE_DEPTH,
            front.width,
            EDGE_DEPTH,
        ),
        Face::EdgeBottom => edge(
            front.x,
            front.y + front.height + EDGE_GAP,
            front.width,
            EDGE_DEPTH,
        ),
    }
}

fn body(pen: &mut Pen<'_>, face: Box2, radius: f32, stroke: f32) {
    pen.shape(
        &[rounded_ring(
            face.x,
            face.y,
            face.width,
            face.height,
            radius,
        )],
        Paint::FillStroke(WHITE, INK, stroke),
    );
}

fn detail(pen: &mut Pen<'_>, part: Box2, radius: f32) {
    pen.shape(
        &[rounded_ring(
            part.x,
            part.y,
            part.width,
            part.height,
            radius,
        )],
        Paint::Stroke(MUTED, DETAIL),
    );
}

fn ring(pen: &mut Pen<'_>, face: Box2, x: f32, y: f32, radius: f32) {
    pen.circle(
        face.x + x * face.width,
        face.y + y * face.height,
        radius,
        Paint::Stroke(MUTED, DETAIL),
    );
}

fn draw_front(pen: &mut Pen<'_>, kind: OutlineKind, face: Box2) {
    match kind {
        OutlineKind::Phone => {
            body(pen, face, 6.0, LINE);
            detail(pen, face.part(0.07, 0.07, 0.86, 0.86), 2.0);
            detail(pen, face.part(0.38, 0.032, 0.24, 0.012), 0.5);
        }
        OutlineKind::Tablet => {
            body(pen, face, 5.0, LINE);
            detail(pen, face.part(0.07, 0.06, 0.86, 0.88), 1.5);
        }
        OutlineKind::Laptop => {
            body(pen, face.part(0.0, 0.0, 1.0, 0.5), 3.0, LINE);
            detail(pen, face.part(0.05, 0.04, 0.9, 0.41), 0.8);
            body(pen, face.part(0.0, 0.5, 1.0, 0.5), 3.0, LINE);
            for row in [0.55, 0.615, 0.68] {
                detail(pen, face.part(0.08, row, 0.84, 0.05), 0.8);
            }
            detail(pen, face.part(0.34, 0.78, 0.32, 0.17), 1.0);
        }
        OutlineKind::Handheld => {
            body(pen, face, 9.0, LINE);
            detail(pen, face.part(0.25, 0.14, 0.5, 0.72), 1.0);
            ring(pen, face, 0.12, 0.34, 4.0);
            ring(pen, face, 0.12, 0.70, 3.0);
            ring(pen, face, 0.88, 0.34, 3.0);
            ring(pen, face, 0.88, 0.70, 4.0);
        }
    }
}

fn draw_back(pen: &mut Pen<'_>, kind: OutlineKind, face: Box2) {
    match kind {
        OutlineKind::Phone => {
            body(pen, face, 6.0, LINE);
            detail(pen, face.part(0.09, 0.045, 0.36, 0.175), 3.0);
            ring(pen, face, 0.27, 0.132, 4.2);
        }
        OutlineKind::Tablet => {
            body(pen, face, 5.0, LINE);
            ring(pen, face, 0.12, 0.09, 3.2);
        }
        OutlineKind::Laptop => {
            // An underside is as large as the base, half of the opened front; it is drawn at the same scale.
            let base = face.part(0.0, 0.25, 1.0, 0.5);
            body(pen, base, 3.0, LINE);
            for (x, y) in [(0.08, 0.3), (0.92, 0.3), (0.08, 0.7), (0.92, 0.7)] {
                ring(pen, face, x, y, 2.0);
            }
            detail(pen, face.part(0.25, 0.33, 0.5, 0.05), 0.8);
        }
        OutlineKind::Handheld => {
            body(pen, face, 9.0, LINE);
            detail(pen, face.part(0.36, 0.3, 0.28, 0.4), 1.0);
        }
    }
}

fn draw_mark(pen: &mut Pen<'_>, mark: &Mark, face: Box2) {
    let place = |share: f32| {
        if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            0.5
        }
    };
    let (x, y) = (
        face.x + place(mark.x) * face.width,
        face.y + place(mark.y) * face.height,
    );
    pen.circle(x, y, MARK_RADIUS, Paint::FillStroke(WHITE, INK, 0.9));
    numeral(pen, mark.number, x, y);
}

/// Draws a number in a ring beside the finding that it belongs to.
pub(crate) fn draw_reference(pen: &mut Pen<'_>, number: u32, x: f32, y: f32) {
    pen.circle(x, y, MARK_RADIUS, Paint::Stroke(INK, 0.9));
    numeral(pen, number, x, y);
}

fn numeral(pen: &mut Pen<'_>, number: u32, x: f32, y: f32) {
    let style = Style {
        family: Family::TextBold,
        size: 7.5,
        colour: INK,
    };
    pen.text_centred(
        &single_line(&[Span::new(number.to_string(), style)]),
        x,
        y + 2.6,
    );
}
