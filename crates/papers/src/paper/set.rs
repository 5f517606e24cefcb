//! Setting type: the styles of all papers, and the bricks that text is made of.

use crate::fonts::Family;
use crate::layout::canvas::{ACCENT, INK, MUTED, Pen, RULE, Role};
use crate::layout::flow::Brick;
use crate::layout::text::{Line, Span, Style, single_line, width_of, wrap};
use crate::model::{Caution, Labelled, Stated};

/// Body text.
pub(crate) const BODY: Style = Style {
    family: Family::Text,
    size: 8.8,
    colour: INK,
};
/// Body text that stands out.
pub(crate) const STRONG: Style = Style {
    family: Family::TextBold,
    size: 8.8,
    colour: INK,
};
/// Identifiers and readings.
pub(crate) const MONO: Style = Style {
    family: Family::Mono,
    size: 8.2,
    colour: INK,
};
/// Sources, remarks, captions: the smallest size on any paper.
pub(crate) const SMALL: Style = Style {
    family: Family::Text,
    size: 7.6,
    colour: MUTED,
};
/// Small identifiers.
pub(crate) const SMALL_MONO: Style = Style {
    family: Family::Mono,
    size: 7.5,
    colour: MUTED,
};
/// Numbers of steps.
const NUMERAL: Style = Style {
    family: Family::MonoBold,
    size: 8.2,
    colour: INK,
};
/// Headings of sections.
pub(crate) const SECTION: Style = Style {
    family: Family::TextBold,
    size: 9.6,
    colour: ACCENT,
};

/// Line height for a type size.
pub(crate) fn leading(size: f32) -> f32 {
    size * 1.3
}

/// From the top of a line to its baseline.
pub(crate) fn ascent(size: f32) -> f32 {
    size * 0.98
}

/// How far a smaller text is moved down so that its first line stands level with body text in the next column.
fn level_shift(lines: &[Line]) -> f32 {
    lines.first().map_or(0.0, |line| {
        (ascent(BODY.size) - ascent(line_size(line))).max(0.0)
    })
}

/// Draws lines so that the first stands level with body text that starts at the same height.
pub(crate) fn draw_level(pen: &mut Pen<'_>, lines: &[Line], x: f32, y: f32) {
    draw_lines(pen, lines, x, y + level_shift(lines));
}

/// Draws lines one below the other and returns the height used.
pub(crate) fn draw_lines(pen: &mut Pen<'_>, lines: &[Line], x: f32, y: f32) -> f32 {
    let mut used = 0.0;
    for line in lines {
        pen.text(line, x, y + used + ascent(line_size(line)));
        used += leading(line_size(line));
    }
    used
}

/// Draws lines that end at `x`, level with body text.
pub(crate) fn draw_lines_right(pen: &mut Pen<'_>, lines: &[Line], x: f32, y: f32) {
    let mut used = level_shift(lines);
    for line in lines {
        pen.text_right(line, x, y + used + ascent(line_size(line)));
        used += leading(line_size(line));
    }
}

/// The height of lines set one below the other.
pub(crate) fn lines_height(lines: &[Line]) -> f32 {
    lines.iter().map(|line| leading(line_size(line))).sum()
}

fn line_size(line: &Line) -> f32 {
    let size = line.size();
    if size > 0.0 { size } else { BODY.size }
}

/// A paragraph: one brick a line. Up to four lines stay together; of longer ones at least two lines stay on each page.
pub(crate) fn paragraph(spans: &[Span], width: f32, indent: f32) -> Vec<Brick> {
    let lines = wrap(spans, width - indent);
    let count = lines.len();
    let mut bricks = Vec::new();
    for (index, line) in lines.into_iter().enumerate() {
        let size = line_size(&line);
        let mut brick = Brick::new(leading(size), move |pen, x, y| {
            pen.text(&line, x + indent, y + ascent(size));
        })
        .role(Role::Paragraph);
        let last = index + 1 == count;
        brick.keep_with_next = !last && (count <= 4 || index == 0 || index + 2 == count);
        bricks.push(brick);
    }
    bricks
}

/// A paragraph of one style.
pub(crate) fn plain(text: &str, style: Style, width: f32) -> Vec<Brick> {
    paragraph(&[Span::new(text, style)], width, 0.0)
}

