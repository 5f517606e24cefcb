//! The desktop window of Waybench.
//!
//! A thin shell: it reads the start options, opens the lab's folder through `desk`, shows the screens and passes calls,
//! pictures and events between the two. It decides nothing about the trade and keeps nothing.

// A console window beside the real one would only puzzle people.
#![cfg_attr(all(windows, not(debug_assertions)), windows_subsystem = "windows")]

mod lab;
mod photo_protocol;
mod safe_rendering;
mod shell;
mod start_options;
mod viewer;

use std::process::ExitCode;

use start_options::{Start, StartOptions};

fn main() -> ExitCode {
    let words = std::env::args_os().skip(1);
    match StartOptions::parse(words) {
        Ok(Start::Open(options)) => open(&options),
        Ok(Start::Usage) => {
            println!("{}", start_options::USAGE);
            ExitCode::SUCCESS
        }
        Ok(Start::Version) => {
            println!("waybench {}", env!("CARGO_PKG_VERSION"));
            ExitCode::SUCCESS
        }
        Err(error) => {
            eprintln!("waybench: {error}\n\n{}", start_options::USAGE);
            ExitCode::FAILURE
        }
    }
}

fn open(options: &StartOptions) -> ExitCode {
    if options.safe_rendering {
        // Returns only when it could not start anew.
        if let Err(error) = safe_rendering::ensure(options) {
            eprintln!("waybench: safe rendering could not be switched on: {error}");
        }
    }
    match shell::run(options) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("waybench: {error:#}");
            ExitCode::FAILURE
        }
    }
}
