//! The battery mark: a hatched red edge, a group of batteries of which one is damaged and burns, and the UN number.
//!
//! Drawn anew from the published measures and words: 49 CFR 173.185(c)(3)(i)(A) as read in the text of December 2022, ADR 2025,
//! 5.2.1.9.2: at least 100 mm wide and 100 mm high, or 70 mm high where the package is too small; hatching at least 5 mm and
//! red; the symbol black on white, above the UN number. UN numbers of at least 12 mm: a training text on the IATA rules of
//! 2023. Nothing else may stand inside (PHMSA letter 19-0083). No measure here is ever made smaller to fit a sheet.

use crate::fonts::Family;
use crate::layout::canvas::{BLACK, Paint, Pen, RED, Ring, WHITE, rounded_ring};
use crate::layout::lettering::size_for;
use crate::layout::text::{Span, Style, single_line};
use crate::model::{BatteryMark, MarkSize};

const POINTS_PER_MM: f32 = 72.0 / 25.4;
/// Millimetres of the mark's width.
const WIDTH: f32 = 100.0;
/// Half a millimetre more than must be.
const HATCHING: f32 = 5.5;
/// From the middle of one stripe to the next, along the edge.
const STRIPES: f32 = 8.0;
/// Letters and digits of the UN number, and what is drawn at that height.
const UN_HEIGHT: f32 = 12.0;
/// Digits of a telephone number, where an old mark still has one.
const TELEPHONE_HEIGHT: f32 = 4.0;
/// The symbol is drawn on a field of this many units.
const SYMBOL: (f32, f32) = (76.2, 57.0);

/// How many UN numbers have room on one mark; for more, there are several marks, as the rule allows.
pub(crate) const NUMBERS_MAX: usize = 2;

/// Width and height in millimetres.
pub(crate) fn size_mm(size: MarkSize) -> (f32, f32) {
    match size {
        MarkSize::Full => (WIDTH, 100.0),
        MarkSize::Small => (WIDTH, 70.0),
    }
}

/// Whether a telephone number has room inside the hatching.
pub(crate) fn has_room_for(telephone: &str) -> bool {
    let Some(size) = size_for(
        telephone,
        Family::TextBold,
        TELEPHONE_HEIGHT * POINTS_PER_MM,
    ) else {
        return telephone.is_empty();
    };
    let style = Style {
        family: Family::TextBold,
        size,
        colour: BLACK,
    };
    let width = single_line(&[Span::new(telephone, style)]).width;
    width <= (WIDTH - 2.0 * HATCHING - 6.0) * POINTS_PER_MM
}

/// A place in the mark, in millimetres from its top left corner, to points of the page.
#[derive(Clone, Copy)]
struct Place {
    left: f32,
    top: f32,
}

impl Place {
    fn of(self, point: (f32, f32)) -> (f32, f32) {
        (
            self.left + point.0 * POINTS_PER_MM,
            self.top + point.1 * POINTS_PER_MM,
        )
    }

    fn ring(self, points: &[(f32, f32)]) -> Ring {
        let points = points.iter().map(|point| self.of(*point));
        points.map(|(x, y)| (x, y, false)).collect()
    }
}

/// Draws the mark with its top left corner at `x`, `y` points.
pub(crate) fn draw(pen: &mut Pen<'_>, mark: &BatteryMark, x: f32, y: f32) {
    let place = Place { left: x, top: y };
    let (width, height) = size_mm(mark.size);
    hatching(pen, place, (width, height));
    let below = numbers(pen, mark, place, (width, height));
    let gap = match mark.size {
        MarkSize::Full => 6.5,
        MarkSize::Small => 3.5,
    };
    let top = HATCHING + gap;
    symbol(pen, place, (width / 2.0, top), below - gap * 0.9 - top);
}

