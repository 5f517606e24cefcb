//! Taking in entries from elsewhere.
//!
//! Entries and cursor in one transaction, so that a page is taken whole or comes again. Proofs are made before the transaction
//! begins; nothing in it waits for anything but the disk. Touched subjects are only marked here and folded afterwards, so that a
//! first sync of 200,000 entries folds each subject once.

use std::collections::BTreeMap;

use domain::StreamId;
use logbook::{Entry, Head, Hlc, Placement, PublicKey, place, verify_entry};
use rusqlite::params;
use sync_protocol::{Page, StreamInfo, advance_digest};

use super::error::StoreError;
use super::fork::First;
use super::rows::insert_entry;
use super::{Reading, Store, Writing};

/// What became of a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Ingested {
    /// Entries that are new here.
    pub stored: usize,
    /// Entries that were here already.
    pub known: usize,
    /// Times a stream here turned out to have had two writers.
    pub forks: usize,
}

impl Store {
    /// Takes in a page that follows the cursor.
    ///
    /// Every entry is proved first: hashes, signature, lab, place in its stream; the page's digest must continue the log. When
    /// anything fails, nothing of the page is taken. Afterwards call [`Store::fold_stale`].
    pub fn ingest(&self, page: &Page) -> Result<Ingested, StoreError> {
        let keys = self.read(|reading| reading.check_page(page))?;
        prove(page, &keys)?;
        self.transact("taking in entries from the server", |writing| {
            writing.ingest(page)
        })
    }
}

impl Reading<'_> {
    /// Checks what doesn't need the entries' proofs, and returns the key of every stream in the page.
    fn check_page(&self, page: &Page) -> Result<BTreeMap<StreamId, PublicKey>, StoreError> {
        let lab_id = self.lab_id()?;
        if let Some(foreign) = page.entries.iter().find(|entry| entry.lab_id != lab_id) {
            return Err(StoreError::ForeignEntry {
                entry_id: foreign.entry_id,
            });
        }
        let mut keys = BTreeMap::new();
        for StreamInfo {
            stream_id,
            public_key,
            ..
        } in &page.streams
        {
            match self.stream_key(*stream_id)? {
                Some(known) if known != *public_key => {
                    return Err(StoreError::StreamKey {
                        stream_id: *stream_id,
                    });
                }
                _ => keys.insert(*stream_id, *public_key),
            };
        }
        Ok(keys)
    }
}

fn prove(page: &Page, keys: &BTreeMap<StreamId, PublicKey>) -> Result<(), StoreError> {
    for entry in &page.entries {
        let key = keys.get(&entry.stream_id).ok_or(StoreError::StreamKey {
            stream_id: entry.stream_id,
        })?;
        verify_entry(entry, key)?;
    }
    Ok(())
}

/// The page being taken in: heads of its streams as they move.
struct Intake {
    heads: BTreeMap<StreamId, Head>,
    own: StreamId,
    now_ms: u64,
    done: Ingested,
}

