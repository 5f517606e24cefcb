//! Bricks into columns and pages.
//!
//! A brick is the smallest thing that is never split: a line, a table row, a pair of pictures. It may ask to stay with
//! the next one (a heading does) and to have a head row repeated above it on a new page. What fits is worked out before
//! anything is drawn, and nothing is ever left out.

use std::rc::Rc;

use super::canvas::{Canvas, Pen, Role};

#[cfg(test)]
mod tests;

type Draw = dyn Fn(&mut Pen<'_>, f32, f32);

/// The smallest thing that is never split.
#[derive(Clone)]
pub(crate) struct Brick {
    /// Points, without the space before.
    pub(crate) height: f32,
    /// White above, left out at the top of a page.
    pub(crate) space_before: f32,
    /// Never the last on a page while another follows.
    pub(crate) keep_with_next: bool,
    /// Printed again above this brick when it is the first on a page.
    pub(crate) repeated_head: Option<Rc<Brick>>,
    role: Option<Role>,
    draw: Rc<Draw>,
}

impl Brick {
    /// A brick drawn by `draw(pen, left, top)`. Without a role it is decoration to a screen reader.
    pub(crate) fn new(height: f32, draw: impl Fn(&mut Pen<'_>, f32, f32) + 'static) -> Self {
        Self {
            height,
            space_before: 0.0,
            keep_with_next: false,
            repeated_head: None,
            role: None,
            draw: Rc::new(draw),
        }
    }

    pub(crate) fn role(mut self, role: Role) -> Self {
        self.role = Some(role);
        self
    }

    pub(crate) fn before(mut self, space: f32) -> Self {
        self.space_before = space;
        self
    }

    pub(crate) fn keep(mut self) -> Self {
        self.keep_with_next = true;
        self
    }

    pub(crate) fn under(mut self, head: &Rc<Brick>) -> Self {
        self.repeated_head = Some(Rc::clone(head));
        self
    }

    /// Adds to what the brick draws.
    pub(crate) fn also_draw(&mut self, draw: impl Fn(&mut Pen<'_>, f32, f32) + 'static) {
        let first = Rc::clone(&self.draw);
        self.draw = Rc::new(move |pen, left, top| {
            first(pen, left, top);
            draw(pen, left, top);
        });
    }

    fn draw_on(&self, pen: &mut Pen<'_>, left: f32, top: f32) {
        match self.role {
            Some(role) => pen.tagged(role, "", |pen| (self.draw)(pen, left, top)),
            None => (self.draw)(pen, left, top),
        }
    }

    fn draw_inside(&self, pen: &mut Pen<'_>, left: f32, top: f32) {
        (self.draw)(pen, left, top);
    }
}

/// The sheet and the part of it that text may fill.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frame {
    pub(crate) page_width: f32,
    pub(crate) page_height: f32,
    pub(crate) left: f32,
    pub(crate) right: f32,
    pub(crate) top: f32,
    pub(crate) bottom: f32,
}

impl Frame {
    pub(crate) fn width(&self) -> f32 {
        self.right - self.left
    }
}

/// A place in the run of pages.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(crate) struct Cursor {
    pub(crate) page: usize,
    pub(crate) y: f32,
}

/// Bricks in one column of one page.
struct Run {
    /// Where the repeated head of the first brick is drawn.
    head: Option<f32>,
    /// The top of each brick that fits.
    tops: Vec<f32>,
    /// Where the last of them ends.
    end: f32,
}

/// Places bricks down the pages and adds pages as they are needed.
pub(crate) struct Flow {
    pub(crate) canvas: Canvas,
    pub(crate) frame: Frame,
    pub(crate) cursor: Cursor,
    spacing: f32,
}

impl Flow {
    /// Begins a run of pages with the white between bricks multiplied by `spacing`; bricks keep their own height.
    pub(crate) fn spaced(frame: Frame, spacing: f32) -> Self {
        let mut canvas = Canvas::default();
        canvas.add_page(frame.page_width, frame.page_height);
        Self {
            canvas,
            frame,
            cursor: Cursor {
                page: 0,
                y: frame.top,
            },
            spacing,
        }
    }

    /// Places bricks over the whole width.
    pub(crate) fn column(&mut self, bricks: &[Brick]) {
        let (left, start) = (self.frame.left, self.cursor);
        self.cursor = self.place(bricks, left, start);
    }

    /// Places two columns side by side, each over as many pages as it needs; what follows begins below the longer.
    /// Returns where they began and where the longer one ended.
    pub(crate) fn facing(
        &mut self,
        left: (&[Brick], f32),
        right: (&[Brick], f32),
    ) -> (Cursor, Cursor) {
        let start = self.cursor;
        let left_end = self.place(left.0, left.1, start);
        let right_end = self.place(right.0, right.1, start);
        self.cursor = if left_end < right_end {
            right_end
        } else {
            left_end
        };
        (start, self.cursor)
    }

    /// Places two columns side by side as `facing` does, until the shorter one has ended. What is left of the longer goes on over
    /// both columns of the next page, and ends in two of about one height, so that no page is half empty.
    /// Returns where they began and where the last of them ended.
    pub(crate) fn spread(
        &mut self,
        left: (&[Brick], f32),
        right: (&[Brick], f32),
    ) -> (Cursor, Cursor) {
        let start = self.cursor;
        let last_page = self
            .end_of(left.0, start)
            .page
            .min(self.end_of(right.0, start).page);
        let (left_rest, left_end) = self.place_to(left.0, left.1, start, last_page);
        let (right_rest, right_end) = self.place_to(right.0, right.1, start, last_page);
        self.cursor = if left_end < right_end {
            right_end
        } else {
            left_end
        };
        let mut rest = if left_rest.is_empty() {
            right_rest
        } else {
            left_rest
        };
        while !rest.is_empty() {
            let top = self.next_page(Cursor {
                page: self.cursor.page,
                y: self.frame.top,
            });
            self.cursor = top;
            let bottom = self.even_bottom(rest);
            for x in [left.1, right.1] {
                let run = self.fit(rest, top.y, bottom, true);
                self.draw(rest, &run, x, top.page);
                rest = &rest[run.tops.len()..];
                self.cursor.y = self.cursor.y.max(run.end);
            }
        }
        (start, self.cursor)
    }

    /// The least height at which two columns hold all of `bricks`, as the place of their foot; the page's own foot where they
    /// don't end on it.
    fn even_bottom(&self, bricks: &[Brick]) -> f32 {
        /// Halvings of a page until the foot is known to less than a hundredth of a point.
        const HALVINGS: u32 = 17;
        let top = self.frame.top;
        let holds = |bottom: f32| {
            let first = self.fit(bricks, top, bottom, true).tops.len();
            let second = self.fit(&bricks[first..], top, bottom, true).tops.len();
            first + second == bricks.len()
        };
        let (mut too_high, mut enough) = (top, self.frame.bottom);
        if !holds(enough) {
            return enough;
        }
        for _ in 0..HALVINGS {
            let middle = f32::midpoint(too_high, enough);
            if holds(middle) {
                enough = middle;
            } else {
                too_high = middle;
            }
        }
        enough
    }

    /// The height that bricks take in a column of this flow.
    pub(crate) fn height_of(&self, bricks: &[Brick]) -> f32 {
        bricks
            .iter()
            .map(|brick| brick.height + brick.space_before * self.spacing)
            .sum()
    }

    /// Begins a new page unless `height` points are still free on this one.
    pub(crate) fn need(&mut self, height: f32) {
        if self.cursor.y + height > self.frame.bottom && self.cursor.y > self.frame.top {
            self.cursor = self.next_page(self.cursor);
        }
    }

    fn place(&mut self, bricks: &[Brick], left: f32, start: Cursor) -> Cursor {
        self.place_to(bricks, left, start, usize::MAX).1
    }

    /// Places bricks down to the foot of page `last`. Returns those that are left, and where the others end.
    fn place_to<'b>(
        &mut self,
        bricks: &'b [Brick],
        left: f32,
        start: Cursor,
        last: usize,
    ) -> (&'b [Brick], Cursor) {
        let (mut cursor, mut rest) = (start, bricks);
        loop {
            let run = self.fit(rest, cursor.y, self.frame.bottom, cursor.page > start.page);
            self.draw(rest, &run, left, cursor.page);
            rest = &rest[run.tops.len()..];
            cursor.y = run.end;
            if rest.is_empty() || cursor.page >= last {
                return (rest, cursor);
            }
            cursor = self.next_page(cursor);
        }
    }

    /// Where bricks would end, without placing them.
    fn end_of(&self, bricks: &[Brick], start: Cursor) -> Cursor {
        let (mut cursor, mut rest) = (start, bricks);
        loop {
            let run = self.fit(rest, cursor.y, self.frame.bottom, cursor.page > start.page);
            rest = &rest[run.tops.len()..];
            cursor.y = run.end;
            if rest.is_empty() {
                return cursor;
            }
            cursor = Cursor {
                page: cursor.page + 1,
                y: self.frame.top,
            };
        }
    }

    /// How many bricks stand in one column between `y` and `bottom`, and where. The first on a page always does, even one that
    /// is higher than a page. A column that goes on from elsewhere begins with the repeated head of its first brick.
    fn fit(&self, bricks: &[Brick], y: f32, bottom: f32, goes_on: bool) -> Run {
        let page_height = self.frame.bottom - self.frame.top;
        let at_top = y <= self.frame.top;
        let mut run = Run {
            head: None,
            tops: Vec::new(),
            end: y,
        };
        for (index, brick) in bricks.iter().enumerate() {
            if index == 0 && at_top {
                if let Some(head) = brick.repeated_head.as_ref().filter(|_| goes_on) {
                    run.head = Some(y);
                    run.end += head.height;
                }
            } else {
                let space = brick.space_before * self.spacing;
                let chain = chain_height(&bricks[index..], self.spacing);
                let needed = if chain <= page_height {
                    chain
                } else {
                    brick.height
                };
                if run.end + space + needed > bottom {
                    break;
                }
                run.end += space;
            }
            run.tops.push(run.end);
            run.end += brick.height;
        }
        run
    }

    /// Draws the bricks of a run at their places.
    fn draw(&mut self, bricks: &[Brick], run: &Run, left: f32, page: usize) {
        let mut pen = self.canvas.on(page);
        let head = bricks
            .first()
            .and_then(|brick| brick.repeated_head.as_ref());
        if let (Some(head), Some(y)) = (head, run.head) {
            pen.artifact(|pen| head.draw_inside(pen, left, y));
        }
        for (brick, top) in bricks.iter().zip(&run.tops) {
            brick.draw_on(&mut pen, left, *top);
        }
    }

    fn next_page(&mut self, cursor: Cursor) -> Cursor {
        let page = cursor.page + 1;
        while self.canvas.page_count() <= page {
            self.canvas
                .add_page(self.frame.page_width, self.frame.page_height);
        }
        Cursor {
            page,
            y: self.frame.top,
        }
    }
}

/// The height of the first brick and of all that it must stay with.
fn chain_height(bricks: &[Brick], spacing: f32) -> f32 {
    let mut height = 0.0;
    for (index, brick) in bricks.iter().enumerate() {
        height += brick.height;
        if index > 0 {
            height += brick.space_before * spacing;
        }
        if !brick.keep_with_next {
            break;
        }
    }
    height
}

/// Draws bricks one below the other, where a page break cannot come between.
pub(crate) fn draw_stack(pen: &mut Pen<'_>, bricks: &[Brick], left: f32, top: f32) {
    let mut y = top;
    for brick in bricks {
        y += brick.space_before;
        brick.draw_on(pen, left, y);
        y += brick.height;
    }
}

/// The height of bricks set one below the other.
pub(crate) fn stack_height(bricks: &[Brick]) -> f32 {
    bricks
        .iter()
        .map(|brick| brick.height + brick.space_before)
        .sum()
}
