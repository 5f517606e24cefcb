//! Cases for the envelope. Golden bytes stand in `golden/`, computed by a Python script that shares no code with this crate.

mod chains;
mod clock;
mod entries;
mod golden;
mod report_seal;

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
