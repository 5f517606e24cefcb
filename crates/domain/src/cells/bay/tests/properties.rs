//! What holds for every story of a cell.

use proptest::prelude::*;

use super::*;

fn any_reading() -> impl Strategy<Value = CellReading> {
    (
        prop::collection::btree_set(prop::sample::select(CellFinding::ALL), 0..3),
        prop::option::of(1_000_u32..4_600),
        prop::option::of(150_i32..700),
        prop::option::of(150_i32..300),
    )
        .prop_map(
            |(findings, voltage_mv, surface_tenths_c, room_tenths_c)| CellReading {
                findings,
                voltage_mv,
                surface_tenths_c,
                room_tenths_c,
                ..CellReading::default()
            },
        )
}

fn any_story() -> impl Strategy<Value = Vec<Recorded>> {
    let fact = prop_oneof![
        6 => any_reading().prop_map(Fact::CellReadingTaken),
        1 => Just(placed()),
        1 => Just(judged(CellVerdict::Sound)),
        1 => Just(judged(CellVerdict::Damaged)),
        1 => Just(found(&[CellFinding::NothingWrong])),
    ];
    prop::collection::vec((fact, any::<bool>()), 1..8).prop_map(|facts| {
        (0_u64..)
            .zip(facts)
            .map(|(number, (fact, knows))| {
                let before: Vec<u64> = (0..number).map(|earlier| earlier * 40).collect();
                seeing(number * 40, fact, if knows { &before } else { &[] })
            })
            .collect()
    })
}

proptest! {
    #[test]
    fn the_order_of_entries_does_not_matter(story in any_story(), seed in any::<u64>()) {
        let mut shuffled = story.clone();
        let length = shuffled.len();
        for index in 0..length {
            let other = usize::try_from(seed.rotate_left(u32::try_from(index).unwrap()) % length as u64).unwrap();
            shuffled.swap(index, other);
        }
        shuffled.push(story[0].clone());
        prop_assert_eq!(fold_cell(CELL, &story), fold_cell(CELL, &shuffled));
    }

    #[test]
    fn a_worse_reading_never_improves_the_level(
        story in any_story(), last in any_reading(), more in prop::sample::select(CellFinding::ALL)
    ) {
        prop_assume!(!matches!(more, CellFinding::NothingWrong | CellFinding::Missing));
        let with = |reading: CellReading| {
            let mut entries = story.clone();
            entries.push(at(1_000, Fact::CellReadingTaken(reading)));
            fold(&entries).level
        };
        let mut worse = last.clone();
        worse.findings.insert(more);
        // A cell that is not there has no level of its own to get worse.
        prop_assume!(!last.findings.contains(&CellFinding::Missing));
        prop_assert!(with(worse) >= with(last));
    }

    #[test]
    fn a_further_reading_never_ends_isolation(story in any_story(), last in any_reading()) {
        let before = fold(&story);
        let stands = |state: &CellState| {
            state.standing.iter().filter(|standing| standing.reason.rule != "B08").map(|standing| standing.reason.level).max()
        };
        prop_assume!(stands(&before) >= Some(BenchLevel::Isolate));
        let mut entries = story;
        entries.push(at(1_000, Fact::CellReadingTaken(last)));
        prop_assert!(stands(&fold(&entries)) >= stands(&before));
    }

    #[test]
    fn the_next_reading_is_never_before_the_last(story in any_story()) {
        let state = fold(&story);
        if let (Some(next), Some(last)) = (&state.next_reading, state.looks.last()) {
            prop_assert!(next.due_ms > last.mark.at_ms.saturating_sub(24 * 60 * 60_000));
        }
    }
}
