//! A current trace from a bench supply: a text table of time, current and perhaps voltage, and what it shows of a start-up.
//!
//! Times are microseconds, currents nanoamperes, voltages microvolts, all whole numbers; charge is summed exactly by the trapezoid rule.
//! A row that can't be read is named with its line and what was wrong, and left out of the figures; the file itself is kept
//! elsewhere, byte for byte. Nothing here may smooth, fill or guess a value.

mod figures;
mod parse;

#[cfg(test)]
mod tests;

pub use figures::{Figures, Thinned, figures, thinned};
pub use parse::{BrokenRow, Trace, TraceError, decode_text, parse_trace};

/// One row of a trace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sample {
    /// Microseconds from the first row.
    pub at_us: i64,
    /// The current, in nanoamperes.
    pub current_na: i64,
    /// The voltage, in microvolts, if the table has one.
    pub voltage_uv: Option<i64>,
}
