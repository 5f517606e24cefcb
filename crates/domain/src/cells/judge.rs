//! Applies the table of rules to one cell check.

use std::collections::BTreeSet;

use super::book::{BenchRules, RowUnit, RuleBook};
use super::rules::{Limit, ROOM_MAX, RULES, Rule, Step, When};
use super::schedule::{Plan, time_words};
use super::{BenchLevel, CellCheck, CellFinding, Certainty, Chemistry, Judgement, Reason};

/// Judges a cell check by the rules that were in force when it was recorded: those that ship with the program, under the lab's own
/// that it carries.
pub fn judge(check: &CellCheck) -> Judgement {
    judge_under(BenchRules::used(&check.rules), check)
}

/// Judges a cell check by the rules of a book, whatever was in force when it was recorded.
pub fn judge_by(book: &RuleBook, check: &CellCheck) -> Judgement {
    judge_under(BenchRules::of(book), check)
}

/// The same check always gives the same judgement under the same rules.
fn judge_under(rules: BenchRules<'_>, check: &CellCheck) -> Judgement {
    let numbers = Numbers(rules);
    let mut fired: Vec<&Rule> = RULES
        .iter()
        .filter(|rule| {
            !matches!(
                rule.when,
                When::OverRoomFrom(_) | When::OverRoomExplained(_)
            ) && numbers.fires(rule.when, check)
        })
        .collect();
    // Only with nothing else against the cell may an outside warmth explain a warm one.
    let explained =
        check.warmed_by.is_some() && fired.iter().all(|rule| rule.level < BenchLevel::Isolate);
    fired.extend(RULES.iter().filter(|rule| match rule.when {
        When::OverRoomFrom(limit) => !explained && numbers.is_over_room(check, limit),
        When::OverRoomExplained(limit) => explained && numbers.is_over_room(check, limit),
        _ => false,
    }));
    fired.sort_by_key(|rule| (std::cmp::Reverse(rule.level), rule.id));

    // The table holds a rule for every finding and for none, so some rule always fires; none would mean "not known".
    let level = fired.first().map_or(BenchLevel::Watch, |rule| rule.level);
    let steps: BTreeSet<Step> = fired
        .iter()
        .filter(|rule| rule.level == level)
        .flat_map(|rule| rule.steps.iter().copied())
        .collect();
    let plan = Plan::of_level(level, rules);
    Judgement {
        level,
        reasons: fired
            .iter()
            .map(|rule| numbers.reason(rule, check))
            .collect(),
        actions: steps
            .into_iter()
            .map(|step| step_words(step, plan.as_ref(), rules))
            .collect(),
        recheck_minutes: plan.map_or(Vec::new(), |plan| plan.at_minutes),
        cautions: cautions(check),
        unknowns: unknowns(check),
        rules_revision: rules.revision(),
    }
}

/// The numbers that the rules compare with, from the rule book. A number that the book lacks counts as passed: unknown is
/// never taken for good.
#[derive(Clone, Copy)]
struct Numbers<'a>(BenchRules<'a>);

impl Numbers<'_> {
    fn of(self, limit: Limit) -> Option<i64> {
        self.0.value(limit)
    }

    /// A room that was not measured counts as warm as a room may be, so that only a surface which is too warm for any room is
    /// found.
    fn room(self, check: &CellCheck) -> i64 {
        check
            .room_tenths_c
            .map_or_else(|| self.of(ROOM_MAX).unwrap_or_default(), i64::from)
    }

    fn reason(self, rule: &Rule, check: &CellCheck) -> Reason {
        let said = self.0.said(rule.id);
        let words = said.map_or(rule.id, |said| said.text);
        Reason {
            rule: rule.id.to_owned(),
            level: rule.level,
            text: match self.measured(rule.when, check) {
                Some(measured) => format!("{measured}: {words}"),
                None => words.to_owned(),
            },
            source: said.map_or_else(String::new, |said| said.source.to_owned()),
            certainty: said.map_or(Certainty::OwnDerivation, |said| said.certainty),
        }
    }

    fn fires(self, when: When, check: &CellCheck) -> bool {
        match when {
            When::Finding(finding) => check.findings.contains(&finding),
            When::NoFinding => check.findings.is_empty(),
            When::Contradiction => {
                check.findings.contains(&CellFinding::NothingWrong) && check.findings.len() > 1
            }
            When::SurfaceFrom(limit) => check
                .surface_tenths_c
                .is_some_and(|surface| reaches(i64::from(surface), self.of(limit))),
            When::OverRoomFrom(limit) | When::OverRoomExplained(limit) => {
                self.is_over_room(check, limit)
            }
            When::CellBelow(limit) => self.is_cell_below(check, limit),
            When::CellBetween(from, below) => {
                self.is_cell_below(check, below) && !self.is_cell_below(check, from)
            }
            When::AboveMarked => check
                .voltage_mv
                .zip(check.rating.charge_max_mv)
                .is_some_and(|(voltage, marked)| voltage > marked),
            When::CellAboveUnmarked(limit) => self.is_unmarked_cell_above(check, limit),
            When::CellBetweenUnmarked(above, to) => {
                self.is_unmarked_cell_above(check, above) && !self.is_unmarked_cell_above(check, to)
            }
            When::NoVoltage => is_measurable(check) && check.voltage_mv.is_none(),
            When::NoSeriesCount => check.voltage_mv.is_some() && series(check).is_none(),
            When::NoTemperature => {
                is_measurable(check)
                    && (check.surface_tenths_c.is_none() || check.room_tenths_c.is_none())
            }
        }
    }

    /// Whether the surface is so much warmer than the room.
    fn is_over_room(self, check: &CellCheck, limit: Limit) -> bool {
        check
            .surface_tenths_c
            .is_some_and(|surface| reaches(i64::from(surface) - self.room(check), self.of(limit)))
    }

    /// Whether a cell reads less than the limit. With the number of cells unknown, one is taken: what is too low for one cell
    /// is too low for several.
    fn is_cell_below(self, check: &CellCheck, limit: Limit) -> bool {
        let cells = series(check).unwrap_or(1);
        check.voltage_mv.is_some_and(|voltage| {
            self.of(limit)
                .is_none_or(|limit| i64::from(voltage) < limit * cells)
        })
    }

    /// Whether a cell reads more than the limit, with no marked maximum to go by. With the number of cells unknown, nothing can
    /// be said.
    fn is_unmarked_cell_above(self, check: &CellCheck, limit: Limit) -> bool {
        let Some((voltage, cells)) = check.voltage_mv.zip(series(check)) else {
            return false;
        };
        check.rating.charge_max_mv.is_none()
            && self
                .of(limit)
                .is_none_or(|limit| i64::from(voltage) > limit * cells)
    }

    /// What was measured, where the rule is about a reading.
    fn measured(self, when: When, check: &CellCheck) -> Option<String> {
        match when {
            When::SurfaceFrom(_) => Some(format!(
                "the surface has {}",
                celsius(check.surface_tenths_c?)
            )),
            When::OverRoomFrom(_) | When::OverRoomExplained(_) => {
                let room = match check.room_tenths_c {
                    Some(room) => format!("of {}", celsius(room)),
                    None => format!(
                        "not measured, taken for {}",
                        RowUnit::TenthsC.shown(self.room(check))
                    ),
                };
                Some(format!(
                    "the surface has {} in a room {room}",
                    celsius(check.surface_tenths_c?)
                ))
            }
            When::CellBelow(_)
            | When::CellBetween(..)
            | When::CellAboveUnmarked(_)
            | When::CellBetweenUnmarked(..) => {
                let voltage = volts(check.voltage_mv?);
                Some(match series(check) {
                    Some(1) | None => voltage,
                    Some(cells) => format!("{voltage} over {cells} cells in series"),
                })
            }
            When::AboveMarked => Some(format!(
                "{} against {} printed",
                volts(check.voltage_mv?),
                volts(check.rating.charge_max_mv?)
            )),
            _ => None,
        }
    }
}

