//! A full disk.

use desk::commands::bench::work::{RecordNote, record_note};
use desk::commands::dock::{
    CountParcel, ParcelKey, ReceiveParcel, count_parcel, parcel, receive_parcel,
};
use desk::commands::start::{Draft, DraftKey, load_draft, save_draft};
use domain::JobId;
use domain::parcel::ParcelStage;

use crate::house::{
    House, IMEI, all_jobs, assert_sound, entry_count, extra_device, imei, job, refusal, take_in,
};

/// Long enough that it can't fit into what is left of the last pages.
fn long_note(job_id: JobId) -> RecordNote {
    RecordNote {
        job_id,
        text: "Corroded around the connector. ".repeat(300),
    }
}

#[test]
fn nothing_is_half_saved_and_what_was_typed_stays() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", IMEI);
    let key = format!("note:{job_id}");
    let typed = "{\"text\":\"Corroded around the connector.\"}".to_owned();
    save_draft(
        desk,
        Draft {
            key: key.clone(),
            text: typed.clone(),
        },
    )
    .unwrap();
    let before = entry_count(desk);

    desk.set_size_limit(Some(0)).unwrap();
    let answer = refusal(record_note(desk, long_note(job_id)));
    assert_eq!(
        answer.message,
        "The disk is full, so this was not saved; free some space and record it again."
    );
    assert_eq!(entry_count(desk), before);
    assert!(job(desk, job_id).notes.is_empty());
    assert_eq!(
        load_draft(desk, DraftKey { key: key.clone() })
            .unwrap()
            .text,
        Some(typed)
    );
    assert_sound(desk);

    // Room is made: the same action goes through, and the stream has no hole.
    desk.set_size_limit(None).unwrap();
    record_note(desk, long_note(job_id)).unwrap();
    assert_eq!(job(desk, job_id).notes.len(), 1);
    assert_sound(desk);
    desk.sync_now().unwrap();
    crate::house::assert_same(desk, &house.second_desktop("Bench two"));
}

#[test]
fn an_action_on_many_devices_is_saved_whole_or_not_at_all() {
    let house = House::founded();
    let desk = &house.desk;
    let request = ReceiveParcel {
        parcel_id: None,
        scanned: String::new(),
        shop_id: Some(house.shop_id),
    };
    let parcel_id = receive_parcel(desk, request).unwrap().parcel.parcel_id;
    let extra = (0..40)
        .map(|number| extra_device(&format!("K{number}"), &imei(number)))
        .collect();
    let count = CountParcel {
        parcel_id,
        found: Vec::new(),
        extra,
        note: String::new(),
    };
    let before = entry_count(desk);
    desk.set_size_limit(Some(0)).unwrap();
    assert!(
        refusal(count_parcel(desk, count.clone()))
            .message
            .contains("disk is full")
    );
    assert_eq!(entry_count(desk), before);
    assert!(all_jobs(desk).is_empty(), "not one of the forty");
    assert_eq!(
        parcel(desk, ParcelKey { parcel_id }).unwrap().parcel.stage,
        ParcelStage::Received
    );
    desk.set_size_limit(None).unwrap();
    assert_eq!(count_parcel(desk, count).unwrap().parcel.inside.len(), 40);
    assert_sound(desk);
}

#[test]
fn what_the_server_sends_is_taken_page_by_page_or_not_at_all() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    for _ in 0..5 {
        record_note(&house.desk, long_note(job_id)).unwrap();
    }
    house.desk.sync_now().unwrap();
    let before = entry_count(&second);
    second.set_size_limit(Some(0)).unwrap();
    assert!(refusal(second.sync_now()).message.contains("disk is full"));
    assert_eq!(entry_count(&second), before);
    second.set_size_limit(None).unwrap();
    house.catch_up(&[&second]);
    crate::house::assert_same(&house.desk, &second);
    assert_sound(&second);
}
