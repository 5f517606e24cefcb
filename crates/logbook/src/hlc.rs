//! The hybrid clock that puts entries in an order people recognise.
//!
//! Rule: Kulkarni, Demirbas, Madappa, Avva, Leone, "Logical Physical Clocks" (OPODIS 2014). It decides a place in a list and
//! nothing else: cursors use the server's log positions, and registers use the entries an edit had seen.

use serde::{Deserialize, Serialize};

/// How far a remote clock may push the local one past local wall time: ten minutes.
///
/// A clock that is wrong by days then costs its own entries a wrong place, never everybody else's.
pub const ADOPTION_MAX_MS: u64 = 10 * 60 * 1000;

/// The largest reading in milliseconds: 48 bits reach the year 10889, as UUIDv7 does.
pub const HLC_MS_MAX: u64 = (1 << 48) - 1;

/// A reading of the hybrid clock. Field order is the sort order.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
pub struct Hlc {
    /// Milliseconds since 1970-01-01T00:00:00Z, or later if a faster clock was seen.
    pub ms: u64,
    /// Counts events within one millisecond.
    pub counter: u32,
}

impl Hlc {
    /// Returns the reading for a new local event. It is always later than `self`.
    #[must_use]
    pub fn send(self, wall_ms: u64) -> Self {
        if wall_ms > self.ms {
            Self {
                ms: wall_ms,
                counter: 0,
            }
        } else {
            self.next()
        }
    }

    /// Returns the reading after entries from elsewhere arrived. `remote_max` is the latest reading of the whole batch; calling
    /// once for each entry would make the counter race.
    ///
    /// A remote reading more than [`ADOPTION_MAX_MS`] ahead of `wall_ms` counts as exactly that much ahead. A local reading that
    /// is already further ahead (the wall clock was set back) is kept, since a clock never runs backwards.
    #[must_use]
    pub fn receive(self, remote_max: Self, wall_ms: u64) -> Self {
        let ceiling_ms = wall_ms.saturating_add(ADOPTION_MAX_MS);
        let remote = if remote_max.ms > ceiling_ms {
            Self {
                ms: ceiling_ms,
                counter: 0,
            }
        } else {
            remote_max
        };
        let latest = self.max(remote);
        if wall_ms > latest.ms {
            Self {
                ms: wall_ms,
                counter: 0,
            }
        } else {
            latest.next()
        }
    }

    /// The smallest later reading. A full counter carries into the milliseconds.
    #[must_use]
    fn next(self) -> Self {
        match self.counter.checked_add(1) {
            Some(counter) => Self {
                ms: self.ms,
                counter,
            },
            None => Self {
                ms: self.ms.saturating_add(1),
                counter: 0,
            },
        }
    }
}