/// A section heading that stays with what follows.
pub(crate) fn section(text: &str, width: f32) -> Vec<Brick> {
    let mut bricks: Vec<Brick> = plain(text, SECTION, width)
        .into_iter()
        .map(|brick| brick.role(Role::Heading).keep())
        .collect();
    if let Some(first) = bricks.first_mut() {
        first.space_before = 8.0;
    }
    bricks.push(Brick::new(1.5, |_, _, _| {}).keep());
    bricks
}

/// Adds space above the first brick.
pub(crate) fn spaced(mut bricks: Vec<Brick>, space: f32) -> Vec<Brick> {
    if let Some(first) = bricks.first_mut() {
        first.space_before += space;
    }
    bricks
}

/// Values with their labels, the labels in one column as wide as the widest, at most 40 % of the width.
pub(crate) fn labelled(items: &[Labelled], width: f32) -> Vec<Brick> {
    let widest = items
        .iter()
        .map(|item| width_of(&item.label, SMALL))
        .fold(0.0, f32::max);
    let label_width = widest.min(width * 0.4);
    let gap = 8.0;
    items
        .iter()
        .flat_map(|item| labelled_row(item, label_width, gap, width))
        .collect()
}

fn labelled_row(item: &Labelled, label_width: f32, gap: f32, width: f32) -> Vec<Brick> {
    let labels = wrap(&[Span::new(&item.label, SMALL)], label_width);
    let style = if item.mono { MONO } else { BODY };
    let values = wrap(&[Span::new(&item.value, style)], width - label_width - gap);
    let (values, rest) = first_and_rest(values);
    let height = lines_height(&labels).max(lines_height(&values)) + 0.6;
    let first = Brick::new(height, move |pen, x, y| {
        draw_level(pen, &labels, x, y);
        draw_level(pen, &values, x + label_width + gap, y);
    })
    .role(Role::Paragraph);
    followed_by(first, rest, label_width + gap)
}

/// The most lines of one text that a brick of several texts holds: longer ones go on from page to page.
const LINES_TOGETHER: usize = 12;

/// The lines that stand in a brick with other texts, and those that follow it.
pub(crate) fn first_and_rest(mut lines: Vec<Line>) -> (Vec<Line>, Vec<Line>) {
    let rest = if lines.len() > LINES_TOGETHER {
        lines.split_off(LINES_TOGETHER - 4)
    } else {
        Vec::new()
    };
    (lines, rest)
}

/// A brick and the lines of its text that did not fit it, a brick each; two of them stay together at either end.
pub(crate) fn followed_by(first: Brick, rest: Vec<Line>, indent: f32) -> Vec<Brick> {
    let count = rest.len();
    let mut bricks = vec![first];
    for (index, line) in rest.into_iter().enumerate() {
        let size = line_size(&line);
        let mut brick = Brick::new(leading(size), move |pen, x, y| {
            pen.text(&line, x + indent, y + ascent(size));
        })
        .role(Role::Paragraph);
        brick.keep_with_next = index == 0 || index + 2 == count;
        bricks.push(brick);
    }
    if let Some(last) = bricks.last_mut() {
        last.keep_with_next = false;
    }
    bricks
}

/// Short values side by side, each under its label; four in a row at most.
pub(crate) fn strip(items: &[Labelled], width: f32) -> Vec<Brick> {
    let columns = items.len().clamp(1, 4);
    #[expect(clippy::cast_precision_loss, reason = "there are at most four columns")]
    let column = width / columns as f32;
    items
        .chunks(columns)
        .map(|items| strip_row(items, column))
        .collect()
}

fn strip_row(items: &[Labelled], column: f32) -> Brick {
    let cells: Vec<[Vec<Line>; 2]> = items
        .iter()
        .map(|item| {
            let style = if item.mono { MONO } else { BODY };
            [
                wrap(&[Span::new(&item.label, SMALL)], column - 8.0),
                wrap(&[Span::new(&item.value, style)], column - 8.0),
            ]
        })
        .collect();
    let height = cells
        .iter()
        .map(|[label, value]| lines_height(label) + lines_height(value))
        .fold(0.0, f32::max);
    Brick::new(height + 2.0, move |pen, x, y| {
        let mut left = x;
        for [label, value] in &cells {
            pen.tagged(Role::Paragraph, "", |pen| {
                let used = draw_lines(pen, label, left, y);
                draw_lines(pen, value, left, y + used);
            });
            left += column;
        }
    })
}

