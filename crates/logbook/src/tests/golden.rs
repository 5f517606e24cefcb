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
    serde_json::from_str(include_str!("../golden/entries.json")).unwrap()
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
        serde_json::from_str(include_str!("../golden/entries.json")).unwrap();
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
