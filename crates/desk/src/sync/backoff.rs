//! How long to wait after a failure.

/// First wait: long enough that a server that is starting isn't hammered, short enough that nobody notices.
const FIRST_MS: u64 = 1_000;

/// Longest wait. A server that comes back after a weekend is found within five minutes without anybody's doing.
const LONGEST_MS: u64 = 5 * 60 * 1_000;

/// Returns the wait after `failures` failures in a row: doubling from one second to five minutes, of which a random half is left
/// out, so that twenty desktops don't all come back in the same second. `random` is any random number.
pub fn backoff_ms(failures: u32, random: u64) -> u64 {
    let doubled = FIRST_MS
        .checked_shl(failures.saturating_sub(1).min(20))
        .unwrap_or(LONGEST_MS);
    let full_ms = doubled.min(LONGEST_MS);
    full_ms - random % (full_ms / 2)
}
