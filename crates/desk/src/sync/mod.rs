//! Sending and fetching: bringing this desktop and the server to the same log, again and again.
//!
//! Correctness is in [`sync_once`] and [`upload_next`], which keep no state of their own and read no clock: whatever is dropped,
//! doubled, cut off or restored, the next call goes on from what both sides hold. [`SyncRunner`] only decides when to call them.
//! Nothing on screen ever waits for anything here, and nothing here ever deletes what a person recorded.

mod backoff;
mod heal;
mod http;
mod join;
mod photos;
mod round;
mod runner;
mod status;

pub use backoff::backoff_ms;
pub use http::{HttpClient, HttpOptions, HttpOptionsError};
pub use join::join;
pub use photos::{PhotoStep, fetch_photo, upload_next};
pub use round::{Blocked, Progress, Round, RoundError, sync_once};
pub use runner::{Connect, RunningSync, StatusListener, SyncRunner};
pub use status::{SyncState, SyncStatus};

#[cfg(test)]
mod tests;
