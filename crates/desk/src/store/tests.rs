//! Cases for the store, each on a real file.

mod appending;
mod faults;
mod ingesting;
mod keeping;

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use domain::fact::{Fact, Note};
use domain::{Decoded, JobId, LabId, PersonId, Recorded, Subject};
use logbook::{Entry, LogDigest};
use sync_protocol::{Cursor, Page, StreamInfo, advance_digest};
use tempfile::TempDir;
use uuid::Uuid;

use super::*;
use crate::ports::{Clock, Ports, Randomness};

/// A clock that stands still until it is moved.
#[derive(Debug)]
pub(crate) struct TestClock(pub(crate) AtomicU64);

impl Clock for TestClock {
    fn now_ms(&self) -> u64 {
        self.0.load(Ordering::SeqCst)
    }
}

/// Numbers that only have to be different: SplitMix64 (Steele, Lea, Flood 2014).
#[derive(Debug)]
pub(crate) struct TestRandomness(pub(crate) AtomicU64);

impl Randomness for TestRandomness {
    fn fill(&self, bytes: &mut [u8]) {
        for chunk in bytes.chunks_mut(8) {
            let mut z = self.0.fetch_add(0x9e37_79b9_7f4a_7c15, Ordering::SeqCst);
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            chunk.copy_from_slice(&(z ^ (z >> 31)).to_be_bytes()[..chunk.len()]);
        }
    }
}

/// Lists what was said, so that a fold can be compared as text.
pub(crate) struct Listing(pub(crate) u32);

impl Projector for Listing {
    fn fold_version(&self) -> u32 {
        self.0
    }

    fn project(&self, subject: Subject, entries: &[Recorded]) -> Projection {
        let lines: Vec<String> = entries
            .iter()
            .map(|entry| match &entry.decoded {
                Decoded::Known(fact) => format!(
                    "{} {}",
                    fact.kind(),
                    String::from_utf8(fact.encode()).unwrap()
                ),
                Decoded::Unknown { kind, .. } => format!("unknown {kind}"),
            })
            .collect();
        let codes = entries
            .iter()
            .map(|entry| Code {
                kind: "entry".into(),
                text: entry.entry_id.to_string(),
            })
            .collect();
        Projection {
            summary_json: serde_json::to_string(&lines).unwrap(),
            stage: Some(if entries.len() > 2 { "busy" } else { "quiet" }.into()),
            shop_id: None,
            due_ms: Some(i64::try_from(entries.len()).unwrap()),
            is_open: true,
            search_text: format!("{} {}", subject.tag(), lines.join(" ").to_lowercase()),
            codes,
        }
    }
}

pub(crate) const NOON_MS: u64 = 1_764_072_000_000;

/// One desktop in a folder of its own.
pub(crate) struct Bench {
    pub(crate) store: Store,
    pub(crate) clock: Arc<TestClock>,
    pub(crate) dir: TempDir,
}

pub(crate) fn lab() -> LabId {
    LabId::from_bytes([9; 16])
}

pub(crate) fn person() -> PersonId {
    PersonId::from_bytes([8; 16])
}

pub(crate) fn job(n: u8) -> Subject {
    Subject::Job(JobId::from_bytes([n; 16]))
}

pub(crate) fn note(subject: Subject, text: &str) -> NewEntry {
    NewEntry::fact(subject, &Fact::NoteRecorded(Note { text: text.into() }))
}

pub(crate) fn options(dir: &Path) -> StoreOptions {
    StoreOptions {
        data_dir: dir.join("data"),
        nonce_file: dir.join("config/installation"),
        desktop_name: "bench".into(),
    }
}

pub(crate) fn ports(seed: u64) -> (Ports, Arc<TestClock>) {
    let clock = Arc::new(TestClock(AtomicU64::new(NOON_MS)));
    let ports = Ports {
        clock: clock.clone(),
        randomness: Arc::new(TestRandomness(AtomicU64::new(seed))),
    };
    (ports, clock)
}

impl Bench {
    pub(crate) fn new(seed: u64) -> Self {
        let bench = Self::without_lab(seed);
        bench.store.set_lab(lab()).unwrap();
        bench
    }

    pub(crate) fn without_lab(seed: u64) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let (ports, clock) = ports(seed);
        let store = Store::open(&options(dir.path()), ports, Arc::new(Listing(1))).unwrap();
        Self { store, clock, dir }
    }

    pub(crate) fn reopen(self, fold_version: u32) -> Self {
        let Self { store, clock, dir } = self;
        let ports = store.ports().clone();
        drop(store);
        let store =
            Store::open(&options(dir.path()), ports, Arc::new(Listing(fold_version))).unwrap();
        Self { store, clock, dir }
    }

    pub(crate) fn say(&self, n: u8, text: &str) -> Entry {
        self.store
            .append(person(), vec![note(job(n), text)])
            .unwrap()
            .entries
            .remove(0)
    }

    pub(crate) fn fold_all(&self) {
        while self.store.fold_stale().unwrap().left > 0 {}
    }

    /// What is said about a job, as the screens would show it.
    pub(crate) fn shown(&self, n: u8) -> Vec<String> {
        self.store
            .projection(job(n))
            .unwrap()
            .map(|summary| serde_json::from_str(&summary.summary_json).unwrap())
            .unwrap_or_default()
    }

    /// Every stream's entries, in order.
    pub(crate) fn log(&self) -> Vec<Entry> {
        self.store
            .stream_heads()
            .unwrap()
            .iter()
            .flat_map(|head| {
                self.store
                    .stream_entries(head.stream.stream_id, 1, usize::MAX)
                    .unwrap()
            })
            .collect()
    }

    pub(crate) fn info(&self) -> StreamInfo {
        self.store.installation().unwrap().stream_info()
    }
}

pub(crate) const EPOCH: Uuid = Uuid::from_u128(77);

/// Makes a page that follows a cursor, as a server would.
pub(crate) fn page(cursor: &Cursor, entries: Vec<Entry>, streams: Vec<StreamInfo>) -> Page {
    let digest: LogDigest = entries.iter().fold(cursor.digest, |digest, entry| {
        advance_digest(&digest, &entry.hash)
    });
    let log_position = cursor.log_position + entries.len() as u64;
    Page {
        entries,
        cursor: Cursor {
            log_epoch: cursor.log_epoch,
            log_position,
            digest,
        },
        log_position_end: log_position,
        streams,
    }
}
