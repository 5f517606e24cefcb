//! The ids the desk makes against RFC 9562.
//!
//! `vectors/crypto_protocols.json`: the UUIDv7 example of RFC 9562 appendix A.6, from memory, fields checked again.

use std::sync::Arc;

use desk::ports::{Clock, Ports, Randomness};
use domain::EntryId;
use uuid::{Uuid, Variant};

use super::vector_files::{text, vectors};

struct FixedClock(u64);

impl Clock for FixedClock {
    fn now_ms(&self) -> u64 {
        self.0
    }
}

/// Gives the same bytes each time.
struct FixedRandomness([u8; 10]);

impl Randomness for FixedRandomness {
    fn fill(&self, bytes: &mut [u8]) {
        bytes.copy_from_slice(&self.0[..bytes.len()]);
    }
}

fn made(unix_ms: u64, random: [u8; 10]) -> Uuid {
    Ports {
        clock: Arc::new(FixedClock(unix_ms)),
        randomness: Arc::new(FixedRandomness(random)),
    }
    .new_uuid()
}

#[test]
fn the_published_example_is_made_from_its_parts() {
    let vectors = vectors("crypto_protocols.json");
    let example = &vectors["rfc9562_uuid"]["v7"];
    // Appendix A.6: rand_a is 0xCC3, rand_b is 0x18C4DC0C0C07398F without its two variant bits.
    let random = [0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f];
    let made = made(example["unix_ms"].as_u64().unwrap(), random);
    assert_eq!(EntryId::new(made).to_string(), text(example, "text"));
}

#[test]
fn version_and_variant_stand_whatever_the_random_bytes_are() {
    for random in [[0; 10], [0xff; 10]] {
        let uuid = made(1_645_557_742_000, random);
        assert_eq!(
            (uuid.get_version_num(), uuid.get_variant()),
            (7, Variant::RFC4122)
        );
        // Section 5.7: the first 48 bits are the time.
        assert_eq!(
            &uuid.as_bytes()[..6],
            &1_645_557_742_000_u64.to_be_bytes()[2..]
        );
    }
}

#[test]
fn the_order_of_the_text_is_the_order_of_time() {
    let mut made: Vec<String> = (0..2_000_u64)
        .map(|step| {
            made(
                1_645_557_742_000 + step * 7,
                [u8::try_from(255 - step % 256).unwrap(); 10],
            )
            .to_string()
        })
        .collect();
    let in_time = made.clone();
    made.sort();
    assert_eq!(made, in_time);
}
