//! What lies under and beside the things: the mat of the bench, a cardboard or wooden table, the bench supply.

use super::canvas::{Canvas, Colour, Frame, at, mixed, slab, toned};
use super::lettering::write;
use super::noise;
use crate::random::Dice;

/// The colours of mats.
const MATS: [Colour; 4] = [
    [58.0, 92.0, 110.0],
    [52.0, 60.0, 68.0],
    [62.0, 98.0, 84.0],
    [86.0, 92.0, 98.0],
];

/// Lays a rubber mat with a fine grid over the whole sheet.
pub(super) fn mat(canvas: &mut Canvas, dice: &mut Dice) {
    let colour = *dice.pick(&MATS);
    let seed = dice.bits();
    let frame = Frame::new(at(800.0, 600.0), dice.between(-4.0, 4.0));
    canvas.fill_with(&frame, slab(0.0, 0.0, 2300.0, 2000.0, 0.0), |place| {
        let fibre = noise::soft(place.x / 3.0, place.y / 3.0, seed) * 0.08
            + noise::soft(place.x / 90.0, place.y / 90.0, seed) * 0.12;
        let on_line = |value: f32| (value.rem_euclid(110.0) - 55.0).abs() > 54.0;
        let line = if on_line(place.x) || on_line(place.y) {
            1.14
        } else {
            1.0
        };
        toned(colour, (0.9 + fibre) * line)
    });
    for _ in 0..3 {
        let from = at(dice.between(0.0, 1600.0), dice.between(0.0, 1200.0));
        let to = from.plus(dice.between(-220.0, 220.0), dice.between(-160.0, 160.0));
        canvas.line(
            &Frame::new(at(0.0, 0.0), 0.0),
            from,
            to,
            1.6,
            toned(colour, 1.3),
            0.35,
        );
    }
}

/// Lays a wooden table.
pub(super) fn wood(canvas: &mut Canvas, dice: &mut Dice) {
    let light = [186.0, 152.0, 112.0];
    let dark = [146.0, 108.0, 70.0];
    let seed = dice.bits();
    let frame = Frame::new(at(800.0, 600.0), dice.between(-3.0, 3.0));
    canvas.fill_with(&frame, slab(0.0, 0.0, 2300.0, 2000.0, 0.0), |place| {
        let plank = (place.y / 260.0).floor();
        let bend = noise::soft(place.x / 260.0, place.y / 34.0 + plank * 7.0, seed);
        let grain = noise::soft(place.x / 120.0 + bend * 3.0, place.y / 5.0, seed ^ 1);
        let gap = if place.y.rem_euclid(260.0) < 3.0 {
            0.55
        } else {
            1.0
        };
        toned(mixed(light, dark, 0.25 + 0.5 * grain * bend), gap)
    });
}

/// Draws a bench supply with its two readings lit.
pub(super) fn supply(canvas: &mut Canvas, dice: &mut Dice, millivolts: u32, milliamperes: u32) {
    mat(canvas, dice);
    let frame = Frame::new(
        at(
            800.0 + dice.between(-30.0, 30.0),
            590.0 + dice.between(-20.0, 20.0),
        ),
        dice.between(-2.0, 2.0),
    );
    let case = slab(0.0, 0.0, 1180.0, 760.0, 26.0);
    canvas.shadow(&frame, case, 34.0);
    canvas.fill_with(&frame, case, |place| {
        toned([196.0, 196.0, 190.0], 1.0 - place.y / 5200.0)
    });
    canvas.fill(&frame, case.inset(16.0), [66.0, 70.0, 76.0]);
    for (row, (name, value, colour)) in [
        (
            "V",
            format!("{}.{:03}", millivolts / 1000, millivolts % 1000),
            [255.0, 84.0, 60.0],
        ),
        (
            "A",
            format!("{}.{:03}", milliamperes / 1000, milliamperes % 1000),
            [90.0, 235.0, 120.0],
        ),
    ]
    .into_iter()
    .enumerate()
    {
        let top = -270.0 + row as f32 * 270.0;
        let window = slab(-160.0, top + 95.0, 720.0, 220.0, 12.0);
        canvas.fill(&frame, window, [14.0, 14.0, 16.0]);
        canvas.glaze(&frame, window.inset(6.0), toned(colour, 0.3), 0.3);
        write(
            canvas,
            &frame,
            at(-480.0, top + 30.0),
            116.0,
            (colour, 0.95),
            &value,
        );
        write(
            canvas,
            &frame,
            at(150.0, top + 90.0),
            60.0,
            (colour, 0.8),
            name,
        );
        let knob = at(390.0, top + 95.0);
        canvas.shadow(&frame, slab(knob.x, knob.y, 170.0, 170.0, 85.0), 14.0);
        canvas.disc(&frame, knob, 85.0, [34.0, 35.0, 38.0]);
        canvas.disc(&frame, knob, 66.0, [52.0, 54.0, 58.0]);
        let turn = dice.between(-2.4, 2.4);
        canvas.line(
            &frame,
            knob,
            knob.plus(turn.sin() * 60.0, -turn.cos() * 60.0),
            7.0,
            [230.0, 230.0, 226.0],
            1.0,
        );
    }
    for (index, colour) in [[30.0, 30.0, 32.0], [186.0, 34.0, 30.0]]
        .into_iter()
        .enumerate()
    {
        let socket = at(-420.0 + index as f32 * 170.0, 300.0);
        canvas.disc(&frame, socket, 44.0, toned(colour, 0.8));
        canvas.disc(&frame, socket, 30.0, colour);
        canvas.disc(&frame, socket, 12.0, [212.0, 186.0, 96.0]);
        canvas.line(
            &frame,
            socket,
            socket.plus(60.0 - index as f32 * 30.0, 420.0),
            24.0,
            toned(colour, 1.1),
            1.0,
        );
    }
}
