//! What the lab's own past says: rates with their interval and count, and how long repairs last.
//!
//! Estimates are floating-point numbers, since they are no records: they are worked out anew from entries whenever they are
//! shown, and are never stored or summed. A rate never stands without its count and its interval, and where there is too
//! little to tell, these functions say so and give no number.

mod past;
mod precedent;
mod rate;
mod survival;
#[cfg(test)]
mod tests;

pub use past::{Ended, Often, Past, Spread, fault_of, past};
pub use precedent::Precedent;
pub use rate::{Interval, RATE_MIN_COUNT, Rate};
pub use survival::{AT_RISK_MIN, COMEBACKS_MIN, Stay, Survival, SurvivalStep, survival};

/// The standard normal quantile at 0.975, for two-sided intervals of 95 %.
///
/// Handbook tables print 1.96; the digits are those of `scipy.stats.norm.ppf(0.975)`.
pub(crate) const Z_95: f64 = 1.959_963_984_540_054;
