//! What the knowledge of a board offers, and what it does not claim to know.

use proptest::prelude::*;

use super::*;
use crate::fact::Withdrawal;
use crate::ids::{LabId, Subject};
use crate::{device::DeviceKind, fold_lab};

const LAB: LabId = LabId::from_bytes([3; 16]);

fn recorded(number: u8, stream: u8, fact: Fact, seen: &[u8]) -> Recorded {
    Recorded::in_test(Subject::Lab(LAB), number, stream, fact, seen)
}

fn code() -> BoardCode {
    BoardCode("MB-1".to_owned())
}

fn described() -> Fact {
    Fact::BoardDescribed(BoardDescription {
        code: code(),
        name: "Main board".to_owned(),
        maker: "Arvo".to_owned(),
        models: vec!["Nine".to_owned()],
        note: String::new(),
        retired: false,
    })
}

fn part(designator: &str, side: BoardSide, serves: &[&str]) -> Fact {
    Fact::BoardPartDescribed(BoardPart {
        board: code(),
        designator: designator.to_owned(),
        description: format!("part {designator}"),
        side,
        body: None,
        moisture: None,
        serves: serves
            .iter()
            .map(|test| TestCode((*test).to_owned()))
            .collect(),
        gone: false,
    })
}

fn near(a: &str, b: &str, near: bool) -> Fact {
    let (a, b) = pair(a, b);
    Fact::BoardNearnessSet(BoardNearness {
        board: code(),
        a: a.to_owned(),
        b: b.to_owned(),
        near,
        note: String::new(),
    })
}

/// A charge controller on top, a radio part behind it, a coil beside it.
fn board() -> Vec<Recorded> {
    let facts = [
        described(),
        part("U2400", BoardSide::Top, &["charge.current"]),
        part("U5200", BoardSide::Bottom, &["radio.network", "radio.call"]),
        part("L2401", BoardSide::Top, &["charge.current", "radio.call"]),
        near("U2400", "U5200", true),
        near("L2401", "U2400", true),
    ];
    facts
        .into_iter()
        .zip(1..)
        .map(|(fact, number)| recorded(number, 1, fact, &[]))
        .collect()
}

fn fold(entries: &[Recorded]) -> Board {
    fold_lab(LAB, entries)
        .boards
        .into_iter()
        .next()
        .expect("a board")
}

fn check_opened(entries: &[Recorded], heated: &str, expected: &[&str]) {
    let opened: Vec<String> = fold(entries)
        .opened_by(heated)
        .into_iter()
        .map(|code| code.0)
        .collect();
    assert_eq!(opened, expected);
}

#[test]
fn heat_on_a_part_opens_the_tests_of_its_neighbours_each_once() {
    check_opened(
        &board(),
        "U2400",
        &["charge.current", "radio.call", "radio.network"],
    );
}

#[test]
fn nearness_holds_both_ways() {
    check_opened(&board(), "U5200", &["charge.current"]);
}

#[test]
fn a_part_of_which_nothing_is_known_opens_nothing() {
    check_opened(&board(), "R9", &[]);
}

#[test]
fn the_sides_say_whether_heat_goes_through_the_board() {
    let ways: Vec<_> = fold(&board())
        .neighbours_of("U2400")
        .into_iter()
        .map(|near| (near.designator, near.way))
        .collect();
    let expected = [
        ("L2401", NearWay::SameSide),
        ("U5200", NearWay::ThroughBoard),
    ];
    assert_eq!(
        ways,
        expected.map(|(part, way)| (part.to_owned(), Some(way)))
    );
}

#[test]
fn what_was_taken_back_opens_nothing_and_what_stood_before_counts_again() {
    let mut entries = board();
    entries.push(recorded(20, 1, near("U2400", "U5200", false), &[5]));
    check_opened(&entries, "U2400", &["charge.current", "radio.call"]);
    let withdrawal = Withdrawal {
        entry_id: EntryId::from_bytes([20; 16]),
        reason: "the wrong pair".to_owned(),
    };
    entries.push(recorded(21, 1, Fact::EntryWithdrawn(withdrawal), &[]));
    check_opened(
        &entries,
        "U2400",
        &["charge.current", "radio.call", "radio.network"],
    );
}

#[test]
fn two_benches_add_to_one_board_without_a_disagreement() {
    let mut entries = board();
    entries.push(recorded(30, 1, part("R1", BoardSide::Top, &[]), &[]));
    entries.push(recorded(31, 2, part("R2", BoardSide::Top, &[]), &[]));
    let board = fold(&entries);
    assert!(board.part("R1").is_some() && board.part("R2").is_some());
    assert!(!board.parts.iter().any(Register::is_disputed));
}

#[test]
fn two_benches_that_describe_one_part_differently_disagree() {
    let mut entries = board();
    entries.push(recorded(30, 1, part("R1", BoardSide::Top, &[]), &[]));
    entries.push(recorded(31, 2, part("R1", BoardSide::Bottom, &[]), &[]));
    assert!(
        fold(&entries)
            .part_register("R1")
            .expect("known")
            .is_disputed()
    );
}

#[test]
fn a_board_is_found_by_the_device_however_it_is_written() {
    let device = |maker: &str, model: &str| DeviceDescription {
        kind: DeviceKind::Phone,
        maker: maker.to_owned(),
        model: model.to_owned(),
        colour: String::new(),
    };
    let board = fold(&board());
    assert!(board.is_in(&device("arvo ", "NINE")));
    assert!(!board.is_in(&device("Arvo", "Ten")));
}

proptest! {
    #[test]
    fn a_board_folds_alike_in_any_order(from in 0usize..6, to in 0usize..6, twice in 0usize..6) {
        let entries = board();
        let mut shuffled = entries.clone();
        shuffled.swap(from, to);
        shuffled.push(entries[twice].clone());
        prop_assert_eq!(fold(&shuffled), fold(&entries));
    }

    #[test]
    fn one_more_neighbour_never_closes_a_test(serves in proptest::collection::vec("[a-z]{1,3}", 0..4)) {
        let before = fold(&board()).opened_by("U2400");
        let serves: Vec<&str> = serves.iter().map(String::as_str).collect();
        let mut entries = board();
        entries.push(recorded(40, 1, part("Q1", BoardSide::Top, &serves), &[]));
        entries.push(recorded(41, 1, near("Q1", "U2400", true), &[]));
        let after = fold(&entries).opened_by("U2400");
        prop_assert!(before.iter().all(|code| after.contains(code)));
    }
}
