//! Cases for waiting, and for whatever may answer in a server's place.

mod running;

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpListener;
use std::thread::JoinHandle;

use domain::ContentHash;
use sync_protocol::{ErrorCode, PhotoVariant, SyncError, SyncProtocol};

use super::*;

mod waiting {
    use super::*;

    #[test]
    fn waits_double_from_a_second_to_five_minutes() {
        let longest: Vec<u64> = (1..=12).map(|failures| backoff_ms(failures, 0)).collect();
        let expected = [
            1_000, 2_000, 4_000, 8_000, 16_000, 32_000, 64_000, 128_000, 256_000, 300_000, 300_000,
            300_000,
        ];
        assert_eq!(longest, expected);
        assert_eq!(backoff_ms(u32::MAX, 0), 300_000);
    }

    #[test]
    fn at_most_half_a_wait_is_left_out() {
        for failures in 1..15 {
            let full = backoff_ms(failures, 0);
            for random in [1, 499, 12_345, u64::MAX] {
                let wait = backoff_ms(failures, random);
                assert!(wait > full / 2 && wait <= full, "{wait} of {full}");
            }
        }
    }
}

/// A server that gives each connection one canned answer and returns what it was asked.
fn answering(answers: Vec<String>) -> (String, JoinHandle<Vec<String>>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let url = format!("http://{}", listener.local_addr().unwrap());
    let thread = std::thread::spawn(move || {
        let mut asked = Vec::new();
        for answer in answers {
            let (mut stream, _) = listener.accept().unwrap();
            let mut reader = BufReader::new(stream.try_clone().unwrap());
            let mut head = String::new();
            while reader.read_line(&mut head).unwrap() > 2 {}
            let length = head
                .lines()
                .find_map(|line| {
                    line.to_ascii_lowercase()
                        .strip_prefix("content-length: ")?
                        .parse()
                        .ok()
                })
                .unwrap_or(0);
            let mut body = vec![0; length];
            reader.read_exact(&mut body).unwrap();
            asked.push(head);
            stream.write_all(answer.as_bytes()).unwrap();
        }
        asked
    });
    (url, thread)
}

fn answer(status: &str, headers: &str, body: &str) -> String {
    format!(
        "HTTP/1.1 {status}\r\n{headers}content-length: {}\r\nconnection: close\r\n\r\n{body}",
        body.len()
    )
}

fn client(url: &str) -> HttpClient {
    HttpClient::new(&HttpOptions {
        server_url: url.to_owned(),
        credential: "abc".to_owned(),
        extra_roots_pem: Vec::new(),
    })
    .unwrap()
}

/// Asks for the time, gets `answer`, and expects an error that reads like this.
fn check(answer: String, permanent: bool, words: &str) -> SyncError {
    let (url, thread) = answering(vec![answer]);
    let error = client(&url).clock().unwrap_err();
    assert!(error.to_string().contains(words), "{error}");
    assert_eq!(error.is_permanent(), permanent, "{error}");
    thread.join().unwrap();
    error
}

mod answers {
    use super::*;

    #[test]
    fn a_plain_500_is_the_servers_fault_and_passes() {
        let error = check(
            answer(
                "500 Internal Server Error",
                "content-type: text/plain\r\n",
                "oops",
            ),
            false,
            "has a fault",
        );
        assert!(matches!(error, SyncError::ServerFault { status: 500, .. }));
    }

    #[test]
    fn a_proxys_page_of_a_502_is_a_fault_too() {
        check(
            answer("502 Bad Gateway", "content-type: text/html\r\n", "<html>"),
            false,
            "has a fault",
        );
    }

    #[test]
    fn html_instead_of_json_is_something_else_answering() {
        let error = check(
            answer(
                "200 OK",
                "content-type: text/html; charset=utf-8\r\n",
                "<html>Please sign in</html>",
            ),
            false,
            "something other than the lab's server",
        );
        assert!(matches!(error, SyncError::NotOurServer { status: 200, .. }));
    }

    #[test]
    fn a_missing_page_is_something_else_answering() {
        check(
            answer("404 Not Found", "content-type: text/html\r\n", "no"),
            false,
            "check the address",
        );
    }

    #[test]
    fn a_redirect_is_not_followed() {
        let error = check(
            answer("302 Found", "location: http://elsewhere.example/\r\n", ""),
            false,
            "sends elsewhere",
        );
        assert!(error.to_string().contains("http://elsewhere.example/"));
    }

    #[test]
    fn json_of_another_shape_is_named() {
        check(
            answer(
                "200 OK",
                "content-type: application/json\r\n",
                "{\"time\":1}",
            ),
            false,
            "can't be read",
        );
    }

    #[test]
    fn a_problem_keeps_the_servers_own_sentence() {
        let body = serde_json::to_string(&sync_protocol::Problem::new(
            ErrorCode::NotEnrolled,
            "ask your administrator to enrol this desktop again",
        ))
        .unwrap();
        let error = check(
            answer(
                "401 Unauthorized",
                "content-type: application/problem+json\r\n",
                &body,
            ),
            true,
            "ask your administrator",
        );
        assert_eq!(error.code(), Some(ErrorCode::NotEnrolled));
    }

