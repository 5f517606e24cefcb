use super::*;

#[test]
fn chunks_are_joined() {
    let raw = b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n4\r\nWiki\r\n6;x=y\r\npedia \r\n0\r\n\r\n";
    let (answer, _) = parse(raw).unwrap();
    assert_eq!(answer.text(), "Wikipedia ");
}

#[test]
fn a_short_body_is_an_error() {
    assert!(parse(b"HTTP/1.1 200 OK\r\ncontent-length: 5\r\n\r\nabc").is_err());
}

#[test]
fn cookies_and_hidden_fields_are_found() {
    let raw = b"HTTP/1.1 200 OK\r\nSet-Cookie: visitor=a; Path=/\r\nSet-Cookie: session=b\r\n\r\n<input type=\"hidden\" name=\"quote\" value=\"q1\">";
    let (answer, cookies) = parse(raw).unwrap();
    assert_eq!(cookies.len(), 2);
    assert_eq!(answer.hidden("quote").as_deref(), Some("q1"));
}

#[test]
fn a_redirect_is_read_without_its_question() {
    let (answer, _) =
        parse(b"HTTP/1.1 303 See Other\r\nlocation: /parcels/7?done=announced\r\n\r\n").unwrap();
    assert_eq!(answer.leads_to(), "/parcels/7");
}

#[test]
fn greek_is_percent_encoded() {
    assert_eq!(percent_encoded("λ 1"), "%CE%BB%201");
}
