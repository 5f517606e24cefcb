//! The only place of the server that asks what time it is, and where ids are made.
//!
//! Everything else is handed `now_ms`, so that a test can let a session expire without waiting.

use std::fmt;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::{SystemTime, UNIX_EPOCH};

use uuid::{Builder, Uuid};

use crate::auth::token::{RandomError, random};

/// Tells the time in milliseconds since 1970-01-01T00:00:00Z.
pub trait Clock: fmt::Debug + Send + Sync + 'static {
    /// Now, in milliseconds since 1970.
    fn now_ms(&self) -> i64;
}

/// The machine's own clock.
#[derive(Debug, Clone, Copy, Default)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now_ms(&self) -> i64 {
        // A machine set before 1970 is treated as being at 1970: a wrong clock costs a wrong time on a page, never a refusal to run.
        SystemTime::now()
            .duration_since(UNIX_EPOCH)
            .map_or(0, |since| {
                i64::try_from(since.as_millis()).unwrap_or(i64::MAX)
            })
    }
}

/// A clock that stands still until it is moved; for tests and simulations.
#[derive(Debug, Default)]
pub struct ManualClock(AtomicI64);

impl ManualClock {
    /// A clock that shows `now_ms`.
    pub fn at(now_ms: i64) -> Self {
        Self(AtomicI64::new(now_ms))
    }

    /// Moves the clock by `ms`, backwards if negative.
    pub fn advance(&self, ms: i64) {
        self.0.fetch_add(ms, Ordering::SeqCst);
    }
}

impl Clock for ManualClock {
    fn now_ms(&self) -> i64 {
        self.0.load(Ordering::SeqCst)
    }
}

/// A random UUID (version 4): for things that have no time of their own, such as the life of a log.
pub(crate) fn random_uuid() -> Result<Uuid, RandomError> {
    Ok(Builder::from_random_bytes(random::<16>()?).into_uuid())
}

/// A UUIDv7 (RFC 9562) for something that happens now.
pub(crate) fn timed_uuid(now_ms: i64) -> Result<Uuid, RandomError> {
    let millis = u64::try_from(now_ms).unwrap_or(0);
    Ok(Builder::from_unix_timestamp_millis(millis, &random::<10>()?).into_uuid())
}
