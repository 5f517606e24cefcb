//! What a desktop and the server say to each other: messages, limits, the protocol trait, and the planner.
//!
//! The HTTP client and the server both implement [`SyncProtocol`], so that a test can join the two without sockets.
//! This crate never reads a clock, a random source, a file or the environment.

pub mod http_paths;
pub mod limits;

mod error;
mod messages;
mod plan;
mod protocol;

pub use error::{ErrorCode, Problem, SyncError};
pub use messages::{
    Base64Bytes, Cursor, Enrol, Enrolled, EntryAnswer, FinishPhoto, Heads, JoinCode, NewShopLink,
    Page, PhotoProgress, PhotoState, PhotoVariant, PositionHint, Pull, PushAnswer, PushEntries,
    RejectCode, ServerClock, ShopLink, StreamHead, StreamInfo, Witness, advance_digest,
    witness_digest,
};
pub use plan::{Step, page_len, plan};
pub use protocol::SyncProtocol;

#[cfg(test)]
mod tests;
