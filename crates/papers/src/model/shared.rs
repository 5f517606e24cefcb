//! The pieces that several papers share: page, lab, addresses, pictures, cautions, values that people disagree on.

use serde::{Deserialize, Serialize};

/// The sheet a paper is printed on.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum PageSize {
    /// 210 x 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 x 11 in, 215.9 x 279.4 mm (ANSI/ASME Y14.1 size A).
    Letter,
}

/// How a paper is to be laid out, apart from what it says.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct PageSetup {
    /// The sheet; job tags on a roll do not use it.
    pub page_size: PageSize,
}

/// What the file says about itself, outside its pages.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct PaperMeta {
    /// Shown in the window's title bar by a reader program.
    pub title: String,
    /// The lab's name.
    pub author: String,
    /// BCP 47 language tag of the text, such as `en` or `de-AT`.
    pub language: String,
    /// When the paper was made, milliseconds since 1970 in UTC. Part of the bytes: the same instant gives the same file.
    pub made_at_ms: i64,
}

/// A picture to print, in the file's own bytes: they are passed through, never encoded again.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Picture {
    /// A baseline or progressive JPEG, grey or three-component, upright (no orientation tag is followed).
    pub jpeg: Vec<u8>,
    /// Width in pixels.
    pub width_px: u32,
    /// Height in pixels.
    pub height_px: u32,
}

/// A picture with the line under it.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Photo {
    /// The picture.
    pub picture: Picture,
    /// What it shows; may be empty.
    pub caption: String,
}

/// The lab that writes the paper.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Lab {
    /// Trading name.
    pub name: String,
    /// Postal address, one line each.
    pub address: Vec<String>,
    /// Telephone, mail, web: one line each.
    pub contact: Vec<String>,
    /// The lab's mark, printed beside its name at most 14 mm high and 42 mm wide.
    pub mark: Option<Picture>,
    /// What stands at the foot of every page, such as a registration; may be empty.
    #[serde(default)]
    pub foot: String,
}

/// A person or business with an address.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Party {
    /// Name.
    pub name: String,
    /// Postal address, one line each; may be empty.
    pub address: Vec<String>,
}

/// A value with its label.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Labelled {
    /// What it is: `Received`, `IMEI`.
    pub label: String,
    /// The value as people read it.
    pub value: String,
    /// Printed in the fixed-width face, so that 0 and O cannot be mistaken: identifiers and readings.
    pub mono: bool,
}

impl Labelled {
    /// A value in the text face.
    pub fn text(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
            mono: false,
        }
    }

    /// A value in the fixed-width face.
    pub fn mono(label: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            value: value.into(),
            mono: true,
        }
    }
}

/// A value that people may have set differently while apart. The others are printed with it, never hidden.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Stated {
    /// The value that shows.
    pub text: String,
    /// The other values still standing; empty when everybody agrees.
    pub others: Vec<OtherValue>,
}

/// One other value of a [`Stated`], and whose it is.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct OtherValue {
    /// The value.
    pub text: String,
    /// Who and when, as one phrase: `Ana Ruiz, 24 Nov 2026, 14:02`.
    pub by: String,
}

impl From<&str> for Stated {
    fn from(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            others: Vec::new(),
        }
    }
}

impl From<String> for Stated {
    fn from(text: String) -> Self {
        Self {
            text,
            others: Vec::new(),
        }
    }
}

/// A warning to the reader, with the edition of the rule it rests on.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct Caution {
    /// A few words: `Lithium cell inside`; may be empty.
    pub title: String,
    /// What to do and what not to do.
    pub text: String,
    /// The rule and its edition; empty for common practice.
    pub source: String,
}

/// The bench level that the cell check gave.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum CellLevel {
    /// Open ring.
    #[default]
    Clear,
    /// Half-filled ring.
    Watch,
    /// Square with a bar.
    Isolate,
    /// Solid diamond.
    Emergency,
}

/// A file for machines that travels inside the paper.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct AttachedRecord {
    /// Its name: `7K3M-2Q9X-T.json`.
    pub file_name: String,
    /// Its media type: `application/json`.
    pub media_type: String,
    /// One line for people.
    pub description: String,
    /// Its content.
    pub bytes: Vec<u8>,
}
