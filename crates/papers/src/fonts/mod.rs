//! The bundled typefaces: which one has a character, how wide it is, how a pair is kerned.
//!
//! Ranges kept of Noto Sans: U+0020-007E, 00A0-05FF, 1C80-1C8F, 1D00-23FF, 2C60-2C7F, A640-A69F, A720-A7FF, FFFD.
//! Of Noto Sans Math: U+2190-23FF. Never reads a font of the machine: a paper looks the same everywhere.

use std::sync::LazyLock;

use ttf_parser::GlyphId;
use ttf_parser::gpos::{PairAdjustment, PositioningSubtable};

use crate::error::PaperError;

#[cfg(test)]
mod tests;

/// A typeface file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Face {
    Text,
    TextBold,
    Mono,
    MonoBold,
    Noto,
    NotoBold,
    Math,
}

/// All faces, in the order of their discriminants.
const FACES: [Face; 7] = [
    Face::Text,
    Face::TextBold,
    Face::Mono,
    Face::MonoBold,
    Face::Noto,
    Face::NotoBold,
    Face::Math,
];

/// What a caller asks for; fallbacks are chosen character by character.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Family {
    Text,
    TextBold,
    Mono,
    MonoBold,
}

impl Family {
    fn chain(self) -> [Face; 3] {
        match self {
            Self::Text => [Face::Text, Face::Noto, Face::Math],
            Self::TextBold => [Face::TextBold, Face::NotoBold, Face::Math],
            Self::Mono => [Face::Mono, Face::Noto, Face::Math],
            Self::MonoBold => [Face::MonoBold, Face::NotoBold, Face::Math],
        }
    }

    /// Whether hyphens and slashes are part of an identifier, so that a line must not end there.
    pub(crate) fn is_mono(self) -> bool {
        matches!(self, Self::Mono | Self::MonoBold)
    }
}

impl Face {
    /// The resource name in the PDF. Its first six letters become the subset tag (ISO 32000-1, 9.6.4), so they are
    /// capitals and differ.
    pub(crate) fn resource_name(self) -> &'static str {
        match self {
            Self::Text => "WBTEXR",
            Self::TextBold => "WBTEXB",
            Self::Mono => "WBMONR",
            Self::MonoBold => "WBMONB",
            Self::Noto => "WBNOTR",
            Self::NotoBold => "WBNOTB",
            Self::Math => "WBMATR",
        }
    }

    pub(crate) fn bytes(self) -> &'static [u8] {
        match self {
            Self::Text => include_bytes!("../../fonts/AtkinsonHyperlegibleNext-Regular.ttf"),
            Self::TextBold => include_bytes!("../../fonts/AtkinsonHyperlegibleNext-Bold.ttf"),
            Self::Mono => include_bytes!("../../fonts/AtkinsonHyperlegibleMono-Regular.ttf"),
            Self::MonoBold => include_bytes!("../../fonts/AtkinsonHyperlegibleMono-Bold.ttf"),
            Self::Noto => include_bytes!("../../fonts/NotoSans-Regular.ttf"),
            Self::NotoBold => include_bytes!("../../fonts/NotoSans-Bold.ttf"),
            Self::Math => include_bytes!("../../fonts/NotoSansMath-Regular.ttf"),
        }
    }

    fn typeface(self) -> Option<&'static Typeface> {
        TYPEFACES[self as usize].as_ref()
    }
}

struct Typeface {
    face: ttf_parser::Face<'static>,
    pairs: Vec<PairAdjustment<'static>>,
    /// Font units to thousandths of an em.
    scale: f32,
}

static TYPEFACES: LazyLock<[Option<Typeface>; 7]> = LazyLock::new(|| FACES.map(load));

fn load(face: Face) -> Option<Typeface> {
    let parsed = ttf_parser::Face::parse(face.bytes(), 0).ok()?;
    let mut pairs = Vec::new();
    if let Some(gpos) = parsed.tables().gpos {
        // Only the kern feature was kept when the files were cut, so every pair lookup is one.
        for lookup in gpos.lookups {
            for subtable in lookup.subtables.into_iter::<PositioningSubtable<'static>>() {
                if let PositioningSubtable::Pair(pair) = subtable {
                    pairs.push(pair);
                }
            }
        }
    }
    let scale = 1000.0 / f32::from(parsed.units_per_em());
    Some(Typeface {
        face: parsed,
        pairs,
        scale,
    })
}

