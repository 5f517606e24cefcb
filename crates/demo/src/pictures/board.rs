//! A board from above: mask, traces, parts with their designators, and one place where it hurts.

use super::BoardState;
use super::canvas::{Canvas, Colour, Frame, Point, Slab, at, mixed, slab, toned};
use super::lettering::write;
use super::parts::{draw_name, draw_pads, draw_part};
use super::{noise, table};
use crate::random::Dice;

/// Colours of the solder mask.
const MASKS: [Colour; 4] = [
    [22.0, 84.0, 52.0],
    [20.0, 52.0, 108.0],
    [26.0, 30.0, 34.0],
    [18.0, 70.0, 78.0],
];

pub(super) const GOLD: Colour = [204.0, 170.0, 88.0];
pub(super) const TIN: Colour = [196.0, 198.0, 200.0];
pub(super) const SILK: Colour = [226.0, 226.0, 216.0];

/// One part, with its place on the board.
pub(super) struct Part {
    pub(super) shape: Slab,
    pub(super) kind: Kind,
    pub(super) name: String,
}

#[derive(Clone, Copy, PartialEq)]
pub(super) enum Kind {
    Chip,
    Shield,
    Coil,
    Small,
    Socket,
}

/// The board, laid out from its seed: the same seed gives the same board.
struct Layout {
    outline: Slab,
    mask: Colour,
    notch: Slab,
    parts: Vec<Part>,
    /// The part that the fault is at.
    hurt: usize,
    seed: u64,
}

fn layout(seed: u64) -> Layout {
    let mut dice = Dice::new(seed);
    let outline = slab(
        0.0,
        0.0,
        dice.between(1080.0, 1300.0),
        dice.between(620.0, 800.0),
        34.0,
    );
    let corner = if dice.chance(0.5) { 1.0 } else { -1.0 };
    let notch = slab(
        outline.half.x * corner,
        -outline.half.y,
        dice.between(240.0, 420.0),
        dice.between(200.0, 360.0),
        26.0,
    );
    let mut parts: Vec<Part> = Vec::new();
    let mut counts = [0_u32; 5];
    let wanted = [
        (Kind::Shield, 2),
        (Kind::Chip, 6),
        (Kind::Socket, 4),
        (Kind::Coil, 7),
        (Kind::Small, 120),
    ];
    for (kind, count) in wanted {
        for _ in 0..count {
            if let Some(shape) = free_place(&mut dice, &outline, &notch, &parts, kind) {
                let index = kind as usize;
                counts[index] += 1;
                let letter = match kind {
                    Kind::Chip => "U",
                    Kind::Shield => "SH",
                    Kind::Coil => "L",
                    Kind::Small => *dice.pick(&["C", "R", "C", "D"]),
                    Kind::Socket => "J",
                };
                let name = format!(
                    "{letter}{}",
                    10 * (1 + dice.below(38)) + u64::from(counts[index] % 10)
                );
                parts.push(Part { shape, kind, name });
            }
        }
    }
    let chips: Vec<usize> = (0..parts.len())
        .filter(|&index| parts[index].kind == Kind::Chip)
        .collect();
    let nearest = |index: &&usize| (parts[**index].shape.middle.distance(at(0.0, 0.0))) as u32;
    let hurt = chips.iter().min_by_key(nearest).copied().unwrap_or(0);
    Layout {
        outline,
        mask: *dice.pick(&MASKS),
        notch,
        parts,
        hurt,
        seed,
    }
}

