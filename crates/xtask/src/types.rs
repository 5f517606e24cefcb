//! The TypeScript face of the commands: written by a program of `desk`, only started here.

use std::process::Command;

use anyhow::{Context, Result};

use crate::machine;
use crate::process;
use crate::terminal::heading;

const PROGRAM: &str = "gen-types";

/// Writes `ui/src/backend/generated.ts` anew.
pub(crate) fn write() -> Result<()> {
    heading("types and functions for the screens");
    process::run(&mut built_when_run(&[]))
}

/// Fails when `ui/src/backend/generated.ts` is not what would be written now.
pub(crate) fn check() -> Result<()> {
    demand_fresh(&mut built_when_run(&["--", "--check"]))
}

/// The same with the program as the last whole build left it: built alone, its libraries would be compiled again with
/// fewer features.
pub(crate) fn check_as_built() -> Result<()> {
    demand_fresh(
        Command::new(machine::binary(PROGRAM))
            .arg("--check")
            .current_dir(machine::root()),
    )
}

fn demand_fresh(check: &mut Command) -> Result<()> {
    process::run(check).context("to write the generated file anew, run `cargo xtask gen-types`")
}

fn built_when_run(options: &[&str]) -> Command {
    let cargo_options = ["run", "--quiet", "--package", "desk", "--bin", PROGRAM];
    let mut command = process::cargo(&machine::root(), &cargo_options);
    command.args(options);
    command
}
