//! Entries from elsewhere: proofs, forks, cursors, erasures.

use domain::fact::{PasscodeDestruction, SealedPasscode};
use logbook::Hlc;

use super::*;

/// Takes in `from`'s whole log as one page after `to`'s cursor.
fn send(from: &Bench, to: &Bench) -> Ingested {
    let cursor = cursor_of(to);
    let entries = from.log();
    let streams = from
        .store
        .stream_heads()
        .unwrap()
        .into_iter()
        .map(|head| head.stream)
        .collect();
    to.store.ingest(&page(&cursor, entries, streams)).unwrap()
}

fn cursor_of(bench: &Bench) -> Cursor {
    bench.store.cursor().unwrap().unwrap_or_else(|| {
        let start = Cursor::start(EPOCH);
        bench.store.set_cursor(&start).unwrap();
        start
    })
}

#[test]
fn what_another_desktop_recorded_is_shown_here() {
    let (one, two) = (Bench::new(1), Bench::new(2));
    one.say(1, "from one");
    two.say(1, "from two");
    assert_eq!(
        send(&one, &two),
        Ingested {
            stored: 1,
            known: 0,
            forks: 0
        }
    );
    two.fold_all();
    assert_eq!(two.shown(1).len(), 2);
    assert_eq!(
        two.store.outbox().unwrap().entries,
        1,
        "what came from elsewhere is not sent back"
    );
}

#[test]
fn a_page_taken_twice_changes_nothing() {
    let (one, two) = (Bench::new(1), Bench::new(2));
    one.say(1, "once");
    send(&one, &two);
    assert_eq!(
        send(&one, &two),
        Ingested {
            stored: 0,
            known: 1,
            forks: 0
        }
    );
    assert_eq!(two.store.entry_count().unwrap(), 1);
}

#[test]
fn the_order_of_arrival_does_not_change_what_is_shown() {
    let benches = [Bench::new(1), Bench::new(2), Bench::new(3)];
    for (index, bench) in benches.iter().enumerate() {
        for n in 0..4 {
            bench
                .clock
                .0
                .fetch_add(7 * index as u64, std::sync::atomic::Ordering::SeqCst);
            bench.say(1, &format!("{index}.{n}"));
        }
    }
    let (forward, backward) = (Bench::new(4), Bench::new(5));
    for bench in &benches {
        send(bench, &forward);
    }
    for bench in benches.iter().rev() {
        send(bench, &backward);
    }
    forward.fold_all();
    backward.fold_all();
    assert_eq!(forward.shown(1).len(), 12);
    assert_eq!(forward.shown(1), backward.shown(1));
}

/// Checks that a page changed by `change` is refused with these words and leaves entries and cursor as they were.
fn check_refused(change: impl FnOnce(&mut Page), words: &str) {
    let (one, two) = (Bench::new(1), Bench::new(2));
    one.say(1, "a");
    one.say(1, "b");
    let cursor = cursor_of(&two);
    let mut changed = page(&cursor, one.log(), vec![one.info()]);
    change(&mut changed);
    let error = two.store.ingest(&changed).unwrap_err();
    assert!(
        format!("{error} {error:?}").contains(words),
        "{error} {error:?}"
    );
    assert_eq!(two.store.entry_count().unwrap(), 0);
    assert_eq!(two.store.cursor().unwrap(), Some(cursor));
}

fn redigest(page: &mut Page) {
    let digest = page.entries.iter().fold(LogDigest::EMPTY, |digest, entry| {
        advance_digest(&digest, &entry.hash)
    });
    page.cursor.digest = digest;
    page.cursor.log_position = page.entries.len() as u64;
}

#[test]
fn a_changed_payload_is_refused() {
    check_refused(
        |page| page.entries[1].payload = Some(b"{}".to_vec()),
        "does not prove itself",
    );
}

#[test]
fn an_entry_of_another_lab_is_refused() {
    check_refused(
        |page| page.entries[0].lab_id = LabId::from_bytes([1; 16]),
        "another lab",
    );
}

#[test]
fn a_page_with_a_hole_is_refused() {
    check_refused(
        |page| {
            page.entries.remove(0);
            redigest(page);
        },
        "position 2",
    );
}

#[test]
fn a_stream_without_its_key_is_refused() {
    check_refused(|page| page.streams.clear(), "without its key");
}

