//! What a number with a wrong check digit was probably meant to be.
//!
//! Three slips are tried: one character taken for a look-alike, two neighbours swapped, and a wrong check digit itself.
//! The result is a short list for a person to compare with the paper or the device. Nothing is ever corrected unasked.

use serde::{Deserialize, Serialize};

/// How the check digit of a text came out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "verdict", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "CheckVerdict"))]
pub enum Verdict {
    /// It fits.
    Right,
    /// It doesn't fit; the text is kept as it is, with these as the probable readings, best first.
    Wrong {
        /// Probable readings; empty when no single slip explains it.
        likely: Vec<Likely>,
    },
    /// This kind of text has no check digit, or none was shown.
    None,
}

impl Verdict {
    /// True when there is a check digit and it does not fit.
    pub const fn is_wrong(&self) -> bool {
        matches!(self, Self::Wrong { .. })
    }

    /// True when there is a check digit and it fits.
    pub const fn is_right(&self) -> bool {
        matches!(self, Self::Right)
    }

    /// The probable readings as plain texts, best first.
    pub fn likely_texts(&self) -> Vec<&str> {
        match self {
            Self::Wrong { likely } => likely.iter().map(|reading| reading.text.as_str()).collect(),
            Self::Right | Self::None => Vec::new(),
        }
    }

    /// One sentence to show beside a number whose check digit does not fit, with the first things it may have been; nothing
    /// when it is right or there is none. `name` says what the number is, as in `tracking number`.
    pub fn warning(&self, name: &str) -> Option<String> {
        const TOLD: usize = 3;
        if !self.is_wrong() {
            return None;
        }
        let likely: Vec<&str> = self.likely_texts().into_iter().take(TOLD).collect();
        let perhaps = if likely.is_empty() {
            String::new()
        } else {
            format!(", perhaps {}", likely.join(" or "))
        };
        Some(format!(
            "The check digit of this {name} does not fit; read the label again{perhaps}. It is kept as it is."
        ))
    }

    /// The order in which readings are shown: right, then unchecked, then wrong.
    pub(crate) const fn rank(&self) -> u8 {
        match self {
            Self::Right => 0,
            Self::None => 1,
            Self::Wrong { .. } => 2,
        }
    }
}

/// One probable reading of a text whose check digit is wrong.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "LikelyReading"))]
pub struct Likely {
    /// The whole text with the slip undone; its check digit fits.
    pub text: String,
    /// The slip that would explain what was read.
    pub slip: Slip,
    /// One sentence for the person who compares.
    pub explanation: String,
}

/// A slip of the eye or the hand. Positions count from 1.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "slip", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "ReadingSlip"))]
pub enum Slip {
    /// One character was taken for another that looks like it.
    Misread {
        /// Which character.
        position: usize,
        /// What was read.
        read: char,
        /// What it may have been.
        meant: char,
    },
    /// Two neighbours changed places.
    Swapped {
        /// The first of the two.
        position: usize,
    },
    /// The check digit alone is wrong and the rest is right.
    CheckDigit {
        /// What was read.
        read: String,
        /// What belongs there.
        meant: String,
    },
}

/// Characters that are taken for one another in print, on a dirty label or in handwriting, the likeliest first. Common
/// practice, no source.
const LOOK_ALIKES: &[(char, char)] = &[
    ('0', 'O'),
    ('0', 'D'),
    ('0', 'Q'),
    ('1', 'I'),
    ('1', 'L'),
    ('5', 'S'),
    ('8', 'B'),
    ('2', 'Z'),
    ('6', 'G'),
    ('U', 'V'),
    ('0', '8'),
    ('3', '8'),
    ('6', '8'),
    ('9', '8'),
    ('1', '7'),
    ('5', '6'),
    ('3', '5'),
    ('4', '9'),
    ('0', '6'),
    ('2', '7'),
];

/// The most readings listed. An IMEI has some four look-alikes, one check digit and one or two swaps that fit; more would
/// help nobody who compares them with a label.
const SHOWN_MAX: usize = 8;

