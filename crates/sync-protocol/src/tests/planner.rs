//! The planner, on pages and on random replicas.

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
