//! The suites that look at screens: in a browser, and in the real window. They are Node scripts in `tests/browser`.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};

use crate::binaries;
use crate::demo;
use crate::machine;
use crate::process;
use crate::screens;
use crate::setup::CHROMIUM_NAMES;

/// The folder, below cargo's, of the lab that the suites look at.
const LAB: &str = "suites-lab";

/// Plays the invented lab for the suites, to the end of its last step.
pub(crate) fn play_lab() -> Result<()> {
    demo::play_once(&demo::fresh_folder(LAB)?, None)
}

/// Runs the suites against the commands over loopback HTTP and against the portal.
pub(crate) fn suites() -> Result<()> {
    run("test")
}

/// Runs the suite of the real window on the invented lab.
pub(crate) fn window() -> Result<()> {
    run("window")
}

fn run(script: &str) -> Result<()> {
    let folder = folder();
    screens::install_packages(&folder)?;
    let lab = demo::lab_folder(&machine::target_dir().join(LAB))
        .context("finding the invented lab that the suites look at")?;
    let mut command = screens::npm_command(&folder, &["run", "--silent", script]);
    command.env("WAYBENCH_LAB", lab);
    process::run(with_places(&mut command)?)
}

fn folder() -> PathBuf {
    machine::root().join("tests/browser")
}

/// Tells a suite where our programs, the browser and the place for pictures are.
fn with_places(command: &mut std::process::Command) -> Result<&mut std::process::Command> {
    let artifacts = machine::root().join("tests/artifacts");
    std::fs::create_dir_all(&artifacts)
        .with_context(|| format!("making {}", artifacts.display()))?;
    if let Some(browser) = CHROMIUM_NAMES
        .iter()
        .find_map(|name| machine::find_program(name))
    {
        command.env("WAYBENCH_BROWSER", browser);
    }
    let programs = binaries::server();
    Ok(command
        .env(
            "WAYBENCH_PROGRAMS",
            programs.parent().unwrap_or(Path::new(".")),
        )
        .env("WAYBENCH_ARTIFACTS", artifacts))
}
