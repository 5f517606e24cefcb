use super::*;

fn check(millis: u64, expected: &str) {
    assert_eq!(seconds(Duration::from_millis(millis)), expected);
}

#[test]
fn short_times_keep_a_tenth() {
    check(40, "0.0 s");
    check(440, "0.4 s");
    check(9_400, "9.4 s");
}

#[test]
fn long_times_are_minutes_and_seconds() {
    check(12_900, "12 s");
    check(60_000, "1 min 00 s");
    check(185_000, "3 min 05 s");
}
