//! The parts on a board, each in its kind's own look, and the names printed beside them.

use super::board::{GOLD, Kind, Part, SILK, TIN};
use super::canvas::{Canvas, Frame, Point, Slab, at, slab, toned};
use super::lettering::{width_of, write};
use super::noise;

pub(super) fn draw_part(canvas: &mut Canvas, frame: &Frame, part: &Part, seed: u64) {
    let shape = part.shape;
    let depth = if part.kind == Kind::Small { 4.0 } else { 9.0 };
    canvas.shadow(frame, shape, depth);
    match part.kind {
        Kind::Chip => draw_chip(canvas, frame, shape, seed),
        Kind::Shield => draw_shield(canvas, frame, shape, seed),
        Kind::Coil => draw_coil(canvas, frame, shape),
        Kind::Small => draw_small(canvas, frame, shape, seed),
        Kind::Socket => draw_socket(canvas, frame, shape),
    }
}

fn draw_chip(canvas: &mut Canvas, frame: &Frame, shape: Slab, seed: u64) {
    draw_pins(canvas, frame, &shape);
    let body = [34.0, 35.0, 38.0];
    canvas.fill_with(frame, shape, |place| {
        toned(body, 1.0 - (place.y - shape.middle.y) / 900.0)
    });
    canvas.disc(
        frame,
        shape
            .middle
            .plus(-shape.half.x + 14.0, -shape.half.y + 14.0),
        5.0,
        [64.0, 65.0, 68.0],
    );
    let text = format!(
        "{}{}",
        ["KX", "QL", "VT", "NR"][(seed % 4) as usize],
        100 + seed % 880
    );
    let height = (shape.half.x * 0.22).min(20.0);
    let left = shape.middle.x - width_of(&text, height) / 2.0;
    write(
        canvas,
        frame,
        at(left, shape.middle.y - height),
        height,
        ([112.0, 112.0, 114.0], 0.9),
        &text,
    );
    write(
        canvas,
        frame,
        at(left, shape.middle.y + height * 0.7),
        height * 0.7,
        ([96.0, 96.0, 98.0], 0.9),
        &format!("{:04}", seed % 9973),
    );
}

fn draw_shield(canvas: &mut Canvas, frame: &Frame, shape: Slab, seed: u64) {
    canvas.fill_with(frame, shape, |place| {
        let brush = noise::soft(place.x / 60.0, place.y / 2.2, seed);
        toned([172.0, 174.0, 176.0], 0.9 + 0.2 * brush)
    });
    canvas.glaze(frame, shape.inset(10.0), [236.0, 238.0, 240.0], 0.18);
    for corner in [-1.0, 1.0] {
        canvas.disc(
            frame,
            shape.middle.plus(corner * (shape.half.x - 20.0), 0.0),
            6.0,
            [120.0, 122.0, 124.0],
        );
    }
}

fn draw_coil(canvas: &mut Canvas, frame: &Frame, shape: Slab) {
    canvas.fill(frame, shape.inset(-3.0), TIN);
    canvas.fill(
        frame,
        slab(
            shape.middle.x,
            shape.middle.y,
            shape.half.x * 1.6,
            shape.half.y * 2.0,
            5.0,
        ),
        [74.0, 72.0, 72.0],
    );
}

fn draw_small(canvas: &mut Canvas, frame: &Frame, shape: Slab, seed: u64) {
    let body = [
        [168.0, 128.0, 84.0],
        [40.0, 40.0, 42.0],
        [196.0, 176.0, 138.0],
        [90.0, 64.0, 48.0],
    ][(seed % 4) as usize];
    canvas.fill(frame, shape, TIN);
    let along = if shape.half.x > shape.half.y {
        (0.56, 1.0)
    } else {
        (1.0, 0.56)
    };
    canvas.fill(
        frame,
        slab(
            shape.middle.x,
            shape.middle.y,
            shape.half.x * 2.0 * along.0,
            shape.half.y * 2.0 * along.1,
            1.0,
        ),
        body,
    );
}

fn draw_socket(canvas: &mut Canvas, frame: &Frame, shape: Slab) {
    canvas.fill(frame, shape.inset(-4.0), GOLD);
    canvas.fill(frame, shape, [216.0, 210.0, 196.0]);
    canvas.fill(frame, shape.inset(9.0), [60.0, 58.0, 56.0]);
    let count = (shape.half.x / 7.0) as i32;
    for index in -count + 1..count {
        let x = shape.middle.x + index as f32 * 6.4;
        canvas.line(
            frame,
            at(x, shape.middle.y - 8.0),
            at(x, shape.middle.y + 8.0),
            2.4,
            GOLD,
            0.9,
        );
    }
}

fn draw_pins(canvas: &mut Canvas, frame: &Frame, shape: &Slab) {
    let mut pin = |from: Point, to: Point| canvas.line(frame, from, to, 5.0, TIN, 1.0);
    let step = 13.0;
    let mut x = -shape.half.x + 12.0;
    while x < shape.half.x - 8.0 {
        for side in [-1.0, 1.0] {
            let edge = shape.middle.plus(x, side * shape.half.y);
            pin(edge, edge.plus(0.0, side * 7.0));
        }
        x += step;
    }
    let mut y = -shape.half.y + 12.0;
    while y < shape.half.y - 8.0 {
        for side in [-1.0, 1.0] {
            let edge = shape.middle.plus(side * shape.half.x, y);
            pin(edge, edge.plus(side * 7.0, 0.0));
        }
        y += step;
    }
}

pub(super) fn draw_pads(canvas: &mut Canvas, frame: &Frame, part: &Part) {
    let shape = part.shape;
    canvas.fill(frame, shape, [70.0, 84.0, 66.0]);
    let step = 17.0;
    let (columns, rows) = ((shape.half.x / step) as i32, (shape.half.y / step) as i32);
    for column in -columns..=columns {
        for row in -rows..=rows {
            let place = shape
                .middle
                .plus(column as f32 * step * 0.86, row as f32 * step * 0.86);
            canvas.disc(frame, place, 4.6, TIN);
            canvas.disc(frame, place.plus(-1.0, -1.0), 1.8, [238.0, 240.0, 242.0]);
        }
    }
}

pub(super) fn draw_name(canvas: &mut Canvas, frame: &Frame, part: &Part) {
    let height = if part.kind == Kind::Small { 7.5 } else { 13.0 };
    let start = part
        .shape
        .middle
        .plus(-part.shape.half.x, -part.shape.half.y - height - 7.0);
    write(canvas, frame, start, height, (SILK, 0.75), &part.name);
}
