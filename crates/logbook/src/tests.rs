//! Cases for the envelope. Golden bytes stand in `golden/`, computed by a Python script that shares no code with this crate.

use domain::{EntryId, LabId, PersonId, StreamId};
use proptest::prelude::*;
use uuid::Uuid;

use crate::*;

const SEED: [u8; 32] = [7; 32];

fn key() -> SigningKey {
    SigningKey::from_bytes(&SEED)
}

fn uuid(n: u128) -> Uuid {
    Uuid::from_u128(0x018f_0000_0000_7000_8000_0000_0000_0000 + n)
}

fn stream(n: u128) -> StreamId {
    StreamId::new(uuid(n))
}

fn draft(n: u128) -> Draft {
    Draft {
        entry_id: EntryId::new(uuid(n)),
        lab_id: LabId::new(uuid(1_000)),
        actor_id: PersonId::new(uuid(1_001)),
        kind: Kind::new("note.recorded").unwrap(),
        kind_version: 1,
        min_reader: 0,
        subject: SubjectRef {
            tag: "job".into(),
            id: uuid(1_002),
        },
        based_on: vec![],
        payload: format!("{{\"n\":{n}}}").into_bytes(),
        payload_salt: Salt::from_bytes([u8::try_from(n % 251).unwrap(); 16]),
    }
}

/// A sound stream of `len` entries.
fn sealed(id: StreamId, len: u128) -> Vec<Entry> {
    let mut head = Head::empty(id);
    let mut hlc = Hlc::default();
    (1..=len)
        .map(|n| {
            hlc = hlc.send(1_000 + u64::try_from(n).unwrap() / 3);
            let entry = seal(draft(n), &head, hlc, &key()).unwrap();
            head = Head {
                stream_id: id,
                seq: entry.stream_seq,
                hash: entry.hash,
            };
            entry
        })
        .collect()
}

mod golden {
    //! Source: `golden/recompute.py`, which computes headers and SHA-256 with Python's `struct` and `hashlib`, and Ed25519 with
    //! the package `cryptography` 48.0.0. Run once on 2026-11-25; `entries.json` is its output, unedited, and may never change.

    use serde::Deserialize;

    use super::*;

    #[derive(Deserialize)]
    struct Golden {
        seed_hex: String,
        public_key: PublicKey,
        entries: Vec<GoldenEntry>,
    }

    #[derive(Deserialize)]
    struct GoldenEntry {
        header_hex: String,
        hash_hex: String,
        content_hash_hex: String,
        entry: Entry,
    }

    fn golden() -> Golden {
        serde_json::from_str(include_str!("golden/entries.json")).unwrap()
    }

    #[test]
    fn headers_and_hashes_are_the_same_to_the_byte() {
        for golden in golden().entries {
            assert_eq!(
                hex::encode(canonical_header(&golden.entry)),
                golden.header_hex
            );
            assert_eq!(golden.entry.hash.to_string(), golden.hash_hex);
            assert_eq!(
                hex::encode(content_hash(&golden.entry)),
                golden.content_hash_hex
            );
        }
    }

    #[test]
    fn the_stream_verifies_with_its_key_and_with_no_other() {
        let golden = golden();
        let entries: Vec<Entry> = golden
            .entries
            .into_iter()
            .map(|golden| golden.entry)
            .collect();
        let head = verify_stream(
            Head::empty(entries[0].stream_id),
            &entries,
            &golden.public_key,
        )
        .unwrap();
        assert_eq!(head.seq, 3);
        assert!(
            verify_stream(
                Head::empty(entries[0].stream_id),
                &entries,
                &public_key(&key())
            )
            .is_err()
        );
    }

    #[test]
    fn sealing_the_same_draft_gives_the_same_bytes() {
        let golden = golden();
        let seed: [u8; 32] = hex::decode(golden.seed_hex).unwrap().try_into().unwrap();
        let signing = SigningKey::from_bytes(&seed);
        assert_eq!(public_key(&signing), golden.public_key);
        let mut head = Head::empty(golden.entries[0].entry.stream_id);
        for wanted in golden
            .entries
            .into_iter()
            .map(|golden| golden.entry)
            .filter(|entry| entry.reissued_from.is_none())
        {
            let made = seal(
                Draft {
                    entry_id: wanted.entry_id,
                    lab_id: wanted.lab_id,
                    actor_id: wanted.actor_id,
                    kind: wanted.kind.clone(),
                    kind_version: wanted.kind_version,
                    min_reader: wanted.min_reader,
                    subject: wanted.subject.clone(),
                    based_on: wanted.based_on.clone(),
                    payload: wanted.payload.clone().unwrap(),
                    payload_salt: wanted.payload_salt.unwrap(),
                },
                &head,
                wanted.hlc(),
                &signing,
            )
            .unwrap();
            assert_eq!(made, wanted);
            head = Head {
                stream_id: wanted.stream_id,
                seq: wanted.stream_seq,
                hash: wanted.hash,
            };
        }
    }

