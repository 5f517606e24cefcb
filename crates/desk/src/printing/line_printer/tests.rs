//! Against stand-ins for `lp` and `lpstat`; what those say is what CUPS 2.4.2 says.

use std::path::Path;

use super::*;
use crate::printing::tests::Programs;

const TWO: &str = "\
printer Front is idle.  enabled since Mon Nov 30 02:31:22 2026
\tForm mounted:
\tDescription: Papers by the window
\tAlerts: none
\tLocation: Front room
printer Labels disabled since Mon Nov 30 02:31:30 2026 -
\tpaper jam in tray 2
\tForm mounted:
\tDescription: 
\tAlerts: media-jam-error media-empty-warning
printer Back now printing Back-12.  enabled since Mon Nov 30 02:31:22 2026
\tForm mounted:
\tDescription: Back room
\tAlerts: toner-low-warning
printer Cold disabled since Mon Nov 30 02:31:30 2026 -
\treason unknown
\tAlerts: offline-report
";

fn programs() -> Programs {
    Programs::named(&["lp", "lpstat"])
}

fn on(programs: &Programs) -> LinePrinter {
    LinePrinter::on_path(programs.path(), 2_000)
}

fn job(printer: &str, copies: u16, page_mm: (u32, u32)) -> PrintJob<'_> {
    PrintJob {
        printer,
        title: "report-7K3M-2Q9X-T.pdf",
        pdf: Path::new("/lab/papers/a report; rm -rf $HOME.pdf"),
        copies,
        page_mm,
    }
}

fn check_refused(programs: &Programs, sentence: &str) {
    let printer = on(programs);
    let said = printer
        .print(&job("Front", 1, (210, 297)))
        .expect_err("it is refused");
    assert_eq!(said.to_string(), sentence);
}

#[test]
fn the_list_has_names_descriptions_states_and_the_default() {
    let programs = programs()
        .answers("lpstat", "-l", "out", TWO)
        .answers(
            "lpstat",
            "-e",
            "out",
            "Front\nLabels\nBack\nCold\nHall_on_the_network\n",
        )
        .answers("lpstat", "-d", "out", "system default destination: Front\n");
    let list = on(&programs).list().expect("it is taken");
    let seen: Vec<(&str, &str, PrinterState, &str, bool)> = list
        .iter()
        .map(|printer| {
            let Printer {
                name,
                description,
                state,
                says,
                is_default,
            } = printer;
            (
                name.as_str(),
                description.as_str(),
                *state,
                says.as_str(),
                *is_default,
            )
        })
        .collect();
    assert_eq!(
        seen,
        [
            (
                "Front",
                "Papers by the window",
                PrinterState::Ready,
                "",
                true
            ),
            (
                "Labels",
                "Labels",
                PrinterState::Stopped,
                "paper jam in tray 2",
                false
            ),
            (
                "Back",
                "Back room",
                PrinterState::Printing,
                "toner-low-warning",
                false
            ),
            (
                "Cold",
                "Cold",
                PrinterState::Stopped,
                "offline-report",
                false
            ),
            (
                "Hall_on_the_network",
                "Hall_on_the_network",
                PrinterState::Ready,
                "",
                false
            ),
        ]
    );
}

#[test]
fn a_computer_without_printers_has_an_empty_list() {
    let none = programs()
        .answers("lpstat", "-l", "err", "lpstat: No destinations added.\n")
        .answers("lpstat", "-l", "code", "1")
        .answers("lpstat", "-d", "out", "no system default destination\n");
    assert_eq!(on(&none).list().expect("it is taken"), []);
}

#[test]
fn a_list_that_cannot_be_read_is_told_in_the_systems_words() {
    let down = programs()
        .answers("lpstat", "-l", "err", "lpstat: Bad file descriptor\n")
        .answers("lpstat", "-l", "code", "1");
    assert_eq!(
        on(&down).list().expect_err("it is refused").to_string(),
        "The system's list of printers can't be read; the system says: “Bad file descriptor”"
    );
}

#[test]
fn a_paper_goes_by_its_arguments_at_true_size_and_never_through_a_shell() {
    let programs = programs().answers("lp", "-d", "out", "request id is Front-1 (1 file(s))\n");
    on(&programs)
        .print(&job("Front", 3, (210, 297)))
        .expect("it is taken");
    let asked = programs.asked("lp");
    let words: Vec<&str> = asked.lines().collect();
    assert_eq!(
        words,
        [
            "-d",
            "Front",
            "-n",
            "3",
            "-t",
            "report-7K3M-2Q9X-T.pdf",
            "-o",
            "print-scaling=none",
            "-o",
            "media=A4",
            "--",
            "/lab/papers/a report; rm -rf $HOME.pdf",
        ]
    );
}

fn check_media(page_mm: (u32, u32), wanted: &str) {
    let programs = programs();
    on(&programs)
        .print(&job("Front", 1, page_mm))
        .expect("it is taken");
    let asked = programs.asked("lp");
    assert!(asked.lines().any(|word| word == wanted), "{asked}");
}

#[test]
fn the_sheet_is_named_as_printers_know_it_and_a_roll_by_its_measures() {
    check_media((216, 279), "media=Letter");
    check_media((62, 47), "media=Custom.62x47mm");
}

#[test]
fn a_printer_that_refuses_is_quoted_without_the_programs_name() {
    check_refused(
        &programs()
            .answers(
                "lp",
                "-d",
                "err",
                "lp: Error - The printer or class does not exist.\n",
            )
            .answers("lp", "-d", "code", "1"),
        "“Front” took nothing; the system says: “The printer or class does not exist.”",
    );
    check_refused(
        &programs()
            .answers(
                "lp",
                "-d",
                "err",
                "lp: Destination \"Front\" is not accepting jobs.\n",
            )
            .answers("lp", "-d", "code", "1"),
        "“Front” took nothing; the system says: “Destination \"Front\" is not accepting jobs.”",
    );
    check_refused(
        &programs().answers("lp", "-d", "code", "1"),
        "“Front” took nothing, and the system does not say why; look at the printer.",
    );
}

#[test]
fn a_program_that_hangs_is_given_up() {
    let programs = programs().answers("lp", "-d", "seconds", "30");
    let began = std::time::Instant::now();
    let printer = LinePrinter::on_path(programs.path(), 200);
    let error = printer
        .print(&job("Front", 1, (210, 297)))
        .expect_err("it is refused");
    assert!(matches!(error, PrintError::NoAnswer { timeout_ms: 200 }));
    assert!(began.elapsed().as_secs() < 10, "it was not waited for");
}

#[test]
fn a_computer_without_the_programs_is_told_so() {
    let none = Programs::named(&[]);
    let error = on(&none).list().expect_err("it is refused");
    assert!(matches!(&error, PrintError::NoProgram { program } if program == "lpstat"));
    let error = on(&none)
        .print(&job("Front", 1, (210, 297)))
        .expect_err("it is refused");
    assert!(error.to_string().contains("set a printer up in the system"));
}

#[test]
fn a_program_that_talks_without_end_is_heard_out_in_part() {
    let programs = programs()
        .answers("lpstat", "-l", "out", &"x".repeat(2_000_000))
        .answers("lpstat", "-e", "out", "Front\n");
    // What is left unread breaks the pipe, and the program ends on it.
    assert_eq!(on(&programs).list().expect("it is taken").len(), 1);
}
