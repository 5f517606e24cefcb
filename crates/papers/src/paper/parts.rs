//! Pieces that the papers for cells and parcels share: bands with a verdict, steps with a box to tick, rules, what is not
//! known, lines to sign on.

use super::set::{self, BODY, SMALL, STRONG, ascent, leading};
use crate::error::PaperError;
use crate::fonts::Family;
use crate::layout::canvas::{INK, MUTED, Paint, Pen, Role, WHITE};
use crate::layout::flow::{Brick, Flow, draw_stack, stack_height};
use crate::layout::text::{Colour, Span, Style, single_line, wrap};
use crate::model::{Caution, PackingStep, RuleCited, SignatureLine, TransportMark};
use crate::picture::Album;
use crate::qr::Code;

pub(crate) const CODE_SIDE: f32 = 84.0;

/// The white between things, as a share of the usual, where that saves a page.
const TIGHT: f32 = 0.55;

/// Lays a paper out, and sets it tighter if that saves a page.
pub(crate) fn on_few_pages(
    lay_out: impl Fn(f32) -> Result<(Flow, Album), PaperError>,
) -> Result<(Flow, Album), PaperError> {
    let usual = lay_out(1.0)?;
    let tight = lay_out(TIGHT)?;
    if tight.0.canvas.page_count() < usual.0.canvas.page_count() {
        Ok(tight)
    } else {
        Ok(usual)
    }
}

/// Three columns: two stacks, and a code at the right.
pub(crate) fn beside_code(
    code: &str,
    width: f32,
    columns: impl FnOnce(f32) -> [Vec<Brick>; 2],
) -> Result<Brick, PaperError> {
    let drawn = Code::new(code)?;
    let gap = 20.0;
    let column = (width - CODE_SIDE - 2.0 * gap) / 2.0;
    let [left, right] = columns(column);
    let height = stack_height(&left)
        .max(stack_height(&right))
        .max(CODE_SIDE + 6.0);
    let alternative = code.to_owned();
    Ok(Brick::new(height, move |pen, x, y| {
        for (bricks, left) in [(&left, x), (&right, x + column + gap)] {
            draw_stack(pen, bricks, left, y);
        }
        pen.tagged(Role::Figure, &alternative, |pen| {
            drawn.draw_flush(pen, x + width - CODE_SIDE, y + 3.0, CODE_SIDE);
        });
    })
    .before(6.0))
}

/// How loud a band is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Band {
    /// A frame.
    Quiet,
    /// Black with white words.
    Loud,
}

