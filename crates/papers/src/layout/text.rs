//! Text into glyphs, glyphs into lines.
//!
//! Every character of the input that has a shape ends up on paper: one that no face has becomes a replacement mark.

use unicode_normalization::UnicodeNormalization;

use crate::fonts::{self, Face, Family};

#[cfg(test)]
mod tests;

/// A colour of the light palette, 8 bits a channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Colour(pub(crate) u8, pub(crate) u8, pub(crate) u8);

/// How a stretch of text is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Style {
    pub(crate) family: Family,
    /// Points.
    pub(crate) size: f32,
    pub(crate) colour: Colour,
}

/// A stretch of text in one style.
#[derive(Clone, Debug)]
pub(crate) struct Span {
    pub(crate) text: String,
    pub(crate) style: Style,
}

impl Span {
    pub(crate) fn new(text: impl Into<String>, style: Style) -> Self {
        Self {
            text: text.into(),
            style,
        }
    }
}

/// A glyph with its place in the line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Glyph {
    pub(crate) face: Face,
    pub(crate) id: u16,
    pub(crate) character: char,
    pub(crate) style: Style,
    /// Points, without kerning.
    pub(crate) advance: f32,
    /// Points added after the glyph (mostly negative).
    pub(crate) kerning: f32,
}

/// One line of text.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Line {
    pub(crate) glyphs: Vec<Glyph>,
    /// Points.
    pub(crate) width: f32,
}

impl Line {
    fn of(glyphs: &[Glyph]) -> Self {
        let end = glyphs
            .iter()
            .rposition(|glyph| !is_space(glyph.character))
            .map_or(0, |last| last + 1);
        let mut glyphs = glyphs[..end].to_vec();
        if let Some(last) = glyphs.last_mut() {
            last.kerning = 0.0;
        }
        let width = glyphs
            .iter()
            .map(|glyph| glyph.advance + glyph.kerning)
            .sum();
        Self { glyphs, width }
    }

    /// The largest type size in the line.
    pub(crate) fn size(&self) -> f32 {
        self.glyphs
            .iter()
            .map(|glyph| glyph.style.size)
            .fold(0.0, f32::max)
    }
}

/// The width of a text on one line, in points.
pub(crate) fn width_of(text: &str, style: Style) -> f32 {
    single_line(&[Span::new(text, style)]).width
}

/// Sets spans on one line, however long; line breaks in them become spaces.
pub(crate) fn single_line(spans: &[Span]) -> Line {
    let mut glyphs = shape(spans);
    for glyph in &mut glyphs {
        if glyph.character == '\n' {
            *glyph = space(glyph.style);
        }
    }
    Line::of(&glyphs)
}

/// Breaks spans into lines of at most `width` points. A word wider than that is broken where it must be.
pub(crate) fn wrap(spans: &[Span], width: f32) -> Vec<Line> {
    let glyphs = shape(spans);
    let mut lines = Vec::new();
    let (mut start, mut at, mut used) = (0, 0, 0.0_f32);
    let mut break_at = None;
    while at < glyphs.len() {
        let glyph = glyphs[at];
        if glyph.character == '\n' {
            lines.push(Line::of(&glyphs[start..at]));
            at += 1;
            (start, used, break_at) = (at, 0.0, None);
            continue;
        }
        let space = is_space(glyph.character);
        // A hundredth of a point forgives rounding, so that a text fits the width that was measured for it.
        if !space && at > start && used + glyph.advance > width + 0.01 {
            let end = break_at.unwrap_or(at);
            lines.push(Line::of(&glyphs[start..end]));
            start = end;
            while start < glyphs.len() && is_space(glyphs[start].character) {
                start += 1;
            }
            at = start;
            (used, break_at) = (0.0, None);
            continue;
        }
        used += glyph.advance + glyph.kerning;
        at += 1;
        if may_break_after(&glyphs, at - 1) {
            break_at = Some(at);
        }
    }
    if start < glyphs.len() {
        lines.push(Line::of(&glyphs[start..]));
    }
    lines
}

/// Breaks spans into at most `lines_max` lines; what does not fit ends in an ellipsis. For labels of a fixed size only,
/// where the code and the reference carry the identity.
pub(crate) fn wrap_within(spans: &[Span], width: f32, lines_max: usize) -> Vec<Line> {
    let mut lines = wrap(spans, width);
    if lines.len() <= lines_max {
        return lines;
    }
    lines.truncate(lines_max);
    if let Some(last) = lines.last_mut()
        && let Some(style) = last.glyphs.last().map(|glyph| glyph.style)
    {
        let ellipsis = shape(&[Span::new("…", style)]);
        let ellipsis_width: f32 = ellipsis.iter().map(|glyph| glyph.advance).sum();
        let mut glyphs = std::mem::take(&mut last.glyphs);
        while Line::of(&glyphs).width + ellipsis_width > width && glyphs.pop().is_some() {}
        glyphs.extend(ellipsis);
        *last = Line::of(&glyphs);
    }
    lines
}

