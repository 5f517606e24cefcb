use axum::body::Body;
use axum::http::{Method, Request, StatusCode, header};
use domain::{Fact, Subject};
use serde_json::{Value, json};
use sync_protocol::{Problem, SyncProtocol as _};

use crate::testing::{Answer, Bench, Desktop, call, shop};

struct Caller<'a> {
    bench: &'a Bench,
    credential: String,
}

impl Caller<'_> {
    async fn call(&self, method: Method, path: &str, body: Vec<u8>) -> Answer {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header(header::AUTHORIZATION, format!("Bearer {}", self.credential))
            .body(Body::from(body))
            .expect("a request");
        call(&self.bench.router, request).await
    }

    async fn get(&self, path: &str) -> Answer {
        self.call(Method::GET, path, Vec::new()).await
    }

    async fn post(&self, path: &str, body: &Value) -> Answer {
        self.call(Method::POST, path, body.to_string().into_bytes())
            .await
    }
}

fn caller<'a>(bench: &'a Bench, desktop: &Desktop) -> Caller<'a> {
    Caller {
        bench,
        credential: desktop.credential.clone(),
    }
}

fn problem(answer: &Answer, status: u16, code: &str) -> Problem {
    assert_eq!(answer.status.as_u16(), status, "{}", answer.text());
    assert_eq!(
        answer.headers[header::CONTENT_TYPE],
        "application/problem+json"
    );
    let body: Value = serde_json::from_slice(&answer.body).expect("problem details are JSON");
    assert_eq!(body["code"], code, "{body}");
    assert_eq!(
        body["status"], status,
        "RFC 9457, 3.1.2: the member repeats the status"
    );
    assert!(
        body["type"].as_str().is_some_and(|uri| uri.ends_with(code)),
        "{body}"
    );
    serde_json::from_value(body).expect("problem details")
}

#[tokio::test]
async fn without_a_credential_every_path_says_that_the_desktop_is_not_enrolled() {
    let bench = Bench::new();
    bench.desktop(1);
    let hash = "ab".repeat(32);
    for (method, path) in [
        (Method::GET, "/sync/v1/clock".to_owned()),
        (Method::GET, "/sync/v1/heads".to_owned()),
        (Method::POST, "/sync/v1/entries".to_owned()),
        (Method::GET, "/sync/v1/entries".to_owned()),
        (Method::GET, "/sync/v1/hints".to_owned()),
        (Method::GET, format!("/sync/v1/photos/{hash}/full")),
        (Method::GET, format!("/sync/v1/photos/{hash}/thumb/upload")),
        (
            Method::PUT,
            format!("/sync/v1/photos/{hash}/thumb/upload?offset=0"),
        ),
        (Method::POST, format!("/sync/v1/photos/{hash}/full/finish")),
    ] {
        let request = Request::builder()
            .method(method)
            .uri(&path)
            .body(Body::empty())
            .expect("a request");
        problem(&call(&bench.router, request).await, 401, "not_enrolled");
        let stranger = Caller {
            bench: &bench,
            credential: "A".repeat(43),
        };
        problem(&stranger.get("/sync/v1/heads").await, 401, "not_enrolled");
    }
}

