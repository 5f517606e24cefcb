//! What holds for every test that a lab begins with.

use super::*;

#[test]
fn every_kind_of_device_has_tests_of_every_group_it_has() {
    let tests = first_tests();
    for kind in DeviceKind::ALL {
        let groups: BTreeSet<&str> = tests
            .iter()
            .filter(|test| test.device_kinds.contains(&kind))
            .map(|test| test.group.as_str())
            .collect();
        for group in [
            "identity",
            "power",
            "charging",
            "display",
            "audio",
            "radio",
            "camera",
            "keys and ports",
            "memory",
            "body",
        ] {
            assert!(groups.contains(group), "{kind:?} has no test of {group}");
        }
    }
}

#[test]
fn codes_are_single_and_words_are_small() {
    let tests = first_tests();
    let codes: BTreeSet<_> = tests.iter().map(|test| test.code.clone()).collect();
    assert_eq!(codes.len(), tests.len());
    for test in &tests {
        assert!(
            test.how.lines().count() <= 3 && !test.how.is_empty(),
            "{}",
            test.code.0
        );
        assert!(!test.fault_words.is_empty(), "{}", test.code.0);
        for word in &test.fault_words {
            assert_eq!(*word, word.to_lowercase());
        }
    }
}

#[test]
fn a_safety_limit_has_an_instrument_whose_accuracy_is_known_and_a_caution() {
    let limits: Vec<_> = first_tests()
        .into_iter()
        .filter(|test| test.safety_limit)
        .collect();
    assert!(!limits.is_empty());
    for test in limits {
        assert!(
            test.instrument.is_specified() && !test.caution.is_empty(),
            "{}",
            test.code.0
        );
    }
}

#[test]
fn a_test_on_the_open_board_says_what_is_off() {
    for test in first_tests() {
        assert!(
            test.needs == Needs::Nothing || !test.attached.is_empty(),
            "{}",
            test.code.0
        );
    }
}

#[test]
fn a_choice_says_which_of_its_answers_are_good_and_has_a_digit_for_each() {
    let mut kinds = BTreeSet::new();
    for test in first_tests() {
        let TestKind::Choice { answers } = &test.kind else {
            continue;
        };
        kinds.extend(test.device_kinds.iter().copied());
        let words: BTreeSet<&str> = answers.iter().map(|answer| &*answer.words).collect();
        let code = &test.code.0;
        assert!((2..=9).contains(&answers.len()), "{code}");
        assert_eq!(words.len(), answers.len(), "{code}");
        let good = answers.iter().filter(|answer| answer.passes).count();
        assert!(good == 1 && answers[0].passes, "{code}: the first passes");
        assert_eq!(test.how.lines().count(), 3, "{code}");
    }
    assert_eq!(kinds.len(), DeviceKind::ALL.len());
}
