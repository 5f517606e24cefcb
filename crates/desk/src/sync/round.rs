//! One round: compare heads, send, fetch, until both sides are equal.

use std::collections::BTreeSet;

use domain::StreamId;
use logbook::Head;
use sync_protocol::limits::PageLimits;
use sync_protocol::{
    Cursor, EntryAnswer, Heads, Pull, PushEntries, RejectCode, Step, StreamInfo, SyncError,
    SyncProtocol, page_len, plan,
};

use super::heal::find_common_position;
use crate::store::{Store, StoreError};

/// Comparisons in one round. Two settle the ordinary case (do, then see that it is done); a fork needs two more, and others may
/// write meanwhile. What is left after eight waits for the next round.
const COMPARISONS_MAX: usize = 8;

/// A round that did not end in step.
#[derive(Debug, thiserror::Error)]
pub enum RoundError {
    /// No server was joined.
    #[error("this lab has no server yet; connect one in Setup first")]
    NotJoined,
    /// The server gave no usable answer.
    #[error(transparent)]
    Server(#[from] SyncError),
    /// The lab's file could not be used, or refused what the server sent.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl RoundError {
    /// True when a person must act before trying again makes sense.
    pub fn is_permanent(&self) -> bool {
        match self {
            Self::Server(error) => error.is_permanent(),
            Self::NotJoined => true,
            Self::Store(error) => matches!(
                error,
                StoreError::OtherLab { .. }
                    | StoreError::TooNew { .. }
                    | StoreError::Damaged { .. }
                    | StoreError::ForeignEntry { .. }
                    | StoreError::StreamKey { .. }
                    | StoreError::BadEntry(_)
            ),
        }
    }
}

/// A stream the server will not take from us, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blocked {
    /// The stream.
    pub stream: StreamInfo,
    /// The server's words.
    pub reason: String,
}

/// What a round did.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Round {
    /// Entries the server stored.
    pub sent: u64,
    /// Entries that were new here.
    pub received: u64,
    /// Times a stream turned out to have had two writers.
    pub forks: u64,
    /// Own entries the server refused for good; they were set aside.
    pub refused: u64,
    /// True when the server turned out to have been restored.
    pub server_restored: bool,
    /// Streams that the server does not take from us.
    pub blocked: Vec<Blocked>,
    /// True when both sides stated the same heads at the end. False only when something is blocked or others kept writing.
    pub in_step: bool,
    /// Server time stated in the last comparison.
    pub server_ms: u64,
    /// Entries both sides hold, when in step.
    pub log_position: u64,
}

/// How far a round has come, for "12,400 of 200,000".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// Entries sent so far.
    Sent {
        /// Entries.
        entries: u64,
    },
    /// Read up to a position of the server's log.
    Read {
        /// The position.
        log_position: u64,
        /// The last one.
        log_position_end: u64,
    },
}

/// Runs one round.
///
/// Safe to repeat and to break off anywhere: both sides keep what they took, and the next round compares anew. Touched subjects
/// are folded before it returns, also when it fails half-way.
pub fn sync_once(
    store: &Store,
    server: &dyn SyncProtocol,
    limits: PageLimits,
    observe: &dyn Fn(Progress),
) -> Result<Round, RoundError> {
    let mut running = Running {
        store,
        server,
        limits,
        observe,
        round: Round::default(),
        blocked: BTreeSet::new(),
    };
    let result = running.run();
    while store.fold_stale()?.left > 0 {}
    result.map(|()| running.round)
}

struct Running<'a> {
    store: &'a Store,
    server: &'a dyn SyncProtocol,
    limits: PageLimits,
    observe: &'a dyn Fn(Progress),
    round: Round,
    blocked: BTreeSet<StreamId>,
}

