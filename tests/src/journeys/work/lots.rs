//! Parts from lots at the bench: floor life that is over, bags and bakes.

use desk::commands::Nothing;
use desk::commands::bench::work::{RecordStep, record_step};
use desk::commands::lots::{
    BagEvent, RecordBake, SaveLot, SetLotBag, lots, record_bake, save_lot, set_lot_bag,
};
use domain::fact::{FittedPart, LotNumber, PartSource};
use domain::rework::MoistureLevel;

use super::on_the_bench;
use crate::house::{House, check_refused};

fn lot() -> LotNumber {
    LotNumber("L-7".to_owned())
}

#[test]
fn a_part_whose_floor_life_is_over_may_be_used_and_is_named() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = on_the_bench(&house);
    let receipt = SaveLot {
        lot: "l-7".to_owned(),
        description: "charge controller".to_owned(),
        moisture: Some(MoistureLevel::L3),
        label_hours: String::new(),
        thickness: "0.9".to_owned(),
        history_unknown: true,
        used_up: false,
    };
    let view = save_lot(desk, receipt).unwrap();
    assert!(
        view.lots[0].bake_words.contains("9 h"),
        "{}",
        view.lots[0].bake_words
    );
    let fitted = FittedPart {
        designator: "U1".to_owned(),
        description: "charge controller".to_owned(),
        source: PartSource::New,
        // As a hand types it; the step and the report have it as the lab writes it.
        lot: "l-7".to_owned(),
    };
    let step = |parts: Vec<FittedPart>| RecordStep {
        text: "Fitted it".to_owned(),
        parts,
        ..RecordStep::on(job_id)
    };
    let view = record_step(desk, step(vec![fitted.clone()])).unwrap();
    assert_eq!(view.job.steps[0].value.parts[0].lot, "L-7");
    assert!(
        view.job.judged_steps[0].warnings[0]
            .text
            .contains("unknown history")
    );
    let bake = |hours: &str| RecordBake {
        lot: lot(),
        ended: String::new(),
        hours: hours.to_owned(),
        temperature_c: "125".to_owned(),
        as_maker_says: String::new(),
    };
    let usable_after = |hours: &str| {
        let view = record_bake(desk, bake(hours)).unwrap();
        view.lots[0].floor_life.as_ref().unwrap().usable
    };
    assert!(!usable_after("8"));
    assert!(usable_after("9"));
    let view = record_step(desk, step(vec![fitted])).unwrap();
    assert_eq!(view.job.judged_steps[1].warnings, []);
    let bag = |event: BagEvent| SetLotBag {
        lot: lot(),
        event,
        at: String::new(),
    };
    set_lot_bag(desk, bag(BagEvent::Opened)).unwrap();
    check_refused(set_lot_bag(desk, bag(BagEvent::Opened)), "open already");
    set_lot_bag(desk, bag(BagEvent::Closed)).unwrap();
    assert!(!lots(desk, Nothing {}).unwrap().lots[0].open);
}

#[test]
fn a_bag_that_was_opened_in_the_future_is_refused() {
    let house = House::founded();
    let receipt = SaveLot {
        lot: "L-7".to_owned(),
        description: "controller".to_owned(),
        moisture: None,
        label_hours: String::new(),
        thickness: String::new(),
        history_unknown: false,
        used_up: false,
    };
    save_lot(&house.desk, receipt).unwrap();
    let at = |at: &str| SetLotBag {
        lot: lot(),
        event: BagEvent::Opened,
        at: at.to_owned(),
    };
    check_refused(
        set_lot_bag(&house.desk, at("2999-01-01 10:00")),
        "still ahead",
    );
    check_refused(set_lot_bag(&house.desk, at("yesterday")), "is no time");
}
