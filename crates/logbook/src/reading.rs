//! From an envelope to what the folds eat.

use domain::Fact;
use domain::Recorded;

use crate::entry::Entry;

/// The reader level this program writes into entries that must not be ignored by a program that can't read them.
pub const READER_LEVEL: u16 = 1;

/// An entry that takes no part in folds. It is kept and relayed all the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotFoldable {
    /// Its payload has been redacted.
    Redacted,
    /// It is about something this version doesn't know.
    UnknownSubject,
}

/// Returns an entry as the folds see it.
///
/// A payload that can't be read becomes [`domain::Decoded::Unknown`]; nothing is refused here.
pub fn recorded(entry: &Entry) -> Result<Recorded, NotFoldable> {
    let subject = entry.subject.known().ok_or(NotFoldable::UnknownSubject)?;
    let payload = entry.payload.as_ref().ok_or(NotFoldable::Redacted)?;
    let must_not_ignore = entry.min_reader > 0;
    let decoded = Fact::decode(
        entry.kind.as_str(),
        entry.kind_version,
        payload,
        must_not_ignore,
    );
    Ok(Recorded {
        entry_id: entry.entry_id,
        stamp: entry.stamp(),
        actor_id: entry.actor_id,
        subject,
        based_on: entry.based_on.clone(),
        decoded,
    })
}
