//! When to look at a watched or isolated cell again.
//!
//! Pure arithmetic over plans whose times stand in the rule book: callers bring the instants. A late reading never moves the next one
//! closer than the plan says, and a missed one stays due until somebody takes it. Nobody is ever sent to a cell that is reacting.

use serde::{Deserialize, Serialize};

use super::bay::CellState;
use super::book::{BenchRules, UsedRule};
use super::history::Look;
use super::{BenchLevel, CellFinding};

/// Hot: watched for two hours, then hourly until it has the room's temperature.
pub const HOT: &str = "P10";
/// In isolation, cold.
pub const ISOLATED: &str = "P20";
/// Watched where it is: nothing is known to be wrong, or not enough is known.
pub const WATCHED: &str = "P30";

/// A plan of readings. Its times stand in the rule book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// Stable for ever.
    pub id: &'static str,
    /// The plan in words.
    pub words: String,
    /// Minutes from its start to each reading, in ascending order.
    pub at_minutes: Vec<u32>,
    /// Minutes between readings after the last of those.
    pub then_every_minutes: u32,
}

const MINUTE_MS: u64 = 60_000;
/// The most readings that a plan lists before it goes on in even steps: one a minute for a day, whatever a rule says.
const LISTED_MAX: u32 = 1440;

impl Plan {
    /// The plan of an id, as it was under the rules that an entry carries.
    pub fn of_id(id: &str, rules: &[UsedRule]) -> Option<Self> {
        let rules = BenchRules::used(rules);
        match id {
            HOT => Some(Self::hot(rules)),
            ISOLATED => Some(Self::isolated(rules)),
            WATCHED => Some(Self::watched(rules)),
            _ => None,
        }
    }

    /// The plan that a level calls for, by itself.
    pub(super) fn of_level(level: BenchLevel, rules: BenchRules<'_>) -> Option<Self> {
        match level {
            BenchLevel::Watch => Some(Self::watched(rules)),
            BenchLevel::Isolate => Some(Self::isolated(rules)),
            BenchLevel::Clear | BenchLevel::Emergency => None,
        }
    }

    fn hot(rules: BenchRules<'_>) -> Self {
        let every = minutes(rules, "BAY.HOT.READ");
        let watch = minutes(rules, "BENCH.HOT.WATCH");
        let then_every_minutes = minutes(rules, "BENCH.HOT.EVERY");
        let listed = (watch / every).clamp(1, LISTED_MAX);
        Self {
            id: HOT,
            words: format!(
                "watched from a distance for {}, a reading every {}, then {} until it is at room temperature",
                time_words(watch),
                time_words(every),
                every_words(then_every_minutes)
            ),
            at_minutes: (1..=listed)
                .map(|number| number.saturating_mul(every))
                .collect(),
            then_every_minutes,
        }
    }

    fn isolated(rules: BenchRules<'_>) -> Self {
        Self::looked_at(
            ISOLATED,
            &["BENCH.RECHECK.1", "BENCH.RECHECK.2", "BENCH.RECHECK.3"].map(|id| minutes(rules, id)),
            minutes(rules, "BAY.LOOK.THEN"),
        )
    }

    fn watched(rules: BenchRules<'_>) -> Self {
        Self::looked_at(
            WATCHED,
            &["BENCH.WATCH.1", "BENCH.WATCH.2"].map(|id| minutes(rules, id)),
            minutes(rules, "BENCH.WATCH.THEN"),
        )
    }

    fn looked_at(id: &'static str, at: &[u32], then_every_minutes: u32) -> Self {
        let mut at_minutes = at.to_vec();
        at_minutes.sort_unstable();
        at_minutes.dedup();
        let times: Vec<String> = at_minutes.iter().copied().map(time_words).collect();
        let times = match times.split_last() {
            Some((last, before)) if !before.is_empty() => {
                format!("{} and {last}", before.join(", "))
            }
            _ => times.concat(),
        };
        Self {
            id,
            words: format!("after {times}, then {}", every_words(then_every_minutes)),
            at_minutes,
            then_every_minutes,
        }
    }

