use std::collections::BTreeSet;

use desk::commands::rack::{RackFilter, rack};
use desk::ports::Ports;
use desk::{Desk, DeskOptions};
use domain::job::Stage;

use super::story::lay_out;
use super::*;
use crate::data::parcels::PARCELS;
use crate::data::{LAST_DAY, jobs};

#[test]
fn every_job_is_in_exactly_one_parcel() {
    let mut seen = BTreeSet::new();
    for key in PARCELS.iter().flat_map(|parcel| parcel.jobs) {
        assert!(seen.insert(*key), "{key} is in two parcels");
        jobs::plan(key);
    }
    assert_eq!(seen.len(), jobs::JOBS.len());
}

#[test]
fn the_story_ends_on_its_last_day() {
    let events = lay_out(
        Cast {
            plays: |_| true,
            returns: |_| true,
        },
        SEED,
    );
    let last = events.last().unwrap().0;
    assert!(last.day() <= LAST_DAY, "it ends on day {}", last.day());
}

#[test]
fn the_small_lab_opens_with_its_jobs_at_their_stages() {
    let folder = tempfile::tempdir().unwrap();
    let lab = folder.path().join("lab");
    let seeded = seed_small(&lab).unwrap();
    assert_eq!(seeded.jobs.len(), 8);
    let desk = Desk::open(DeskOptions::beside(&lab), Ports::system()).unwrap();
    let rows = rack(
        &desk,
        RackFilter {
            with_returned: true,
            ..RackFilter::default()
        },
    )
    .unwrap()
    .rows;
    assert_eq!(rows.len(), 8);
    let returned = rows
        .iter()
        .filter(|row| row.stage == Stage::Returned)
        .count();
    assert_eq!(returned, 3);
}
