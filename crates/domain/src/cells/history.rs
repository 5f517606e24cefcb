//! Judges a cell by all that was seen of it, not by the last look alone.
//!
//! Each look is judged by the bench rules, with what is known of the cell from the others; looks are also compared with each
//! other: a temperature that rises, a voltage that falls by itself, a charge that stays too low. A reason that was found once
//! stands until a person with battery knowledge has judged the cell with that look before them. Only what a later look answers by
//! itself passes by itself: that nobody had seen the cell, that a reading was missing, that it was warm from the journey.

mod compared;

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

#[cfg(test)]
pub(super) use compared::COMPARED;
use compared::{Compared, JUDGED_DAMAGED, JUDGED_SOUND, PLACED, WITHOUT_CELL};

use super::book::{BenchRules, UsedRule};
use super::schedule::Plan;
use super::{BenchLevel, CellCheck, CellFinding, Chemistry, Judgement, Rating, Reason, judge};
use crate::fact::CellVerdict;
use crate::ids::EntryId;
use crate::recorded::Mark;

/// How somebody came to look at a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum LookKind {
    /// A whole cell check.
    Check,
    /// A reading at its time, or between.
    Reading,
}

/// One look at a cell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Look {
    /// Who and when.
    pub mark: Mark,
    /// How.
    pub kind: LookKind,
    /// What was seen and measured, and nothing else.
    pub check: CellCheck,
}

/// A judgement by a person with battery knowledge.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Judging {
    /// Who and when.
    pub mark: Mark,
    /// What it is.
    pub verdict: CellVerdict,
    /// Why.
    pub reason: String,
    /// The entries the person had before them. Looks that are not among them are not covered.
    pub seen: Vec<EntryId>,
    /// The bench rules that were the lab's own at the time.
    #[serde(default)]
    pub rules: Vec<UsedRule>,
}

/// A reason with the time since which it stands.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Standing {
    /// The reason.
    pub reason: Reason,
    /// Since when, in milliseconds since 1970.
    pub since_ms: u64,
}

/// What a cell is, for whatever leaves the house with it. The order is from best to worst.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "CellDiagnosis"))]
pub enum Diagnosis {
    /// Seen and measured, and nothing is wrong with it.
    Sound,
    /// Nobody can say yet: it must end as sound or damaged before any return.
    #[default]
    Undiagnosed,
    /// Damaged or defective.
    Damaged,
    /// It was or is reacting.
    Critical,
}

impl Diagnosis {
    /// The word on screens and papers.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Undiagnosed => "not diagnosed",
            Self::Damaged => "damaged",
            Self::Critical => "critical",
        }
    }
}

/// What follows from all looks together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HistoryJudgement {
    /// The level, its reasons and actions.
    pub judgement: Judgement,
    /// The same reasons, each with the time since which it stands, the worst first.
    pub standing: Vec<Standing>,
    /// What the cell is.
    pub diagnosis: Diagnosis,
}

/// Reasons of the bench rules that a later look answers by itself, and that a person's judgement can't: nobody had looked or measured.
const NOT_KNOWN: [&str; 5] = ["B36", "B37", "B40", "B41", "B42"];
/// Reasons that a later look answers by itself: warm from outside, a label not read, water near it, a contradiction.
const PASSING: [&str; 4] = ["B08", "B31", "B34", "B38"];
/// What is said of a cell that nothing speaks against.
const NOTHING_AGAINST: [&str; 2] = ["B50", "B51"];

/// That it was put in isolation.
#[derive(Debug, Clone, Copy)]
pub struct Placed<'a> {
    /// Since when, in milliseconds since 1970.
    pub since_ms: u64,
    /// The bench rules that were the lab's own at the time.
    pub rules: &'a [UsedRule],
}

