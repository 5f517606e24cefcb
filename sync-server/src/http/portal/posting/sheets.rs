//! The marks and words of a verdict, drawn at their true size for the shop to print.

use domain::cells::transport::{Mark, MarkKind, RuleFired, UnNumber, Verdict};
use papers::PaperError;
use papers::model::{
    BatteryMark, BatteryMarks, PageSetup, PaperMeta, RuleCited, WordLabel, WordLabels,
};

use super::view::certainty;

/// Which sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::http::portal) enum Sheet {
    /// The battery mark.
    Mark,
    /// Words of a lawful letter height.
    Words,
}

impl Sheet {
    /// The sheet with this name in an address.
    pub(in crate::http::portal) fn of_name(name: &str) -> Option<Self> {
        match name {
            "mark.pdf" => Some(Self::Mark),
            "words.pdf" => Some(Self::Words),
            _ => None,
        }
    }

    const fn kind(self) -> MarkKind {
        match self {
            Self::Mark => MarkKind::BatteryMark,
            Self::Words => MarkKind::Words,
        }
    }

    /// Whether the verdict asks for anything on this sheet.
    pub(in crate::http::portal) fn is_needed(self, verdict: &Verdict) -> bool {
        verdict.may_go() && verdict.marks.iter().any(|mark| mark.kind == self.kind())
    }
}

/// Draws a sheet; `None` when the verdict asks for nothing on it, or when the parcel may not go at all.
pub(in crate::http::portal) fn draw(
    sheet: Sheet,
    verdict: &Verdict,
    meta: PaperMeta,
    lab: String,
    reference: String,
    setup: &PageSetup,
) -> Result<Option<Vec<u8>>, PaperError> {
    if !sheet.is_needed(verdict) {
        return Ok(None);
    }
    let marks = verdict
        .marks
        .iter()
        .filter(|mark| mark.kind == sheet.kind());
    let rules = cited(verdict);
    let bytes = match sheet {
        Sheet::Mark => papers::battery_marks(
            &BatteryMarks {
                meta,
                lab,
                reference,
                marks: vec![BatteryMark {
                    un_numbers: verdict.un.iter().filter_map(|un| digits(*un)).collect(),
                    placement: marks
                        .map(|mark| mark.placing.clone())
                        .next()
                        .unwrap_or_default(),
                    rules,
                    ..BatteryMark::default()
                }],
                ..BatteryMarks::default()
            },
            setup,
        )?,
        Sheet::Words => papers::word_labels(
            &WordLabels {
                meta,
                lab,
                reference,
                labels: marks.map(|mark| label(mark, &rules)).collect(),
                ..WordLabels::default()
            },
            setup,
        )?,
    };
    Ok(Some(bytes))
}

/// The height that words get where no rule names one: as for any other words about aircraft.
const LETTERS_MM: u16 = 12;

fn label(mark: &Mark, rules: &[RuleCited]) -> WordLabel {
    let height = mark
        .letter_height_mm
        .and_then(|height| u16::try_from(height).ok())
        .unwrap_or(LETTERS_MM);
    WordLabel {
        words: mark.lines.join("\n"),
        letter_height_mm: f32::from(height),
        placement: mark.placing.clone(),
        rules: rules.to_vec(),
    }
}

/// The rules that asked for marks.
fn cited(verdict: &Verdict) -> Vec<RuleCited> {
    verdict
        .rules
        .iter()
        .filter(|rule| rule.verdict == verdict.verdict)
        .map(of_rule)
        .collect()
}

fn of_rule(rule: &RuleFired) -> RuleCited {
    RuleCited {
        text: String::new(),
        clause: rule.clause.clone(),
        edition: rule.edition.clone(),
        certainty: certainty(rule.certainty).to_owned(),
        checked: format!("last checked {}", rule.last_checked),
    }
}

fn digits(un: UnNumber) -> Option<u16> {
    un.code().trim_start_matches("UN").parse().ok()
}
