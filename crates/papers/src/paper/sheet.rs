//! The sheet: its size and margins, the lab's head on the first page, running heads and page numbers on the others.

use std::rc::Rc;

use super::set::{self, BODY, SMALL, SMALL_MONO};
use crate::error::PaperError;
use crate::finish;
use crate::fonts::Family;
use crate::layout::canvas::{ACCENT, INK, MUTED, RULE, Role};
use crate::layout::flow::{Brick, Flow, Frame, draw_stack, stack_height};
use crate::layout::text::{Line, Span, Style, single_line, wrap};
use crate::model::{Lab, PageSetup, PageSize, PaperMeta};
use crate::picture::{Album, Placeable};

/// Points in a millimetre: an inch is 25.4 mm and 72 points.
pub(crate) const POINTS_PER_MM: f32 = 72.0 / 25.4;

const MARGIN_SIDE: f32 = 44.0;
const MARGIN_TOP: f32 = 40.0;
const MARGIN_BOTTOM: f32 = 47.0;
/// 14 mm.
const MARK_HEIGHT: f32 = 39.7;

/// Width and height of a sheet in points.
pub(crate) fn page_points(page_size: PageSize) -> (f32, f32) {
    match page_size {
        PageSize::A4 => (210.0 * POINTS_PER_MM, 297.0 * POINTS_PER_MM),
        PageSize::Letter => (8.5 * 72.0, 11.0 * 72.0),
    }
}

/// The frame that text may fill, above the foot of the lab's pages.
pub(crate) fn frame(setup: &PageSetup, lab: &Lab) -> Frame {
    let (page_width, page_height) = page_points(setup.page_size);
    let mut frame = Frame {
        page_width,
        page_height,
        left: MARGIN_SIDE,
        right: page_width - MARGIN_SIDE,
        top: MARGIN_TOP,
        bottom: page_height - MARGIN_BOTTOM,
    };
    frame.bottom -= set::lines_height(&foot_lines(lab, frame.width()));
    frame
}

/// The lab's own foot, below the page number. It moves the rest up, never itself nearer to the sheet's edge, where printers
/// leave a few millimetres blank.
fn foot_lines(lab: &Lab, width: f32) -> Vec<Line> {
    if lab.foot.is_empty() {
        return Vec::new();
    }
    wrap(&[Span::new(&lab.foot, SMALL)], width)
}

/// What a paper says of itself and its lab on every page.
pub(crate) struct Furniture<'a> {
    pub(crate) lab: &'a Lab,
    pub(crate) paper: &'a str,
    pub(crate) reference: &'a str,
    pub(crate) page: &'a str,
    pub(crate) of: &'a str,
}

impl Furniture<'_> {
    /// Begins a paper with its head, the white between bricks multiplied by `spacing`.
    pub(crate) fn begin(
        &self,
        setup: &PageSetup,
        spacing: f32,
    ) -> Result<(Flow, Album), PaperError> {
        let mut album = Album::default();
        let mut flow = Flow::spaced(frame(setup, self.lab), spacing);
        let width = flow.frame.width();
        flow.column(&head(self, width, &mut album)?);
        Ok((flow, album))
    }

    /// Ends a paper to which nothing is attached: what stands on every page, and the file's bytes.
    pub(crate) fn end(
        &self,
        mut flow: Flow,
        album: Album,
        meta: &PaperMeta,
    ) -> Result<Vec<u8>, PaperError> {
        furnish(&mut flow, self);
        finish::write(flow.canvas, album, meta, &[])
    }
}

