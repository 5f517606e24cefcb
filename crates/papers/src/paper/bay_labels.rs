//! The label at a cell or device in isolation: what level, since when, where, and a table of readings to fill by pen.
//!
//! On a roll it is as long as it needs; on a sheet the word can be read from a few steps away. It never tells anybody to move
//! or to cover a cell that reacts.

use super::set;
use super::sheet::{POINTS_PER_MM, page_points};
use crate::error::PaperError;
use crate::finish;
use crate::fonts::Family;
use crate::layout::canvas::{Canvas, INK, MUTED, Paint, Pen, Role, WHITE};
use crate::layout::flow::{Brick, draw_stack, stack_height};
use crate::layout::lettering::size_for;
use crate::layout::text::{Line, Span, Style, single_line, width_of, wrap};
use crate::marks::level;
use crate::model::{BayLabel, BayLabels, BayStock, BayWording, CellLevel, PageSetup, ReadingDue};
use crate::picture::Album;
use crate::qr::Code;

/// Sizes of one stock, in points.
#[derive(Clone, Copy)]
struct Scale {
    width: f32,
    margin: f32,
    /// Height of the letters of the level's word.
    word: f32,
    reference: f32,
    text: f32,
    small: f32,
    code: f32,
    /// Height of a row to write in by hand.
    row: f32,
    /// Shares of the columns: due, cell, room, volts, seen, by.
    columns: [f32; 6],
}

const ROLL: Scale = Scale {
    width: 62.0 * POINTS_PER_MM,
    margin: 10.0,
    word: 7.0 * POINTS_PER_MM,
    reference: 19.0,
    text: 8.6,
    small: 7.5,
    code: 50.0,
    row: 7.0 * POINTS_PER_MM,
    columns: [0.24, 0.16, 0.17, 0.15, 0.0, 0.28],
};

const fn page_scale(width: f32) -> Scale {
    Scale {
        width,
        margin: 14.0 * POINTS_PER_MM,
        word: 22.0 * POINTS_PER_MM,
        reference: 34.0,
        text: 13.0,
        small: 9.0,
        code: 108.0,
        row: 9.5 * POINTS_PER_MM,
        columns: [0.22, 0.11, 0.11, 0.11, 0.31, 0.14],
    }
}

/// Makes the labels, a page each.
pub(crate) fn make(labels: &BayLabels, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    if labels.labels.is_empty() {
        return Err(PaperError::NoMark);
    }
    let mut canvas = Canvas::default();
    let words = &labels.wording;
    for label in &labels.labels {
        match labels.stock {
            BayStock::Roll62 => {
                let bricks = bricks(label, words, ROLL, label.blank_rows)?;
                let height = stack_height(&bricks) + 2.0 * ROLL.margin;
                let page = canvas.add_page(ROLL.width, height);
                draw_stack(&mut canvas.on(page), &bricks, ROLL.margin, ROLL.margin);
            }
            BayStock::Sheet => {
                let (width, height) = page_points(setup.page_size);
                sheets(&mut canvas, label, words, page_scale(width), height)?;
            }
        }
    }
    finish::write(canvas, Album::default(), &labels.meta, &[])
}

/// A label on whole sheets. The table fills the first sheet with empty rows; what still does not fit goes on to the next.
fn sheets(
    canvas: &mut Canvas,
    label: &BayLabel,
    words: &BayWording,
    scale: Scale,
    height: f32,
) -> Result<(), PaperError> {
    let needed = stack_height(&bricks(label, words, scale, 0)?);
    let free = (height - 2.0 * scale.margin - needed) / scale.row;
    let rows = if label.blank_rows == 0 {
        0
    } else {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 2 and 30"
        )]
        let fitting = free.clamp(2.0, 30.0) as u32;
        fitting
    };
    let bricks = bricks(label, words, scale, rows)?;
    let mut page = canvas.add_page(scale.width, height);
    let mut y = scale.margin;
    for brick in &bricks {
        if y + brick.space_before + brick.height > height - scale.margin && y > scale.margin {
            page = canvas.add_page(scale.width, height);
            y = scale.margin;
        }
        draw_stack(
            &mut canvas.on(page),
            std::slice::from_ref(brick),
            scale.margin,
            y,
        );
        y += brick.space_before + brick.height;
    }
    Ok(())
}

