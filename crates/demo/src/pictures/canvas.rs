//! A sheet of pixels and the few ways to put colour on it.
//!
//! Every shape is a distance: negative inside, positive outside, in pixels. The last pixel at an edge is mixed by its distance,
//! which is what keeps edges smooth without drawing anything twice.

use std::ops::Range;

use super::noise;

/// Width of every picture in pixels.
pub(super) const WIDTH: usize = 1600;
/// Height of every picture in pixels.
pub(super) const HEIGHT: usize = 1200;

/// Pixels below which starting threads takes longer than they save; a guess, not measured.
const WORTH_THREADS: usize = 200_000;

/// A colour: red, green and blue from 0 to 255.
pub(super) type Colour = [f32; 3];

/// A place, in pixels from the upper left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Point {
    pub(super) x: f32,
    pub(super) y: f32,
}

/// Shorthand for a place.
pub(super) const fn at(x: f32, y: f32) -> Point {
    Point { x, y }
}

impl Point {
    pub(super) fn plus(self, x: f32, y: f32) -> Self {
        at(self.x + x, self.y + y)
    }

    pub(super) fn distance(self, other: Self) -> f32 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// A frame that is shifted and turned against the sheet: things are drawn upright in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    origin: Point,
    sin: f32,
    cos: f32,
}

impl Frame {
    /// A frame whose origin lies at `origin`, turned clockwise by `degrees`.
    pub(super) fn new(origin: Point, degrees: f32) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        Self { origin, sin, cos }
    }

    /// Where a place of the frame lies on the sheet.
    pub(super) fn out(&self, point: Point) -> Point {
        at(
            self.origin.x + point.x * self.cos - point.y * self.sin,
            self.origin.y + point.x * self.sin + point.y * self.cos,
        )
    }

    /// Where a place of the sheet lies in the frame.
    pub(super) fn inward(&self, point: Point) -> Point {
        let (x, y) = (point.x - self.origin.x, point.y - self.origin.y);
        at(x * self.cos + y * self.sin, y * self.cos - x * self.sin)
    }

    /// A frame inside this one.
    pub(super) fn inner(&self, origin: Point, degrees: f32) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        Self {
            origin: self.out(origin),
            sin: self.sin * cos + self.cos * sin,
            cos: self.cos * cos - self.sin * sin,
        }
    }
}

/// A box by its middle, half its size and the radius of its corners.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slab {
    pub(super) middle: Point,
    pub(super) half: Point,
    pub(super) round: f32,
}

/// Shorthand for a box.
pub(super) const fn slab(x: f32, y: f32, width: f32, height: f32, round: f32) -> Slab {
    Slab {
        middle: at(x, y),
        half: at(width / 2.0, height / 2.0),
        round,
    }
}

impl Slab {
    /// How far a place lies outside the box; negative inside.
    pub(super) fn distance(&self, point: Point) -> f32 {
        let x = (point.x - self.middle.x).abs() - self.half.x + self.round;
        let y = (point.y - self.middle.y).abs() - self.half.y + self.round;
        x.max(0.0).hypot(y.max(0.0)) + x.max(y).min(0.0) - self.round
    }

    /// The box with `by` pixels taken off each side.
    pub(super) fn inset(&self, by: f32) -> Self {
        Self {
            middle: self.middle,
            half: at(self.half.x - by, self.half.y - by),
            round: (self.round - by).max(0.0),
        }
    }
}

/// The sheet.
pub(super) struct Canvas {
    pixels: Vec<Colour>,
}

impl Canvas {
    /// A sheet of one colour.
    pub(super) fn new(colour: Colour) -> Self {
        Self {
            pixels: vec![colour; WIDTH * HEIGHT],
        }
    }

