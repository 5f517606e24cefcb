//! All that a desktop of the lab can do, callable without a window.
//!
//! The commands check, build facts and append them to the logbook; the store keeps it; the sync runner carries it to the
//! server. The window, the loopback twin, the demo and the tests all call the same table of commands.

mod catalogue;
#[expect(
    clippy::needless_pass_by_value,
    reason = "the command table hands every request over, whether it is used up or only read"
)]
pub mod commands;
mod connection;
mod desk;
mod drawing;
mod error;
mod files;
mod passcode;
mod photo_intake;
pub mod ports;
pub mod printing;
mod report_check;
mod rows;
pub mod store;
pub mod sync;
pub mod twin;
pub mod typescript;
mod views;
mod watch;

pub use desk::{Changed, Desk, DeskOptions, Listener};
pub use error::{DeskError, EdgeError, ErrorCode};
pub use photo_intake::PhotoTarget;
