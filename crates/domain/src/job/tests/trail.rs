//! What stays readable of a job and in which order its entries may come: all of it, and any.

use proptest::prelude::*;

use super::*;

#[test]
fn a_withdrawn_entry_counts_no_more_and_stays_in_the_trail() {
    let mut entries = story(3);
    entries.push(at(50, withdrawn(3)));
    assert_eq!(fold(&entries).cell(), None);
    let trail = trail(&entries);
    assert!(
        trail
            .iter()
            .any(|line| line.withdrawn && line.mark.entry_id == entry_id(3))
    );
}

#[test]
fn what_went_along_in_a_return_parcel_is_taken_back_no_more() {
    let kept = |entries: &[Recorded], number: u8| {
        let line = |line: &TrailLine| line.mark.entry_id == entry_id(number);
        let line = trail(entries).into_iter().find(line);
        line.expect("the line").kept_because.is_some()
    };
    let mut entries = story(3);
    assert!(!kept(&entries, 3), "it is still here");
    entries.push(at(50, shipment()));
    let note = crate::fact::Note {
        text: "a word afterwards".to_owned(),
    };
    entries.push(at(60, Fact::NoteRecorded(note)));
    assert!(kept(&entries, 3), "its papers rest on it");
    assert!(kept(&entries, 50));
    assert!(!kept(&entries, 60), "a slip of the pen after the leaving");
}

#[test]
fn a_passcode_is_sealed_then_destroyed() {
    let sealed = Fact::PasscodeSealed(SealedPasscode {
        sealed: "AAAA".to_owned(),
    });
    let mut entries = vec![at(1, Fact::JobAdvised(advice())), at(2, sealed)];
    assert_eq!(
        fold(&entries).passcode,
        Passcode::Sealed {
            entry_id: entry_id(2)
        }
    );
    let destruction = crate::fact::PasscodeDestruction {
        sealed_entry_id: entry_id(2),
    };
    entries.push(at(3, Fact::PasscodeDestroyed(destruction)));
    assert_eq!(
        fold(&entries).passcode,
        Passcode::Destroyed { at_ms: 180_000 }
    );
}

proptest! {
    #[test]
    fn the_order_and_number_of_deliveries_never_matter(
        order in Just((0..25usize).collect::<Vec<_>>()).prop_shuffle(),
        doubled in proptest::collection::vec(0..25usize, 0..10),
    ) {
        let mut entries = story(19);
        entries.extend([
            at(50, quote(9_900)),
            at(51, cell(&[CellFinding::Swollen])),
            based_on(52, quote(8_900), &[10]),
            at(53, withdrawn(51)),
            at(54, signs()),
            at(55, result(Phase::After, "sound", Outcome::Fail)),
        ]);
        let shuffled: Vec<Recorded> = order.iter().chain(&doubled).map(|index| entries[*index].clone()).collect();
        prop_assert_eq!(fold(&shuffled), fold(&entries));
        prop_assert_eq!(trail(&shuffled), trail(&entries));
    }
}
