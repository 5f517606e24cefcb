//! Devices: fronts and backs, lit and dark, whole and cracked.

use domain::device::DeviceKind;

use super::canvas::{Canvas, Colour, Frame, Point, Slab, at, mixed, slab, toned};
use super::lettering::{width_of, write};
use super::{DeviceSide, Finish};
use super::{noise, table};
use crate::random::Dice;

/// The colour of a case.
const fn colour_of(finish: Finish) -> Colour {
    match finish {
        Finish::Dark => [54.0, 58.0, 64.0],
        Finish::Grey => [122.0, 126.0, 130.0],
        Finish::Light => [206.0, 208.0, 208.0],
        Finish::Blue => [46.0, 76.0, 116.0],
        Finish::Green => [88.0, 120.0, 98.0],
        Finish::Red => [156.0, 50.0, 52.0],
        Finish::Rose => [214.0, 178.0, 168.0],
        Finish::Yellow => [214.0, 174.0, 70.0],
    }
}

/// A device's body and the glass in it.
struct Body {
    case: Slab,
    glass: Slab,
    colour: Colour,
}

fn body(kind: DeviceKind, thing: u64, finish: Finish) -> Body {
    let mut dice = Dice::new(thing ^ 0x00DE_71CE);
    let (width, height, round, rim) = match kind {
        DeviceKind::Phone => (
            dice.between(470.0, 520.0),
            dice.between(980.0, 1040.0),
            66.0,
            20.0,
        ),
        DeviceKind::Tablet => (
            dice.between(760.0, 820.0),
            dice.between(1020.0, 1080.0),
            44.0,
            44.0,
        ),
        DeviceKind::Laptop => (1280.0, 820.0, 26.0, 46.0),
        DeviceKind::Handheld => (1180.0, 520.0, 120.0, 50.0),
    };
    let case = slab(0.0, 0.0, width, height, round);
    let glass = match kind {
        DeviceKind::Handheld => slab(0.0, 0.0, width * 0.56, height - rim * 2.0, 18.0),
        _ => case.inset(rim),
    };
    Body {
        case,
        glass,
        colour: colour_of(finish),
    }
}

pub(super) fn draw(
    canvas: &mut Canvas,
    thing: u64,
    dice: &mut Dice,
    kind: DeviceKind,
    side: DeviceSide,
    finish: Finish,
) {
    table::mat(canvas, dice);
    let body = body(kind, thing, finish);
    let frame = Frame::new(
        at(
            800.0 + dice.between(-26.0, 26.0),
            600.0 + dice.between(-14.0, 14.0),
        ),
        dice.between(-5.0, 5.0),
    );
    canvas.shadow(&frame, body.case, 32.0);
    canvas.fill(&frame, body.case.inset(-4.0), toned(body.colour, 0.55));
    canvas.fill_with(&frame, body.case, |place| {
        toned(body.colour, 1.08 - (place.x + place.y) / 4200.0)
    });
    match side {
        DeviceSide::Back | DeviceSide::BackWorn => back(canvas, &frame, &body, kind, thing),
        _ => front(canvas, &frame, &body, kind, thing, side),
    }
    match side {
        DeviceSide::FrontCracked => cracks(canvas, &frame, &body.glass, thing),
        DeviceSide::BackWorn => wear(canvas, &frame, &body, thing),
        _ => {}
    }
}

fn front(
    canvas: &mut Canvas,
    frame: &Frame,
    body: &Body,
    kind: DeviceKind,
    thing: u64,
    side: DeviceSide,
) {
    let glass = body.glass;
    if kind == DeviceKind::Handheld {
        for x in [-1.0, 1.0] {
            let stick = at(x * (body.case.half.x - 130.0), -90.0 * x);
            canvas.disc(frame, stick, 62.0, [30.0, 31.0, 34.0]);
            canvas.disc(frame, stick, 46.0, [62.0, 64.0, 68.0]);
            for (dx, dy) in [(0.0, -38.0), (0.0, 38.0), (-38.0, 0.0), (38.0, 0.0)] {
                canvas.disc(
                    frame,
                    at(stick.x + dx, -stick.y + dy),
                    17.0,
                    [36.0, 37.0, 40.0],
                );
            }
        }
    }
    canvas.fill(frame, glass.inset(-6.0), [12.0, 12.0, 14.0]);
    match side {
        DeviceSide::FrontOn => lit(canvas, frame, &glass, thing),
        DeviceSide::FrontStriped => {
            lit(canvas, frame, &glass, thing);
            stripes(canvas, frame, &glass, thing);
        }
        _ => canvas.fill_with(frame, glass, |place| {
            toned([24.0, 25.0, 29.0], 1.0 - place.y / 1800.0)
        }),
    }
    // A window's light on the glass.
    canvas.glaze_with(frame, glass, [255.0; 3], |place| {
        let across = (place.x + place.y * 0.55) / glass.half.x + 0.35;
        0.09 * (1.0 - across.abs() * 2.2).clamp(0.0, 1.0)
    });
    if kind == DeviceKind::Phone {
        canvas.disc(
            frame,
            at(0.0, glass.middle.y - glass.half.y + 34.0),
            12.0,
            [8.0, 8.0, 10.0],
        );
    }
}

