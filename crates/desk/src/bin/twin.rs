//! Serves one lab's folder over loopback HTTP, for development and browser tests.

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use desk::ports::Ports;
use desk::twin::{RunningTwin, TwinOptions};
use desk::{Desk, DeskOptions};

const USAGE: &str = "twin --lab DIR [--port N] [--ui DIR] [--token TEXT] [--dev-origin URL] [--offline]\n\
                     Serves the lab in DIR on 127.0.0.1 and prints the address to open. Ends with its standard input.";

#[derive(Default)]
struct Arguments {
    lab: Option<PathBuf>,
    offline: bool,
    twin: TwinOptions,
}

fn main() -> ExitCode {
    match parse(std::env::args().skip(1)).and_then(|arguments| run(&arguments)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(sentence) => {
            eprintln!("twin: {sentence}\n\n{USAGE}");
            ExitCode::FAILURE
        }
    }
}

fn parse(mut words: impl Iterator<Item = String>) -> Result<Arguments, String> {
    let mut arguments = Arguments::default();
    while let Some(word) = words.next() {
        let mut value = || words.next().ok_or_else(|| format!("{word} needs a value"));
        match word.as_str() {
            "--lab" => arguments.lab = Some(value()?.into()),
            "--ui" => arguments.twin.ui_dir = Some(value()?.into()),
            "--token" => arguments.twin.token = value()?,
            "--dev-origin" => arguments.twin.dev_origin = Some(value()?),
            "--port" => {
                let text = value()?;
                arguments.twin.port = text
                    .parse()
                    .map_err(|_| format!("“{text}” is no port; write a number up to 65535"))?;
            }
            "--offline" => arguments.offline = true,
            other => return Err(format!("“{other}” is no option")),
        }
    }
    Ok(arguments)
}

fn run(arguments: &Arguments) -> Result<(), String> {
    let lab = arguments.lab.as_ref().ok_or("--lab is missing")?;
    let desk = Arc::new(
        Desk::open(DeskOptions::beside(lab), Ports::system()).map_err(|error| error.to_string())?,
    );
    if !arguments.offline {
        desk.start().map_err(|error| error.to_string())?;
    }
    let twin = RunningTwin::start(Arc::clone(&desk), arguments.twin.clone())
        .map_err(|error| error.to_string())?;
    println!("{}", twin.url());
    // Whoever started it ends it by closing the pipe, even when it is killed itself.
    let mut line = String::new();
    while std::io::stdin()
        .read_line(&mut line)
        .is_ok_and(|bytes| bytes > 0)
    {
        line.clear();
    }
    desk.stop();
    Ok(())
}
