use super::*;

fn check_offset(lab: &Lab, upload: &Upload, wanted: u64) {
    assert_eq!(lab.store.upload_offset(upload).unwrap(), wanted);
}

#[test]
fn an_upload_in_parts_becomes_visible_only_when_it_is_finished() {
    let lab = lab();
    let bytes = b"current trace of a boot";
    let upload = upload_of(bytes);
    check_offset(&lab, &upload, 0);
    assert_eq!(lab.store.append_at(&upload, 0, &bytes[..10]).unwrap(), 10);
    check_offset(&lab, &upload, 10);
    assert_eq!(lab.store.append_at(&upload, 10, &bytes[10..]).unwrap(), 23);
    assert!(!lab.store.contains(&upload.hash).unwrap());
    let stored = lab.store.finish(&upload).unwrap();
    assert_eq!(
        stored,
        Stored {
            hash: upload.hash,
            size_bytes: 23
        }
    );
    assert_eq!(lab.store.get(&upload.hash).unwrap(), bytes);
    assert!(lab.leftovers().is_empty());
}

#[test]
fn an_upload_goes_on_in_a_store_opened_again() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    lab.store.append_at(&upload, 0, b"abc").unwrap();
    let again = Store::open(lab.folder.path().join("files"), Limits::default()).unwrap();
    assert_eq!(again.upload_offset(&upload).unwrap(), 3);
    again.append_at(&upload, 3, b"def").unwrap();
    again.finish(&upload).unwrap();
    assert_eq!(lab.store.get(&upload.hash).unwrap(), b"abcdef");
}

#[test]
fn a_part_at_the_wrong_offset_is_refused_with_the_right_one() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    lab.store.append_at(&upload, 0, b"abc").unwrap();
    for given in [0, 2, 4, 6, u64::MAX] {
        let error = lab.store.append_at(&upload, given, b"d").unwrap_err();
        assert!(
            matches!(error, StoreError::WrongOffset { expected: 3, given: found } if found == given),
            "{error:?}"
        );
        assert!(!error.is_permanent());
    }
    check_offset(&lab, &upload, 3);
}

#[test]
fn a_part_sent_twice_is_kept_once() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    lab.store.append_at(&upload, 0, b"abc").unwrap();
    assert!(lab.store.append_at(&upload, 0, b"abc").is_err());
    lab.store.append_at(&upload, 3, b"def").unwrap();
    assert!(lab.store.finish(&upload).is_ok());
}

#[test]
fn a_part_past_the_declared_size_is_refused_whole() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    lab.store.append_at(&upload, 0, b"abc").unwrap();
    let error = lab.store.append_at(&upload, 3, b"defg").unwrap_err();
    assert!(
        matches!(
            error,
            StoreError::PastEnd {
                end_bytes: 7,
                size_bytes: 6
            }
        ),
        "{error:?}"
    );
    check_offset(&lab, &upload, 3);
}

#[test]
fn a_part_over_the_limit_is_refused_whole() {
    let lab = lab_with(Limits {
        part_bytes_max: 4,
        ..Limits::default()
    });
    let upload = upload_of(b"abcdef");
    let error = lab.store.append_at(&upload, 0, b"abcde").unwrap_err();
    assert!(
        matches!(
            error,
            StoreError::PartTooLarge {
                size_bytes: 5,
                limit_bytes: 4
            }
        ),
        "{error:?}"
    );
    assert_eq!(lab.store.append_at(&upload, 0, b"abcd").unwrap(), 4);
}

#[test]
fn finishing_too_early_says_where_to_go_on() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    assert!(matches!(
        lab.store.finish(&upload),
        Err(StoreError::Incomplete {
            offset: 0,
            size_bytes: 6
        })
    ));
    lab.store.append_at(&upload, 0, b"abc").unwrap();
    assert!(matches!(
        lab.store.finish(&upload),
        Err(StoreError::Incomplete {
            offset: 3,
            size_bytes: 6
        })
    ));
    check_offset(&lab, &upload, 3);
}

#[test]
fn bytes_with_another_hash_are_refused_and_removed() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    lab.store.append_at(&upload, 0, b"abcdeF").unwrap();
    let error = lab.store.finish(&upload).unwrap_err();
    assert!(
        matches!(error, StoreError::WrongHash { declared, found } if declared == upload.hash && found == hash_of(b"abcdeF")),
        "{error:?}"
    );
    assert!(lab.store.hashes().unwrap().is_empty());
    check_offset(&lab, &upload, 0);
    assert!(lab.leftovers().is_empty());
}

#[test]
fn finishing_again_after_a_lost_answer_succeeds() {
    let lab = lab();
    let upload = upload_of(b"abc");
    lab.store.append_at(&upload, 0, b"abc").unwrap();
    let first = lab.store.finish(&upload).unwrap();
    assert_eq!(lab.store.finish(&upload).unwrap(), first);
}

