//! Builds our own programs, all at once, so that nothing is compiled twice.

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

/// The desk without a window, its commands over HTTP on this machine only.
pub(crate) fn twin() -> PathBuf {
    machine::binary("twin")
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

/// Builds them with every test and example: what the later steps of a whole run start is then all there.
pub(crate) fn build_with_tests() -> Result<()> {
    let arguments = ["build", "--workspace", "--all-targets", "--locked"];
    process::run(&mut process::cargo(&machine::root(), &arguments))
}
