//! Backups brought back, on either side, and copies of a folder.

use desk::PhotoTarget;
use desk::commands::setup::{BackUp, back_up};
use desk::commands::start::{RestoreLab, restore_lab};
use domain::Subject;
use domain::fact::PhotoPlace;

use crate::house::{
    Desktop, House, IMEI, all_jobs, assert_same, assert_sound, check_cell, closed_job, entry_count,
    imei, job, jpeg, look_over, refusal, take_in,
};

#[test]
fn a_restored_desktop_goes_on_in_a_new_stream_and_nothing_is_lost() {
    let mut house = House::founded();
    let early = take_in(&house.desk, house.shop_id, "K1", &imei(1));
    let target = PhotoTarget {
        subject: Subject::Job(early),
        place: PhotoPlace::Condition,
        caption: String::new(),
        beside: None,
    };
    let photo = house.desk.take_photo(&jpeg(640, 480, 9), &target).unwrap();
    let copy = house.desk.beside("backup");
    let backed_up = back_up(
        &house.desk,
        BackUp {
            path: copy.display().to_string(),
        },
    )
    .unwrap();
    assert_eq!(
        (backed_up.entries, backed_up.files),
        (entry_count(&house.desk), 1)
    );

    // Work goes on after the backup and reaches the server; then the disk dies.
    let late = take_in(&house.desk, house.shop_id, "K2", &imei(2));
    house.desk.sync_now().unwrap();
    let old_stream = house.desk.stream_id();
    house.desk.close();

    let restored = Desktop::new();
    restore_lab(
        &restored,
        RestoreLab {
            path: copy.display().to_string(),
        },
    )
    .unwrap();
    assert_ne!(
        restored.stream_id(),
        old_stream,
        "the server knows the old stream further than the backup does"
    );
    assert_eq!(
        restored.file_bytes(&photo.hash).unwrap(),
        std::fs::read(file_in(&copy, &photo.hash.to_string())).unwrap()
    );
    check_cell(&restored, early);
    restored.sync_now().unwrap();
    assert_eq!(
        job(&restored, late).reference,
        all_jobs(&restored)
            .iter()
            .find(|job| job.job_id == late)
            .unwrap()
            .reference
    );
    assert_eq!(
        all_jobs(&restored).len(),
        2,
        "what came after the backup is back"
    );
    assert!(job(&restored, early).cell().is_some());
    assert_sound(&restored);

    // A desktop that was never part of it sees all of both.
    house.desk = restored;
    let second = house.second_desktop("Bench two");
    assert_same(&house.desk, &second);
}

/// The file of this name somewhere below a folder.
fn file_in(folder: &std::path::Path, name: &str) -> std::path::PathBuf {
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path
                .to_string_lossy()
                .replace(['/', '\\'], "")
                .contains(name)
            {
                return path;
            }
        }
    }
    panic!("{name} is not in the backup");
}

#[test]
fn what_was_written_before_the_restore_and_never_sent_is_kept_apart_not_mixed() {
    let mut house = House::founded();
    let copy = house.desk.beside("backup");
    back_up(
        &house.desk,
        BackUp {
            path: copy.display().to_string(),
        },
    )
    .unwrap();
    // Two machines now come from one state: the original goes on, and so does the restored one.
    let restored = Desktop::new();
    restore_lab(
        &restored,
        RestoreLab {
            path: copy.display().to_string(),
        },
    )
    .unwrap();
    let one = take_in(&house.desk, house.shop_id, "K1", &imei(1));
    let two = take_in(&restored, house.shop_id, "K2", &imei(2));
    house.catch_up(&[&restored]);
    assert_ne!(house.desk.stream_id(), restored.stream_id());
    for desk in [&house.desk, &restored] {
        assert!(all_jobs(desk).iter().map(|job| job.job_id).eq({
            let mut ids = [one, two];
            ids.sort();
            ids
        }));
        assert_sound(desk);
    }
    house.desk.close();
    house.desk.open();
    assert_same(&house.desk, &restored);
}

#[test]
fn a_restored_server_is_healed_by_its_desktops() {
    let mut house = House::founded();
    let second = house.second_desktop("Bench two");
    let early = closed_job(&house.desk, house.shop_id, 1);
    house.catch_up(&[&second]);
    let copy = house.desk.beside("server-backup");
    house.server.back_up(&copy);

    // Both desktops go on after the backup, one of them with a picture and a report.
    let late = take_in(&second, house.shop_id, "K2", &imei(2));
    check_cell(&second, late);
    let target = PhotoTarget {
        subject: Subject::Job(early),
        place: PhotoPlace::Packing,
        caption: String::new(),
        beside: None,
    };
    let photo = house.desk.take_photo(&jpeg(640, 480, 4), &target).unwrap();
    let other = closed_job(&house.desk, house.shop_id, 3);
    house.catch_up(&[&second]);
    let before = house.server.log_position();

    house.server.restore(&copy);
    assert!(house.server.log_position() < before, "it has lost its end");
    assert_eq!(house.server.file(&photo.hash), None);
    house.catch_up(&[&second]);
    assert_eq!(
        house.server.log_position(),
        before,
        "the desktops gave it back"
    );
    assert_eq!(
        house.server.file(&photo.hash),
        Some(house.desk.file_bytes(&photo.hash).unwrap())
    );
    let report = job(&house.desk, other).reports.last().unwrap().value.file;
    assert!(house.server.file(&report).is_some());
    assert_same(&house.desk, &second);
    let third = house.second_desktop("Bench three");
    assert_same(&house.desk, &third);
    // The shop sees again what it saw before.
    let page = house.counter().get(&format!("/devices/{other}")).text();
    assert!(page.contains("Outcome: repaired"), "{page}");
}

#[test]
fn restoring_into_a_desktop_that_has_a_lab_is_refused() {
    let house = House::founded();
    let copy = house.desk.beside("backup");
    back_up(
        &house.desk,
        BackUp {
            path: copy.display().to_string(),
        },
    )
    .unwrap();
    let job_id = take_in(&house.desk, house.shop_id, "K1", IMEI);
    check_cell(&house.desk, job_id);
    look_over(&house.desk, job_id, IMEI);
    let answer = refusal(restore_lab(
        &house.desk,
        RestoreLab {
            path: copy.display().to_string(),
        },
    ));
    assert!(
        answer.message.contains("restore into an empty folder"),
        "{}",
        answer.message
    );
    let empty = Desktop::new();
    let answer = refusal(restore_lab(
        &empty,
        RestoreLab {
            path: house.desk.folder().join("nowhere").display().to_string(),
        },
    ));
    assert_eq!(answer.field.as_deref(), Some("path"));
    assert!(
        answer.message.contains("is no backup"),
        "{}",
        answer.message
    );
    let own = refusal(back_up(
        &house.desk,
        BackUp {
            path: house.desk.folder().join("copy").display().to_string(),
        },
    ));
    assert!(
        own.message.contains("outside the logbook"),
        "{}",
        own.message
    );
}
