use super::*;

#[test]
fn a_token_survives_being_handed_out_and_presented() {
    let token = Token::random().expect("random bytes");
    let back = Token::presented(token.reveal()).expect("our own form");
    assert_eq!(back.hash(), token.hash());
}

#[test]
fn two_tokens_are_never_alike() {
    assert_ne!(
        Token::random().expect("random bytes"),
        Token::random().expect("random bytes")
    );
}

#[test]
fn a_text_of_another_form_is_not_even_looked_up() {
    for text in [
        "",
        "short",
        &"é".repeat(43),
        &"a".repeat(44),
        "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\r\nb",
    ] {
        assert!(Token::presented(text).is_none(), "{text:?}");
    }
}

#[test]
fn a_token_does_not_show_itself_in_a_log() {
    let token = Token::random().expect("random bytes");
    assert!(!format!("{token:?}").contains(token.reveal()));
}