#[tokio::test]
async fn a_page_of_entries_goes_up_and_comes_down_over_http() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let caller = caller(&bench, &desktop);
    let shop_id = desktop.shop_id();
    let entry = desktop.seal(
        Subject::Shop(shop_id),
        &Fact::ShopDescribed(shop("Northside")),
    );
    let push = json!({ "stream": desktop.stream(), "entries": [entry] });
    let answer = caller.post("/sync/v1/entries", &push).await;
    let body: Value = serde_json::from_slice(&answer.body).expect("JSON");
    assert_eq!(
        body,
        json!({ "answers": [{ "answer": "stored" }], "contiguous_seq": 1 })
    );
    let again: Value =
        serde_json::from_slice(&caller.post("/sync/v1/entries", &push).await.body).expect("JSON");
    assert_eq!(again["answers"][0]["answer"], "already_known");
    let heads: Value =
        serde_json::from_slice(&caller.get("/sync/v1/heads").await.body).expect("JSON");
    assert_eq!(heads["log_position"], 1);
    let epoch = heads["log_epoch"].as_str().expect("an epoch");
    let path = format!(
        "/sync/v1/entries?log_epoch={epoch}&log_position=0&digest={}",
        "00".repeat(32)
    );
    let pull: Value = serde_json::from_slice(&caller.get(&path).await.body).expect("JSON");
    assert_eq!(pull["answer"], "page");
    assert_eq!(
        pull["entries"][0],
        serde_json::to_value(&entry).expect("an entry is JSON")
    );
}

#[tokio::test]
async fn what_can_t_be_read_is_answered_with_problem_details() {
    let bench = Bench::new();
    let desktop = bench.desktop(1);
    let caller = caller(&bench, &desktop);
    problem(
        &caller
            .call(Method::POST, "/sync/v1/entries", b"{".to_vec())
            .await,
        400,
        "bad_request",
    );
    problem(
        &caller.get("/sync/v1/entries?log_position=minus").await,
        400,
        "bad_request",
    );
    problem(
        &caller.get("/sync/v1/no-such-thing").await,
        404,
        "bad_request",
    );
    problem(
        &caller.get("/sync/v1/photos/xyz/full").await,
        400,
        "bad_request",
    );
    problem(
        &caller
            .get(&format!("/sync/v1/photos/{}/huge", "ab".repeat(32)))
            .await,
        400,
        "bad_request",
    );
    problem(
        &caller
            .get(&format!("/sync/v1/photos/{}/full", "ab".repeat(32)))
            .await,
        404,
        "photo_absent",
    );
    let none = json!({ "stream": desktop.stream(), "entries": [] });
    problem(
        &caller.post("/sync/v1/entries", &none).await,
        413,
        "over_limit",
    );
    let large = vec![b' '; 2 * 1024 * 1024 + 1];
    problem(
        &caller.call(Method::POST, "/sync/v1/entries", large).await,
        413,
        "over_limit",
    );
    problem(
        &caller
            .call(Method::DELETE, "/sync/v1/heads", Vec::new())
            .await,
        404,
        "bad_request",
    );
}

#[tokio::test]
async fn a_wrong_code_is_refused_and_a_twentieth_guess_waits() {
    let bench = Bench::new();
    let desktop = Desktop::new(crate::core::Connection::new(bench.core.clone()), 3);
    let caller = Caller {
        bench: &bench,
        credential: String::new(),
    };
    let body = serde_json::to_value(desktop.enrol("0000-0000-0000-0000", None)).expect("JSON");
    for _ in 0..20 {
        problem(
            &caller.post("/sync/v1/enrol", &body).await,
            403,
            "code_refused",
        );
    }
    problem(
        &caller.post("/sync/v1/enrol", &body).await,
        429,
        "rate_limited",
    );
}