fn bricks(
    label: &BayLabel,
    words: &BayWording,
    scale: Scale,
    blank_rows: u32,
) -> Result<Vec<Brick>, PaperError> {
    let width = scale.width - 2.0 * scale.margin;
    let text = Style {
        family: Family::Text,
        size: scale.text,
        colour: INK,
    };
    let strong = Style {
        family: Family::TextBold,
        ..text
    };
    let small = Style {
        size: scale.small,
        ..text
    };
    let gap = scale.text * 0.7;
    let mut bricks = vec![level_band(label, scale, width)];
    bricks.push(identity(label, words, scale, width)?.before(gap));
    let mut sentences = |sentence: &str, style: Style, space: f32| {
        bricks.extend(set::spaced(set::plain(sentence, style, width), space));
    };
    if !label.reasons.is_empty() {
        sentences(
            &words.why,
            Style {
                colour: MUTED,
                ..small
            },
            gap,
        );
        for reason in &label.reasons {
            sentences(reason, text, 0.0);
        }
    }
    sentences(&label.forbidden, strong, gap);
    bricks.push(emergency(label, scale, width).before(gap));
    if !label.due.is_empty() || label.blank_rows > 0 {
        bricks.extend(readings(label, words, scale, width, blank_rows));
    }
    for caution in &label.cautions {
        let bold = Style {
            family: Family::TextBold,
            ..small
        };
        let muted = Style {
            colour: MUTED,
            ..small
        };
        let mut spans = Vec::new();
        if !caution.title.is_empty() {
            spans.push(Span::new(format!("{}. ", caution.title), bold));
        }
        spans.push(Span::new(format!("{} ", caution.text), small));
        spans.push(Span::new(&caution.source, muted));
        bricks.extend(set::spaced(set::paragraph(&spans, width, 0.0), gap * 0.7));
    }
    let edition = set::plain(
        &words.edition,
        Style {
            family: Family::TextBold,
            ..small
        },
        width,
    );
    bricks.extend(set::spaced(edition, gap * 0.7));
    Ok(bricks)
}

fn is_dark(level: CellLevel) -> bool {
    matches!(level, CellLevel::Isolate | CellLevel::Emergency)
}

/// The level: its shape and its word, as large as the width allows.
fn level_band(label: &BayLabel, scale: Scale, width: f32) -> Brick {
    let dark = is_dark(label.level);
    let (ink, ground) = if dark { (WHITE, INK) } else { (INK, WHITE) };
    let family = Family::TextBold;
    let capitals = label.level_word.to_uppercase();
    let full = size_for(&capitals, family, scale.word).unwrap_or(scale.word);
    let one = Style {
        family,
        size: 1.0,
        colour: ink,
    };
    let padding = scale.word * 0.42;
    let shape = scale.word;
    let room = width - shape - 3.0 * padding;
    let size = full.min(room / width_of(&capitals, one).max(1.0));
    let letters = scale.word * size / full;
    let word = single_line(&[Span::new(capitals, Style { size, ..one })]);
    let height = scale.word + 2.0 * padding;
    let level = label.level;
    Brick::new(height, move |pen, x, y| {
        let paint = if dark {
            Paint::Fill(INK)
        } else {
            Paint::Stroke(INK, 1.6)
        };
        pen.rectangle(x, y, width, height, paint);
        level::draw(pen, level, x + padding, y + padding, shape, ink, ground);
        let baseline = y + f32::midpoint(height, letters);
        pen.text(&word, x + shape + 2.0 * padding, baseline);
    })
    .role(Role::Title)
}

/// The reference over the whole width, then the code with what, where and since when beside it.
fn identity(
    label: &BayLabel,
    words: &BayWording,
    scale: Scale,
    width: f32,
) -> Result<Brick, PaperError> {
    let code = Code::new(&label.code)?;
    let mono = Style {
        family: Family::MonoBold,
        size: 1.0,
        colour: INK,
    };
    let size = (width / width_of(&label.reference, mono).max(1.0)).clamp(8.0, scale.reference);
    let reference = single_line(&[Span::new(&label.reference, Style { size, ..mono })]);
    let text_left = scale.code * 1.2;
    let facts = facts(label, words, scale, width - text_left);
    let top = size * 0.68 + scale.code * 0.19;
    let height = top + set::lines_height(&facts).max(scale.code);
    let alternative = label.code.clone();
    let code_side = scale.code;
    Ok(Brick::new(height, move |pen, x, y| {
        pen.tagged(Role::Heading, "", |pen| {
            pen.text(&reference, x, y + size * 0.68);
        });
        pen.tagged(Role::Figure, &alternative, |pen| {
            code.draw_flush(pen, x, y + top, code_side);
        });
        pen.tagged(Role::Paragraph, "", |pen| {
            set::draw_lines(pen, &facts, x + text_left, y + top - 2.0);
        });
    }))
}