    /// Mixes a colour into every pixel whose cover is above zero. `shade` gives colour and cover for a place of the sheet;
    /// `reach` is how far around `middle` to look.
    pub(super) fn wash(
        &mut self,
        middle: Point,
        reach: f32,
        shade: impl Fn(Point) -> Option<(Colour, f32)> + Sync,
    ) {
        let range = |middle: f32, end: usize| {
            let from = (middle - reach).floor().clamp(0.0, end as f32) as usize;
            let to = (middle + reach + 1.0).ceil().clamp(0.0, end as f32) as usize;
            from..to
        };
        let columns = range(middle.x, WIDTH);
        self.rows(range(middle.y, HEIGHT), columns.len(), |y, row| {
            for x in columns.clone() {
                if let Some((colour, cover)) = shade(at(x as f32 + 0.5, y as f32 + 0.5)) {
                    let cover = cover.clamp(0.0, 1.0);
                    for (old, new) in row[x].iter_mut().zip(colour) {
                        *old += (new - *old) * cover;
                    }
                }
            }
        });
    }

    /// Hands each row of a range over, on several threads where that is worth it. `width` is how much of a row is worked on.
    fn rows(
        &mut self,
        rows: Range<usize>,
        width: usize,
        act: impl Fn(usize, &mut [Colour]) + Sync,
    ) {
        let first = rows.start;
        let part = &mut self.pixels[rows.start * WIDTH..rows.end * WIDTH];
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        if rows.len() * width < WORTH_THREADS || threads < 2 {
            part.chunks_mut(WIDTH)
                .enumerate()
                .for_each(|(index, row)| act(first + index, row));
            return;
        }
        let cover = rows.len().div_ceil(threads);
        std::thread::scope(|scope| {
            for (index, rows) in part.chunks_mut(cover * WIDTH).enumerate() {
                let act = &act;
                scope.spawn(move || {
                    let first = first + index * cover;
                    rows.chunks_mut(WIDTH)
                        .enumerate()
                        .for_each(|(index, row)| act(first + index, row));
                });
            }
        });
    }

    /// Fills a box, each place by its own colour; the place is given in the frame.
    pub(super) fn fill_with(
        &mut self,
        frame: &Frame,
        shape: Slab,
        colour: impl Fn(Point) -> Colour + Sync,
    ) {
        let reach = shape.half.x.hypot(shape.half.y) + 1.0;
        self.wash(frame.out(shape.middle), reach, |place| {
            let inside = frame.inward(place);
            let cover = 0.5 - shape.distance(inside);
            (cover > 0.0).then(|| (colour(inside), cover))
        });
    }

    /// Fills a box with one colour.
    pub(super) fn fill(&mut self, frame: &Frame, shape: Slab, colour: Colour) {
        self.fill_with(frame, shape, |_| colour);
    }

    /// Fills a box with one colour, partly see-through.
    pub(super) fn glaze(&mut self, frame: &Frame, shape: Slab, colour: Colour, cover: f32) {
        let reach = shape.half.x.hypot(shape.half.y) + 1.0;
        self.wash(frame.out(shape.middle), reach, |place| {
            let inside = 0.5 - shape.distance(frame.inward(place));
            (inside > 0.0).then(|| (colour, inside.min(1.0) * cover))
        });
    }

    /// A soft shadow of a box, fallen to the lower right.
    pub(super) fn shadow(&mut self, frame: &Frame, shape: Slab, depth: f32) {
        let reach = shape.half.x.hypot(shape.half.y) + depth * 3.0;
        self.wash(frame.out(shape.middle), reach, |place| {
            let inside = frame.inward(place.plus(-depth * 0.6, -depth));
            let distance = shape.distance(inside);
            let cover = 0.55 * (1.0 - (distance + depth) / (depth * 2.4));
            (cover > 0.0).then_some(([12.0, 12.0, 14.0], cover.min(0.55)))
        });
    }

    /// Fills a circle.
    pub(super) fn disc(&mut self, frame: &Frame, middle: Point, radius: f32, colour: Colour) {
        let shape = slab(middle.x, middle.y, radius * 2.0, radius * 2.0, radius);
        self.fill(frame, shape, colour);
    }

