//! What goes on a parcel with lithium cells, at its true size: the battery mark, words of a lawful letter height, and the
//! sentence for the air waybill.

use serde::{Deserialize, Serialize};

use super::{Lab, Labelled, MarkWording, PaperMeta, SentenceWording};

/// A rule as papers cite it: never without its edition and how sure it is.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct RuleCited {
    /// What it says, in a sentence; may be empty where the paper says it already.
    pub text: String,
    /// `49 CFR 173.185(c)(3)`.
    pub clause: String,
    /// `text of December 2022`.
    pub edition: String,
    /// How sure, in words: `text read`, `from memory`.
    pub certainty: String,
    /// `last checked 25 November 2026`; may be empty.
    pub checked: String,
}

impl RuleCited {
    /// Clause, edition, certainty and last check in one line.
    pub fn cited(&self) -> String {
        let parts = [&self.clause, &self.edition, &self.certainty, &self.checked];
        let parts = parts.into_iter().filter(|part| !part.is_empty());
        parts.map(String::as_str).collect::<Vec<_>>().join(" · ")
    }
}

/// Sheets of battery marks to cut out.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct BatteryMarks {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings; the default is English.
    #[serde(default)]
    pub wording: MarkWording,
    /// The lab's name.
    pub lab: String,
    /// The parcel they are for.
    pub reference: String,
    /// One for each package.
    pub marks: Vec<BatteryMark>,
}

/// One battery mark.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct BatteryMark {
    /// UN numbers as digits, such as 3481. With more than two, the mark is printed as often as needed, two numbers on each.
    pub un_numbers: Vec<u16>,
    /// Which of the two lawful sizes.
    pub size: MarkSize,
    /// Only for an old US mark that must have one; empty otherwise. Nothing else can be put inside a mark.
    pub telephone: String,
    /// Where it goes and for which package, printed beside the mark; may be empty.
    pub placement: String,
    /// The rules it rests on.
    pub rules: Vec<RuleCited>,
}

/// The lawful sizes of a battery mark.
#[derive(Serialize, Deserialize, Clone, Copy, Debug, PartialEq, Eq, Default)]
#[serde(rename_all = "snake_case")]
pub enum MarkSize {
    /// 100 mm wide, 100 mm high.
    #[default]
    Full,
    /// 100 mm wide, 70 mm high; only for a package that is too small for the other.
    Small,
}

/// Sheets of words to cut out, each at its letter height.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct WordLabels {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings; the default is English.
    #[serde(default)]
    pub wording: MarkWording,
    /// The lab's name.
    pub lab: String,
    /// The parcel they are for.
    pub reference: String,
    /// The labels, in order.
    pub labels: Vec<WordLabel>,
}

/// Words that a rule asks for.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Default)]
pub struct WordLabel {
    /// The words as the rule gives them; a line break in them is kept, and no line ends at a no-break space (U+00A0).
    pub words: String,
    /// No letter or digit is lower than this. Where a rule asks for a height, give the words in capitals: in mixed letters the
    /// small ones get the height, and the label grows.
    pub letter_height_mm: f32,
    /// Where they go, printed under the label; may be empty.
    pub placement: String,
    /// The rules they rest on.
    pub rules: Vec<RuleCited>,
}

/// The sheet with the sentences for the air waybill.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct WaybillSentences {
    /// What the file says about itself.
    pub meta: PaperMeta,
    /// Headings; the default is English.
    #[serde(default)]
    pub wording: SentenceWording,
    /// The lab that sends.
    pub lab: Lab,
    /// The parcel.
    pub reference: String,
    /// To whom, by which carrier, how many packages.
    pub facts: Vec<Labelled>,
    /// To be copied letter by letter.
    pub sentences: Vec<WaybillSentence>,
    /// What to mind, one paragraph each.
    pub notes: Vec<String>,
}

/// One sentence for the air waybill.
#[derive(Serialize, Deserialize, Clone, Debug, PartialEq, Eq, Default)]
pub struct WaybillSentence {
    /// The sentence.
    pub text: String,
    /// Where on the waybill; may be empty.
    pub placement: String,
    /// The rules it rests on.
    pub rules: Vec<RuleCited>,
}
