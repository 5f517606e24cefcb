//! A cell in its device: a silver or black pouch with its label.

use super::CellState;
use super::canvas::{Canvas, Colour, Frame, Slab, at, mixed, slab, toned};
use super::lettering::write;
use super::{noise, table};
use crate::random::Dice;

pub(super) fn draw(canvas: &mut Canvas, thing: u64, dice: &mut Dice, state: CellState, mah: u32) {
    table::mat(canvas, dice);
    let mut own = Dice::new(thing ^ 0xCE11);
    let frame = Frame::new(
        at(
            800.0 + dice.between(-20.0, 20.0),
            600.0 + dice.between(-16.0, 16.0),
        ),
        dice.between(-4.0, 4.0),
    );
    let tray = slab(0.0, 0.0, 1240.0, 860.0, 46.0);
    canvas.shadow(&frame, tray, 28.0);
    canvas.fill(&frame, tray, [44.0, 46.0, 50.0]);
    canvas.fill(&frame, tray.inset(22.0), [66.0, 68.0, 72.0]);
    let pouch = slab(
        -60.0,
        20.0,
        own.between(820.0, 920.0),
        own.between(480.0, 560.0),
        22.0,
    );
    let base = if own.chance(0.6) {
        [150.0, 152.0, 156.0]
    } else {
        [38.0, 39.0, 42.0]
    };
    let seed = thing;
    let swollen = state == CellState::Swollen;
    canvas.shadow(&frame, pouch, if swollen { 40.0 } else { 10.0 });
    canvas.fill_with(&frame, pouch, |place| {
        let (x, y) = (
            (place.x - pouch.middle.x) / pouch.half.x,
            (place.y - pouch.middle.y) / pouch.half.y,
        );
        let wrinkle = noise::soft(place.x / 26.0, place.y / 60.0, seed) * 0.08;
        let light = if swollen {
            // A dome: bright towards the light, dark on the far flank.
            let dome = (1.0 - x * x).max(0.0) * (1.0 - y * y).max(0.0);
            0.62 + 0.75 * dome.powf(0.7) - 0.34 * (x + y) * dome.powf(0.3)
        } else {
            1.0 - 0.06 * (x + y)
        };
        toned(base, light + wrinkle)
    });
    for x in [-1.0, 1.0] {
        let edge = slab(
            pouch.middle.x + x * (pouch.half.x - 12.0),
            pouch.middle.y,
            24.0,
            pouch.half.y * 2.0,
            4.0,
        );
        canvas.glaze(&frame, edge, mixed(base, [255.0; 3], 0.4), 0.35);
    }
    label(canvas, &frame, pouch, base, mah);
    let connector = slab(
        pouch.middle.x + pouch.half.x + 70.0,
        -160.0,
        90.0,
        60.0,
        8.0,
    );
    canvas.line(
        &frame,
        at(pouch.middle.x + pouch.half.x - 10.0, -150.0),
        at(connector.middle.x, -160.0),
        46.0,
        [198.0, 130.0, 48.0],
        1.0,
    );
    canvas.fill(&frame, connector, [36.0, 36.0, 38.0]);
    if state == CellState::Wet {
        for spot in 0..9 {
            let place = frame.out(at(own.between(-420.0, 320.0), own.between(-180.0, 220.0)));
            canvas.stain(
                place,
                own.between(40.0, 120.0),
                30.0,
                thing ^ spot,
                ([214.0, 208.0, 180.0], 0.5),
            );
        }
        canvas.stain(
            frame.out(connector.middle),
            60.0,
            14.0,
            thing,
            ([90.0, 170.0, 140.0], 0.8),
        );
    }
}

/// What is printed on the pouch.
fn label(canvas: &mut Canvas, frame: &Frame, pouch: Slab, base: Colour, mah: u32) {
    let ink = if base[0] > 100.0 {
        [44.0, 46.0, 50.0]
    } else {
        [204.0, 206.0, 208.0]
    };
    let left = pouch.middle.x - pouch.half.x + 60.0;
    let top = pouch.middle.y - pouch.half.y + 60.0;
    for (row, text) in [
        "RECHARGEABLE LI-ION".to_owned(),
        format!("3.85 V  {mah} MAH  {:.2} WH", mah as f32 * 3.85 / 1000.0),
        "CHARGE LIMIT 4.40 V".to_owned(),
        "DO NOT PIERCE OR HEAT".to_owned(),
    ]
    .into_iter()
    .enumerate()
    {
        let height = if row == 0 { 34.0 } else { 23.0 };
        write(
            canvas,
            frame,
            at(left, top + row as f32 * 66.0),
            height,
            (ink, 0.85),
            &text,
        );
    }
}