    #[test]
    fn an_answer_that_breaks_off_is_no_answer() {
        check(
            "HTTP/1.1 200 OK\r\ncontent-type: application/json\r\ncontent-length: 500\r\n\r\n{\"serv".to_owned(),
            false,
            "does not answer",
        );
    }

    #[test]
    fn a_closed_port_is_no_answer() {
        let port = TcpListener::bind("127.0.0.1:0")
            .unwrap()
            .local_addr()
            .unwrap()
            .port();
        let error = client(&format!("http://127.0.0.1:{port}"))
            .clock()
            .unwrap_err();
        assert!(matches!(error, SyncError::NoAnswer { .. }), "{error}");
        assert!(!error.is_permanent());
    }

    #[test]
    fn a_good_answer_is_read_and_the_credential_was_sent() {
        let (url, thread) = answering(vec![answer(
            "200 OK",
            "content-type: application/json\r\n",
            "{\"server_ms\":5}",
        )]);
        assert_eq!(client(&url).clock().unwrap().server_ms, 5);
        let asked = thread.join().unwrap().remove(0).to_ascii_lowercase();
        assert!(asked.starts_with("get /sync/v1/clock "), "{asked}");
        assert!(asked.contains("authorization: bearer abc"), "{asked}");
    }

    #[test]
    fn an_address_below_a_folder_is_kept() {
        let (url, thread) = answering(vec![answer(
            "200 OK",
            "content-type: application/json\r\n",
            "{\"server_ms\":5}",
        )]);
        client(&format!("{url}/lab/")).clock().unwrap();
        assert!(thread.join().unwrap()[0].starts_with("GET /lab/sync/v1/clock "));
    }
}

mod hints {
    use super::*;

    const STREAM: &str = "content-type: text/event-stream\r\n";

    #[test]
    fn the_first_hint_that_moves_ends_the_wait() {
        let events = ": hello\n\nevent: position\ndata: {\"log_position\":7}\n\nevent: position\ndata: {\"log_position\":9}\n\n";
        let (url, thread) = answering(vec![answer("200 OK", STREAM, events)]);
        assert_eq!(client(&url).wait_hint(7, 2_000).unwrap().log_position, 9);
        let asked = thread.join().unwrap().remove(0);
        assert!(
            asked.starts_with("GET /sync/v1/hints?log_position=7 "),
            "{asked}"
        );
    }

    #[test]
    fn a_stream_that_ends_without_news_says_what_it_said() {
        let (url, thread) = answering(vec![answer(
            "200 OK",
            STREAM,
            "data: {\"log_position\":7}\n\n",
        )]);
        assert_eq!(client(&url).wait_hint(7, 2_000).unwrap().log_position, 7);
        thread.join().unwrap();
    }

    #[test]
    fn a_page_instead_of_events_is_something_else_answering() {
        let (url, thread) = answering(vec![answer(
            "200 OK",
            "content-type: text/html\r\n",
            "<html>",
        )]);
        assert!(matches!(
            client(&url).wait_hint(7, 2_000),
            Err(SyncError::NotOurServer { .. })
        ));
        thread.join().unwrap();
    }
}

mod downloads {
    use super::*;

    #[test]
    fn a_picture_is_fetched_in_parts_until_its_stated_size() {
        let part = |text: &str| {
            answer(
                "200 OK",
                "content-type: application/octet-stream\r\nx-total-bytes: 6\r\n",
                text,
            )
        };
        let (url, thread) = answering(vec![part("abcd"), part("ef")]);
        let hash = ContentHash::from_bytes([1; 32]);
        assert_eq!(
            client(&url)
                .photo_download(&hash, PhotoVariant::Full)
                .unwrap(),
            b"abcdef"
        );
        let asked = thread.join().unwrap();
        assert!(asked[1].contains("offset=4&"), "{}", asked[1]);
    }

    #[test]
    fn a_picture_that_stops_growing_is_an_error() {
        let part = answer(
            "200 OK",
            "content-type: application/octet-stream\r\nx-total-bytes: 6\r\n",
            "",
        );
        let (url, thread) = answering(vec![part]);
        let hash = ContentHash::from_bytes([1; 32]);
        let error = client(&url)
            .photo_download(&hash, PhotoVariant::Full)
            .unwrap_err();
        assert!(error.to_string().contains("ends before"), "{error}");
        thread.join().unwrap();
    }
}

mod addresses {
    use super::*;

    fn check(url: &str, ok: bool) {
        let options = HttpOptions {
            server_url: url.to_owned(),
            ..HttpOptions::default()
        };
        assert_eq!(HttpClient::new(&options).is_ok(), ok, "{url}");
    }

    #[test]
    fn only_web_addresses_are_taken() {
        check("https://lab.example", true);
        check(" http://127.0.0.1:8080/ ", true);
        check("lab.example", false);
        check("ftp://lab.example", false);
        check("", false);
    }

    #[test]
    fn a_bad_certificate_file_is_said() {
        for pem in [
            "-----BEGIN CERTIFICATE-----\nnonsense\n-----END CERTIFICATE-----\n",
            "not a certificate at all",
        ] {
            let options = HttpOptions {
                server_url: "https://lab.example".to_owned(),
                extra_roots_pem: pem.as_bytes().to_vec(),
                ..HttpOptions::default()
            };
            let error = HttpClient::new(&options).err().unwrap();
            assert!(error.to_string().contains("PEM"), "{error}");
        }
    }
}
