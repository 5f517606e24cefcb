//! What the commands print. Plain lines, so that a log file reads as well as a terminal.

use std::time::Duration;

/// Announces a step before it starts.
pub(crate) fn heading(text: &str) {
    println!("\n== {text}");
}

/// Says something about the step that is running.
pub(crate) fn note(text: &str) {
    println!("   {text}");
}

/// A duration as a person reads it: `0.4 s`, `12 s`, `3 min 05 s`.
pub(crate) fn seconds(duration: Duration) -> String {
    let whole = duration.as_secs();
    match whole {
        0..=9 => format!("{:.1} s", duration.as_secs_f64()),
        10..=59 => format!("{whole} s"),
        _ => format!("{} min {:02} s", whole / 60, whole % 60),
    }
}

#[cfg(test)]
mod tests;
