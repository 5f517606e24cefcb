//! How many of how many, with the interval that a count of that size leaves open.

use serde::Serialize;

use super::Z_95;

/// Below this count no percentage is shown: a share of four cases says nothing that the count doesn't. Common practice, no source.
pub const RATE_MIN_COUNT: u32 = 5;

/// So many of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Rate {
    /// How often it was so.
    pub hits: u32,
    /// How often it could have been.
    pub count: u32,
}

/// Between which two shares the true one lies, at 95 % confidence; both within 0 and 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Interval {
    /// The lower bound.
    pub low: f64,
    /// The upper bound.
    pub high: f64,
}

impl Rate {
    /// Counts one more case.
    pub const fn add(&mut self, hit: bool) {
        self.count += 1;
        if hit {
            self.hits += 1;
        }
    }

    /// Wilson's score interval at 95 % (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927); `None` when nothing was counted.
    ///
    /// It holds for small counts and for none or all of them, where the usual plus-minus fails.
    pub fn interval(self) -> Option<Interval> {
        if self.count == 0 || self.hits > self.count {
            return None;
        }
        let n = f64::from(self.count);
        let share = f64::from(self.hits) / n;
        let z2 = Z_95 * Z_95;
        let middle = share + z2 / (2.0 * n);
        let half = Z_95 * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
        let whole = 1.0 + z2 / n;
        Some(Interval {
            low: if self.hits == 0 {
                0.0
            } else {
                ((middle - half) / whole).max(0.0)
            },
            high: if self.hits == self.count {
                1.0
            } else {
                ((middle + half) / whole).min(1.0)
            },
        })
    }

    /// The rate for people: “9 of 10 (90 %; 60 to 98 % at 95 % confidence)”. Of few cases only the count, of none “no data”.
    pub fn words(self) -> String {
        let Some(interval) = self.interval() else {
            return "no data".to_owned();
        };
        if self.count < RATE_MIN_COUNT {
            return format!("{} of {}, too few for a rate", self.hits, self.count);
        }
        let percent = |share: f64| format!("{:.0}", share * 100.0);
        format!(
            "{} of {} ({} %; {} to {} % at 95 % confidence)",
            self.hits,
            self.count,
            percent(f64::from(self.hits) / f64::from(self.count)),
            percent(interval.low),
            percent(interval.high)
        )
    }
}
