//! Installation, settings, drafts, photos, backup and restore.

use domain::ContentHash;

use super::*;

#[test]
fn a_file_copied_elsewhere_writes_a_stream_of_its_own() {
    let bench = Bench::new(1);
    bench.say(1, "original");
    let original = bench.info();
    let copy = tempfile::tempdir().unwrap();
    bench.store.checkpoint().unwrap();
    std::fs::create_dir_all(copy.path().join("data")).unwrap();
    std::fs::copy(bench.store.path(), copy.path().join("data").join(FILE_NAME)).unwrap();
    let (ports, _) = ports(2);
    let copied = Store::open(&options(copy.path()), ports, Arc::new(Listing(1))).unwrap();
    let info = copied.installation().unwrap().stream_info();
    assert_ne!(info.stream_id, original.stream_id);
    let entry = copied
        .append(person(), vec![note(job(1), "copy")])
        .unwrap()
        .entries
        .remove(0);
    assert_eq!((entry.stream_id, entry.stream_seq), (info.stream_id, 1));
    assert_eq!(
        bench.reopen(1).info(),
        original,
        "the original goes on with its own"
    );
}

#[test]
fn a_restored_laptop_starts_a_new_stream() {
    let bench = Bench::new(1);
    bench.say(1, "before the backup");
    let backup = bench.dir.path().join("backup.sqlite");
    bench.store.backup_to(&backup).unwrap();
    bench.say(1, "after the backup");
    let before = bench.info();
    let Bench { store, dir, .. } = bench;
    drop(store);
    let kept = Store::restore(&backup, &options(dir.path()), 123)
        .unwrap()
        .unwrap();
    assert!(kept.ends_with("before-restore-123.sqlite") && kept.exists());
    let (ports, _) = ports(3);
    let restored = Store::open(&options(dir.path()), ports, Arc::new(Listing(1))).unwrap();
    assert_ne!(restored.installation().unwrap().stream_id, before.stream_id);
    assert_eq!(restored.entry_count().unwrap(), 1);
    assert_eq!(
        restored.installation().unwrap().public_key,
        before.public_key
    );
}

#[test]
fn a_backup_replaces_an_older_one_and_needs_no_second_file() {
    let bench = Bench::new(1);
    let backup = bench.dir.path().join("backup.sqlite");
    for text in ["one", "two"] {
        bench.say(1, text);
        bench.store.backup_to(&backup).unwrap();
    }
    let names: Vec<String> = std::fs::read_dir(bench.dir.path())
        .unwrap()
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.starts_with("backup"))
        .collect();
    assert_eq!(names, vec!["backup.sqlite"]);
    let fresh = tempfile::tempdir().unwrap();
    assert_eq!(
        Store::restore(&backup, &options(fresh.path()), 1).unwrap(),
        None
    );
    let (ports, _) = ports(4);
    let restored = Store::open(&options(fresh.path()), ports, Arc::new(Listing(1))).unwrap();
    assert_eq!(restored.entry_count().unwrap(), 2);
}

#[test]
fn something_else_is_not_restored() {
    let bench = Bench::new(1);
    let stray = bench.dir.path().join("stray.sqlite");
    std::fs::write(
        &stray,
        b"not a database, but long enough to look at: ".repeat(40),
    )
    .unwrap();
    let error = Store::restore(&stray, &options(bench.dir.path()), 1).unwrap_err();
    assert!(matches!(error, StoreError::Damaged { .. }), "{error}");
    assert_eq!(
        bench.store.entry_count().unwrap(),
        0,
        "the file in place is untouched"
    );
}

#[test]
fn a_file_of_a_newer_program_is_refused() {
    let bench = Bench::new(1);
    let path = bench.store.path().to_owned();
    let Bench { store, dir, .. } = bench;
    drop(store);
    rusqlite::Connection::open(&path)
        .unwrap()
        .pragma_update(None, "user_version", 999)
        .unwrap();
    let (ports, _) = ports(1);
    let error = Store::open(&options(dir.path()), ports, Arc::new(Listing(1)))
        .err()
        .unwrap();
    assert!(
        matches!(error, StoreError::TooNew { found: 999, .. }),
        "{error}"
    );
}

#[cfg(unix)]
#[test]
fn only_its_owner_can_read_the_file() {
    use std::os::unix::fs::PermissionsExt as _;
    let bench = Bench::new(1);
    let mode = std::fs::metadata(bench.store.path())
        .unwrap()
        .permissions()
        .mode();
    assert_eq!(mode & 0o777, 0o600);
}

