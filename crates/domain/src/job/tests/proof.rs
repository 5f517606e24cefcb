//! Before against after: what a pair of results proves, and when it proves nothing.

use proptest::prelude::*;

use super::*;
use crate::fact::Needs;
use crate::judging::DecisionRule;
use crate::reading::{Limits, Reading, Unit};

/// A result as `change` makes it, besides what it gave.
fn taken(phase: Phase, code: &str, outcome: Outcome, change: impl FnOnce(&mut TestResult)) -> Fact {
    let Fact::TestResulted(mut plain) = result(phase, code, outcome) else {
        unreachable!("result() makes results");
    };
    change(&mut plain);
    Fact::TestResulted(plain)
}

fn in_stream(stream: u8, number: u8, fact: Fact, seen: &[u8]) -> Recorded {
    let mut recorded = based_on(number, fact, seen);
    recorded.stamp.stream_id = StreamId::from_bytes([stream; 16]);
    recorded
}

fn amperes(micro: i64, limits: (i64, i64), rule: DecisionRule) -> Outcome {
    Outcome::Reading {
        reading: Reading {
            micro,
            unit: Unit::Ampere,
            uncertainty_micro: Some(20_000),
        },
        limits: Limits {
            low_micro: Some(limits.0),
            high_micro: Some(limits.1),
        },
        rule,
    }
}

fn row<'a>(job: &'a Job, code: &str) -> &'a Comparison {
    job.comparison
        .iter()
        .find(|row| row.code.0 == code)
        .expect("the test is part of the proof")
}

#[test]
fn joints_follow_before_and_after() {
    use Verdict::{Fail, NotApplicable, NotTestable, Pass};
    for (before, after, joint) in [
        (Some(Fail), Some(Pass), Joint::Fixed),
        (Some(Fail), Some(Fail), Joint::StillFailing),
        (Some(Pass), Some(Fail), Joint::MadeWorse),
        (Some(Pass), Some(Pass), Joint::Steady),
        (Some(NotTestable), Some(Pass), Joint::NewlyTestable),
        (Some(NotTestable), Some(Fail), Joint::NotComparable),
        (None, Some(Fail), Joint::NotComparable),
        (None, Some(Pass), Joint::NewlyTestable),
        (Some(Pass), None, Joint::NotProved),
        (Some(Fail), Some(NotTestable), Joint::NotProved),
        (Some(NotApplicable), None, Joint::NotApplicable),
        (Some(NotTestable), Some(NotApplicable), Joint::NotApplicable),
        (Some(Pass), Some(NotApplicable), Joint::NotComparable),
    ] {
        assert_eq!(join(before, after), joint, "{before:?} then {after:?}");
    }
}

#[track_caller]
fn check_not_comparable(before: Fact, after: Fact, why: &str) {
    let mut entries = story(7);
    entries.extend([at(50, before), at(51, after)]);
    let job = fold(&entries);
    let row = row(&job, "charge");
    assert_eq!(row.joint, Joint::NotComparable, "{row:?}");
    assert!(
        row.why.iter().any(|sentence| sentence.contains(why)),
        "{:?}",
        row.why
    );
}

const SIMPLE: DecisionRule = DecisionRule::SimpleAcceptance;

#[test]
fn results_that_can_not_be_set_against_each_other_say_why() {
    let low = |limits, rule| result(Phase::Before, "charge", amperes(100_000, limits, rule));
    let high = |limits, rule| result(Phase::After, "charge", amperes(900_000, limits, rule));
    check_not_comparable(
        low((500_000, 1_000_000), SIMPLE),
        high((600_000, 1_000_000), SIMPLE),
        "Judged before against 0.5 to 1 A and after against 0.6 to 1 A",
    );
    check_not_comparable(
        low((500_000, 1_000_000), SIMPLE),
        high((500_000, 1_000_000), DecisionRule::GuardedAcceptance),
        "after by guarded acceptance",
    );
    let mut volts = amperes(900_000, (500_000, 1_000_000), SIMPLE);
    if let Outcome::Reading { reading, .. } = &mut volts {
        reading.unit = Unit::Volt;
    }
    check_not_comparable(
        low((500_000, 1_000_000), SIMPLE),
        result(Phase::After, "charge", volts),
        "Read before in A and after in V",
    );
    check_not_comparable(
        result(Phase::Before, "charge", Outcome::Fail),
        taken(Phase::After, "charge", Outcome::Pass, |result| {
            result.version = 2;
        }),
        "before by version 1 of the test and after by version 2",
    );
    let of = |number: u8| {
        move |result: &mut TestResult| result.taken.definition_id = Some(entry_id(number))
    };
    check_not_comparable(
        taken(Phase::Before, "charge", Outcome::Fail, of(1)),
        taken(Phase::After, "charge", Outcome::Pass, of(2)),
        "version 1",
    );
}

