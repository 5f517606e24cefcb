//! Battery marks to cut out, with what to mind beside them and nothing inside them.

use super::set::{self, BODY, STRONG};
use super::sheet::{POINTS_PER_MM, page_points};
use super::true_size::{Area, TrueSheet, cut_corners, rests_on};
use crate::error::PaperError;
use crate::finish;
use crate::fonts::Family;
use crate::layout::canvas::{Canvas, Role};
use crate::layout::flow::{Brick, draw_stack, stack_height};
use crate::layout::text::{Span, Style};
use crate::marks::battery;
use crate::model::{BatteryMark, BatteryMarks, MarkSize, MarkWording, PageSetup};
use crate::picture::Album;

/// White between the mark and the cut, so that no cut takes something of the mark.
const CUT_MARGIN: f32 = 4.0 * POINTS_PER_MM;
const GAP: f32 = 3.0 * POINTS_PER_MM;

/// Makes the sheets of marks.
pub(crate) fn make(marks: &BatteryMarks, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    let sheet = TrueSheet {
        lab: &marks.lab,
        reference: &marks.reference,
        title: &marks.wording.marks,
        words: &marks.wording,
    };
    let size = page_points(setup.page_size);
    let area = Area::of(size);
    let mut canvas = Canvas::default();
    let mut at: Option<(usize, f32)> = None;
    for mark in single(&marks.marks)? {
        let (width, height) = points(mark.size);
        let (cut_width, cut_height) = (width + 2.0 * CUT_MARGIN, height + 2.0 * CUT_MARGIN);
        let left = area.left + cut_width + 7.0 * POINTS_PER_MM;
        let several = marks
            .marks
            .iter()
            .any(|mark| mark.un_numbers.len() > battery::NUMBERS_MAX);
        let beside = beside(&mark, &marks.wording, several, area.right - left);
        let slot = cut_height.max(stack_height(&beside));
        let (page, top) = match at {
            Some((page, top)) if top + slot <= area.bottom => (page, top),
            _ => (sheet.add_to(&mut canvas, size), area.top),
        };
        let mut pen = canvas.on(page);
        cut_corners(&mut pen, (area.left, top), (cut_width, cut_height));
        pen.tagged(Role::Figure, &alternative(&mark), |pen| {
            battery::draw(pen, &mark, area.left + CUT_MARGIN, top + CUT_MARGIN);
        });
        draw_stack(&mut pen, &beside, left, top);
        at = Some((page, top + slot + GAP));
    }
    finish::write(canvas, Album::default(), &marks.meta, &[])
}

/// Checks the marks and gives those with many numbers as several.
fn single(marks: &[BatteryMark]) -> Result<Vec<BatteryMark>, PaperError> {
    let mut single = Vec::new();
    for mark in marks {
        if let Some(&number) = mark
            .un_numbers
            .iter()
            .find(|number| !(1..=9999).contains(*number))
        {
            return Err(PaperError::UnNumber { number });
        }
        if mark.un_numbers.is_empty() {
            return Err(PaperError::NoUnNumber);
        }
        if !battery::has_room_for(&mark.telephone) {
            let telephone = mark.telephone.clone();
            return Err(PaperError::Telephone { telephone });
        }
        for numbers in mark.un_numbers.chunks(battery::NUMBERS_MAX) {
            single.push(BatteryMark {
                un_numbers: numbers.to_vec(),
                ..mark.clone()
            });
        }
    }
    if single.is_empty() {
        return Err(PaperError::NoMark);
    }
    Ok(single)
}

fn points(size: MarkSize) -> (f32, f32) {
    let (width, height) = battery::size_mm(size);
    (width * POINTS_PER_MM, height * POINTS_PER_MM)
}

fn numbers(mark: &BatteryMark) -> String {
    let numbers = mark
        .un_numbers
        .iter()
        .map(|number| format!("UN {number:04}"));
    numbers.collect::<Vec<_>>().join(", ")
}

fn alternative(mark: &BatteryMark) -> String {
    format!(
        "Battery mark with a red hatched edge: a group of batteries, one of them damaged and burning, above {}",
        numbers(mark)
    )
}

/// What to mind, beside the mark.
fn beside(mark: &BatteryMark, words: &MarkWording, several: bool, width: f32) -> Vec<Brick> {
    let title = Style {
        family: Family::TextBold,
        size: 14.0,
        ..STRONG
    };
    let size = match mark.size {
        MarkSize::Full => &words.full_size,
        MarkSize::Small => &words.small_size,
    };
    let mut bricks = set::plain(&numbers(mark), title, width)
        .into_iter()
        .map(|brick| brick.role(Role::Heading))
        .collect::<Vec<_>>();
    bricks.extend(set::plain(size, STRONG, width));
    if !mark.placement.is_empty() {
        bricks.extend(set::spaced(set::plain(&mark.placement, BODY, width), 5.0));
    }
    let mut mind = vec![&words.cut, &words.stick, &words.in_colour];
    if several {
        mind.push(&words.several);
    }
    mind.push(&words.other_label);
    for text in mind {
        bricks.extend(set::spaced(
            set::bullet(&[Span::new(text, BODY)], width),
            2.0,
        ));
    }
    bricks.extend(set::spaced(
        set::paragraph(&rests_on(words, &mark.rules), width, 0.0),
        6.0,
    ));
    bricks
}
