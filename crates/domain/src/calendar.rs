//! Days as the lab counts them: business days, local dates, weeks.
//!
//! Instants are milliseconds since 1970-01-01T00:00:00Z. What day an instant falls on depends on the lab's zone, so every
//! question about days takes the zone; the zone table is built in. Nothing here asks what time it is.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use jiff::civil::{Date, DateTime, Weekday};
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

#[cfg(test)]
mod tests;

/// Why a question about days has no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CalendarError {
    /// No such zone.
    #[error("“{text}” is not a time zone; a time zone is written like Europe/Berlin")]
    UnknownZone {
        /// What was given.
        text: String,
    },
    /// The answer lies outside the years that can be counted.
    #[error("the date lies outside the years -9999 to 9999")]
    OutOfRange,
    /// The lab never opens.
    #[error(
        "no business day was found within {days} days; the lab must be open on one weekday at least"
    )]
    NeverOpen {
        /// How many days were looked at.
        days: u32,
    },
    /// A weekday that is none.
    #[error("{number} is not a weekday; weekdays are 1 for Monday to 7 for Sunday")]
    NotAWeekday {
        /// What was given.
        number: u8,
    },
}

/// A time zone of the IANA database, by its name.
#[derive(Clone, PartialEq, Eq)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(type = "string"))]
pub struct Zone(TimeZone);

impl Zone {
    /// Coordinated universal time.
    pub const fn utc() -> Self {
        Self(TimeZone::UTC)
    }

    /// The zone's name, as in `Europe/Berlin`.
    pub fn name(&self) -> &str {
        self.0.iana_name().unwrap_or("UTC")
    }

    /// The date on the lab's wall at that instant.
    pub fn local_date(&self, at_ms: i64) -> Result<Date, CalendarError> {
        Ok(self.local(at_ms)?.date())
    }

    /// Date and time on the lab's wall at that instant.
    pub fn local(&self, at_ms: i64) -> Result<DateTime, CalendarError> {
        let instant = Timestamp::from_millisecond(at_ms).map_err(|_| CalendarError::OutOfRange)?;
        Ok(self.0.to_datetime(instant))
    }

    /// The instant of a local time, in milliseconds.
    ///
    /// A time that the clock skips in spring counts as if the clock had not been set forward; of a time that comes twice
    /// in autumn the first is meant (RFC 5545 has the same rule).
    pub fn instant_ms(&self, local: DateTime) -> Result<i64, CalendarError> {
        let instant = self
            .0
            .to_ambiguous_timestamp(local)
            .compatible()
            .map_err(|_| CalendarError::OutOfRange)?;
        Ok(instant.as_millisecond())
    }

    /// The first instant of a local day. Where the clock skips midnight, the day begins later.
    pub fn start_of_day_ms(&self, date: Date) -> Result<i64, CalendarError> {
        self.instant_ms(date.at(0, 0, 0, 0))
    }

    /// How many days something was in the lab: the difference of the two local dates, not elapsed hours by 24.
    pub fn days_between(&self, from_ms: i64, to_ms: i64) -> Result<i64, CalendarError> {
        Ok(days_between(
            self.local_date(from_ms)?,
            self.local_date(to_ms)?,
        ))
    }
}

impl FromStr for Zone {
    type Err = CalendarError;

    fn from_str(text: &str) -> Result<Self, CalendarError> {
        TimeZone::get(text.trim())
            .map(Self)
            .map_err(|_| CalendarError::UnknownZone {
                text: text.to_owned(),
            })
    }
}

impl fmt::Display for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl fmt::Debug for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Zone({})", self.name())
    }
}

impl Serialize for Zone {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name())
    }
}

impl<'de> Deserialize<'de> for Zone {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(de::Error::custom)
    }
}

/// A day of the week that is closed every week: 1 for Monday to 7 for Sunday (ISO 8601).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "u8", into = "u8")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(type = "number"))]
pub struct WeekdayNumber(u8);

impl WeekdayNumber {
    /// Saturday.
    pub const SATURDAY: Self = Self(6);
    /// Sunday.
    pub const SUNDAY: Self = Self(7);

    fn of(weekday: Weekday) -> Self {
        Self(weekday.to_monday_one_offset().unsigned_abs())
    }
}

impl TryFrom<u8> for WeekdayNumber {
    type Error = CalendarError;

