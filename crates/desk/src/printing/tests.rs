//! A folder of stand-ins for the system's programs, and what the desk does with printers of every kind.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use super::*;
use crate::commands::printing::{
    ChoosePrinter, MakeTestPage, PrintPaper, choose_printer, make_test_page, print_paper, printers,
};
use crate::commands::{Nothing, PaperSize};
use crate::desk::{Desk, lock};
use crate::drawing::tests::bench::bench;
use crate::error::DeskError;

/// Programs that do as they are told, in a folder of their own.
pub(super) struct Programs {
    folder: tempfile::TempDir,
}

impl Programs {
    /// The stand-in is one script that is never written anew: a file that was just written can't always be started.
    pub(super) fn named(names: &[&str]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/printing/tests/program.sh");
        for name in names {
            std::os::unix::fs::symlink(&script, folder.path().join(name))
                .expect("the file is made");
        }
        Self { folder }
    }

    /// Has `program`, asked with `first` in front, answer so: `what` is `out`, `err`, `code` or `seconds`.
    pub(super) fn answers(self, program: &str, first: &str, what: &str, text: &str) -> Self {
        let name = format!("{program}{first}.{what}");
        std::fs::write(self.folder.path().join(name), text).expect("the file is made");
        self
    }

    pub(super) fn path(&self) -> std::ffi::OsString {
        self.folder.path().as_os_str().to_owned()
    }

    /// The words that a program was asked with, one a line.
    pub(super) fn asked(&self, program: &str) -> String {
        self.read(&format!("{program}.asked"))
    }

    /// What stood in the environment that was meant for it.
    pub(super) fn environment(&self, program: &str) -> String {
        self.read(&format!("{program}.environment"))
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.folder.path().join(name)).unwrap_or_default()
    }
}

/// What a printer was given.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Given {
    printer: String,
    copies: u16,
    page_mm: (u32, u32),
    pdf: PathBuf,
}

/// Printers that take everything, or refuse with these words.
#[derive(Default)]
struct Fakes {
    printers: Mutex<Vec<Printer>>,
    refuses: Option<String>,
    given: Mutex<Vec<Given>>,
}

impl Printers for Fakes {
    fn list(&self) -> Result<Vec<Printer>, PrintError> {
        Ok(lock(&self.printers).clone())
    }

    fn print(&self, job: &PrintJob<'_>) -> Result<(), PrintError> {
        if let Some(words) = &self.refuses {
            return Err(refusal("“Front” took nothing", words));
        }
        lock(&self.given).push(Given {
            printer: job.printer.to_owned(),
            copies: job.copies,
            page_mm: job.page_mm,
            pdf: job.pdf.to_owned(),
        });
        Ok(())
    }
}

fn printer(name: &str, state: PrinterState, says: &str, is_default: bool) -> Printer {
    Printer {
        name: name.to_owned(),
        description: format!("{name} room"),
        state,
        says: says.to_owned(),
        is_default,
    }
}

/// A sheet printer that is the system's default, and a label printer that stands still.
fn two() -> Vec<Printer> {
    vec![
        printer("Front", PrinterState::Ready, "", true),
        printer("Labels", PrinterState::Stopped, "no labels left", false),
    ]
}

struct Lab {
    desk: Desk,
    fakes: Arc<Fakes>,
    _folder: tempfile::TempDir,
}

fn lab(printers: Vec<Printer>, refuses: Option<&str>) -> Lab {
    let fakes = Arc::new(Fakes {
        printers: Mutex::new(printers),
        refuses: refuses.map(str::to_owned),
        given: Mutex::default(),
    });
    let bench = bench();
    Lab {
        desk: bench
            .desk
            .with_printers(Arc::clone(&fakes) as Arc<dyn Printers>),
        fakes,
        _folder: bench.folder,
    }
}

impl Lab {
    fn choose(&self, kind: PaperKind, name: &str) -> Result<(), DeskError> {
        let request = ChoosePrinter {
            kind,
            printer: name.to_owned(),
        };
        choose_printer(&self.desk, request).map(drop)
    }

    /// Makes a test page as if a printer were there, which it needs for its name only.
    fn page(&self, kind: PaperKind) -> Result<Asked, DeskError> {
        let size = PaperSize::A4;
        let paper = make_test_page(&self.desk, MakeTestPage { kind, size })?;
        Ok(Asked::Made { name: paper.name })
    }

    fn print(
        &self,
        paper: Asked,
        copies: u16,
    ) -> Result<crate::commands::printing::Printed, DeskError> {
        print_paper(&self.desk, PrintPaper { paper, copies })
    }

    fn given(&self) -> Vec<Given> {
        lock(&self.fakes.given).clone()
    }
}

fn check_says<T: std::fmt::Debug>(answer: Result<T, DeskError>, part: &str) {
    let sentence = answer.expect_err("it is refused").to_string();
    assert!(sentence.contains(part), "{sentence}");
}