#[test]
fn settings_drafts_and_secrets_survive_a_restart() {
    let bench = Bench::new(1);
    bench.store.set_setting("paper", &"a4").unwrap();
    bench.store.set_setting("paper", &"letter").unwrap();
    bench
        .store
        .keep_draft("job-1", "{\"text\":\"half a sen\"}")
        .unwrap();
    assert_eq!(bench.store.keep_secret("lab", b"first").unwrap(), b"first");
    let bench = bench.reopen(1);
    assert_eq!(
        bench.store.setting::<String>("paper").unwrap().as_deref(),
        Some("letter")
    );
    assert_eq!(
        bench.store.setting::<u32>("paper").unwrap(),
        None,
        "another type counts as not set"
    );
    assert_eq!(
        bench.store.draft("job-1").unwrap(),
        Some(("{\"text\":\"half a sen\"}".into(), NOON_MS))
    );
    bench.store.drop_draft("job-1").unwrap();
    assert_eq!(bench.store.draft("job-1").unwrap(), None);
    assert_eq!(
        bench.store.keep_secret("lab", b"second").unwrap(),
        b"first",
        "a key is never replaced"
    );
}

fn photo(n: u8, size_bytes: u64) -> LocalPhoto {
    LocalPhoto {
        hash: ContentHash::from_bytes([n; 32]),
        size_bytes,
        thumb: Some((ContentHash::from_bytes([n + 100; 32]), 900)),
    }
}

#[test]
fn thumbnails_go_before_pictures_and_the_newest_first() {
    use std::sync::atomic::Ordering;

    use sync_protocol::PhotoVariant::{Full, Thumb};
    let bench = Bench::new(1);
    for n in 1..=2 {
        bench.store.queue_photo(&photo(n, 500_000)).unwrap();
        bench.clock.0.fetch_add(1, Ordering::SeqCst);
    }
    let mut order = Vec::new();
    while let Some(upload) = bench.store.next_upload(NOON_MS).unwrap() {
        order.push((upload.hash.as_bytes()[0], upload.variant));
        bench
            .store
            .note_upload(
                &upload.hash,
                upload.variant,
                PhotoWhere::Verified,
                upload.size_bytes,
            )
            .unwrap();
    }
    assert_eq!(order, vec![(2, Thumb), (1, Thumb), (2, Full), (1, Full)]);
    let totals = bench.store.photo_totals().unwrap();
    assert_eq!(
        (totals.waiting, totals.verified, totals.verified_bytes),
        (0, 2, 1_000_000)
    );
}

#[test]
fn a_failed_photo_waits_and_the_others_go_on() {
    let bench = Bench::new(1);
    bench
        .store
        .queue_photo(&LocalPhoto {
            thumb: None,
            ..photo(1, 10)
        })
        .unwrap();
    bench
        .store
        .queue_photo(&LocalPhoto {
            thumb: None,
            ..photo(2, 10)
        })
        .unwrap();
    let first = bench.store.next_upload(NOON_MS).unwrap().unwrap().hash;
    bench
        .store
        .note_upload_failed(&first, "damaged on the way", NOON_MS + 5_000)
        .unwrap();
    let second = bench.store.next_upload(NOON_MS).unwrap().unwrap().hash;
    assert_ne!(first, second);
    assert_eq!(
        bench
            .store
            .photo(&first)
            .unwrap()
            .unwrap()
            .problem
            .as_deref(),
        Some("damaged on the way")
    );
    bench
        .store
        .note_upload(
            &second,
            sync_protocol::PhotoVariant::Full,
            PhotoWhere::Verified,
            10,
        )
        .unwrap();
    assert_eq!(bench.store.next_upload(NOON_MS).unwrap(), None);
    assert_eq!(
        bench
            .store
            .next_upload(NOON_MS + 5_000)
            .unwrap()
            .unwrap()
            .tries,
        1
    );
    bench.store.retry_uploads_now().unwrap();
    assert!(bench.store.next_upload(NOON_MS).unwrap().is_some());
}

#[test]
fn after_a_restore_of_the_server_every_photo_is_asked_for_again() {
    let bench = Bench::new(1);
    bench.store.queue_photo(&photo(1, 10)).unwrap();
    for variant in [
        sync_protocol::PhotoVariant::Full,
        sync_protocol::PhotoVariant::Thumb,
    ] {
        bench
            .store
            .note_upload(&photo(1, 10).hash, variant, PhotoWhere::Verified, 10)
            .unwrap();
    }
    assert_eq!(bench.store.next_upload(NOON_MS).unwrap(), None);
    bench.store.requeue_photos().unwrap();
    assert!(bench.store.next_upload(NOON_MS).unwrap().is_some());
}

#[test]
fn taking_the_same_picture_twice_changes_nothing() {
    let bench = Bench::new(1);
    bench.store.queue_photo(&photo(1, 10)).unwrap();
    bench
        .store
        .note_upload(
            &photo(1, 10).hash,
            sync_protocol::PhotoVariant::Full,
            PhotoWhere::Verified,
            10,
        )
        .unwrap();
    bench.store.queue_photo(&photo(1, 10)).unwrap();
    assert_eq!(
        bench.store.photo(&photo(1, 10).hash).unwrap().unwrap().full,
        PhotoWhere::Verified
    );
}
