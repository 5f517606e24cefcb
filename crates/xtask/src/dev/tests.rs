use super::*;

fn check(line: &str, expected: Option<(&str, &str)>) {
    let expected = expected.map(|(base, token)| Address {
        base: base.to_owned(),
        token: token.to_owned(),
    });
    assert_eq!(parse_address(line), expected, "{line}");
}

#[test]
fn the_address_is_found_in_a_line() {
    let expected = Some(("http://127.0.0.1:4000", "abc"));
    check("http://127.0.0.1:4000/?token=abc", expected);
    check("open http://127.0.0.1:4000/#token=abc now", expected);
}

#[test]
fn a_line_without_address_or_token_is_none() {
    check("", None);
    check("token=abc", None);
    check("http://127.0.0.1:4000/", None);
}

#[test]
fn an_address_in_a_fragment_has_no_slash() {
    assert_eq!(
        in_a_fragment("http://127.0.0.1:4000"),
        "http%3A%2F%2F127.0.0.1%3A4000"
    );
}
