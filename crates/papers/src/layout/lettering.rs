//! Words at a true letter height, as rules for marks on parcels ask for it.
//!
//! The height is measured on the outlines of the letters, never taken from the type size. The lowest letter or digit of the
//! words decides, so that none is lower than was asked for; signs such as hyphens and commas don't count. Never breaks a
//! word: what does not fit is refused, since a mark that is cut or made smaller is no mark.

use std::collections::BTreeMap;

use super::text::{Colour, Line, Span, Style, single_line};
use crate::fonts::{self, Family};

#[cfg(test)]
mod tests;

/// A block of words is nicest to cut out and to stick when it is about so many times wider than high. Common practice.
const ASPECT: f32 = 3.2;

/// Words set in lines of a true letter height.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Lettering {
    pub(crate) lines: Vec<Line>,
    /// Points of the widest line.
    pub(crate) width: f32,
    /// Points from the top of the first line's letters to the bottom of the last line's, tails included.
    pub(crate) height: f32,
    /// Points from the top of the highest letter to the baseline.
    pub(crate) ascent: f32,
    /// Points from baseline to baseline.
    pub(crate) leading: f32,
}

/// A space that no line ends at.
const NO_BREAK: char = '\u{A0}';

/// How far the letters of a text reach, in thousandths of an em.
struct Reach {
    /// Top of the lowest letter or digit.
    lowest: f32,
    /// Top of the highest.
    highest: f32,
    /// Bottom of the deepest, 0 or less.
    deepest: f32,
}

fn reach(text: &str, family: Family) -> Option<Reach> {
    let style = Style {
        family,
        size: 1000.0,
        colour: Colour(0, 0, 0),
    };
    let line = single_line(&[Span::new(text, style)]);
    let letters = line
        .glyphs
        .iter()
        .filter(|glyph| glyph.character.is_alphanumeric());
    letters
        .filter_map(|glyph| fonts::reach(glyph.face, glyph.id))
        .map(|(above, below)| Reach {
            lowest: above,
            highest: above,
            deepest: below.min(0.0),
        })
        .reduce(|a, b| Reach {
            lowest: a.lowest.min(b.lowest),
            highest: a.highest.max(b.highest),
            deepest: a.deepest.min(b.deepest),
        })
}

/// The type size at which no letter of the text is lower than `height` points; `None` for a text without letters.
pub(crate) fn size_for(text: &str, family: Family, height: f32) -> Option<f32> {
    let reach = reach(text, family)?;
    // Rounded up: a thousandth of a point too much is nothing, too little is an unlawful mark.
    Some((height / reach.lowest * 1_000_000.0).ceil() / 1000.0)
}

/// Sets words in letters of at least `height` points and lines of at most `width_max`, broken after spaces, dashes and
/// strokes so that the block is well to cut out. A line break in the words is kept, and no line ends at a no-break space. `None` when a word is too wide.
pub(crate) fn fit(words: &str, style: Style, height: f32, width_max: f32) -> Option<Lettering> {
    let reach = reach(words, style.family)?;
    let size = size_for(words, style.family, height)?;
    let style = Style { size, ..style };
    let parts = parts(words);
    let lines_min = parts.iter().filter(|part| part.ends).count().max(1);
    let ascent = reach.highest * size / 1000.0;
    let tail = reach.deepest * -size / 1000.0;
    let leading = (ascent + tail) * if tail > ascent * 0.05 { 1.16 } else { 1.42 };
    let mut best: Option<(f32, Lettering)> = None;
    for count in lines_min..=parts.len() {
        let Some(lines) = narrowest(&parts, count, style) else {
            continue;
        };
        let width = lines.iter().map(|line| line.width).fold(0.0, f32::max);
        if width > width_max {
            continue;
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "words have at most some hundred lines"
        )]
        let height = ascent + tail + leading * (lines.len() - 1) as f32;
        let badness = (width / height / ASPECT).ln().abs();
        if best.as_ref().is_none_or(|(least, _)| badness < *least) {
            let lettering = Lettering {
                lines,
                width,
                height,
                ascent,
                leading,
            };
            best = Some((badness, lettering));
        }
    }
    best.map(|(_, lettering)| lettering)
}

/// A stretch of words that stays on one line.
struct Part {
    text: String,
    /// Whether the line ends here in any case.
    ends: bool,
}

fn parts(words: &str) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    let mut text = String::new();
    for character in words.trim().chars() {
        let ends = character == '\n';
        if !ends {
            text.push(character);
        }
        if ends || matches!(character, ' ' | '—' | '–' | '/') {
            parts.push(Part {
                text: std::mem::take(&mut text),
                ends,
            });
        }
    }
    parts.push(Part { text, ends: true });
    parts.retain(|part| part.ends || !part.text.is_empty());
    parts
}

/// The parts in `count` lines, the widest of them as narrow as can be.
fn narrowest(parts: &[Part], count: usize, style: Style) -> Option<Vec<Line>> {
    let mut memory = Breaks {
        parts,
        style,
        found: BTreeMap::new(),
    };
    let (_, mut ends) = memory.best(0, count)?;
    ends.insert(0, 0);
    Some(
        ends.windows(2)
            .map(|pair| memory.line(pair[0], pair[1]))
            .collect(),
    )
}

/// The width of the widest line, and after which part each line ends.
type Broken = Option<(f32, Vec<usize>)>;

struct Breaks<'a> {
    parts: &'a [Part],
    style: Style,
    /// By the first part and the number of lines.
    found: BTreeMap<(usize, usize), Broken>,
}

impl Breaks<'_> {
    fn line(&self, from: usize, to: usize) -> Line {
        let text: String = self.parts[from..to]
            .iter()
            .map(|part| part.text.as_str())
            .collect();
        // Its work is done once the lines are broken; whoever copies the words gets plain spaces.
        single_line(&[Span::new(text.replace(NO_BREAK, " "), self.style)])
    }

    fn best(&mut self, from: usize, count: usize) -> Broken {
        let total = self.parts.len();
        if count == 0 || from >= total {
            return (count == 0 && from == total).then(|| (0.0, Vec::new()));
        }
        if let Some(found) = self.found.get(&(from, count)) {
            return found.clone();
        }
        let mut best: Broken = None;
        for to in from + 1..=total {
            if let Some((rest, ends)) = self.best(to, count - 1) {
                let width = self.line(from, to).width.max(rest);
                if best.as_ref().is_none_or(|(least, _)| width < *least) {
                    let ends = std::iter::once(to).chain(ends).collect();
                    best = Some((width, ends));
                }
            }
            if self.parts[to - 1].ends {
                break;
            }
        }
        self.found.insert((from, count), best.clone());
        best
    }
}
