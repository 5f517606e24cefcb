//! The name of what an entry records: `parcel.received`, `quote.set`.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Longest kind. 64 ASCII bytes leave room for two nouns and a verb and keep the header small.
pub const KIND_BYTES_MAX: usize = 64;

/// A text that was to be a kind and is not one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "“{text}” is not an entry kind; a kind is a noun, a full stop and a past-tense verb in lower case, as in parcel.received"
)]
pub struct KindError {
    /// What was given, cut to 80 characters.
    pub text: String,
}

/// What an entry records, written `noun.verb_past`.
///
/// Two or more words of `a-z`, `0-9` and `_`, each beginning with a letter, joined by full stops; at most 64 bytes. The words
/// of newer programs pass too: the shape is checked, never a list of known kinds.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Kind(String);

impl Kind {
    /// Checks the shape of a kind.
    pub fn new(text: &str) -> Result<Self, KindError> {
        let word = |word: &str| {
            word.starts_with(|c: char| c.is_ascii_lowercase())
                && word
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_')
        };
        if text.len() <= KIND_BYTES_MAX && text.contains('.') && text.split('.').all(word) {
            Ok(Self(text.to_owned()))
        } else {
            Err(KindError {
                text: text.chars().take(80).collect(),
            })
        }
    }

    /// The kind as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl fmt::Debug for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Kind({})", self.0)
    }
}

impl FromStr for Kind {
    type Err = KindError;

    fn from_str(text: &str) -> Result<Self, KindError> {
        Self::new(text)
    }
}

impl Serialize for Kind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Kind {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = std::borrow::Cow::<'de, str>::deserialize(deserializer)?;
        Self::new(&text).map_err(de::Error::custom)
    }
}
