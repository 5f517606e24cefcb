//! References that people read, type and scan: one for a job, one for a parcel, one for a removed cell.
//!
//! A reference is eight symbols of Crockford's base 32 and a check character, shown as `7K3M-2Q9X-T`. The symbols are the
//! last forty bits of the UUIDv7, which are random, so a reference needs no counter and two benches that are apart never
//! give out the same one in practice. It finds a job; it is not the job's identity. A wrong check character is always
//! refused, since a reference that is nearly right would open another shop's device.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::identifiers::check_digit::mod_37_36;
use crate::identifiers::{Likely, likely_readings, plain};
use crate::ids::{CellId, JobId, ParcelId};

#[cfg(test)]
mod tests;

/// Crockford's base 32: no I, L, O and U, so that no symbol looks like another and no word appears.
const SYMBOLS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const SYMBOL_COUNT: usize = 8;
const SYMBOL_BITS: u32 = 5;
const BYTE_COUNT: usize = SYMBOL_COUNT * SYMBOL_BITS as usize / 8;
/// In print, the symbols stand in groups of four.
const GROUP_LENGTH: usize = 4;

/// Why a text is no reference.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReferenceError {
    /// Too short or too long.
    #[error("“{text}” has {length} symbols; a reference has nine, as in 7K3M-2Q9X-T")]
    Length {
        /// What was typed.
        text: String,
        /// How many symbols it has without dashes and spaces.
        length: usize,
    },
    /// A character that no reference has.
    #[error(
        "“{text}” holds “{character}”, which no reference has; it is digits and letters without U, as in 7K3M-2Q9X-T"
    )]
    Symbol {
        /// What was typed.
        text: String,
        /// The first character that doesn't belong.
        character: char,
    },
    /// The check character does not fit.
    #[error(
        "“{text}” is not right: its last character does not fit the others{}",
        suggestion(likely)
    )]
    Check {
        /// What was typed.
        text: String,
        /// What it may have been, best first, each in the form shown to people.
        likely: Vec<Likely>,
    },
}

fn suggestion(likely: &[Likely]) -> String {
    let texts: Vec<&str> = likely.iter().map(|reading| reading.text.as_str()).collect();
    if texts.is_empty() {
        String::new()
    } else {
        format!("; perhaps {}", texts.join(" or "))
    }
}

/// Eight symbols and their check character.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Symbols([u8; SYMBOL_COUNT]);

impl Symbols {
    /// The last forty bits of an id.
    fn of(id: &[u8; 16]) -> Self {
        let bits = id[id.len() - BYTE_COUNT..]
            .iter()
            .fold(0_u64, |bits, &byte| bits << 8 | u64::from(byte));
        let mut symbols = [0; SYMBOL_COUNT];
        for (index, symbol) in symbols.iter_mut().rev().enumerate() {
            let value = bits >> (index * SYMBOL_BITS as usize) & 0b1_1111;
            *symbol = SYMBOLS[usize::try_from(value).unwrap_or_default()];
        }
        Self(symbols)
    }

    fn payload(self) -> String {
        self.0.iter().copied().map(char::from).collect()
    }

    fn compact(self) -> String {
        let payload = self.payload();
        let check =
            mod_37_36(&payload).expect("every symbol of base 32 is in the alphabet of MOD 37,36");
        format!("{payload}{check}")
    }

    fn parse(text: &str) -> Result<Self, ReferenceError> {
        let typed = text.trim().to_owned();
        let packed: String = plain(text)
            .chars()
            .filter(|character| !matches!(character, ' ' | '-'))
            .collect();
        let length = packed.chars().count();
        if length != SYMBOL_COUNT + 1 {
            return Err(ReferenceError::Length {
                text: typed,
                length,
            });
        }
        let stray = |(index, character): &(usize, char)| {
            symbol(*character).is_none() && !(*index == SYMBOL_COUNT && *character == 'U')
        };
        if let Some((_, character)) = packed.chars().enumerate().find(stray) {
            return Err(ReferenceError::Symbol {
                text: typed,
                character,
            });
        }
        if let Some(symbols) = judge(&packed) {
            return Ok(symbols);
        }
        // What looks alike was already made one, so that only real slips are proposed.
        let payload: String = packed
            .chars()
            .take(SYMBOL_COUNT)
            .filter_map(symbol)
            .map(char::from)
            .collect();
        let folded = format!("{payload}{}", packed.chars().last().unwrap_or_default());
        let with_check = mod_37_36(&payload).map(|check| format!("{payload}{check}"));
        let mut likely = likely_readings(
            &folded,
            |candidate| judge(candidate).is_some_and(|symbols| symbols.compact() == candidate),
            with_check,
        );
        for reading in &mut likely {
            reading.text = grouped(&reading.text);
        }
        Err(ReferenceError::Check {
            text: typed,
            likely,
        })
    }
}