#[tokio::test]
async fn a_photo_comes_in_parts_and_a_wrong_hash_is_dropped() {
    let bench = Bench::new();
    let desktop = bench.desktop(1);
    let caller = caller(&bench, &desktop);
    let bytes = b"0123456789".to_vec();
    let hash = attachments::hash_of(&bytes);
    let upload = format!("/sync/v1/photos/{hash}/full/upload");
    let received = |answer: &Answer| {
        let body: Value = serde_json::from_slice(&answer.body).expect("JSON");
        (
            body["received_bytes"].as_u64().expect("a number"),
            body["state"].as_str().expect("a word").to_owned(),
        )
    };
    let state = "incomplete".to_owned();
    let first = caller
        .call(
            Method::PUT,
            &format!("{upload}?offset=0"),
            bytes[..4].to_vec(),
        )
        .await;
    assert_eq!(received(&first), (4, state.clone()));
    let gap = caller
        .call(
            Method::PUT,
            &format!("{upload}?offset=7"),
            bytes[7..].to_vec(),
        )
        .await;
    assert_eq!(received(&gap), (4, state.clone()), "a gap stores nothing");
    let broken = caller
        .call(
            Method::PUT,
            &format!("{upload}?offset=4"),
            b"xxxxxx".to_vec(),
        )
        .await;
    assert_eq!(received(&broken), (10, state.clone()));
    let finish = json!({ "size_bytes": 10, "content_hash": hash });
    problem(
        &caller
            .post(&format!("/sync/v1/photos/{hash}/full/finish"), &finish)
            .await,
        422,
        "photo_hash_mismatch",
    );
    assert_eq!(
        received(&caller.get(&upload).await),
        (0, state),
        "the parts were dropped"
    );
    problem(
        &caller.get(&format!("/sync/v1/photos/{hash}/full")).await,
        404,
        "photo_absent",
    );
    caller
        .call(Method::PUT, &format!("{upload}?offset=0"), bytes.clone())
        .await;
    let done = caller
        .post(&format!("/sync/v1/photos/{hash}/full/finish"), &finish)
        .await;
    assert_eq!(received(&done), (10, "stored".to_owned()));
    let range = caller
        .get(&format!("/sync/v1/photos/{hash}/full?offset=3&length=4"))
        .await;
    assert_eq!(
        (range.body.as_slice(), &range.headers["x-total-bytes"]),
        (&b"3456"[..], &"10".parse().expect("a number"))
    );
    let again = caller
        .post(&format!("/sync/v1/photos/{hash}/full/finish"), &finish)
        .await;
    assert_eq!(
        again.status,
        StatusCode::OK,
        "finishing twice is finishing once"
    );
}

#[tokio::test]
async fn a_desktop_is_told_when_the_log_moves() {
    use tokio_stream::StreamExt as _;
    use tower::ServiceExt as _;

    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let mut request = Request::builder()
        .uri("/sync/v1/hints?log_position=0")
        .header(
            header::AUTHORIZATION,
            format!("Bearer {}", desktop.credential),
        )
        .body(Body::empty())
        .expect("a request");
    let peer = std::net::SocketAddr::from(([127, 0, 0, 1], 1));
    request
        .extensions_mut()
        .insert(axum::extract::ConnectInfo(peer));
    let response = bench
        .router
        .clone()
        .oneshot(request)
        .await
        .expect("a router always answers");
    assert_eq!(
        response.headers()[header::CONTENT_TYPE],
        "text/event-stream"
    );
    let mut events = response.into_body().into_data_stream();
    let writing = tokio::task::spawn_blocking(move || desktop.furnish());
    let event = events.next().await.expect("an event").expect("its bytes");
    let text = String::from_utf8_lossy(&event).into_owned();
    assert!(
        text.contains("event: position") && text.contains("data: {\"log_position\":3}"),
        "{text}"
    );
    writing.await.expect("the desktop wrote");
    bench.stop();
    assert!(events.next().await.is_none(), "a stop ends the stream");
}

#[test]
fn the_same_calls_work_without_a_socket() {
    let bench = Bench::new();
    let desktop = bench.desktop(1);
    assert_eq!(
        desktop
            .connection
            .heads()
            .expect("the server answers")
            .log_position,
        0
    );
}

#[tokio::test]
async fn a_problem_s_type_leads_to_its_meaning() {
    let bench = Bench::new();
    let mut browser = bench.browser();
    let answer = browser.get("/problems/not_enrolled").await;
    assert_eq!(
        (answer.status, answer.text().contains("HTTP status 401")),
        (StatusCode::OK, true)
    );
    assert_eq!(
        browser.get("/problems/no_such_code").await.status,
        StatusCode::NOT_FOUND
    );
}