fn lit(canvas: &mut Canvas, frame: &Frame, glass: &Slab, thing: u64) {
    let mut dice = Dice::new(thing ^ 0x117);
    let a = [
        dice.between(20.0, 120.0),
        dice.between(60.0, 150.0),
        dice.between(120.0, 210.0),
    ];
    let b = [
        dice.between(180.0, 245.0),
        dice.between(120.0, 200.0),
        dice.between(90.0, 170.0),
    ];
    canvas.fill_with(frame, *glass, |place| {
        let hill = noise::soft(place.x / 260.0, 0.5, thing) * 220.0;
        let height = (place.y + glass.half.y) / (glass.half.y * 2.0);
        let sky = mixed(a, b, height);
        if place.y > 120.0 + hill {
            mixed(toned(a, 0.5), sky, 0.35)
        } else {
            sky
        }
    });
    let time = format!("{:02}:{:02}", 9 + thing % 9, thing % 60);
    let height = glass.half.x.min(360.0) * 0.26;
    write(
        canvas,
        frame,
        at(
            glass.middle.x - width_of(&time, height) / 2.0,
            glass.middle.y - glass.half.y * 0.62,
        ),
        height,
        ([250.0; 3], 0.95),
        &time,
    );
    for index in 0..4 {
        let size = glass.half.x.min(330.0) * 0.3;
        let x = glass.middle.x + (index as f32 - 1.5) * size * 1.4;
        let icon = slab(
            x,
            glass.middle.y + glass.half.y - size,
            size,
            size,
            size * 0.24,
        );
        let colour = [
            dice.between(60.0, 240.0),
            dice.between(60.0, 240.0),
            dice.between(60.0, 240.0),
        ];
        canvas.fill(frame, icon, colour);
    }
}

fn stripes(canvas: &mut Canvas, frame: &Frame, glass: &Slab, thing: u64) {
    let mut dice = Dice::new(thing ^ 0x57);
    for _ in 0..14 {
        let x = glass.middle.x + dice.between(-0.95, 0.95) * glass.half.x;
        let width = dice.between(3.0, 16.0);
        let colour = *dice.pick(&[
            [30.0, 240.0, 90.0],
            [240.0, 40.0, 200.0],
            [245.0, 245.0, 245.0],
            [0.0, 0.0, 0.0],
        ]);
        canvas.glaze(
            frame,
            slab(x, glass.middle.y, width, glass.half.y * 2.0, 0.0),
            colour,
            0.85,
        );
    }
}

fn back(canvas: &mut Canvas, frame: &Frame, body: &Body, kind: DeviceKind, thing: u64) {
    let case = body.case;
    canvas.fill_with(frame, case.inset(8.0), |place| {
        let grain = noise::soft(place.x / 2.0, place.y / 2.0, thing) * 0.06;
        toned(body.colour, 0.97 + grain - place.y / 5200.0)
    });
    match kind {
        DeviceKind::Phone | DeviceKind::Tablet => {
            let island = slab(
                -case.half.x + 120.0,
                -case.half.y + 130.0,
                170.0,
                190.0,
                44.0,
            );
            canvas.shadow(frame, island, 8.0);
            canvas.fill(frame, island, toned(body.colour, 0.8));
            for (x, y) in [(-38.0, -44.0), (38.0, -44.0), (-38.0, 44.0)] {
                let lens = island.middle.plus(x, y);
                canvas.disc(frame, lens, 32.0, [20.0, 20.0, 24.0]);
                canvas.disc(frame, lens, 18.0, [40.0, 46.0, 66.0]);
                canvas.disc(frame, lens.plus(-7.0, -7.0), 5.0, [190.0, 200.0, 220.0]);
            }
            canvas.disc(
                frame,
                island.middle.plus(40.0, 46.0),
                16.0,
                [236.0, 228.0, 200.0],
            );
        }
        DeviceKind::Laptop | DeviceKind::Handheld => {
            for x in [-1.0, 1.0] {
                for y in [-1.0, 1.0] {
                    canvas.disc(
                        frame,
                        at(x * (case.half.x - 70.0), y * (case.half.y - 60.0)),
                        22.0,
                        [30.0, 30.0, 32.0],
                    );
                }
            }
            for slot in 0..16 {
                let x = -300.0 + slot as f32 * 40.0;
                canvas.fill(
                    frame,
                    slab(x, -case.half.y * 0.45, 20.0, 90.0, 10.0),
                    toned(body.colour, 0.4),
                );
            }
        }
    }
    let text = format!(
        "MODEL {:03}-{}",
        thing % 900 + 100,
        ["A", "B", "C"][(thing % 3) as usize]
    );
    write(
        canvas,
        frame,
        at(-width_of(&text, 18.0) / 2.0, case.half.y - 120.0),
        18.0,
        (toned(body.colour, 0.62), 0.9),
        &text,
    );
}

