//! For work on the screens: the invented lab with its server, its commands over loopback HTTP, and the screens with live
//! reload. What is changed in `ui/src` shows at once; a change in Rust needs a new start.

use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::mpsc::RecvTimeoutError;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

use crate::binaries;
use crate::demo;
use crate::machine;
use crate::process::Running;
use crate::screens;
use crate::setup::{self, Purpose};
use crate::terminal::{heading, note};
use crate::window;

/// The screens are served here; their own server prints it, too.
const SCREENS_PORT: &str = "5173";

/// A desk opens within a second or two, also with a year of entries in it.
const TWIN_TIMEOUT: Duration = Duration::from_secs(30);

const LOOK_AGAIN: Duration = Duration::from_millis(100);

/// Which lab to work on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lab {
    /// The one of the last time, if there is one.
    AsItIs,
    /// One played anew.
    Fresh,
}

/// Starts everything and stays until Ctrl-C.
pub(crate) fn run(lab: Lab) -> Result<()> {
    setup::run(Purpose::Demo)?;
    // The window is built together with the rest and takes the built screens into itself.
    screens::build()?;
    binaries::build()?;
    heading("the invented lab");
    let folder = machine::target_dir().join("dev");
    if lab == Lab::Fresh || demo::lab_folder(&folder).is_err() {
        demo::play_once(&demo::fresh_folder("dev")?, None)?;
    }
    let lab = demo::lab_folder(&folder)?;
    note(&format!("the lab is in {}", lab.display()));
    let (twin, address) = start_twin(&lab)?;
    let screens = Running::start(&mut screens_command())?;
    note(&format!(
        "open {}/#token={}&desk={}",
        screens_origin(),
        address.token,
        in_a_fragment(&address.base)
    ));
    note("Ctrl-C ends everything that was started");
    stay(twin, screens)
}

/// Where the twin listens and what it wants to be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Address {
    base: String,
    token: String,
}

fn start_twin(lab: &Path) -> Result<(Running, Address)> {
    // It ends with its standard input, so that it never outlives whoever started it.
    let mut twin = Running::start_with_open_input(
        Command::new(binaries::twin())
            .arg("--lab")
            .arg(lab)
            .arg("--ui")
            .arg(screens::folder().join("dist"))
            .arg("--dev-origin")
            .arg(screens_origin())
            .stdout(Stdio::piped()),
    )?;
    let stdout = twin
        .take_stdout()
        .context("the twin was started without a pipe")?;
    let lines = window::lines(stdout);
    let started = Instant::now();
    loop {
        match lines.recv_timeout(TWIN_TIMEOUT.saturating_sub(started.elapsed())) {
            Ok(line) => {
                if let Some(address) = parse_address(&line) {
                    return Ok((twin, address));
                }
            }
            Err(RecvTimeoutError::Timeout) => bail!(
                "the twin did not say within {} s where it listens",
                TWIN_TIMEOUT.as_secs()
            ),
            Err(RecvTimeoutError::Disconnected) => {
                bail!("the twin ended before it said where it listens")
            }
        }
    }
}

/// Finds the address with its token in a line of the twin, such as `http://127.0.0.1:4000/?token=abc`.
fn parse_address(line: &str) -> Option<Address> {
    let url = line
        .split_whitespace()
        .find(|word| word.starts_with("http://"))?;
    let (base, token) = url.split_once("token=")?;
    let base = base.trim_end_matches(['?', '#', '&', '/']);
    Some(Address {
        base: base.to_owned(),
        token: token.to_owned(),
    })
}

/// An address as a value behind `#`, where a slash would part it: the screens keep their own places there.
fn in_a_fragment(address: &str) -> String {
    address.replace(':', "%3A").replace('/', "%2F")
}

fn screens_command() -> Command {
    screens::npm_command(
        &screens::folder(),
        &["run", "--silent", "dev", "--", "--port", SCREENS_PORT],
    )
}

fn screens_origin() -> String {
    format!("http://127.0.0.1:{SCREENS_PORT}")
}

fn stay(mut twin: Running, mut screens: Running) -> Result<()> {
    loop {
        if let Some(status) = twin.try_wait()? {
            bail!("the twin ended with {status}");
        }
        if let Some(status) = screens.try_wait()? {
            bail!("the server of the screens ended with {status}");
        }
        std::thread::sleep(LOOK_AGAIN);
    }
}

#[cfg(test)]
mod tests;
