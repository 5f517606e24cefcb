//! The printers of Windows, by `PowerShell`: the list from `Win32_Printer`, printing by the verb `PrintTo` of whatever program
//! shows PDFs there (Microsoft Learn, “Win32_Printer class” and “Launching applications”, from memory).
//!
//! That program decides whether a page keeps its size, so the true size is *not* assured here; the test page shows it. Names
//! and paths go in by the environment, never as a part of the command. Not tried on Windows itself.

use std::ffi::{OsStr, OsString};

use serde::Deserialize;

use super::program::{Program, Said};
use super::{PrintError, PrintJob, Printer, PrinterState, Printers, TIMEOUT_MS, refusal};

const PROGRAM: &str = "powershell.exe";

/// One array, whether there are several printers, one or none.
const LIST: &str = "ConvertTo-Json -Compress @(Get-CimInstance Win32_Printer | \
                    Select-Object Name, Default, PrinterStatus, DetectedErrorState)";

const PRINT: &str = "$ErrorActionPreference = 'Stop'; \
                     Start-Process -FilePath $env:WAYBENCH_PAPER -Verb PrintTo \
                     -ArgumentList ('\"' + $env:WAYBENCH_PRINTER + '\"') -WindowStyle Hidden";

/// The printers that `PowerShell` tells of.
#[derive(Debug, Clone, Default)]
pub struct PowerShell {
    search_path: Option<OsString>,
    timeout_ms: Option<u64>,
}

#[derive(Deserialize)]
#[serde(rename_all = "PascalCase")]
struct Row {
    name: String,
    #[serde(default)]
    default: bool,
    printer_status: Option<u32>,
    detected_error_state: Option<u32>,
}

impl PowerShell {
    /// Looks for the program in these folders only, and gives it `timeout_ms`.
    pub fn on_path(search_path: OsString, timeout_ms: u64) -> Self {
        Self {
            search_path: Some(search_path),
            timeout_ms: Some(timeout_ms),
        }
    }

    fn run(&self, command: &str, environment: &[(&str, &OsStr)]) -> Result<Said, PrintError> {
        let program = Program {
            name: PROGRAM,
            search_path: self.search_path.as_deref(),
            timeout_ms: self.timeout_ms.unwrap_or(TIMEOUT_MS),
        };
        let arguments = ["-NoProfile", "-NonInteractive", "-Command", command];
        program.run(&arguments.map(OsString::from), environment)
    }
}

impl Printers for PowerShell {
    fn list(&self) -> Result<Vec<Printer>, PrintError> {
        let said = self.run(LIST, &[])?;
        let rows: Result<Vec<Row>, _> = serde_json::from_str(said.out.trim());
        match rows {
            Ok(rows) if said.is_ok => Ok(rows.into_iter().map(read).collect()),
            _ => Err(refused(
                "The system's list of printers can't be read",
                &said,
            )),
        }
    }

    fn print(&self, job: &PrintJob<'_>) -> Result<(), PrintError> {
        let environment = [
            ("WAYBENCH_PAPER", job.pdf.as_os_str()),
            ("WAYBENCH_PRINTER", OsStr::new(job.printer)),
        ];
        // The verb knows no number of copies.
        for _ in 0..job.copies {
            let said = self.run(PRINT, &environment)?;
            if !said.is_ok {
                let start = format!("“{}” took nothing", job.printer);
                return Err(refused(&start, &said));
            }
        }
        Ok(())
    }
}

/// `PrinterStatus` 4 is printing; `DetectedErrorState` from 3 on is a trouble, save 2, which is none.
fn read(row: Row) -> Printer {
    let trouble = match row.detected_error_state.unwrap_or(0) {
        0..=2 => "",
        3 => "low paper",
        4 => "no paper",
        5 => "low toner",
        6 => "no toner",
        7 => "door open",
        8 => "jammed",
        9 => "offline",
        _ => "needs service",
    };
    let state = if matches!(trouble, "" | "low paper" | "low toner") {
        match row.printer_status {
            Some(4) => PrinterState::Printing,
            Some(6) => PrinterState::Stopped,
            _ => PrinterState::Ready,
        }
    } else {
        PrinterState::Stopped
    };
    Printer {
        description: row.name.clone(),
        name: row.name,
        state,
        says: trouble.to_owned(),
        is_default: row.default,
    }
}

fn refused(start: &str, said: &Said) -> PrintError {
    let words = said.err.split_whitespace().collect::<Vec<_>>().join(" ");
    let words: String = words.chars().take(300).collect();
    refusal(start, &words)
}

#[cfg(all(test, unix))]
mod tests;
