//! A cell that was taken out: what was seen of it in its device goes with it, and what is taken back there is taken back here.

use super::*;
use crate::ids::JobId;

fn look(minute: u64, findings: &[CellFinding]) -> Look {
    Look {
        mark: Mark {
            entry_id: id(minute),
            actor_id: PersonId::from_bytes([9; 16]),
            at_ms: minute * 60_000,
        },
        kind: LookKind::Check,
        check: CellCheck {
            findings: findings.iter().copied().collect(),
            ..sound()
        },
    }
}

fn origin(looks: Vec<Look>) -> Recorded {
    let origin = Fact::CellSetApart(CellOrigin {
        job_id: JobId::from_bytes([7; 16]),
        shop_id: None,
        device: "Arvo Nine".to_owned(),
        looks,
        judged: Vec::new(),
        isolated_since_ms: Some(7 * 60_000),
    });
    at(100, origin)
}

fn taken_back(minute: u64, entry: u64) -> Recorded {
    at(
        minute,
        Fact::EntryWithdrawn(Withdrawal {
            entry_id: id(entry),
            reason: "another cell".to_owned(),
        }),
    )
}

#[test]
fn a_removed_cell_keeps_what_was_seen_of_it_in_its_device() {
    let cell = fold_cell(CELL, &[origin(vec![look(7, &[CellFinding::Swollen])])]);
    assert_eq!(cell.state.level, Some(BenchLevel::Isolate));
    assert_eq!(cell.state.isolated_since_ms, Some(7 * 60_000));
    assert_eq!(cell.known.cells_in_series, Some(1));
    assert_eq!(cell.reference, CellRef::of(CELL).to_string());
}

#[test]
fn a_look_in_its_device_that_is_taken_back_no_longer_counts_against_a_removed_cell() {
    let entries = [
        origin(vec![
            look(5, &[CellFinding::NothingWrong]),
            look(7, &[CellFinding::Swollen]),
        ]),
        taken_back(110, 7),
    ];
    let state = check(&entries, BenchLevel::Clear, Diagnosis::Sound, "B50");
    assert_eq!(state.looks.len(), 1);
    assert_eq!(state.isolated_since_ms, None);
}

#[test]
fn a_removed_cell_in_isolation_stays_there_when_a_look_is_taken_back() {
    let entries = [
        origin(vec![look(7, &[CellFinding::Swollen])]),
        at(101, placed()),
        taken_back(110, 7),
    ];
    let state = check(&entries, BenchLevel::Isolate, Diagnosis::Undiagnosed, "B65");
    assert_eq!(state.isolated_since_ms, Some(101 * 60_000));
}
