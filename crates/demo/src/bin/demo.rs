//! Plays the invented lab with a real server, then stays until it is told to end.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use anyhow::{Context as _, Result};
use clap::Parser;
use demo::play::{PlayOptions, play};

/// Starts a sync server, writes an invented lab and takes one device through the whole job.
#[derive(Debug, Parser)]
#[command(name = "demo")]
struct Options {
    /// An empty folder; everything is written below it.
    #[arg(long)]
    dir: PathBuf,
    /// The server's program.
    #[arg(long)]
    server_binary: PathBuf,
    /// Do not stay.
    #[arg(long)]
    once: bool,
    /// The port that the server listens on; a free one if none is given.
    #[arg(long)]
    port: Option<u16>,
}

/// Pause between two looks at whether somebody wants an end.
const LOOK_AGAIN: Duration = Duration::from_millis(100);

fn main() -> ExitCode {
    match run(Options::parse()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("\ndemo: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(options: Options) -> Result<()> {
    let interrupted = Arc::new(AtomicBool::new(false));
    let told = Arc::clone(&interrupted);
    ctrlc::set_handler(move || told.store(true, Ordering::SeqCst))
        .context("watching for Ctrl-C")?;
    let played = play(&PlayOptions {
        folder: options.dir,
        server_binary: options.server_binary,
        port: options.port,
        interrupted: Arc::clone(&interrupted),
    })?;
    if !options.once {
        println!("\nThe server runs until Ctrl-C.");
        while !interrupted.load(Ordering::SeqCst) {
            std::thread::sleep(LOOK_AGAIN);
        }
    }
    drop(played);
    Ok(())
}