/// True when the two characters are taken for one another.
pub fn look_alike(a: char, b: char) -> bool {
    LOOK_ALIKES
        .iter()
        .any(|&pair| pair == (a, b) || pair == (b, a))
}

/// Lists what `text` may have been.
///
/// `is_right` judges a whole candidate, shape included; `with_check` gives `text` with its check digit worked out anew,
/// or nothing where there is no such thing. The best of each slip comes first, then further swaps, which are few, then further
/// look-alikes. Only ASCII texts have likely readings.
pub(crate) fn likely_readings(
    text: &str,
    is_right: impl Fn(&str) -> bool,
    with_check: Option<String>,
) -> Vec<Likely> {
    if !text.is_ascii() {
        return Vec::new();
    }
    let mut misreads = misreads(text, &is_right).into_iter();
    let mut swaps = swaps(text, &is_right).into_iter();
    let check_digit = with_check.filter(|candidate| is_right(candidate));
    // The best of each slip first, since no one of them is known to be the commonest.
    let best = [
        misreads.next(),
        check_digit.map(|candidate| check_digit_alone(text, candidate)),
        swaps.next(),
    ];
    let mut found = Vec::new();
    for candidate in best.into_iter().flatten().chain(swaps).chain(misreads) {
        push_new(&mut found, candidate);
    }
    found.truncate(SHOWN_MAX);
    found
}

fn push_new(found: &mut Vec<Likely>, candidate: Likely) {
    if found.iter().all(|known| known.text != candidate.text) {
        found.push(candidate);
    }
}

fn misreads(text: &str, is_right: &impl Fn(&str) -> bool) -> Vec<Likely> {
    let mut found = Vec::new();
    for &(a, b) in LOOK_ALIKES {
        for (index, read) in text.char_indices() {
            let meant = match read {
                _ if read == a => b,
                _ if read == b => a,
                _ => continue,
            };
            let candidate = format!("{}{meant}{}", &text[..index], &text[index + 1..]);
            if is_right(&candidate) {
                let position = index + 1;
                let explanation =
                    format!("right if character {position} is {meant} and was taken for {read}");
                push_new(
                    &mut found,
                    Likely {
                        text: candidate,
                        slip: Slip::Misread {
                            position,
                            read,
                            meant,
                        },
                        explanation,
                    },
                );
            }
        }
    }
    found
}

fn swaps(text: &str, is_right: &impl Fn(&str) -> bool) -> Vec<Likely> {
    let mut found = Vec::new();
    for index in 1..text.len() {
        let (first, second) = (&text[index - 1..index], &text[index..=index]);
        if first == second {
            continue;
        }
        let candidate = format!(
            "{}{second}{first}{}",
            &text[..index - 1],
            &text[index + 1..]
        );
        if is_right(&candidate) {
            let explanation = format!(
                "right if characters {index} and {} changed places",
                index + 1
            );
            push_new(
                &mut found,
                Likely {
                    text: candidate,
                    slip: Slip::Swapped { position: index },
                    explanation,
                },
            );
        }
    }
    found
}

fn check_digit_alone(text: &str, candidate: String) -> Likely {
    // The check characters stand where the two texts differ: at the end, except in S10 where the country follows.
    let differs = |(read, meant): (char, char)| read != meant;
    let start = text
        .chars()
        .zip(candidate.chars())
        .position(differs)
        .unwrap_or(0);
    let end = text
        .chars()
        .rev()
        .zip(candidate.chars().rev())
        .position(differs)
        .unwrap_or(0);
    let read = text
        .get(start..text.len().saturating_sub(end))
        .unwrap_or_default()
        .to_owned();
    let meant = candidate
        .get(start..candidate.len().saturating_sub(end))
        .unwrap_or_default()
        .to_owned();
    let explanation =
        format!("right if the check digit is {meant}, not {read}, and all else was read well");
    Likely {
        text: candidate,
        slip: Slip::CheckDigit { read, meant },
        explanation,
    }
}