/// Checks that every bundled face can be read.
pub(crate) fn check_bundled() -> Result<(), PaperError> {
    match FACES.into_iter().find(|face| face.typeface().is_none()) {
        Some(face) => Err(PaperError::Font {
            name: face.resource_name(),
        }),
        None => Ok(()),
    }
}

/// A character found in a face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Found {
    pub(crate) face: Face,
    pub(crate) glyph: u16,
    /// Thousandths of an em.
    pub(crate) advance: f32,
    /// What a reader gets when it copies the glyph: the character, or U+FFFD when no face has it.
    pub(crate) text: char,
}

/// Finds a character. One that no face has becomes a visible replacement mark, never nothing.
pub(crate) fn find(family: Family, character: char, skip_first: bool) -> Found {
    let chain = family.chain();
    let faces = if skip_first { &chain[1..] } else { &chain[..] };
    for &face in faces {
        if let Some(found) = lookup(face, character) {
            return found;
        }
    }
    let fallback = chain[1];
    lookup(fallback, '\u{FFFD}').unwrap_or(Found {
        face: fallback,
        glyph: 0,
        advance: 600.0,
        text: '\u{FFFD}',
    })
}

/// Whether the family's own face has the character.
pub(crate) fn own_face_has(family: Family, character: char) -> bool {
    lookup(family.chain()[0], character).is_some()
}

fn lookup(face: Face, character: char) -> Option<Found> {
    let typeface = face.typeface()?;
    let glyph = typeface
        .face
        .glyph_index(character)
        // The micro sign and the Greek letter look alike; a face that has only one serves for both.
        .or_else(|| {
            (character == '\u{B5}')
                .then(|| typeface.face.glyph_index('\u{3BC}'))
                .flatten()
        })
        // Narrow and other fixed spaces are drawn as a plain space where a face lacks them.
        .or_else(|| {
            is_fixed_space(character)
                .then(|| typeface.face.glyph_index(' '))
                .flatten()
        })?;
    let advance = f32::from(typeface.face.glyph_hor_advance(glyph)?) * typeface.scale;
    Some(Found {
        face,
        glyph: glyph.0,
        advance,
        text: character,
    })
}

fn is_fixed_space(character: char) -> bool {
    matches!(character, '\u{A0}' | '\u{2007}' | '\u{2009}' | '\u{202F}')
}

/// How far a glyph reaches above and below the baseline, in thousandths of an em, by its outline; `None` without one.
///
/// A letter height that a rule asks for is this, not the type size: a 12 mm capital takes some 18 mm of type.
pub(crate) fn reach(face: Face, glyph: u16) -> Option<(f32, f32)> {
    let typeface = face.typeface()?;
    let bounds = typeface.face.glyph_bounding_box(GlyphId(glyph))?;
    Some((
        f32::from(bounds.y_max) * typeface.scale,
        f32::from(bounds.y_min) * typeface.scale,
    ))
}

/// How far a pair is moved together (negative) or apart, in thousandths of an em.
pub(crate) fn kerning(face: Face, left: u16, right: u16) -> f32 {
    let Some(typeface) = face.typeface() else {
        return 0.0;
    };
    let (left, right) = (GlyphId(left), GlyphId(right));
    for pair in &typeface.pairs {
        let Some(index) = pair.coverage().get(left) else {
            continue;
        };
        let value = match pair {
            PairAdjustment::Format1 { sets, .. } => sets.get(index).and_then(|set| set.get(right)),
            PairAdjustment::Format2 {
                classes, matrix, ..
            } => matrix.get((classes.0.get(left), classes.1.get(right))),
        };
        if let Some((first, _)) = value {
            return f32::from(first.x_advance) * typeface.scale;
        }
    }
    0.0
}
