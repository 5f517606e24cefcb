//! Finding common ground with a server that was restored.
//!
//! Its log's beginning is still ours, and its end may be gone. Every desktop is a backup of the log: from the last common position
//! on we read what it has, and the planner sends what it lacks. Nothing here is deleted because a server forgot it.

use logbook::LogDigest;
use sync_protocol::{Cursor, Pull, SyncProtocol};
use uuid::Uuid;

use super::round::RoundError;
use crate::store::Store;

/// Sets the cursor to the last checkpoint that the server's log shares. At worst that is the start of the log.
///
/// Digests agree up to some position and nowhere after it, so halving finds it: 10 questions for 500,000 entries.
pub(super) fn find_common_position(
    store: &Store,
    server: &dyn SyncProtocol,
    log_epoch: Uuid,
    log_position_end: u64,
) -> Result<(), RoundError> {
    let mut checkpoints: Vec<(u64, LogDigest)> = store
        .checkpoints()?
        .into_iter()
        .filter(|(log_position, _)| *log_position > 0 && *log_position <= log_position_end)
        .collect();
    checkpoints.insert(0, (0, LogDigest::EMPTY));
    let (mut shared, mut beyond) = (0, checkpoints.len());
    while beyond - shared > 1 {
        let middle = shared + (beyond - shared) / 2;
        let (log_position, digest) = checkpoints[middle];
        match server.pull(&Cursor {
            log_epoch,
            log_position,
            digest,
        })? {
            Pull::Page(_) => shared = middle,
            Pull::CursorUnknown { .. } => beyond = middle,
        }
    }
    let (log_position, digest) = checkpoints[shared];
    tracing::warn!(
        log_position,
        "the server was restored; reading again from the last common position"
    );
    store.set_cursor(&Cursor {
        log_epoch,
        log_position,
        digest,
    })?;
    Ok(())
}
