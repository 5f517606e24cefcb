//! A seal holds for exactly what it was made for.

use domain::{ContentHash, LabId, StreamId};

use crate::{ReportSeal, SigningKey};

fn key(seed: u8) -> SigningKey {
    SigningKey::from_bytes(&[seed; 32])
}

fn seal() -> ReportSeal {
    ReportSeal::make(
        &key(1),
        LabId::from_bytes([2; 16]),
        StreamId::from_bytes([3; 16]),
        ContentHash::from_bytes([4; 32]),
    )
}

fn check(change: impl FnOnce(&mut ReportSeal), good: bool) {
    let mut seal = seal();
    change(&mut seal);
    assert_eq!(seal.is_good(), good, "{seal:?}");
}

#[test]
fn a_seal_as_it_was_made_is_good() {
    check(|_| {}, true);
}

#[test]
fn a_seal_that_says_anything_else_is_not() {
    check(|seal| seal.lab_id = LabId::from_bytes([9; 16]), false);
    check(|seal| seal.stream_id = StreamId::from_bytes([9; 16]), false);
    check(
        |seal| seal.record_digest = ContentHash::from_bytes([9; 32]),
        false,
    );
    check(|seal| seal.public_key = crate::public_key(&key(9)), false);
}

#[test]
fn a_seal_is_found_by_its_beginning_and_read_back_whole() {
    let bytes = serde_json::to_vec(&seal()).expect("JSON");
    assert!(bytes.starts_with(ReportSeal::BEGINNING));
    let read: ReportSeal = serde_json::from_slice(&bytes).expect("a seal");
    assert!(read == seal() && read.is_good());
}

#[test]
fn the_same_report_has_the_same_seal() {
    // RFC 8032: an Ed25519 signature takes no random numbers.
    assert_eq!(seal(), seal());
}
