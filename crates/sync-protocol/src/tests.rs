//! Cases for the planner, the pages and the messages.

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

mod planner {
    use super::*;

    /// Plans for a desktop holding stream 1 of `mine` entries against a server holding `theirs`, with pages of `page`.
    fn check(mine: u64, theirs: u64, page: usize, expected: &[(u64, u64)]) {
        let mut mine = Replica::of(&[(1, mine)]);
        let mut server = Server::default();
        for seq in 1..=theirs {
            server.push(1, seq, hash(1, seq));
        }
        let steps = run(1, &mut mine, &mut server, &mut None, page_of(page));
        let pushes: Vec<(u64, u64)> = steps
            .iter()
            .filter_map(|step| match step {
                Step::Push {
                    from_seq,
                    through_seq,
                    ..
                } => Some((*from_seq, *through_seq)),
                Step::Pull => None,
            })
            .collect();
        assert_eq!(pushes, expected);
    }

    #[test]
    fn a_page_less_one_is_one_page() {
        check(9, 0, 10, &[(1, 9)]);
    }

    #[test]
    fn a_full_page_is_one_page() {
        check(10, 0, 10, &[(1, 10)]);
    }

    #[test]
    fn a_page_and_one_are_two_pages() {
        check(11, 0, 10, &[(1, 10), (11, 11)]);
    }

    #[test]
    fn pages_start_where_the_server_stands() {
        check(25, 4, 10, &[(5, 14), (15, 24), (25, 25)]);
    }

    #[test]
    fn nothing_is_sent_of_what_the_server_holds() {
        check(5, 5, 10, &[]);
        check(3, 5, 10, &[]);
    }

    #[test]
    fn equal_sides_have_nothing_to_do() {
        let mut mine = Replica::of(&[(1, 3)]);
        let (mut server, mut cursor) = (Server::default(), None);
        run(1, &mut mine, &mut server, &mut cursor, page_of(10));
        assert_eq!(
            run(1, &mut mine, &mut server, &mut cursor, page_of(10)),
            vec![]
        );
    }

    #[test]
    fn the_own_stream_is_sent_first_and_reading_comes_last() {
        let mut mine = Replica::of(&[(1, 2), (5, 2), (9, 2)]);
        let steps = run(5, &mut mine, &mut Server::default(), &mut None, page_of(10));
        let order: Vec<Option<StreamId>> = steps
            .iter()
            .map(|step| match step {
                Step::Push { stream_id, .. } => Some(*stream_id),
                Step::Pull => None,
            })
            .collect();
        assert_eq!(
            order,
            vec![Some(stream(5)), Some(stream(1)), Some(stream(9)), None]
        );
    }

    #[test]
    fn a_forked_stream_is_read_and_not_sent() {
        let mine = Replica::of(&[(1, 5), (2, 1)]);
        let mut server = Server::default();
        server.push(1, 1, hash(1, 1));
        server.push(1, 2, hash(77, 2));
        let steps = plan(
            stream(1),
            &mine.heads(),
            |id, seq| mine.hash_at(id, seq),
            None,
            &server.heads(),
            page_of(10),
        );
        assert_eq!(
            steps,
            vec![
                Step::Push {
                    stream_id: stream(2),
                    from_seq: 1,
                    through_seq: 1
                },
                Step::Pull
            ]
        );
    }

    #[test]
    fn another_epoch_or_digest_means_reading() {
        let server = Server::default();
        let heads = server.heads();
        let equal = Cursor {
            log_epoch: EPOCH,
            log_position: 0,
            digest: LogDigest::EMPTY,
        };
        let steps = |cursor: &Cursor| {
            plan(
                stream(1),
                &[],
                |_, _| None,
                Some(cursor),
                &heads,
                page_of(10),
            )
        };
        assert_eq!(steps(&equal), vec![]);
        assert_eq!(
            steps(&Cursor {
                log_epoch: Uuid::from_u128(2),
                ..equal
            }),
            vec![Step::Pull]
        );
        assert_eq!(
            steps(&Cursor {
                digest: LogDigest::from_bytes([1; 32]),
                ..equal
            }),
            vec![Step::Pull]
        );
        assert_eq!(
            steps(&Cursor {
                log_position: 1,
                ..equal
            }),
            vec![Step::Pull]
        );
    }

