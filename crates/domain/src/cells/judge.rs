//! Applies the table of rules to one cell check.

use std::collections::BTreeSet;

use super::rules::{RECHECK_MINUTES, ROOM_MAX_TENTHS, RULES, RULES_REVISION, Rule, Step, When};
use super::{BenchLevel, CellCheck, CellFinding, Chemistry, Judgement, Reason};

/// Judges a cell check. The same check always gives the same judgement under one revision of the rules.
pub fn judge(check: &CellCheck) -> Judgement {
    let mut fired: Vec<&Rule> = RULES
        .iter()
        .filter(|rule| {
            !matches!(
                rule.when,
                When::OverRoomFrom(_) | When::OverRoomExplained(_)
            ) && fires(rule.when, check)
        })
        .collect();
    // Only with nothing else against the cell may an outside warmth explain a warm one.
    let explained =
        check.warmed_by.is_some() && fired.iter().all(|rule| rule.level < BenchLevel::Isolate);
    fired.extend(RULES.iter().filter(|rule| match rule.when {
        When::OverRoomFrom(tenths) => !explained && is_over_room(check, tenths),
        When::OverRoomExplained(tenths) => explained && is_over_room(check, tenths),
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
    let recheck_minutes = match level {
        BenchLevel::Watch | BenchLevel::Isolate => RECHECK_MINUTES.to_vec(),
        BenchLevel::Clear | BenchLevel::Emergency => Vec::new(),
    };
    Judgement {
        level,
        reasons: fired.iter().map(|rule| reason(rule, check)).collect(),
        actions: steps
            .into_iter()
            .map(|step| step.words().to_owned())
            .collect(),
        recheck_minutes,
        cautions: cautions(check),
        unknowns: unknowns(check),
        rules_revision: RULES_REVISION.to_owned(),
    }
}

fn reason(rule: &Rule, check: &CellCheck) -> Reason {
    let text = match measured(rule.when, check) {
        Some(measured) => format!("{measured}: {}", rule.words),
        None => rule.words.to_owned(),
    };
    Reason {
        rule: rule.id.to_owned(),
        level: rule.level,
        text,
        source: rule.source.to_owned(),
        certainty: rule.certainty,
    }
}

fn fires(when: When, check: &CellCheck) -> bool {
    match when {
        When::Finding(finding) => check.findings.contains(&finding),
        When::NoFinding => check.findings.is_empty(),
        When::Contradiction => {
            check.findings.contains(&CellFinding::NothingWrong) && check.findings.len() > 1
        }
        When::SurfaceFrom(tenths) => check
            .surface_tenths_c
            .is_some_and(|surface| surface >= tenths),
        When::OverRoomFrom(tenths) | When::OverRoomExplained(tenths) => is_over_room(check, tenths),
        When::CellBelow(limit) => is_cell_below(check, limit),
        When::CellBetween(from, below) => {
            is_cell_below(check, below) && !is_cell_below(check, from)
        }
        When::AboveMarked => check
            .voltage_mv
            .zip(check.rating.charge_max_mv)
            .is_some_and(|(voltage, marked)| voltage > marked),
        When::CellAboveUnmarked(limit) => is_unmarked_cell_above(check, limit),
        When::CellBetweenUnmarked(above, to) => {
            is_unmarked_cell_above(check, above) && !is_unmarked_cell_above(check, to)
        }
        When::NoVoltage => is_measurable(check) && check.voltage_mv.is_none(),
        When::NoSeriesCount => check.voltage_mv.is_some() && series(check).is_none(),
        When::NoTemperature => {
            is_measurable(check)
                && (check.surface_tenths_c.is_none() || check.room_tenths_c.is_none())
        }
    }
}

/// False only when the device holds no cell, so that there is nothing to measure.
fn is_measurable(check: &CellCheck) -> bool {
    !(check.findings.len() == 1 && check.findings.contains(&CellFinding::Missing))
}

/// Whether the surface is so much warmer than the room. A room that was not measured counts as warm as a room may be, so
/// that only a surface which is too warm for any room is found.
fn is_over_room(check: &CellCheck, tenths: i32) -> bool {
    let room = check.room_tenths_c.unwrap_or(ROOM_MAX_TENTHS);
    check
        .surface_tenths_c
        .is_some_and(|surface| surface.saturating_sub(room) >= tenths)
}

/// The number of cells in series, if it is known and makes sense.
fn series(check: &CellCheck) -> Option<u64> {
    check
        .cells_in_series
        .filter(|&cells| cells > 0)
        .map(u64::from)
}

/// Whether a cell reads less than the limit. With the number of cells unknown, one is taken: what is too low for one cell
/// is too low for several.
fn is_cell_below(check: &CellCheck, limit_mv: u32) -> bool {
    let cells = series(check).unwrap_or(1);
    check
        .voltage_mv
        .is_some_and(|voltage| u64::from(voltage) < u64::from(limit_mv) * cells)
}

/// Whether a cell reads more than the limit, with no marked maximum to go by. With the number of cells unknown, nothing can
/// be said.
fn is_unmarked_cell_above(check: &CellCheck, limit_mv: u32) -> bool {
    let Some((voltage, cells)) = check.voltage_mv.zip(series(check)) else {
        return false;
    };
    check.rating.charge_max_mv.is_none() && u64::from(voltage) > u64::from(limit_mv) * cells
}

/// What was measured, where the rule is about a reading.
fn measured(when: When, check: &CellCheck) -> Option<String> {
    match when {
        When::SurfaceFrom(_) => Some(format!(
            "the surface has {}",
            celsius(check.surface_tenths_c?)
        )),
        When::OverRoomFrom(_) | When::OverRoomExplained(_) => {
            let room = match check.room_tenths_c {
                Some(room) => format!("of {}", celsius(room)),
                None => format!("not measured, taken for {}", celsius(ROOM_MAX_TENTHS)),
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
