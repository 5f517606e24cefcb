//! Time in the story: a clock that is set, and working hours on business days.

use std::sync::atomic::{AtomicI64, Ordering};

use anyhow::{Context as _, Result};
use domain::calendar::Zone;
use jiff::ToSpan as _;
use jiff::civil::{Date, Weekday};

use crate::data::LAST_DAY;

/// A clock that stands until it is moved, for the desks and the server of the story alike. It never goes back.
#[derive(Debug, Default)]
pub struct StoryClock(AtomicI64);

impl StoryClock {
    /// Moves on to an instant; one that has passed changes nothing.
    pub fn move_to(&self, at_ms: i64) {
        self.0.fetch_max(at_ms, Ordering::SeqCst);
    }

    /// Moves on by some milliseconds.
    pub fn advance(&self, ms: i64) {
        self.0.fetch_add(ms.max(0), Ordering::SeqCst);
    }

    /// Where it stands, in milliseconds since 1970.
    pub fn at_ms(&self) -> i64 {
        self.0.load(Ordering::SeqCst)
    }
}

impl desk::ports::Clock for StoryClock {
    fn now_ms(&self) -> u64 {
        u64::try_from(self.at_ms()).unwrap_or(0)
    }
}

impl sync_server::clock::Clock for StoryClock {
    fn now_ms(&self) -> i64 {
        self.at_ms()
    }
}

/// Minutes of a working day, from half past eight to half past five.
pub const DAY_MINUTES: u32 = 540;

/// A moment in the working time of the story, in minutes; day 0 begins at 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct WorkTime(pub u32);

impl WorkTime {
    /// So many minutes into a business day of the story.
    pub const fn on(day: u32, minutes: u32) -> Self {
        Self(day * DAY_MINUTES + minutes)
    }

    /// Later by working minutes.
    #[must_use]
    pub const fn plus(self, minutes: u32) -> Self {
        Self(self.0 + minutes)
    }

    /// The business day.
    pub const fn day(self) -> u32 {
        self.0 / DAY_MINUTES
    }
}

/// The business days of the story: Mondays to Fridays, the last one before today.
#[derive(Debug, Clone)]
pub struct Days {
    zone: Zone,
    dates: Vec<Date>,
}

impl Days {
    /// The days that end before the given instant.
    pub fn before(now_ms: i64, zone: Zone) -> Result<Self> {
        let mut date = zone
            .local_date(now_ms)
            .context("finding today's date at the lab")?;
        let mut dates = Vec::new();
        while dates.len() <= LAST_DAY as usize {
            date = date.checked_sub(1.day()).context("counting days back")?;
            if !matches!(date.weekday(), Weekday::Saturday | Weekday::Sunday) {
                dates.push(date);
            }
        }
        dates.reverse();
        Ok(Self { zone, dates })
    }

    /// The instant of a moment, in milliseconds since 1970.
    pub fn at_ms(&self, time: WorkTime) -> Result<i64> {
        let date = self.dates.get(time.day() as usize);
        let date = date
            .with_context(|| format!("the story runs over its last day, to day {}", time.day()))?;
        let minutes = i64::from(8 * 60 + 30 + time.0 % DAY_MINUTES);
        let local = date
            .at(0, 0, 0, 0)
            .checked_add(minutes.minutes())
            .context("adding minutes to a day")?;
        self.zone
            .instant_ms(local)
            .context("finding the instant of a local time")
    }

    /// A date so many business days after a day of the story, as `2026-11-25`.
    pub fn date_after(&self, day: u32, business_days: u32) -> Result<String> {
        let mut date = *self
            .dates
            .get(day as usize)
            .context("the story has no such day")?;
        let mut left = business_days;
        while left > 0 {
            date = date.checked_add(1.day()).context("counting days on")?;
            if !matches!(date.weekday(), Weekday::Saturday | Weekday::Sunday) {
                left -= 1;
            }
        }
        Ok(date.to_string())
    }
}

#[cfg(test)]
mod tests;
