use super::*;

#[test]
fn a_form_token_fits_its_own_cookie_only() {
    let (mine, other) = (
        Token::random().expect("random bytes"),
        Token::random().expect("random bytes"),
    );
    assert!(is_right(&mine, &token_for(&mine)));
    assert!(!is_right(&mine, &token_for(&other)));
    assert!(!is_right(&mine, ""));
    assert!(!is_right(&mine, mine.reveal()));
}

#[test]
fn a_form_from_another_site_is_refused() {
    let ours = "https://repairs.example.org";
    assert!(is_same_origin(ours, Some(ours), Some("same-origin")));
    assert!(is_same_origin(ours, None, None));
    assert!(!is_same_origin(ours, Some("https://evil.example"), None));
    assert!(
        is_same_origin(ours, Some("null"), Some("same-origin")),
        "what a page without referrer sends"
    );
    assert!(!is_same_origin(ours, Some("null"), Some("cross-site")));
    assert!(!is_same_origin(ours, None, Some("cross-site")));
    assert!(!is_same_origin(
        ours,
        Some("https://repairs.example.org.evil.example"),
        None
    ));
}
