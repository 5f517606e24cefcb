//! Rules that compare looks with each other, or rest on what a person did: their words, sources and amounts from the rule book.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use super::{Found, Look, celsius, volts};
use crate::cells::book::{RuleBody, RuleBook};
use crate::cells::{BenchLevel, CellCheck, Reason};
use crate::ids::EntryId;

/// A rule that compares looks with each other, or rests on what a person did. Its words and source stand in the rule book.
pub(super) struct Compared {
    pub(super) id: &'static str,
    pub(super) level: BenchLevel,
}

const RISING: Compared = Compared {
    id: "B60",
    level: BenchLevel::Emergency,
};
const FALLING: Compared = Compared {
    id: "B61",
    level: BenchLevel::Isolate,
};
const LOW_LONG: Compared = Compared {
    id: "B62",
    level: BenchLevel::Isolate,
};
pub(super) const PLACED: Compared = Compared {
    id: "B65",
    level: BenchLevel::Isolate,
};
pub(super) const JUDGED_DAMAGED: Compared = Compared {
    id: "B66",
    level: BenchLevel::Isolate,
};
pub(super) const JUDGED_SOUND: Compared = Compared {
    id: "B67",
    level: BenchLevel::Clear,
};
pub(super) const WITHOUT_CELL: Compared = Compared {
    id: "B52",
    level: BenchLevel::Clear,
};
/// The compared rules, for the test that finds each in the rule book.
#[cfg(test)]
pub(in crate::cells) const COMPARED: [&str; 7] = ["B52", "B60", "B61", "B62", "B65", "B66", "B67"];

impl Compared {
    /// The reason, with what was measured or said before it or after it.
    pub(super) fn reason(&self, say: impl FnOnce(&str) -> String) -> Reason {
        let row = RuleBook::shipped()
            .rows()
            .iter()
            .find(|row| row.id == self.id && row.regime == RuleBody::Bench)
            .expect("a test finds every rule in the shipped book");
        Reason {
            rule: self.id.to_owned(),
            level: self.level,
            text: say(&row.text),
            source: row.source.clone(),
            certainty: row.certainty,
        }
    }
}

/// The amounts of the compared rules, from the rule book.
struct Amounts {
    rising_tenths: i32,
    rising_no_room_tenths: i32,
    falling_mv: u32,
    low_mv: u32,
    low_for_ms: u64,
}

static AMOUNTS: LazyLock<Amounts> = LazyLock::new(|| Amounts {
    rising_tenths: shipped_limit("BAY.RISE"),
    rising_no_room_tenths: shipped_limit("BAY.RISE.NOROOM"),
    falling_mv: shipped_limit("BAY.FALL").unsigned_abs(),
    low_mv: shipped_limit("BENCH.OLD.DEAD").unsigned_abs(),
    low_for_ms: u64::from(shipped_limit("BAY.LOW.TIME").unsigned_abs()) * 60_000,
});

/// A bench limit as it ships, in the row's unit. What a job adds up to can't depend on a date or on the lab's own rows.
pub(in crate::cells) fn shipped_limit(id: &str) -> i32 {
    RuleBook::shipped()
        .rows()
        .iter()
        .find(|row| row.id == id && row.regime == RuleBody::Bench)
        .and_then(|row| row.value)
        .and_then(|value| i32::try_from(value).ok())
        .expect("a test reads every bench limit of the shipped book")
}

impl Found {
    /// What only shows when looks are compared.
    pub(super) fn compared_reasons(
        &mut self,
        looks: &[Look],
        seen: &BTreeSet<EntryId>,
        known: &CellCheck,
    ) {
        let series = u32::from(
            known
                .cells_in_series
                .filter(|cells| *cells > 0)
                .unwrap_or(1),
        );
        let mut last_warmth: Option<(i32, Option<i32>)> = None;
        let mut highest_mv: Option<u32> = None;
        let mut low_since: Option<u64> = None;
        for look in looks {
            let counts = !seen.contains(&look.mark.entry_id);
            let at_ms = look.mark.at_ms;
            if let Some(surface) = look.check.surface_tenths_c {
                let room = look.check.room_tenths_c;
                if let Some((before, before_room)) = last_warmth
                    && counts
                    && look.check.warmed_by.is_none()
                {
                    let (rise, limit) = match (room, before_room) {
                        (Some(room), Some(before_room)) => (
                            surface
                                .saturating_sub(room)
                                .saturating_sub(before.saturating_sub(before_room)),
                            AMOUNTS.rising_tenths,
                        ),
                        _ => (
                            surface.saturating_sub(before),
                            AMOUNTS.rising_no_room_tenths,
                        ),
                    };
                    if rise >= limit {
                        let reason = RISING.reason(|words| {
                            format!("{} more than at the look before: {words}", celsius(rise))
                        });
                        self.add(reason, at_ms, &[]);
                    }
                }
                last_warmth = Some((surface, room));
            }
            let Some(voltage) = look.check.voltage_mv else {
                continue;
            };
            if look.check.warmed_by.is_some() {
                // It was running or charged a moment ago: what it shows is not at rest.
                highest_mv = Some(voltage);
            }
            let highest = highest_mv.unwrap_or(voltage);
            let lost = highest.saturating_sub(voltage);
            if counts && lost >= AMOUNTS.falling_mv * series {
                let reason =
                    FALLING.reason(|words| format!("{} less than before: {words}", volts(lost)));
                self.add(reason, at_ms, &[]);
            }
            highest_mv = Some(highest.max(voltage));
            if voltage >= AMOUNTS.low_mv * series {
                low_since = None;
            } else {
                let since = *low_since.get_or_insert(at_ms);
                if counts && at_ms.saturating_sub(since) > AMOUNTS.low_for_ms {
                    self.add(LOW_LONG.reason(str::to_owned), at_ms, &[]);
                }
            }
        }
    }
}
