//! Desktops and a server that do not hear of each other for a while.

use desk::commands::Nothing;
use desk::commands::bench::closing::{Disputed, Settle, settle};
use desk::commands::shops::{ShopKey, shop};
use desk::commands::start::{Draft, DraftKey, load_draft, save_draft};
use desk::{Desk, PhotoTarget};
use domain::fact::PhotoPlace;
use domain::job::{HoldReason, Stage};
use domain::{ContentHash, JobId, Subject};

use crate::house::{
    Desktop, House, IMEI, agree_by_word, assert_same, assert_sound, check_cell, close, holds, job,
    jpeg_with_traces, look_over, quote, refusal, state_of, take_in, test_after, test_before, work,
};

fn quoted_total(desk: &Desk, job_id: JobId) -> i64 {
    job(desk, job_id).quote_total.unwrap().minor
}

/// Three pictures of a device, each as a camera writes it.
fn photographed(desk: &Desk, job_id: JobId) -> Vec<ContentHash> {
    let places = [
        (1, PhotoPlace::Condition),
        (2, PhotoPlace::Before),
        (3, PhotoPlace::Work),
    ];
    let take = |(seed, place)| {
        let target = PhotoTarget {
            subject: Subject::Job(job_id),
            place,
            caption: String::new(),
            beside: None,
        };
        let taken = desk.take_photo(&jpeg_with_traces(800, 600, seed), &target);
        taken.unwrap().hash
    };
    places.into_iter().map(take).collect()
}

/// Checks that a picture is the same everywhere, and that nothing of what the camera wrote beside it left the house.
fn check_picture(house: &House, second: &Desktop, hash: &ContentHash) {
    let at_server = house.server.file(hash).expect("it arrived");
    assert_eq!(
        attachments::hash_of(&at_server),
        *hash,
        "the server holds what the entry names"
    );
    assert_eq!(
        at_server,
        second.file_bytes(hash).unwrap(),
        "and hands it to the other desktop"
    );
    for trace in [
        "Jane Tester",
        "Lindenford",
        "Exif",
        "ns.adobe.com",
        "TRAILER",
    ] {
        assert!(
            !holds(&at_server, trace.as_bytes()),
            "{trace} left the house"
        );
    }
}

#[test]
fn work_goes_on_without_the_server_and_everything_follows() {
    let mut house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    let second = house.second_desktop("Bench two");

    // From the cell check to the after tests nobody answers.
    house.server.stop();
    let desk = &house.desk;
    check_cell(desk, job_id);
    look_over(desk, job_id, IMEI);
    let hashes = photographed(desk, job_id);
    test_before(desk, job_id);
    quote(desk, job_id, "89");
    agree_by_word(desk, job_id);
    work(desk, job_id);
    test_after(desk, job_id);
    desk.sync_now().unwrap_err();
    let sync = state_of(desk).sync;
    assert!(
        !sync.connected && sync.files_waiting == 3 && sync.entries_waiting > 10,
        "{sync:?}"
    );
    assert!(sync.words.contains("no connection since"), "{}", sync.words);
    assert!(
        sync.trouble.contains("does not answer; work goes on here"),
        "{}",
        sync.trouble
    );
    assert!(
        !sync.needs_person,
        "a server that is out of reach needs nobody"
    );
    let worked = job(desk, job_id);

    // It answers again: entries and pictures arrive, to the byte, without what the camera wrote beside them.
    house.server.start_again();
    house.catch_up(&[&second]);
    let sync = state_of(&house.desk).sync;
    assert_eq!(
        (
            sync.entries_waiting,
            sync.files_waiting,
            sync.words.as_str()
        ),
        (0, 0, "all sent")
    );
    assert_eq!(job(&second, job_id), worked);
    for hash in &hashes {
        check_picture(&house, &second, hash);
    }
    close(&house.desk, job_id);
    house.catch_up(&[&second]);
    assert_same(&house.desk, &second);
    assert_sound(&second);
}

#[test]
fn a_second_desktop_joins_by_an_invitation_and_sees_everything() {
    let house = House::founded();
    let job_id = crate::house::closed_job(&house.desk, house.shop_id, 1);
    crate::house::add_person(&house.desk, "Ben Arlo", &[domain::fact::Role::Technician]);
    house.desk.sync_now().unwrap();
    let second = house.second_desktop("Bench two");
    assert_same(&house.desk, &second);
    let state = state_of(&second);
    assert_eq!(
        (state.desktop_name.as_str(), state.people.len()),
        ("Bench two", 2)
    );
    let desktops = desk::commands::setup::setup(&second, Nothing {})
        .unwrap()
        .desktops;
    assert!(
        desktops
            .iter()
            .any(|row| row.name == "Bench one" && row.entries > 0),
        "{desktops:?}"
    );
    // The report that the first drew opens at the second.
    let file = job(&second, job_id).reports.last().unwrap().value.file;
    assert!(second.file_bytes(&file).unwrap().starts_with(b"%PDF-"));
}

