//! The printers of Linux, macOS and other systems with CUPS, by its own programs `lp` and `lpstat` (CUPS 2.4, their
//! manual pages lp(1) and lpstat(1)).
//!
//! The crate for this, `printers`, links the library of CUPS, so that the program wouldn't start where that isn't installed;
//! the programs are a part of every CUPS that can print.

use std::ffi::OsString;

use super::program::{Program, Said};
use super::{PrintError, PrintJob, Printer, PrinterState, Printers, TIMEOUT_MS, refusal};

/// The printers that `lpstat` tells of.
#[derive(Debug, Clone, Default)]
pub struct LinePrinter {
    search_path: Option<OsString>,
    timeout_ms: Option<u64>,
}

impl LinePrinter {
    /// Looks for the programs in these folders only, and gives each `timeout_ms`.
    pub fn on_path(search_path: OsString, timeout_ms: u64) -> Self {
        Self {
            search_path: Some(search_path),
            timeout_ms: Some(timeout_ms),
        }
    }

    fn run(&self, name: &str, arguments: &[OsString]) -> Result<Said, PrintError> {
        let program = Program {
            name,
            search_path: self.search_path.as_deref(),
            timeout_ms: self.timeout_ms.unwrap_or(TIMEOUT_MS),
        };
        program.run(arguments, &[])
    }
}

fn words(texts: &[&str]) -> Vec<OsString> {
    texts.iter().map(OsString::from).collect()
}

impl Printers for LinePrinter {
    fn list(&self) -> Result<Vec<Printer>, PrintError> {
        let described = self.run("lpstat", &words(&["-l", "-p"]))?;
        // Printers on the network that nobody has used yet are only in this list.
        let names = self.run("lpstat", &words(&["-e"]))?;
        let default = self.run("lpstat", &words(&["-d"]))?;
        let mut printers = read_printers(&described.out);
        for name in names
            .out
            .lines()
            .map(str::trim)
            .filter(|name| !name.is_empty())
        {
            if printers.iter().all(|printer| printer.name != name) {
                printers.push(printer(name, PrinterState::Ready));
            }
        }
        if printers.is_empty() && !described.is_ok && !says_none(&described.err) {
            return Err(refused(
                "The system's list of printers can't be read",
                &described,
            ));
        }
        let default = read_default(&default.out);
        for printer in &mut printers {
            printer.is_default = Some(printer.name.as_str()) == default;
        }
        Ok(printers)
    }

    fn print(&self, job: &PrintJob<'_>) -> Result<(), PrintError> {
        let copies = job.copies.to_string();
        let media = format!("media={}", media(job.page_mm));
        let mut arguments = words(&[
            "-d",
            job.printer,
            "-n",
            &copies,
            "-t",
            job.title,
            "-o",
            "print-scaling=none",
            "-o",
            &media,
            "--",
        ]);
        arguments.push(job.pdf.as_os_str().to_owned());
        let said = self.run("lp", &arguments)?;
        if said.is_ok {
            Ok(())
        } else {
            let start = format!("“{}” took nothing", job.printer);
            Err(refused(&start, &said))
        }
    }
}

/// The name of a sheet: those that printers know, or its own measures as CUPS writes them.
fn media((width_mm, height_mm): (u32, u32)) -> String {
    match (width_mm, height_mm) {
        (210, 297) => "A4".to_owned(),
        (216, 279) => "Letter".to_owned(),
        _ => format!("Custom.{width_mm}x{height_mm}mm"),
    }
}

fn printer(name: &str, state: PrinterState) -> Printer {
    Printer {
        name: name.to_owned(),
        description: name.to_owned(),
        state,
        says: String::new(),
        is_default: false,
    }
}

/// Reads `lpstat -l -p`: a line of each printer, and what belongs to it indented below.
fn read_printers(text: &str) -> Vec<Printer> {
    let mut printers: Vec<Printer> = Vec::new();
    let mut reason_follows = false;
    for line in text.lines() {
        if let Some(rest) = line.strip_prefix("printer ") {
            let (name, state) = rest.split_once(' ').unwrap_or((rest, ""));
            let stopped = state.starts_with("disabled");
            let state = if stopped {
                PrinterState::Stopped
            } else if state.starts_with("now printing") {
                PrinterState::Printing
            } else {
                PrinterState::Ready
            };
            printers.push(printer(name, state));
            reason_follows = stopped;
            continue;
        }
        let (Some(printer), line) = (printers.last_mut(), line.trim()) else {
            continue;
        };
        if reason_follows {
            reason_follows = false;
            if line != "reason unknown" && !line.ends_with(':') {
                line.clone_into(&mut printer.says);
                continue;
            }
        }
        if let Some(description) = line.strip_prefix("Description:").map(str::trim)
            && !description.is_empty()
        {
            description.clone_into(&mut printer.description);
        }
        if let Some(alerts) = line.strip_prefix("Alerts:").map(str::trim)
            && printer.says.is_empty()
            && alerts != "none"
        {
            printer.says = alerts.replace(' ', ", ");
        }
    }
    printers
}

/// Reads `lpstat -d`; none when there is no default.
fn read_default(text: &str) -> Option<&str> {
    text.lines()
        .find_map(|line| line.strip_prefix("system default destination:"))
        .map(|name| name.split('/').next().unwrap_or(name).trim())
}

/// Whether an error of `lpstat` only says that there is no printer.
fn says_none(err: &str) -> bool {
    err.trim().is_empty() || err.contains("No destinations added")
}

/// A sentence with what the program said, without its own name in front.
fn refused(start: &str, said: &Said) -> PrintError {
    let words = if said.err.trim().is_empty() {
        &said.out
    } else {
        &said.err
    };
    let words: Vec<&str> = words
        .lines()
        .map(|line| {
            let line = line.trim();
            let line = line.split_once(": ").map_or(line, |(program, rest)| {
                if matches!(program, "lp" | "lpstat") {
                    rest
                } else {
                    line
                }
            });
            line.strip_prefix("Error - ").unwrap_or(line)
        })
        .filter(|line| !line.is_empty())
        .take(3)
        .collect();
    refusal(start, &words.join(" "))
}

#[cfg(all(test, unix))]
mod tests;