/// A band with a shape, a few large words, and sentences below them.
pub(crate) fn band(
    band: Band,
    words: &str,
    text: &str,
    width: f32,
    shape: impl Fn(&mut Pen<'_>, (f32, f32), f32, (Colour, Colour)) + 'static,
) -> Brick {
    let (ink, ground) = match band {
        Band::Quiet => (INK, WHITE),
        Band::Loud => (WHITE, INK),
    };
    let title = Style {
        family: Family::TextBold,
        size: 16.0,
        colour: ink,
    };
    let body = Style {
        size: 9.4,
        colour: ink,
        ..BODY
    };
    let (side, padding) = (19.0, 9.0);
    let indent = side + 2.2 * padding;
    let titles = wrap(&[Span::new(words, title)], width - indent - padding);
    let texts = wrap(&[Span::new(text, body)], width - indent - padding);
    let height = (set::lines_height(&titles) + set::lines_height(&texts)).max(side) + 1.6 * padding;
    Brick::new(height, move |pen, x, y| {
        let paint = match band {
            Band::Quiet => Paint::Stroke(INK, 1.2),
            Band::Loud => Paint::Fill(INK),
        };
        pen.rectangle(x, y, width, height, paint);
        shape(pen, (x + padding, y + padding + 0.6), side, (ink, ground));
        pen.tagged(Role::Heading, "", |pen| {
            set::draw_lines(pen, &titles, x + indent, y + 0.7 * padding);
        });
        let below = y + 0.7 * padding + set::lines_height(&titles);
        pen.tagged(Role::Paragraph, "", |pen| {
            set::draw_lines(pen, &texts, x + indent, below);
        });
    })
    .before(9.0)
}

/// A numbered step with a box to tick by pen.
pub(crate) fn step(number: usize, step: &PackingStep, width: f32) -> Vec<Brick> {
    // Larger than other text: it is read while the hands hold something.
    let title = Style {
        size: 10.4,
        ..STRONG
    };
    let text = Style { size: 10.0, ..BODY };
    let indent = 34.0;
    let mut spans = Vec::new();
    if !step.title.is_empty() {
        spans.push(Span::new(format!("{}  ", step.title), title));
    }
    spans.push(Span::new(&step.text, text));
    if !step.source.is_empty() {
        spans.push(Span::new(format!("  {}", step.source), SMALL));
    }
    let mut bricks = set::paragraph(&spans, width, indent);
    let numeral = single_line(&[Span::new(
        number.to_string(),
        Style {
            family: Family::MonoBold,
            ..title
        },
    )]);
    if let Some(first) = bricks.first_mut() {
        first.also_draw(move |pen, x, y| {
            pen.artifact(|pen| tick_box(pen, x + 0.5, y + 2.0));
            pen.text_right(&numeral, x + 27.0, y + ascent(title.size));
        });
        first.space_before = 4.5;
    }
    bricks
}

fn tick_box(pen: &mut Pen<'_>, x: f32, y: f32) {
    pen.rectangle(x, y, 9.2, 9.2, Paint::Stroke(INK, 0.8));
}

/// Keeps bricks on one page, if a page can hold them.
pub(crate) fn together(mut bricks: Vec<Brick>) -> Vec<Brick> {
    let last = bricks.len().saturating_sub(1);
    for brick in &mut bricks[..last] {
        brick.keep_with_next = true;
    }
    bricks
}

/// Rules under their heading, one a paragraph: what it says, then clause, edition and certainty.
pub(crate) fn rules(heading: &str, rules: &[RuleCited], width: f32) -> Vec<Brick> {
    if rules.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(heading, width);
    for rule in rules {
        let mut spans = Vec::new();
        if !rule.text.is_empty() {
            spans.push(Span::new(format!("{}  ", rule.text), BODY));
        }
        spans.push(Span::new(rule.cited(), SMALL));
        bricks.extend(set::bullet(&spans, width));
    }
    bricks
}

/// Marks or papers: what, where, and the rule.
pub(crate) fn marks(marks: &[TransportMark], none: &str, width: f32) -> Vec<Brick> {
    if marks.is_empty() {
        return set::plain(none, BODY, width);
    }
    let mut bricks = Vec::new();
    for mark in marks {
        let mut spans = vec![Span::new(&mark.title, STRONG)];
        if !mark.text.is_empty() {
            spans.push(Span::new(format!("  {}", mark.text), BODY));
        }
        if !mark.source.is_empty() {
            spans.push(Span::new(format!("  {}", mark.source), SMALL));
        }
        bricks.extend(set::bullet(&spans, width));
    }
    bricks
}

/// Sentences, one a bullet; `none` when there are none, so that silence is never taken for knowledge.
pub(crate) fn sentences(sentences: &[String], none: &str, width: f32) -> Vec<Brick> {
    if sentences.is_empty() {
        return set::plain(none, BODY, width);
    }
    let bullets = sentences.iter();
    bullets
        .flat_map(|sentence| set::bullet(&[Span::new(sentence, BODY)], width))
        .collect()
}

/// The cautions under their heading.
pub(crate) fn cautions(heading: &str, cautions: &[Caution], width: f32) -> Vec<Brick> {
    if cautions.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(heading, width);
    for caution in cautions {
        bricks.extend(set::caution(caution, width));
    }
    bricks
}

/// A line that says to look at the rule itself, in bold.
pub(crate) fn edition(words: &str, width: f32) -> Vec<Brick> {
    set::spaced(set::plain(words, STRONG, width), 7.0)
}

/// Lines to sign on, two side by side.
pub(crate) fn signatures(lines: &[SignatureLine], date: &str, width: f32) -> Vec<Brick> {
    let gap = 26.0;
    let column = (width - gap) / 2.0;
    lines
        .chunks(2)
        .map(|pair| {
            let pair: Vec<_> = pair
                .iter()
                .map(|line| signature(line, date, column))
                .collect();
            let height = pair.iter().map(|brick| brick.height).fold(0.0, f32::max);
            Brick::new(height, move |pen, x, y| {
                let mut left = x;
                for brick in &pair {
                    draw_stack(pen, std::slice::from_ref(brick), left, y);
                    left += column + gap;
                }
            })
        })
        .collect()
}

fn signature(line: &SignatureLine, date: &str, width: f32) -> Brick {
    let room = 27.0;
    let mut spans = vec![Span::new(&line.role, SMALL)];
    if !line.name.is_empty() {
        let ink = Style {
            colour: INK,
            ..SMALL
        };
        spans.push(Span::new(format!("  {}", line.name), ink));
    }
    let date = single_line(&[Span::new(date, SMALL)]);
    let below = wrap(&spans, width - date.width - 12.0);
    let height = room + set::lines_height(&below).max(leading(SMALL.size));
    Brick::new(height, move |pen, x, y| {
        pen.rule((x, y + room), (x + width, y + room), MUTED, 0.7);
        set::draw_lines(pen, &below, x, y + room + 0.5);
        pen.text_right(&date, x + width, y + room + 0.5 + ascent(SMALL.size));
    })
    .role(Role::Paragraph)
}
