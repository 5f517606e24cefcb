//! A passcode: sealed here, opened where the lab's key is, never at the server, and gone when the device has left.

use desk::commands::bench::look_over::{
    OpenPasscode, OpenedPasscode, SealPasscode, open_passcode, seal_passcode,
};
use desk::{Desk, DeskError};
use domain::JobId;
use domain::job::Passcode;

use crate::house::{
    Desktop, House, IMEI, ROAD_LABEL, check_cell, check_refused, close, files_holding, job,
    refusal, repair, ship, take_in,
};

const SECRET: &str = "tangerine-2580";

fn seal(desk: &Desk, job_id: JobId, passcode: &str) {
    let request = SealPasscode {
        job_id,
        passcode: passcode.to_owned(),
    };
    seal_passcode(desk, request).unwrap();
}

fn open(desk: &Desk, job_id: JobId, reason: &str) -> Result<OpenedPasscode, DeskError> {
    let request = OpenPasscode {
        job_id,
        reason: reason.to_owned(),
    };
    open_passcode(desk, request)
}

#[test]
fn the_other_desktop_opens_it_for_a_reason_that_is_recorded() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    seal(&house.desk, job_id, SECRET);
    house.desk.sync_now().unwrap();
    let second = house.second_desktop("Bench two");
    let without = refusal(open(&second, job_id, "  "));
    assert_eq!(without.field.as_deref(), Some("reason"));
    assert!(
        job(&second, job_id).passcode_openings.is_empty(),
        "a refusal opens nothing"
    );
    assert_eq!(
        open(&second, job_id, "touch test").unwrap().passcode,
        SECRET
    );
    house.catch_up(&[&second]);
    let openings = job(&house.desk, job_id).passcode_openings;
    assert_eq!(openings.len(), 1);
    assert_eq!(openings[0].value.reason, "touch test");
    // Neither the server nor any desktop ever holds the passcode itself.
    for folder in [house.server.data(), house.desk.folder(), second.folder()] {
        assert_eq!(
            files_holding(&folder, SECRET.as_bytes()),
            Vec::<std::path::PathBuf>::new()
        );
    }
}

#[test]
fn a_desktop_without_the_lab_s_key_says_so() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    seal(&house.desk, job_id, SECRET);
    house.desk.sync_now().unwrap();
    let mut second = house.second_desktop("Bench two");
    second.close();
    let file = rusqlite::Connection::open(second.logbook()).unwrap();
    file.execute("DELETE FROM keys WHERE name = 'lab_key'", [])
        .unwrap();
    drop(file);
    second.open();
    check_refused(open(&second, job_id, "touch test"), "does not hold the key");
}

/// Checks that the sealed bytes are in no file of a folder.
fn assert_gone(what: &str, folder: &std::path::Path, sealed: &str) {
    let base64 = files_holding(folder, sealed.as_bytes());
    assert_eq!(
        base64,
        Vec::<std::path::PathBuf>::new(),
        "{what} still holds the sealed passcode"
    );
}

#[test]
fn shipping_erases_it_from_both_desktops_and_the_server() {
    let mut house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    check_cell(&house.desk, job_id);
    seal(&house.desk, job_id, SECRET);
    let sealed = house.desk.sealed_passcode();
    repair(&house.desk, job_id, IMEI);
    close(&house.desk, job_id);
    let mut second = house.second_desktop("Bench two");
    house.catch_up(&[&second]);
    for folder in [house.server.data(), house.desk.folder(), second.folder()] {
        assert!(
            !files_holding(&folder, sealed.as_bytes()).is_empty(),
            "until then it lies sealed everywhere"
        );
    }
    ship(&house.desk, house.shop_id, &[job_id], ROAD_LABEL);
    house.catch_up(&[&second]);
    for desk in [&house.desk, &second] {
        assert!(matches!(
            job(desk, job_id).passcode,
            Passcode::Destroyed { .. }
        ));
        check_refused(open(desk, job_id, "once more"), "was destroyed");
    }
    // At once, write-ahead logs included; and still after the programs have ended and every page is in its file.
    let gone_everywhere = |house: &House, second: &Desktop| {
        assert_gone("the server", &house.server.data(), &sealed);
        assert_gone("the first desktop", &house.desk.folder(), &sealed);
        assert_gone("the second desktop", &second.folder(), &sealed);
    };
    gone_everywhere(&house, &second);
    house.server.stop();
    house.desk.close();
    second.close();
    gone_everywhere(&house, &second);

    // A desktop that joins later never gets it, and the chain still proves itself without those bytes.
    house.server.start_again();
    house.desk.open();
    let third = Desktop::new();
    house.join(&third, "Bench three");
    crate::house::assert_sound(&third);
    crate::house::assert_same(&house.desk, &third);
    assert_gone("the third desktop", &third.folder(), &sealed);
}

#[test]
fn a_new_passcode_destroys_the_one_before() {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    seal(&house.desk, job_id, SECRET);
    seal(&house.desk, job_id, "0000");
    let opened = open(&house.desk, job_id, "touch test").unwrap();
    assert_eq!(opened.passcode, "0000");
}
