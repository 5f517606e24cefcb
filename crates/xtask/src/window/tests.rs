use std::io::Cursor;

use super::*;

fn wait(text: &'static str) -> Result<()> {
    wait_for_line(&lines(Cursor::new(text)), OPEN_LINE, Duration::from_secs(5))
}

#[test]
fn the_awaited_line_is_found_among_others() {
    wait("loading\nwindow open\nmore\n").unwrap();
}

#[test]
fn an_end_without_the_line_is_an_error() {
    let error = wait("loading\n").unwrap_err();
    assert_eq!(error.to_string(), "it ended before it said `window open`");
}

#[test]
fn silence_is_an_error() {
    let (_kept_open, receiver) = channel();
    let error = wait_for_line(&receiver, OPEN_LINE, Duration::from_millis(10)).unwrap_err();
    assert_eq!(error.to_string(), "it did not say `window open` within 0 s");
}
