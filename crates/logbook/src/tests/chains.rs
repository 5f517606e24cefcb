//! Streams: gaps, doubles, forks, and where an arriving entry belongs.

use super::*;

fn check(change: impl FnOnce(&mut Vec<Entry>), expected: &str) {
    let mut entries = sealed(stream(1), 5);
    change(&mut entries);
    let error = verify_stream(Head::empty(stream(1)), &entries, &public_key(&key())).unwrap_err();
    assert!(format!("{error:?}").contains(expected), "{error:?}");
}

#[test]
fn a_missing_entry_is_seen() {
    check(|entries| drop(entries.remove(2)), "Gap");
}

#[test]
fn a_doubled_entry_is_seen() {
    check(|entries| entries.insert(3, entries[2].clone()), "Gap");
}

#[test]
fn swapped_entries_are_seen() {
    check(|entries| entries.swap(1, 2), "Gap");
}

#[test]
fn an_entry_of_another_stream_is_seen() {
    check(
        |entries| entries.push(sealed(stream(2), 1).remove(0)),
        "OtherStream",
    );
}

#[test]
fn a_replaced_entry_breaks_what_follows() {
    check(
        |entries| {
            let head = Head {
                stream_id: stream(1),
                seq: 1,
                hash: entries[0].hash,
            };
            entries[1] = seal(draft(99), &head, Hlc { ms: 5, counter: 0 }, &key()).unwrap();
        },
        "Broken",
    );
}

#[test]
fn a_stream_can_be_proved_in_pieces() {
    let entries = sealed(stream(1), 7);
    let key = public_key(&key());
    let whole = verify_stream(Head::empty(stream(1)), &entries, &key).unwrap();
    for cut in 0..=7 {
        let first = verify_stream(Head::empty(stream(1)), &entries[..cut], &key).unwrap();
        assert_eq!(verify_stream(first, &entries[cut..], &key).unwrap(), whole);
    }
}

#[test]
fn an_arriving_entry_finds_its_place() {
    let entries = sealed(stream(1), 5);
    let at = |seq: usize| Head {
        stream_id: stream(1),
        seq: seq as u64,
        hash: entries[seq - 1].hash,
    };
    assert_eq!(place(&at(3), None, &entries[3]), Placement::Next);
    assert_eq!(
        place(&at(3), Some(entries[1].hash), &entries[1]),
        Placement::AlreadyKnown
    );
    assert_eq!(
        place(&at(3), None, &entries[4]),
        Placement::MissingFrom { seq: 4 }
    );
    assert_eq!(
        place(&Head::empty(stream(1)), None, &entries[0]),
        Placement::Next
    );
}

#[test]
fn two_writers_of_one_stream_are_seen_at_the_same_position_and_at_the_next() {
    let entries = sealed(stream(1), 3);
    let head2 = Head {
        stream_id: stream(1),
        seq: 2,
        hash: entries[1].hash,
    };
    let other3 = seal(draft(50), &head2, Hlc { ms: 9, counter: 0 }, &key()).unwrap();
    let other4 = seal(
        draft(51),
        &Head {
            stream_id: stream(1),
            seq: 3,
            hash: other3.hash,
        },
        Hlc { ms: 9, counter: 1 },
        &key(),
    )
    .unwrap();
    let head3 = Head {
        stream_id: stream(1),
        seq: 3,
        hash: entries[2].hash,
    };
    assert_eq!(
        place(&head3, Some(entries[2].hash), &other3),
        Placement::Fork {
            known: entries[2].hash
        }
    );
    assert_eq!(
        place(&head3, None, &other4),
        Placement::Fork {
            known: entries[2].hash
        }
    );
}