/// The stripes are painted over the whole mark and its inside over them in white, so that no seam shows at the corners.
fn hatching(pen: &mut Pen<'_>, place: Place, (width, height): (f32, f32)) {
    let outer = [(0.0, 0.0), (width, height)];
    pen.shape(&[place.ring(&corners(outer))], Paint::Fill(WHITE));
    let mut stripes = Vec::new();
    let mut from = -STRIPES / 4.0;
    while from < width + height {
        let stripe = stripe(&corners(outer), from, from + STRIPES / 2.0);
        if stripe.len() > 2 {
            stripes.push(place.ring(&stripe));
        }
        from += STRIPES;
    }
    pen.shape(&stripes, Paint::Fill(RED));
    let inner = [(HATCHING, HATCHING), (width - HATCHING, height - HATCHING)];
    pen.shape(&[place.ring(&corners(inner))], Paint::Fill(WHITE));
}

fn corners([(left, top), (right, bottom)]: [(f32, f32); 2]) -> [(f32, f32); 4] {
    [(left, top), (right, top), (right, bottom), (left, bottom)]
}

/// The part of a shape between two slanting lines: all points whose x and y add up to more than `from` and less than `to`.
fn stripe(shape: &[(f32, f32)], from: f32, to: f32) -> Vec<(f32, f32)> {
    let above = clip(shape, |(x, y)| x + y - from);
    clip(&above, |(x, y)| to - x - y)
}

/// The part of a convex shape where `inside` is not negative.
fn clip(polygon: &[(f32, f32)], inside: impl Fn((f32, f32)) -> f32) -> Vec<(f32, f32)> {
    let mut kept = Vec::new();
    for (index, &point) in polygon.iter().enumerate() {
        let next = polygon[(index + 1) % polygon.len()];
        let (here, there) = (inside(point), inside(next));
        if here >= 0.0 {
            kept.push(point);
        }
        if (here < 0.0) != (there < 0.0) {
            let share = here / (here - there);
            kept.push((
                point.0 + (next.0 - point.0) * share,
                point.1 + (next.1 - point.1) * share,
            ));
        }
    }
    kept
}

/// Draws the numbers at the foot and returns where, in millimetres, they begin.
fn numbers(
    pen: &mut Pen<'_>,
    mark: &BatteryMark,
    place: Place,
    (width, height): (f32, f32),
) -> f32 {
    let (foot, gap) = match mark.size {
        MarkSize::Full => (7.0, 5.0),
        MarkSize::Small => (4.5, 3.5),
    };
    let mut bottom = height - HATCHING - foot;
    if !mark.telephone.is_empty() {
        line(
            pen,
            &mark.telephone,
            TELEPHONE_HEIGHT,
            place,
            (width, bottom),
        );
        bottom -= TELEPHONE_HEIGHT + gap * 0.8;
    }
    for number in mark.un_numbers.iter().rev() {
        line(
            pen,
            &format!("UN {number:04}"),
            UN_HEIGHT,
            place,
            (width, bottom),
        );
        bottom -= UN_HEIGHT + gap;
    }
    bottom + gap
}

/// Draws a line of a true letter height on a baseline, around the middle of the mark.
fn line(pen: &mut Pen<'_>, text: &str, height: f32, place: Place, (width, baseline): (f32, f32)) {
    let family = Family::TextBold;
    let Some(size) = size_for(text, family, height * POINTS_PER_MM) else {
        return;
    };
    let style = Style {
        family,
        size,
        colour: BLACK,
    };
    let (x, y) = place.of((width / 2.0, baseline));
    pen.text_centred(&single_line(&[Span::new(text, style)]), x, y);
}

