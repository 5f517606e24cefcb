use domain::PersonId;

use super::*;

const HOUR: i64 = 3_600_000;

fn check_live(opened_hours_ago: i64, used_hours_ago: i64, expected: bool) {
    let now_ms = 1_700_000_000_000;
    let row = SessionRow {
        secret: crate::auth::token::TokenHash::of("x"),
        person_id: PersonId::from_bytes([1; 16]),
        opened_ms: now_ms - opened_hours_ago * HOUR,
        used_ms: now_ms - used_hours_ago * HOUR,
    };
    assert_eq!(
        is_live(&row, now_ms),
        expected,
        "opened {opened_hours_ago} h ago, used {used_hours_ago} h ago"
    );
}

#[test]
fn a_session_ends_after_12_hours_without_use_and_after_a_week_of_use() {
    check_live(0, 0, true);
    check_live(12, 12, true);
    check_live(13, 13, false);
    check_live(7 * 24, 0, true);
    check_live(7 * 24 + 1, 0, false);
}
