//! A desktop in a folder of its own, with a clock that can be wrong.

use std::ops::Deref;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use desk::ports::{Clock, Ports, SystemClock, SystemRandomness};
use desk::{Desk, DeskOptions};
use tempfile::TempDir;

/// The machine's clock, so many milliseconds off.
#[derive(Debug, Default)]
struct ShiftedClock(AtomicI64);

impl Clock for ShiftedClock {
    fn now_ms(&self) -> u64 {
        SystemClock
            .now_ms()
            .saturating_add_signed(self.0.load(Ordering::SeqCst))
    }
}

/// A desktop.
pub struct Desktop {
    desk: Option<Arc<Desk>>,
    folder: TempDir,
    clock: Arc<ShiftedClock>,
}

impl Deref for Desktop {
    type Target = Desk;

    fn deref(&self) -> &Desk {
        self.desk.as_deref().expect("it is open")
    }
}

impl Default for Desktop {
    fn default() -> Self {
        Self::new()
    }
}

impl Desktop {
    /// A new one that belongs to no lab yet.
    pub fn new() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let mut desktop = Self {
            desk: None,
            folder,
            clock: Arc::default(),
        };
        desktop.open();
        desktop
    }

    /// Opens its folder again.
    pub fn open(&mut self) {
        let ports = Ports {
            clock: self.clock.clone(),
            randomness: Arc::new(SystemRandomness),
        };
        let desk =
            Desk::open(DeskOptions::beside(&self.folder()), ports).expect("its folder is its own");
        self.desk = Some(Arc::new(desk));
    }

    /// Closes it, as ending the program does.
    pub fn close(&mut self) {
        self.desk = None;
    }

    /// The desk, to be shared with threads.
    pub fn shared(&self) -> Arc<Desk> {
        Arc::clone(self.desk.as_ref().expect("it is open"))
    }

    /// Where its things lie.
    pub fn folder(&self) -> PathBuf {
        self.folder.path().join("desk")
    }

    /// Its logbook's file.
    pub fn logbook(&self) -> PathBuf {
        self.folder().join(desk::store::FILE_NAME)
    }

    /// A folder beside its own, for backups.
    pub fn beside(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Sets its clock wrong by so much.
    pub fn shift_clock(&self, ms: i64) {
        self.clock.0.store(ms, Ordering::SeqCst);
    }

    /// The credential by which the server knows it.
    pub fn credential(&self) -> String {
        read_logbook(&self.logbook(), "SELECT credential FROM enrolment", |row| {
            row.get(0)
        })
    }

    /// The stream it writes now.
    pub fn stream_id(&self) -> Vec<u8> {
        read_logbook(
            &self.logbook(),
            "SELECT current_stream FROM installation",
            |row| row.get(0),
        )
    }

    /// The text that stands in the logbook for the only sealed passcode.
    pub fn sealed_passcode(&self) -> String {
        let payload: Vec<u8> = read_logbook(
            &self.logbook(),
            "SELECT payload FROM entries WHERE kind = 'passcode.sealed'",
            |row| row.get(0),
        );
        let fact: serde_json::Value = serde_json::from_slice(&payload).expect("a payload is JSON");
        fact["sealed"]
            .as_str()
            .expect("it holds the sealed text")
            .to_owned()
    }
}

/// Reads one value from a lab's file, behind the program's back.
fn read_logbook<T>(
    path: &Path,
    sql: &str,
    read: impl FnOnce(&rusqlite::Row<'_>) -> rusqlite::Result<T>,
) -> T {
    let connection = rusqlite::Connection::open(path).expect("the file is there");
    connection
        .query_row(sql, [], read)
        .expect("the file holds it")
}

/// The files below a folder that hold these bytes.
pub fn files_holding(folder: &Path, bytes: &[u8]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("the folder is there") {
        let path = entry.expect("it can be read").path();
        if path.is_dir() {
            found.extend(files_holding(&path, bytes));
        } else if holds(&std::fs::read(&path).expect("it can be read"), bytes) {
            found.push(path);
        }
    }
    found
}

/// Whether `bytes` hold `part`.
pub fn holds(bytes: &[u8], part: &[u8]) -> bool {
    let Some(first) = part.first() else {
        return true;
    };
    let mut from = 0;
    while let Some(at) = bytes[from..].iter().position(|byte| byte == first) {
        if bytes[from + at..].starts_with(part) {
            return true;
        }
        from += at + 1;
    }
    false
}
