//! Cases for the planner, the pages and the messages.

mod messages;
mod planner;

use std::collections::BTreeMap;

use domain::{ContentHash, StreamId};
use logbook::{EntryHash, Head, LogDigest, PublicKey, SignatureBytes};
use proptest::prelude::*;
use uuid::Uuid;

use crate::limits::PageLimits;
use crate::*;

fn stream(n: u8) -> StreamId {
    StreamId::from_bytes([n; 16])
}

fn hash(stream: u8, seq: u64) -> EntryHash {
    let mut bytes = [stream; 32];
    bytes[..8].copy_from_slice(&seq.to_be_bytes());
    EntryHash::from_bytes(bytes)
}

fn info(n: u8) -> StreamInfo {
    StreamInfo {
        stream_id: stream(n),
        public_key: PublicKey::from_bytes([n; 32]),
        name: format!("bench {n}"),
    }
}

const EPOCH: Uuid = Uuid::from_u128(1);

/// A replica of hashes only.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Replica {
    streams: BTreeMap<u8, Vec<EntryHash>>,
}

impl Replica {
    fn of(lengths: &[(u8, u64)]) -> Self {
        let streams = lengths
            .iter()
            .map(|(id, len)| (*id, (1..=*len).map(|seq| hash(*id, seq)).collect()))
            .collect();
        Self { streams }
    }

    fn heads(&self) -> Vec<Head> {
        self.streams
            .iter()
            .filter(|(_, hashes)| !hashes.is_empty())
            .map(|(id, hashes)| Head {
                stream_id: stream(*id),
                seq: hashes.len() as u64,
                hash: *hashes.last().unwrap(),
            })
            .collect()
    }

    fn hash_at(&self, id: StreamId, seq: u64) -> Option<EntryHash> {
        let index = usize::try_from(seq.checked_sub(1)?).ok()?;
        self.streams.get(&id.as_bytes()[0])?.get(index).copied()
    }
}

/// A server of hashes only: streams and the log they arrived in.
#[derive(Debug, Clone, Default)]
struct Server {
    replica: Replica,
    log: Vec<(u8, EntryHash)>,
}

impl Server {
    fn push(&mut self, id: u8, seq: u64, entry: EntryHash) {
        let hashes = self.replica.streams.entry(id).or_default();
        assert_eq!(
            hashes.len() as u64 + 1,
            seq,
            "the server takes the next entry only"
        );
        hashes.push(entry);
        self.log.push((id, entry));
    }

    fn digest(&self, position: usize) -> LogDigest {
        self.log[..position]
            .iter()
            .fold(LogDigest::EMPTY, |digest, (_, entry)| {
                advance_digest(&digest, entry)
            })
    }

    fn heads(&self) -> Heads {
        Heads {
            log_epoch: EPOCH,
            log_position: self.log.len() as u64,
            digest: self.digest(self.log.len()),
            witness: Witness {
                at_ms: 0,
                signature: SignatureBytes::from_bytes([0; 64]),
            },
            streams: self
                .replica
                .heads()
                .into_iter()
                .map(|head| StreamHead {
                    stream: info(head.stream_id.as_bytes()[0]),
                    head_seq: head.seq,
                    head_hash: head.hash,
                })
                .collect(),
        }
    }
}

fn run(
    own: u8,
    mine: &mut Replica,
    server: &mut Server,
    cursor: &mut Option<Cursor>,
    limits: PageLimits,
) -> Vec<Step> {
    let steps = plan(
        stream(own),
        &mine.heads(),
        |id, seq| mine.hash_at(id, seq),
        cursor.as_ref(),
        &server.heads(),
        limits,
    );
    for step in &steps {
        match *step {
            Step::Push {
                stream_id,
                from_seq,
                through_seq,
            } => {
                for seq in from_seq..=through_seq {
                    server.push(
                        stream_id.as_bytes()[0],
                        seq,
                        mine.hash_at(stream_id, seq).unwrap(),
                    );
                }
            }
            Step::Pull => {
                for (id, entry) in &server.log {
                    let hashes = mine.streams.entry(*id).or_default();
                    if !hashes.contains(entry) {
                        hashes.push(*entry);
                    }
                }
                let heads = server.heads();
                *cursor = Some(Cursor {
                    log_epoch: EPOCH,
                    log_position: heads.log_position,
                    digest: heads.digest,
                });
            }
        }
    }
    steps
}

fn page_of(entries_max: usize) -> PageLimits {
    PageLimits {
        entries_max,
        bytes_max: usize::MAX,
    }
}

mod pages {
    use super::*;

    fn check(sizes: &[usize], entries_max: usize, bytes_max: usize, expected: usize) {
        assert_eq!(
            page_len(
                sizes.iter().copied(),
                PageLimits {
                    entries_max,
                    bytes_max
                }
            ),
            expected
        );
    }

    #[test]
    fn the_count_is_kept_at_one_less_equal_and_one_more() {
        check(&[1; 9], 10, 1_000, 9);
        check(&[1; 10], 10, 1_000, 10);
        check(&[1; 11], 10, 1_000, 10);
    }

    #[test]
    fn the_bytes_are_kept_at_one_less_equal_and_one_more() {
        check(&[40, 59], 10, 100, 2);
        check(&[40, 60], 10, 100, 2);
        check(&[40, 61], 10, 100, 1);
    }

    #[test]
    fn one_entry_larger_than_a_page_travels_alone() {
        check(&[5_000], 10, 100, 1);
        check(&[5_000, 1], 10, 100, 1);
        check(&[1, 5_000], 10, 100, 1);
    }

    #[test]
    fn no_entries_make_no_page() {
        check(&[], 10, 100, 0);
    }

    #[test]
    fn a_page_of_none_still_moves_one() {
        check(&[1, 1], 0, 0, 1);
    }

    proptest! {
        #[test]
        fn pages_hold_all_entries_in_order(sizes in prop::collection::vec(0_usize..300, 0..80), entries_max in 1_usize..9, bytes_max in 1_usize..500) {
            let limits = PageLimits { entries_max, bytes_max };
            let mut rest = &sizes[..];
            while !rest.is_empty() {
                let len = page_len(rest.iter().copied(), limits);
                prop_assert!(len >= 1 && len <= entries_max);
                let bytes: usize = rest[..len].iter().sum();
                prop_assert!(len == 1 || bytes <= bytes_max);
                // A page is never cut short.
                if len < rest.len() && len < entries_max {
                    prop_assert!(bytes + rest[len] > bytes_max);
                }
                rest = &rest[len..];
            }
        }
    }
}

mod limits_hold {
    use crate::limits::*;

    #[test]
    fn the_largest_entry_fits_the_largest_body() {
        let entry_bytes = 1_100 + logbook::BASED_ON_MAX * 39 + PAYLOAD_BYTES_MAX.div_ceil(3) * 4;
        let frame_bytes = 1_000;
        assert!(entry_bytes + frame_bytes <= ENTRIES_BODY_BYTES_MAX);
        assert!(PAGE_BYTES_MAX + frame_bytes <= ENTRIES_BODY_BYTES_MAX);
    }

    #[test]
    fn a_thumbnail_is_one_part() {
        assert!(THUMB_BYTES_MAX <= PHOTO_PART_BYTES_MAX as u64);
    }
}
