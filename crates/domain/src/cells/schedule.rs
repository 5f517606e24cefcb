//! When to look at a watched or isolated cell again.
//!
//! Pure arithmetic over a table of plans: callers bring the instants. A late reading never moves the next one closer than the
//! plan says, and a missed one stays due until somebody takes it. Nobody is ever sent to a cell that is reacting.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::bay::CellState;
use super::history::{Look, shipped_limit};
use super::{BenchLevel, CellFinding};

/// A plan of readings. Its times stand in the rule book.
#[derive(Debug, PartialEq, Eq)]
pub struct Plan {
    /// Stable for ever.
    pub id: &'static str,
    /// The plan in words.
    pub words: &'static str,
    /// Minutes from its start to each reading.
    pub at_minutes: Vec<u32>,
    /// Minutes between readings after the last of those.
    pub then_every_minutes: u32,
}

/// Hot: watched for two hours, then hourly until it has the room's temperature.
pub static HOT: LazyLock<Plan> = LazyLock::new(|| {
    let every = minutes("BAY.HOT.READ");
    Plan {
        id: "P10",
        words: "watched from a distance for 2 hours, a reading every 15 minutes, then hourly until it is at room temperature",
        at_minutes: (1..=minutes("BENCH.HOT.WATCH") / every)
            .map(|number| number * every)
            .collect(),
        then_every_minutes: minutes("BENCH.HOT.EVERY"),
    }
});

/// In isolation, cold.
pub static ISOLATED: LazyLock<Plan> = LazyLock::new(|| looked_at("P20"));

/// Watched, not isolated.
pub static WATCHED: LazyLock<Plan> = LazyLock::new(|| looked_at("P30"));

fn looked_at(id: &'static str) -> Plan {
    Plan {
        id,
        words: "after 1 hour, 4 hours and 24 hours, then daily",
        at_minutes: ["BENCH.RECHECK.1", "BENCH.RECHECK.2", "BENCH.RECHECK.3"]
            .map(minutes)
            .to_vec(),
        then_every_minutes: minutes("BAY.LOOK.THEN"),
    }
}

fn minutes(id: &str) -> u32 {
    shipped_limit(id).unsigned_abs()
}

/// All plans.
pub static PLANS: [&LazyLock<Plan>; 3] = [&HOT, &ISOLATED, &WATCHED];

/// A surface within this of the room is at room temperature, and from this on it is hot, in tenths of a degree.
static COOL_AND_HOT_TENTHS: LazyLock<(i32, i32)> =
    LazyLock::new(|| (shipped_limit("BAY.COOL"), shipped_limit("BENCH.OVER.ROOM")));

const MINUTE_MS: u64 = 60_000;

impl Plan {
    /// The plan that a level calls for, by itself.
    pub fn of_level(level: BenchLevel) -> Option<&'static Self> {
        match level {
            BenchLevel::Watch => Some(&WATCHED),
            BenchLevel::Isolate => Some(&ISOLATED),
            BenchLevel::Clear | BenchLevel::Emergency => None,
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
    let (plan, start) = match (hot_since(&state.looks), Plan::of_level(level)) {
        // Somebody is back at a cell that was an emergency, and reads it from a distance.
        (Some(hot), _) if level == BenchLevel::Emergency && last > since => (&*HOT, hot),
        (None, _) if level == BenchLevel::Emergency && last > since => (&*ISOLATED, since),
        (Some(hot), Some(_)) => (&*HOT, hot),
        (_, Some(plan)) => (plan, since),
        (_, None) => return None,
    };
    Some(NextReading {
        due_ms: plan.next_due_ms(start, last),
        plan: plan.id.to_owned(),
        plan_words: plan.words.to_owned(),
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

/// Since when the cell is hot, if it is; it is again at room temperature only when a reading shows so.
fn hot_since(looks: &[Look]) -> Option<u64> {
    let (cool, hot) = *COOL_AND_HOT_TENTHS;
    let mut since = None;
    for look in looks {
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
