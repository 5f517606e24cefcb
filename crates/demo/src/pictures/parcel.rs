//! Boxes: as they arrive, and the one that goes back.

use super::ParcelState;
use super::canvas::{Canvas, Colour, Frame, Point, Slab, at, slab, toned};
use super::lettering::write;
use super::{noise, table};
use crate::random::Dice;

const CARD: Colour = [178.0, 138.0, 94.0];

fn cardboard(canvas: &mut Canvas, frame: &Frame, shape: Slab, seed: u64, light: f32) {
    canvas.fill_with(frame, shape, |place| {
        let fibre = noise::soft(place.x / 2.4, place.y / 30.0, seed) * 0.10
            + noise::soft(place.x / 130.0, place.y / 130.0, seed) * 0.10;
        toned(CARD, (0.9 + fibre) * light)
    });
}

pub(super) fn draw(canvas: &mut Canvas, thing: u64, dice: &mut Dice, state: ParcelState) {
    table::wood(canvas, dice);
    let mut own = Dice::new(thing ^ 0xB0C5);
    let frame = Frame::new(
        at(800.0 + dice.between(-20.0, 20.0), 590.0),
        dice.between(-6.0, 6.0),
    );
    let shape = slab(
        0.0,
        0.0,
        own.between(980.0, 1150.0),
        own.between(680.0, 800.0),
        8.0,
    );
    canvas.shadow(&frame, shape, 44.0);
    cardboard(canvas, &frame, shape, thing, 1.0);
    canvas.line(
        &frame,
        at(-shape.half.x, 0.0),
        at(shape.half.x, 0.0),
        4.0,
        toned(CARD, 0.6),
        0.9,
    );
    let tape = slab(0.0, 0.0, shape.half.x * 2.0, 104.0, 2.0);
    canvas.glaze(&frame, tape, [206.0, 178.0, 128.0], 0.75);
    canvas.glaze(
        &frame,
        slab(0.0, -26.0, shape.half.x * 2.0, 16.0, 2.0),
        [255.0; 3],
        0.18,
    );
    label(
        canvas,
        &frame,
        at(shape.half.x * 0.42, shape.half.y * 0.5),
        &mut own,
    );
    match state {
        ParcelState::Sound => {}
        ParcelState::Crushed => crush(
            canvas,
            &(frame, shape),
            at(-shape.half.x, -shape.half.y),
            thing,
        ),
        ParcelState::Wet => {
            let on = (frame, shape);
            canvas.stain_on(
                &on,
                at(-shape.half.x * 0.6, shape.half.y * 0.7),
                (330.0, 90.0),
                thing,
                ([92.0, 66.0, 42.0], 0.62),
            );
            canvas.stain_on(
                &on,
                at(-shape.half.x * 0.5, shape.half.y * 0.8),
                (210.0, 60.0),
                thing ^ 2,
                ([74.0, 52.0, 34.0], 0.5),
            );
        }
        ParcelState::Retaped => {
            let again = frame.inner(at(-60.0, -10.0), own.between(-7.0, 7.0));
            canvas.glaze(
                &again,
                slab(0.0, 0.0, shape.half.x * 1.7, 120.0, 2.0),
                [228.0, 226.0, 218.0],
                0.6,
            );
            let across = frame.inner(at(-shape.half.x * 0.5, 0.0), 88.0);
            canvas.glaze(
                &across,
                slab(0.0, 0.0, shape.half.y * 1.7, 110.0, 2.0),
                [228.0, 226.0, 218.0],
                0.55,
            );
        }
    }
}

fn crush(canvas: &mut Canvas, on: &(Frame, Slab), corner: Point, seed: u64) {
    canvas.stain_on(
        on,
        corner.plus(80.0, 60.0),
        (230.0, 80.0),
        seed,
        ([96.0, 70.0, 44.0], 0.75),
    );
    let frame = &on.0;
    for (length, angle) in [(250.0, 0.5), (310.0, 0.85), (210.0, 1.15), (180.0, 0.2)] {
        let (sin, cos) = f32::sin_cos(angle);
        let start = corner.plus(40.0, 40.0);
        canvas.line(
            frame,
            start,
            start.plus(cos * length, sin * length),
            7.0,
            toned(CARD, 0.5),
            0.85,
        );
        canvas.line(
            frame,
            start.plus(7.0, 7.0),
            start.plus(cos * length + 7.0, sin * length + 7.0),
            4.0,
            toned(CARD, 1.2),
            0.7,
        );
    }
}

