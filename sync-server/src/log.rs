//! Structured log lines: a constant message and fields, never what an entry or a form says.

use std::error::Error;
use std::fmt;

/// Prints an error with all its causes on one line.
pub struct Chain<'a>(pub &'a (dyn Error + 'static));

impl fmt::Display for Chain<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)?;
        let mut cause = self.0.source();
        while let Some(error) = cause {
            write!(f, ": {error}")?;
            cause = error.source();
        }
        Ok(())
    }
}

/// How lines are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum LogFormat {
    /// For people.
    Text,
    /// One JSON object a line, for programs.
    Json,
}

/// Sends log lines to standard error. `RUST_LOG` chooses what is written; the default leaves out what only developers need.
pub fn start(format: LogFormat) {
    use tracing_subscriber::EnvFilter;
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("info"));
    let is_terminal = std::io::IsTerminal::is_terminal(&std::io::stderr());
    let lines = tracing_subscriber::fmt()
        .with_ansi(is_terminal)
        .with_env_filter(filter)
        .with_writer(std::io::stderr);
    // A second start in one process (tests) keeps the first.
    let _started = match format {
        LogFormat::Text => lines.try_init(),
        LogFormat::Json => lines.json().try_init(),
    };
}