/// Looks for a place where a part fits; none is found on a full board.
fn free_place(
    dice: &mut Dice,
    outline: &Slab,
    notch: &Slab,
    parts: &[Part],
    kind: Kind,
) -> Option<Slab> {
    for _ in 0..40 {
        let (width, height) = match kind {
            Kind::Chip => {
                let side = dice.between(80.0, 165.0);
                (side, side * dice.between(0.8, 1.2))
            }
            Kind::Shield => (dice.between(230.0, 330.0), dice.between(170.0, 240.0)),
            Kind::Coil => (dice.between(44.0, 60.0), dice.between(38.0, 46.0)),
            Kind::Small if dice.chance(0.5) => (24.0, 12.0),
            Kind::Small => (12.0, 24.0),
            Kind::Socket => (dice.between(110.0, 190.0), 34.0),
        };
        let gap = if kind == Kind::Small { 9.0 } else { 26.0 };
        let (reach_x, reach_y) = (
            outline.half.x - width / 2.0 - 40.0,
            outline.half.y - height / 2.0 - 40.0,
        );
        let place = slab(
            dice.between(-reach_x, reach_x),
            dice.between(-reach_y, reach_y),
            width,
            height,
            3.0,
        );
        let clear = |other: &Slab, gap: f32| {
            (place.middle.x - other.middle.x).abs() > place.half.x + other.half.x + gap
                || (place.middle.y - other.middle.y).abs() > place.half.y + other.half.y + gap
        };
        if clear(notch, 30.0) && parts.iter().all(|part| clear(&part.shape, gap)) {
            return Some(place);
        }
    }
    None
}

pub(super) fn draw(canvas: &mut Canvas, thing: u64, dice: &mut Dice, state: BoardState) {
    table::mat(canvas, dice);
    let board = layout(thing);
    let frame = Frame::new(
        at(
            800.0 + dice.between(-24.0, 24.0),
            600.0 + dice.between(-20.0, 20.0),
        ),
        dice.between(-5.0, 5.0),
    );
    draw_mask(canvas, &frame, &board);
    for (index, part) in board.parts.iter().enumerate() {
        if index == board.hurt && state == BoardState::PartOff {
            draw_pads(canvas, &frame, part);
        } else {
            draw_part(canvas, &frame, part, board.seed ^ index as u64);
        }
        draw_name(canvas, &frame, part);
    }
    let hurt = board.parts[board.hurt].shape.middle;
    match state {
        BoardState::Scorched => scorch(canvas, frame.out(hurt), board.seed),
        BoardState::Corroded => corrode(canvas, &frame, &board, hurt),
        BoardState::PartOff => canvas.stain(
            frame.out(hurt),
            120.0,
            40.0,
            board.seed,
            ([150.0, 118.0, 60.0], 0.28),
        ),
        BoardState::Clean => {
            let shape = board.parts[board.hurt].shape;
            canvas.glaze(&frame, shape.inset(-16.0), [235.0, 225.0, 190.0], 0.10);
        }
    }
}

