//! From an envelope to what the folds eat.

use domain::fact::Fact;
use domain::recorded::{Decoded, Recorded};

use crate::entry::Entry;

/// The level of this program as a reader. An entry whose `min_reader` is higher and whose kind is unknown must not be ignored.
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
/// A payload that can't be read becomes [`Decoded::Unknown`]; nothing is refused here.
pub fn recorded(entry: &Entry) -> Result<Recorded, NotFoldable> {
    let subject = entry.subject.known().ok_or(NotFoldable::UnknownSubject)?;
    let payload = entry.payload.as_ref().ok_or(NotFoldable::Redacted)?;
    let decoded = match Fact::decode(entry.kind.as_str(), entry.kind_version, payload) {
        Decoded::Unknown { kind, must_not_ignore } => {
            Decoded::Unknown { kind, must_not_ignore: must_not_ignore || entry.min_reader > READER_LEVEL }
        }
        known @ Decoded::Known(_) => known,
    };
    Ok(Recorded {
        entry_id: entry.entry_id,
        stamp: entry.stamp(),
        actor_id: entry.actor_id,
        subject,
        based_on: entry.based_on.clone(),
        decoded,
    })
}
