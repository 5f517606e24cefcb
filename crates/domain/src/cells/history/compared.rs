//! Rules that compare looks with each other, or rest on what a person did: their words, sources and amounts from the rule book.

use std::collections::BTreeSet;

use super::{Found, Look, celsius, volts};
use crate::cells::book::BenchRules;
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
    pub(super) fn reason(&self, rules: BenchRules<'_>, say: impl FnOnce(&str) -> String) -> Reason {
        let said = rules
            .said(self.id)
            .expect("a test finds every rule in the shipped book");
        Reason {
            rule: self.id.to_owned(),
            level: self.level,
            text: say(said.text),
            source: said.source.to_owned(),
            certainty: said.certainty,
        }
    }
}

/// The amounts of the compared rules, as they were when the later of the looks was recorded.
struct Amounts {
    rising_tenths: i32,
    rising_no_room_tenths: i32,
    falling_mv: u32,
    low_mv: u32,
    low_for_ms: u64,
}

impl Amounts {
    fn of(rules: BenchRules<'_>) -> Self {
        Self {
            rising_tenths: rules.amount("BAY.RISE"),
            rising_no_room_tenths: rules.amount("BAY.RISE.NOROOM"),
            falling_mv: rules.count("BAY.FALL"),
            low_mv: rules.count("BENCH.OLD.DEAD"),
            low_for_ms: u64::from(rules.count("BAY.LOW.TIME")) * 60_000,
        }
    }
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
            let rules = BenchRules::used(&look.check.rules);
            let amounts = Amounts::of(rules);
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
                            amounts.rising_tenths,
                        ),
                        _ => (
                            surface.saturating_sub(before),
                            amounts.rising_no_room_tenths,
                        ),
                    };
                    if rise >= limit {
                        let reason = RISING.reason(rules, |words| {
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
            if counts && lost >= amounts.falling_mv.saturating_mul(series) {
                let reason = FALLING.reason(rules, |words| {
                    format!("{} less than before: {words}", volts(lost))
                });
                self.add(reason, at_ms, &[]);
            }
            highest_mv = Some(highest.max(voltage));
            if voltage >= amounts.low_mv.saturating_mul(series) {
                low_since = None;
            } else {
                let since = *low_since.get_or_insert(at_ms);
                if counts && at_ms.saturating_sub(since) > amounts.low_for_ms {
                    self.add(LOW_LONG.reason(rules, str::to_owned), at_ms, &[]);
                }
            }
        }
    }
}
