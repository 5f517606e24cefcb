//! Recording and reading back.

use std::sync::atomic::Ordering;
use std::sync::{Arc, Mutex};

use domain::{EntryId, ShopId};
use logbook::verify_entry;
use sync_protocol::limits::PAYLOAD_BYTES_MAX;

use super::*;

#[test]
fn what_is_recorded_is_shown_listed_found_and_queued() {
    let bench = Bench::new(1);
    let entry = bench.say(1, "first light");
    assert_eq!(bench.shown(1).len(), 1);
    assert!(bench.shown(1)[0].contains("first light"));
    assert_eq!(
        bench
            .store
            .lookup_code(&entry.entry_id.to_string())
            .unwrap(),
        vec![("entry".to_owned(), job(1))]
    );
    assert_eq!(
        bench.store.outbox().unwrap(),
        Outbox {
            entries: 1,
            oldest_ms: Some(NOON_MS)
        }
    );
    let filter = Filter {
        words: vec![word("First", &[]), word("light", &[])],
        ..Filter::all("job")
    };
    assert_eq!(bench.store.projections(&filter).unwrap().len(), 1);
    assert_eq!(
        bench
            .store
            .projection_count(&Filter {
                words: vec![word("dark", &[])],
                ..Filter::all("job")
            })
            .unwrap(),
        0
    );
}

fn word(text: &str, or_of_shops: &[ShopId]) -> SearchWord {
    SearchWord {
        text: text.to_owned(),
        or_of_shops: or_of_shops.to_vec(),
    }
}

#[test]
fn one_action_on_two_subjects_is_one_transaction_and_both_are_announced() {
    let bench = Bench::new(1);
    let heard = Arc::new(Mutex::new(Vec::new()));
    let listener = heard.clone();
    bench.store.on_change(Arc::new(move |changed| {
        listener.lock().unwrap().push(changed.to_vec());
    }));
    let appended = bench
        .store
        .append(
            person(),
            vec![note(job(1), "a"), note(job(2), "b"), note(job(1), "c")],
        )
        .unwrap();
    assert_eq!(appended.changed, vec![job(1), job(2)]);
    assert_eq!(*heard.lock().unwrap(), vec![vec![job(1), job(2)]]);
    assert_eq!(
        appended
            .entries
            .iter()
            .map(|entry| entry.stream_seq)
            .collect::<Vec<_>>(),
        vec![1, 2, 3]
    );
}

#[test]
fn a_stream_written_here_is_dense_chained_and_signed() {
    let bench = Bench::new(1);
    for n in 0..20 {
        bench.say(n % 3, "x");
    }
    let report = bench.store.verify_all().unwrap().remove(0);
    assert_eq!((report.head.seq, report.problem), (20, None));
    let key = bench.info().public_key;
    assert!(
        bench
            .log()
            .iter()
            .all(|entry| verify_entry(entry, &key).is_ok())
    );
}

#[test]
fn the_clock_never_runs_backwards_even_when_the_computers_does() {
    let bench = Bench::new(1);
    let first = bench.say(1, "a");
    bench.clock.0.store(NOON_MS - 86_400_000, Ordering::SeqCst);
    let second = bench.say(1, "b");
    assert!(second.hlc() > first.hlc());
    let reopened = bench.reopen(1);
    assert!(reopened.say(1, "c").hlc() > second.hlc());
}

#[test]
fn a_refusal_while_deciding_leaves_nothing_behind() {
    let bench = Bench::new(1);
    let refused: Result<Appended, StoreError> =
        bench.store.record(person(), |_| Err(StoreError::NoLab));
    assert!(refused.is_err());
    assert_eq!(bench.store.entry_count().unwrap(), 0);
}

#[test]
fn deciding_sees_what_was_recorded_just_before() {
    let bench = Bench::new(1);
    bench.say(1, "one");
    let appended: Result<Appended, StoreError> = bench.store.record(person(), |reading| {
        let seen: Vec<EntryId> = reading
            .entries_of(job(1))?
            .iter()
            .map(|entry| entry.entry_id)
            .collect();
        Ok(vec![note(job(1), "two").based_on(seen)])
    });
    assert_eq!(appended.unwrap().entries[0].based_on.len(), 1);
}