#[test]
fn a_result_taken_with_parts_off_is_no_proof_where_the_test_needs_them() {
    let off = |result: &mut TestResult| {
        result.taken.needs = Needs::Attached;
        result.taken.attached = "display".to_owned();
        result.taken.assembly = Some(Assembly::PartsOff {
            parts: "display off".to_owned(),
        });
    };
    let before = result(Phase::Before, "charge", Outcome::Fail);
    let after = taken(Phase::After, "charge", Outcome::Pass, off);
    check_not_comparable(
        before,
        after,
        "Tested after while the device was with parts off: display off, but the test needs display attached.",
    );
    let mut entries = story(15);
    entries.push(at(50, taken(Phase::After, "charge", Outcome::Pass, off)));
    assert!(!row(&fold(&entries), "charge").proved);
    check_cannot_close(&entries, JobOutcome::Repaired, Block::FaultNotFixed);
}

#[test]
fn a_reading_in_the_guard_band_of_a_safety_limit_fails() {
    let limits = (500_000, 1_000_000);
    let near = result(
        Phase::After,
        "charge",
        amperes(990_000, limits, DecisionRule::GuardedAcceptance),
    );
    let mut entries = story(12);
    entries.push(at(50, near));
    let job = fold(&entries);
    let after = row(&job, "charge").after.as_ref().unwrap();
    assert_eq!(after.verdict, Verdict::Fail);
    assert!(
        after.judgement.contains("guarded acceptance, w = U"),
        "{}",
        after.judgement
    );
}

#[test]
fn a_following_result_replaces_the_earlier_one_and_both_stay_readable() {
    let mut entries = story(13);
    entries.push(at(50, result(Phase::After, "charge", Outcome::Fail)));
    let job = fold(&entries);
    assert_eq!(row(&job, "charge").joint, Joint::StillFailing);
    let of_charge: Vec<_> = job
        .results
        .iter()
        .filter(|marked| marked.result.code.0 == "charge" && marked.result.phase == Phase::After)
        .map(|marked| (marked.verdict, marked.replaced))
        .collect();
    assert_eq!(of_charge, [(Verdict::Pass, true), (Verdict::Fail, false)]);
}

#[test]
fn two_benches_that_differ_prove_nothing_until_it_is_tested_once_more() {
    let mut entries = story(15);
    entries.push(in_stream(
        2,
        50,
        result(Phase::After, "charge", Outcome::Fail),
        &[],
    ));
    let job = fold(&entries);
    assert_eq!(row(&job, "charge").joint, Joint::NotComparable);
    assert_eq!(row(&job, "charge").differing.len(), 1);
    assert_eq!(job.exceptions.len(), 1);
    check_cannot_close(&entries, JobOutcome::Repaired, Block::ResultsDiffer);
    entries.push(in_stream(
        2,
        51,
        result(Phase::After, "charge", Outcome::Pass),
        &[13, 50],
    ));
    let job = fold(&entries);
    assert_eq!(
        (row(&job, "charge").joint, job.exceptions.len()),
        (Joint::Fixed, 0)
    );
    assert_eq!(may_close(&job, JobOutcome::Repaired), []);
}

#[test]
fn two_benches_that_agree_are_no_disagreement() {
    let mut entries = story(15);
    entries.push(in_stream(
        2,
        50,
        result(Phase::After, "charge", Outcome::Pass),
        &[],
    ));
    assert_eq!(row(&fold(&entries), "charge").joint, Joint::Fixed);
}

