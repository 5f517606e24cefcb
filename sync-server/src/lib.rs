//! The lab's server: it keeps the log for the desktops and shows each shop its own devices.
//!
//! [`start`] runs it on its own threads, for the program and for tests alike; [`core::Core`] is the same without sockets.
//! Nothing here decides what a fact means: folds and rules are `domain`'s, the envelope is `logbook`'s.

pub mod auth;
pub mod clock;
pub mod config;
pub mod core;
pub mod files;
mod http;
pub mod log;
mod run;
pub mod shop_view;
pub mod store;
#[cfg(test)]
mod testing;

pub use config::Config;
pub use run::{Running, StartError, start};
