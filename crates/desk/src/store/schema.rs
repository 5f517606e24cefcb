//! Tables, and how an older file becomes a current one.
//!
//! Only the log, the outbox, settings and queues are ever migrated. Projections are dropped and folded again.

use rusqlite::Connection;
use rusqlite::config::DbConfig;

use super::error::StoreError;

/// The format this program writes. A file with a higher number is refused, never guessed at.
pub(crate) const USER_VERSION: i64 = 1;

/// `WPBD` as the file's application id, so that a stray SQLite file isn't taken for a lab's.
pub(crate) const APPLICATION_ID: i64 = 0x5750_4244;

const VERSION_1: &str = "
CREATE TABLE installation (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    nonce BLOB NOT NULL,
    lab_id BLOB,
    desktop_name TEXT NOT NULL,
    current_stream BLOB NOT NULL,
    hlc_ms INTEGER NOT NULL,
    hlc_counter INTEGER NOT NULL,
    fold_version INTEGER NOT NULL
) STRICT;

CREATE TABLE keys (
    name TEXT PRIMARY KEY,
    bytes BLOB NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE streams (
    stream_id BLOB PRIMARY KEY,
    public_key BLOB NOT NULL,
    name TEXT NOT NULL,
    head_seq INTEGER NOT NULL,
    head_hash BLOB NOT NULL,
    is_own INTEGER NOT NULL CHECK (is_own IN (0, 1))
) STRICT, WITHOUT ROWID;

-- The log. A row is never changed, except that a redaction takes payload and salt away.
CREATE TABLE entries (
    row INTEGER PRIMARY KEY,
    stream_id BLOB NOT NULL REFERENCES streams (stream_id),
    stream_seq INTEGER NOT NULL CHECK (stream_seq > 0),
    entry_id BLOB NOT NULL,
    lab_id BLOB NOT NULL,
    hlc_ms INTEGER NOT NULL,
    hlc_counter INTEGER NOT NULL,
    actor_id BLOB NOT NULL,
    kind TEXT NOT NULL,
    kind_version INTEGER NOT NULL,
    min_reader INTEGER NOT NULL,
    subject_tag TEXT NOT NULL,
    subject_id BLOB NOT NULL,
    based_on BLOB NOT NULL,
    reissued_stream BLOB,
    reissued_seq INTEGER,
    payload BLOB,
    payload_salt BLOB,
    payload_hash BLOB NOT NULL,
    prev_hash BLOB NOT NULL,
    hash BLOB NOT NULL,
    signature BLOB NOT NULL,
    received_ms INTEGER NOT NULL,
    UNIQUE (stream_id, stream_seq)
) STRICT;
CREATE INDEX entries_by_subject ON entries (subject_id, subject_tag);
CREATE INDEX entries_by_id ON entries (entry_id);
-- Almost empty: it counts what only a newer program knows without reading the log.
CREATE INDEX entries_of_unknown ON entries (subject_tag) WHERE subject_tag NOT IN ('lab', 'person', 'shop', 'parcel', 'job');

-- Entries whose payload must be erased wherever and whenever they turn up.
CREATE TABLE erasures (
    entry_id BLOB NOT NULL,
    subject_id BLOB NOT NULL,
    PRIMARY KEY (entry_id, subject_id)
) STRICT, WITHOUT ROWID;

-- Entries taken out of a stream that had two writers, or refused by the server. Kept for people; what they say lives on under
-- the same id in the stream they were re-issued in.
CREATE TABLE set_aside (
    row INTEGER PRIMARY KEY,
    stream_id BLOB NOT NULL,
    stream_seq INTEGER NOT NULL,
    entry_id BLOB NOT NULL,
    entry_json TEXT NOT NULL,
    reason TEXT NOT NULL,
    at_ms INTEGER NOT NULL,
    reissued_stream BLOB,
    reissued_seq INTEGER
) STRICT;

-- Entries written here that the server has not acknowledged.
CREATE TABLE outbox (
    stream_id BLOB NOT NULL,
    stream_seq INTEGER NOT NULL,
    queued_ms INTEGER NOT NULL,
    PRIMARY KEY (stream_id, stream_seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE enrolment (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    server_url TEXT NOT NULL,
    credential TEXT NOT NULL,
    server_key BLOB NOT NULL,
    server_stream BLOB NOT NULL,
    lab_name TEXT NOT NULL
) STRICT;

CREATE TABLE cursor (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    log_epoch BLOB NOT NULL,
    log_position INTEGER NOT NULL,
    digest BLOB NOT NULL
) STRICT;

-- Earlier cursors, for finding the last position a restored server shares with this desktop.
CREATE TABLE checkpoints (
    log_position INTEGER PRIMARY KEY,
    digest BLOB NOT NULL
) STRICT;

CREATE TABLE witnesses (
    log_position INTEGER PRIMARY KEY,
    log_epoch BLOB NOT NULL,
    digest BLOB NOT NULL,
    at_ms INTEGER NOT NULL,
    signature BLOB NOT NULL
) STRICT;

CREATE TABLE settings (
    key TEXT PRIMARY KEY,
    json TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE drafts (
    key TEXT PRIMARY KEY,
    json TEXT NOT NULL,
    saved_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE photos (
    hash BLOB PRIMARY KEY,
    size_bytes INTEGER NOT NULL,
    thumb_hash BLOB,
    thumb_size_bytes INTEGER,
    full_state TEXT NOT NULL CHECK (full_state IN ('local', 'uploading', 'stored', 'verified', 'refused')),
    thumb_state TEXT NOT NULL CHECK (thumb_state IN ('none', 'local', 'uploading', 'stored', 'verified', 'refused')),
    sent_bytes INTEGER NOT NULL,
    tries INTEGER NOT NULL,
    next_try_ms INTEGER NOT NULL,
    taken_ms INTEGER NOT NULL,
    problem TEXT
) STRICT, WITHOUT ROWID;
CREATE INDEX photos_waiting ON photos (next_try_ms) WHERE full_state <> 'verified' OR thumb_state NOT IN ('none', 'verified');
";

/// Everything that can be folded again. Dropped and made anew when the fold changes.
pub(crate) const PROJECTIONS: &str = "
DROP TABLE IF EXISTS projections;
DROP TABLE IF EXISTS codes;
DROP TABLE IF EXISTS stale;
CREATE TABLE projections (
    subject_tag TEXT NOT NULL,
    subject_id BLOB NOT NULL,
    summary_json TEXT NOT NULL,
    stage TEXT,
    shop_id BLOB,
    due_ms INTEGER,
    is_open INTEGER NOT NULL CHECK (is_open IN (0, 1)),
    last_ms INTEGER NOT NULL,
    unknown_count INTEGER NOT NULL,
    search_text TEXT NOT NULL,
    PRIMARY KEY (subject_tag, subject_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX projections_by_due ON projections (subject_tag, is_open, due_ms);
CREATE INDEX projections_by_last ON projections (subject_tag, last_ms);
CREATE INDEX projections_unknown ON projections (subject_tag, subject_id, unknown_count) WHERE unknown_count > 0;
CREATE TABLE codes (
    code TEXT NOT NULL,
    kind TEXT NOT NULL,
    subject_tag TEXT NOT NULL,
    subject_id BLOB NOT NULL,
    PRIMARY KEY (code, kind, subject_tag, subject_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX codes_by_subject ON codes (subject_tag, subject_id);
CREATE TABLE stale (
    subject_tag TEXT NOT NULL,
    subject_id BLOB NOT NULL,
    PRIMARY KEY (subject_tag, subject_id)
) STRICT, WITHOUT ROWID;
";

/// Sets what must hold on every connection.
pub(crate) fn configure(connection: &Connection) -> Result<(), rusqlite::Error> {
    // FULL, because in WAL mode NORMAL may lose the last commits when the power goes (SQLite documentation, "synchronous").
    // secure_delete, because a destroyed passcode must not stay readable in free pages.
    connection.execute_batch(
        "PRAGMA journal_mode = WAL;
         PRAGMA synchronous = FULL;
         PRAGMA foreign_keys = ON;
         PRAGMA secure_delete = ON;
         PRAGMA temp_store = MEMORY;
         PRAGMA cache_size = -16384;
         PRAGMA journal_size_limit = 67108864;",
    )?;
    // Without it, a partial index has SQLite look at the values that are bound and plan the statement anew for each of them: a fifth
    // of the time of folding the whole log. A statement that wants such an index names its values.
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    connection.busy_timeout(std::time::Duration::from_secs(5))?;
    connection.set_prepared_statement_cache_capacity(64);
    Ok(())
}

/// Brings the file to the current format, in one transaction.
pub(crate) fn migrate(connection: &mut Connection) -> Result<(), StoreError> {
    let tx = connection
        .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)
        .map_err(StoreError::database("opening it for the first time"))?;
    let read = |name: &str| tx.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let found = read("user_version").map_err(StoreError::database("reading its format"))?;
    let application = read("application_id").map_err(StoreError::database("reading its format"))?;
    if found > USER_VERSION {
        return Err(StoreError::TooNew {
            found,
            known: USER_VERSION,
        });
    }
    if found > 0 && application != APPLICATION_ID {
        return Err(StoreError::Damaged {
            detail: "it is not a lab's file".to_owned(),
        });
    }
    if found == 0 {
        let doing = "laying out its tables";
        tx.execute_batch(VERSION_1)
            .map_err(StoreError::database(doing))?;
        tx.execute_batch(PROJECTIONS)
            .map_err(StoreError::database(doing))?;
        tx.pragma_update(None, "application_id", APPLICATION_ID)
            .map_err(StoreError::database(doing))?;
        tx.pragma_update(None, "user_version", USER_VERSION)
            .map_err(StoreError::database(doing))?;
    }
    tx.commit()
        .map_err(StoreError::database("laying out its tables"))
}
