use desk::commands::rack::{RackFilter, rack};

use super::*;

#[test]
fn as_many_jobs_and_entries_as_asked_for_can_be_opened() {
    let folder = tempfile::tempdir().unwrap();
    let lab = folder.path().join("lab");
    let made = synthetic(&lab, 3_005, 300).unwrap();
    assert_eq!(made.jobs.len(), 300);
    let desk = Desk::open(DeskOptions::beside(&lab), Ports::system()).unwrap();
    let view = rack(&desk, RackFilter::default()).unwrap();
    assert_eq!(view.rows.len(), 300);
    let founding = made.entries - 3_005;
    assert!(founding < 100, "{founding} entries for the founding");
}

#[test]
fn too_few_entries_are_refused_with_the_reason() {
    let folder = tempfile::tempdir().unwrap();
    let refused = synthetic(&folder.path().join("lab"), 10, 10).unwrap_err();
    assert!(refused.to_string().contains("at least 3 entries"));
}
