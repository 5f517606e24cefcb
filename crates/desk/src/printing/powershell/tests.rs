//! Against a stand-in for `PowerShell`. What the real one answers is from memory.

use std::path::Path;

use super::*;
use crate::printing::tests::Programs;

fn programs() -> Programs {
    Programs::named(&["powershell.exe"])
}

fn on(programs: &Programs) -> PowerShell {
    PowerShell::on_path(programs.path(), 2_000)
}

#[test]
fn the_list_comes_from_its_json() {
    let rows = r#"[{"Name":"Front","Default":true,"PrinterStatus":3,"DetectedErrorState":0},
        {"Name":"Labels","Default":false,"PrinterStatus":3,"DetectedErrorState":8},
        {"Name":"Back","Default":false,"PrinterStatus":4,"DetectedErrorState":null}]"#;
    let programs = programs().answers("powershell.exe", "-NoProfile", "out", rows);
    let list = on(&programs).list().unwrap();
    let seen: Vec<(&str, PrinterState, &str, bool)> = list
        .iter()
        .map(|printer| {
            (
                printer.name.as_str(),
                printer.state,
                printer.says.as_str(),
                printer.is_default,
            )
        })
        .collect();
    assert_eq!(
        seen,
        [
            ("Front", PrinterState::Ready, "", true),
            ("Labels", PrinterState::Stopped, "jammed", false),
            ("Back", PrinterState::Printing, "", false),
        ]
    );
}

#[test]
fn names_and_paths_go_by_the_environment_once_for_each_copy() {
    let programs = programs();
    let job = PrintJob {
        printer: "Front'; Remove-Item C:\\ #",
        title: "tags",
        pdf: Path::new("/lab/papers/tags.pdf"),
        copies: 2,
        page_mm: (62, 47),
    };
    on(&programs).print(&job).unwrap();
    assert!(!programs.asked("powershell.exe").contains("Remove-Item C:"));
    let each = "Front'; Remove-Item C:\\ #\n/lab/papers/tags.pdf\n";
    assert_eq!(programs.environment("powershell.exe"), each.repeat(2));
}

#[test]
fn a_refusal_is_quoted() {
    let programs = programs()
        .answers(
            "powershell.exe",
            "-NoProfile",
            "err",
            "Start-Process : No application is\r\n  associated with this file.\r\n",
        )
        .answers("powershell.exe", "-NoProfile", "code", "1");
    let job = PrintJob {
        printer: "Front",
        title: "tags",
        pdf: Path::new("/lab/papers/tags.pdf"),
        copies: 1,
        page_mm: (62, 47),
    };
    assert_eq!(
        on(&programs).print(&job).unwrap_err().to_string(),
        "“Front” took nothing; the system says: “Start-Process : No application is associated with this file.”"
    );
}