/// Judges a cell by all looks, oldest first, with what people judged meanwhile, each by the rules of its own time. `None` when nobody
/// has looked at it and it was never put in isolation.
pub fn judge_history(
    looks: &[Look],
    judged: &[Judging],
    placed: Option<Placed<'_>>,
) -> Option<HistoryJudgement> {
    if looks.is_empty() && placed.is_none() {
        return None;
    }
    let seen: BTreeSet<EntryId> = judged
        .iter()
        .flat_map(|judging| judging.seen.iter().copied())
        .collect();
    let open: Vec<&Look> = looks
        .iter()
        .filter(|look| !seen.contains(&look.mark.entry_id))
        .collect();
    let known = known(looks, &seen);
    let now = judge(&known);
    let mut found = Found::default();
    let last_ms = looks.last().map_or(0, |look| look.mark.at_ms);
    found.standing_reasons(&open, &known);
    found.compared_reasons(looks, &seen, &known);
    found.present_reasons(&now, looks, &open, &known, last_ms);
    if let Some(placed) = placed {
        let reason = PLACED.reason(BenchRules::used(placed.rules), str::to_owned);
        found.add(reason, placed.since_ms, &[]);
    }
    if let Some((rule, last)) = verdict(judged) {
        let rules = BenchRules::used(&last.rules);
        let reason = rule.reason(rules, |words| format!("{words}: {}", last.reason));
        found.add(reason, last.mark.at_ms, &[]);
    }
    let several = looks.len() > 1 || !judged.is_empty();
    let rules = looks.last().map_or_else(
        || placed.map_or(&[][..], |placed| placed.rules),
        |look| &look.check.rules,
    );
    Some(found.finish(&now, rules, looks.is_empty(), several))
}

/// The judgement that counts. Of two people who did not know of each other's, the one who found damage is believed.
fn verdict(judged: &[Judging]) -> Option<(&'static Compared, &Judging)> {
    let overruled = |damaged: &Judging| {
        judged.iter().any(|other| {
            other.verdict == CellVerdict::Sound && other.seen.contains(&damaged.mark.entry_id)
        })
    };
    let damaged = judged
        .iter()
        .rfind(|judging| judging.verdict == CellVerdict::Damaged && !overruled(judging));
    damaged
        .map(|damaged| (&JUDGED_DAMAGED, damaged))
        .or_else(|| judged.last().map(|last| (&JUDGED_SOUND, last)))
}

/// What is known of the cell now: the latest of each thing, from all looks. Findings that a person has judged count as looked at.
fn known(looks: &[Look], seen: &BTreeSet<EntryId>) -> CellCheck {
    let mut known = CellCheck::default();
    for look in looks {
        keep_printed(&mut known, &look.check);
        known.rules.clone_from(&look.check.rules);
        known.voltage_mv = look.check.voltage_mv.or(known.voltage_mv);
        if look.check.surface_tenths_c.is_some() {
            known.surface_tenths_c = look.check.surface_tenths_c;
            known.room_tenths_c = look.check.room_tenths_c;
            known.warmed_by = look.check.warmed_by;
        }
        let findings = &look.check.findings;
        if was_seen(findings) {
            known.findings = if seen.contains(&look.mark.entry_id) {
                BTreeSet::from([CellFinding::NothingWrong])
            } else {
                findings.clone()
            };
            continue;
        }
        let more = findings
            .iter()
            .copied()
            .filter(|finding| *finding != CellFinding::NotSeen || known.findings.is_empty());
        let more: Vec<CellFinding> = more.collect();
        if more.iter().any(|finding| *finding != CellFinding::NotSeen) {
            known.findings.remove(&CellFinding::NothingWrong);
        }
        known.findings.extend(more);
    }
    known
}

/// What is known of a cell from all looks, with every finding as it was seen.
pub fn known_of(looks: &[Look]) -> CellCheck {
    known(looks, &BTreeSet::new())
}

/// True when somebody looked at the cell itself.
fn was_seen(findings: &BTreeSet<CellFinding>) -> bool {
    !findings.is_empty() && !findings.contains(&CellFinding::NotSeen)
}

/// Takes over what does not change from look to look.
fn keep_printed(known: &mut CellCheck, check: &CellCheck) {
    known.cells_in_series = check.cells_in_series.or(known.cells_in_series);
    known.cells_in_parallel = check.cells_in_parallel.or(known.cells_in_parallel);
    if check.chemistry != Chemistry::Unknown {
        known.chemistry = check.chemistry;
    }
    known.rating = Rating {
        label_uwh: check.rating.label_uwh.or(known.rating.label_uwh),
        nominal_mv: check.rating.nominal_mv.or(known.rating.nominal_mv),
        capacity_mah: check.rating.capacity_mah.or(known.rating.capacity_mah),
        charge_max_mv: check.rating.charge_max_mv.or(known.rating.charge_max_mv),
    };
}

