//! The sheet for what must have a true size: a head, corner lines to cut along, and at the foot a line of 100 mm to measure.
//!
//! Nothing on it is ever scaled to the sheet.

use super::set::{BODY, SMALL, STRONG, ascent, draw_lines, leading};
use super::sheet::POINTS_PER_MM;
use crate::fonts::Family;
use crate::layout::canvas::{Canvas, INK, MUTED, Pen, RULE, Role};
use crate::layout::text::{Span, Style, single_line, wrap, wrap_within};
use crate::model::{MarkWording, RuleCited};

/// White at the sides: more than printers leave blank.
const MARGIN_SIDE: f32 = 14.0 * POINTS_PER_MM;
const HEAD_BASELINE: f32 = 14.0 * POINTS_PER_MM;
const AREA_TOP: f32 = 20.0 * POINTS_PER_MM;
/// From the foot of the sheet to the area that marks may fill.
const AREA_FOOT: f32 = 27.0 * POINTS_PER_MM;
/// From the foot of the sheet to the line to be measured.
const MEASURE_FOOT: f32 = 18.0 * POINTS_PER_MM;
const MEASURE_LENGTH: f32 = 100.0 * POINTS_PER_MM;

/// What stands on every such sheet.
pub(crate) struct TrueSheet<'a> {
    pub(crate) lab: &'a str,
    pub(crate) reference: &'a str,
    pub(crate) title: &'a str,
    pub(crate) words: &'a MarkWording,
}

/// What marks may fill.
#[derive(Clone, Copy)]
pub(crate) struct Area {
    pub(crate) left: f32,
    pub(crate) right: f32,
    pub(crate) top: f32,
    pub(crate) bottom: f32,
}

impl Area {
    /// The area on a sheet of this width and height.
    pub(crate) fn of((width, height): (f32, f32)) -> Self {
        Self {
            left: MARGIN_SIDE,
            right: width - MARGIN_SIDE,
            top: AREA_TOP,
            bottom: height - AREA_FOOT,
        }
    }

    pub(crate) fn width(&self) -> f32 {
        self.right - self.left
    }
}

impl TrueSheet<'_> {
    /// Adds a sheet with its head and foot.
    pub(crate) fn add_to(&self, canvas: &mut Canvas, page: (f32, f32)) -> usize {
        let index = canvas.add_page(page.0, page.1);
        let area = Area::of(page);
        let mut pen = canvas.on(index);
        self.head(&mut pen, area);
        self.foot(&mut pen, area, page.1 - MEASURE_FOOT);
        index
    }

    fn head(&self, pen: &mut Pen<'_>, area: Area) {
        let title = Style {
            size: 11.0,
            ..STRONG
        };
        let reference = Style {
            family: Family::MonoBold,
            ..title
        };
        let reference = single_line(&[Span::new(self.reference, reference)]);
        let spans = [
            Span::new(self.title, title),
            Span::new(format!("   {}", self.lab), SMALL),
        ];
        let width = area.width() - reference.width - 20.0;
        pen.tagged(Role::Title, "", |pen| {
            for line in wrap_within(&spans, width, 1) {
                pen.text(&line, area.left, HEAD_BASELINE);
            }
            pen.text_right(&reference, area.right, HEAD_BASELINE);
        });
        let y = HEAD_BASELINE + 6.0;
        pen.rule((area.left, y), (area.right, y), RULE, 0.6);
    }

    fn foot(&self, pen: &mut Pen<'_>, area: Area, y: f32) {
        let alternative = "a line of 100 mm";
        pen.tagged(Role::Figure, alternative, |pen| measure(pen, area.left, y));
        let left = area.left + MEASURE_LENGTH + 6.0 * POINTS_PER_MM;
        let spans = [
            Span::new(&self.words.at_full_size, STRONG),
            Span::new(format!(" {}", self.words.measure), BODY),
        ];
        let lines = wrap(&spans, area.right - left);
        pen.tagged(Role::Paragraph, "", |pen| {
            draw_lines(pen, &lines, left, y - ascent(BODY.size) + 2.0);
        });
        let edition = single_line(&[Span::new(&self.words.edition, STRONG)]);
        pen.tagged(Role::Paragraph, "", |pen| {
            pen.text(&edition, area.left, y + 2.0 * leading(BODY.size) + 2.0);
        });
    }
}

/// The line, with a stroke at each centimetre; the strokes at its ends are where it begins and ends.
fn measure(pen: &mut Pen<'_>, left: f32, y: f32) {
    let width = 0.7;
    pen.rule((left, y), (left + MEASURE_LENGTH, y), INK, width);
    for (index, centimetre) in [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0]
        .into_iter()
        .enumerate()
    {
        let length = if index % 5 == 0 { 7.0 } else { 3.5 };
        // The strokes at the ends lie inside the line, so that the ink is 100 mm long.
        let inward = match index {
            0 => width / 2.0,
            10 => -width / 2.0,
            _ => 0.0,
        };
        let x = left + centimetre * 10.0 * POINTS_PER_MM + inward;
        pen.rule((x, y - length), (x, y + width / 2.0), INK, width);
    }
    let label = |text: &str| single_line(&[Span::new(text, SMALL)]);
    pen.text(&label("0"), left, y + 9.0);
    pen.text_right(&label("100 mm"), left + MEASURE_LENGTH, y + 9.0);
}

/// Lines at the corners of what is to be cut out: a rectangle of this width and height.
pub(crate) fn cut_corners(pen: &mut Pen<'_>, (x, y): (f32, f32), (width, height): (f32, f32)) {
    let reach = 5.0 * POINTS_PER_MM;
    for (corner_x, into_x) in [(x, reach), (x + width, -reach)] {
        for (corner_y, into_y) in [(y, reach), (y + height, -reach)] {
            let points = [
                (corner_x + into_x, corner_y, false),
                (corner_x, corner_y, false),
                (corner_x, corner_y + into_y, false),
            ];
            pen.artifact(|pen| pen.path(&points, MUTED, 0.5));
        }
    }
}

/// The rules that a mark rests on, one paragraph each.
pub(crate) fn rests_on(words: &MarkWording, rules: &[RuleCited]) -> Vec<Span> {
    let mut spans = Vec::new();
    for rule in rules {
        let start = if spans.is_empty() {
            format!("{} ", words.rests_on)
        } else {
            "\n".to_owned()
        };
        spans.push(Span::new(start, SMALL));
        spans.push(Span::new(rule.cited(), SMALL));
    }
    spans
}