/// Makes the bricks of the first page's head: the lab at the left, what the paper is and its reference at the right. The lab's
/// mark goes into the album.
pub(crate) fn head(
    head: &Furniture<'_>,
    width: f32,
    album: &mut Album,
) -> Result<Vec<Brick>, PaperError> {
    let name_style = Style {
        family: Family::TextBold,
        size: 12.0,
        colour: INK,
    };
    let reference_style = Style {
        family: Family::MonoBold,
        size: 17.0,
        colour: INK,
    };
    let paper_style = Style {
        family: Family::Text,
        size: 10.0,
        colour: ACCENT,
    };
    let mark = head
        .lab
        .mark
        .as_ref()
        .map(|mark| album.add(mark))
        .transpose()?;
    let reference = single_line(&[Span::new(head.reference, reference_style)]);
    let paper = single_line(&[Span::new(head.paper, paper_style)]);
    let mark_width = mark.as_ref().map_or(0.0, |mark| mark_size(mark).0 + 10.0);
    let text_width = width - mark_width - reference.width.max(paper.width) - 20.0;
    let names = wrap(&[Span::new(&head.lab.name, name_style)], text_width);
    let mut details = wrap(&[Span::new(head.lab.address.join(", "), SMALL)], text_width);
    details.extend(wrap(
        &[Span::new(head.lab.contact.join("  ·  "), SMALL)],
        text_width,
    ));
    let name_height = set::lines_height(&names);
    let text_height = name_height + set::lines_height(&details);
    let mark_height = mark.as_ref().map_or(0.0, |mark| mark_size(mark).1);
    let height = text_height.max(38.0).max(mark_height);
    // A low mark stands level with the middle of what is written beside it, and what is written with that of a tall one.
    let beside = text_height.max(mark_height);
    let mark_down = (beside - mark_height) / 2.0;
    let text_down = if mark.is_some() {
        (beside - text_height) / 2.0
    } else {
        0.0
    };
    let rule = Brick::new(9.0, move |pen, x, y| {
        pen.rule((x, y + 6.0), (x + width, y + 6.0), INK, 1.0);
    })
    .keep();
    let lab_alternative = format!("{} {}", head.lab.name, head.paper);
    let brick = Brick::new(height, move |pen, x, y| {
        if let Some(mark) = &mark {
            let (mark_width, mark_height) = mark_size(mark);
            pen.tagged(Role::Figure, &lab_alternative, |pen| {
                pen.picture(&mark.id, x, y + mark_down, mark_width, mark_height);
            });
        }
        pen.tagged(Role::Title, "", |pen| {
            pen.text_right(&paper, x + width, y + 10.0);
            pen.text_right(&reference, x + width, y + 30.0);
        });
        pen.tagged(Role::Paragraph, "", |pen| {
            let y = y + text_down;
            set::draw_lines(pen, &names, x + mark_width, y);
            set::draw_lines(pen, &details, x + mark_width, y + name_height);
        });
    });
    Ok(vec![brick.keep(), rule])
}

/// A mark fills a box of 42 by 14 mm in one direction.
fn mark_size(mark: &Placeable) -> (f32, f32) {
    let width = (MARK_HEIGHT * mark.aspect).min(MARK_HEIGHT * 3.0);
    (width, width / mark.aspect)
}

/// Draws running heads and page numbers, once the number of pages is known.
pub(crate) fn furnish(flow: &mut Flow, furniture: &Furniture<'_>) {
    let frame = flow.frame;
    let count = flow.canvas.page_count();
    let own = foot_lines(furniture.lab, frame.width());
    let foot_y = frame.page_height - 27.0 - set::lines_height(&own);
    let side_width = frame.width() / 2.0 - 60.0;
    let lab = first_line(&[Span::new(&furniture.lab.name, SMALL)], side_width);
    let reference = single_line(&[Span::new(furniture.reference, SMALL_MONO)]);
    let paper = first_line(&[Span::new(furniture.paper, SMALL)], side_width);
    for page in 0..count {
        let number = format!("{} {} {} {}", furniture.page, page + 1, furniture.of, count);
        let number = single_line(&[Span::new(
            number,
            Style {
                colour: MUTED,
                ..SMALL
            },
        )]);
        let mut pen = flow.canvas.on(page);
        pen.rule(
            (frame.left, foot_y - 10.5),
            (frame.right, foot_y - 10.5),
            RULE,
            0.6,
        );
        pen.text(&lab, frame.left, foot_y);
        pen.text_centred(&reference, f32::midpoint(frame.left, frame.right), foot_y);
        pen.text_right(&number, frame.right, foot_y);
        set::draw_lines(&mut pen, &own, frame.left, foot_y + 3.0);
        if page > 0 {
            pen.text(&paper, frame.left, 26.0);
            pen.text_right(&reference, frame.right, 26.0);
            pen.rule((frame.left, 31.5), (frame.right, 31.5), RULE, 0.6);
        }
    }
}

fn first_line(spans: &[Span], width: f32) -> Line {
    crate::layout::text::wrap_within(spans, width, 1)
        .into_iter()
        .next()
        .unwrap_or_default()
}

/// A name with its address under a small label.
pub(crate) fn address(label: &str, name: &str, lines: &[String], width: f32) -> Vec<Brick> {
    let name_style = Style {
        family: Family::TextBold,
        size: 10.5,
        colour: INK,
    };
    let mut bricks: Vec<Brick> = set::plain(label, SMALL, width)
        .into_iter()
        .map(Brick::keep)
        .collect();
    bricks.extend(
        set::plain(name, name_style, width)
            .into_iter()
            .map(Brick::keep),
    );
    for line in lines {
        bricks.extend(set::plain(line, BODY, width));
    }
    bricks
}

