//! The table: medians, 99th percentiles, budgets, and how well each is kept.

use std::fmt;
use std::time::{Duration, Instant};

/// What something may take, by the median or the 99th percentile.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Budget {
    /// Nobody has set one.
    None,
    /// The median.
    Median(Duration),
    /// The 99th percentile.
    P99(Duration),
    /// Both, in that order.
    Both(Duration, Duration),
    /// Bytes over the line.
    Bytes(u64),
}

/// The rows, as they are printed.
#[derive(Debug, Default)]
pub(super) struct Table(Vec<[String; 6]>);

impl Table {
    /// Adds what was measured.
    pub(super) fn add(&mut self, what: &str, budget: Budget, mut times: Vec<Duration>) {
        let (median, p99) = (percentile(&mut times, 50), percentile(&mut times, 99));
        let (allowed, met) = match budget {
            Budget::None => ("none set".to_owned(), String::new()),
            Budget::Median(most) => (words(most), factor(most, median)),
            Budget::P99(most) => (format!("p99 {}", words(most)), factor(most, p99)),
            Budget::Both(middle, late) => {
                let allowed = format!("median {}, p99 {}", words(middle), words(late));
                (
                    allowed,
                    format!("{}, {}", factor(middle, median), factor(late, p99)),
                )
            }
            Budget::Bytes(_) => (String::new(), String::new()),
        };
        let p99 = if times.len() > 1 {
            words(p99)
        } else {
            "–".to_owned()
        };
        self.0.push([
            what.to_owned(),
            times.len().to_string(),
            words(median),
            p99,
            allowed,
            met,
        ]);
    }

    /// Adds a count of bytes.
    pub(super) fn add_bytes(&mut self, what: &str, budget: Budget, bytes: u64) {
        let (allowed, met) = match budget {
            Budget::Bytes(most) => (format!("{most} B"), ratio(most, bytes)),
            _ => ("none set".to_owned(), String::new()),
        };
        self.0.push([
            what.to_owned(),
            "1".to_owned(),
            format!("{bytes} B"),
            "–".to_owned(),
            allowed,
            met,
        ]);
    }
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "| what | times | median | p99 | budget | met by |")?;
        write!(f, "| --- | ---: | ---: | ---: | --- | ---: |")?;
        for [what, times, median, p99, budget, met] in &self.0 {
            write!(
                f,
                "\n| {what} | {times} | {median} | {p99} | {budget} | {met} |"
            )?;
        }
        Ok(())
    }
}

/// Does something so often, and times each.
pub(super) fn times(count: usize, mut act: impl FnMut(usize)) -> Vec<Duration> {
    (0..count)
        .map(|number| {
            let began = Instant::now();
            act(number);
            began.elapsed()
        })
        .collect()
}

/// The smallest value that so many per cent do not exceed (nearest rank).
pub(super) fn percentile(times: &mut [Duration], percent: usize) -> Duration {
    times.sort_unstable();
    let rank = (times.len() * percent).div_ceil(100).max(1);
    times.get(rank - 1).copied().unwrap_or_default()
}

/// Median and 99th percentile in words.
pub(super) fn spread(times: &mut [Duration]) -> String {
    format!(
        "{} (median; p99 {})",
        words(percentile(times, 50)),
        words(percentile(times, 99))
    )
}

/// A time with three figures.
fn words(time: Duration) -> String {
    let seconds = time.as_secs_f64();
    if seconds >= 1.0 {
        format!("{seconds:.2} s")
    } else if seconds >= 0.001 {
        format!("{:.2} ms", seconds * 1e3)
    } else {
        format!("{:.0} µs", seconds * 1e6)
    }
}

fn factor(most: Duration, measured: Duration) -> String {
    format!(
        "{:.1}",
        most.as_secs_f64() / measured.as_secs_f64().max(1e-9)
    )
}

fn ratio(most: u64, measured: u64) -> String {
    let tenths = most.saturating_mul(10) / measured.max(1);
    format!("{}.{}", tenths / 10, tenths % 10)
}

#[cfg(test)]
mod tests;
