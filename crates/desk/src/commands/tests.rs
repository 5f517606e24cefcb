//! What the command table promises as a whole; single commands are told by the journeys.

use super::{NAMES, WAITS_FOR_NOBODY};

#[test]
fn every_command_that_waits_for_nobody_is_a_command() {
    for name in WAITS_FOR_NOBODY {
        assert!(NAMES.contains(name), "{name}");
    }
}

#[test]
fn the_typescript_holds_every_command_once() {
    let typescript = crate::typescript::generated();
    for name in NAMES {
        assert_eq!(
            typescript.matches(&format!("call(\"{name}\",")).count(),
            1,
            "{name}"
        );
    }
}

#[test]
fn no_type_in_the_typescript_is_a_large_integer() {
    assert!(!crate::typescript::generated().contains("bigint"));
}

#[test]
fn a_count_that_is_taken_back_leaves_no_job_of_an_extra_device() {
    use super::bench::closing::{Withdraw, withdraw};
    use super::dock::{CountParcel, ParcelKey, count_parcel, parcel};
    use super::rack::{RackFilter, rack};

    let bench = crate::watch::tests::bench();
    let job_id = bench.job();
    let parcel_id = bench
        .desk
        .job(job_id)
        .expect("the job")
        .parcel_id
        .expect("its parcel");
    let counted = parcel(&bench.desk, ParcelKey { parcel_id })
        .expect("the parcel")
        .parcel
        .count
        .expect("its count");
    let withdrawal = Withdraw {
        subject: domain::Subject::Parcel(parcel_id),
        entry_id: counted.mark.entry_id,
        reason: "counted the wrong box".to_owned(),
    };
    withdraw(&bench.desk, withdrawal).expect("is taken back");
    let all = RackFilter {
        with_returned: true,
        ..RackFilter::default()
    };
    let rows = rack(&bench.desk, all).expect("the rack").rows;
    assert!(rows.iter().all(|row| row.job_id != job_id), "{rows:?}");
    let again = CountParcel {
        parcel_id,
        found: Vec::new(),
        extra: Vec::new(),
        note: String::new(),
    };
    assert!(
        count_parcel(&bench.desk, again).is_err(),
        "nothing is counted any more"
    );
}

#[test]
fn the_rack_finds_a_job_by_the_name_of_its_shop_and_a_word_of_its_own() {
    use super::rack::{RackFilter, rack};

    let bench = crate::watch::tests::bench();
    let job_id = bench.job();
    let row = bench
        .desk
        .job_row(job_id)
        .expect("the row")
        .expect("the job");
    let check = |words: String, found: bool| {
        let filter = RackFilter {
            words: words.clone(),
            ..RackFilter::default()
        };
        let rows = rack(&bench.desk, filter).expect("the rack").rows;
        assert_eq!(
            rows.iter().any(|row| row.job_id == job_id),
            found,
            "{words}"
        );
    };
    let shop = row.shop_name.to_uppercase();
    check(shop.clone(), true);
    check(format!("{shop} {}", row.reference), true);
    check(format!("{shop} elsewhere"), false);
}

#[test]
fn a_listener_that_hears_no_more_is_forgotten() {
    use std::ops::ControlFlow;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicU32, Ordering};

    let bench = crate::watch::tests::bench();
    let heard = Arc::new(AtomicU32::new(0));
    let count = Arc::clone(&heard);
    bench.desk.on_change(Arc::new(move |_| {
        count.fetch_add(1, Ordering::Relaxed);
        ControlFlow::Break(())
    }));
    bench.desk.tell(&crate::desk::Changed::Sync);
    bench.desk.tell(&crate::desk::Changed::Sync);
    assert_eq!(heard.load(Ordering::Relaxed), 1);
}
