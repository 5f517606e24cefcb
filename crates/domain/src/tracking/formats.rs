//! The table of tracking number formats: shape, check rule, and which part is the number.
//!
//! To add a carrier, add a row and its numbers to the outside check. A shape is a list of pieces, so that no pattern
//! language is needed and a look-alike in the wrong place never fits by chance.

use std::ops::Range;

use crate::identifiers::check_digit;

use super::s10;

/// A piece of a shape.
#[derive(Debug, Clone, Copy)]
enum Piece {
    /// Exactly this text.
    Text(&'static str),
    /// One of these characters.
    OneOf(&'static str),
    /// So many digits.
    Digits(usize),
    /// So many letters A to Z.
    Letters(usize),
    /// So many letters or digits.
    Either(usize),
}

/// How a check character is worked out.
#[derive(Debug, Clone, Copy)]
enum Rule {
    /// None; only the shape can be judged.
    Absent,
    /// UPU S10, over the eight digits; the country must be assigned too.
    S10,
    /// A rule over the payload, perhaps with digits put in front that the label leaves out.
    Over(fn(&str) -> Option<char>, &'static str),
}

/// Where the parts of a number lie in its text.
pub(super) struct Span {
    /// The tracking number itself.
    pub(super) number: Range<usize>,
    payload: Range<usize>,
}

/// One row of the table.
pub(super) struct Format {
    /// Who carries it.
    pub(super) carrier: &'static str,
    /// Which of the carrier's formats it is.
    pub(super) name: &'static str,
    /// How many other things fit the shape by chance: 0 for a shape with letters or a fixed beginning, more for bare digits.
    pub(super) looseness: u8,
    shapes: &'static [&'static [Piece]],
    /// How many characters in front of the number are routing, by the length of the text.
    routing: Routing,
    /// How many characters the check leaves out in front, not counting a postal code.
    unchecked: usize,
    rule: Rule,
}

/// What stands in front of the number itself.
#[derive(Debug, Clone, Copy)]
enum Routing {
    Nothing,
    /// A fixed count of characters.
    Fixed(usize),
    /// Nothing, or 420 and a postal code of five or nine digits.
    PostalCode,
}

use Piece::{Digits, Either, Letters, OneOf, Text};

fn ones_and_twos(payload: &str) -> Option<char> {
    check_digit::weighted_mod_10(payload, [1, 2])
}

fn ones_and_threes(payload: &str) -> Option<char> {
    check_digit::weighted_mod_10(payload, [1, 3])
}

fn threes_and_ones(payload: &str) -> Option<char> {
    check_digit::weighted_mod_10(payload, [3, 1])
}

fn express_12(payload: &str) -> Option<char> {
    check_digit::weighted_mod_11_10(payload, [3, 1, 7])
}

fn express_34(payload: &str) -> Option<char> {
    check_digit::weighted_mod_11_10(payload, [1, 7, 3])
}

const POSTAL_CODE_IDENTIFIER: &str = "420";
const POSTAL_CODE_LENGTHS: [usize; 2] = [5, 9];
/// In a long FedEx label the tracking number is the last twelve digits, and the check covers all but its last.
const FEDEX_LABEL_ROUTING: usize = 34 - 12;
/// The check of the long label begins two digits before the tracking number, at digit 21.
const FEDEX_LABEL_CHECK_FROM: usize = 20;

/// Every format known, the most telling first.
pub(super) const FORMATS: &[Format] = &[
    Format {
        carrier: "Postal operator",
        name: "UPU S10",
        looseness: 0,
        shapes: &[&[Letters(2), Digits(9), Letters(2)]],
        routing: Routing::Nothing,
        unchecked: 2,
        rule: Rule::S10,
    },
    Format {
        carrier: "UPS",
        name: "1Z",
        looseness: 0,
        shapes: &[&[Text("1Z"), Either(15), Digits(1)]],
        routing: Routing::Nothing,
        unchecked: 2,
        rule: Rule::Over(ones_and_twos, ""),
    },
    Format {
        carrier: "UPS",
        name: "waybill",
        looseness: 1,
        shapes: &[&[OneOf("AHJKTV"), Digits(10)]],
        routing: Routing::Nothing,
        unchecked: 1,
        rule: Rule::Over(ones_and_twos, ""),
    },
    Format {
        carrier: "OnTrac",
        name: "C and 14 digits",
        looseness: 1,
        shapes: &[&[Text("C"), Digits(14)]],
        routing: Routing::Nothing,
        unchecked: 1,
        rule: Rule::Over(ones_and_twos, "4"),
    },
    Format {
        carrier: "OnTrac",
        name: "D and 14 digits",
        looseness: 1,
        shapes: &[&[Text("D"), Digits(14)]],
        routing: Routing::Nothing,
        unchecked: 1,
        rule: Rule::Over(ones_and_twos, "5"),
    },
    Format {
        carrier: "USPS",
        name: "IMpb 92 to 95",
        looseness: 0,
        shapes: &[
            &[Text("9"), OneOf("2345"), Digits(20)],
            &[Text("9"), OneOf("2345"), Digits(24)],
        ],
        routing: Routing::PostalCode,
        unchecked: 0,
        rule: Rule::Over(check_digit::gs1_mod_10, ""),
    },
    Format {
        carrier: "USPS",
        name: "91",
        looseness: 0,
        shapes: &[&[Text("91"), Digits(20)]],
        routing: Routing::PostalCode,
        unchecked: 0,
        rule: Rule::Over(threes_and_ones, ""),
    },
    Format {
        carrier: "FedEx",
        name: "22 digits (Ground 96)",
        looseness: 0,
        shapes: &[&[Text("96"), Digits(20)]],
        routing: Routing::Nothing,
        unchecked: 7,
        rule: Rule::Over(ones_and_threes, ""),
    },
    Format {
        carrier: "FedEx",
        name: "34 digits (Ground 96)",
        looseness: 0,
        shapes: &[&[Text("96"), Digits(32)]],
        routing: Routing::Fixed(FEDEX_LABEL_ROUTING),
        unchecked: FEDEX_LABEL_CHECK_FROM,
        rule: Rule::Over(express_34, ""),
    },
    Format {
        carrier: "FedEx",
        name: "34 digits (label)",
        looseness: 1,
        shapes: &[&[OneOf("012345678"), Digits(33)]],
        routing: Routing::Fixed(FEDEX_LABEL_ROUTING),
        unchecked: FEDEX_LABEL_CHECK_FROM,
        rule: Rule::Over(express_34, ""),
    },
    Format {
        carrier: "DPD",
        name: "27 digits and check",
        looseness: 1,
        shapes: &[&[Digits(27), Either(1)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(check_digit::mod_37_36, ""),
    },
    Format {
        carrier: "Yodel",
        name: "JD and 16 digits",
        looseness: 1,
        shapes: &[&[Text("JD"), Digits(16)], &[Text("JJD"), Digits(16)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Absent,
    },
    Format {
        carrier: "DHL",
        name: "Express piece",
        looseness: 2,
        shapes: &[
            &[Text("J"), Letters(2), Digits(9)],
            &[Text("J"), Letters(2), Digits(10)],
            &[Text("J"), Letters(3), Digits(9)],
            &[Text("J"), Letters(3), Digits(10)],
        ],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Absent,
    },
    Format {
        carrier: "Any carrier",
        name: "GS1 SSCC",
        looseness: 2,
        shapes: &[&[Digits(18)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(check_digit::gs1_mod_10, ""),
    },
    Format {
        carrier: "Any carrier",
        name: "GS1 SSCC after (00)",
        looseness: 1,
        shapes: &[&[Text("00"), Digits(18)]],
        routing: Routing::Fixed(2),
        unchecked: 2,
        rule: Rule::Over(check_digit::gs1_mod_10, ""),
    },
    Format {
        carrier: "USPS",
        name: "20 digits",
        looseness: 2,
        shapes: &[&[Digits(20)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(threes_and_ones, ""),
    },
    Format {
        carrier: "USPS",
        name: "91 left out",
        looseness: 3,
        shapes: &[&[Digits(20)]],
        routing: Routing::PostalCode,
        unchecked: 0,
        rule: Rule::Over(threes_and_ones, "91"),
    },
    Format {
        carrier: "FedEx",
        name: "18 digits (Ground)",
        looseness: 3,
        shapes: &[&[Digits(18)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(check_digit::gs1_mod_10, ""),
    },
    Format {
        carrier: "Canada Post",
        name: "16 digits",
        looseness: 3,
        shapes: &[&[Digits(16)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(threes_and_ones, ""),
    },
    Format {
        carrier: "FedEx",
        name: "15 digits (Ground)",
        looseness: 3,
        shapes: &[&[Digits(15)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(ones_and_threes, ""),
    },
    Format {
        carrier: "DPD",
        name: "14 digits and check",
        looseness: 3,
        shapes: &[&[Digits(14), Either(1)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(check_digit::mod_37_36, ""),
    },
    Format {
        carrier: "FedEx",
        name: "12 digits (Express)",
        looseness: 4,
        shapes: &[&[Digits(12)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(express_12, ""),
    },
    Format {
        carrier: "Purolator",
        name: "12 digits",
        looseness: 4,
        shapes: &[&[OneOf("012345"), Digits(11)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(check_digit::luhn_10, ""),
    },
    Format {
        carrier: "DHL",
        name: "Express waybill",
        looseness: 5,
        shapes: &[&[Digits(10)], &[Digits(11)]],
        routing: Routing::Nothing,
        unchecked: 0,
        rule: Rule::Over(check_digit::mod_7, ""),
    },
];

impl Format {
    /// Where the parts lie, if the text has one of the shapes.
    pub(super) fn fit(&self, text: &str) -> Option<Span> {
        let has_shape = |routing: &usize| {
            let shaped = match self.routing {
                Routing::PostalCode => text.get(*routing..),
                Routing::Nothing | Routing::Fixed(_) => Some(text),
            };
            shaped.is_some_and(|shaped| self.shapes.iter().any(|shape| fits(shape, shaped)))
        };
        let routing = self.routing.lengths(text).into_iter().find(has_shape)?;
        let checked_from = match self.routing {
            Routing::Fixed(_) => self.unchecked,
            Routing::Nothing | Routing::PostalCode => routing + self.unchecked,
        };
        let payload = checked_from..self.check_at(text);
        Some(Span {
            number: routing..text.len(),
            payload,
        })
    }

    /// Where the check character stands: at the end, except in S10, where the country follows it.
    fn check_at(&self, text: &str) -> usize {
        match self.rule {
            Rule::S10 => s10::COUNTRY.start - 1,
            Rule::Absent | Rule::Over(..) => text.len() - 1,
        }
    }

    /// The check character that belongs to the payload.
    fn check_of(&self, payload: &str) -> Option<char> {
        match self.rule {
            Rule::Absent => None,
            Rule::S10 => check_digit::s10(payload),
            Rule::Over(rule, "") => rule(payload),
            Rule::Over(rule, front) => rule(&format!("{front}{payload}")),
        }
    }

    /// True when the format has a check character.
    pub(super) const fn has_check(&self) -> bool {
        !matches!(self.rule, Rule::Absent)
    }

    /// True for the postal operators' common format.
    pub(super) const fn is_postal(&self) -> bool {
        matches!(self.rule, Rule::S10)
    }

    /// Judges the check character, and for S10 that the country has a postal operator.
    pub(super) fn is_right(&self, text: &str, span: &Span) -> bool {
        let at = self.check_at(text);
        let fits = self
            .check_of(&text[span.payload.clone()])
            .is_some_and(|check| text[at..].starts_with(check));
        fits && (!self.is_postal() || s10::country(&text[s10::COUNTRY]).is_some())
    }

    /// The text with its check character worked out anew.
    pub(super) fn with_check(&self, text: &str, span: &Span) -> Option<String> {
        let at = self.check_at(text);
        let check = self.check_of(&text[span.payload.clone()])?;
        Some(format!("{}{check}{}", &text[..at], &text[at + 1..]))
    }
}

impl Routing {
    /// How many characters of `text` may be routing, the fewest first.
    fn lengths(self, text: &str) -> Vec<usize> {
        match self {
            Self::Fixed(length) => vec![length],
            Self::PostalCode if text.starts_with(POSTAL_CODE_IDENTIFIER) => {
                let with_code = POSTAL_CODE_LENGTHS.map(|code| POSTAL_CODE_IDENTIFIER.len() + code);
                std::iter::once(0).chain(with_code).collect()
            }
            Self::Nothing | Self::PostalCode => vec![0],
        }
    }
}

/// True when the whole text is these pieces in turn.
fn fits(shape: &[Piece], text: &str) -> bool {
    let mut rest = text;
    for piece in shape {
        let taken = match *piece {
            Text(literal) => rest.starts_with(literal).then_some(literal.len()),
            OneOf(set) => rest
                .starts_with(|character| set.contains(character))
                .then_some(1),
            Digits(count) => run(rest, count, u8::is_ascii_digit),
            Letters(count) => run(rest, count, u8::is_ascii_uppercase),
            Either(count) => run(rest, count, |byte| {
                byte.is_ascii_digit() || byte.is_ascii_uppercase()
            }),
        };
        let Some(taken) = taken else { return false };
        rest = &rest[taken..];
    }
    rest.is_empty()
}

fn run(text: &str, count: usize, belongs: fn(&u8) -> bool) -> Option<usize> {
    text.as_bytes()
        .get(..count)
        .filter(|bytes| bytes.iter().all(belongs))
        .map(|_| count)
}