#[test]
fn a_sheet_goes_to_the_default_until_another_is_chosen() {
    let lab = lab(two(), None);
    let page = lab.page(PaperKind::Sheets).expect("the file is made");
    lab.print(page.clone(), 1).expect("the file is made");
    lab.choose(PaperKind::Sheets, "Labels")
        .expect("the file is made");
    lab.print(page, 3).expect("the file is made");
    let given = lab.given();
    let to: Vec<(&str, u16)> = given
        .iter()
        .map(|given| (given.printer.as_str(), given.copies))
        .collect();
    assert_eq!(to, [("Front", 1), ("Labels", 3)]);
    assert_eq!(given[0].page_mm, (210, 297));
    assert!(given[0].pdf.is_absolute() && given[0].pdf.is_file());
}

#[test]
fn the_choice_stays_with_this_desktop_and_writes_no_entry() {
    let lab = lab(two(), None);
    let before = lab.desk.store().entry_count().expect("the file is made");
    lab.choose(PaperKind::Labels, "Labels")
        .expect("the file is made");
    let view = printers(&lab.desk, Nothing {}).expect("the file is made");
    assert_eq!(view.chosen.labels, "Labels");
    assert_eq!(view.chosen.sheets, "");
    assert_eq!(
        lab.desk.store().entry_count().expect("the file is made"),
        before
    );
    lab.choose(PaperKind::Labels, "").expect("the file is made");
    assert_eq!(
        printers(&lab.desk, Nothing {})
            .expect("the file is made")
            .chosen
            .labels,
        ""
    );
}

#[test]
fn a_label_never_goes_to_a_printer_that_nobody_chose_for_labels() {
    let lab = lab(two(), None);
    check_says(
        lab.page(PaperKind::Labels),
        "No printer is chosen for the roll of labels",
    );
    lab.choose(PaperKind::Labels, "Labels")
        .expect("the file is made");
    let page = lab.page(PaperKind::Labels).expect("the file is made");
    let printed = lab.print(page, 1).expect("the file is made");
    assert_eq!(lab.given()[0].page_mm.0, 62);
    assert!(
        printed
            .doubt
            .contains("stands still and says “no labels left”")
    );
}

#[test]
fn without_a_printer_the_sentence_names_the_way_out() {
    let lab = lab(Vec::new(), None);
    check_says(
        lab.page(PaperKind::Sheets),
        "No printer is set up on this computer",
    );
    let view = printers(&lab.desk, Nothing {}).expect("the file is made");
    assert!(view.trouble.contains("Papers can be opened meanwhile"));
}

#[test]
fn a_chosen_printer_that_has_gone_is_named() {
    let lab = lab(two(), None);
    lab.choose(PaperKind::Labels, "Labels")
        .expect("the file is made");
    lock(&lab.fakes.printers).pop();
    check_says(
        lab.page(PaperKind::Labels),
        "“Labels”, the printer chosen for the roll of labels, is not there any more",
    );
}

#[test]
fn a_printer_that_refuses_is_quoted() {
    let lab = lab(two(), Some("is not accepting jobs"));
    let page = lab.page(PaperKind::Sheets).expect("the file is made");
    check_says(lab.print(page, 1), "“is not accepting jobs”");
}

#[test]
fn what_cannot_be_asked_for_is_refused_in_a_sentence() {
    let lab = lab(two(), None);
    check_says(
        lab.choose(PaperKind::Sheets, "Attic"),
        "“Attic” is no printer of this computer",
    );
    let page = lab.page(PaperKind::Sheets).expect("the file is made");
    check_says(lab.print(page.clone(), 0), "ask for 1 to 50");
    check_says(lab.print(page, 51), "ask for 1 to 50");
    for name in ["../lab.db", "nothing.pdf", "", "a/b.pdf"] {
        let name = name.to_owned();
        assert!(matches!(
            lab.print(Asked::Made { name }, 1),
            Err(DeskError::NotFound { what: "paper" })
        ));
    }
    assert_eq!(lab.given(), []);
}

#[test]
fn a_kept_file_that_is_no_paper_is_not_printed() {
    let lab = lab(two(), None);
    let kept = lab
        .desk
        .files
        .whole()
        .put(b"not a paper")
        .expect("the file is made");
    check_says(
        lab.print(Asked::Kept { file: kept.hash }, 1),
        "That file is no paper of this program",
    );
}

#[test]
fn a_kept_paper_is_printed_from_its_hash() {
    let lab = lab(two(), None);
    let Asked::Made { name } = lab.page(PaperKind::Sheets).expect("the file is made") else {
        unreachable!("a test page is made, not kept");
    };
    let kept = lab
        .desk
        .files
        .whole()
        .put(&lab.desk.paper_bytes(&name).expect("the file is made"))
        .expect("the file is made");
    lab.print(Asked::Kept { file: kept.hash }, 2)
        .expect("the file is made");
    assert_eq!(lab.given()[0].copies, 2);
}