/// Two columns of terms are kept on one page up to this height.
const TERMS_HEIGHT_MAX: f32 = 300.0;

/// The lab's terms under their heading: two columns of about the same height, or one paragraph across the sheet.
pub(crate) fn terms(title: &str, paragraphs: &[String], width: f32) -> Vec<Brick> {
    // As wide as the gutter of a report, so that the right column stands under its right page.
    const GAP: f32 = 64.0;
    if paragraphs.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(title, width);
    if let [only] = paragraphs {
        bricks.extend(set::plain(only, BODY, width));
        return bricks;
    }
    let column = (width - GAP) / 2.0;
    let set_text = |text: &String| set::spaced(set::plain(text, BODY, column), 3.0);
    let all: Vec<Vec<Brick>> = paragraphs.iter().map(set_text).collect();
    let half = all.iter().map(|bricks| stack_height(bricks)).sum::<f32>() / 2.0;
    let mut columns = [Vec::new(), Vec::new()];
    for paragraph in all {
        let middle = stack_height(&columns[0]) + stack_height(&paragraph) / 2.0;
        let right = !columns[1].is_empty() || middle > half;
        columns[usize::from(right)].extend(paragraph);
    }
    let height = stack_height(&columns[0]).max(stack_height(&columns[1]));
    // What is higher than a good part of a page goes on from page to page.
    if height > TERMS_HEIGHT_MAX {
        for text in paragraphs {
            bricks.extend(set::spaced(set::plain(text, BODY, width), 2.0));
        }
        return bricks;
    }
    let [left, right] = columns;
    bricks.push(Brick::new(height, move |pen, x, y| {
        draw_stack(pen, &left, x, y);
        draw_stack(pen, &right, x + column + GAP, y);
    }));
    bricks
}

/// A column of a table.
pub(crate) struct Column {
    pub(crate) title: String,
    pub(crate) width: f32,
}

/// White between the columns of a table.
const GAP: f32 = 9.0;

/// A table whose head row is printed again on each page; a row is never split.
pub(crate) fn table(columns: &[Column], rows: &[Vec<Vec<Span>>], width: f32) -> Vec<Brick> {
    let head = Rc::new(row(columns, titles(columns), width, true));
    let mut bricks = vec![(*head).clone().keep()];
    for cells in rows {
        let cells = cells
            .iter()
            .zip(columns)
            .map(|(cell, column)| wrap(cell, column.width - GAP))
            .collect();
        bricks.push(row(columns, cells, width, false).under(&head));
    }
    bricks
}

/// Rows without a head; a row is never split.
pub(crate) fn rows(columns: &[Column], rows: &[Vec<Vec<Span>>], width: f32) -> Vec<Brick> {
    let set_row = |cells: &Vec<Vec<Span>>| {
        let cells = cells
            .iter()
            .zip(columns)
            .map(|(cell, column)| wrap(cell, column.width - GAP))
            .collect();
        row(columns, cells, width, false)
    };
    rows.iter().map(set_row).collect()
}

fn titles(columns: &[Column]) -> Vec<Vec<Line>> {
    columns
        .iter()
        .map(|column| wrap(&[Span::new(&column.title, SMALL)], column.width - GAP))
        .collect()
}

fn row(columns: &[Column], cells: Vec<Vec<Line>>, width: f32, head: bool) -> Brick {
    let padding = if head { 2.5 } else { 4.0 };
    let height = cells
        .iter()
        .map(|lines| set::lines_height(lines))
        .fold(0.0, f32::max)
        + 2.0 * padding;
    let widths: Vec<f32> = columns.iter().map(|column| column.width).collect();
    Brick::new(height, move |pen, x, y| {
        let mut left = x;
        for (lines, column_width) in cells.iter().zip(&widths) {
            let role = if head { Role::HeadCell } else { Role::Cell };
            pen.tagged(role, "", |pen| {
                set::draw_level(pen, lines, left, y + padding);
            });
            left += column_width;
        }
        let (colour, weight) = if head { (INK, 0.8) } else { (RULE, 0.6) };
        pen.rule((x, y + height), (x + width, y + height), colour, weight);
    })
    .role(Role::Row)
}

#[cfg(test)]
mod tests;
