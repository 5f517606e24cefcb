//! Builds our own programs, all at once and always with the same features, so that nothing is compiled twice.

use std::path::PathBuf;

use anyhow::Result;

use crate::machine;
use crate::process;
use crate::terminal::heading;

/// The sync server.
pub(crate) fn server() -> PathBuf {
    machine::binary("sync-server")
}

/// The program that plays the invented lab.
pub(crate) fn demo() -> PathBuf {
    machine::binary("demo")
}

/// The desktop window.
pub(crate) fn window() -> PathBuf {
    machine::binary("waybench")
}

/// Builds them for development; the screens have to be built before.
pub(crate) fn build() -> Result<()> {
    heading("building the programs");
    // This program itself is left out: it is running.
    let arguments = ["build", "--workspace", "--exclude", "xtask", "--bins"];
    process::run(&mut process::cargo(&machine::root(), &arguments))
}
