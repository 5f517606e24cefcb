use super::*;

/// Wednesday, 25 November 2026, 11:00 UTC.
const WEDNESDAY_MS: i64 = 1_795_604_400_000;

fn days() -> Days {
    Days::before(WEDNESDAY_MS, "Europe/London".parse().unwrap()).unwrap()
}

#[test]
fn the_last_day_of_the_story_is_yesterday() {
    assert_eq!(days().date_after(LAST_DAY, 0).unwrap(), "2026-11-24");
    assert_eq!(days().date_after(0, 0).unwrap(), "2026-11-03");
}

#[test]
fn no_moment_of_the_story_lies_in_the_future_or_on_a_weekend() {
    let days = days();
    let last = days.at_ms(WorkTime::on(LAST_DAY, DAY_MINUTES - 1)).unwrap();
    assert!(last < WEDNESDAY_MS);
    assert!(days.at_ms(WorkTime::on(LAST_DAY + 1, 0)).is_err());
    assert_eq!(days.date_after(3, 1).unwrap(), "2026-11-09");
}

#[test]
fn the_clock_never_goes_back() {
    let clock = StoryClock::default();
    clock.move_to(500);
    clock.move_to(100);
    clock.advance(-7);
    assert_eq!(clock.at_ms(), 500);
}
