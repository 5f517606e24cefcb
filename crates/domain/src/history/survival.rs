//! How long repairs last: the share that has not come back, day by day.
//!
//! A device that went back yesterday has had no time to return. Counting it as lasting would flatter the lab, leaving it out
//! would slander it; the product-limit estimate (E. L. Kaplan and P. Meier, J. Am. Stat. Assoc. 53, 1958) does neither.

use serde::Serialize;

use super::Z_95;

/// The curve ends where fewer than this many devices are still watched: a step of one in four is noise. Common practice, no source.
pub const AT_RISK_MIN: u32 = 5;
/// Below this many comebacks no curve is drawn. Common practice, no source.
pub const COMEBACKS_MIN: u32 = 3;

/// One device after its repair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stay {
    /// Days from when it left to its comeback, or to now if it is still out.
    pub days: u32,
    /// Whether it came back; otherwise it is still out at the end of those days.
    pub came_back: bool,
}

/// The curve changes on a day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SurvivalStep {
    /// Days after the return.
    pub day: u32,
    /// Devices that were out until then and might have come back.
    pub at_risk: u32,
    /// Devices that came back on that day.
    pub comebacks: u32,
    /// The share that has not come back by the end of that day.
    pub lasting: f64,
    /// Lower bound of that share, 95 %.
    pub low: f64,
    /// Upper bound of that share, 95 %.
    pub high: f64,
}

/// The curve with what it rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Survival {
    /// Devices counted.
    pub devices: u32,
    /// Devices that came back.
    pub comebacks: u32,
    /// The longest time that any of them has been out, in days.
    pub days_max: u32,
    /// The days on which the curve steps down. Empty when there is too little to draw one.
    pub steps: Vec<SurvivalStep>,
    /// One sentence: what the curve says, or why there is none.
    pub words: String,
}

/// Estimates how repairs last. The order of `stays` does not matter. A comeback and an end of watching on the same day: the
/// comeback counts first, the other device was still out.
pub fn survival(stays: &[Stay]) -> Survival {
    let devices = count(stays.len());
    let comebacks = count(stays.iter().filter(|stay| stay.came_back).count());
    let all = steps(stays);
    let enough = comebacks >= COMEBACKS_MIN;
    let steps: Vec<SurvivalStep> = all
        .into_iter()
        .take_while(|step| enough && step.at_risk >= AT_RISK_MIN)
        .collect();
    let words = match steps.last() {
        _ if devices == 0 => "No such repair has gone back yet.".to_owned(),
        None => format!(
            "{comebacks} of {devices} came back; too few to draw how long such repairs last."
        ),
        Some(last) => format!(
            "After {} days {:.0} % have not come back ({:.0} to {:.0} % at 95 % confidence, {devices} devices).",
            last.day,
            last.lasting * 100.0,
            last.low * 100.0,
            last.high * 100.0
        ),
    };
    Survival {
        devices,
        comebacks,
        days_max: stays.iter().map(|stay| stay.days).max().unwrap_or(0),
        steps,
        words,
    }
}

/// Every step, however few devices it rests on.
fn steps(stays: &[Stay]) -> Vec<SurvivalStep> {
    let mut days: Vec<u32> = stays
        .iter()
        .filter(|stay| stay.came_back)
        .map(|stay| stay.days)
        .collect();
    days.sort_unstable();
    days.dedup();
    let mut lasting = 1.0;
    // Greenwood's sum (M. Greenwood, 1926) of d / (n (n - d)).
    let mut greenwood = 0.0;
    let mut steps = Vec::new();
    for day in days {
        let at_risk = count(stays.iter().filter(|stay| stay.days >= day).count());
        let came = |stay: &&Stay| stay.came_back && stay.days == day;
        let comebacks = count(stays.iter().filter(came).count());
        let (n, d) = (f64::from(at_risk), f64::from(comebacks));
        lasting *= 1.0 - d / n;
        greenwood += if at_risk > comebacks {
            d / (n * (n - d))
        } else {
            f64::INFINITY
        };
        let (low, high) = band(lasting, greenwood);
        steps.push(SurvivalStep {
            day,
            at_risk,
            comebacks,
            lasting,
            low,
            high,
        });
    }
    steps
}

/// The band on the log-minus-log scale, which never leaves 0 and 1 (J. D. Kalbfleisch and R. L. Prentice, The Statistical
/// Analysis of Failure Time Data).
fn band(lasting: f64, greenwood: f64) -> (f64, f64) {
    if lasting <= 0.0 || !greenwood.is_finite() {
        return (0.0, lasting.max(0.0));
    }
    if lasting >= 1.0 {
        return (1.0, 1.0);
    }
    let spread = Z_95 * greenwood.sqrt() / lasting.ln();
    // The logarithm is negative, so the spread is too: the larger power is the lower bound.
    (lasting.powf((-spread).exp()), lasting.powf(spread.exp()))
}

fn count(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

#[cfg(test)]
pub(super) fn all_steps(stays: &[Stay]) -> Vec<SurvivalStep> {
    steps(stays)
}
