//! What is found in papers of ours, in files of other programs, and in files that are made to do harm.

use std::io::Write as _;

use flate2::Compression;
use flate2::write::ZlibEncoder;

use super::{ATTACHMENT_BYTES_MAX, beginning_with};

const BEGINNING: &[u8] = b"{\"form\":";

fn packed(content: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(content).expect("memory");
    encoder.finish().expect("memory")
}

/// A file with these streams, as far as this module looks at it.
fn file(streams: &[&[u8]]) -> Vec<u8> {
    let mut bytes = b"%PDF-1.7\n".to_vec();
    for (number, stream) in streams.iter().enumerate() {
        bytes.extend_from_slice(
            format!("{} 0 obj << /Length 1 >> stream\r\n", number + 1).as_bytes(),
        );
        bytes.extend_from_slice(stream);
        bytes.extend_from_slice(b"\nendstream endobj\n");
    }
    bytes
}

fn check(streams: &[&[u8]], expected: Option<&[u8]>) {
    assert_eq!(
        beginning_with(&file(streams), BEGINNING).as_deref(),
        expected
    );
}

#[test]
fn an_attachment_is_found_packed_and_unpacked() {
    let record: &[u8] = b"{\"form\":\"a\",\"text\":\"upstream and endless\"}";
    check(&[b"q Q", record], Some(record));
    check(&[b"q Q", &packed(record)], Some(record));
    check(&[&packed(b"BT ET"), &packed(record)], Some(record));
}

#[test]
fn a_file_without_one_has_none() {
    check(&[], None);
    check(&[b"q Q", &packed(b"BT ET")], None);
    check(&[b""], None);
    assert_eq!(beginning_with(b"", BEGINNING), None);
    assert_eq!(beginning_with(b"stream", BEGINNING), None);
    assert_eq!(
        beginning_with(b"streamstream\nendstream\n", BEGINNING),
        None
    );
}

#[test]
fn a_small_file_that_unpacks_to_a_huge_one_is_given_up() {
    let mut huge = BEGINNING.to_vec();
    huge.resize(ATTACHMENT_BYTES_MAX + 1, b' ');
    let bomb = packed(&huge);
    assert!(bomb.len() < 100_000);
    check(&[&bomb], None);
    huge.pop();
    check(&[&packed(&huge)], Some(&huge));
}

#[test]
fn a_cut_file_gives_nothing_half() {
    let record = packed(b"{\"form\":\"a\",\"text\":\"cut in the middle of it\"}");
    check(&[&record[..record.len() / 2]], None);
}