fn label(canvas: &mut Canvas, frame: &Frame, middle: Point, dice: &mut Dice) {
    let frame = frame.inner(middle, dice.between(-3.0, 3.0));
    let paper = slab(0.0, 0.0, 430.0, 300.0, 4.0);
    canvas.fill(&frame, paper, [240.0, 238.0, 230.0]);
    canvas.fill(
        &frame,
        slab(0.0, -120.0, 430.0, 60.0, 2.0),
        [40.0, 42.0, 46.0],
    );
    write(
        canvas,
        &frame,
        at(-190.0, -136.0),
        30.0,
        ([240.0, 238.0, 230.0], 1.0),
        "PARCEL",
    );
    for row in 0..3 {
        let width = dice.between(150.0, 300.0);
        canvas.line(
            &frame,
            at(-190.0, -66.0 + row as f32 * 24.0),
            at(-190.0 + width, -66.0 + row as f32 * 24.0),
            8.0,
            [120.0, 120.0, 120.0],
            0.8,
        );
    }
    let mut x = -190.0;
    while x < 180.0 {
        let width = *dice.pick(&[3.0, 3.0, 6.0, 9.0]);
        canvas.fill(
            &frame,
            slab(x + width / 2.0, 70.0, width, 96.0, 0.0),
            [22.0, 22.0, 24.0],
        );
        x += width + *dice.pick(&[3.0, 3.0, 6.0]);
    }
}

/// A return parcel, open: padding and wrapped devices.
pub(super) fn draw_open(canvas: &mut Canvas, thing: u64, dice: &mut Dice) {
    table::wood(canvas, dice);
    let mut own = Dice::new(thing ^ 0x0BE1);
    let frame = Frame::new(at(800.0, 600.0), dice.between(-4.0, 4.0));
    let shape = slab(0.0, 0.0, 960.0, 700.0, 6.0);
    canvas.shadow(&frame, shape, 50.0);
    for (x, y, width, height, light) in [
        (0.0, -450.0, 960.0, 200.0, 1.06),
        (0.0, 450.0, 960.0, 200.0, 0.86),
        (-560.0, 0.0, 170.0, 700.0, 0.98),
        (560.0, 0.0, 170.0, 700.0, 0.92),
    ] {
        cardboard(canvas, &frame, slab(x, y, width, height, 4.0), thing, light);
    }
    canvas.fill(&frame, shape, toned(CARD, 0.45));
    let seed = thing;
    canvas.fill_with(&frame, shape.inset(14.0), |place| {
        let fold = noise::soft(place.x / 34.0, place.y / 34.0, seed)
            + noise::soft(place.x / 90.0, place.y / 20.0, seed ^ 9);
        toned([206.0, 190.0, 160.0], 0.62 + 0.26 * fold)
    });
    for index in 0..2_u64 {
        let place = at(-220.0 + index as f32 * 430.0, own.between(-50.0, 50.0));
        let inner = frame.inner(place, own.between(-9.0, 9.0));
        let wrapped = slab(0.0, 0.0, 330.0, 500.0, 36.0);
        canvas.shadow(&inner, wrapped, 16.0);
        canvas.fill_with(&inner, wrapped, |place| {
            let bubble = ((place.x / 15.0).sin() * (place.y / 15.0).sin()).max(0.0);
            toned([176.0, 190.0, 198.0], 0.86 + 0.28 * bubble)
        });
        canvas.fill(
            &inner,
            slab(0.0, 40.0, 210.0, 130.0, 4.0),
            [242.0, 240.0, 232.0],
        );
        write(
            canvas,
            &inner,
            at(-84.0, 4.0),
            22.0,
            ([30.0, 32.0, 34.0], 0.9),
            "JOB TAG",
        );
        for row in 0..2 {
            canvas.line(
                &inner,
                at(-84.0, 52.0 + row as f32 * 22.0),
                at(70.0 - row as f32 * 40.0, 52.0 + row as f32 * 22.0),
                7.0,
                [130.0; 3],
                0.8,
            );
        }
    }
}