#[test]
fn a_digest_that_does_not_follow_is_refused() {
    check_refused(
        |page| page.cursor.digest = LogDigest::from_bytes([1; 32]),
        "does not continue",
    );
}

#[test]
fn another_epoch_is_refused() {
    check_refused(
        |page| page.cursor.log_epoch = Uuid::from_u128(1),
        "does not continue",
    );
}

#[test]
fn a_stream_under_another_key_than_before_is_refused() {
    let (one, two, three) = (Bench::new(1), Bench::new(2), Bench::new(3));
    one.say(1, "a");
    send(&one, &two);
    let cursor = cursor_of(&two);
    let forged = StreamInfo {
        public_key: three.info().public_key,
        ..one.info()
    };
    let error = two
        .store
        .ingest(&page(&cursor, vec![], vec![forged]))
        .unwrap_err();
    assert!(matches!(error, StoreError::StreamKey { .. }), "{error}");
}

#[test]
fn a_clock_three_days_ahead_elsewhere_moves_ours_by_ten_minutes() {
    use std::sync::atomic::Ordering;
    let (one, two) = (Bench::new(1), Bench::new(2));
    one.clock
        .0
        .store(NOON_MS + 3 * 86_400_000, Ordering::SeqCst);
    one.say(1, "from the future");
    send(&one, &two);
    assert_eq!(
        two.store.installation().unwrap().hlc,
        Hlc {
            ms: NOON_MS + 600_000,
            counter: 1
        }
    );
    two.fold_all();
    assert_eq!(two.shown(1).len(), 1, "the fact is taken all the same");
}

/// A copy of `bench`'s folder, nonce file and all: what imaging a disk makes.
fn clone_disk(bench: &Bench, seed: u64) -> Bench {
    bench.store.checkpoint().unwrap();
    let dir = tempfile::tempdir().unwrap();
    for folder in ["data", "config"] {
        std::fs::create_dir_all(dir.path().join(folder)).unwrap();
    }
    std::fs::copy(bench.store.path(), dir.path().join("data").join(FILE_NAME)).unwrap();
    std::fs::copy(
        bench.dir.path().join("config/installation"),
        dir.path().join("config/installation"),
    )
    .unwrap();
    let (ports, clock) = ports(seed);
    let store = Store::open(&options(dir.path()), ports, Arc::new(Listing(1))).unwrap();
    Bench { store, clock, dir }
}

#[test]
fn two_copies_of_one_disk_lose_nothing() {
    let one = Bench::new(1);
    one.say(1, "before");
    let two = clone_disk(&one, 2);
    assert_eq!(two.info(), one.info(), "nothing tells them apart yet");
    one.say(1, "by the original");
    let in_copy = two.say(1, "by the copy");
    let later = two.say(2, "also by the copy");
    assert_eq!(send(&one, &two).forks, 1);
    two.fold_all();
    let shown = two.shown(1).join("|");
    assert!(
        ["before", "by the original", "by the copy"]
            .iter()
            .all(|text| shown.contains(text)),
        "{shown}"
    );
    assert_eq!(two.shown(1).len(), 3);
    assert_eq!(two.shown(2).len(), 1);
    let again = two.store.envelope(in_copy.entry_id).unwrap().unwrap();
    assert_ne!(again.stream_id, one.info().stream_id);
    assert_eq!(again.reissued_from.unwrap().stream_seq, in_copy.stream_seq);
    assert_eq!(
        logbook::content_hash(&again),
        logbook::content_hash(&in_copy)
    );
    let aside: Vec<_> = two
        .store
        .set_aside()
        .unwrap()
        .iter()
        .map(|aside| aside.entry_id)
        .collect();
    assert_eq!(aside, vec![later.entry_id, in_copy.entry_id]);
    assert!(
        two.store
            .verify_all()
            .unwrap()
            .iter()
            .all(|report| report.problem.is_none())
    );
    assert_eq!(two.say(1, "goes on").stream_id, again.stream_id);
}

#[test]
fn a_server_that_knows_our_stream_further_makes_us_open_a_new_one() {
    let one = Bench::new(1);
    one.say(1, "before");
    let old = clone_disk(&one, 2);
    one.say(1, "after");
    assert_eq!(
        send(&one, &old),
        Ingested {
            stored: 1,
            known: 1,
            forks: 0
        }
    );
    assert_ne!(old.info().stream_id, one.info().stream_id);
}

