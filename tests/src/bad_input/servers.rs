//! What may answer in the server's place: a fault, a page, a redirect, half an answer, nothing.

use std::io::{Read as _, Write as _};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::JoinHandle;
use std::time::Duration;

use desk::commands::start::{ConnectServer, connect_server};

use crate::house::{
    Desktop, House, IMEI, assert_same, check_cell, entry_count, found, job, refusal, state_of,
    take_in,
};

/// Something else at an address, which gives every request the same answer.
struct Stranger {
    address: SocketAddr,
    stopping: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Stranger {
    fn at(address: SocketAddr, answer: Vec<u8>) -> Self {
        let listener = TcpListener::bind(address).unwrap();
        let address = listener.local_addr().unwrap();
        let stopping = Arc::new(AtomicBool::new(false));
        let stop = Arc::clone(&stopping);
        let thread = std::thread::spawn(move || {
            for stream in listener.incoming() {
                if stop.load(Ordering::SeqCst) {
                    return;
                }
                if let Ok(stream) = stream {
                    answer_one(stream, &answer);
                }
            }
        });
        Self {
            address,
            stopping,
            thread: Some(thread),
        }
    }
}

/// Reads one request with its body, writes the answer, hangs up.
fn answer_one(mut stream: TcpStream, answer: &[u8]) {
    let _ = stream.set_read_timeout(Some(Duration::from_secs(5)));
    let mut request = Vec::new();
    let mut part = [0; 4096];
    loop {
        match stream.read(&mut part) {
            Ok(0) | Err(_) => break,
            Ok(read) => request.extend_from_slice(&part[..read]),
        }
        if is_whole(&request) {
            break;
        }
    }
    let _ = stream.write_all(answer);
}

fn is_whole(request: &[u8]) -> bool {
    let text = String::from_utf8_lossy(request);
    let Some((head, body)) = text.split_once("\r\n\r\n") else {
        return false;
    };
    let length = head.lines().find_map(|line| {
        line.to_ascii_lowercase()
            .strip_prefix("content-length:")?
            .trim()
            .parse::<usize>()
            .ok()
    });
    body.len() >= length.unwrap_or(0)
}

impl Drop for Stranger {
    fn drop(&mut self) {
        self.stopping.store(true, Ordering::SeqCst);
        drop(TcpStream::connect(self.address));
        if let Some(thread) = self.thread.take() {
            thread.join().unwrap();
        }
    }
}

fn answer(status: &str, headers: &str, body: &str) -> Vec<u8> {
    format!(
        "HTTP/1.1 {status}\r\n{headers}content-length: {}\r\nconnection: close\r\n\r\n{body}",
        body.len()
    )
    .into_bytes()
}

/// Checks what a desktop says of a stranger at its server's address, that work goes on, and that all arrives once the server is back.
fn check(stranger: Vec<u8>, expected: &str) {
    let mut house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    house.server.stop();
    let in_its_place = Stranger::at(house.server.address(), stranger);
    let error = desk::EdgeError::from(house.desk.sync_now().unwrap_err()).message;
    assert!(error.contains(expected), "“{error}” lacks “{expected}”");
    let sync = state_of(&house.desk).sync;
    assert_eq!(sync.trouble, error, "the line says the same");
    assert!(sync.entries_waiting > 0 && !sync.connected && sync.joined);
    check_cell(&house.desk, job_id);
    assert!(job(&house.desk, job_id).cell().is_some(), "work goes on");
    drop(in_its_place);
    house.server.start_again();
    house.desk.sync_now().unwrap();
    assert_eq!(state_of(&house.desk).sync.trouble, "");
    assert_same(&house.desk, &house.second_desktop("Bench two"));
}

#[test]
fn a_server_with_a_fault_is_waited_for() {
    check(
        answer(
            "500 Internal Server Error",
            "content-type: text/plain\r\n",
            "oops",
        ),
        "has a fault (status 500)",
    );
}

#[test]
fn a_proxy_s_error_page_is_no_answer() {
    check(
        answer(
            "502 Bad Gateway",
            "content-type: text/html\r\n",
            "<h1>502</h1>",
        ),
        "502",
    );
}

#[test]
fn a_sign_in_page_of_the_network_is_no_answer() {
    check(
        answer(
            "200 OK",
            "content-type: text/html; charset=utf-8\r\n",
            "<html><title>Guest network</title></html>",
        ),
        "Something other than the lab's server answers",
    );
}

#[test]
fn a_redirect_is_not_followed_with_the_credential() {
    check(
        answer("302 Found", "location: http://portal.example/login\r\n", ""),
        "sends elsewhere, to http://portal.example/login",
    );
}

#[test]
fn silence_is_no_answer() {
    check(Vec::new(), "does not answer; work goes on here");
}

#[test]
fn half_an_answer_is_none() {
    let half = b"HTTP/1.1 200 OK\r\ncontent-type: application/json\r\ncontent-length: 500\r\n\r\n{\"server_ms\":17".to_vec();
    check(half, "work goes on");
}

#[test]
fn json_of_something_else_can_t_be_read() {
    check(
        answer(
            "200 OK",
            "content-type: application/json\r\n",
            "{\"hello\":\"world\"}",
        ),
        "can't be read",
    );
}

#[test]
fn a_server_that_answers_with_garbage_is_none() {
    check(b"SSH-2.0-OpenSSH_9.2\r\n".to_vec(), "does not answer");
}

#[test]
fn connecting_to_nobody_or_to_no_address_leaves_the_lab_as_it_was() {
    let desk = Desktop::new();
    found(&desk);
    let before = entry_count(&desk);
    let connect = |url: &str, code: &str| {
        refusal(connect_server(
            &desk,
            ConnectServer {
                url: url.to_owned(),
                code: code.to_owned(),
            },
        ))
    };
    let refused = connect("harbour", "ABCD");
    assert_eq!(refused.field.as_deref(), Some("url"));
    assert!(
        refused
            .message
            .contains("“harbour” is not a server's address; it is written like https://"),
        "{}",
        refused.message
    );
    assert_eq!(
        connect("http://127.0.0.1:9", "").field.as_deref(),
        Some("code")
    );
    // Port 9 is the discard service (RFC 863), which nothing runs any more.
    assert!(
        connect("http://127.0.0.1:9", "ABCD")
            .message
            .contains("does not answer")
    );
    let page = Stranger::at(
        SocketAddr::from(([127, 0, 0, 1], 0)),
        answer("200 OK", "content-type: text/html\r\n", "<p>Hello</p>"),
    );
    let elsewhere = connect(&format!("http://{}", page.address), "ABCD");
    assert!(
        elsewhere
            .message
            .contains("Something other than the lab's server"),
        "{}",
        elsewhere.message
    );
    let state = state_of(&desk);
    assert!(
        !state.sync.joined && state.sync.words.contains("no server"),
        "{}",
        state.sync.words
    );
    assert_eq!(entry_count(&desk), before);
}