/// What a step asks for. Times are those of the rules.
fn step_words(step: Step, plan: Option<&Plan>, rules: BenchRules<'_>) -> String {
    match (step, plan) {
        (Step::Readings, Some(plan)) => format!("Look again and take readings {}.", plan.words),
        (Step::WatchFromAfar, _) => format!(
            "Watch it with a non-contact thermometer for {} or until it is at room temperature; without a thermometer, do not touch it \
             for {}.",
            time_words(rules.count("BENCH.HOT.WATCH")),
            time_words(rules.count("BENCH.HOT.UNTOUCHED")),
        ),
        _ => step.words().to_owned(),
    }
}

fn reaches(value: i64, limit: Option<i64>) -> bool {
    limit.is_none_or(|limit| value >= limit)
}

/// False only when the device holds no cell, so that there is nothing to measure.
fn is_measurable(check: &CellCheck) -> bool {
    !(check.findings.len() == 1 && check.findings.contains(&CellFinding::Missing))
}

/// The number of cells in series, if it is known and makes sense.
fn series(check: &CellCheck) -> Option<i64> {
    check
        .cells_in_series
        .filter(|&cells| cells > 0)
        .map(i64::from)
}

fn celsius(tenths: i32) -> String {
    let sign = if tenths < 0 { "-" } else { "" };
    format!(
        "{sign}{}.{} °C",
        tenths.unsigned_abs() / 10,
        tenths.unsigned_abs() % 10
    )
}

fn volts(millivolts: u32) -> String {
    format!("{}.{:03} V", millivolts / 1000, millivolts % 1000)
}

/// What applies to every judgement.
const CAUTIONS: [&str; 4] = [
    "Smoke, a hiss or heat: leave and call the fire service. This program is no emergency service.",
    "This is a check list and no approval: a person with battery knowledge, or the maker's criteria, must judge the cell.",
    "Local fire code, the carrier's terms and licensed practice come first where they ask for more.",
    "Rules change: see the source beside each reason, and the revision of the rules used.",
];

fn cautions(check: &CellCheck) -> Vec<String> {
    let chemistry = match check.chemistry {
        Chemistry::LiMetal | Chemistry::NaIon | Chemistry::Hybrid => Some(
            "The voltage limits are those of lithium-ion cells; for this chemistry the maker's limits rule.",
        ),
        Chemistry::Unknown | Chemistry::LiIon => None,
    };
    CAUTIONS
        .into_iter()
        .chain(chemistry)
        .map(str::to_owned)
        .collect()
}

fn unknowns(check: &CellCheck) -> Vec<String> {
    if !is_measurable(check) {
        return Vec::new();
    }
    let unseen = check.findings.is_empty() || check.findings.contains(&CellFinding::NotSeen);
    let missing = [
        (unseen, "whether the cell looks sound"),
        (check.voltage_mv.is_none(), "its voltage at rest"),
        (series(check).is_none(), "how many cells stand in series"),
        (check.surface_tenths_c.is_none(), "its surface temperature"),
        (check.room_tenths_c.is_none(), "the room's temperature"),
        (check.chemistry == Chemistry::Unknown, "its chemistry"),
        (
            check.rating.energy_uwh().is_none(),
            "its watt-hours, or its volts and milliampere-hours",
        ),
    ];
    missing
        .into_iter()
        .filter(|(is_missing, _)| *is_missing)
        .map(|(_, words)| words.to_owned())
        .collect()
}
