//! The line to the server: joining, inviting, and what the quiet line on the screen says.

use std::path::Path;

use domain::{ContentHash, ShopId};

use crate::commands::SyncLine;
use crate::commands::shops::ShopInvitation;
use crate::commands::start::Invitation;
use crate::desk::Desk;
use crate::error::DeskError;

/// The line to the server.
pub struct Connection {}

impl Connection {
    pub(crate) const fn new() -> Self {
        Self {}
    }
}

impl Desk {
    /// The quiet line.
    pub(crate) fn sync_line(&self) -> Result<SyncLine, DeskError> {
        let outbox = self.store.outbox()?;
        let files = self.store.photo_totals()?;
        let joined = self.store.enrolment()?.is_some();
        Ok(SyncLine {
            words: if joined { "all sent".to_owned() } else { "no server: everything stays on this computer".to_owned() },
            entries_waiting: outbox.entries,
            files_waiting: files.waiting,
            file_bytes_waiting: files.waiting_bytes,
            entries_to_fetch: 0,
            reached_at_ms: None,
            connected: false,
            joined,
            trouble: String::new(),
            clock_ahead_ms: None,
        })
    }
    /// Wakes the runner.
    pub(crate) fn wake_sync(&self) {}
    pub(crate) fn join(&self, _invitation: &str, _name: &str) -> Result<(), DeskError> { Err(DeskError::NoLab) }
    pub(crate) fn connect(&self, _url: &str, _code: &str) -> Result<(), DeskError> { Err(DeskError::NoLab) }
    pub(crate) fn invite(&self) -> Result<Invitation, DeskError> { Err(DeskError::NoLab) }
    pub(crate) fn invite_shop_user(&self, _: ShopId, _: &str, _: &str) -> Result<ShopInvitation, DeskError> { Err(DeskError::NoLab) }
    pub(crate) fn fetch_file(&self, _: &ContentHash) -> Result<Vec<u8>, DeskError> { Err(DeskError::NotFound { what: "file" }) }
    pub(crate) fn restore(&self, _: &Path) -> Result<(), DeskError> { Err(DeskError::NoLab) }
}
