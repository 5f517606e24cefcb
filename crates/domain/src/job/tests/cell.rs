//! What a cell that is not clear keeps a job from, and how the job goes on.

use super::*;

fn removal() -> Fact {
    Fact::CellRemoved(CellRemoval {
        cell_id: crate::CellId::from_bytes([8; 16]),
        note: String::new(),
    })
}

/// The device goes back with its damaged cell in it.
fn goes_back() -> Fact {
    Fact::CellReturned(CellReturn {
        provisions: "ADR 2025, special provision 376".to_owned(),
        paper_number: String::new(),
        date: "2026-11-25".to_owned(),
        note: String::new(),
    })
}

/// A story whose cell nobody has looked at.
fn unchecked(length: usize) -> Vec<Recorded> {
    let mut entries = story(length);
    entries.retain(|entry| !matches!(entry.fact(), Some(Fact::CellChecked(_))));
    entries
}

#[test]
fn a_cell_that_is_not_clear_keeps_the_job_from_work_whatever_is_overridden() {
    let mut entries = story(11);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    let over = Override {
        block: Block::CellNotClear,
        reason: "in a hurry".to_owned(),
        tests: Vec::new(),
    };
    entries.push(at(51, Fact::BlockOverridden(over)));
    check_block(&entries, Station::Work, Block::CellNotClear);
    assert_eq!(fold(&entries).stage, Stage::Holding);
}

#[test]
fn a_look_at_a_cell_that_nobody_had_seen_lets_the_job_go_on() {
    let mut entries = story(11);
    entries.push(at(50, cell(&[CellFinding::WaterNearIt])));
    check_block(&entries, Station::Work, Block::CellNotClear);
    entries.push(at(51, cell(&[CellFinding::NothingWrong])));
    assert_eq!(may_enter(&fold(&entries), Station::Work), []);
}

#[test]
fn a_new_check_does_not_undo_a_swollen_cell_and_a_person_who_knows_batteries_does() {
    let mut entries = story(11);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    entries.push(at(51, cell(&[CellFinding::NothingWrong])));
    check_block(&entries, Station::Work, Block::CellNotClear);
    let sound = Fact::CellJudged(CellJudged {
        verdict: CellVerdict::Sound,
        reason: "the back was loose, the cell is flat".to_owned(),
        rules: Vec::new(),
    });
    entries.push(based_on(52, sound, &[3, 50, 51]));
    assert_eq!(may_enter(&fold(&entries), Station::Work), []);
    assert_eq!(fold(&entries).holds, []);
}

#[test]
fn a_device_whose_cell_was_taken_out_goes_on_and_its_next_cell_is_looked_at_anew() {
    let mut entries = story(11);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    assert_eq!(fold(&entries).holds, [HoldReason::CellInIsolation]);
    entries.push(at(51, removal()));
    let job = fold(&entries);
    assert!(job.is_without_cell());
    assert_eq!(job.holds, []);
    assert_eq!(may_enter(&job, Station::Work), []);
    entries.push(at(52, cell(&[CellFinding::Bent])));
    check_block(&entries, Station::Work, Block::CellNotClear);
}

#[test]
fn a_cell_that_is_not_diagnosed_keeps_the_device_from_its_return() {
    for finding in [
        CellFinding::NotSeen,
        CellFinding::WaterNearIt,
        CellFinding::HardDrop,
        CellFinding::LosesCharge,
    ] {
        let mut entries = unchecked(18);
        entries.push(at(50, cell(&[finding])));
        check_block(&entries, Station::Outbound, Block::CellUndiagnosed);
        entries.push(at(51, removal()));
        assert_eq!(may_enter(&fold(&entries), Station::Outbound), []);
    }
}

#[test]
fn a_damaged_cell_goes_back_only_under_the_special_provisions() {
    let mut entries = story(18);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    check_block(&entries, Station::Outbound, Block::CellNotClear);
    entries.push(at(51, goes_back()));
    assert_eq!(may_enter(&fold(&entries), Station::Outbound), []);
    entries.push(at(52, cell(&[CellFinding::Hissing])));
    check_block(&entries, Station::Outbound, Block::CellNotClear);
    assert_eq!(fold(&entries).holds, [HoldReason::CellInIsolation]);
}

#[test]
fn a_damaged_cell_that_goes_back_is_looked_at_until_its_parcel_has_left() {
    let mut entries = story(18);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    let before = fold(&entries).cell_state;
    entries.push(at(51, goes_back()));
    let job = fold(&entries);
    assert!(job.cell_state.is_isolated() && job.cell_state.left.is_none());
    assert_eq!(job.cell_state.next_reading, before.next_reading);
    assert!(before.next_reading.is_some());
    assert_eq!(job.holds, [], "it may be packed");
}

#[test]
fn a_check_that_is_taken_back_after_its_cell_was_taken_out_asks_for_no_other() {
    let mut entries = unchecked(11);
    entries.push(at(50, cell(&[CellFinding::Swollen])));
    entries.push(at(51, removal()));
    entries.push(at(52, withdrawn(50)));
    assert_eq!(may_enter(&fold(&entries), Station::Work), []);
}
