use axum::http::HeaderValue;

use super::*;

#[test]
fn over_https_the_cookie_can_t_be_planted_by_a_neighbour() {
    let header = CookieKind::Session.set(&Token::random().expect("random bytes"), true);
    assert!(header.starts_with("__Host-session="), "{header}");
    for flag in ["; Path=/", "; HttpOnly", "; SameSite=Lax", "; Secure"] {
        assert!(header.contains(flag), "{header} lacks {flag}");
    }
    assert!(
        !header.contains("Domain"),
        "a __Host- cookie names no domain"
    );
}

#[test]
fn a_cookie_is_found_among_others() {
    let token = Token::random().expect("random bytes");
    let mut headers = HeaderMap::new();
    let line = format!("theme=dark; session={}; xsession=no", token.reveal());
    headers.insert(
        COOKIE,
        HeaderValue::from_str(&line).expect("visible characters"),
    );
    assert_eq!(CookieKind::Session.read(&headers, false), Some(token));
    assert_eq!(CookieKind::Visitor.read(&headers, false), None);
    assert_eq!(CookieKind::Session.read(&headers, true), None);
}

#[test]
fn a_cookie_of_another_form_is_no_cookie() {
    let mut headers = HeaderMap::new();
    headers.insert(COOKIE, HeaderValue::from_static("session=' OR 1=1"));
    assert_eq!(CookieKind::Session.read(&headers, false), None);
}
