//! One desktop: its folder, its clock, its open file, and the photos it can read.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};

use desk::ports::{Clock, PhotoFiles, Ports, Randomness};
use desk::store::{FILE_NAME, Projection, Projector, Store, StoreOptions};
use domain::fact::Fact;
use domain::{ContentHash, EntryId, Recorded, Subject};
use sha2::{Digest as _, Sha256};
use sync_protocol::PhotoVariant;
use tempfile::TempDir;

use super::Dice;

pub(super) struct SimulatedClock(pub(super) AtomicU64);

impl Clock for SimulatedClock {
    fn now_ms(&self) -> u64 {
        self.0.load(Ordering::SeqCst)
    }
}

struct SimulatedRandomness(Mutex<Dice>);

impl Randomness for SimulatedRandomness {
    fn fill(&self, bytes: &mut [u8]) {
        let mut dice = self.0.lock().unwrap();
        for chunk in bytes.chunks_mut(8) {
            chunk.copy_from_slice(&dice.roll().to_be_bytes()[..chunk.len()]);
        }
    }
}

/// Writes out everything a fold can depend on, but sealed passcodes, which may be erased in one place and not yet in another.
struct Transcript;

impl Projector for Transcript {
    fn fold_version(&self) -> u32 {
        1
    }

    fn project(&self, _: Subject, entries: &[Recorded]) -> Projection {
        let lines: Vec<String> = entries
            .iter()
            .filter(|entry| !matches!(entry.fact(), Some(Fact::PasscodeSealed(_))))
            .map(|entry| {
                format!(
                    "{} {:?} {:?} {:?}",
                    entry.entry_id, entry.stamp.hlc_ms, entry.based_on, entry.decoded
                )
            })
            .collect();
        Projection {
            summary_json: lines.join("\n"),
            is_open: true,
            ..Projection::default()
        }
    }
}

/// All photos ever taken; bytes lie where every desktop can read them, since files are not what is tested here.
#[derive(Default)]
pub(super) struct Album(Mutex<BTreeMap<ContentHash, Vec<u8>>>);

impl Album {
    pub(super) fn put(&self, bytes: Vec<u8>) -> ContentHash {
        let hash = ContentHash::from_bytes(Sha256::digest(&bytes).into());
        self.0.lock().unwrap().insert(hash, bytes);
        hash
    }

    pub(super) fn all(&self) -> BTreeMap<ContentHash, Vec<u8>> {
        self.0.lock().unwrap().clone()
    }
}

impl PhotoFiles for Album {
    fn read_part(
        &self,
        hash: &ContentHash,
        _: PhotoVariant,
        offset: u64,
        length: usize,
    ) -> io::Result<Vec<u8>> {
        let album = self.0.lock().unwrap();
        let bytes = album.get(hash).ok_or(io::ErrorKind::NotFound)?;
        let from = usize::try_from(offset).unwrap().min(bytes.len());
        // Short parts, so that a photo takes several.
        Ok(bytes[from..bytes.len().min(from + length.min(700))].to_vec())
    }

    fn write(&self, hash: &ContentHash, _: PhotoVariant, bytes: &[u8]) -> io::Result<()> {
        self.0.lock().unwrap().insert(*hash, bytes.to_vec());
        Ok(())
    }

    fn holds(&self, hash: &ContentHash, _: PhotoVariant) -> bool {
        self.0.lock().unwrap().contains_key(hash)
    }
}

/// One desktop: its folder, its clock, its open file.
pub(super) struct Desktop {
    pub(super) dir: TempDir,
    pub(super) clock: Arc<SimulatedClock>,
    pub(super) store: Option<Store>,
    pub(super) images: usize,
}

impl Desktop {
    fn options(dir: &Path) -> StoreOptions {
        StoreOptions {
            data_dir: dir.join("data"),
            nonce_file: dir.join("config/installation"),
            desktop_name: "simulated".to_owned(),
        }
    }

    pub(super) fn open(dir: TempDir, now_ms: u64, dice: Dice) -> Self {
        let clock = Arc::new(SimulatedClock(AtomicU64::new(now_ms)));
        let mut desktop = Self {
            dir,
            clock,
            store: None,
            images: 0,
        };
        desktop.start(dice);
        desktop
    }

    /// Opens the file with fresh randomness: two copies of one disk never draw the same ids.
    pub(super) fn start(&mut self, dice: Dice) {
        self.store = None;
        let ports = Ports {
            clock: self.clock.clone(),
            randomness: Arc::new(SimulatedRandomness(Mutex::new(dice))),
        };
        self.store = Some(
            Store::open(&Self::options(self.dir.path()), ports, Arc::new(Transcript)).unwrap(),
        );
    }

    pub(super) fn store(&self) -> &Store {
        self.store.as_ref().expect("it is open between events")
    }

    pub(super) fn image(&self, number: usize) -> PathBuf {
        self.dir.path().join(format!("image-{number}.sqlite"))
    }

    /// Every entry here, by id.
    pub(super) fn ids(&self) -> BTreeSet<EntryId> {
        let store = self.store();
        let heads = store.stream_heads().unwrap();
        heads
            .iter()
            .flat_map(|head| {
                store
                    .stream_entries(head.stream.stream_id, 1, usize::MAX)
                    .unwrap()
            })
            .map(|entry| entry.entry_id)
            .collect()
    }
}

/// Makes `image` the lab's file of the desktop in `dir`.
pub(super) fn put_in_place(image: &Path, dir: &Path) {
    let data = dir.join("data");
    std::fs::create_dir_all(&data).unwrap();
    for ending in ["-wal", "-shm"] {
        let path = data.join(format!("{FILE_NAME}{ending}"));
        if path.exists() {
            std::fs::remove_file(path).unwrap();
        }
    }
    std::fs::copy(image, data.join(FILE_NAME)).unwrap();
}
