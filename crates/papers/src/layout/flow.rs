//! Bricks into columns and pages.
//!
//! A brick is the smallest thing that is never split: a line, a table row, a pair of pictures. It may ask to stay with
//! the next one (a heading does) and to have a head row repeated above it on a new page.

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

/// Places bricks down the pages and adds pages as they are needed.
pub(crate) struct Flow {
    pub(crate) canvas: Canvas,
    pub(crate) frame: Frame,
    pub(crate) cursor: Cursor,
    spacing: f32,
}

impl Flow {
    /// Begins a run of pages.
    pub(crate) fn new(frame: Frame) -> Self {
        Self::spaced(frame, 1.0)
    }

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
        let mut cursor = start;
        for (index, brick) in bricks.iter().enumerate() {
            let at_top = cursor.y <= self.frame.top;
            let space = if at_top {
                0.0
            } else {
                brick.space_before * self.spacing
            };
            let chain = chain_height(&bricks[index..], self.spacing);
            let chain_fits_a_page = chain <= self.frame.bottom - self.frame.top;
            let needed = if chain_fits_a_page {
                chain
            } else {
                brick.height
            };
            if !at_top && cursor.y + space + needed > self.frame.bottom {
                cursor = self.next_page(cursor);
                if let Some(head) = &brick.repeated_head {
                    let mut pen = self.canvas.on(cursor.page);
                    pen.artifact(|pen| head.draw_inside(pen, left, cursor.y));
                    cursor.y += head.height;
                }
            } else {
                cursor.y += space;
            }
            brick.draw_on(&mut self.canvas.on(cursor.page), left, cursor.y);
            cursor.y += brick.height;
        }
        cursor
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
