//! Tracking numbers and identifiers with a wrong check digit, and a device that is here already.

use desk::commands::bench::look_over::{RecordIdentity, record_identity};
use desk::commands::dock::{ReceiveParcel, SetTracking, receive_parcel, set_tracking};
use desk::commands::scan::{IdentifierReadings, ScanText, read_identifier, scan};
use domain::identifiers::IdentifierKind;

use crate::house::{House, IMEI, TRACKING, check_cell, imei, job, refusal, take_in};

/// The IMEI of 3GPP's example with one digit off: its check digit no longer fits.
const IMEI_OFF: &str = "490154203237519";
/// The number of UPU S10's example with one digit off.
const TRACKING_OFF: &str = "RR473124828GB";

#[test]
fn a_tracking_number_with_a_wrong_check_digit_is_kept_with_a_warning_that_shows_the_likely_one() {
    let house = House::founded();
    let answer = scan(
        &house.desk,
        ScanText {
            text: TRACKING_OFF.to_owned(),
        },
    )
    .unwrap();
    assert!(
        answer.offer_take_in && answer.warning.contains(TRACKING),
        "{answer:?}"
    );
    let request = ReceiveParcel {
        parcel_id: None,
        scanned: TRACKING_OFF.to_owned(),
        shop_id: Some(house.shop_id),
    };
    let parcel = receive_parcel(&house.desk, request).unwrap().parcel;
    let tracking = parcel.tracking.value().unwrap();
    assert_eq!(tracking.number, TRACKING_OFF, "what the label says is kept");
    assert!(
        tracking.warning.contains("check digit") && tracking.warning.contains(TRACKING),
        "{}",
        tracking.warning
    );
    // The number as it stands finds the parcel; corrected, the warning is gone.
    assert_eq!(
        scan(
            &house.desk,
            ScanText {
                text: TRACKING_OFF.to_owned()
            }
        )
        .unwrap()
        .matches
        .len(),
        1
    );
    let request = SetTracking {
        parcel_id: parcel.parcel_id,
        text: TRACKING.to_owned(),
    };
    let corrected = set_tracking(&house.desk, request).unwrap().parcel;
    assert_eq!(corrected.tracking.value().unwrap().warning, "");
}

#[test]
fn an_imei_with_a_wrong_check_digit_is_kept_with_a_warning_that_shows_the_likely_one() {
    let house = House::founded();
    let IdentifierReadings { readings, warning } = read_identifier(
        &house.desk,
        ScanText {
            text: IMEI_OFF.to_owned(),
        },
    )
    .unwrap();
    assert_eq!(readings[0].kind, IdentifierKind::Imei);
    assert!(
        warning.contains("does not fit") && warning.contains(IMEI),
        "{warning}"
    );
    let job_id = take_in(&house.desk, house.shop_id, "K4", "");
    check_cell(&house.desk, job_id);
    record_identity(
        &house.desk,
        RecordIdentity {
            job_id,
            texts: vec![IMEI_OFF.to_owned()],
        },
    )
    .unwrap();
    let recorded = job(&house.desk, job_id);
    let identifier = &recorded.identity.value().unwrap().identifiers[0];
    assert_eq!(
        (identifier.kind, identifier.text.as_str()),
        (IdentifierKind::Imei, IMEI_OFF)
    );
    assert!(identifier.warning.contains(IMEI), "{}", identifier.warning);
}

#[test]
fn a_right_number_has_no_warning() {
    let house = House::founded();
    for text in [IMEI, "35 209900 000123 4", "SN-12345"] {
        let right = text == IMEI || !text.starts_with("35");
        let answer = read_identifier(
            &house.desk,
            ScanText {
                text: text.to_owned(),
            },
        )
        .unwrap();
        assert_eq!(
            answer.warning.is_empty(),
            right,
            "{text}: {}",
            answer.warning
        );
    }
}

#[test]
fn a_device_that_is_in_the_house_already_is_refused_by_its_job() {
    let house = House::founded();
    let first = take_in(&house.desk, house.shop_id, "K4", "");
    check_cell(&house.desk, first);
    record_identity(
        &house.desk,
        RecordIdentity {
            job_id: first,
            texts: vec![IMEI.to_owned()],
        },
    )
    .unwrap();
    let second = take_in(&house.desk, house.shop_id, "K4", "");
    check_cell(&house.desk, second);
    // With and without its check digit (3GPP TS 23.003, 6.2.1: fourteen digits and a check digit), and as a label groups it.
    for text in [IMEI, &IMEI[..14], "49-015420-323751-8"] {
        let answer = refusal(record_identity(
            &house.desk,
            RecordIdentity {
                job_id: second,
                texts: vec![text.to_owned()],
            },
        ));
        let reference = job(&house.desk, first).reference;
        assert!(
            answer.message.contains("already in the house") && answer.message.contains(&reference),
            "{text}: {}",
            answer.message
        );
        assert_eq!(answer.field.as_deref(), Some("texts"));
    }
    assert!(job(&house.desk, second).identity.heads.is_empty());
    // Number of another device: fine.
    record_identity(
        &house.desk,
        RecordIdentity {
            job_id: second,
            texts: vec![imei(8)],
        },
    )
    .unwrap();
}

#[test]
fn a_device_that_is_not_the_announced_one_blocks_until_an_owner_says_why() {
    use desk::commands::bench::closing::{OverrideBlock, override_block};
    use desk::commands::bench::proof::{ChooseTests, choose_tests};
    use domain::job::{Block, Stage};
    let house = House::founded();
    let desk = &house.desk;
    let mut counter = house.counter();
    counter.add_phone("K4", IMEI, "does not charge");
    counter.announce("");
    desk.sync_now().unwrap();
    let awaited = desk::commands::dock::dock(desk, desk::commands::Nothing {})
        .unwrap()
        .awaited;
    let parcel_id = awaited[0].parcel_id;
    let view = receive_parcel(
        desk,
        ReceiveParcel {
            parcel_id: Some(parcel_id),
            scanned: String::new(),
            shop_id: None,
        },
    )
    .unwrap();
    let job_id = view.parcel.expected[0];
    let request = desk::commands::dock::CountParcel {
        parcel_id,
        found: vec![job_id],
        extra: Vec::new(),
        note: String::new(),
    };
    desk::commands::dock::count_parcel(desk, request).unwrap();
    check_cell(desk, job_id);
    crate::house::look_over(desk, job_id, &imei(4));
    let swapped = job(desk, job_id);
    assert!(swapped.identity_difference.is_some());
    assert_eq!(swapped.stage, Stage::Holding);
    let codes = vec![crate::house::code(crate::house::FAULT_TEST)];
    let choose = ChooseTests {
        job_id,
        codes: codes.clone(),
        shows_fault: codes,
    };
    let blocked = refusal(choose_tests(desk, choose.clone()));
    assert!(
        blocked.missing[0]
            .sentence
            .contains("may be a swapped device")
            && blocked.missing[0].can_be_overridden
    );
    let pass = |reason: &str| OverrideBlock {
        job_id,
        block: Block::IdentityDiffers,
        reason: reason.to_owned(),
    };
    assert_eq!(
        refusal(override_block(desk, pass(""))).field.as_deref(),
        Some("reason")
    );
    override_block(
        desk,
        pass("the shop sent the customer's other phone, by phone"),
    )
    .unwrap();
    choose_tests(desk, choose).unwrap();
    let law = OverrideBlock {
        job_id,
        block: Block::CellNotClear,
        reason: "in a hurry".to_owned(),
    };
    assert!(
        refusal(override_block(desk, law))
            .message
            .contains("can't be passed by anyone")
    );
}
