//! The tests: before at the left, after at the right, and between them the joint with its word.

use std::rc::Rc;

use super::super::set::{self, BODY, MONO, SECTION, SMALL, STRONG};
use super::{GUTTER, Spread};
use crate::fonts::Family;
use crate::layout::canvas::{INK, Pen, RULE, Role};
use crate::layout::flow::Brick;
use crate::layout::text::{Line, Span, Style, single_line, wrap};
use crate::marks::joint;
use crate::model::{Comparison, ComparisonRow, Reading, ReadingKind, ReportWording, ReturnReport};

/// Share of a column for the readings next to the gutter; the name and the note have the rest.
const READING_SHARE: f32 = 0.46;
const GAP: f32 = 8.0;
/// From the top of a row to the word under its joint.
const JOINT_DEPTH: f32 = 9.6;

/// The heading and one brick a test.
pub(super) fn bricks(report: &ReturnReport, spread: &Spread) -> Vec<Brick> {
    if report.comparison.is_empty() {
        return Vec::new();
    }
    let head = Rc::new(head(&report.wording, spread));
    let mut bricks = vec![(*head).clone().before(10.0).keep()];
    let count = report.comparison.len();
    for (index, row) in report.comparison.iter().enumerate() {
        let mut rows = test_row(row, &report.wording, spread);
        // Neither the first nor the last test stands alone on its page.
        if (index == 0 || index + 2 == count)
            && index + 1 < count
            && let Some(last) = rows.last_mut()
        {
            last.keep_with_next = true;
        }
        bricks.extend(rows.into_iter().map(|brick| brick.under(&head)));
    }
    bricks
}

fn head(wording: &ReportWording, spread: &Spread) -> Brick {
    let title = single_line(&[Span::new(&wording.tests, SECTION)]);
    let before = single_line(&[Span::new(&wording.before, SMALL)]);
    let after = single_line(&[Span::new(&wording.after, SMALL)]);
    let (column, offset) = (spread.column, spread.right - spread.left);
    Brick::new(16.0, move |pen, x, y| {
        pen.tagged(Role::HeadCell, "", |pen| pen.text(&title, x, y + 10.0));
        pen.tagged(Role::HeadCell, "", |pen| {
            pen.text_right(&before, x + column, y + 10.0);
        });
        pen.tagged(Role::HeadCell, "", |pen| {
            pen.text(&after, x + offset, y + 10.0);
        });
        pen.rule((x, y + 15.0), (x + column, y + 15.0), INK, 0.8);
        pen.rule(
            (x + offset, y + 15.0),
            (x + offset + column, y + 15.0),
            INK,
            0.8,
        );
    })
    .role(Role::Row)
}

/// The text of one row, broken into lines.
struct RowText {
    name: Vec<Line>,
    before: Vec<Line>,
    word: Vec<Line>,
    after: Vec<Line>,
    note: Vec<Line>,
    /// What of the note does not fit beside the reading: it goes on below, over the whole right column.
    note_below: Vec<Line>,
}

impl RowText {
    fn of(row: &ComparisonRow, wording: &ReportWording, column: f32) -> Self {
        let reading_width = column * READING_SHARE;
        let text_width = column - reading_width - GAP;
        let mut name = wrap(&[Span::new(&row.test, STRONG)], text_width);
        name.extend(wrap(&[Span::new(&row.remark, SMALL)], text_width));
        let word_style = match row.comparison {
            Comparison::Worse | Comparison::StillFailing => Style {
                family: Family::TextBold,
                colour: INK,
                ..SMALL
            },
            _ => Style {
                colour: INK,
                ..SMALL
            },
        };
        let (note, note_below) =
            set::first_and_rest(wrap(&[Span::new(&row.note, SMALL)], text_width));
        Self {
            name,
            before: reading_lines(&row.before, wording, reading_width),
            word: wrap(&[Span::new(&row.word, word_style)], GUTTER - 2.0),
            after: reading_lines(&row.after, wording, reading_width),
            note,
            note_below,
        }
    }

