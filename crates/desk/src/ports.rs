//! What the desk asks of the world: time, randomness, and the bytes of photos.
//!
//! Handed in by the shell, so that a simulation with one seed can drive everything. Nothing else in the store or the sync
//! runner may read a clock or make a random number.

use std::io;
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use domain::ContentHash;
use sync_protocol::PhotoVariant;
use uuid::Uuid;

/// Tells the time.
pub trait Clock: Send + Sync {
    /// Milliseconds since 1970-01-01T00:00:00Z by this computer's clock, right or wrong.
    fn now_ms(&self) -> u64;
}

/// Makes random bytes.
pub trait Randomness: Send + Sync {
    /// Fills `bytes`. Must be fit for keys and salts.
    fn fill(&self, bytes: &mut [u8]);
}

/// Where the bytes of photos and other attachments lie.
pub trait PhotoFiles: Send + Sync {
    /// Returns up to `length` bytes from `offset`; fewer only at the end.
    fn read_part(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        length: usize,
    ) -> io::Result<Vec<u8>>;

    /// Stores a whole picture durably. Called only with bytes whose hash has been checked, save for thumbnails, whose hash
    /// nothing in the log names.
    fn write(&self, hash: &ContentHash, variant: PhotoVariant, bytes: &[u8]) -> io::Result<()>;

    /// True when the whole picture is here.
    fn holds(&self, hash: &ContentHash, variant: PhotoVariant) -> bool;
}

/// Time and randomness together.
#[derive(Clone)]
pub struct Ports {
    /// The clock.
    pub clock: Arc<dyn Clock>,
    /// The random source.
    pub randomness: Arc<dyn Randomness>,
}

impl Ports {
    /// The computer's own clock and random source.
    pub fn system() -> Self {
        Self {
            clock: Arc::new(SystemClock),
            randomness: Arc::new(SystemRandomness),
        }
    }

    /// Makes an id: UUIDv7 (RFC 9562 section 5.7), 48 bits of time and 74 random ones.
    pub fn new_uuid(&self) -> Uuid {
        let mut random = [0; 10];
        self.randomness.fill(&mut random);
        uuid::Builder::from_unix_timestamp_millis(self.clock.now_ms(), &random).into_uuid()
    }

    /// Makes `N` random bytes.
    pub fn random_bytes<const N: usize>(&self) -> [u8; N] {
        let mut bytes = [0; N];
        self.randomness.fill(&mut bytes);
        bytes
    }
}

/// The computer's clock.
#[derive(Debug, Clone, Copy)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now_ms(&self) -> u64 {
        let since = SystemTime::now()
            .duration_since(UNIX_EPOCH)
            .unwrap_or_default();
        u64::try_from(since.as_millis()).unwrap_or(u64::MAX)
    }
}

/// The operating system's random source.
#[derive(Debug, Clone, Copy)]
pub struct SystemRandomness;

impl Randomness for SystemRandomness {
    fn fill(&self, bytes: &mut [u8]) {
        getrandom::fill(bytes).expect(
            "every supported operating system has a random source that never fails after boot",
        );
    }
}
