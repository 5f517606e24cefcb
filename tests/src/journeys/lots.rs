//! Lots of moisture-sensitive parts: when a bag was opened, put away or baked is typed afterwards, and a slip is taken back.

use desk::Desk;
use desk::commands::Nothing;
use desk::commands::bench::closing::{Withdraw, withdraw};
use desk::commands::lots::{
    BagEvent, LotKey, LotRow, RecordBake, SaveLot, SetLotBag, lot, lots, record_bake, save_lot,
    set_lot_bag,
};
use domain::calendar::Zone;
use domain::fact::LotNumber;
use domain::rework::MoistureLevel;

use crate::house::{House, refusal};

const HOUR_MS: i64 = 3_600_000;

fn number() -> LotNumber {
    LotNumber("L-7".to_owned())
}

/// A lab with a lot of level 3: 168 hours out of its bag.
fn with_a_lot() -> House {
    let house = House::founded();
    let receipt = SaveLot {
        lot: "l-7".to_owned(),
        description: "charge controller".to_owned(),
        moisture: Some(MoistureLevel::L3),
        label_hours: String::new(),
        thickness: "0.9".to_owned(),
        history_unknown: false,
        used_up: false,
    };
    save_lot(&house.desk, receipt).expect("a new lot");
    house
}

/// A time so many hours ago, as it is typed.
fn ago(hours: i64) -> String {
    let zone: Zone = "Europe/Vienna".parse().expect("a zone");
    let now_ms = jiff::Timestamp::now().as_millisecond();
    let local = zone.local(now_ms - hours * HOUR_MS).expect("a time");
    local.strftime("%Y-%m-%d %H:%M").to_string()
}

fn bag(event: BagEvent, at: &str) -> SetLotBag {
    SetLotBag {
        lot: number(),
        event,
        at: at.to_owned(),
    }
}

fn bake(ended: &str, hours: &str) -> RecordBake {
    RecordBake {
        lot: number(),
        ended: ended.to_owned(),
        hours: hours.to_owned(),
        temperature_c: "125".to_owned(),
        as_maker_says: String::new(),
    }
}

fn row(desk: &Desk) -> LotRow {
    lots(desk, Nothing {}).expect("lots").lots.remove(0)
}

fn hours_left(desk: &Desk) -> i64 {
    let life = row(desk).floor_life.expect("a level");
    life.left_ms.expect("some are left") / HOUR_MS
}

/// Takes back the last thing that was recorded.
fn take_back(desk: &Desk) {
    let view = lot(desk, LotKey { lot: number() }).expect("the lot");
    let mut standing = view.events.iter().filter(|event| !event.line.withdrawn);
    let request = Withdraw {
        subject: view.subject,
        entry_id: standing.next_back().expect("an event").line.mark.entry_id,
        reason: "the wrong bag".to_owned(),
    };
    withdraw(desk, request).expect("it may be taken back");
}

#[test]
fn the_clock_runs_from_the_time_that_was_typed_not_from_the_time_of_typing() {
    let house = with_a_lot();
    let desk = &house.desk;
    set_lot_bag(desk, bag(BagEvent::Opened, &ago(20))).expect("in the past");
    assert_eq!(hours_left(desk), 147, "the minute was cut off");
    set_lot_bag(desk, bag(BagEvent::IntoDryCabinet, &ago(10))).expect("after that");
    assert_eq!(hours_left(desk), 158);
    assert!(row(desk).in_dry_cabinet && !row(desk).open);
}

#[test]
fn a_time_before_the_last_event_is_refused_with_that_time() {
    let house = with_a_lot();
    let desk = &house.desk;
    let opened = ago(20);
    set_lot_bag(desk, bag(BagEvent::Opened, &opened)).expect("in the past");
    for said in [
        refusal(set_lot_bag(desk, bag(BagEvent::Closed, &ago(21)))),
        refusal(record_bake(desk, bake(&ago(30), "9"))),
    ] {
        assert!(said.message.contains(&opened), "{}", said.message);
        assert!(
            said.message.contains("take it back first"),
            "{}",
            said.message
        );
        assert!(said.field.is_some());
    }
    assert!(
        row(desk).open && row(desk).bake.is_none(),
        "nothing was recorded"
    );
}

#[test]
fn the_minute_of_the_last_event_is_late_enough() {
    let house = with_a_lot();
    let desk = &house.desk;
    set_lot_bag(desk, bag(BagEvent::Opened, "")).expect("now");
    set_lot_bag(desk, bag(BagEvent::Closed, &ago(0))).expect("in the same minute");
    assert!(!row(desk).open);
}

#[test]
fn a_time_that_is_ahead_or_none_is_refused_at_its_field() {
    let house = with_a_lot();
    let desk = &house.desk;
    let check = |at: &str, part: &str| {
        let said = refusal(set_lot_bag(desk, bag(BagEvent::Opened, at)));
        assert_eq!(said.field.as_deref(), Some("at"));
        assert!(said.message.contains(part), "{}", said.message);
        let said = refusal(record_bake(desk, bake(at, "9")));
        assert_eq!(said.field.as_deref(), Some("ended"));
        assert!(said.message.contains(part), "{}", said.message);
    };
    check("2999-01-01 10:00", "still ahead");
    check("yesterday", "is no time");
    check("2026-02-30 10:00", "is no time");
}

#[test]
fn what_is_taken_back_no_longer_counts_and_stays_readable() {
    let house = with_a_lot();
    let desk = &house.desk;
    set_lot_bag(desk, bag(BagEvent::Opened, &ago(100))).expect("in the past");
    set_lot_bag(desk, bag(BagEvent::Closed, &ago(90))).expect("after that");
    take_back(desk);
    assert!(row(desk).open);
    assert_eq!(hours_left(desk), 67, "it has run on");
    record_bake(desk, bake(&ago(1), "9")).expect("after the opening");
    assert_eq!(hours_left(desk), 166);
    take_back(desk);
    assert_eq!(hours_left(desk), 67);
    let view = lot(desk, LotKey { lot: number() }).expect("the lot");
    let said: Vec<(bool, bool)> = view
        .events
        .iter()
        .map(|event| (event.at_ms.is_some(), event.line.withdrawn))
        .collect();
    assert_eq!(
        said,
        [(false, false), (true, false), (true, true), (true, true)]
    );
    assert_eq!(view.people.len(), 1);
}