/// The symbol a character stands for: o is 0, i and l are 1 (Crockford's rule). `None` for U and whatever else is no symbol.
fn symbol(character: char) -> Option<u8> {
    let character = match character {
        'O' => '0',
        'I' | 'L' => '1',
        _ => character,
    };
    u8::try_from(character)
        .ok()
        .filter(|byte| SYMBOLS.contains(byte))
}

/// The symbols of nine packed characters whose check character fits.
///
/// The check character comes from the alphabet 0 to 9, A to Z, so it can be I, L, O or U. Which of 0 and O, or of 1, I and
/// L, was meant can't be told in print, so there each stands for the others. That lets fewer than one in a hundred single
/// slips pass the check; among 2^40 references, such a slip finds no job.
fn judge(packed: &str) -> Option<Symbols> {
    let mut characters = packed.chars();
    let mut symbols = [0; SYMBOL_COUNT];
    for place in &mut symbols {
        *place = symbol(characters.next()?)?;
    }
    let symbols = Symbols(symbols);
    let typed = characters.next()?;
    let check = mod_37_36(&symbols.payload())?;
    let same = typed == check || (symbol(typed).is_some() && symbol(typed) == symbol(check));
    (same && characters.next().is_none()).then_some(symbols)
}

/// `7K3M2Q9XT` as `7K3M-2Q9X-T`.
fn grouped(compact: &str) -> String {
    let characters: Vec<char> = compact.chars().collect();
    characters
        .chunks(GROUP_LENGTH)
        .map(|group| group.iter().collect::<String>())
        .collect::<Vec<_>>()
        .join("-")
}

macro_rules! reference {
    ($(#[$doc:meta])* $name:ident, $id:ident, $prefix:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(type = "string"))]
        pub struct $name(Symbols);

        impl $name {
            /// What a QR code of this kind begins with.
            pub const QR_PREFIX: &'static str = $prefix;

            /// The reference of an id.
            pub fn of(id: $id) -> Self {
                Self(Symbols::of(id.as_bytes()))
            }

            /// True when this is the id's reference. Another id may share it, one in 2^40.
            pub fn belongs_to(self, id: $id) -> bool {
                self == Self::of(id)
            }

            /// The nine characters without dashes, for lookup.
            pub fn compact(self) -> String {
                self.0.compact()
            }

            /// What the QR code on a tag or slip holds.
            pub fn qr_text(self) -> String {
                format!("{}{}", Self::QR_PREFIX, self.compact())
            }

            /// Reads what a QR code holds; `None` when it is a code of another kind.
            pub fn from_qr(text: &str) -> Option<Result<Self, ReferenceError>> {
                plain(text).strip_prefix(Self::QR_PREFIX).map(str::parse)
            }
        }

        impl fmt::Display for $name {
            /// As shown to people: `7K3M-2Q9X-T`.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&grouped(&self.compact()))
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!(stringify!($name), "({})"), self)
            }
        }

        impl From<$id> for $name {
            fn from(id: $id) -> Self {
                Self::of(id)
            }
        }

        impl FromStr for $name {
            type Err = ReferenceError;

            /// Accepts either case, dashes and spaces anywhere, o for 0, i and l for 1.
            fn from_str(text: &str) -> Result<Self, ReferenceError> {
                Symbols::parse(text).map(Self)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                String::deserialize(deserializer)?.parse().map_err(de::Error::custom)
            }
        }
    };
}

reference!(
    /// The reference of a job, on its tag, its bag and every screen.
    JobRef,
    JobId,
    "WB:J:"
);
reference!(
    /// The reference of a parcel, on the slip that a shop puts in its box and on a return parcel.
    ParcelRef,
    ParcelId,
    "WB:P:"
);
reference!(
    /// The reference of a cell that was taken out of its device, on its label in the Cell bay.
    CellRef,
    CellId,
    "WB:C:"
);