fn cracks(canvas: &mut Canvas, frame: &Frame, glass: &Slab, thing: u64) {
    let mut dice = Dice::new(thing ^ 0xCAC);
    let hit = glass.middle.plus(
        dice.between(-0.6, 0.6) * glass.half.x,
        dice.between(-0.7, 0.5) * glass.half.y,
    );
    let reach = glass.half.x.max(glass.half.y) * 1.3;
    let rays = 13 + dice.below(6);
    let mut ends: Vec<Vec<Point>> = Vec::new();
    for ray in 0..rays {
        let angle = std::f32::consts::TAU * (ray as f32 + dice.between(-0.3, 0.3)) / rays as f32;
        let mut corners = vec![hit];
        let mut far = 0.0;
        let mut bend = angle;
        while far < reach * dice.between(0.35, 1.1) {
            far += dice.between(40.0, 100.0);
            bend += dice.between(-0.16, 0.16);
            let next = hit.plus(bend.cos() * far, bend.sin() * far);
            let inside = (next.x - glass.middle.x).abs() < glass.half.x - 2.0
                && (next.y - glass.middle.y).abs() < glass.half.y - 2.0;
            if !inside {
                break;
            }
            corners.push(next);
        }
        for pair in corners.windows(2) {
            canvas.line(frame, pair[0], pair[1], 2.6, [216.0, 222.0, 226.0], 0.85);
            canvas.line(
                frame,
                pair[0].plus(2.0, 2.0),
                pair[1].plus(2.0, 2.0),
                1.4,
                [0.0, 0.0, 0.0],
                0.6,
            );
        }
        ends.push(corners);
    }
    for pair in 0..ends.len() {
        let (one, other) = (&ends[pair], &ends[(pair + 1) % ends.len()]);
        for ring in 1..one.len().min(other.len()).min(4) {
            if dice.chance(0.7) {
                canvas.line(
                    frame,
                    one[ring],
                    other[ring],
                    1.8,
                    [196.0, 202.0, 208.0],
                    0.7,
                );
            }
        }
    }
    canvas.stain(
        frame.out(hit),
        26.0,
        8.0,
        thing,
        ([230.0, 234.0, 236.0], 0.8),
    );
}

fn wear(canvas: &mut Canvas, frame: &Frame, body: &Body, thing: u64) {
    let mut dice = Dice::new(thing ^ 0x3EA);
    let half = body.case.half;
    for _ in 0..24 {
        let from = at(
            dice.between(-0.85, 0.85) * half.x,
            dice.between(-0.85, 0.85) * half.y,
        );
        let to = from.plus(dice.between(-130.0, 130.0), dice.between(-60.0, 60.0));
        canvas.line(
            frame,
            from,
            to,
            dice.between(1.0, 2.6),
            toned(body.colour, 1.5),
            0.55,
        );
    }
    let corner = at(half.x - 26.0, half.y - 26.0);
    let on = (*frame, body.case);
    canvas.stain_on(
        &on,
        corner,
        (54.0, 14.0),
        thing,
        ([168.0, 168.0, 166.0], 0.85),
    );
    canvas.stain_on(
        &on,
        corner.plus(-8.0, -8.0),
        (26.0, 9.0),
        thing ^ 4,
        ([52.0, 52.0, 54.0], 0.7),
    );
}