#[test]
fn an_upload_of_a_stored_file_has_nothing_left_to_send() {
    let lab = lab();
    lab.store.put(b"abc").unwrap();
    let upload = upload_of(b"abc");
    check_offset(&lab, &upload, 3);
    assert!(matches!(
        lab.store.append_at(&upload, 0, b"abc"),
        Err(StoreError::WrongOffset {
            expected: 3,
            given: 0
        })
    ));
    assert!(lab.store.finish(&upload).is_ok());
}

#[test]
fn an_empty_file_is_uploaded_by_finishing_it() {
    let lab = lab();
    let upload = upload_of(b"");
    assert_eq!(lab.store.finish(&upload).unwrap().size_bytes, 0);
    assert!(lab.store.contains(&upload.hash).unwrap());
    let false_claim = Upload {
        hash: hash_of(b"abc"),
        size_bytes: 0,
    };
    assert!(matches!(
        lab.store.finish(&false_claim),
        Err(StoreError::WrongHash { .. })
    ));
}

#[test]
fn a_wrong_declared_size_doesnt_spoil_the_right_upload() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    let wrong = Upload {
        size_bytes: 3,
        ..upload
    };
    lab.store.append_at(&wrong, 0, b"xyz").unwrap();
    lab.store.append_at(&upload, 0, b"abcdef").unwrap();
    assert!(matches!(
        lab.store.finish(&wrong),
        Err(StoreError::WrongHash { .. })
    ));
    assert!(lab.store.finish(&upload).is_ok());
}

#[test]
fn an_upload_replaces_a_stored_file_that_lost_bytes() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    lab.store.put(b"abcdef").unwrap();
    fs::write(lab.store.path_of(&upload.hash), b"abc").unwrap();
    check_offset(&lab, &upload, 0);
    lab.store.append_at(&upload, 0, b"abcdef").unwrap();
    lab.store.finish(&upload).unwrap();
    assert_eq!(lab.store.get(&upload.hash).unwrap(), b"abcdef");
}

#[test]
fn a_disk_that_fills_up_during_a_part_keeps_a_true_offset() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    lab.store.append_at(&upload, 0, b"ab").unwrap();
    let error = lab
        .store
        .append_through(&upload, 2, b"cdef", |file| FullDisk {
            file,
            room_bytes: 1,
        })
        .unwrap_err();
    assert!(error.is_disk_full(), "{error:?}");
    let offset = lab.store.upload_offset(&upload).unwrap();
    assert_eq!(offset, 3);
    lab.store.append_at(&upload, offset, b"def").unwrap();
    lab.store.finish(&upload).unwrap();
    assert_eq!(lab.store.get(&upload.hash).unwrap(), b"abcdef");
}

#[test]
fn two_connections_with_the_same_upload_cant_mix_their_parts() {
    let lab = lab();
    let bytes: Vec<u8> = (0..200_u16).flat_map(u16::to_le_bytes).collect();
    let upload = upload_of(&bytes);
    let start = Barrier::new(4);
    thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| {
                start.wait();
                let mut offset = 0;
                while offset < upload.size_bytes {
                    let from = usize::try_from(offset).unwrap();
                    offset = match lab
                        .store
                        .append_at(&upload, offset, &bytes[from..from + 10])
                    {
                        Ok(next) => next,
                        Err(StoreError::WrongOffset { expected, .. }) => expected,
                        Err(error) => panic!("{error}"),
                    };
                }
                lab.store.finish(&upload).unwrap();
            });
        }
    });
    assert_eq!(lab.store.get(&upload.hash).unwrap(), bytes);
    assert!(lab.leftovers().is_empty());
}

#[test]
fn an_abandoned_upload_starts_from_nothing() {
    let lab = lab();
    let upload = upload_of(b"abcdef");
    assert!(!lab.store.abandon(&upload).unwrap());
    lab.store.append_at(&upload, 0, b"abc").unwrap();
    assert!(lab.store.abandon(&upload).unwrap());
    check_offset(&lab, &upload, 0);
}

#[test]
fn uploads_that_nobody_goes_on_with_are_swept() {
    let lab = lab();
    let (old, new) = (upload_of(b"abcdef"), upload_of(b"ghi"));
    lab.store.append_at(&old, 0, b"abc").unwrap();
    lab.store.append_at(&new, 0, b"g").unwrap();
    let now = SystemTime::now();
    let week = Duration::from_hours(7 * 24);
    let path = lab
        .folder
        .path()
        .join(format!("files/uploads/{}-6", old.hash));
    File::options()
        .write(true)
        .open(path)
        .unwrap()
        .set_modified(now - 2 * week)
        .unwrap();
    assert_eq!(lab.store.sweep_uploads(now - week).unwrap(), 1);
    check_offset(&lab, &old, 0);
    check_offset(&lab, &new, 1);
}
