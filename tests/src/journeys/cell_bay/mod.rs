//! The Cell bay as people work in it, and who may do what there.

mod judging;
mod limits;
mod returning;
mod taken_out;
mod watching;

use desk::commands::Nothing;
use desk::commands::bench::cell::{CellCheckInput, RecordCellCheck, record_cell_check};
use desk::commands::cell_bay::{
    CellReadingInput, CellView, HandOverCell, RemoveCell, ReturnCell, TakeCellReading,
    take_cell_reading,
};
use desk::commands::start::{ChoosePerson, choose_person, state};
use domain::cells::CellFinding;
use domain::fact::{IsolationPlace, Role};
use domain::{CellId, JobId, Subject};

use crate::house::{House, add_person};

/// A check that finds something, with all readings sound.
fn find(house: &House, job_id: JobId, finding: CellFinding) {
    let check = CellCheckInput {
        findings: vec![finding],
        voltage: "3.82".to_owned(),
        cells_in_series: "1".to_owned(),
        surface: "21.4".to_owned(),
        room: "21.0".to_owned(),
        ..CellCheckInput::default()
    };
    record_cell_check(&house.desk, RecordCellCheck { job_id, check }).unwrap();
}

fn reading(surface: &str) -> CellReadingInput {
    CellReadingInput {
        surface: surface.to_owned(),
        room: "21.0".to_owned(),
        ..CellReadingInput::default()
    }
}

fn read(house: &House, subject: Subject, surface: &str) {
    let request = TakeCellReading {
        subject,
        reading: reading(surface),
    };
    take_cell_reading(&house.desk, request).unwrap();
}

/// Signs in somebody who may do what a role may.
fn sign_in(house: &House, name: &str, roles: &[Role]) {
    add_person(&house.desk, name, roles);
    let people = state(&house.desk, Nothing {}).unwrap().people;
    let person = people.iter().find(|person| person.name == name).unwrap();
    choose_person(
        &house.desk,
        ChoosePerson {
            person_id: person.person_id,
        },
    )
    .unwrap();
}

/// The cell of a job, taken out of its device and laid into the bay.
fn taken_out(job_id: JobId) -> RemoveCell {
    RemoveCell {
        job_id,
        place: IsolationPlace::Bay,
        position: String::new(),
        note: String::new(),
    }
}

fn cell_of(view: &CellView) -> CellId {
    let Subject::Cell(cell_id) = view.row.subject else {
        panic!("a removed cell is a subject of its own");
    };
    cell_id
}

fn to_the_recycler(cell_id: CellId) -> HandOverCell {
    HandOverCell {
        cell_id,
        recycler: "Quay Metals".to_owned(),
        paper_number: "QM-118".to_owned(),
        date: String::new(),
        note: String::new(),
    }
}

/// A device goes back with its damaged cell in it.
fn going_back(job_id: JobId) -> ReturnCell {
    ReturnCell {
        subject: Subject::Job(job_id),
        provisions: "ADR 2025, special provision 376".to_owned(),
        paper_number: String::new(),
        date: String::new(),
        note: String::new(),
    }
}
