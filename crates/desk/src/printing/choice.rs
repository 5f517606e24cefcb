//! Which printer a paper goes to. The choice is this desktop's own: it is a setting, never an entry.

use std::path::PathBuf;

use domain::ContentHash;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{PrintError, PrintJob, Printer, PrinterState};
use crate::desk::Desk;
use crate::error::DeskError;

/// The printers of this computer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PrintersView {
    /// All of them, in the system's order.
    pub printers: Vec<Printer>,
    /// Which are chosen at this desktop.
    pub chosen: PrinterChoice,
    /// Why there are none, in a sentence; empty when there are.
    pub trouble: String,
}

/// What became of a paper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Printed {
    /// The printer that took it, as a person calls it.
    pub printer: String,
    /// A sentence when the printer took it but doesn't print now; else empty.
    pub doubt: String,
}

/// What a paper is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum PaperKind {
    /// Whole sheets: reports, slips, marks, sheets of labels.
    Sheets,
    /// The roll of labels, 62 mm wide.
    Labels,
}

/// No sheet is narrower than this, and no roll wider.
const SHEET_WIDTH_MM_MIN: u32 = 100;

impl PaperKind {
    const fn of((width_mm, _): (u32, u32)) -> Self {
        if width_mm < SHEET_WIDTH_MM_MIN {
            Self::Labels
        } else {
            Self::Sheets
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Sheets => "sheets",
            Self::Labels => "the roll of labels",
        }
    }
}

/// The printers chosen at this desktop, by name; empty where none was chosen.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, TS)]
pub struct PrinterChoice {
    /// For whole sheets; empty for the system's own default.
    pub sheets: String,
    /// For the roll of labels.
    pub labels: String,
}

impl PrinterChoice {
    const fn of(&self, kind: PaperKind) -> &String {
        match kind {
            PaperKind::Sheets => &self.sheets,
            PaperKind::Labels => &self.labels,
        }
    }
}

/// A paper that is to be printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Asked {
    /// One that was made on this computer.
    Made {
        /// Its file name among the papers.
        name: String,
    },
    /// One that is kept with the lab's files, such as a report.
    Kept {
        /// The hash of its bytes.
        file: ContentHash,
    },
}

/// The setting that holds the choice.
const CHOICE: &str = "printers";
/// How every PDF begins (ISO 32000-2:2020, 7.5.2).
const PDF_HEADER: &[u8] = b"%PDF-";
/// More copies than this are a slip of the finger.
const COPIES_MAX: u16 = 50;
/// Enough of a hash to tell the papers apart in their folder.
const HASH_LETTERS: usize = 16;

const NO_PRINTER: &str = "no printer is set up on this computer; set one up in the system's own settings, then come back. \
                          Papers can be opened meanwhile, and printed from there";

impl Desk {
    /// The printers of this computer, and which are chosen.
    pub(crate) fn printers_view(&self) -> Result<PrintersView, DeskError> {
        let chosen = self.printer_choice()?;
        let (printers, trouble) = match self.printers.list() {
            Ok(printers) if printers.is_empty() => (printers, crate::error::sentence(NO_PRINTER)),
            Ok(printers) => (printers, String::new()),
            Err(error) => (Vec::new(), crate::error::sentence(&error.to_string())),
        };
        Ok(PrintersView {
            printers,
            chosen,
            trouble,
        })
    }

    fn printer_choice(&self) -> Result<PrinterChoice, DeskError> {
        Ok(self.store.setting(CHOICE)?.unwrap_or_default())
    }

    /// Chooses the printer for a kind of paper at this desktop; an empty name takes the choice back.
    pub(crate) fn choose_printer(&self, kind: PaperKind, name: &str) -> Result<(), DeskError> {
        let is_known = || -> Result<bool, DeskError> {
            let known = self.printers.list().map_err(DeskError::from)?;
            Ok(known.iter().any(|printer| printer.name == name))
        };
        if !name.is_empty() && !is_known()? {
            return Err(DeskError::field(
                "printer",
                format!("“{name}” is no printer of this computer; choose one of the list"),
            ));
        }
        let mut choice = self.printer_choice()?;
        match kind {
            PaperKind::Sheets => name.clone_into(&mut choice.sheets),
            PaperKind::Labels => name.clone_into(&mut choice.labels),
        }
        Ok(self.store.set_setting(CHOICE, &choice)?)
    }

    /// The printer that a kind of paper goes to.
    pub(crate) fn printer_for(&self, kind: PaperKind) -> Result<Printer, DeskError> {
        let choice = self.printer_choice()?;
        let mut printers = self.printers.list()?;
        if printers.is_empty() {
            return Err(DeskError::refused(NO_PRINTER));
        }
        let name = choice.of(kind);
        let index = if !name.is_empty() {
            printers.iter().position(|printer| printer.name == *name)
        } else if kind == PaperKind::Labels {
            // Labels on a sheet are a sheet wasted, so the system's default is never taken for them.
            None
        } else {
            printers.iter().position(|printer| printer.is_default)
        };
        let words = kind.words();
        match index {
            Some(index) => Ok(printers.swap_remove(index)),
            None if name.is_empty() => Err(DeskError::refused(format!(
                "no printer is chosen for {words} at this desktop; choose one in Setup, Printers"
            ))),
            None => Err(DeskError::refused(format!(
                "“{name}”, the printer chosen for {words}, is not there any more; choose another in Setup, Printers"
            ))),
        }
    }

    /// Hands a paper to its printer.
    pub(crate) fn print(&self, asked: &Asked, copies: u16) -> Result<Printed, DeskError> {
        if !(1..=COPIES_MAX).contains(&copies) {
            return Err(DeskError::field(
                "copies",
                format!("{copies} copies can't be printed at once; ask for 1 to {COPIES_MAX}"),
            ));
        }
        let (pdf, title) = self.paper_on_disk(asked)?;
        let bytes = std::fs::read(&pdf).map_err(|_| DeskError::NotFound { what: "paper" })?;
        if !bytes.starts_with(PDF_HEADER) {
            return Err(DeskError::refused(
                "that file is no paper of this program, so it is not printed from here",
            ));
        }
        let page_mm = papers::page_millimetres(&bytes)?;
        let printer = self.printer_for(PaperKind::of(page_mm))?;
        self.printers.print(&PrintJob {
            printer: &printer.name,
            title: &title,
            pdf: &pdf,
            copies,
            page_mm,
        })?;
        Ok(Printed {
            doubt: doubt(&printer),
            printer: printer.description,
        })
    }

    /// Where a paper lies, and its title. A kept one is written among the papers first, whole or not at all.
    fn paper_on_disk(&self, asked: &Asked) -> Result<(PathBuf, String), DeskError> {
        match asked {
            Asked::Made { name } => Ok((self.paper_path(name)?, name.clone())),
            Asked::Kept { file } => {
                let bytes = self.file_bytes(file)?;
                let name = format!("kept-{}.pdf", &file.to_string()[..HASH_LETTERS]);
                self.write_paper(&name, &bytes)?;
                Ok((self.paper_path(&name)?, name))
            }
        }
    }
}

/// A printer that stands still takes a paper all the same, and prints it once somebody has seen to it.
fn doubt(printer: &Printer) -> String {
    if printer.state != PrinterState::Stopped {
        return String::new();
    }
    let says = if printer.says.is_empty() {
        String::new()
    } else {
        format!(" and says “{}”", printer.says)
    };
    format!(
        "It stands still{says}: the paper waits in its queue until somebody has seen to the printer."
    )
}

impl From<PrintError> for DeskError {
    fn from(error: PrintError) -> Self {
        Self::refused(error)
    }
}
