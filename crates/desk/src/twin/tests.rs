//! The twin's guards, and that it keeps nobody waiting, over a real socket.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::sync::Arc;
use std::time::Duration;

use super::{RunningTwin, TwinOptions};
use crate::desk::{Desk, DeskOptions};
use crate::ports::Ports;

struct Bench {
    twin: RunningTwin,
    _folder: tempfile::TempDir,
}

fn bench() -> Bench {
    let folder = tempfile::tempdir().expect("a folder");
    let desk = Desk::open(
        DeskOptions::beside(&folder.path().join("lab")),
        Ports::system(),
    )
    .expect("a desk");
    let options = TwinOptions {
        token: "sesame".to_owned(),
        ..TwinOptions::default()
    };
    Bench {
        twin: RunningTwin::start(Arc::new(desk), options).expect("a twin"),
        _folder: folder,
    }
}

impl Bench {
    /// Sends a raw request and returns status and body.
    fn ask(&self, head: &str, body: &str) -> (u16, String) {
        let mut stream = TcpStream::connect(self.twin.address()).expect("connects");
        // A browser gives up later than this; a test that waits for ever names nothing.
        stream
            .set_read_timeout(Some(Duration::from_secs(10)))
            .expect("takes a limit");
        let length = body.len();
        write!(
            stream,
            "{head}\r\nConnection: close\r\nContent-Length: {length}\r\n\r\n{body}"
        )
        .expect("sends");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("reads");
        let status = answer
            .split(' ')
            .nth(1)
            .and_then(|code| code.parse().ok())
            .expect("a status");
        (
            status,
            answer
                .split_once("\r\n\r\n")
                .map_or(String::new(), |(_, body)| body.to_owned()),
        )
    }
}

#[track_caller]
fn check(head: &str, body: &str, status: u16, part: &str) {
    let (found, answer) = bench().ask(head, body);
    assert_eq!(found, status, "{answer}");
    assert!(answer.contains(part), "{answer}");
}

const CALL: &str = "POST /call/state HTTP/1.1\r\nHost: 127.0.0.1";

#[test]
fn a_call_with_the_token_is_answered() {
    check(
        &format!("{CALL}\r\nX-Waybench-Token: sesame"),
        "{}",
        200,
        "\"lab\":null",
    );
}

#[test]
fn a_call_without_the_token_is_refused() {
    check(CALL, "{}", 403, "token is missing or wrong");
    check(
        &format!("{CALL}\r\nX-Waybench-Token: other"),
        "{}",
        403,
        "token is missing or wrong",
    );
}

#[test]
fn a_foreign_name_is_refused_even_with_the_token() {
    check(
        "POST /call/state HTTP/1.1\r\nHost: evil.example\r\nX-Waybench-Token: sesame",
        "{}",
        403,
        "only under 127.0.0.1",
    );
}

#[test]
fn an_unknown_command_is_said() {
    check(
        "POST /call/fly HTTP/1.1\r\nHost: localhost\r\nX-Waybench-Token: sesame",
        "{}",
        404,
        "There is no command “fly”.",
    );
}

#[test]
fn a_body_that_is_no_json_is_said() {
    check(
        &format!("{CALL}\r\nX-Waybench-Token: sesame"),
        "<html>",
        400,
        "is no JSON",
    );
}

#[test]
fn a_body_over_the_limit_is_refused() {
    check(
        &format!("{CALL}\r\nX-Waybench-Token: sesame"),
        &" ".repeat(16 * 1024 * 1024 + 1),
        413,
        "larger than",
    );
}

#[test]
fn the_screens_need_no_token_but_stay_inside_their_folder() {
    check(
        "GET /%2e%2e/secret HTTP/1.1\r\nHost: 127.0.0.1",
        "",
        404,
        "serves no screens",
    );
}

#[test]
fn a_paper_s_name_holds_no_path() {
    check(
        "GET /paper/.logbook?token=sesame HTTP/1.1\r\nHost: 127.0.0.1",
        "",
        404,
        "There is no such paper",
    );
}

#[test]
fn connections_that_a_browser_opens_ahead_keep_no_call_waiting() {
    let bench = bench();
    let call = format!("{CALL}\r\nX-Waybench-Token: sesame");
    let mut ahead = Vec::new();
    for _ in 0..40 {
        ahead.extend((0..3).map(|_| TcpStream::connect(bench.twin.address()).expect("connects")));
        assert_eq!(bench.ask(&call, "{}").0, 200);
    }
}

#[test]
fn a_stream_of_events_begins_at_once_and_tells_of_a_change() {
    let bench = bench();
    let mut stream = TcpStream::connect(bench.twin.address()).expect("connects");
    stream
        .set_read_timeout(Some(Duration::from_secs(10)))
        .expect("takes a limit");
    write!(
        stream,
        "GET /events?token=sesame HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"
    )
    .expect("sends");
    let mut seen = String::new();
    read_until(&mut stream, &mut seen, ": open");
    assert!(seen.contains("text/event-stream"), "{seen}");
    bench.ask(
        &format!(
            "{}\r\nX-Waybench-Token: sesame",
            CALL.replace("state", "found_lab")
        ),
        r#"{"lab":{"name":"Solder Lane Works","address_lines":["4 Solder Lane"],"country":"DE","phone":"+49 431 5550100","email":"","zone":"Europe/Berlin","currency":"EUR","warranty_days":180},"owner_name":"Ines Kallweit","desktop_name":"Bench 1"}"#,
    );
    read_until(&mut stream, &mut seen, "event: changed");
}

#[track_caller]
fn read_until(stream: &mut TcpStream, seen: &mut String, wanted: &str) {
    let mut bytes = [0_u8; 512];
    while !seen.contains(wanted) {
        let count = stream.read(&mut bytes).expect("reads within the limit");
        assert!(count > 0, "it ended after {seen}");
        seen.push_str(&String::from_utf8_lossy(&bytes[..count]));
    }
}
