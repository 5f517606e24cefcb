use super::*;

fn check(next: Option<&str>, expected: &str) {
    assert_eq!(local_path(next), expected, "{next:?}");
}

#[test]
fn after_signing_in_nobody_is_sent_to_another_host() {
    check(None, "/devices");
    check(Some("/parcels"), "/parcels");
    check(Some("https://evil.example/"), "/devices");
    check(Some("//evil.example/"), "/devices");
    check(Some("/\\evil.example"), "/devices");
    check(Some("/x\r\nSet-Cookie: a=b"), "/devices");
    check(Some(""), "/devices");
}
