//! What goes on the outside of a return parcel, or on its waybill: battery marks, words, the shipper's sentence.
//!
//! A mark or a letter height that the rule book asks for and this program does not draw is refused, never printed at another size.

use domain::cells::book::RuleBody;
use domain::cells::transport::{Mark, MarkKind, Verdict};
use papers::model::{self, MarkSize, RuleCited};

use super::cited::fired;
use super::{Drawing, MARKS_MAX};
use crate::drawing::lab_head;
use crate::error::DeskError;

/// Words without a height in their rule are printed at this height, in millimetres. Common practice, no source.
const WORDS_HEIGHT_MM: u32 = 6;
/// The hatching that is drawn is at least so wide, in millimetres.
const HATCHING_MM: i64 = 5;

impl Drawing<'_> {
    /// The marks, one for each package; `None` when none is asked for.
    pub(super) fn battery_marks(&self) -> Result<Option<model::BatteryMarks>, DeskError> {
        let asked: Vec<&Mark> = of_kind(self.papers.verdict, MarkKind::BatteryMark).collect();
        let mut un_numbers = Vec::new();
        for mark in &asked {
            self.check_measures(mark)?;
            un_numbers.extend(mark.lines.iter().filter_map(|line| un_number(line)));
        }
        if un_numbers.is_empty() {
            return Ok(None);
        }
        let packages = self.packages();
        let (size, height) = if self.papers.small_marks {
            (MarkSize::Small, "MARK.HEIGHT.SMALL")
        } else {
            (MarkSize::Full, "MARK.HEIGHT")
        };
        let rules = self.cited(&["MARK.WIDTH", height, "MARK.HATCH", "MARK.UN.HEIGHT"]);
        let marks = (1..=packages.min(MARKS_MAX))
            .map(|package| model::BatteryMark {
                un_numbers: un_numbers.clone(),
                size,
                telephone: String::new(),
                placement: if packages > MARKS_MAX {
                    format!("For one of {packages} packages.")
                } else {
                    format!("For package {package} of {packages}.")
                },
                rules: rules.clone(),
            })
            .collect();
        Ok(Some(model::BatteryMarks {
            meta: self.meta("Battery mark"),
            lab: self.lab.name.clone(),
            reference: self.reference().to_owned(),
            marks,
            ..model::BatteryMarks::default()
        }))
    }

    /// Whether the book asks for just the mark that is drawn.
    fn check_measures(&self, mark: &Mark) -> Result<(), DeskError> {
        let hatching = self.in_force.value("MARK.HATCH", RuleBody::Any);
        let drawn = mark.size_mm == Some((100, 100))
            && mark.small_size_mm == Some((100, 70))
            && mark.letter_height_mm.is_some_and(|height| height <= 12)
            && hatching.is_some_and(|hatching| hatching <= HATCHING_MM);
        if drawn {
            Ok(())
        } else {
            Err(DeskError::refused(
                "the rule book asks for a battery mark of other measures than this program draws; use a printed mark of the edition in force",
            ))
        }
    }

    pub(super) fn word_labels(&self) -> Option<model::WordLabels> {
        let labels: Vec<model::WordLabel> = of_kind(self.papers.verdict, MarkKind::Words)
            .flat_map(|mark| self.labels(mark))
            .collect();
        (!labels.is_empty()).then(|| model::WordLabels {
            meta: self.meta("Words on the parcel"),
            lab: self.lab.name.clone(),
            reference: self.reference().to_owned(),
            labels,
            ..model::WordLabels::default()
        })
    }

    /// Each line of a mark is a label of its own where its rule gives a letter height; others stay together.
    fn labels(&self, mark: &Mark) -> Vec<model::WordLabel> {
        let texts = match mark.letter_height_mm {
            // In capitals every letter has the height; in mixed letters the label would have to be half as large again.
            Some(_) => mark.lines.iter().map(|line| line.to_uppercase()).collect(),
            None => vec![mark.lines.join("\n")],
        };
        let height_mm = mark.letter_height_mm.unwrap_or(WORDS_HEIGHT_MM);
        let rules = match mark.code.as_str() {
            "T-DDR" => self.cited(&["DDR.TXT.HEIGHT"]),
            "OVERPACK" => self.cited(&["OVERPACK.TXT"]),
            "T-USPS" => self.cited(&["R24"]),
            _ if height_mm > 6 => self.cited(&["AIRTXT.HEIGHT.BIG"]),
            _ => self.cited(&["AIRTXT.HEIGHT"]),
        };
        texts
            .into_iter()
            .map(|text| model::WordLabel {
                words: kept_together(&text),
                letter_height_mm: f32::from(u16::try_from(height_mm).unwrap_or(u16::MAX)),
                placement: mark.placing.clone(),
                rules: rules.clone(),
            })
            .collect()
    }

    pub(super) fn waybill(&self) -> Option<model::WaybillSentences> {
        let air: Vec<RuleCited> = self
            .papers
            .verdict
            .rules
            .iter()
            .filter(|rule| rule.regime == RuleBody::Air)
            .map(fired)
            .collect();
        let sentences: Vec<model::WaybillSentence> =
            of_kind(self.papers.verdict, MarkKind::Waybill)
                .flat_map(|mark| mark.lines.iter().map(move |line| (mark, line)))
                .map(|(mark, line)| model::WaybillSentence {
                    text: line.clone(),
                    placement: mark.placing.clone(),
                    rules: air.clone(),
                })
                .collect();
        (!sentences.is_empty()).then(|| model::WaybillSentences {
            meta: self.meta("Air waybill sentence"),
            lab: self.own.on(lab_head(self.lab)),
            reference: self.reference().to_owned(),
            facts: self.facts().into_iter().take(6).collect(),
            sentences,
            notes: vec![
                "The sentence is the shipper’s own statement: whoever signs the waybill answers for it.".to_owned(),
            ],
            ..model::WaybillSentences::default()
        })
    }
}

fn of_kind(verdict: &Verdict, kind: MarkKind) -> impl Iterator<Item = &Mark> {
    verdict.marks.iter().filter(move |mark| mark.kind == kind)
}

/// “UN 3481” to 3481.
fn un_number(text: &str) -> Option<u16> {
    text.trim_start_matches("UN").trim().parse().ok()
}

/// Words that belong together stay on one line of a label.
fn kept_together(text: &str) -> String {
    let pairs = [
        "LITHIUM ION",
        "LITHIUM METAL",
        "SODIUM ION",
        "FOR TRANSPORT",
        "ABOARD AIRCRAFT",
        "AND VESSEL",
        "Electronic Device",
    ];
    pairs.iter().fold(text.to_owned(), |text, pair| {
        text.replace(pair, &pair.replace(' ', "\u{A0}"))
    })
}