    /// When the next reading is due, in milliseconds since 1970. A reading counts for the time it was taken at, and for one up
    /// to a quarter of the pause later.
    pub fn next_due_ms(&self, start_ms: u64, last_ms: u64) -> u64 {
        let age = last_ms.saturating_sub(start_ms) / MINUTE_MS;
        let mut before = 0;
        for &at in &self.at_minutes {
            let early = (at - before) / 4;
            if u64::from(at - early) > age {
                return start_ms + u64::from(at) * MINUTE_MS;
            }
            before = at;
        }
        last_ms.max(start_ms) + u64::from(self.then_every_minutes) * MINUTE_MS
    }
}

/// A number of minutes that a plan is made of; never none.
fn minutes(rules: BenchRules<'_>, id: &str) -> u32 {
    rules.count(id).max(1)
}

/// A time span of a plan in words.
pub(super) fn time_words(minutes: u32) -> String {
    let (number, unit) = match minutes {
        days if days >= 2880 && days % 1440 == 0 => (days / 1440, "day"),
        hours if hours >= 60 && hours % 60 == 0 => (hours / 60, "hour"),
        minutes => (minutes, "minute"),
    };
    let ending = if number == 1 { "" } else { "s" };
    format!("{number} {unit}{ending}")
}

fn every_words(minutes: u32) -> String {
    match minutes {
        60 => "hourly".to_owned(),
        1440 => "daily".to_owned(),
        minutes => format!("every {}", time_words(minutes)),
    }
}

/// The next reading of a cell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct NextReading {
    /// When it is due, in milliseconds since 1970.
    pub due_ms: u64,
    /// The plan's id.
    pub plan: String,
    /// The plan in words.
    pub plan_words: String,
}

/// When the next reading is due; `None` when none is asked for.
pub fn next_reading_due(state: &CellState) -> Option<NextReading> {
    if state.left.is_some() || state.is_at_rest() {
        return None;
    }
    let level = state.level?;
    let since = state
        .standing
        .iter()
        .filter(|standing| standing.reason.level == level)
        .map(|standing| standing.since_ms)
        .min()?;
    let last = state.looks.last().map_or(since, |look| look.mark.at_ms);
    let rules = BenchRules::used(state.rules());
    let (plan, start) = match (hot_since(&state.looks), Plan::of_level(level, rules)) {
        // Somebody is back at a cell that was an emergency, and reads it from a distance.
        (Some(hot), _) if level == BenchLevel::Emergency && last > since => (Plan::hot(rules), hot),
        (None, _) if level == BenchLevel::Emergency && last > since => {
            (Plan::isolated(rules), since)
        }
        (Some(hot), Some(_)) => (Plan::hot(rules), hot),
        (_, Some(plan)) => (plan, since),
        (_, None) => return None,
    };
    Some(NextReading {
        due_ms: plan.next_due_ms(start, last),
        plan: plan.id.to_owned(),
        plan_words: plan.words,
    })
}

/// By how much a reading is overdue, in milliseconds; `None` when it is not.
pub const fn overdue_by(due_ms: u64, now_ms: u64) -> Option<u64> {
    if now_ms > due_ms {
        Some(now_ms - due_ms)
    } else {
        None
    }
}

/// Since when the cell is hot, if it is; it is again at room temperature only when a reading shows so. Each look says by the rules of
/// its own time what is hot.
fn hot_since(looks: &[Look]) -> Option<u64> {
    let mut since = None;
    for look in looks {
        let rules = BenchRules::used(&look.check.rules);
        let (cool, hot) = (rules.amount("BAY.COOL"), rules.amount("BENCH.OVER.ROOM"));
        let over = look
            .check
            .surface_tenths_c
            .zip(look.check.room_tenths_c)
            .map(|(surface, room)| surface.saturating_sub(room));
        let said = look.check.findings.iter().any(|finding| {
            matches!(
                finding,
                CellFinding::Hot
                    | CellFinding::Warming
                    | CellFinding::Smoking
                    | CellFinding::Hissing
                    | CellFinding::Burning
            )
        });
        match over {
            Some(over) if over >= hot => {
                since.get_or_insert(look.mark.at_ms);
            }
            Some(over) if over < cool && !said => since = None,
            _ if said => {
                since.get_or_insert(look.mark.at_ms);
            }
            _ => {}
        }
    }
    since
}
