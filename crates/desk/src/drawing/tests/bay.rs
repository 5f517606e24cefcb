//! The papers of the Cell bay: what a label says of a device and of a cell that was taken out, and the record for a recycler.

use domain::cells::CellFinding;
use domain::cells::book::{BookRow, RuleBody, RuleBook};
use domain::fact::{CellHandOver, CellOrigin, CellPlacement, IsolationPlace, RuleUpdate};
use domain::reference::CellRef;
use domain::{CellId, Fact, Subject};

use super::bench::{Bench, bench};
use super::{check, text_of};
use crate::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use crate::commands::cell_papers::{
    InBay, PrintBayLabel, PrintHandover, print_bay_label, print_handover,
};
use crate::commands::dock::TagStock;
use crate::commands::{PaperFile, PaperSize};
use crate::error::DeskError;

fn swollen() -> Bench {
    let bench = bench();
    let seen = CellCheckInput {
        findings: [CellFinding::Swollen].into(),
        voltage: "3.61 V".to_owned(),
        surface: "21.9".to_owned(),
        room: "21.0".to_owned(),
        ..CellCheckInput::default()
    };
    let job_id = bench.job_id;
    record_cell_check(
        &bench.desk,
        RecordCellCheck {
            job_id,
            check: seen,
        },
    )
    .unwrap();
    let placed = Fact::CellPlaced(placement());
    bench.desk.record(Subject::Job(job_id), placed).unwrap();
    bench
}

fn placement() -> CellPlacement {
    CellPlacement {
        place: IsolationPlace::Drum,
        position: "2".to_owned(),
        rules: Vec::new(),
    }
}

/// Takes the cell out; it keeps what was seen of it.
fn taken_out(bench: &Bench) -> CellId {
    let job = bench.desk.job(bench.job_id).unwrap();
    let cell_id = CellId::new(bench.desk.new_id());
    let origin = CellOrigin {
        job_id: bench.job_id,
        shop_id: job.shop_id,
        device: "Vireo Lumen 6".to_owned(),
        looks: job.cell_state.looks.clone(),
        judged: Vec::new(),
        isolated_since_ms: job.cell_state.isolated_since_ms,
    };
    for fact in [Fact::CellSetApart(origin), Fact::CellPlaced(placement())] {
        bench.desk.record(Subject::Cell(cell_id), fact).unwrap();
    }
    cell_id
}

fn hand_over(bench: &Bench, cell_id: CellId) {
    let record = CellHandOver {
        recycler: "Brackwater Cell Recovery".to_owned(),
        paper_number: "BCR-0042".to_owned(),
        date: "2026-11-28".to_owned(),
        note: String::new(),
    };
    let fact = Fact::CellHandedOver(record);
    bench.desk.record(Subject::Cell(cell_id), fact).unwrap();
}

fn label(bench: &Bench, of: InBay, stock: TagStock) -> Result<PaperFile, DeskError> {
    print_bay_label(&bench.desk, PrintBayLabel { of, stock })
}

#[test]
fn the_label_of_a_device_says_level_place_reasons_and_the_next_readings() {
    let bench = swollen();
    let of = InBay::Device {
        job_id: bench.job_id,
    };
    let reference = bench.desk.job(bench.job_id).unwrap().reference;
    for (stock, suffix) in [
        (TagStock::Roll62Mm, "roll"),
        (TagStock::SheetA4, "a4"),
        (TagStock::SheetLetter, "letter"),
    ] {
        let paper = label(&bench, of, stock).unwrap();
        assert_eq!(paper.name, format!("bay-{reference}-{suffix}.pdf"));
        let Some(text) = text_of(&paper.path) else {
            return;
        };
        check(
            &text,
            &[
                "ISOLATE",
                &reference,
                "Corner & Sons",
                "drum 2",
                "wollen",
                "3.61",
                "21.9",
                "After 1 hour, 4 hours and 24 hours, then daily",
                "Do not charge",
                "call the fire service",
                "common practice, no law",
                "Check against the edition in force.",
            ],
        );
    }
}

#[test]
fn a_cell_that_was_taken_out_has_a_label_of_its_own() {
    let bench = swollen();
    let cell_id = taken_out(&bench);
    let paper = label(&bench, InBay::Cell { cell_id }, TagStock::SheetA4).unwrap();
    let reference = CellRef::of(cell_id).to_string();
    assert_eq!(paper.name, format!("bay-{reference}-a4.pdf"));
    let Some(text) = text_of(&paper.path) else {
        return;
    };
    let job = bench.desk.job(bench.job_id).unwrap().reference;
    check(
        &text,
        &["ISOLATE", &reference, "Cell of Vireo Lumen 6", &job],
    );
}

#[test]
fn a_label_is_refused_before_anybody_has_looked() {
    let bench = bench();
    let of = InBay::Device {
        job_id: bench.job_id,
    };
    let error = label(&bench, of, TagStock::Roll62Mm).unwrap_err();
    check(&error.to_string(), &["do its cell check first"]);
    let cell_id = CellId::new(bench.desk.new_id());
    let error = label(&bench, InBay::Cell { cell_id }, TagStock::Roll62Mm).unwrap_err();
    assert!(matches!(error, DeskError::NotFound { .. }), "{error}");
}

#[test]
fn the_handover_record_tells_what_the_cell_is_where_it_came_from_and_what_happened_to_it() {
    let bench = swollen();
    let cell_id = taken_out(&bench);
    let print = |size| print_handover(&bench.desk, PrintHandover { cell_id, size });
    let error = print(PaperSize::A4).unwrap_err();
    check(&error.to_string(), &["record who takes it first"]);
    hand_over(&bench, cell_id);
    for size in [PaperSize::A4, PaperSize::Letter] {
        let Some(text) = text_of(&print(size).unwrap().path) else {
            return;
        };
        check(
            &text,
            &[
                &CellRef::of(cell_id).to_string(),
                "Brackwater Cell Recovery",
                "BCR-0042",
                "28 Nov 2026",
                "A cell that is damaged",
                "Vireo Lumen 6",
                "3.610 V",
                "room 21.0 °C",
                "drum 2",
                "handed to Brackwater Cell Recovery",
                "173.185(f)",
                "P908",
                "What is not known is never taken for good.",
                "Taken over by",
                "Check against the edition in force.",
            ],
        );
    }
}

#[test]
fn the_handover_record_cites_the_labs_own_newer_rows() {
    let bench = swollen();
    let cell_id = taken_out(&bench);
    hand_over(&bench, cell_id);
    let shipped = RuleBook::shipped();
    let followed = shipped.latest().row("R05", RuleBody::Adr).unwrap();
    let row = BookRow {
        clause: "P908 (2), as read by the lab".to_owned(),
        ..followed.clone()
    };
    let reason = "Read again.".to_owned();
    let lab = Subject::Lab(bench.desk.lab().unwrap().lab_id);
    let update = Fact::RuleUpdated(RuleUpdate { row, reason });
    bench.desk.record(lab, update).unwrap();
    let size = PaperSize::A4;
    let paper = print_handover(&bench.desk, PrintHandover { cell_id, size }).unwrap();
    if let Some(text) = text_of(&paper.path) {
        check(&text, &["P908 (2), as read by the lab"]);
    }
}