    proptest! {
        /// Desktops with any part of each other's streams, a server with any part of all: running the steps on each in turn, twice,
        /// makes all equal, whatever the page size, and then nobody has anything to do. Covers the healing of a restored server,
        /// since streams of others are held in any length.
        #[test]
        fn running_the_steps_reaches_equality(
            lengths in prop::collection::vec(0_u64..40, 3..6),
            cuts in prop::collection::vec(0.0_f64..1.0, 40),
            page in 1_usize..12,
        ) {
            let count = u8::try_from(lengths.len()).unwrap();
            let mut cuts = cuts.into_iter();
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "small test numbers")]
            let mut part = |len: u64| (len as f64 * cuts.next().unwrap()) as u64;
            let mut server = Server::default();
            for id in 0..count {
                for seq in 1..=part(lengths[usize::from(id)]) {
                    server.push(id, seq, hash(id, seq));
                }
            }
            let mut desktops: Vec<(Replica, Option<Cursor>)> = (0..count)
                .map(|own| {
                    let held: Vec<(u8, u64)> = (0..count)
                        .map(|id| {
                            let len = lengths[usize::from(id)];
                            (id, if id == own { len } else { part(len) })
                        })
                        .collect();
                    (Replica::of(&held), None)
                })
                .collect();
            for _ in 0..2 {
                for (own, (replica, cursor)) in (0..count).zip(&mut desktops) {
                    run(own, replica, &mut server, cursor, page_of(page));
                }
            }
            for (own, (replica, cursor)) in (0..count).zip(&mut desktops) {
                prop_assert_eq!(replica.heads(), server.replica.heads());
                prop_assert_eq!(run(own, replica, &mut server, cursor, page_of(page)), vec![]);
            }
        }

        #[test]
        fn pages_cover_each_position_once(mine in 0_u64..60, theirs in 0_u64..60, page in 1_usize..15) {
            let mine = Replica::of(&[(1, mine)]);
            let mut server = Server::default();
            for seq in 1..=theirs {
                server.push(1, seq, hash(1, seq));
            }
            let steps = plan(stream(1), &mine.heads(), |id, seq| mine.hash_at(id, seq), None, &server.heads(), page_of(page));
            let mut next = theirs + 1;
            for step in steps {
                if let Step::Push { from_seq, through_seq, .. } = step {
                    prop_assert_eq!(from_seq, next);
                    prop_assert!(through_seq >= from_seq && through_seq - from_seq < page as u64);
                    next = through_seq + 1;
                }
            }
            prop_assert_eq!(next, mine.heads().first().map_or(0, |head| head.seq).max(theirs) + 1);
        }
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

mod messages {
    use super::*;

    #[test]
    fn the_digest_depends_on_the_order() {
        let (a, b) = (hash(1, 1), hash(2, 1));
        let of = |entries: &[EntryHash]| {
            entries.iter().fold(LogDigest::EMPTY, |digest, entry| {
                advance_digest(&digest, entry)
            })
        };
        assert_ne!(of(&[a, b]), of(&[b, a]));
    }

    #[test]
    fn an_unknown_reject_code_and_an_unknown_error_code_are_read() {
        assert_eq!(
            serde_json::from_str::<RejectCode>("\"of_a_newer_server\"").unwrap(),
            RejectCode::Other
        );
        assert_eq!(
            serde_json::from_str::<ErrorCode>("\"of_a_newer_server\"").unwrap(),
            ErrorCode::Other
        );
    }

    #[test]
    fn answers_are_read_as_they_are_written() {
        let answer = PushAnswer {
            answers: vec![
                EntryAnswer::Stored,
                EntryAnswer::AlreadyKnown,
                EntryAnswer::Fork {
                    known_hash: hash(1, 1),
                    sent_hash: hash(1, 2),
                },
                EntryAnswer::MissingFrom { seq: 7 },
                EntryAnswer::Rejected {
                    code: RejectCode::BadHash,
                    message: "no".into(),
                },
            ],
            contiguous_seq: 6,
        };
        let json = serde_json::to_string(&answer).unwrap();
        assert_eq!(serde_json::from_str::<PushAnswer>(&json).unwrap(), answer);
        assert!(json.contains(r#"{"answer":"already_known"}"#), "{json}");
    }

    #[test]
    fn every_code_has_its_own_word_and_the_word_is_its_json() {
        let codes = [
            ErrorCode::NotEnrolled,
            ErrorCode::CodeRefused,
            ErrorCode::OtherLab,
            ErrorCode::BadRequest,
            ErrorCode::OverLimit,
            ErrorCode::PhotoAbsent,
            ErrorCode::PhotoHashMismatch,
            ErrorCode::VersionUnsupported,
            ErrorCode::RateLimited,
            ErrorCode::Unavailable,
            ErrorCode::StorageFull,
            ErrorCode::ServerFault,
        ];
        for code in codes {
            assert_eq!(
                serde_json::to_string(&code).unwrap(),
                format!("\"{}\"", code.word())
            );
            // RFC 9457 section 3.1: `status` repeats the HTTP status; a code that a retry may mend is never a plain 400.
            assert!(code.is_permanent() || code.status() != 400);
        }
    }

    #[test]
    fn a_photo_path_names_hash_and_variant() {
        let path = http_paths::photo_path(
            http_paths::PHOTO_UPLOAD,
            &ContentHash::from_bytes([0xab; 32]),
            PhotoVariant::Thumb,
        );
        assert_eq!(
            path,
            format!("/sync/v1/photos/{}/thumb/upload", "ab".repeat(32))
        );
        assert_eq!(PhotoVariant::from_word("thumb"), Some(PhotoVariant::Thumb));
        assert_eq!(PhotoVariant::from_word("huge"), None);
    }

    #[test]
    fn a_credential_never_reaches_a_log() {
        let enrolled = Enrolled {
            lab_id: domain::LabId::from_bytes([1; 16]),
            lab_name: "Lab".into(),
            credential: "very-secret".into(),
            server_key: PublicKey::from_bytes([2; 32]),
            server_stream_id: stream(3),
            log_epoch: EPOCH,
        };
        assert!(!format!("{enrolled:?}").contains("very-secret"));
    }
}