/// Three whole cells and one that is broken and burns, `height` millimetres high, around `middle`.
fn symbol(pen: &mut Pen<'_>, place: Place, (middle, top): (f32, f32), height: f32) {
    let scale = height / SYMBOL.1;
    let left = middle - SYMBOL.0 * scale / 2.0;
    let at = |(x, y): (f32, f32)| place.of((left + x * scale, top + y * scale));
    let curve = |points: &[(f32, f32, bool)]| -> Ring {
        let placed = points.iter().map(|&(x, y, control)| (at((x, y)), control));
        placed.map(|((x, y), control)| (x, y, control)).collect()
    };
    let unit = scale * POINTS_PER_MM;
    let rounded = |x: f32, y: f32, width: f32, height: f32, radius: f32| {
        let (x, y) = at((x, y));
        rounded_ring(x, y, width * unit, height * unit, radius * unit)
    };
    let mut black = Vec::new();
    let mut white = Vec::new();
    for cell in [0.0, 14.5, 29.0] {
        black.push(rounded(cell + 3.6, 10.0, 4.8, 5.0, 1.0));
        black.push(rounded(cell, 13.0, 12.0, 44.0, 1.8));
        // A little wider than the cell, so that no black line is left at its edges.
        white.push(rounded(cell - 0.4, 19.0, 12.8, 1.5, 0.0));
    }
    black.push(curve(&STUMP));
    black.push(curve(&SPLINTER));
    black.push(curve(&FLAME));
    white.push(curve(&HEART));
    pen.shape(&black, Paint::Fill(BLACK));
    pen.shape(&white, Paint::Fill(WHITE));
}

/// What still stands of the broken cell: round corners below, a jagged break above.
const STUMP: [(f32, f32, bool); 16] = [
    (47.0, 39.6, false),
    (49.6, 42.6, false),
    (51.0, 40.4, false),
    (53.4, 45.8, false),
    (55.2, 43.8, false),
    (57.0, 48.4, false),
    (59.0, 47.0, false),
    (59.0, 55.2, false),
    (59.0, 56.2, true),
    (58.2, 57.0, true),
    (57.2, 57.0, false),
    (48.8, 57.0, false),
    (47.8, 57.0, true),
    (47.0, 56.2, true),
    (47.0, 55.2, false),
    (47.0, 39.6, false),
];

/// The end that broke off, thrown to the right, its terminal foremost.
const SPLINTER: [(f32, f32, bool); 14] = [
    (68.5, 41.2, false),
    (70.8, 43.1, false),
    (72.4, 41.2, false),
    (75.5, 43.8, false),
    (73.9, 45.7, false),
    (76.2, 47.6, false),
    (70.4, 54.5, false),
    (70.1, 51.0, false),
    (67.6, 51.6, false),
    (66.0, 54.2, false),
    (65.7, 49.2, false),
    (63.4, 51.4, false),
    (60.8, 50.4, false),
    (68.5, 41.2, false),
];

const FLAME: [(f32, f32, bool); 19] = [
    (53.0, 37.0, false),
    (45.6, 37.0, true),
    (41.8, 30.8, true),
    (43.6, 24.0, false),
    (44.8, 19.4, true),
    (48.2, 16.6, true),
    (47.6, 10.6, false),
    (50.2, 12.8, true),
    (51.2, 15.8, true),
    (51.0, 19.0, false),
    (54.8, 14.4, true),
    (55.6, 6.8, true),
    (52.4, 0.0, false),
    (60.6, 4.6, true),
    (65.6, 13.8, true),
    (64.6, 23.4, false),
    (63.8, 31.6, true),
    (59.8, 37.0, true),
    (53.0, 37.0, false),
];

/// The bright heart of the flame.
const HEART: [(f32, f32, bool); 13] = [
    (53.6, 34.4, false),
    (50.0, 34.4, true),
    (48.2, 31.2, true),
    (49.4, 27.8, false),
    (50.4, 25.0, true),
    (53.2, 23.4, true),
    (53.8, 18.8, false),
    (57.4, 22.0, true),
    (59.4, 25.8, true),
    (58.8, 29.6, false),
    (58.2, 32.6, true),
    (56.4, 34.4, true),
    (53.6, 34.4, false),
];
