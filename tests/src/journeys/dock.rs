//! Parcels at the door.

use desk::commands::bench::closing::{Withdraw, withdraw};
use desk::commands::dock::{
    InParcel, ParcelKey, ReceiveParcel, RecordParcelFindings, SetParcelShop, count_parcel, parcel,
    receive_parcel, record_parcel_findings, set_parcel_shop,
};
use desk::commands::scan::{ScanText, scan};
use domain::Subject;
use domain::fact::ParcelFinding;
use domain::job::Stage;
use domain::parcel::ParcelStage;

use crate::house::{
    House, IMEI, TRACKING, check_cell, check_refused, entry_count, extra_device, extra_in, imei,
    job, receive, take_in,
};

#[test]
fn a_parcel_that_nobody_announced_is_taken_in_all_the_same() {
    let house = House::founded();
    let answer = scan(
        &house.desk,
        ScanText {
            text: TRACKING.to_owned(),
        },
    )
    .unwrap();
    assert!(
        answer.matches.is_empty() && answer.offer_take_in,
        "{answer:?}"
    );
    let request = ReceiveParcel {
        parcel_id: None,
        scanned: TRACKING.to_owned(),
        shop_id: None,
    };
    let view = receive_parcel(&house.desk, request).unwrap();
    let parcel_id = view.parcel.parcel_id;
    assert_eq!(view.parcel.tracking.value().unwrap().number, TRACKING);
    let count = extra_in(parcel_id, vec![extra_device("K4", IMEI)]);
    check_refused(
        count_parcel(&house.desk, count.clone()),
        "choose the shop first",
    );
    set_parcel_shop(
        &house.desk,
        SetParcelShop {
            parcel_id,
            shop_id: house.shop_id,
        },
    )
    .unwrap();
    let view = count_parcel(&house.desk, count).unwrap();
    assert_eq!(view.devices[0].state, InParcel::Extra);
    let job_id = view.devices[0].job.job_id;
    let one = job(&house.desk, job_id);
    assert_eq!(
        (one.stage, one.unannounced, one.shop_id),
        (Stage::Receiving, true, Some(house.shop_id))
    );

    // Its shop sees it without having announced it.
    house.desk.sync_now().unwrap();
    let page = house.counter().get(&format!("/devices/{job_id}")).text();
    assert!(page.contains("Kestrel K4"), "{page}");
}

#[test]
fn a_parcel_that_is_warm_stays_closed() {
    let house = House::founded();
    let parcel_id = receive(&house.desk, house.shop_id, "");
    let request = RecordParcelFindings {
        parcel_id,
        findings: vec![ParcelFinding::Warm],
        note: String::new(),
    };
    let view = record_parcel_findings(&house.desk, request).unwrap();
    assert!(
        view.cautions[0].contains("Do not open this parcel"),
        "{:?}",
        view.cautions
    );
    let request = extra_in(parcel_id, vec![extra_device("K4", IMEI)]);
    check_refused(count_parcel(&house.desk, request), "do not open it");
}

#[test]
fn the_same_parcel_is_not_taken_in_twice() {
    let house = House::founded();
    let parcel_id = receive(&house.desk, house.shop_id, TRACKING);
    let before = entry_count(&house.desk);
    let again = ReceiveParcel {
        parcel_id: Some(parcel_id),
        scanned: TRACKING.to_owned(),
        shop_id: None,
    };
    check_refused(receive_parcel(&house.desk, again), "taken in already");
    assert_eq!(entry_count(&house.desk), before);
}

#[test]
fn a_count_is_taken_back_on_the_parcel_and_on_each_device() {
    let house = House::founded();
    let parcel_id = receive(&house.desk, house.shop_id, "");
    let count = |extra| extra_in(parcel_id, extra);
    let view = count_parcel(&house.desk, count(vec![extra_device("K4", IMEI)])).unwrap();
    let (job_id, entry_id) = (
        view.parcel.inside[0],
        view.parcel.count.unwrap().mark.entry_id,
    );
    let undo = Withdraw {
        subject: Subject::Parcel(parcel_id),
        entry_id,
        reason: "there are two".to_owned(),
    };
    withdraw(&house.desk, undo.clone()).unwrap();
    let view = parcel(&house.desk, ParcelKey { parcel_id }).unwrap();
    assert_eq!(
        (view.parcel.stage, view.parcel.count.is_none()),
        (ParcelStage::Received, true)
    );
    assert_eq!(
        job(&house.desk, job_id).stage,
        Stage::Advised,
        "the device is no longer in the house"
    );
    let view = count_parcel(
        &house.desk,
        count(vec![extra_device("K4", IMEI), extra_device("K4", &imei(2))]),
    )
    .unwrap();
    assert_eq!(view.parcel.inside.len(), 2);
}

#[test]
fn a_count_stands_once_a_device_has_gone_on() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    check_cell(&house.desk, job_id);
    let parcel_id = job(&house.desk, job_id).parcel_id.unwrap();
    let entry_id = parcel(&house.desk, ParcelKey { parcel_id })
        .unwrap()
        .parcel
        .count
        .unwrap()
        .mark
        .entry_id;
    let undo = Withdraw {
        subject: Subject::Parcel(parcel_id),
        entry_id,
        reason: "a slip".to_owned(),
    };
    check_refused(withdraw(&house.desk, undo), "has gone on since the count");
}
