//! The project's own commands, run as `cargo xtask NAME`.
//!
//! This program needs nothing but Rust on the machine: it installs or names what the other steps need. It must never
//! depend on another crate of the workspace, because it has to build before any of them can.

mod binaries;
mod browser;
mod demo;
mod deps;
mod dev;
mod machine;
mod process;
mod screens;
mod setup;
mod suite;
mod terminal;
mod types;
mod window;

use std::process::ExitCode;

use anyhow::{Result, bail};

const USAGE: &str = "\
Usage: cargo xtask COMMAND

  demo [--once] [--xvfb] [--port N]  show the invented lab: a server, one device through the whole job, the window
                                     --once   do not stay: end when every step is done, non-zero when one failed
                                     --xvfb   without a display, open the window on a virtual one
                                     --port N let the server listen on this port (default: a free one)
  test      everything that must hold: format, lints, dependency rules, tests, screens in a browser, the real window
  ci        exactly what the project's automatic check runs: test, then demo --once --xvfb
  dev [--fresh]  the screens with live reload and the commands over loopback HTTP, on the invented lab and its server
                                     --fresh  play the lab anew instead of going on with the last one
  bench     the benchmarks, in release mode
  setup     only install what the other commands need
  gen-types [--check]  write ui/src/backend/generated.ts from the command table; --check only compares
  check-deps           prove the dependency rules
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match run(&arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("xtask: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(arguments: &[String]) -> Result<()> {
    let Some((command, options)) = arguments.split_first() else {
        println!("{USAGE}");
        bail!("name a command");
    };
    process::end_children_on_interrupt()?;
    match command.as_str() {
        "demo" => demo::run(&demo::Options::parse(options)?),
        "test" => {
            no_options(command, options)?;
            suite::test()
        }
        "ci" => {
            no_options(command, options)?;
            suite::ci()
        }
        "dev" => match options {
            [] => dev::run(dev::Lab::AsItIs),
            [fresh] if fresh == "--fresh" => dev::run(dev::Lab::Fresh),
            _ => bail!("dev takes only --fresh"),
        },
        "bench" => suite::bench(options),
        "setup" => {
            no_options(command, options)?;
            setup::run(setup::Purpose::Test)
        }
        "gen-types" => match options {
            [] => types::write(),
            [check] if check == "--check" => types::check(),
            _ => bail!("gen-types takes only --check"),
        },
        "check-deps" => {
            no_options(command, options)?;
            deps::check()
        }
        "help" | "--help" | "-h" => {
            println!("{USAGE}");
            Ok(())
        }
        other => {
            println!("{USAGE}");
            bail!("there is no command `{other}`");
        }
    }
}

fn no_options(command: &str, options: &[String]) -> Result<()> {
    if let Some(option) = options.first() {
        bail!("{command} takes no options, but was given `{option}`");
    }
    Ok(())
}