impl Running<'_> {
    fn run(&mut self) -> Result<(), RoundError> {
        for _ in 0..COMPARISONS_MAX {
            let heads = self.compare()?;
            let steps = self.plan(&heads)?;
            if steps.is_empty() {
                self.round.in_step = self.is_in_step(&heads)?;
                self.round.log_position = heads.log_position;
                return Ok(());
            }
            for step in steps {
                match step {
                    Step::Push {
                        stream_id,
                        from_seq,
                        through_seq,
                    } => self.push(stream_id, from_seq, through_seq)?,
                    Step::Pull => self.pull(&heads)?,
                }
            }
        }
        Ok(())
    }

    /// Asks where the server stands, checks that it is the one this desktop joined, and forgets what it has acknowledged.
    #[expect(
        clippy::redundant_closure_for_method_calls,
        reason = "the method's path has one lifetime and the closure is wanted for all"
    )]
    fn compare(&mut self) -> Result<Heads, RoundError> {
        let heads = self.server.heads()?;
        self.round.server_ms = heads.witness.at_ms;
        let lab_id = self.store.read(|reading| reading.lab_id())?;
        if let Some(enrolment) = self.store.enrolment()?
            && !self
                .store
                .keep_witness(lab_id, &enrolment.server_key, &heads)?
        {
            return Err(SyncError::WrongServer {
                server: enrolment.server_url,
            }
            .into());
        }
        for stream_id in self.store.outbox_streams()? {
            let Some(their) = heads
                .streams
                .iter()
                .find(|stream| stream.stream.stream_id == stream_id)
            else {
                continue;
            };
            // Only when the server's head is ours to the byte: a copy of this desktop may have written there.
            let ours = self
                .store
                .read(|reading| reading.hash_at(stream_id, their.head_seq))?;
            if ours == Some(their.head_hash) {
                self.store.acknowledge(stream_id, their.head_seq)?;
            }
        }
        Ok(heads)
    }

    fn plan(&self, heads: &Heads) -> Result<Vec<Step>, RoundError> {
        let own = self.store.installation()?.stream_id;
        let mine: Vec<Head> = self
            .store
            .stream_heads()?
            .iter()
            .map(sync_protocol::StreamHead::head)
            .collect();
        let cursor = self.store.cursor()?;
        let hash_at = |stream_id, seq| {
            self.store
                .read(|reading| reading.hash_at(stream_id, seq))
                .ok()
                .flatten()
        };
        let mut steps = plan(own, &mine, hash_at, cursor.as_ref(), heads, self.limits);
        steps.retain(|step| match step {
            Step::Push { stream_id, .. } => !self.blocked.contains(stream_id),
            Step::Pull => true,
        });
        let nothing_to_read = cursor.is_some_and(|cursor| {
            cursor.log_epoch == heads.log_epoch
                && cursor.log_position == heads.log_position
                && cursor.digest == heads.digest
        });
        if steps == [Step::Pull] && nothing_to_read {
            steps.clear();
        }
        Ok(steps)
    }

    /// The check at the end: each side states the head of every stream.
    fn is_in_step(&self, heads: &Heads) -> Result<bool, RoundError> {
        let mine = self.store.stream_heads()?;
        let mut theirs: Vec<Head> = heads
            .streams
            .iter()
            .filter(|stream| stream.head_seq > 0)
            .map(sync_protocol::StreamHead::head)
            .collect();
        theirs.sort_unstable();
        Ok(mine.iter().map(sync_protocol::StreamHead::head).eq(theirs))
    }

    /// Sends a range of a stream in pages. Stops quietly where the server has another opinion: fetching settles it.
    fn push(
        &mut self,
        stream_id: StreamId,
        from_seq: u64,
        through_seq: u64,
    ) -> Result<(), RoundError> {
        let mut next = from_seq;
        while next <= through_seq && !self.blocked.contains(&stream_id) {
            let Some(stream) = self.store.stream_info(stream_id)? else {
                return Ok(());
            };
            let left = usize::try_from(through_seq - next + 1).unwrap_or(usize::MAX);
            let mut entries = self.store.stream_entries(
                stream_id,
                next,
                left.min(self.limits.entries_max.max(1)),
            )?;
            entries.truncate(page_len(
                entries.iter().map(logbook::Entry::wire_bytes_max),
                self.limits,
            ));
            if entries.is_empty() {
                return Ok(());
            }
            let answer = self.server.push(&PushEntries {
                stream,
                entries: entries.clone(),
            })?;
            let mut confirmed = None;
            for (entry, answer) in entries.iter().zip(&answer.answers) {
                match answer {
                    EntryAnswer::Stored => {
                        self.round.sent += 1;
                        confirmed = Some(entry.stream_seq);
                    }
                    EntryAnswer::AlreadyKnown => confirmed = Some(entry.stream_seq),
                    EntryAnswer::Fork { .. } | EntryAnswer::MissingFrom { .. } => break,
                    EntryAnswer::Rejected { code, message } => {
                        self.acknowledge(stream_id, confirmed)?;
                        return self.refused(stream_id, entry.stream_seq, *code, message);
                    }
                }
            }
            self.acknowledge(stream_id, confirmed)?;
            (self.observe)(Progress::Sent {
                entries: self.round.sent,
            });
            match confirmed {
                Some(seq) if seq + 1 - next == entries.len() as u64 => next = seq + 1,
                _ => return Ok(()),
            }
        }
        Ok(())
    }

    fn acknowledge(&self, stream_id: StreamId, confirmed: Option<u64>) -> Result<(), RoundError> {
        // Up to what was confirmed entry by entry, never up to what the server merely states: a copy may have written beyond.
        confirmed.map_or(Ok(()), |seq| {
            self.store
                .acknowledge(stream_id, seq)
                .map_err(RoundError::from)
        })
    }

    /// The server refuses an entry for good: a bug or a version gap. An own entry is set aside, visible with its reason, and what
    /// came after it goes on in a new stream. Someone else's stream is left as it is, and so is one that may be taken later.
    fn refused(
        &mut self,
        stream_id: StreamId,
        seq: u64,
        code: RejectCode,
        reason: &str,
    ) -> Result<(), RoundError> {
        tracing::warn!(%stream_id, seq, ?code, "the server refused an entry for good");
        // What was within the limits when it was written can be over them only for lack of room there, and room can be made.
        let may_change = matches!(code, RejectCode::WrongLab | RejectCode::OverLimit);
        if self.store.is_own_stream(stream_id)? && !may_change {
            if code == RejectCode::KeyMismatch {
                self.store.leave_stream(stream_id, seq, reason)?;
            } else {
                self.store.set_refused_aside(stream_id, seq, reason)?;
                self.round.refused += 1;
            }
            return Ok(());
        }
        self.blocked.insert(stream_id);
        if let Some(stream) = self.store.stream_info(stream_id)? {
            self.round.blocked.push(Blocked {
                stream,
                reason: reason.to_owned(),
            });
        }
        Ok(())
    }

    /// Reads pages to the end of the log.
    fn pull(&mut self, heads: &Heads) -> Result<(), RoundError> {
        let mut healed = false;
        loop {
            let cursor = if let Some(cursor) = self.store.cursor()? {
                cursor
            } else {
                let start = Cursor::start(heads.log_epoch);
                self.store.set_cursor(&start)?;
                start
            };
            match self.server.pull(&cursor)? {
                Pull::Page(page) => {
                    let ingested = self.store.ingest(&page)?;
                    self.round.received += ingested.stored as u64;
                    self.round.forks += ingested.forks as u64;
                    (self.observe)(Progress::Read {
                        log_position: page.cursor.log_position,
                        log_position_end: page.log_position_end,
                    });
                    if page.entries.is_empty() || page.cursor.log_position >= page.log_position_end
                    {
                        return Ok(());
                    }
                }
                // Once more in one call means that the server is being restored under our hands; the next round will see.
                Pull::CursorUnknown { .. } if healed => return Ok(()),
                Pull::CursorUnknown {
                    log_epoch,
                    log_position,
                } => {
                    healed = true;
                    self.round.server_restored = true;
                    find_common_position(self.store, self.server, log_epoch, log_position)?;
                    self.store.requeue_photos()?;
                }
            }
        }
    }
}
