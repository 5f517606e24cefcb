//! The hash chain, the hybrid clock and the envelope against things made by others.
//!
//! `vectors/crypto_protocols.json`: the chain's canonical texts by PyPI rfc8785 0.1.4 (RFC 8785) and its hashes by Python's
//! hashlib; the clock's trace by the rule of Kulkarni et al., "Logical Physical Clocks" (OPODIS 2014). The envelope: `sha256sum`
//! (GNU coreutils) and `openssl pkeyutl` (OpenSSL 3), which any auditor has.

use std::collections::BTreeMap;
use std::process::Command;

use domain::{EntryId, LabId, PersonId, StreamId};
use logbook::{
    Draft, Entry, Head, Hlc, Kind, Salt, SigningKey, SubjectRef, canonical_header, public_key, seal,
};
use serde_json::Value;
use sha2::{Digest as _, Sha256};
use uuid::Uuid;

use super::vector_files::{list, text, vectors};

#[test]
fn the_published_clock_trace_is_reproduced() {
    let vectors = vectors("crypto_protocols.json");
    let mut clocks: BTreeMap<&str, Hlc> = BTreeMap::new();
    let reading = |value: &Value| Hlc {
        ms: value[0].as_u64().unwrap(),
        counter: u32::try_from(value[1].as_u64().unwrap()).unwrap(),
    };
    for event in list(&vectors["hybrid_logical_clock"], "trace") {
        let clock = clocks.entry(text(event, "node")).or_default();
        let physical_ms = event["physical"].as_u64().unwrap();
        *clock = match text(event, "kind") {
            "local" => clock.send(physical_ms),
            "recv" => clock.receive(reading(&event["message"]), physical_ms),
            other => panic!("an event of kind {other}"),
        };
        assert_eq!(*clock, reading(&event["hlc"]), "{event}");
    }
}

/// The published chain hashes canonical JSON (RFC 8785), ours a binary header; what both rest on is the same: SHA-256 over the
/// hash before and the bytes of this one. For objects with ASCII keys and whole numbers, RFC 8785 is sorted keys without spaces.
#[test]
fn the_published_chain_is_reproduced() {
    let vectors = vectors("crypto_protocols.json");
    let mut hash = [0_u8; 32];
    for link in list(&vectors["hash_chain"], "chain") {
        let fields: BTreeMap<String, Value> =
            serde_json::from_value(link["event"].clone()).unwrap();
        let canonical = serde_json::to_string(&fields).unwrap();
        assert_eq!(canonical, text(link, "canonical"));
        let mut hasher = Sha256::new();
        hasher.update(hash);
        hasher.update(canonical.as_bytes());
        hash = hasher.finalize().into();
        assert_eq!(hex::encode(hash), text(link, "chain_hash"));
    }
}

fn sealed() -> (Entry, SigningKey) {
    let key = SigningKey::from_bytes(&[42; 32]);
    let id = Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0001);
    let draft = Draft {
        entry_id: EntryId::new(id),
        lab_id: LabId::new(id),
        actor_id: PersonId::new(id),
        kind: Kind::new("note.recorded").unwrap(),
        kind_version: 1,
        min_reader: 0,
        subject: SubjectRef {
            tag: "job".to_owned(),
            id,
        },
        based_on: vec![EntryId::new(id)],
        payload: "{\"text\":\"Grüße, σ, 修理\"}".as_bytes().to_vec(),
        payload_salt: Salt::from_bytes([3; 16]),
    };
    let entry = seal(
        draft,
        &Head::empty(StreamId::new(id)),
        Hlc {
            ms: 1_764_072_000_000,
            counter: 9,
        },
        &key,
    )
    .unwrap();
    (entry, key)
}

/// Runs a program and returns what it printed.
fn run(program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program)
        .args(arguments)
        .output()
        .unwrap_or_else(|error| panic!("{program} must be installed for this check: {error}"));
    assert!(
        output.status.success(),
        "{program}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn an_auditor_can_hash_an_entry_by_hand() {
    let (entry, _) = sealed();
    let dir = tempfile::tempdir().unwrap();
    let header = dir.path().join("header");
    std::fs::write(&header, canonical_header(&entry)).unwrap();
    let printed = run("sha256sum", &[header.to_str().unwrap()]);
    assert_eq!(
        printed.split_whitespace().next(),
        Some(entry.hash.to_string().as_str())
    );
    // Payload hash: tag with its length, salt, payload.
    let mut salted = b"\x00\x1awaybench/payload/sha-256/1".to_vec();
    salted.extend_from_slice(&[3; 16]);
    salted.extend_from_slice(entry.payload.as_ref().unwrap());
    std::fs::write(&header, salted).unwrap();
    let printed = run("sha256sum", &[header.to_str().unwrap()]);
    assert_eq!(
        printed.split_whitespace().next(),
        Some(entry.payload_hash.to_string().as_str())
    );
}

#[test]
fn openssl_accepts_our_signature_and_refuses_a_changed_hash() {
    let (entry, key) = sealed();
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).to_str().unwrap().to_owned();
    // RFC 8410 section 4: an Ed25519 public key in SubjectPublicKeyInfo is this prefix and the 32 bytes.
    let mut der = hex::decode("302a300506032b6570032100").unwrap();
    der.extend_from_slice(public_key(&key).as_bytes());
    std::fs::write(path("key.der"), der).unwrap();
    std::fs::write(path("hash"), entry.hash.as_bytes()).unwrap();
    std::fs::write(path("signature"), entry.signature.as_bytes()).unwrap();
    let (key, hash, signature) = (path("key.der"), path("hash"), path("signature"));
    let arguments = [
        "pkeyutl", "-verify", "-pubin", "-keyform", "DER", "-inkey", &key, "-rawin", "-in", &hash,
        "-sigfile", &signature,
    ];
    assert!(run("openssl", &arguments).contains("Verified Successfully"));
    let mut changed = *entry.hash.as_bytes();
    changed[31] ^= 1;
    std::fs::write(&hash, changed).unwrap();
    assert!(
        !Command::new("openssl")
            .args(arguments)
            .output()
            .unwrap()
            .status
            .success()
    );
}