/// Checks that an action is refused with these words and that nothing of it is left.
fn check_refused(entries: Vec<NewEntry>, words: &str) {
    let bench = Bench::new(1);
    let error = bench
        .store
        .append(person(), entries)
        .unwrap_err()
        .to_string();
    assert!(error.contains(words), "{error}");
    assert_eq!(bench.store.entry_count().unwrap(), 0);
    assert_eq!(bench.store.outbox().unwrap().entries, 0);
}

#[test]
fn nothing_is_not_an_action() {
    check_refused(vec![], "at least one entry");
}

#[test]
fn what_the_server_would_refuse_for_good_is_refused_when_written() {
    let large = NewEntry {
        payload: vec![b'x'; PAYLOAD_BYTES_MAX + 1],
        ..note(job(1), "x")
    };
    check_refused(vec![note(job(1), "goes with it"), large], "too large");
    check_refused(
        vec![NewEntry {
            kind: "Not A Kind".into(),
            ..note(job(1), "x")
        }],
        "not an entry kind",
    );
    let based_on = (0..65).map(|n| EntryId::from_bytes([n; 16])).collect();
    check_refused(vec![note(job(1), "x").based_on(based_on)], "at most 64");
}

#[test]
fn the_largest_payload_is_taken() {
    let bench = Bench::new(1);
    let large = NewEntry {
        payload: vec![b'x'; PAYLOAD_BYTES_MAX],
        ..note(job(1), "x")
    };
    assert!(bench.store.append(person(), vec![large]).is_ok());
}

#[test]
fn without_a_lab_nothing_is_recorded_and_a_second_lab_is_refused() {
    let bench = Bench::without_lab(1);
    assert!(matches!(
        bench.store.append(person(), vec![note(job(1), "x")]),
        Err(StoreError::NoLab)
    ));
    bench.store.set_lab(lab()).unwrap();
    bench.store.set_lab(lab()).unwrap();
    let other = LabId::from_bytes([1; 16]);
    assert!(matches!(
        bench.store.set_lab(other),
        Err(StoreError::OtherLab { .. })
    ));
}

#[test]
fn an_unknown_kind_is_kept_and_counted_and_folded_after_an_upgrade() {
    let bench = Bench::new(1);
    let future = NewEntry {
        kind: "moon.landed".into(),
        ..note(job(1), "x")
    };
    bench.store.append(person(), vec![future]).unwrap();
    assert_eq!(bench.shown(1), vec!["unknown moon.landed"]);
    assert_eq!(bench.store.unknown_count().unwrap(), 1);
    assert_eq!(
        bench
            .store
            .projection(job(1))
            .unwrap()
            .unwrap()
            .unknown_count,
        1
    );
}

#[test]
fn another_fold_version_folds_everything_again() {
    let bench = Bench::new(1);
    bench.say(1, "kept");
    let marker = r#"["made up"]"#;
    bench
        .store
        .transact("breaking a projection", |writing| {
            writing
                .tx
                .execute("UPDATE projections SET summary_json = ?1", [marker])
                .map(drop)
                .map_err(StoreError::database("breaking a projection"))
        })
        .unwrap();
    let same = bench.reopen(1);
    assert_eq!(
        same.shown(1),
        vec!["made up"],
        "the same version trusts its projections"
    );
    let newer = same.reopen(2);
    assert!(newer.shown(1)[0].contains("kept"));
}

#[test]
fn lists_come_in_the_order_asked_for_and_in_pages() {
    let bench = Bench::new(1);
    for (n, times) in [(1, 3), (2, 1), (3, 2)] {
        for _ in 0..times {
            bench.clock.0.fetch_add(1, Ordering::SeqCst);
            bench.say(n, "x");
        }
    }
    let subjects = |filter: &Filter| {
        bench
            .store
            .projections(filter)
            .unwrap()
            .into_iter()
            .map(|summary| summary.subject)
            .collect::<Vec<_>>()
    };
    assert_eq!(subjects(&Filter::all("job")), vec![job(2), job(3), job(1)]);
    let latest = Filter {
        order: Order::Latest,
        ..Filter::all("job")
    };
    assert_eq!(subjects(&latest), vec![job(3), job(2), job(1)]);
    assert_eq!(
        subjects(&Filter {
            limit: 1,
            offset: 1,
            ..latest
        }),
        vec![job(2)]
    );
    assert_eq!(
        subjects(&Filter {
            stages: vec!["busy".into()],
            ..Filter::all("job")
        }),
        vec![job(1)]
    );
    assert_eq!(
        subjects(&Filter {
            is_open: Some(false),
            ..Filter::all("job")
        }),
        vec![]
    );
}