impl Writing<'_> {
    fn ingest(&self, page: &Page) -> Result<Ingested, StoreError> {
        self.check_continues(page)?;
        let reading = self.reading();
        let installation = reading.installation()?;
        let mut intake = Intake {
            heads: BTreeMap::new(),
            own: installation.stream_id,
            now_ms: self.now_ms(),
            done: Ingested::default(),
        };
        for stream in &page.streams {
            self.know_stream(stream)?;
        }
        for entry in &page.entries {
            self.take(&mut intake, entry)?;
        }
        for head in intake.heads.values() {
            self.save_head(head)?;
        }
        if let Some(latest) = page
            .entries
            .iter()
            .map(Entry::hlc)
            .max()
            .filter(|_| intake.done.stored > 0)
        {
            let hlc: Hlc = reading.installation()?.hlc;
            self.set_hlc(hlc.receive(latest, intake.now_ms))?;
        }
        self.advance_cursor(&page.cursor)?;
        Ok(intake.done)
    }

    /// A page must begin where the cursor stands, and its digest must follow from its entries.
    fn check_continues(&self, page: &Page) -> Result<(), StoreError> {
        let cursor = self.reading().cursor()?.ok_or(StoreError::Digest)?;
        let digest = page.entries.iter().fold(cursor.digest, |digest, entry| {
            advance_digest(&digest, &entry.hash)
        });
        let position = cursor.log_position + page.entries.len() as u64;
        let same = page.cursor.log_epoch == cursor.log_epoch
            && page.cursor.log_position == position
            && page.cursor.digest == digest;
        if same {
            Ok(())
        } else {
            Err(StoreError::Digest)
        }
    }

    fn know_stream(&self, stream: &StreamInfo) -> Result<(), StoreError> {
        self.tx
            .prepare_cached(
                "INSERT INTO streams (stream_id, public_key, name, head_seq, head_hash, is_own) VALUES (?1, ?2, ?3, 0, ?4, 0)
                 ON CONFLICT (stream_id) DO UPDATE SET name = ?3 WHERE is_own = 0 AND name <> ?3",
            )
            .and_then(|mut statement| {
                statement.execute(params![
                    stream.stream_id.as_bytes(),
                    stream.public_key.as_bytes(),
                    stream.name,
                    logbook::EntryHash::GENESIS.as_bytes(),
                ])
            })
            .map(drop)
            .map_err(StoreError::database("meeting a stream"))
    }

    fn take(&self, intake: &mut Intake, entry: &Entry) -> Result<(), StoreError> {
        let stream_id = entry.stream_id;
        let mut placement = self.placement(intake, entry)?;
        if let Placement::Fork { .. } = placement {
            self.give_way(intake, entry)?;
            placement = self.placement(intake, entry)?;
        }
        match placement {
            Placement::Next => {}
            Placement::AlreadyKnown => {
                intake.done.known += 1;
                return Ok(());
            }
            Placement::MissingFrom { seq } => {
                return Err(StoreError::Gap {
                    stream_id,
                    expected: seq,
                    found: entry.stream_seq,
                });
            }
            // Our end of the stream gave way and the entry still names another forerunner: the server left one out.
            Placement::Fork { .. } => {
                return Err(StoreError::Gap {
                    stream_id,
                    expected: entry.stream_seq - 1,
                    found: entry.stream_seq,
                });
            }
        }
        if stream_id == intake.own {
            // The server knows our stream further than we do: this file is an old copy, and its original has gone on writing.
            intake.own = self.open_stream()?.stream_id;
        }
        insert_entry(&self.tx, entry, intake.now_ms)
            .map_err(StoreError::database("taking in entries"))?;
        self.erase_what(entry)?;
        self.mark_stale(&entry.subject.tag, entry.subject.id.as_bytes())?;
        intake.heads.insert(
            stream_id,
            Head {
                stream_id,
                seq: entry.stream_seq,
                hash: entry.hash,
            },
        );
        intake.done.stored += 1;
        Ok(())
    }

    fn placement(&self, intake: &Intake, entry: &Entry) -> Result<Placement, StoreError> {
        let stream_id = entry.stream_id;
        let head = match intake.heads.get(&stream_id) {
            Some(head) => *head,
            None => self
                .reading()
                .head(stream_id)?
                .unwrap_or(Head::empty(stream_id)),
        };
        let known = if entry.stream_seq > head.seq {
            None
        } else {
            self.reading().hash_at(stream_id, entry.stream_seq)?
        };
        Ok(place(&head, known, entry))
    }

    /// The server's entry stays at its position; what stood there here is re-issued.
    fn give_way(&self, intake: &mut Intake, entry: &Entry) -> Result<(), StoreError> {
        // Setting aside reads and moves the heads in the file.
        for head in intake.heads.values() {
            self.save_head(head)?;
        }
        let from_seq = entry.stream_seq;
        self.set_aside(
            entry.stream_id,
            from_seq,
            "two computers wrote under the same identity, so this was recorded again under a new one",
            First::Reissued,
        )?;
        intake.heads.clear();
        intake.own = self.reading().installation()?.stream_id;
        intake.done.forks += 1;
        Ok(())
    }
}