fn draw_mask(canvas: &mut Canvas, frame: &Frame, board: &Layout) {
    let mask = board.mask;
    let seed = board.seed;
    let reach = board.outline.half.x.hypot(board.outline.half.y) + 80.0;
    let distance = |place: Point| {
        board
            .outline
            .distance(place)
            .max(-board.notch.distance(place))
    };
    canvas.wash(frame.out(at(0.0, 0.0)), reach, |place| {
        let distance = distance(frame.inward(place.plus(-15.0, -26.0)));
        let share = 0.55 * (1.0 - (distance + 26.0) / 62.0);
        (share > 0.0).then_some(([12.0, 12.0, 14.0], share.min(0.55)))
    });
    canvas.wash(frame.out(at(0.0, 0.0)), reach, |place| {
        let inside = frame.inward(place);
        let depth = -distance(inside);
        let cloud = noise::soft(inside.x / 240.0, inside.y / 240.0, seed) * 0.16;
        // The edge shows the bare fibre.
        let colour = if depth < 4.0 {
            [150.0, 140.0, 96.0]
        } else {
            toned(mask, 0.94 + cloud)
        };
        (depth > -0.5).then_some((colour, depth + 0.5))
    });
    let mut dice = Dice::new(seed ^ 0x7ACE);
    let copper = mixed(toned(mask, 1.35), GOLD, 0.12);
    for _ in 0..90 {
        let reach = board.outline.inset(30.0).half;
        let mut from = at(
            dice.between(-reach.x, reach.x),
            dice.between(-reach.y, reach.y),
        );
        let lanes = 1 + dice.below(4);
        for _ in 0..3 {
            let length = dice.between(-190.0, 190.0);
            let to = match dice.below(3) {
                0 => from.plus(length, 0.0),
                1 => from.plus(0.0, length * 0.7),
                _ => from.plus(length * 0.3, length.abs() * 0.3),
            };
            let to = at(to.x.clamp(-reach.x, reach.x), to.y.clamp(-reach.y, reach.y));
            if [from, to]
                .iter()
                .any(|end| board.notch.distance(*end) < 40.0)
            {
                break;
            }
            for lane in 0..lanes {
                let shift = lane as f32 * 8.0;
                canvas.line(
                    frame,
                    from.plus(shift, shift),
                    to.plus(shift, shift),
                    3.0,
                    copper,
                    0.55,
                );
            }
            from = to;
        }
        if board.notch.distance(from) > 40.0 {
            canvas.disc(frame, from, 5.0, toned(GOLD, 0.8));
            canvas.disc(frame, from, 2.2, [30.0, 28.0, 24.0]);
        }
    }
    let inner = board.outline.inset(34.0).half;
    for (x, y) in [(-1.0, 1.0), (1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)] {
        let hole = at(inner.x * x, inner.y * y);
        if board.notch.distance(hole) < 40.0 {
            continue;
        }
        canvas.disc(frame, hole, 24.0, GOLD);
        canvas.disc(frame, hole, 13.0, [40.0, 44.0, 48.0]);
    }
    write(
        canvas,
        frame,
        at(-inner.x + 40.0, inner.y - 12.0),
        16.0,
        (SILK, 0.8),
        &format!("MB-{:03} REV {}", seed % 900 + 100, seed % 5 + 1),
    );
}

fn scorch(canvas: &mut Canvas, middle: Point, seed: u64) {
    canvas.stain(middle, 190.0, 55.0, seed, ([62.0, 44.0, 26.0], 0.55));
    canvas.stain(
        middle.plus(14.0, 8.0),
        120.0,
        34.0,
        seed ^ 3,
        ([24.0, 17.0, 12.0], 0.95),
    );
    canvas.stain(
        middle.plus(8.0, 4.0),
        58.0,
        16.0,
        seed ^ 5,
        ([8.0, 7.0, 7.0], 1.0),
    );
    canvas.stain(
        middle.plus(30.0, -8.0),
        22.0,
        9.0,
        seed ^ 7,
        ([196.0, 190.0, 178.0], 0.6),
    );
    for (dx, dy) in [(-26.0, 4.0), (6.0, 28.0), (28.0, -22.0)] {
        canvas.line(
            &Frame::new(middle, 0.0),
            at(dx, dy),
            at(dx * 0.2, dy * 0.4),
            3.0,
            [2.0, 2.0, 2.0],
            0.9,
        );
    }
}

fn corrode(canvas: &mut Canvas, frame: &Frame, board: &Layout, middle: Point) {
    let mut dice = Dice::new(board.seed ^ 0xC0);
    canvas.stain(
        frame.out(middle),
        260.0,
        70.0,
        board.seed,
        ([150.0, 140.0, 100.0], 0.30),
    );
    for spot in 0..26 {
        let place =
            frame.out(middle.plus(dice.between(-210.0, 210.0), dice.between(-170.0, 170.0)));
        let colour = *dice.pick(&[
            [222.0, 226.0, 214.0],
            [96.0, 176.0, 142.0],
            [70.0, 150.0, 158.0],
            [168.0, 112.0, 58.0],
        ]);
        canvas.stain(
            place,
            dice.between(14.0, 42.0),
            9.0,
            board.seed ^ spot,
            (colour, 0.85),
        );
    }
}
