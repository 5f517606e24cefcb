//! The questions that a check asks of a desk: what it shows, whether it is sound and like another, and how it refused.

use desk::commands::bench::JobKey;
use desk::commands::rack::{RackFilter, rack};
use desk::commands::start::{DeskState, state};
use desk::commands::{Nothing, bench, dock, setup, shops};
use desk::{Desk, DeskError, EdgeError};
use domain::JobId;
use domain::job::Job;

/// One job.
pub fn job(desk: &Desk, job_id: JobId) -> Job {
    bench::job(desk, JobKey { job_id })
        .expect("the job is known")
        .job
}

/// Every job that a desktop knows.
pub fn all_jobs(desk: &Desk) -> Vec<Job> {
    let filter = RackFilter {
        with_returned: true,
        ..RackFilter::default()
    };
    let mut rows = rack(desk, filter).expect("the rack can be read").rows;
    rows.sort_by_key(|row| row.job_id);
    rows.into_iter().map(|row| job(desk, row.job_id)).collect()
}

/// Checks that two desktops show the same of everything.
pub fn assert_same(one: &Desk, other: &Desk) {
    let jobs = all_jobs(one);
    assert_eq!(jobs, all_jobs(other));
    assert_eq!(one.lab().expect("a lab"), other.lab().expect("a lab"));
    for shop in shops::shops(one, Nothing {}).expect("shops").rows {
        let key = shops::ShopKey {
            shop_id: shop.shop.shop_id,
        };
        let (left, right) = (
            shops::shop(one, key).expect("it is known"),
            shops::shop(other, key).expect("it is known"),
        );
        assert_eq!((left.shop, left.jobs), (right.shop, right.jobs));
        assert_eq!(left.parcels, right.parcels);
        for row in left.parcels {
            let key = dock::ParcelKey {
                parcel_id: row.parcel_id,
            };
            let parcel = |desk| dock::parcel(desk, key).expect("it is known").parcel;
            assert_eq!(parcel(one), parcel(other));
        }
    }
}

/// What the screen shows around every place.
pub fn state_of(desk: &Desk) -> DeskState {
    state(desk, Nothing {}).expect("the state can be read")
}

/// Entries in a desktop's logbook.
pub fn entry_count(desk: &Desk) -> u64 {
    setup::setup(desk, Nothing {})
        .expect("the setup can be read")
        .entries
}

/// Checks every entry of a desktop's logbook.
pub fn assert_sound(desk: &Desk) {
    let verified = setup::verify_logbook(desk, Nothing {}).expect("the logbook can be read");
    assert_eq!(verified.trouble, Vec::<String>::new());
    assert_eq!(verified.entries, entry_count(desk));
}

/// A refusal as the screen gets it.
#[track_caller]
pub fn refusal<T>(result: Result<T, DeskError>) -> EdgeError {
    match result {
        Ok(_) => panic!("this should have been refused"),
        Err(error) => EdgeError::from(error),
    }
}

/// Checks that something is refused in words that hold these.
#[track_caller]
pub fn check_refused<T>(result: Result<T, DeskError>, words: &str) {
    let said = refusal(result);
    assert!(said.message.contains(words), "{}", said.message);
}
