//! Recording: the one way anything changes.
//!
//! One immediate transaction: read the stream's head, seal, insert, fold what was touched, queue for sending, save the clock,
//! commit. Whole or absent, never half.

use domain::fact::Weight;
use domain::{EntryId, Fact, PersonId, Subject};
use logbook::{Draft, Entry, Head, Hlc, Kind, READER_LEVEL, Salt, SigningKey, SubjectRef, seal};
use rusqlite::params;
use sync_protocol::limits::PAYLOAD_BYTES_MAX;

use super::error::StoreError;
use super::rows::{insert_entry, integer};
use super::{Reading, Store, Writing};

/// An entry to be recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewEntry {
    /// Its id, when something else must name it; otherwise one is made.
    pub entry_id: Option<EntryId>,
    /// What it is about.
    pub subject: Subject,
    /// Its kind, `noun.verb_past`.
    pub kind: String,
    /// The payload's version.
    pub kind_version: u16,
    /// 0 when an older program may ignore it.
    pub min_reader: u16,
    /// For a register: the edits the person had seen.
    pub based_on: Vec<EntryId>,
    /// The payload.
    pub payload: Vec<u8>,
}

impl NewEntry {
    /// An entry recording a fact.
    pub fn fact(subject: Subject, fact: &Fact) -> Self {
        let min_reader = match fact.weight() {
            Weight::MayBeIgnored => 0,
            Weight::MustBeRead => READER_LEVEL,
        };
        Self {
            entry_id: None,
            subject,
            kind: fact.kind().to_owned(),
            kind_version: fact.version(),
            min_reader,
            based_on: Vec::new(),
            payload: fact.encode(),
        }
    }

    /// Names the edits the person had seen.
    #[must_use]
    pub fn based_on(mut self, seen: Vec<EntryId>) -> Self {
        self.based_on = seen;
        self
    }

    /// Fixes the id.
    #[must_use]
    pub const fn with_id(mut self, entry_id: EntryId) -> Self {
        self.entry_id = Some(entry_id);
        self
    }
}

/// What was recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Appended {
    /// The entries, in the order given.
    pub entries: Vec<Entry>,
    /// The subjects they are about, each once.
    pub changed: Vec<Subject>,
}

impl Store {
    /// Records entries as one action. After this returns they survive a power cut.
    pub fn append(
        &self,
        actor_id: PersonId,
        entries: Vec<NewEntry>,
    ) -> Result<Appended, StoreError> {
        self.record(actor_id, |_| Ok(entries))
    }

    /// Decides and records in one transaction: `decide` sees the state that the entries are written on, with nobody in between.
    ///
    /// An error from `decide` leaves nothing behind.
    pub fn record<E: From<StoreError>>(
        &self,
        actor_id: PersonId,
        decide: impl FnOnce(&Reading<'_>) -> Result<Vec<NewEntry>, E>,
    ) -> Result<Appended, E> {
        let appended = self.transact("recording", |writing| {
            let entries = decide(&writing.reading())?;
            writing.append(actor_id, entries).map_err(E::from)
        })?;
        self.announce(&appended.changed);
        Ok(appended)
    }
}

/// Where the next own entry goes.
pub(super) struct Pen {
    pub(super) head: Head,
    pub(super) key: SigningKey,
}

impl Writing<'_> {
    fn append(&self, actor_id: PersonId, new: Vec<NewEntry>) -> Result<Appended, StoreError> {
        if new.is_empty() {
            return Err(StoreError::NothingToRecord);
        }
        let reading = self.reading();
        let lab_id = reading.lab_id()?;
        let now_ms = self.now_ms();
        let mut pen = self.pen()?;
        let mut hlc = reading.installation()?.hlc;
        let mut entries = Vec::with_capacity(new.len());
        let mut changed = Vec::new();
        for new in new {
            hlc = hlc.send(now_ms);
            if !changed.contains(&new.subject) {
                changed.push(new.subject);
            }
            let draft = self.draft(lab_id, actor_id, new)?;
            entries.push(self.seal_and_insert(draft, &mut pen, hlc, now_ms)?);
        }
        self.save_head(&pen.head)?;
        self.set_hlc(hlc)?;
        for subject in &changed {
            self.fold(*subject)?;
        }
        Ok(Appended { entries, changed })
    }

    fn draft(
        &self,
        lab_id: domain::LabId,
        actor_id: PersonId,
        new: NewEntry,
    ) -> Result<Draft, StoreError> {
        if new.payload.len() > PAYLOAD_BYTES_MAX {
            return Err(StoreError::PayloadTooLarge {
                bytes: new.payload.len(),
                max: PAYLOAD_BYTES_MAX,
            });
        }
        Ok(Draft {
            entry_id: new
                .entry_id
                .unwrap_or_else(|| EntryId::new(self.ports.new_uuid())),
            lab_id,
            actor_id,
            kind: Kind::new(&new.kind)?,
            kind_version: new.kind_version,
            min_reader: new.min_reader,
            subject: SubjectRef::from(new.subject),
            based_on: new.based_on,
            payload: new.payload,
            payload_salt: Salt::from_bytes(self.ports.random_bytes()),
        })
    }

    fn seal_and_insert(
        &self,
        draft: Draft,
        pen: &mut Pen,
        hlc: Hlc,
        now_ms: u64,
    ) -> Result<Entry, StoreError> {
        let entry = seal(draft, &pen.head, hlc, &pen.key)?;
        self.write_own(&entry, now_ms)?;
        pen.head = Head {
            stream_id: entry.stream_id,
            seq: entry.stream_seq,
            hash: entry.hash,
        };
        Ok(entry)
    }

    /// Inserts an entry of this installation and queues it for sending.
    pub(super) fn write_own(&self, entry: &Entry, now_ms: u64) -> Result<(), StoreError> {
        insert_entry(&self.tx, entry, now_ms).map_err(StoreError::database("recording"))?;
        self.tx
            .prepare_cached(
                "INSERT INTO outbox (stream_id, stream_seq, queued_ms) VALUES (?1, ?2, ?3)",
            )
            .and_then(|mut statement| {
                statement.execute(params![
                    entry.stream_id.as_bytes(),
                    integer(entry.stream_seq),
                    integer(now_ms)
                ])
            })
            .map_err(StoreError::database("queueing for sending"))?;
        self.erase_what(entry)
    }

    /// The head of the stream written now, and the key.
    pub(super) fn pen(&self) -> Result<Pen, StoreError> {
        let reading = self.reading();
        let stream_id = reading.installation()?.stream_id;
        let head = reading.head(stream_id)?.unwrap_or(Head::empty(stream_id));
        Ok(Pen {
            head,
            key: reading.signing_key()?,
        })
    }

    pub(super) fn save_head(&self, head: &Head) -> Result<(), StoreError> {
        self.tx
            .prepare_cached("UPDATE streams SET head_seq = ?2, head_hash = ?3 WHERE stream_id = ?1")
            .and_then(|mut statement| {
                statement.execute(params![
                    head.stream_id.as_bytes(),
                    integer(head.seq),
                    head.hash.as_bytes()
                ])
            })
            .map(drop)
            .map_err(StoreError::database("moving a stream's head"))
    }
}