/// Two desktops that named these prices for one job while neither heard of the other, and have met since.
fn priced_apart(here: &str, there: &str) -> (House, Desktop, JobId) {
    let mut house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    check_cell(&house.desk, job_id);
    look_over(&house.desk, job_id, IMEI);
    test_before(&house.desk, job_id);
    house.desk.sync_now().unwrap();
    let second = house.second_desktop("Bench two");
    house.server.stop();
    quote(&house.desk, job_id, here);
    quote(&second, job_id, there);
    house.server.start_again();
    house.catch_up(&[&second]);
    (house, second, job_id)
}

#[test]
fn two_prices_set_apart_are_both_shown_until_someone_settles() {
    let (house, second, job_id) = priced_apart("89", "120");

    for desk in [&house.desk, &second] {
        let disputed = job(desk, job_id);
        assert!(disputed.quote.is_disputed() && disputed.quote.heads.len() == 2);
        assert!(disputed.holds.contains(&HoldReason::Disagreement));
        assert_eq!(state_of(desk).disagreements, 1);
    }
    assert_same(&house.desk, &second);
    let told = desk::commands::bench::quote::RecordDecision {
        job_id,
        answer: domain::fact::Answer::Agree,
        note: "by phone".to_owned(),
    };
    let early = refusal(desk::commands::bench::quote::record_decision(&second, told));
    assert!(
        early.message.contains("settle which one counts"),
        "{}",
        early.message
    );
    let dear = job(&second, job_id)
        .quote
        .heads
        .iter()
        .find(|head| head.value.total().unwrap().minor == 12_000)
        .unwrap()
        .mark
        .entry_id;
    settle(
        &second,
        Settle {
            job_id,
            value: Disputed::Quote,
            entry_id: dear,
        },
    )
    .unwrap();
    house.catch_up(&[&second]);
    for desk in [&house.desk, &second] {
        assert!(!job(desk, job_id).quote.is_disputed());
        assert_eq!(quoted_total(desk, job_id), 12_000);
        assert_eq!(state_of(desk).disagreements, 0);
    }
    let again = settle(
        &house.desk,
        Settle {
            job_id,
            value: Disputed::Quote,
            entry_id: dear,
        },
    );
    assert!(
        refusal(again).message.contains("Nobody disagrees"),
        "settling twice is refused"
    );
}

#[test]
fn the_same_price_set_apart_is_no_disagreement() {
    let (house, second, job_id) = priced_apart("89", "89.00");
    assert!(!job(&second, job_id).quote.is_disputed());
    assert_same(&house.desk, &second);
}

#[test]
fn the_background_line_carries_an_entry_to_the_other_desktop_by_itself() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let (left, right) = (house.desk.shared(), second.shared());
    let (sender, receiver) = std::sync::mpsc::channel();
    right.on_change(std::sync::Arc::new(move |changed: &desk::Changed| {
        if let desk::Changed::Subjects { subjects } = changed {
            let _gone = sender.send(subjects.clone());
        }
        std::ops::ControlFlow::Continue(())
    }));
    left.start().unwrap();
    right.start().unwrap();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    let patience = std::time::Duration::from_secs(30);
    let mut arrived = false;
    while !arrived {
        let subjects = receiver
            .recv_timeout(patience)
            .expect("the hint path brings it");
        arrived = subjects.contains(&Subject::Job(job_id));
    }
    assert_eq!(job(&second, job_id).stage, Stage::Receiving);
    left.stop();
    right.stop();
}

#[test]
fn drafts_and_settings_stay_on_their_own_desktop() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let key = "quote:K4".to_owned();
    save_draft(
        &house.desk,
        Draft {
            key: key.clone(),
            text: "{\"lines\":\"half typed\"}".to_owned(),
        },
    )
    .unwrap();
    house.catch_up(&[&second]);
    assert_eq!(
        load_draft(&house.desk, DraftKey { key: key.clone() })
            .unwrap()
            .text
            .as_deref(),
        Some("{\"lines\":\"half typed\"}")
    );
    assert_eq!(load_draft(&second, DraftKey { key }).unwrap().text, None);
    assert!(
        shop(
            &second,
            ShopKey {
                shop_id: house.shop_id
            }
        )
        .is_ok()
    );
}