fn is_space(character: char) -> bool {
    character == ' '
}

/// Whether a line may end after the glyph at `at`.
fn may_break_after(glyphs: &[Glyph], at: usize) -> bool {
    let glyph = glyphs[at];
    if is_space(glyph.character) {
        return !is_before_unit(glyphs, at);
    }
    if at == 0 || at + 1 >= glyphs.len() {
        return false;
    }
    let mono = glyph.style.family.is_mono();
    let (before, after) = (glyphs[at - 1].character, glyphs[at + 1].character);
    match glyph.character {
        // An address ends a line after a part of its path or of its host, not inside its scheme.
        '/' => before != '/' && (before.is_alphabetic() || after.is_alphabetic()),
        '.' => mono && before.is_alphabetic() && after.is_alphabetic(),
        '-' => !mono && before.is_alphabetic() && after.is_alphabetic(),
        '–' | '—' => true,
        _ => false,
    }
}

/// Units that stay on the line of their number.
const UNITS: [&str; 44] = [
    "%", "°C", "°F", "A", "mA", "µA", "μA", "V", "mV", "kV", "W", "mW", "Wh", "mAh", "Ah", "Ω",
    "mΩ", "kΩ", "MΩ", "s", "ms", "µs", "μs", "min", "h", "mm", "cm", "m", "µm", "μm", "in", "g",
    "kg", "lb", "Hz", "kHz", "MHz", "GHz", "µF", "μF", "nF", "pF", "µH", "dBm",
];

/// Whether the space at `at` stands between a number and its unit.
fn is_before_unit(glyphs: &[Glyph], at: usize) -> bool {
    if at == 0 || !glyphs[at - 1].character.is_ascii_digit() {
        return false;
    }
    let rest = glyphs[at + 1..].iter().map(|glyph| glyph.character);
    let word: String = rest
        .take(5)
        .take_while(|character| character.is_alphabetic() || "%°µΩ".contains(*character))
        .collect();
    UNITS.contains(&word.as_str())
}

/// Turns spans into glyphs: composed (NFC), each in a face that has it, kerned within one face and style.
fn shape(spans: &[Span]) -> Vec<Glyph> {
    let mut glyphs: Vec<Glyph> = Vec::new();
    for span in spans {
        let first = glyphs.len();
        let text: Vec<char> = span
            .text
            .nfc()
            .filter(|character| !is_ignorable(*character))
            .collect();
        for word in text.split_inclusive(|character| character.is_whitespace()) {
            let foreign = is_greek_word(span.style.family, word);
            for &character in word {
                glyphs.push(glyph_of(
                    character,
                    span.style,
                    foreign && is_greek(character),
                ));
            }
        }
        kern(&mut glyphs[first..]);
    }
    glyphs
}

fn kern(glyphs: &mut [Glyph]) {
    for at in 1..glyphs.len() {
        let (left, right) = (glyphs[at - 1], glyphs[at]);
        if left.face == right.face {
            glyphs[at - 1].kerning =
                fonts::kerning(left.face, left.id, right.id) * left.style.size / 1000.0;
        }
    }
}

fn glyph_of(character: char, style: Style, skip_own_face: bool) -> Glyph {
    if character == '\n' {
        return Glyph {
            character: '\n',
            ..space(style)
        };
    }
    let character = match character {
        '\t' | '\r' | '\u{B}' | '\u{C}' | '\u{85}' | '\u{2028}' | '\u{2029}' => ' ',
        other => other,
    };
    let found = fonts::find(style.family, character, skip_own_face);
    Glyph {
        face: found.face,
        id: found.glyph,
        character: found.text,
        style,
        advance: found.advance * style.size / 1000.0,
        kerning: 0.0,
    }
}

fn space(style: Style) -> Glyph {
    let found = fonts::find(style.family, ' ', false);
    let advance = found.advance * style.size / 1000.0;
    Glyph {
        face: found.face,
        id: found.glyph,
        character: ' ',
        style,
        advance,
        kerning: 0.0,
    }
}

/// Characters that have no shape by definition: joiners, direction marks, soft hyphens, the byte order mark.
fn is_ignorable(character: char) -> bool {
    matches!(character, '\u{AD}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{2069}' | '\u{FEFF}' | '\u{FE00}'..='\u{FE0F}')
}

fn is_greek(character: char) -> bool {
    matches!(character, '\u{370}'..='\u{3FF}' | '\u{1F00}'..='\u{1FFF}')
}

/// The text faces have a few Greek letters for units and formulas. In a Greek word they would stand out from the rest,
/// so such a word is set in the fallback face as a whole.
fn is_greek_word(family: Family, word: &[char]) -> bool {
    word.iter()
        .any(|character| is_greek(*character) && !fonts::own_face_has(family, *character))
}
