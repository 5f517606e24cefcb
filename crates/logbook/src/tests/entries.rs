//! One entry: every changed field is seen, and a redacted payload is not missed.

use super::*;

fn check(change: impl FnOnce(&mut Entry), expected: &str) {
    let mut entry = sealed(stream(1), 2).pop().unwrap();
    verify_entry(&entry, &public_key(&key())).unwrap();
    change(&mut entry);
    let error = verify_entry(&entry, &public_key(&key()))
        .unwrap_err()
        .to_string();
    assert!(error.contains(expected), "{error}");
}

#[test]
fn a_changed_payload_is_seen() {
    check(|entry| entry.payload.as_mut().unwrap()[0] ^= 1, "payload");
}

#[test]
fn a_changed_salt_is_seen() {
    check(
        |entry| entry.payload_salt = Some(Salt::from_bytes([9; 16])),
        "payload",
    );
}

#[test]
fn a_salt_without_a_payload_is_seen() {
    check(|entry| entry.payload = None, "only one of payload and salt");
}

#[test]
fn a_changed_actor_is_seen() {
    check(|entry| entry.actor_id = PersonId::new(uuid(5)), "hash");
}

#[test]
fn a_changed_clock_is_seen() {
    check(|entry| entry.hlc_counter += 1, "hash");
}

#[test]
fn a_changed_kind_is_seen() {
    check(
        |entry| entry.kind = Kind::new("note.removed").unwrap(),
        "hash",
    );
}

#[test]
fn a_changed_subject_is_seen() {
    check(|entry| entry.subject.id = uuid(6), "hash");
}

#[test]
fn an_added_base_is_seen() {
    check(|entry| entry.based_on.push(EntryId::new(uuid(7))), "hash");
}

#[test]
fn a_claimed_reissue_is_seen() {
    check(
        |entry| {
            entry.reissued_from = Some(ReissuedFrom {
                stream_id: stream(2),
                stream_seq: 1,
            });
        },
        "hash",
    );
}

#[test]
fn a_position_of_zero_is_refused() {
    check(|entry| entry.stream_seq = 0, "count from 1");
}

#[test]
fn a_signature_of_another_key_is_seen() {
    let other = SigningKey::from_bytes(&[8; 32]);
    check(
        |entry| entry.signature = sign_digest(&other, entry.hash.as_bytes()),
        "signature",
    );
}

#[test]
fn a_redacted_entry_still_verifies() {
    let mut entries = sealed(stream(1), 3);
    entries[1].payload = None;
    entries[1].payload_salt = None;
    let head = verify_stream(Head::empty(stream(1)), &entries, &public_key(&key())).unwrap();
    assert_eq!(head.seq, 3);
    assert_eq!(recorded(&entries[1]), Err(NotFoldable::Redacted));
}

#[test]
fn equal_payloads_with_other_salts_have_other_hashes() {
    assert_ne!(
        payload_hash(&Salt::from_bytes([1; 16]), b"1234"),
        payload_hash(&Salt::from_bytes([2; 16]), b"1234")
    );
}

#[test]
fn at_most_64_bases_are_taken() {
    let with = |count: u128| Draft {
        based_on: (0..count).map(|n| EntryId::new(uuid(n))).collect(),
        ..draft(1)
    };
    assert!(seal(with(64), &Head::empty(stream(1)), Hlc::default(), &key()).is_ok());
    let error = seal(with(65), &Head::empty(stream(1)), Hlc::default(), &key()).unwrap_err();
    assert_eq!(error, SealError::TooManyBasedOn { count: 65 });
}

#[test]
fn a_full_stream_takes_no_more() {
    let full = Head {
        seq: u64::try_from(i64::MAX).unwrap(),
        ..Head::empty(stream(1))
    };
    assert!(matches!(
        seal(draft(1), &full, Hlc::default(), &key()),
        Err(SealError::StreamFull { .. })
    ));
}

#[test]
fn a_reissue_says_the_same_and_stands_elsewhere() {
    let entry = sealed(stream(1), 4).pop().unwrap();
    let again = reissue(&entry, &Head::empty(stream(2)), &key()).unwrap();
    verify_entry(&again, &public_key(&key())).unwrap();
    assert_eq!((again.stream_id, again.stream_seq), (stream(2), 1));
    assert_eq!(
        again.reissued_from,
        Some(ReissuedFrom {
            stream_id: stream(1),
            stream_seq: 4
        })
    );
    assert_eq!(content_hash(&again), content_hash(&entry));
    assert_ne!(again.hash, entry.hash);
    let third = reissue(&again, &Head::empty(stream(3)), &key()).unwrap();
    assert_eq!(
        third.reissued_from, again.reissued_from,
        "the first place is kept"
    );
}

#[test]
fn the_stated_wire_size_is_never_too_small() {
    for payload_len in [0, 1, 2, 3, 1_000, 100_000] {
        let entry = seal(
            Draft {
                kind: Kind::new(&format!("{}.{}", "n".repeat(31), "v".repeat(32))).unwrap(),
                kind_version: u16::MAX,
                min_reader: u16::MAX,
                subject: SubjectRef {
                    tag: "t".repeat(64),
                    id: uuid(1),
                },
                based_on: (0..64).map(|n| EntryId::new(uuid(n))).collect(),
                payload: vec![255; payload_len],
                ..draft(1)
            },
            &Head {
                seq: u64::try_from(i64::MAX).unwrap() - 1,
                ..Head::empty(stream(1))
            },
            Hlc {
                ms: u64::MAX,
                counter: u32::MAX,
            },
            &key(),
        )
        .unwrap();
        let moved = Entry {
            reissued_from: Some(ReissuedFrom {
                stream_id: stream(2),
                stream_seq: u64::MAX,
            }),
            ..entry
        };
        let json = serde_json::to_vec(&moved).unwrap();
        assert!(
            json.len() <= moved.wire_bytes_max(),
            "{} > {}",
            json.len(),
            moved.wire_bytes_max()
        );
    }
}