    #[test]
    fn json_written_again_is_the_same_value() {
        let stored: serde_json::Value =
            serde_json::from_str(include_str!("golden/entries.json")).unwrap();
        for (golden, stored) in golden()
            .entries
            .iter()
            .zip(stored["entries"].as_array().unwrap())
        {
            assert_eq!(
                serde_json::to_value(&golden.entry).unwrap(),
                stored["entry"]
            );
        }
    }
}

mod entries {
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
}

mod kinds {
    use super::*;

    fn check(text: &str, ok: bool) {
        assert_eq!(Kind::new(text).is_ok(), ok, "{text}");
    }

    #[test]
    fn a_kind_is_words_joined_by_full_stops() {
        for good in [
            "parcel.received",
            "shop.limit_set",
            "a.b",
            "bench2.x1",
            "cell.bay.moved",
        ] {
            check(good, true);
        }
        for bad in [
            "",
            ".",
            "parcel",
            "parcel.",
            ".received",
            "Parcel.received",
            "parcel..received",
            "parcel.rec eived",
            "pärcel.received",
            "parcel.1st",
            "parcel/received",
        ] {
            check(bad, false);
        }
    }

    #[test]
    fn a_kind_has_at_most_64_bytes() {
        check(&format!("a.{}", "b".repeat(62)), true);
        check(&format!("a.{}", "b".repeat(63)), false);
    }
}

mod chains {
    use super::*;

    fn check(change: impl FnOnce(&mut Vec<Entry>), expected: &str) {
        let mut entries = sealed(stream(1), 5);
        change(&mut entries);
        let error =
            verify_stream(Head::empty(stream(1)), &entries, &public_key(&key())).unwrap_err();
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
}

mod clock {
    use super::*;

    fn hlc(ms: u64, counter: u32) -> Hlc {
        Hlc { ms, counter }
    }

    #[test]
    fn a_later_wall_clock_is_taken_and_the_counter_starts_again() {
        assert_eq!(hlc(10, 4).send(11), hlc(11, 0));
    }

    #[test]
    fn an_equal_or_earlier_wall_clock_counts_on() {
        assert_eq!(hlc(10, 4).send(10), hlc(10, 5));
        assert_eq!(hlc(10, 4).send(3), hlc(10, 5));
    }

    #[test]
    fn a_full_counter_carries_into_the_milliseconds() {
        assert_eq!(hlc(10, u32::MAX).send(10), hlc(11, 0));
        assert_eq!(hlc(10, u32::MAX).send(9), hlc(11, 0));
    }

    #[test]
    fn a_clock_three_days_ahead_moves_ours_by_ten_minutes_at_most() {
        let wall_ms = 1_764_000_000_000;
        let three_days_ms = 3 * 24 * 60 * 60 * 1000;
        let after = hlc(wall_ms, 0).receive(hlc(wall_ms + three_days_ms, 5), wall_ms);
        assert_eq!(after, hlc(wall_ms + ADOPTION_MAX_MS, 1));
    }

    #[test]
    fn a_clock_nine_minutes_ahead_is_adopted() {
        let ahead = hlc(9 * 60 * 1000, 7);
        assert_eq!(hlc(0, 0).receive(ahead, 0), hlc(9 * 60 * 1000, 8));
    }

    #[test]
    fn a_wall_clock_set_back_never_turns_ours_back() {
        let ours = hlc(1_000_000_000, 3);
        assert_eq!(ours.receive(hlc(5, 0), 10), hlc(1_000_000_000, 4));
    }

    proptest! {
        #[test]
        fn each_event_is_later_than_all_before(
            steps in prop::collection::vec((any::<bool>(), 0_u64..2_000_000, 0_u64..2_000_000, any::<u32>()), 1..60)
        ) {
            let mut now = Hlc::default();
            for (is_send, wall_ms, remote_ms, counter) in steps {
                let before = now;
                now = if is_send { now.send(wall_ms) } else { now.receive(hlc(remote_ms, counter), wall_ms) };
                prop_assert!(now > before);
                prop_assert!(now.ms >= wall_ms);
                prop_assert!(now.ms <= before.ms.max(wall_ms + ADOPTION_MAX_MS) + 1);
            }
        }

        #[test]
        fn any_single_changed_byte_of_a_payload_is_seen(payload in prop::collection::vec(any::<u8>(), 1..200), at in any::<prop::sample::Index>(), flip in 1_u8..) {
            let mut entry = seal(Draft { payload, ..draft(1) }, &Head::empty(stream(1)), hlc(1, 0), &key()).unwrap();
            let payload = entry.payload.as_mut().unwrap();
            let at = at.index(payload.len());
            payload[at] ^= flip;
            prop_assert!(verify_entry(&entry, &public_key(&key())).is_err());
        }

        #[test]
        fn an_entry_survives_json(payload in prop::collection::vec(any::<u8>(), 0..200), based_on in 0_u128..5) {
            let based_on = (0..based_on).map(|n| EntryId::new(uuid(n))).collect();
            let entry = seal(Draft { based_on, payload, ..draft(1) }, &Head::empty(stream(1)), hlc(1, 0), &key()).unwrap();
            let json = serde_json::to_string(&entry).unwrap();
            prop_assert_eq!(serde_json::from_str::<Entry>(&json).unwrap(), entry);
        }
    }
}
