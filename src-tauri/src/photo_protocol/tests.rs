use super::*;

const HASH: &str = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";

fn address(uri: &str) -> Option<PhotoAddress> {
    let request = Request::builder().uri(uri).body(()).unwrap();
    PhotoAddress::of(&request)
}

fn check(uri: &str, thumbnail: bool) {
    let hash = HASH.to_owned();
    assert_eq!(
        address(uri),
        Some(PhotoAddress { hash, thumbnail }),
        "{uri}"
    );
}

#[test]
fn a_hash_is_the_whole_picture() {
    check(&format!("photo://localhost/{HASH}"), false);
    check(&format!("http://photo.localhost/{HASH}"), false);
}

#[test]
fn the_small_picture_is_asked_for() {
    check(&format!("photo://localhost/{HASH}?thumb=1"), true);
}

#[test]
fn a_path_is_no_picture() {
    for uri in [
        "photo://localhost/",
        "photo://localhost/../../etc/passwd",
        "photo://localhost/e3b0",
        &format!("photo://localhost/{}", HASH.to_uppercase()),
        &format!("photo://localhost/{HASH}/x"),
        &format!("photo://localhost/x/{HASH}"),
    ] {
        assert_eq!(address(uri), None, "{uri}");
    }
}

#[test]
fn a_picture_may_be_kept_and_a_missing_one_may_not() {
    let kept = |answer: &Response<Vec<u8>>| answer.headers()[header::CACHE_CONTROL].clone();
    let found = picture(vec![1, 2]);
    assert_eq!(found.status(), StatusCode::OK);
    assert_eq!(found.headers()[header::CONTENT_TYPE], "image/jpeg");
    assert_eq!(kept(&found), FOR_EVER);
    assert_eq!(missing().status(), StatusCode::NOT_FOUND);
    assert_eq!(kept(&missing()), "no-store");
    assert_eq!(kept(&unreadable("disk".to_owned())), "no-store");
}
