//! Opens the desktop window on a lab folder, on the display there is or on a virtual one.

use std::io::{BufRead as _, BufReader, Read};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

use crate::binaries;
use crate::process::Running;

/// The line with which the window's program says that its screens are loaded.
const OPEN_LINE: &str = "window open";

/// Slow machines take a few seconds for the first window after a build; this is well beyond that.
const OPEN_TIMEOUT: Duration = Duration::from_mins(1);

/// Xvfb is up within a second, or it never will be.
const DISPLAY_TIMEOUT: Duration = Duration::from_secs(15);

/// A display without a screen.
#[derive(Debug)]
pub(crate) struct VirtualDisplay {
    /// Its name, such as `:3`.
    pub(crate) name: String,
    _server: Running,
}

impl VirtualDisplay {
    /// Starts one under a free number.
    pub(crate) fn start() -> Result<Self> {
        let mut server = Running::start(
            Command::new("Xvfb")
                .args([
                    "-displayfd",
                    "1",
                    "-screen",
                    "0",
                    "1280x800x24",
                    "-nolisten",
                    "tcp",
                ])
                .stdout(Stdio::piped())
                .stderr(Stdio::null()),
        )?;
        let stdout = server
            .take_stdout()
            .context("Xvfb was started without a pipe")?;
        let Ok(number) = lines(stdout).recv_timeout(DISPLAY_TIMEOUT) else {
            bail!(
                "Xvfb did not say within {} s which display it serves",
                DISPLAY_TIMEOUT.as_secs()
            );
        };
        Ok(Self {
            name: format!(":{}", number.trim()),
            _server: server,
        })
    }
}

/// Opens the window on the lab in `lab` and waits until its screens are loaded.
pub(crate) fn open(lab: &Path, display: Option<&VirtualDisplay>) -> Result<Running> {
    let mut command = Command::new(binaries::window());
    command.arg("--lab").arg(lab).stdout(Stdio::piped());
    if let Some(display) = display {
        command
            .env("DISPLAY", &display.name)
            .env_remove("WAYLAND_DISPLAY")
            .env("GDK_BACKEND", "x11");
    }
    let mut window = Running::start(&mut command)?;
    let stdout = window
        .take_stdout()
        .context("the window was started without a pipe")?;
    wait_for_line(&lines(stdout), OPEN_LINE, OPEN_TIMEOUT).context("opening the window")?;
    Ok(window)
}

/// The lines of a pipe as they come. It is read to its end, so that the writer never blocks.
pub(crate) fn lines(pipe: impl Read + Send + 'static) -> Receiver<String> {
    let (sender, receiver) = channel();
    std::thread::spawn(move || {
        for line in BufReader::new(pipe).lines().map_while(Result::ok) {
            // Nobody listens any more once the awaited line has come; reading goes on all the same.
            drop(sender.send(line));
        }
    });
    receiver
}

fn wait_for_line(lines: &Receiver<String>, wanted: &str, timeout: Duration) -> Result<()> {
    let started = Instant::now();
    loop {
        match lines.recv_timeout(timeout.saturating_sub(started.elapsed())) {
            Ok(line) if line.trim() == wanted => return Ok(()),
            Ok(_) => {}
            Err(RecvTimeoutError::Timeout) => {
                bail!("it did not say `{wanted}` within {} s", timeout.as_secs())
            }
            Err(RecvTimeoutError::Disconnected) => bail!("it ended before it said `{wanted}`"),
        }
    }
}

#[cfg(test)]
mod tests;
