//! Papers, made or kept: a page of one on the screen; which printers there are, which are chosen, and a paper to one of them.

pub use crate::drawing::ShownPage;
pub use crate::printing::{Printed, PrintersView};

use papers::model::{PageSetup, TestPage, TestPageWording, TestStock};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Nothing, PaperFile, PaperSize};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::printing::{Asked, PaperKind};

/// Chooses a printer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ChoosePrinter {
    /// For what.
    pub kind: PaperKind,
    /// Its name; empty to choose none.
    pub printer: String,
}

/// Prints a paper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PrintPaper {
    /// The paper.
    pub paper: Asked,
    /// How many.
    pub copies: u16,
}

/// Asks for a page of a paper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShowPage {
    /// The paper.
    pub paper: Asked,
    /// Which page, from 1.
    pub page: u32,
}

/// Makes a test page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct MakeTestPage {
    /// For which printer.
    pub kind: PaperKind,
    /// The sheet, where it is one.
    pub size: PaperSize,
}

/// The printers of this computer, and which are chosen.
pub fn printers(desk: &Desk, _: Nothing) -> Result<PrintersView, DeskError> {
    desk.printers_view()
}

/// Chooses the printer for a kind of paper at this desktop.
pub fn choose_printer(desk: &Desk, request: ChoosePrinter) -> Result<PrintersView, DeskError> {
    desk.choose_printer(request.kind, &request.printer)?;
    desk.printers_view()
}

/// One page of a paper, to be looked at in the window. A kept paper that isn't on this computer is fetched first.
pub fn show_page(desk: &Desk, request: ShowPage) -> Result<ShownPage, DeskError> {
    desk.show_page(&request.paper, request.page)
}

/// Prints a paper at its true size.
pub fn print_paper(desk: &Desk, request: PrintPaper) -> Result<Printed, DeskError> {
    desk.print(&request.paper, request.copies)
}

/// Makes a page by which a printer shows whether it keeps true sizes.
pub fn make_test_page(desk: &Desk, request: MakeTestPage) -> Result<PaperFile, DeskError> {
    let printer = desk.printer_for(request.kind)?.description;
    let lab = desk.lab()?;
    let (Some(description), Some(mark)) = (lab.description.value(), lab.description.mark()) else {
        return Err(DeskError::NoLab);
    };
    let setup: PageSetup = crate::drawing::setup(request.size);
    let (stock, name) = match request.kind {
        PaperKind::Sheets => (TestStock::Sheet(setup), "test-page-sheet.pdf"),
        PaperKind::Labels => (TestStock::Roll62, "test-page-roll.pdf"),
    };
    let pdf = papers::test_page(&TestPage {
        meta: crate::drawing::meta("Test page".to_owned(), description, mark.at_ms),
        lab: description.name.clone(),
        printer,
        stock,
        wording: TestPageWording::default(),
    })?;
    desk.write_paper(name, &pdf)
}
