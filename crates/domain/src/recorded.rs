//! An entry as the folds see it: who, when, about what, and the decoded fact.
//!
//! The envelope around it (hashes, signature, transport) is `logbook`'s; nothing here knows of it.

use serde::{Deserialize, Serialize};

use crate::fact::Fact;
use crate::ids::{EntryId, PersonId, StreamId, Subject};

/// Where an entry stands in the order people see.
///
/// The hybrid clock comes first, then the stream and its sequence, so that every replica sorts alike. It decides a place in
/// a list, never what is true. Field order is the sort order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Stamp {
    /// Milliseconds since 1970-01-01T00:00:00Z by the writer's hybrid clock.
    pub hlc_ms: u64,
    /// Counts entries within one millisecond.
    pub hlc_counter: u32,
    /// The stream the entry was written in.
    pub stream_id: StreamId,
    /// The entry's dense position in its stream, from 1.
    pub stream_seq: u64,
}

/// What the payload of an entry turned out to be.
#[derive(Debug, Clone, PartialEq)]
pub enum Decoded {
    /// A fact this version understands.
    Known(Box<Fact>),
    /// A kind, version or shape that a newer program wrote. Kept, relayed and counted; folded after an upgrade.
    Unknown {
        /// The kind as written.
        kind: String,
        /// True when the writer said that a program which can't read it must not ignore it.
        must_not_ignore: bool,
    },
}

/// One entry, ready to be folded.
#[derive(Debug, Clone, PartialEq)]
pub struct Recorded {
    /// The entry.
    pub entry_id: EntryId,
    /// Its place in the display order.
    pub stamp: Stamp,
    /// The person who acted.
    pub actor_id: PersonId,
    /// What it is about.
    pub subject: Subject,
    /// For a register: the edits this one had seen.
    pub based_on: Vec<EntryId>,
    /// The fact, if it can be read.
    pub decoded: Decoded,
}

impl Recorded {
    /// The known fact, if it is one.
    pub fn fact(&self) -> Option<&Fact> {
        match &self.decoded {
            Decoded::Known(fact) => Some(fact),
            Decoded::Unknown { .. } => None,
        }
    }
}

/// Who recorded something and when: what a screen prints beside a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Mark {
    /// The entry, so that it can be withdrawn or cited.
    pub entry_id: EntryId,
    /// The person.
    pub actor_id: PersonId,
    /// Milliseconds since 1970 by the writer's clock.
    pub at_ms: u64,
}

impl From<&Recorded> for Mark {
    fn from(recorded: &Recorded) -> Self {
        Self {
            entry_id: recorded.entry_id,
            actor_id: recorded.actor_id,
            at_ms: recorded.stamp.hlc_ms,
        }
    }
}

#[cfg(test)]
impl Recorded {
    /// An entry for tests: its number is its id, its millisecond and its place in its stream, and it has seen the numbers in `seen`.
    pub(crate) fn in_test(
        subject: Subject,
        number: u8,
        stream: u8,
        fact: Fact,
        seen: &[u8],
    ) -> Self {
        let id = |number: u8| EntryId::from_bytes([number; 16]);
        Self {
            entry_id: id(number),
            stamp: Stamp {
                hlc_ms: u64::from(number),
                hlc_counter: 0,
                stream_id: StreamId::from_bytes([stream; 16]),
                stream_seq: u64::from(number),
            },
            actor_id: PersonId::from_bytes([9; 16]),
            subject,
            based_on: seen.iter().copied().map(id).collect(),
            decoded: Decoded::Known(Box::new(fact)),
        }
    }
}
