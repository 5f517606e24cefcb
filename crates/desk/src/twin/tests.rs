//! The twin's guards, over a real socket.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::sync::Arc;

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
