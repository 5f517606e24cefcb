//! Full disks, killed processes, damage.

use std::io::{BufRead as _, BufReader};
use std::process::{Command, Stdio};

use super::*;

/// Fills a store that may not grow, with every kind of write, and checks that each failure is the sentence about a full disk
/// and leaves a whole file.
#[test]
fn a_full_disk_is_said_and_nothing_half_is_left() {
    let bench = Bench::new(1);
    bench.say(1, "fits");
    let size_bytes = std::fs::metadata(bench.store.path()).unwrap().len().max(1);
    bench
        .store
        .set_size_limit(Some(size_bytes + 64 * 1024))
        .unwrap();
    let mut saved = 1_u64;
    let error = loop {
        match bench.store.append(
            person(),
            vec![
                note(job(1), &"x".repeat(3_000)),
                note(job(2), &"y".repeat(3_000)),
            ],
        ) {
            Ok(_) => saved += 2,
            Err(error) => break error,
        }
        assert!(saved < 10_000, "the limit was never reached");
    };
    assert!(matches!(error, StoreError::DiskFull), "{error}");
    assert!(error.to_string().contains("the disk is full"));
    assert_eq!(bench.store.entry_count().unwrap(), saved);
    assert_eq!(bench.store.outbox().unwrap().entries, saved);
    bench.store.check_integrity().unwrap();
    bench.store.set_size_limit(None).unwrap();
    let entry = bench.say(1, "there is room again");
    assert_eq!(
        entry.stream_seq,
        saved + 1,
        "no position was spent on what was not saved"
    );
    assert!(
        bench
            .store
            .verify_all()
            .unwrap()
            .iter()
            .all(|report| report.problem.is_none())
    );
}

#[test]
fn a_full_disk_refuses_a_page_whole_and_it_comes_again() {
    let (one, two) = (Bench::new(1), Bench::new(2));
    one.store
        .append(
            person(),
            (0..200).map(|_| note(job(1), &"z".repeat(1_000))).collect(),
        )
        .unwrap();
    let start = Cursor::start(EPOCH);
    two.store.set_cursor(&start).unwrap();
    let whole = page(&start, one.log(), vec![one.info()]);
    two.store.set_size_limit(Some(220 * 1024)).unwrap();
    let error = two.store.ingest(&whole).unwrap_err();
    assert!(matches!(error, StoreError::DiskFull), "{error}");
    assert_eq!(
        (
            two.store.entry_count().unwrap(),
            two.store.cursor().unwrap()
        ),
        (0, Some(start))
    );
    two.store.set_size_limit(None).unwrap();
    assert_eq!(two.store.ingest(&whole).unwrap().stored, 200);
}

#[test]
fn a_changed_byte_in_the_file_is_found() {
    let bench = Bench::new(1);
    for n in 0..5 {
        bench.say(1, &format!("note {n}"));
    }
    bench
        .store
        .transact("tampering", |writing| {
            writing
                .tx
                .execute(
                    "UPDATE entries SET actor_id = ?1 WHERE stream_seq = 3",
                    [[1_u8; 16]],
                )
                .map(drop)
                .map_err(StoreError::database("tampering"))
        })
        .unwrap();
    let report = bench.store.verify_all().unwrap().remove(0);
    assert!(report.problem.is_some());
    assert_eq!(
        report.head.seq, 2,
        "what comes before the damage is vouched for, and no more"
    );
}

const CHILD_DIR: &str = "WAYBENCH_KILL_TEST_DIR";

/// Appends for ever, printing each position once it is saved. Does nothing unless the test below started it.
#[test]
fn appending_until_killed() {
    let Some(dir) = std::env::var_os(CHILD_DIR) else {
        return;
    };
    let store = Store::open(
        &options(Path::new(&dir)),
        Ports::system(),
        Arc::new(Listing(1)),
    )
    .unwrap();
    for n in 0_u64.. {
        let subject = job(u8::try_from(n % 50).unwrap());
        let appended = store
            .append(person(), vec![note(subject, "x"), note(job(99), "y")])
            .unwrap();
        println!("saved {}", appended.entries[1].stream_seq);
    }
}

#[test]
fn a_killed_process_has_kept_all_it_said_was_saved() {
    let bench = Bench::new(1);
    let Bench { store, dir, .. } = bench;
    drop(store);
    for round in 0..3 {
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args([
                "--exact",
                "store::tests::faults::appending_until_killed",
                "--nocapture",
            ])
            .env(CHILD_DIR, dir.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut said = 0_u64;
        let lines = BufReader::new(child.stdout.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let mut count = 0;
        for line in lines {
            if let Some((_, seq)) = line.split_once("saved ") {
                said = seq.parse().unwrap();
                count += 1;
            }
            if count == 40 + 7 * round {
                // SIGKILL on Unix: no destructor runs and nothing is flushed.
                child.kill().unwrap();
            }
        }
        child.wait().unwrap();
        let store =
            Store::open(&options(dir.path()), Ports::system(), Arc::new(Listing(1))).unwrap();
        store.check_integrity().unwrap();
        let report = store.verify_all().unwrap().remove(0);
        assert_eq!(report.problem, None);
        assert!(report.head.seq >= said, "{} < {said}", report.head.seq);
        assert_eq!(
            report.head.seq % 2,
            0,
            "an action of two entries is whole or absent"
        );
        assert_eq!(
            store.outbox().unwrap().entries,
            store.entry_count().unwrap()
        );
        let folded = store.projections(&Filter::all("job")).unwrap();
        let shown: i64 = folded.iter().filter_map(|summary| summary.due_ms).sum();
        assert_eq!(
            u64::try_from(shown).unwrap(),
            report.head.seq,
            "the projection is of the same commit"
        );
    }
}