fn facts(label: &BayLabel, words: &BayWording, scale: Scale, width: f32) -> Vec<Line> {
    let text = Style {
        family: Family::Text,
        size: scale.text,
        colour: INK,
    };
    let strong = Style {
        family: Family::TextBold,
        ..text
    };
    let small = Style {
        size: scale.small,
        colour: MUTED,
        ..text
    };
    let mut lines = wrap(&[Span::new(&label.what, strong)], width);
    if !label.of.is_empty() {
        lines.extend(wrap(&[Span::new(&label.of, text)], width));
    }
    for (title, value) in [
        (&words.place, &label.place),
        (&words.since, &label.since),
        (&words.by, &label.by),
    ] {
        if !value.is_empty() {
            let spans = [
                Span::new(format!("{title} "), small),
                Span::new(value, text),
            ];
            lines.extend(wrap(&spans, width));
        }
    }
    lines
}

/// What to do when it reacts: framed, so that it is found.
fn emergency(label: &BayLabel, scale: Scale, width: f32) -> Brick {
    let style = Style {
        family: Family::TextBold,
        size: scale.text,
        colour: INK,
    };
    let padding = scale.text * 0.55;
    let lines = wrap(&[Span::new(&label.emergency, style)], width - 2.0 * padding);
    let height = set::lines_height(&lines) + 1.6 * padding;
    Brick::new(height, move |pen, x, y| {
        pen.rectangle(x, y, width, height, Paint::Stroke(INK, 1.2));
        set::draw_lines(pen, &lines, x + padding, y + 0.8 * padding);
    })
    .role(Role::Paragraph)
}

/// The table to fill by pen: rows with the times that are due, then empty ones.
fn readings(
    label: &BayLabel,
    words: &BayWording,
    scale: Scale,
    width: f32,
    blank_rows: u32,
) -> Vec<Brick> {
    let head = Style {
        family: Family::Text,
        size: scale.small,
        colour: MUTED,
    };
    let titles = [
        &words.due,
        &words.surface,
        &words.room,
        &words.voltage,
        &words.seen,
        &words.initials,
    ]
    .map(Clone::clone);
    let mut bricks = vec![row(&titles, scale, width, head, true).before(scale.text * 0.7)];
    let hand = Style {
        family: Family::Text,
        size: scale.text.min(11.0),
        colour: INK,
    };
    for reading in &label.due {
        bricks.push(row(&cells(reading), scale, width, hand, false));
    }
    if !label.after_that.is_empty() {
        let note = Style {
            colour: MUTED,
            ..head
        };
        bricks.extend(set::spaced(set::plain(&label.after_that, note, width), 2.0));
    }
    for _ in 0..blank_rows {
        bricks.push(row(
            &cells(&ReadingDue::default()),
            scale,
            width,
            hand,
            false,
        ));
    }
    bricks
}

fn cells(reading: &ReadingDue) -> [String; 6] {
    [
        &reading.at,
        &reading.surface,
        &reading.room,
        &reading.voltage,
        &reading.seen,
        &reading.by,
    ]
    .map(Clone::clone)
}

/// One row; columns of no width are left out.
fn row(texts: &[String; 6], scale: Scale, width: f32, style: Style, head: bool) -> Brick {
    let widths = scale.columns.map(|share| share * width);
    let shown: Vec<(f32, Vec<Line>)> = texts
        .iter()
        .zip(widths)
        .filter(|(_, column)| *column > 0.0)
        .map(|(text, column)| (column, wrap(&[Span::new(text, style)], column - 5.0)))
        .collect();
    let text_height = shown
        .iter()
        .map(|(_, lines)| set::lines_height(lines))
        .fold(0.0, f32::max);
    let height = if head {
        text_height + 3.0
    } else {
        scale.row.max(text_height + 4.0)
    };
    Brick::new(height, move |pen, x, y| {
        draw_row(pen, &shown, (x, y), (width, height), head);
    })
    .role(Role::Row)
}

fn draw_row(
    pen: &mut Pen<'_>,
    cells: &[(f32, Vec<Line>)],
    (x, y): (f32, f32),
    (width, height): (f32, f32),
    head: bool,
) {
    let role = if head { Role::HeadCell } else { Role::Cell };
    let mut left = x;
    for (index, (column, lines)) in cells.iter().enumerate() {
        let top = y + height - set::lines_height(lines) - 2.5;
        let indent = if index == 0 { 0.0 } else { 3.0 };
        pen.tagged(role, "", |pen| {
            set::draw_lines(pen, lines, left + indent, top);
        });
        if index > 0 && !head {
            pen.rule((left, y), (left, y + height), MUTED, 0.4);
        }
        left += column;
    }
    let weight = if head { 1.0 } else { 0.6 };
    pen.rule((x, y + height), (x + width, y + height), INK, weight);
}
