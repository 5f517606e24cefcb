//! The published transport cases, posted over HTTP to a running server, as any program would.
//!
//! `vectors/transport_cases.json` names the source of each: regulators' letters, the regulations' clauses, posts' and carriers'
//! notices, or the clause that a case was derived from. It also checks RFC 9457 (problem details) and RFC 9110, section 10.2.3
//! (Retry-After), on what the server refuses.

use reqwest::blocking::{Client, Response};
use reqwest::header::{CONTENT_TYPE, RETRY_AFTER};
use serde_json::{Value, json};
use sync_server::config::Config;
use sync_server::{Running, start};
use tempfile::TempDir;

use super::vector_files::{list, text, vectors};
use crate::house::client;

/// A server that answers everybody.
struct Open {
    running: Running,
    client: Client,
    _folder: TempDir,
}

impl Open {
    fn start() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let config = Config {
            public_verdicts: true,
            ..Config::local(folder.path().join("data"))
        };
        Self {
            running: start(config).expect("a free port"),
            client: client(),
            _folder: folder,
        }
    }

    fn post(&self, body: String) -> Response {
        self.client
            .post(format!(
                "{}/api/v1/transport-verdict",
                self.running.public_url()
            ))
            .header(CONTENT_TYPE, "application/json")
            .body(body)
            .send()
            .expect("the server answers")
    }
}

fn read(answer: Response) -> Value {
    serde_json::from_slice(&answer.bytes().expect("the whole answer")).expect("JSON")
}

/// The codes of a list, in no order: strings, or objects with a `code` or an `id`.
fn codes(value: &Value) -> Vec<String> {
    let mut codes: Vec<String> = value
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|item| {
            let code = item
                .as_str()
                .or_else(|| item["code"].as_str())
                .or_else(|| item["id"].as_str());
            code.map(str::to_owned)
        })
        .collect();
    codes.sort();
    codes
}

/// What is wrong with an answer, in words.
fn differences(answer: &Value, expect: &Value) -> Vec<String> {
    let mut wrong = Vec::new();
    if answer["verdict"] != expect["verdict"] {
        wrong.push(format!("{} for {}", answer["verdict"], expect["verdict"]));
    }
    for exact in ["un", "marks", "packing_instruction"] {
        if !expect[exact].is_null() && codes(&answer[exact]) != codes(&expect[exact]) {
            wrong.push(format!(
                "{exact} {:?} for {:?}",
                codes(&answer[exact]),
                codes(&expect[exact])
            ));
        }
    }
    for part in ["flags", "rules"] {
        let given = codes(&answer[part]);
        for code in codes(&expect[part]) {
            if !given.contains(&code) {
                wrong.push(format!("{part} lack {code}: {given:?}"));
            }
        }
    }
    wrong
}

#[test]
fn every_published_case_is_answered_over_http() {
    let server = Open::start();
    let mut wrong = Vec::new();
    for case in list(&vectors("transport_cases.json"), "cases") {
        let answer = server.post(case["request"].to_string());
        let status = answer.status().as_u16();
        let answer = read(answer);
        let found = if status == 200 {
            differences(&answer, &case["expect"])
        } else {
            vec![format!("status {status}: {}", answer["detail"])]
        };
        // Every answer carries its cautions, and every rule that fired its edition, its certainty and its last check.
        let is_whole = codes(&answer["cautions"]).len() == 8
            && list(&answer, "rules").iter().all(|rule| {
                ["clause", "edition", "certainty", "text", "last_checked"]
                    .iter()
                    .all(|member| rule[*member].as_str().is_some_and(|text| !text.is_empty()))
            });
        if !found.is_empty() || !is_whole {
            wrong.push(format!("{}: {}", text(case, "id"), found.join("; ")));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn a_refusal_is_problem_details_with_the_field() {
    let server = Open::start();
    let good = &vectors("transport_cases.json")["cases"][0]["request"];
    let with = |name: &str, value: Value| {
        let mut request = good.clone();
        request[name] = value;
        request.to_string()
    };
    for (body, status, field) in [
        ("{".to_owned(), 400, Value::Null),
        ("[]".to_owned(), 400, Value::Null),
        (with("regime", json!("MOON")), 422, json!("regime")),
        (with("findigns", json!([])), 422, json!("findigns")),
        (
            with("ship_date", json!(20_260_301)),
            422,
            json!("ship_date"),
        ),
        (
            with("inspected", json!("x".repeat(70_000))),
            413,
            Value::Null,
        ),
    ] {
        let answer = server.post(body);
        assert_eq!(answer.status().as_u16(), status);
        // RFC 9457, section 3: the media type, and the members that it lays down.
        assert_eq!(answer.headers()[CONTENT_TYPE], "application/problem+json");
        let problem = read(answer);
        assert_eq!(problem["status"], status, "{problem}");
        assert_eq!(problem["field"], field, "{problem}");
        for member in ["type", "title", "detail"] {
            assert!(problem[member].is_string(), "{problem}");
        }
        let explained = server
            .client
            .get(format!(
                "{}{}",
                server.running.public_url(),
                text(&problem, "type")
            ))
            .send()
            .expect("the server answers");
        assert_eq!(explained.status().as_u16(), 200, "{problem}");
    }
}

#[test]
fn one_address_that_asks_without_end_is_told_when_to_come_back() {
    let server = Open::start();
    let refused = (0..300)
        .map(|_| server.post("{}".to_owned()))
        .find(|answer| answer.status().as_u16() == 429)
        .expect("three hundred at once are too many");
    let seconds = refused.headers()[RETRY_AFTER].to_str().expect("digits");
    assert!(seconds.parse::<u64>().expect("delay-seconds") >= 1);
}