    /// Draws a line with round ends.
    pub(super) fn line(
        &mut self,
        frame: &Frame,
        from: Point,
        to: Point,
        width: f32,
        colour: Colour,
        cover: f32,
    ) {
        let (from, to) = (frame.out(from), frame.out(to));
        let middle = at(f32::midpoint(from.x, to.x), f32::midpoint(from.y, to.y));
        let reach = from.distance(to) / 2.0 + width + 1.0;
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let length2 = (dx * dx + dy * dy).max(1e-6);
        self.wash(middle, reach, |place| {
            let along =
                (((place.x - from.x) * dx + (place.y - from.y) * dy) / length2).clamp(0.0, 1.0);
            let distance = place.distance(from.plus(dx * along, dy * along));
            let inside = width / 2.0 - distance + 0.5;
            (inside > 0.0).then(|| (colour, inside.min(1.0) * cover))
        });
    }

    /// A soft irregular stain around a place; `grain` is the size of its tongues in pixels.
    pub(super) fn stain(
        &mut self,
        middle: Point,
        radius: f32,
        grain: f32,
        seed: u64,
        ink: (Colour, f32),
    ) {
        let sheet = slab(
            WIDTH as f32 / 2.0,
            HEIGHT as f32 / 2.0,
            2.0 * WIDTH as f32,
            2.0 * HEIGHT as f32,
            0.0,
        );
        self.stain_on(
            &(Frame::new(at(0.0, 0.0), 0.0), sheet),
            middle,
            (radius, grain),
            seed,
            ink,
        );
    }

    /// The same, but only on a box.
    pub(super) fn stain_on(
        &mut self,
        (frame, shape): &(Frame, Slab),
        place: Point,
        (radius, grain): (f32, f32),
        seed: u64,
        (colour, cover): (Colour, f32),
    ) {
        let middle = frame.out(place);
        self.wash(middle, radius * 1.6, |place| {
            let edge = (0.5 - shape.distance(frame.inward(place))).clamp(0.0, 1.0);
            let wobble = 0.65 + 0.7 * noise::soft(place.x / grain, place.y / grain, seed);
            let distance = place.distance(middle) / (radius * wobble);
            let inside = edge * cover * (1.0 - distance).max(0.0).powf(0.6);
            (inside > 0.0).then_some((colour, inside))
        });
    }

    /// Mixes a colour into a box by a cover that changes over it; the place is given in the frame.
    pub(super) fn glaze_with(
        &mut self,
        frame: &Frame,
        shape: Slab,
        colour: Colour,
        cover: impl Fn(Point) -> f32 + Sync,
    ) {
        let reach = shape.half.x.hypot(shape.half.y) + 1.0;
        self.wash(frame.out(shape.middle), reach, |place| {
            let inside = frame.inward(place);
            let edge = 0.5 - shape.distance(inside);
            (edge > 0.0).then(|| (colour, edge.min(1.0) * cover(inside)))
        });
    }

    /// Light from the upper left, a darker rim and the grain of a sensor, over everything.
    pub(super) fn expose(&mut self, seed: u64) {
        self.rows(0..HEIGHT, WIDTH, |y, row| {
            for (x, pixel) in row.iter_mut().enumerate() {
                let (u, v) = (
                    x as f32 / WIDTH as f32 - 0.5,
                    y as f32 / HEIGHT as f32 - 0.5,
                );
                let light = 1.04 - 0.16 * (u + v) - 0.42 * (u * u + v * v);
                let grain = (noise::hash(x as i32, y as i32, seed) - 0.5) * 7.0;
                for channel in pixel {
                    *channel = *channel * light + grain;
                }
            }
        });
    }

    /// The sheet as bytes, three a pixel, row by row.
    pub(super) fn into_bytes(self) -> Vec<u8> {
        self.pixels
            .into_iter()
            .flat_map(|colour| colour.map(|channel| channel.clamp(0.0, 255.0) as u8))
            .collect()
    }
}

/// A colour made lighter (above 1) or darker (below 1).
pub(super) fn toned(colour: Colour, by: f32) -> Colour {
    colour.map(|channel| (channel * by).clamp(0.0, 255.0))
}

/// A colour between two.
pub(super) fn mixed(a: Colour, b: Colour, cover: f32) -> Colour {
    [0, 1, 2].map(|channel| a[channel] + (b[channel] - a[channel]) * cover)
}
