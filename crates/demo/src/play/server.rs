//! The server's own program, as a process beside this one.

use std::fs::{File, OpenOptions};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context as _, Result, bail, ensure};

use crate::browser::Browser;

/// It answers within a tenth of a second; a busy machine may take far longer.
const START_PATIENCE: Duration = Duration::from_secs(30);
/// It lets running requests end for up to ten seconds.
const STOP_PATIENCE: Duration = Duration::from_secs(15);
/// Pause between two looks.
const LOOK_AGAIN: Duration = Duration::from_millis(20);

/// A server that runs until it is stopped or dropped.
#[derive(Debug)]
pub(super) struct Server {
    binary: PathBuf,
    data: PathBuf,
    port: u16,
    url: String,
    child: Option<Child>,
}

impl Server {
    /// Starts it and waits until it answers.
    pub(super) fn start(binary: &Path, data: &Path, port: u16) -> Result<Self> {
        let url = format!("http://127.0.0.1:{port}");
        let mut server = Self {
            binary: binary.to_owned(),
            data: data.to_owned(),
            port,
            url,
            child: None,
        };
        server.start_again()?;
        Ok(server)
    }

    /// What browsers and desktops call it.
    pub(super) fn url(&self) -> &str {
        &self.url
    }

    /// Starts it on the same data and the same port, and waits until it answers.
    pub(super) fn start_again(&mut self) -> Result<()> {
        let path = self.data.with_extension("log");
        let log: File = OpenOptions::new()
            .create(true)
            .append(true)
            .open(&path)
            .with_context(|| format!("opening {}", path.display()))?;
        let mut command = Command::new(&self.binary);
        command
            .arg("serve")
            .arg("--data")
            .arg(&self.data)
            .arg("--listen")
            .arg(format!("127.0.0.1:{}", self.port));
        command
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(log);
        self.child = Some(
            command
                .spawn()
                .with_context(|| format!("starting {}", self.binary.display()))?,
        );
        let started = Instant::now();
        while !self.answers() {
            if let Some(status) = self
                .child
                .as_mut()
                .and_then(|child| child.try_wait().ok().flatten())
            {
                bail!(
                    "the server ended at once with {status}; {} says why",
                    path.display()
                );
            }
            ensure!(
                started.elapsed() < START_PATIENCE,
                "the server did not answer within {} s",
                START_PATIENCE.as_secs()
            );
            std::thread::sleep(LOOK_AGAIN);
        }
        Ok(())
    }

    fn answers(&self) -> bool {
        Browser::new(&self.url)
            .and_then(|mut browser| browser.get("/healthz"))
            .is_ok_and(|answer| answer.status == 200)
    }

    /// Asks it to end, as an operator does, and waits until it has; it must end well.
    pub(super) fn stop(&mut self) -> Result<()> {
        let Some(mut child) = self.child.take() else {
            return Ok(());
        };
        ask_to_end(&child);
        let started = Instant::now();
        loop {
            if let Some(status) = child.try_wait().context("looking at the server")? {
                ensure!(
                    status.success() || cfg!(not(unix)),
                    "the server ended with {status} when it was asked to stop"
                );
                return Ok(());
            }
            if started.elapsed() > STOP_PATIENCE {
                child.kill().context("ending the server")?;
                child.wait().context("ending the server")?;
                bail!(
                    "the server did not stop within {} s",
                    STOP_PATIENCE.as_secs()
                );
            }
            std::thread::sleep(LOOK_AGAIN);
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        if let Err(error) = self.stop() {
            eprintln!("demo: {error:#}");
        }
    }
}

/// SIGTERM by the shell's own `kill`: it is there on every Unix.
#[cfg(unix)]
fn ask_to_end(child: &Child) {
    let asked = Command::new("sh")
        .args(["-c", &format!("kill -s TERM {}", child.id())])
        .stderr(Stdio::null())
        .status();
    if let Err(error) = asked {
        eprintln!("demo: the server could not be asked to end: {error}");
    }
}

#[cfg(not(unix))]
fn ask_to_end(child: &Child) {
    drop(
        Command::new("taskkill")
            .args(["/T", "/F", "/PID", &child.id().to_string()])
            .stdout(Stdio::null())
            .status(),
    );
}