/// Reasons as they are found, each rule once, with the actions that go with them.
#[derive(Default)]
struct Found {
    standing: Vec<Standing>,
    actions: Vec<(BenchLevel, Vec<String>)>,
}

impl Found {
    fn add(&mut self, reason: Reason, since_ms: u64, actions: &[String]) {
        let level = reason.level;
        if let Some(known) = self
            .standing
            .iter_mut()
            .find(|known| known.reason.rule == reason.rule)
        {
            known.since_ms = known.since_ms.min(since_ms);
            known.reason = reason;
        } else {
            self.standing.push(Standing { reason, since_ms });
        }
        if !actions.is_empty() && !self.actions.iter().any(|(_, known)| known == actions) {
            self.actions.push((level, actions.to_vec()));
        }
    }

    /// What each look that no person has judged says by itself, knowing what was found before it.
    fn standing_reasons(&mut self, open: &[&Look], known: &CellCheck) {
        let mut findings: BTreeSet<CellFinding> = BTreeSet::new();
        let mut measured: Option<(u32, &[UsedRule])> = None;
        for look in open {
            let mut check = look.check.clone();
            keep_printed_of(&mut check, known);
            // A look under other rules judges by them what is known, though nobody measured again.
            if let (None, Some((voltage_mv, by))) = (check.voltage_mv, measured)
                && by != check.rules
            {
                check.voltage_mv = Some(voltage_mv);
            }
            if let Some(voltage_mv) = check.voltage_mv {
                measured = Some((voltage_mv, &look.check.rules));
            }
            check.findings.extend(findings.iter().copied());
            if check.findings.len() > 1 && !look.check.findings.contains(&CellFinding::NothingWrong)
            {
                check.findings.remove(&CellFinding::NothingWrong);
            }
            let judgement = judge(&check);
            for reason in &judgement.reasons {
                let rule = reason.rule.as_str();
                if NOT_KNOWN.contains(&rule)
                    || PASSING.contains(&rule)
                    || NOTHING_AGAINST.contains(&rule)
                {
                    continue;
                }
                let actions = if reason.level == judgement.level {
                    &judgement.actions[..]
                } else {
                    &[]
                };
                self.add(reason.clone(), look.mark.at_ms, actions);
            }
            findings.extend(look.check.findings.iter().copied().filter(|finding| {
                !matches!(
                    finding,
                    CellFinding::NothingWrong
                        | CellFinding::NotSeen
                        | CellFinding::Missing
                        | CellFinding::WaterNearIt
                )
            }));
        }
    }

    /// What holds at present and would pass with the next look.
    fn present_reasons(
        &mut self,
        now: &Judgement,
        looks: &[Look],
        open: &[&Look],
        known: &CellCheck,
        last_ms: u64,
    ) {
        let open_looks: Vec<Look> = open.iter().map(|look| (*look).clone()).collect();
        let mut open_now = self::known(&open_looks, &BTreeSet::new());
        keep_printed_of(&mut open_now, known);
        let passing = judge(&open_now);
        let both = [
            (now, &NOT_KNOWN[..]),
            (now, &NOTHING_AGAINST[..]),
            (&passing, &PASSING[..]),
        ];
        for (judgement, rules) in both {
            for reason in &judgement.reasons {
                if rules.contains(&reason.rule.as_str()) && !looks.is_empty() {
                    let since = looks
                        .iter()
                        .find(|look| {
                            judge(&look.check)
                                .reasons
                                .iter()
                                .any(|earlier| earlier.rule == reason.rule)
                        })
                        .map_or(last_ms, |look| look.mark.at_ms);
                    let actions = if reason.level == judgement.level {
                        &judgement.actions[..]
                    } else {
                        &[]
                    };
                    self.add(reason.clone(), since, actions);
                }
            }
        }
    }

