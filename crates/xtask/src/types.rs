//! The TypeScript face of the commands: written by a program of `desk`, only started here.

use anyhow::{Context, Result};

use crate::machine;
use crate::process;
use crate::terminal::heading;

/// Writes `ui/src/backend/generated.ts` anew.
pub(crate) fn write() -> Result<()> {
    heading("types and functions for the screens");
    generate(&[])
}

/// Fails when `ui/src/backend/generated.ts` is not what would be written now.
pub(crate) fn check() -> Result<()> {
    generate(&["--", "--check"])
        .context("the generated file is stale: run `cargo xtask gen-types` and commit it")
}

fn generate(options: &[&str]) -> Result<()> {
    let mut arguments = vec!["run", "--quiet", "--package", "desk", "--bin", "gen-types"];
    arguments.extend(options);
    process::run(&mut process::cargo(&machine::root(), &arguments))
}