    fn height(&self) -> f32 {
        let joint = JOINT_DEPTH + set::lines_height(&self.word);
        [&self.name, &self.before, &self.after, &self.note]
            .into_iter()
            .map(|lines| set::lines_height(lines))
            .fold(joint, f32::max)
    }
}

/// The word and the value of a result, on one line if they fit; then what others recorded.
fn reading_lines(reading: &Reading, wording: &ReportWording, width: f32) -> Vec<Line> {
    let word_style = if reading.kind == ReadingKind::Fail {
        STRONG
    } else {
        BODY
    };
    let value_style = if reading.in_words { BODY } else { MONO };
    let mut spans = vec![Span::new(&reading.word, word_style)];
    if !reading.value.text.is_empty() {
        spans.push(Span::new("  ", BODY));
        spans.push(Span::new(&reading.value.text, value_style));
    }
    let joined = single_line(&spans);
    let mut lines = if joined.width <= width {
        vec![joined]
    } else {
        let mut lines = wrap(&[Span::new(&reading.word, word_style)], width);
        lines.extend(wrap(&[Span::new(&reading.value.text, value_style)], width));
        lines
    };
    for other in &reading.value.others {
        let bold = Style {
            family: Family::TextBold,
            colour: INK,
            ..SMALL
        };
        let spans = [
            Span::new(format!("{}: ", wording.not_settled), bold),
            Span::new(format!("{} ", wording.also_recorded), SMALL),
            Span::new(
                &other.text,
                Style {
                    family: Family::Mono,
                    colour: INK,
                    ..SMALL
                },
            ),
            Span::new(format!(" ({})", other.by), SMALL),
        ];
        lines.extend(wrap(&spans, width));
    }
    lines
}

fn test_row(row: &ComparisonRow, wording: &ReportWording, spread: &Spread) -> Vec<Brick> {
    let (column, offset) = (spread.column, spread.right - spread.left);
    let mut text = RowText::of(row, wording, column);
    let below = std::mem::take(&mut text.note_below);
    let is_last = below.is_empty();
    let comparison = row.comparison;
    let height = text.height() + 5.5;
    let note_left = offset + column * READING_SHARE + GAP;
    let first = Brick::new(height, move |pen, x, y| {
        let top = y + 2.8;
        let cells: [(&[Line], f32, bool); 2] =
            [(&text.name, x, false), (&text.before, x + column, true)];
        for (lines, at, right) in cells {
            pen.tagged(Role::Cell, "", |pen| {
                if right {
                    set::draw_lines_right(pen, lines, at, top);
                } else {
                    set::draw_level(pen, lines, at, top);
                }
            });
        }
        pen.tagged(Role::Cell, "", |pen| {
            joint::draw(
                pen,
                comparison,
                x + column + 7.0,
                top + 4.8,
                GUTTER - 14.0,
                3.2,
            );
            let mut word_y = top + JOINT_DEPTH;
            for line in &text.word {
                pen.text_centred(
                    line,
                    x + column + GUTTER / 2.0,
                    word_y + set::ascent(line.size()),
                );
                word_y += set::leading(line.size());
            }
        });
        for (lines, at) in [(&text.after, x + offset), (&text.note, x + note_left)] {
            pen.tagged(Role::Cell, "", |pen| {
                set::draw_level(pen, lines, at, top);
            });
        }
        if is_last {
            row_end(pen, x, y + height, (column, offset));
        }
    })
    .role(Role::Row);
    let mut bricks = set::followed_by(first, below, note_left);
    if !is_last {
        if let Some(line) = bricks.last_mut() {
            line.keep_with_next = true;
        }
        bricks.push(Brick::new(3.0, move |pen, x, y| {
            row_end(pen, x, y + 3.0, (column, offset));
        }));
    }
    bricks
}

/// The rules under a row, one in each column.
fn row_end(pen: &mut Pen<'_>, x: f32, y: f32, (column, offset): (f32, f32)) {
    for x in [x, x + offset] {
        pen.rule((x, y), (x + column, y), RULE, 0.6);
    }
}
