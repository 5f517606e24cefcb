//! Shows the invented lab: starts the program of `crates/demo`, which plays it, then opens the window on the result.
//!
//! What happens in the lab is decided there; this module builds, starts, shows and ends.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Duration;

use anyhow::{Context, Result, bail};
use serde_json::Value;

use crate::binaries;
use crate::machine;
use crate::process::{self, Running};
use crate::screens;
use crate::setup::{self, Purpose};
use crate::terminal::{heading, note};
use crate::window::{self, VirtualDisplay};

/// The file that the demo's program writes when every step is done.
const READY_FILE: &str = "ready.json";

/// Pause between two looks at a running demo.
const LOOK_AGAIN: Duration = Duration::from_millis(100);

/// How to show it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Options {
    /// Do not stay.
    pub(crate) once: bool,
    /// Without a display, use a virtual one.
    pub(crate) virtual_display: bool,
    /// The port that the server listens on; a free one if none is given.
    pub(crate) port: Option<u16>,
}

impl Options {
    /// Reads the words after `demo`.
    pub(crate) fn parse(words: &[String]) -> Result<Self> {
        let mut options = Self::default();
        let mut words = words.iter();
        while let Some(word) = words.next() {
            match word.as_str() {
                "--once" => options.once = true,
                "--xvfb" => options.virtual_display = true,
                "--port" => {
                    let port = words
                        .next()
                        .context("--port needs a number, such as --port 8080")?;
                    let port = port
                        .parse()
                        .with_context(|| format!("`{port}` is not a port from 0 to 65535"))?;
                    options.port = Some(port);
                }
                other => bail!("demo takes --once, --xvfb and --port N, but was given `{other}`"),
            }
        }
        Ok(options)
    }
}

/// Builds everything and shows it.
pub(crate) fn run(options: &Options) -> Result<()> {
    setup::run(Purpose::Demo)?;
    screens::build()?;
    binaries::build()?;
    show(options)
}

/// Shows it with the programs as they are built.
pub(crate) fn show(options: &Options) -> Result<()> {
    heading("the invented lab");
    let folder = fresh_folder(if options.once { "demo-once" } else { "demo" })?;
    if options.once {
        play_once(&folder, options.port)?;
        let window = open_window(&folder, options)?;
        if window.is_some() {
            note("the window opened; closing it again");
        }
        return Ok(());
    }
    let mut lab = Running::start(&mut command(&folder, options))?;
    wait_until_ready(&mut lab, &folder)?;
    let shown = open_window(&folder, options)?;
    note("Ctrl-C ends everything that was started");
    stay(&mut lab, shown)
}

/// Plays the lab into `folder` to the end of the last step; the server is stopped again.
pub(crate) fn play_once(folder: &Path, port: Option<u16>) -> Result<()> {
    process::run(&mut command(
        folder,
        &Options {
            once: true,
            port,
            ..Options::default()
        },
    ))
}

/// The folder of the desktop whose window is to be shown, once the demo has been played into `folder`.
pub(crate) fn lab_folder(folder: &Path) -> Result<PathBuf> {
    let path = folder.join(READY_FILE);
    let text =
        std::fs::read_to_string(&path).with_context(|| format!("reading {}", path.display()))?;
    parse_lab_folder(&text).with_context(|| format!("reading {}", path.display()))
}

fn parse_lab_folder(text: &str) -> Result<PathBuf> {
    let ready: Value = serde_json::from_str(text)?;
    let lab = ready["lab"]
        .as_str()
        .context("it does not name the folder of the lab under `lab`")?;
    Ok(PathBuf::from(lab))
}

/// An empty folder below cargo's, where nothing of an earlier demo is left.
pub(crate) fn fresh_folder(name: &str) -> Result<PathBuf> {
    let folder = machine::target_dir().join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder)
            .with_context(|| format!("removing {}", folder.display()))?;
    }
    std::fs::create_dir_all(&folder).with_context(|| format!("making {}", folder.display()))?;
    Ok(folder)
}

fn command(folder: &Path, options: &Options) -> Command {
    let mut command = Command::new(binaries::demo());
    command
        .arg("--dir")
        .arg(folder)
        .arg("--server-binary")
        .arg(binaries::server());
    if options.once {
        command.arg("--once");
    }
    if let Some(port) = options.port {
        command.arg("--port").arg(port.to_string());
    }
    command
}

fn wait_until_ready(lab: &mut Running, folder: &Path) -> Result<()> {
    while !folder.join(READY_FILE).exists() {
        if let Some(status) = lab.try_wait()? {
            bail!("the demo ended with {status} before every step was done");
        }
        std::thread::sleep(LOOK_AGAIN);
    }
    Ok(())
}

/// A window and the display it is on.
struct Shown {
    // Fields are dropped in this order: the window before its display.
    window: Running,
    _display: Option<VirtualDisplay>,
}

fn open_window(folder: &Path, options: &Options) -> Result<Option<Shown>> {
    let lab = lab_folder(folder)?;
    let display = if machine::has_display() {
        None
    } else if options.virtual_display {
        let display = VirtualDisplay::start()?;
        note(&format!(
            "no display here: the window opens on the virtual display {}",
            display.name
        ));
        Some(display)
    } else {
        note("no display here, so no window; --xvfb opens it on a virtual one");
        return Ok(None);
    };
    note(&format!(
        "opening the window: {} --lab {}",
        binaries::window().display(),
        lab.display()
    ));
    let window = window::open(&lab, display.as_ref())?;
    Ok(Some(Shown {
        window,
        _display: display,
    }))
}

/// Keeps the lab running. A closed window ends only the window: the portal is still worth a look.
fn stay(lab: &mut Running, mut shown: Option<Shown>) -> Result<()> {
    loop {
        if let Some(status) = lab.try_wait()? {
            bail!("the demo ended with {status}");
        }
        if let Some(open) = &mut shown
            && open.window.try_wait()?.is_some()
        {
            note("the window was closed; the server still runs until Ctrl-C");
            shown = None;
        }
        std::thread::sleep(LOOK_AGAIN);
    }
}

#[cfg(test)]
mod tests;