#[test]
fn an_entry_the_server_refuses_is_set_aside_and_the_later_ones_go_on_elsewhere() {
    let bench = Bench::new(1);
    let entries: Vec<Entry> = ["a", "b", "c"]
        .iter()
        .map(|text| bench.say(1, text))
        .collect();
    bench
        .store
        .set_refused_aside(entries[1].stream_id, 2, "too strange")
        .unwrap();
    assert_eq!(bench.shown(1).len(), 2);
    let aside = bench.store.set_aside().unwrap();
    assert_eq!(aside.len(), 2);
    assert_eq!(
        (aside[1].entry_id, aside[1].reissued),
        (entries[1].entry_id, None)
    );
    assert_eq!(aside[1].reason, "too strange");
    assert_eq!(bench.store.outbox().unwrap().entries, 2);
    assert!(
        bench
            .store
            .verify_all()
            .unwrap()
            .iter()
            .all(|report| report.problem.is_none())
    );
}

fn sealed_passcode(bench: &Bench) -> Entry {
    let sealed = Fact::PasscodeSealed(SealedPasscode {
        sealed: "secret-ciphertext".into(),
    });
    bench
        .store
        .append(person(), vec![NewEntry::fact(job(1), &sealed)])
        .unwrap()
        .entries
        .remove(0)
}

fn destroy(bench: &Bench, sealed: &Entry) {
    let fact = Fact::PasscodeDestroyed(PasscodeDestruction {
        sealed_entry_id: sealed.entry_id,
    });
    bench
        .store
        .append(person(), vec![NewEntry::fact(job(1), &fact)])
        .unwrap();
}

/// Whether the bytes can be read anywhere in the file or beside it.
fn holds_bytes(bench: &Bench, bytes: &[u8]) -> bool {
    let folder = bench.store.path().parent().unwrap();
    std::fs::read_dir(folder).unwrap().any(|file| {
        let whole = std::fs::read(file.unwrap().path()).unwrap();
        whole.windows(bytes.len()).any(|window| window == bytes)
    })
}

#[test]
fn a_destroyed_passcode_leaves_the_disk_and_its_stream_still_verifies() {
    let bench = Bench::new(1);
    let sealed = sealed_passcode(&bench);
    assert!(holds_bytes(&bench, b"secret-ciphertext"));
    destroy(&bench, &sealed);
    assert!(!holds_bytes(&bench, b"secret-ciphertext"));
    assert_eq!(
        bench
            .store
            .envelope(sealed.entry_id)
            .unwrap()
            .unwrap()
            .payload,
        None
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
fn a_passcode_that_arrives_after_its_destruction_is_not_kept() {
    let (one, two, three) = (Bench::new(1), Bench::new(2), Bench::new(3));
    let sealed = sealed_passcode(&one);
    destroy(&two, &sealed);
    send(&two, &three);
    send(&one, &three);
    assert_eq!(
        three
            .store
            .envelope(sealed.entry_id)
            .unwrap()
            .unwrap()
            .payload,
        None
    );
    assert!(!holds_bytes(&three, b"secret-ciphertext"));
}

#[test]
fn only_a_sealed_passcode_of_the_same_job_can_be_erased() {
    let bench = Bench::new(1);
    let note = bench.say(1, "an ordinary note");
    destroy(&bench, &note);
    assert!(
        bench
            .store
            .envelope(note.entry_id)
            .unwrap()
            .unwrap()
            .payload
            .is_some()
    );
}

#[test]
fn checkpoints_are_sparse_and_end_with_the_cursor() {
    let (one, two) = (Bench::new(1), Bench::new(2));
    let entries = (0..1_200)
        .map(|n| note(job(u8::try_from(n % 7).unwrap()), "x"))
        .collect();
    one.store.append(person(), entries).unwrap();
    let log = one.log();
    for chunk in log.chunks(100) {
        two.store
            .ingest(&page(&cursor_of(&two), chunk.to_vec(), vec![one.info()]))
            .unwrap();
    }
    let positions: Vec<u64> = two
        .store
        .checkpoints()
        .unwrap()
        .into_iter()
        .map(|(position, _)| position)
        .collect();
    assert_eq!(positions, vec![500, 1_000, 1_200]);
    two.store.set_cursor(&Cursor::start(EPOCH)).unwrap();
    assert_eq!(
        two.store.checkpoints().unwrap(),
        vec![(0, LogDigest::EMPTY)]
    );
}
