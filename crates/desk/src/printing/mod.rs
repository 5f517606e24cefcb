//! Papers to the system's printers: the port, and the adapters for the systems that a desktop runs on.
//!
//! A printer is asked for a true size and never to scale. What it says when it refuses is handed on in its own words. Must
//! never put a name or a path through a shell, and never wait for a program without an end.

mod choice;
mod line_printer;
mod powershell;
mod program;
#[cfg(all(test, unix))]
mod tests;

use std::path::Path;
use std::sync::Arc;

pub(crate) use choice::Asked;
pub use choice::{PaperKind, Printed, PrinterChoice, PrintersView};
pub use line_printer::LinePrinter;
pub use powershell::PowerShell;

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// Whether a printer works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum PrinterState {
    /// It waits for work.
    Ready,
    /// It is printing.
    Printing,
    /// It stands still: paper, ink, a jam, or a person who paused it. It keeps what it is given.
    Stopped,
}

/// A printer of the system.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Printer {
    /// The name under which the system knows it.
    pub name: String,
    /// What a person calls it; the name when nobody said.
    pub description: String,
    /// Whether it works.
    pub state: PrinterState,
    /// What the system says of it, such as why it stands still; may be empty.
    pub says: String,
    /// True for the one that the system prints on when nobody says which.
    pub is_default: bool,
}

/// One paper for one printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PrintJob<'a> {
    /// The printer's name, as the list gives it.
    pub printer: &'a str,
    /// What stands in the printer's queue.
    pub title: &'a str,
    /// The PDF.
    pub pdf: &'a Path,
    /// How many.
    pub copies: u16,
    /// Width and height of its first page in millimetres.
    pub page_mm: (u32, u32),
}

/// Why nothing was printed. Each is a sentence for the person.
#[derive(Debug, thiserror::Error)]
pub enum PrintError {
    /// The system's own program for printing isn't there.
    #[error(
        "This computer has no program for printing (“{program}” is not there); set a printer up in the system, or open the paper and print it elsewhere."
    )]
    NoProgram {
        /// Its name.
        program: String,
    },
    /// It could not be started or listened to.
    #[error("The system's program for printing, “{program}”, could not be started: {source}")]
    Start {
        /// Its name.
        program: String,
        /// Why.
        source: std::io::Error,
    },
    /// It did not end.
    #[error(
        "The printer did not answer within {} s; look at it and at its cable, and print again. Nothing is lost: the paper can be opened.",
        timeout_ms / 1000
    )]
    NoAnswer {
        /// How long it had.
        timeout_ms: u64,
    },
    /// It refused, with its own words.
    #[error("{said}")]
    Refused {
        /// The sentence, with the system's words in it.
        said: String,
    },
}

/// The printers of the system.
pub trait Printers: Send + Sync {
    /// All printers, in the system's order; none when there are none.
    fn list(&self) -> Result<Vec<Printer>, PrintError>;

    /// Hands a paper over, at its true size. Returns once the system has taken it, which is before it is printed.
    fn print(&self, job: &PrintJob<'_>) -> Result<(), PrintError>;
}

/// The printers of the system that this program runs on.
pub(crate) fn of_this_system() -> Arc<dyn Printers> {
    if cfg!(windows) {
        Arc::new(PowerShell::default())
    } else {
        Arc::new(LinePrinter::default())
    }
}

/// A refusal, with what the system said.
pub(crate) fn refusal(start: &str, words: &str) -> PrintError {
    let said = if words.is_empty() {
        format!("{start}, and the system does not say why; look at the printer.")
    } else {
        format!("{start}; the system says: “{words}”")
    };
    PrintError::Refused { said }
}

/// How long a system's program may take. Listing asks the network at times; CUPS itself gives up after 30 s (from memory).
pub(crate) const TIMEOUT_MS: u64 = 30_000;
