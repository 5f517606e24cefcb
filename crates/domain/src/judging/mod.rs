//! Judging a reading: the decision rule, named, and the uncertainty it rests on.
//!
//! All of it is integer arithmetic in millionths of a unit, so that every machine judges alike. It must never judge a value better
//! than its rule allows: what a guarded limit can't show to be inside counts as not shown.
//!
//! Sources: JCGM 100:2008 (GUM) for uncertainty, JCGM 106:2012 for decision rules. Clause numbers are from memory.

mod uncertainty;

#[cfg(test)]
mod tests;

use serde::{Deserialize, Serialize};

pub use uncertainty::{Evaluation, EvaluationError, evaluate};

use crate::reading::{Limits, Reading, format_micro};

/// How a measured value is judged against its limits.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum DecisionRule {
    /// The measured value itself decides, whatever its uncertainty (JCGM 106:2012, 8.2).
    #[default]
    SimpleAcceptance,
    /// The measured value must keep clear of each limit by its expanded uncertainty, w = U (JCGM 106:2012, 8.3.2). For limits that
    /// protect people.
    GuardedAcceptance,
}

impl DecisionRule {
    /// Its name on screens and papers.
    pub const fn name(self) -> &'static str {
        match self {
            Self::SimpleAcceptance => "simple acceptance",
            Self::GuardedAcceptance => "guarded acceptance, w = U",
        }
    }

    /// Where it is described.
    pub const fn source(self) -> &'static str {
        match self {
            Self::SimpleAcceptance => "JCGM 106:2012, 8.2",
            Self::GuardedAcceptance => "JCGM 106:2012, 8.3.2",
        }
    }
}

/// What a reading comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Judged {
    /// Accepted by the rule.
    Accepted,
    /// Outside a limit.
    Outside,
    /// Inside the limits, but nearer to one than its uncertainty; the rule does not accept that.
    InGuardBand,
    /// The rule needs the uncertainty, and it is not known.
    UncertaintyNotKnown,
}

/// Judges a reading by a named rule.
pub fn judge_reading(reading: &Reading, limits: &Limits, rule: DecisionRule) -> Judged {
    if !limits.accept(reading.micro) {
        return Judged::Outside;
    }
    match (rule, reading.uncertainty_micro) {
        (DecisionRule::SimpleAcceptance, _) => Judged::Accepted,
        (DecisionRule::GuardedAcceptance, None) => Judged::UncertaintyNotKnown,
        (DecisionRule::GuardedAcceptance, Some(uncertainty)) => {
            if keeps_clear(reading.micro, limits, uncertainty) {
                Judged::Accepted
            } else {
                Judged::InGuardBand
            }
        }
    }
}

/// True when the value lies at least the guard band inside each limit there is.
fn keeps_clear(micro: i64, limits: &Limits, band_micro: i64) -> bool {
    let (value, band) = (i128::from(micro), i128::from(band_micro).abs());
    let above = |low: i64| value - band >= i128::from(low);
    let below = |high: i64| value + band <= i128::from(high);
    limits.low_micro.is_none_or(above) && limits.high_micro.is_none_or(below)
}

/// The judgement in a sentence, with the limits, the rule, and what it means here.
pub fn judgement_words(reading: &Reading, limits: &Limits, rule: DecisionRule) -> String {
    let limits_words = limits.words(reading.unit);
    if limits_words.is_empty() {
        return format!("{reading}, without limits");
    }
    let verdict = match judge_reading(reading, limits, rule) {
        Judged::Accepted if rule == DecisionRule::SimpleAcceptance && limits.is_close(reading) => {
            "within, though its uncertainty reaches across a limit"
        }
        Judged::Accepted => "within",
        Judged::Outside => "outside",
        Judged::InGuardBand => "nearer to a limit than its uncertainty, which this rule refuses",
        Judged::UncertaintyNotKnown => {
            "not shown to be within, because this rule needs the uncertainty"
        }
    };
    format!(
        "{reading} against {limits_words}, by {}: {verdict}",
        rule.name()
    )
}

/// The limits as they act under a rule: narrowed by the guard band where there is one.
pub fn acceptance_words(reading: &Reading, limits: &Limits, rule: DecisionRule) -> String {
    match (rule, reading.uncertainty_micro) {
        (DecisionRule::GuardedAcceptance, Some(uncertainty)) => Limits {
            low_micro: limits.low_micro.map(|low| low.saturating_add(uncertainty)),
            high_micro: limits
                .high_micro
                .map(|high| high.saturating_sub(uncertainty)),
        }
        .words(reading.unit),
        _ => limits.words(reading.unit),
    }
}

/// Why an instrument can't have shown a value, in a sentence; none when it can.
pub fn out_of_range(
    instrument: &crate::fact::Instrument,
    micro: i64,
    unit: crate::reading::Unit,
) -> Option<String> {
    let name = if instrument.name.is_empty() {
        "The instrument"
    } else {
        instrument.name.as_str()
    };
    let with_unit = |micro: i64| {
        format!("{} {}", format_micro(micro), unit.symbol())
            .trim_end()
            .to_owned()
    };
    let beyond = instrument
        .high_micro
        .filter(|high| micro > *high)
        .map(|high| format!("more than {}", with_unit(high)))
        .or_else(|| {
            instrument
                .low_micro
                .filter(|low| micro < *low)
                .map(|low| format!("less than {}", with_unit(low)))
        })?;
    Some(format!(
        "{name} can't show {beyond}, but {} was typed; check the number and its unit",
        with_unit(micro)
    ))
}