/// A value, and below it the other values that people have set: each with whose it is.
pub(crate) fn stated(
    value: &Stated,
    style: Style,
    width: f32,
    words: &DisagreementWords<'_>,
) -> Vec<Brick> {
    let mut bricks = plain(&value.text, style, width);
    bricks.extend(others(value, width, words));
    bricks
}

/// The words that mark a disagreement.
#[derive(Clone, Copy)]
pub(crate) struct DisagreementWords<'a> {
    pub(crate) not_settled: &'a str,
    pub(crate) also_recorded: &'a str,
}

/// The lines that show the other values of a disagreement, with a bar at their left.
pub(crate) fn others(value: &Stated, width: f32, words: &DisagreementWords<'_>) -> Vec<Brick> {
    let bold = Style {
        family: Family::TextBold,
        colour: INK,
        ..SMALL
    };
    let ink = Style {
        colour: INK,
        ..SMALL
    };
    value
        .others
        .iter()
        .flat_map(|other| {
            let spans = [
                Span::new(format!("{}: ", words.not_settled), bold),
                Span::new(format!("{} ", words.also_recorded), SMALL),
                Span::new(&other.text, ink),
                Span::new(format!(" ({})", other.by), SMALL),
            ];
            let (lines, rest) = first_and_rest(wrap(&spans, width - 7.0));
            let height = lines_height(&lines);
            let first = Brick::new(height + 2.0, move |pen, x, y| {
                pen.rule((x + 1.0, y + 2.0), (x + 1.0, y + height), INK, 1.6);
                draw_lines(pen, &lines, x + 7.0, y + 1.0);
            })
            .role(Role::Paragraph);
            followed_by(first, rest, 7.0)
        })
        .collect()
}

/// A list entry with a short mark before it.
pub(crate) fn bullet(spans: &[Span], width: f32) -> Vec<Brick> {
    let mut bricks = paragraph(spans, width, 9.0);
    if let Some(first) = bricks.first_mut() {
        first.also_draw(move |pen, x, y| pen.rule((x, y + 6.0), (x + 4.5, y + 6.0), MUTED, 0.8));
        first.space_before = 1.5;
    }
    bricks
}

/// A numbered step.
pub(crate) fn numbered(number: usize, spans: &[Span], width: f32) -> Vec<Brick> {
    let mut bricks = paragraph(spans, width, 16.0);
    if let Some(first) = bricks.first_mut() {
        let numeral = single_line(&[Span::new(number.to_string(), NUMERAL)]);
        first.also_draw(move |pen, x, y| pen.text_right(&numeral, x + 10.0, y + ascent(BODY.size)));
        first.space_before = 2.0;
    }
    bricks
}

/// A caution: a barred triangle, what to do, and the rule with its edition.
pub(crate) fn caution(caution: &Caution, width: f32) -> Vec<Brick> {
    let indent = 15.0;
    let mut spans = Vec::new();
    if !caution.title.is_empty() {
        spans.push(Span::new(format!("{}. ", caution.title), STRONG));
    }
    spans.push(Span::new(&caution.text, BODY));
    let mut bricks = paragraph(&spans, width, indent);
    bricks.extend(paragraph(
        &[Span::new(&caution.source, SMALL)],
        width,
        indent,
    ));
    if let Some(first) = bricks.first_mut() {
        first.also_draw(|pen, x, y| caution_sign(pen, x, y + 1.0, 9.6));
        first.space_before = 4.0;
    }
    let last = bricks.len().saturating_sub(1);
    for (index, brick) in bricks.iter_mut().enumerate() {
        brick.keep_with_next |= index != last && index < 3;
    }
    bricks
}

fn caution_sign(pen: &mut Pen<'_>, x: f32, y: f32, side: f32) {
    use crate::layout::canvas::Paint;
    let ring = vec![
        (x + side / 2.0, y, false),
        (x + side, y + side * 0.9, false),
        (x, y + side * 0.9, false),
    ];
    pen.shape(&[ring], Paint::Stroke(INK, 1.0));
    pen.rule(
        (x + side / 2.0, y + side * 0.32),
        (x + side / 2.0, y + side * 0.58),
        INK,
        1.1,
    );
    pen.circle(x + side / 2.0, y + side * 0.73, 0.65, Paint::Fill(INK));
}

/// A hairline over the width given.
pub(crate) fn hairline(width: f32) -> Brick {
    Brick::new(0.6, move |pen, x, y| {
        pen.rule((x, y + 0.3), (x + width, y + 0.3), RULE, 0.6);
    })
}
