//! The test page: two lines of a known length to measure, and small letters to read.
//!
//! Nothing on it is ever scaled to the sheet.

use super::set::{self, BODY, MONO, SMALL, STRONG};
use super::sheet::{POINTS_PER_MM, page_points};
use crate::error::PaperError;
use crate::finish;
use crate::layout::canvas::{Canvas, INK, Pen, Role};
use crate::layout::flow::{Brick, draw_stack, stack_height};
use crate::layout::text::{Span, Style, single_line};
use crate::model::{TestPage, TestStock};
use crate::picture::Album;

/// White at the sides: more than printers leave blank.
const MARGIN: f32 = 18.0 * POINTS_PER_MM;
const ROLL_WIDTH: f32 = 62.0 * POINTS_PER_MM;
/// More than label printers leave blank at the sides of a roll.
const ROLL_MARGIN: f32 = 5.0 * POINTS_PER_MM;
/// Letters and digits that a weak printer runs together.
const LETTERS: &str = "0O 8B 1lI 5S 2Z rn m";

/// Makes the test page.
pub(crate) fn make(test: &TestPage) -> Result<Vec<u8>, PaperError> {
    let mut canvas = Canvas::default();
    match &test.stock {
        TestStock::Sheet(setup) => sheet(&mut canvas, test, page_points(setup.page_size)),
        TestStock::Roll62 => roll(&mut canvas, test),
    }
    finish::write(canvas, Album::default(), &test.meta, &[])
}

fn sheet(canvas: &mut Canvas, test: &TestPage, page: (f32, f32)) {
    let index = canvas.add_page(page.0, page.1);
    let mut pen = canvas.on(index);
    let words = words(test, page.0 - 3.0 * MARGIN - 6.0);
    let left = 2.0 * MARGIN;
    draw_stack(&mut pen, &words, left, MARGIN);
    let top = MARGIN + stack_height(&words) + 40.0;
    across(&mut pen, left, top, 100);
    along(&mut pen, left, top + 40.0, 100);
}

fn roll(canvas: &mut Canvas, test: &TestPage) {
    let words = words(test, ROLL_WIDTH - 2.0 * ROLL_MARGIN);
    let top = ROLL_MARGIN + stack_height(&words) + 16.0;
    let height = top + 16.0 + 50.0 * POINTS_PER_MM + ROLL_MARGIN + 8.0;
    let index = canvas.add_page(ROLL_WIDTH, height);
    let mut pen = canvas.on(index);
    draw_stack(&mut pen, &words, ROLL_MARGIN, ROLL_MARGIN);
    across(&mut pen, ROLL_MARGIN + 4.0, top, 40);
    along(&mut pen, ROLL_MARGIN + 4.0, top + 20.0, 50);
}

fn words(test: &TestPage, width: f32) -> Vec<Brick> {
    let title = Style {
        size: 12.0,
        ..STRONG
    };
    let wording = &test.wording;
    let mut bricks = set::plain(&wording.paper, title, width);
    bricks.extend(set::plain(
        &format!("{}  ·  {}", test.printer, test.lab),
        SMALL,
        width,
    ));
    bricks.extend(set::spaced(
        set::plain(&wording.measure, STRONG, width),
        6.0,
    ));
    for text in [&wording.right, &wording.wrong] {
        bricks.extend(set::spaced(set::plain(text, BODY, width), 2.0));
    }
    let letters = [
        Span::new(format!("{} ", wording.read), BODY),
        Span::new(LETTERS, MONO),
    ];
    bricks.extend(set::spaced(set::paragraph(&letters, width, 0.0), 6.0));
    bricks
}

/// Half the width of a line: the strokes at its ends lie inside, so that the ink is as long as is written.
const HALF: f32 = 0.35;

/// How far from the start each centimetre's stroke stands, and how long it is.
fn strokes(length_mm: u16) -> impl Iterator<Item = (f32, f32)> {
    let length = f32::from(length_mm) * POINTS_PER_MM;
    (0..=length_mm / 10).map(move |centimetre| {
        let at = f32::from(centimetre) * 10.0 * POINTS_PER_MM;
        let long = if centimetre % 5 == 0 { 8.0 } else { 4.0 };
        (at.clamp(HALF, length - HALF), long)
    })
}

fn across(pen: &mut Pen<'_>, left: f32, y: f32, length_mm: u16) {
    let length = f32::from(length_mm) * POINTS_PER_MM;
    let words = format!("{length_mm} mm");
    let label = single_line(&[Span::new(&words, SMALL)]);
    pen.tagged(Role::Figure, &format!("a line of {words} across"), |pen| {
        pen.rule((left, y), (left + length, y), INK, 2.0 * HALF);
        for (at, long) in strokes(length_mm) {
            pen.rule(
                (left + at, y - long),
                (left + at, y + HALF),
                INK,
                2.0 * HALF,
            );
        }
        pen.text_right(&label, left + length, y + 10.0);
    });
}

fn along(pen: &mut Pen<'_>, x: f32, top: f32, length_mm: u16) {
    let length = f32::from(length_mm) * POINTS_PER_MM;
    let words = format!("{length_mm} mm");
    let label = single_line(&[Span::new(&words, SMALL)]);
    pen.tagged(Role::Figure, &format!("a line of {words} along"), |pen| {
        pen.rule((x, top), (x, top + length), INK, 2.0 * HALF);
        for (at, long) in strokes(length_mm) {
            pen.rule((x - HALF, top + at), (x + long, top + at), INK, 2.0 * HALF);
        }
        pen.text(&label, x + 12.0, top + length);
    });
}