#[test]
fn a_result_is_replaced_by_a_later_one_of_the_same_bench_even_when_its_clock_stepped_back() {
    let mut entries = story(12);
    let mut first = at(60, result(Phase::After, "charge", Outcome::Fail));
    first.stamp.stream_seq = 100;
    let mut second = at(55, result(Phase::After, "charge", Outcome::Pass));
    second.stamp.stream_seq = 101;
    entries.extend([first, second]);
    assert_eq!(row(&fold(&entries), "charge").joint, Joint::Fixed);
}

#[test]
fn repaired_needs_the_closed_device_with_all_its_parts() {
    let mut entries = story(15);
    let open = |result: &mut TestResult| result.taken.assembly = Some(Assembly::Open);
    entries.push(at(50, taken(Phase::After, "sound", Outcome::Pass, open)));
    check_cannot_close(&entries, JobOutcome::Repaired, Block::NotClosed);
    let unsaid = |result: &mut TestResult| result.taken.assembly = None;
    entries.push(at(51, taken(Phase::After, "sound", Outcome::Pass, unsaid)));
    check_cannot_close(&entries, JobOutcome::Repaired, Block::NotClosed);
    // A test that is done on the open board can't be asked for in the closed device.
    let bench = |result: &mut TestResult| {
        result.taken.needs = Needs::OnBench;
        result.taken.assembly = Some(Assembly::PartsOff {
            parts: String::new(),
        });
    };
    entries.push(at(52, taken(Phase::After, "sound", Outcome::Pass, bench)));
    assert_eq!(may_close(&fold(&entries), JobOutcome::Repaired), []);
    for (number, code) in [(53, "charge"), (54, "radio")] {
        entries.push(at(number, taken(Phase::After, code, Outcome::Pass, bench)));
    }
    check_cannot_close(&entries, JobOutcome::Repaired, Block::NotClosed);
}

#[test]
fn a_chosen_test_that_still_fails_is_repaired_in_part() {
    let mut entries = story(6);
    entries.push(at(20, tests(&[("charge", true), ("sound", false)])));
    for (number, fact) in (21..).zip([
        result(Phase::Before, "charge", Outcome::Fail),
        result(Phase::Before, "sound", Outcome::Fail),
        quote(8_900),
        answer(23, Answer::Agree),
        step(&[]),
        result(Phase::After, "charge", Outcome::Pass),
        result(Phase::After, "sound", Outcome::Fail),
    ]) {
        entries.push(at(number, fact));
    }
    check_cannot_close(&entries, JobOutcome::Repaired, Block::StillFailing);
    assert_eq!(may_close(&fold(&entries), JobOutcome::RepairedInPart), []);
    entries.push(at(60, result(Phase::After, "charge", Outcome::Fail)));
    check_cannot_close(&entries, JobOutcome::RepairedInPart, Block::NothingFixed);
}