    fn finish(
        mut self,
        now: &Judgement,
        rules: &[UsedRule],
        unseen: bool,
        several: bool,
    ) -> HistoryJudgement {
        self.standing.sort_by(|a, b| {
            (std::cmp::Reverse(a.reason.level), &a.reason.rule)
                .cmp(&(std::cmp::Reverse(b.reason.level), &b.reason.rule))
        });
        let level = self
            .standing
            .first()
            .map_or(BenchLevel::Watch, |standing| standing.reason.level);
        if several && level > BenchLevel::Clear {
            // What one look found nothing against is no comfort while something else stands.
            self.standing
                .retain(|standing| standing.reason.level > BenchLevel::Clear);
        }
        let mut actions: Vec<String> = Vec::new();
        for (_, more) in self.actions.iter().filter(|(of, _)| *of == level) {
            merge(&mut actions, more);
        }
        if actions.is_empty() && level > BenchLevel::Clear {
            // Reasons from comparing looks ask for what any reason of their level asks for.
            let like = match level {
                BenchLevel::Emergency => CellFinding::Warming,
                BenchLevel::Isolate => CellFinding::Recalled,
                BenchLevel::Watch | BenchLevel::Clear => CellFinding::LosesCharge,
            };
            actions = judge(&CellCheck {
                findings: BTreeSet::from([like]),
                rules: rules.to_vec(),
                ..CellCheck::default()
            })
            .actions;
        }
        let diagnosis = diagnosis(&self.standing, unseen);
        HistoryJudgement {
            judgement: Judgement {
                level,
                reasons: self
                    .standing
                    .iter()
                    .map(|standing| standing.reason.clone())
                    .collect(),
                actions,
                recheck_minutes: Plan::of_level(level, BenchRules::used(rules))
                    .map_or(Vec::new(), |plan| plan.at_minutes),
                cautions: now.cautions.clone(),
                unknowns: now.unknowns.clone(),
                rules_revision: now.rules_revision.clone(),
            },
            standing: self.standing,
            diagnosis,
        }
    }
}

/// Fills in what does not change from look to look.
fn keep_printed_of(check: &mut CellCheck, known: &CellCheck) {
    let own = check.clone();
    check.cells_in_series = known.cells_in_series;
    check.cells_in_parallel = known.cells_in_parallel;
    check.chemistry = known.chemistry;
    check.rating = known.rating;
    keep_printed(check, &own);
}

/// Isolation as a precaution, and warmth from outside, say nothing yet about what the cell is.
fn diagnosis(standing: &[Standing], unseen: bool) -> Diagnosis {
    let worst = standing
        .iter()
        .filter(|standing| !matches!(standing.reason.rule.as_str(), "B65" | "B08"))
        .map(|standing| standing.reason.level)
        .max();
    let open = standing
        .iter()
        .any(|standing| standing.reason.rule == "B08");
    match worst {
        Some(BenchLevel::Emergency) => Diagnosis::Critical,
        Some(BenchLevel::Isolate) => Diagnosis::Damaged,
        Some(BenchLevel::Clear) if !unseen && !open => Diagnosis::Sound,
        _ => Diagnosis::Undiagnosed,
    }
}

/// Merges two lists that keep one common order.
fn merge(into: &mut Vec<String>, more: &[String]) {
    let mut at = into.len();
    for action in more.iter().rev() {
        match into.iter().position(|known| known == action) {
            Some(known) => at = known,
            None => into.insert(at, action.clone()),
        }
    }
}

/// A temperature in words, from tenths of a degree Celsius.
pub(crate) fn celsius(value: i32) -> String {
    format!("{} °C", tenths(value))
}

fn tenths(value: i32) -> String {
    let sign = if value < 0 { "-" } else { "" };
    let value = value.unsigned_abs();
    format!("{sign}{}.{}", value / 10, value % 10)
}

/// A voltage in words, from millivolts.
pub(crate) fn volts(millivolts: u32) -> String {
    format!("{}.{:03} V", millivolts / 1000, millivolts % 1000)
}

/// What follows when the cell was taken out and no other was seen since.
pub(crate) fn without_cell() -> Judgement {
    let missing = CellCheck {
        findings: BTreeSet::from([CellFinding::Missing]),
        ..CellCheck::default()
    };
    Judgement {
        level: BenchLevel::Clear,
        reasons: vec![WITHOUT_CELL.reason(BenchRules::used(&[]), str::to_owned)],
        actions: Vec::new(),
        recheck_minutes: Vec::new(),
        unknowns: Vec::new(),
        ..judge(&missing)
    }
}
