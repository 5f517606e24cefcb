//! What the sync line says.

use serde::{Deserialize, Serialize};

/// How this desktop and the server stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum SyncState {
    /// No server was joined: everything stays on this computer.
    #[default]
    NotJoined,
    /// Not tried since the program started.
    Starting,
    /// Sending or fetching now.
    Working,
    /// Both sides hold the same.
    InStep,
    /// In touch, and something is left that only a newer server or a person can settle.
    Partly,
    /// The server can't be reached; work goes on and is sent later.
    Offline,
    /// Trying again can't help: a person must act.
    Stopped,
}

/// Everything the sync line shows.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, ts_rs::TS)]
pub struct SyncStatus {
    /// How things stand.
    pub state: SyncState,
    /// One sentence for the person, when something is wrong.
    pub problem: Option<String>,
    /// The joined server's address.
    pub server_url: Option<String>,
    /// Entries recorded here that the server has not confirmed.
    #[ts(type = "number")]
    pub waiting_entries: u64,
    /// When the oldest of them was recorded, milliseconds since 1970.
    #[ts(type = "number | null")]
    pub waiting_since_ms: Option<u64>,
    /// While fetching: read so far, of how many.
    #[ts(type = "[number, number] | null")]
    pub reading: Option<(u64, u64)>,
    /// When both sides last held the same, milliseconds since 1970 by this computer's clock.
    #[ts(type = "number | null")]
    pub last_in_step_ms: Option<u64>,
    /// When the next try is due, while offline.
    #[ts(type = "number | null")]
    pub next_try_ms: Option<u64>,
    /// How far this computer's clock is ahead of the server's; negative when it is behind.
    #[ts(type = "number | null")]
    pub clock_ahead_ms: Option<i64>,
    /// Photos of which something is not yet at the server.
    #[ts(type = "number")]
    pub photos_waiting: u64,
    /// Bytes of those still to go.
    #[ts(type = "number")]
    pub photo_bytes_waiting: u64,
    /// Photos the server holds and has checked.
    #[ts(type = "number")]
    pub photos_done: u64,
    /// Photos that can't be sent, each with its reason.
    #[ts(type = "number")]
    pub photos_refused: u64,
    /// Bytes a second over the photos sent lately.
    #[ts(type = "number | null")]
    pub photo_bytes_per_second: Option<u64>,
    /// Entries that need a newer version of the program.
    #[ts(type = "number")]
    pub unknown_entries: u64,
}
