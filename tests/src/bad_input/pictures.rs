//! Files that are no picture, too large a picture, half a picture.

use desk::PhotoTarget;
use domain::Subject;
use domain::fact::PhotoPlace;

use crate::house::{House, IMEI, entry_count, job, jpeg, refusal, state_of, take_in, with_size};

/// Checks that a file is refused with words that say why, and that nothing of it is kept.
fn check(bytes: &[u8], expected: &[&str]) {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    let before = entry_count(&house.desk);
    let target = PhotoTarget {
        subject: Subject::Job(job_id),
        place: PhotoPlace::Condition,
        caption: String::new(),
        beside: None,
    };
    let answer = refusal(house.desk.take_photo(bytes, &target));
    for words in expected {
        assert!(
            answer.message.contains(words),
            "“{}” lacks “{words}”",
            answer.message
        );
    }
    assert_eq!(entry_count(&house.desk), before);
    assert!(job(&house.desk, job_id).photos.is_empty());
    assert_eq!(state_of(&house.desk).sync.files_waiting, 0);
    let good = house.desk.take_photo(&jpeg(320, 240, 1), &target);
    assert!(good.is_ok(), "the next one is taken");
}

#[test]
fn a_text_is_no_picture() {
    check(
        b"kind,maker,model\nphone,Kestrel,K4\n",
        &["not a picture", "JPEG, PNG and WebP"],
    );
}

#[test]
fn a_paper_is_no_picture() {
    check(
        b"%PDF-1.7\n1 0 obj\n",
        &["a PDF document", "JPEG, PNG and WebP"],
    );
}

#[test]
fn an_empty_file_is_no_picture() {
    check(b"", &["empty"]);
}

#[test]
fn sixty_megapixels_are_too_many_and_are_never_decoded() {
    check(
        &with_size(&jpeg(64, 48, 1), 10_000, 6_000),
        &["10000 × 6000 = 60 megapixels", "at most 52"],
    );
}

#[test]
fn a_picture_without_its_end_is_refused() {
    let whole = jpeg(640, 480, 1);
    check(
        &whole[..whole.len() * 6 / 10],
        &[
            "end of this JPEG picture is missing",
            "copy it from the camera again",
        ],
    );
}

#[test]
fn a_picture_for_a_shop_has_no_place() {
    let house = House::founded();
    let target = PhotoTarget {
        subject: Subject::Shop(house.shop_id),
        place: PhotoPlace::Condition,
        caption: String::new(),
        beside: None,
    };
    assert!(
        refusal(house.desk.take_photo(&jpeg(64, 48, 1), &target))
            .message
            .contains("belongs to a job")
    );
}