#[test]
fn results_and_choices_of_earlier_versions_are_still_read() {
    let old = br#"{"phase":"after","code":"charge","version":1,"title":"charge","outcome":{"kind":"reading","reading":{"micro":900000,"unit":"ampere","uncertainty_micro":null},"limits":{"low_micro":500000,"high_micro":null}},"note":"","photos":[]}"#;
    let read = Fact::decode("test.resulted", 1, old, false);
    let Decoded::Known(fact) = read else {
        panic!("an old result must be read: {read:?}");
    };
    let mut entries = story(12);
    entries.push(at(50, *fact));
    assert_eq!(row(&fold(&entries), "charge").joint, Joint::Fixed);
    for (kind, old) in [
        (
            "tests.chosen",
            r#"{"tests":[{"code":"charge","title":"charge","shows_fault":true}]}"#,
        ),
        (
            "test.defined",
            r#"{"code":"a","version":1,"group":"g","title":"t","how":"","attached":"","device_kinds":["phone"],"fault_words":[],"kind":{"kind":"pass_fail"},"caution":""}"#,
        ),
        (
            "step.recorded",
            r#"{"text":"x","procedure":"","tool":"","parts":[],"heat":null,"witness_id":null,"photos":[]}"#,
        ),
        ("block.overridden", r#"{"block":"made_worse","reason":"x"}"#),
    ] {
        let read = Fact::decode(kind, 1, old.as_bytes(), false);
        assert!(matches!(read, Decoded::Known(_)), "{kind}: {read:?}");
    }
}

fn any_outcome() -> impl Strategy<Value = Outcome> {
    prop_oneof![
        Just(Outcome::Pass),
        Just(Outcome::Fail),
        Just(Outcome::NotApplicable),
        Just(Outcome::NotTestable {
            why: "x".to_owned()
        }),
        (0i64..1_500_000, any::<bool>()).prop_map(|(micro, guarded)| {
            let rule = if guarded {
                DecisionRule::GuardedAcceptance
            } else {
                SIMPLE
            };
            amperes(micro, (500_000, 1_000_000), rule)
        }),
    ]
}

fn any_result() -> impl Strategy<Value = Fact> {
    let code = prop::sample::select(vec!["charge", "sound", "radio", "besides"]);
    (any::<bool>(), code, any_outcome(), 0..4u8, 1..3u32).prop_map(
        |(is_after, code, outcome, stood, version)| {
            let phase = if is_after {
                Phase::After
            } else {
                Phase::Before
            };
            taken(phase, code, outcome, |result| {
                result.version = version;
                result.taken.assembly = match stood {
                    0 => None,
                    1 => Some(Assembly::Open),
                    _ => Some(Assembly::Closed),
                };
                if stood == 3 {
                    result.taken.needs = Needs::Closed;
                }
            })
        },
    )
}

/// A job in work with any results, from two benches that may not have seen each other.
fn any_proof() -> impl Strategy<Value = Vec<Recorded>> {
    proptest::collection::vec((any_result(), 1..3u8, any::<bool>()), 0..14).prop_map(|results| {
        let mut entries = story(12);
        for (number, (fact, stream, saw)) in (20u8..).zip(results) {
            let seen: Vec<u8> = if saw {
                (8..number).collect()
            } else {
                Vec::new()
            };
            entries.push(in_stream(stream, number, fact, &seen));
        }
        entries
    })
}

const AFTER_WORK: [JobOutcome; 2] = [JobOutcome::Repaired, JobOutcome::RepairedInPart];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn a_missing_after_is_never_a_pass(entries in any_proof()) {
        let job = fold(&entries);
        for row in &job.comparison {
            let passes = row.after.as_ref().is_some_and(|marked| marked.verdict == Verdict::Pass);
            prop_assert!(passes || !row.proved, "{row:?}");
            prop_assert!(passes || !matches!(row.joint, Joint::Fixed | Joint::Steady | Joint::NewlyTestable), "{row:?}");
        }
        let untested = job.comparison.iter().any(|row| row.reason != TestReason::Extra && row.after.is_none() && row.joint != Joint::NotApplicable);
        prop_assert!(!untested || !may_close(&job, JobOutcome::Repaired).is_empty());
    }

    #[test]
    fn adding_a_fail_never_improves_the_verdict(
        entries in any_proof(), code in prop::sample::select(vec!["charge", "sound", "radio", "besides", "new"]), stream in 1..3u8, saw in any::<bool>(),
    ) {
        let seen: Vec<u8> = if saw { (8..60).collect() } else { Vec::new() };
        let mut more = entries.clone();
        more.push(in_stream(stream, 60, result(Phase::After, code, Outcome::Fail), &seen));
        let (job, worse) = (fold(&entries), fold(&more));
        for outcome in AFTER_WORK {
            let (mut before, after) = (may_close(&job, outcome), may_close(&worse, outcome));
            // That a fail settles which of two results counts is no better verdict.
            before.retain(|missing| missing.block != Block::ResultsDiffer);
            prop_assert!(!after.is_empty() || before.is_empty(), "{outcome:?}: {before:?} became closable");
        }
        prop_assert!(!may_close(&worse, JobOutcome::Repaired).is_empty());
        let proved = |job: &Job| job.comparison.iter().filter(|row| row.proved).count();
        prop_assert!(proved(&worse) <= proved(&job));
    }

    #[test]
    fn the_order_in_which_results_arrive_never_matters((entries, order) in any_proof().prop_flat_map(|entries| {
        let order = Just((0..entries.len()).collect::<Vec<_>>()).prop_shuffle();
        (Just(entries), order)
    })) {
        let shuffled: Vec<Recorded> = order.iter().map(|index| entries[*index].clone()).collect();
        prop_assert_eq!(fold(&shuffled), fold(&entries));
    }
}