    fn try_from(number: u8) -> Result<Self, CalendarError> {
        if (1..=7).contains(&number) {
            Ok(Self(number))
        } else {
            Err(CalendarError::NotAWeekday { number })
        }
    }
}

impl From<WeekdayNumber> for u8 {
    fn from(weekday: WeekdayNumber) -> Self {
        weekday.0
    }
}

/// When the lab is closed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Holidays {
    /// The weekdays that are closed every week; Saturday and Sunday unless said otherwise.
    pub closed_weekdays: BTreeSet<WeekdayNumber>,
    /// Single days that are closed: public holidays and the lab's own.
    #[cfg_attr(feature = "ts-rs", ts(type = "string[]"))]
    pub dates: BTreeSet<Date>,
}

impl Default for Holidays {
    fn default() -> Self {
        Self::on(BTreeSet::new())
    }
}

impl Holidays {
    /// Saturdays, Sundays and these dates.
    pub fn on(dates: impl IntoIterator<Item = Date>) -> Self {
        Self {
            closed_weekdays: BTreeSet::from([WeekdayNumber::SATURDAY, WeekdayNumber::SUNDAY]),
            dates: dates.into_iter().collect(),
        }
    }

    /// True when the lab works that day.
    pub fn is_business_day(&self, date: Date) -> bool {
        !self
            .closed_weekdays
            .contains(&WeekdayNumber::of(date.weekday()))
            && !self.dates.contains(&date)
    }
}

/// How many days in a row may be closed before the calendar is taken for wrong: one year.
const CLOSED_DAYS_MAX: u32 = 366;

/// The date so many business days after `date`.
///
/// A closed day counts from the next business day: what arrives on Saturday starts on Monday. So adding 0 gives the day
/// itself or the next business day.
pub fn add_business_days(
    date: Date,
    count: u32,
    holidays: &Holidays,
) -> Result<Date, CalendarError> {
    let mut day = next_business_day(date, holidays)?;
    for _ in 0..count {
        day = next_business_day(tomorrow(day)?, holidays)?;
    }
    Ok(day)
}

/// The day itself if the lab works then, else the next day it does.
pub fn next_business_day(date: Date, holidays: &Holidays) -> Result<Date, CalendarError> {
    let mut day = date;
    for _ in 0..CLOSED_DAYS_MAX {
        if holidays.is_business_day(day) {
            return Ok(day);
        }
        day = tomorrow(day)?;
    }
    Err(CalendarError::NeverOpen {
        days: CLOSED_DAYS_MAX,
    })
}

/// How many business days there are from `from` up to, but without, `to`. Negative when `to` is earlier.
pub fn business_days_between(from: Date, to: Date, holidays: &Holidays) -> i64 {
    if to < from {
        return -business_days_between(to, from, holidays);
    }
    let mut count = 0;
    let mut day = from;
    while day < to {
        count += i64::from(holidays.is_business_day(day));
        let Ok(next) = day.tomorrow() else { break };
        day = next;
    }
    count
}

/// Calendar days from one date to another; negative when the second is earlier.
pub fn days_between(from: Date, to: Date) -> i64 {
    i64::from((to - from).get_days())
}

/// The date so many calendar months later. Where the month has no such day, its last day: 31 January and one month is 28
/// or 29 February. Warranty periods count so.
pub fn add_months(date: Date, months: i32) -> Result<Date, CalendarError> {
    let span = Span::new()
        .try_months(months)
        .map_err(|_| CalendarError::OutOfRange)?;
    date.checked_add(span)
        .map_err(|_| CalendarError::OutOfRange)
}

/// A week by ISO 8601: it belongs to the year that holds its Thursday.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct IsoWeek {
    /// The year the week belongs to.
    pub year: i16,
    /// 1 to 52 or 53.
    pub week: u8,
}

/// The week a date falls in.
pub fn iso_week(date: Date) -> IsoWeek {
    let week = date.iso_week_date();
    IsoWeek {
        year: week.year(),
        week: week.week().unsigned_abs(),
    }
}

impl fmt::Display for IsoWeek {
    /// As in `2026-W53`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-W{:02}", self.year, self.week)
    }
}

fn tomorrow(date: Date) -> Result<Date, CalendarError> {
    date.tomorrow().map_err(|_| CalendarError::OutOfRange)
}
