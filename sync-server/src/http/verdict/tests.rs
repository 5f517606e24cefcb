use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use serde_json::{Value, json};

use super::BODY_BYTES_MAX;
use super::fields::{CONTENT, PARCEL, Shape};
use crate::testing::{Answer, Bench, call};

/// A parcel that the engine can judge: case T09 of the published ones (two cells, 7.4 V, 1100 mAh; PHMSA letter 14-0218).
fn good() -> Value {
    json!({
        "regime": "US_HMR",
        "mode": "GROUND",
        "ship_date": "2026-03-01",
        "packages_per_consignment": 1,
        "chem": "LI_ION",
        "cells_per_unit": 2,
        "mv": 7400,
        "mah": 1100,
        "config": "CONTAINED",
        "units_in_devices": 1,
        "spare_sets": 0,
        "devices_per_package": 1,
        "findings": ["F00"],
        "soc_rated_pct": 25,
        "device_status": "USED",
    })
}

/// The same with some members replaced; null takes one out.
fn with(changes: &Value) -> Value {
    let mut parcel = good();
    for (name, value) in changes.as_object().expect("an object of changes") {
        let members = parcel.as_object_mut().expect("a parcel is an object");
        if value.is_null() {
            members.remove(name);
        } else {
            members.insert(name.clone(), value.clone());
        }
    }
    parcel
}

async fn post(bench: &Bench, body: impl Into<Body>) -> Answer {
    let request = Request::post("/api/v1/transport-verdict")
        .header(header::CONTENT_TYPE, "application/json")
        .body(body.into())
        .expect("a request");
    call(&bench.router, request).await
}

fn read(answer: &Answer) -> Value {
    serde_json::from_slice(&answer.body).expect("the answer is JSON")
}

/// Checks a refusal: RFC 9457, the field's name, one sentence that holds `part`.
fn check_problem(answer: &Answer, status: u16, code: &str, field: Option<&str>, part: &str) {
    let problem = read(answer);
    assert_eq!(answer.status.as_u16(), status, "{problem}");
    assert_eq!(
        answer.headers["content-type"], "application/problem+json",
        "{problem}"
    );
    assert_eq!(problem["status"], status, "{problem}");
    assert_eq!(problem["code"], code, "{problem}");
    assert_eq!(problem["type"], format!("/problems/{code}"), "{problem}");
    assert_eq!(problem["field"].as_str(), field, "{problem}");
    let detail = problem["detail"].as_str().expect("a sentence");
    assert!(detail.contains(part), "“{detail}” should say “{part}”");
    assert!(detail.ends_with(['.', '?']), "“{detail}” is a sentence");
}

async fn check_field(changes: Value, field: &str, part: &str) {
    let answer = post(&Bench::new(), with(&changes).to_string()).await;
    check_problem(&answer, 422, "field_invalid", Some(field), part);
}

#[tokio::test]
async fn a_sound_parcel_gets_the_engine_s_own_verdict() {
    use domain::cells::book::RuleBook;
    use domain::cells::transport::judge_parcel;

    let bench = Bench::new();
    let answer = post(&bench, good().to_string()).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let parcel = serde_json::from_value(good()).expect("a parcel");
    let expected = judge_parcel(RuleBook::shipped(), &parcel);
    assert_eq!(
        read(&answer),
        serde_json::to_value(&expected).expect("a verdict is JSON")
    );
    assert_eq!(read(&answer)["verdict"], "ORDINARY", "{}", answer.text());
}

#[tokio::test]
async fn a_row_that_the_lab_s_owner_has_renewed_counts_here_too() {
    use domain::cells::book::{RuleBody, RuleBook};
    use domain::fact::RuleUpdate;
    use domain::{Fact, Subject};

    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    desktop.furnish();
    assert_eq!(
        read(&post(&bench, good().to_string()).await)["verdict"],
        "ORDINARY"
    );
    let shipped = RuleBook::shipped();
    let mut row = shipped
        .rows()
        .iter()
        .find(|row| row.id == "SM.BATT.WH" && row.regime == RuleBody::UsHmr)
        .expect("a row")
        .clone();
    // The parcel's battery holds 8.14 Wh.
    row.value = Some(8_000_000);
    row.effective_from = "2026-01-01".parse().expect("a day");
    shipped
        .accepts(&row)
        .expect("it follows a row that is there");
    let update = RuleUpdate {
        row,
        reason: "a stricter edition, for this test".to_owned(),
    };
    desktop.write(&[(Subject::Lab(desktop.lab_id), Fact::RuleUpdated(update))]);
    let answer = read(&post(&bench, good().to_string()).await);
    assert_ne!(answer["verdict"], "ORDINARY", "{answer}");
}

#[tokio::test]
async fn a_misspelt_field_is_refused_with_the_one_that_was_meant() {
    check_field(
        json!({"wh_lable": 20}),
        "wh_lable",
        "did you mean “wh_label”?",
    )
    .await;
    check_field(
        json!({"Ship_Date": "2026-03-01"}),
        "Ship_Date",
        "did you mean “ship_date”?",
    )
    .await;
    check_field(
        json!({"colour": "blue"}),
        "colour",
        "There is no field “colour”; the fields are listed",
    )
    .await;
}

#[tokio::test]
async fn a_wrong_type_or_value_is_refused_with_what_would_be_right() {
    check_field(
        json!({"regime": "EU"}),
        "regime",
        "must be one of US_HMR, ADR",
    )
    .await;
    check_field(json!({"mode": "AIRPAX"}), "mode", "Did you mean AIR_PAX?").await;
    check_field(
        json!({"mah": "1100"}),
        "mah",
        "is a text, and must be a whole number of milliampere-hours",
    )
    .await;
    check_field(
        json!({"mah": 1100.5}),
        "mah",
        "is 1100.5, and must be a whole",
    )
    .await;
    check_field(
        json!({"wh_label": [20]}),
        "wh_label",
        "is a list, and must be a number of watt-hours",
    )
    .await;
    check_field(json!({"button": "yes"}), "button", "must be true or false").await;
    check_field(
        json!({"ship_date": "1 March"}),
        "ship_date",
        "is “1 March”, and must be a day written as 2026-03-01",
    )
    .await;
    check_field(
        json!({"ship_date": "2026-02-30"}),
        "ship_date",
        "must be a day",
    )
    .await;
    check_field(
        json!({"findings": ["F00", "F99"]}),
        "findings[1]",
        "is “F99”, and must be one of F00",
    )
    .await;
    check_field(json!({"findings": "F00"}), "findings", "must be a list").await;
    check_field(
        json!({"printed_mark": {"widht_mm": 100}}),
        "printed_mark.widht_mm",
        "did you mean “width_mm”?",
    )
    .await;
}

#[tokio::test]
async fn numbers_that_no_parcel_has_are_refused_with_what_may_have_been_meant() {
    check_field(json!({"mah": 3_200_000}), "mah", "did you mean 3200 mAh?").await;
    check_field(json!({"mv": -7400}), "mv", "below zero").await;
    check_field(json!({"wh_label": -1.5}), "wh_label", "below zero").await;
    check_field(json!({"cells_per_unit": 0}), "cells_per_unit", "is 0").await;
    check_field(
        json!({"soc_rated_pct": 250}),
        "soc_rated_pct",
        "can't be right",
    )
    .await;
    let nothing = json!({"regime": "ADR", "mode": "GROUND", "ship_date": "2026-03-01"});
    let answer = post(&Bench::new(), nothing.to_string()).await;
    check_problem(
        &answer,
        422,
        "field_invalid",
        Some("contents"),
        "Nothing is said about any cell",
    );
}

#[tokio::test]
async fn a_danger_is_said_whatever_else_is_wrong() {
    // Rule R01 before every other: a cell that smokes, with a capacity that no cell has.
    let parcel = with(&json!({"findings": ["F31"], "mah": 3_200_000}));
    let answer = post(&Bench::new(), parcel.to_string()).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    assert_eq!(read(&answer)["verdict"], "FORBIDDEN");
    assert_eq!(read(&answer)["flags"][0], "emergency");
}

#[tokio::test]
async fn a_ship_date_outside_every_edition_is_held() {
    let parcel = with(&json!({"ship_date": "2031-03-01"}));
    let answer = post(&Bench::new(), parcel.to_string()).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    assert_eq!(read(&answer)["verdict"], "HOLD");
}

#[tokio::test]
async fn a_missing_field_is_named() {
    for name in ["regime", "mode", "ship_date"] {
        check_field(
            json!({ name: null }),
            name,
            &format!("The field “{name}” is missing"),
        )
        .await;
    }
}

#[tokio::test]
async fn contents_are_a_list_or_stand_alone() {
    check_field(json!({"contents": []}), "contents", "stand side by side").await;
    let parcel = |contents: Value| json!({"regime": "ADR", "mode": "GROUND", "ship_date": "2026-03-01", "contents": contents});
    let bench = Bench::new();
    let answer = post(&bench, parcel(json!([])).to_string()).await;
    check_problem(
        &answer,
        422,
        "field_invalid",
        Some("contents"),
        "must hold 1 to 100",
    );
    let answer = post(
        &bench,
        parcel(json!([{"chem": "LI_ION"}, {"chme": 1}])).to_string(),
    )
    .await;
    check_problem(
        &answer,
        422,
        "field_invalid",
        Some("contents[1].chme"),
        "did you mean “chem”?",
    );
}

#[tokio::test]
async fn what_is_no_json_object_is_refused_in_one_sentence() {
    let bench = Bench::new();
    let bad = |answer: &Answer, part: &str| check_problem(answer, 400, "bad_request", None, part);
    bad(&post(&bench, "").await, "The body is empty");
    bad(
        &post(&bench, "{\"regime\": ").await,
        "can't be read as JSON",
    );
    bad(&post(&bench, "[1, 2]").await, "The body is a list");
    bad(&post(&bench, "null").await, "The body is null");
    bad(&post(&bench, vec![0xFF, 0xFE]).await, "can't be read");
    // RFC 8259, section 4, leaves open what a name that stands twice means.
    bad(
        &post(&bench, "{\"mah\": 1100, \"mah\": 9000}").await,
        "The field “mah” stands there twice",
    );
    bad(
        &post(&bench, "{\"contents\": [{\"mv\": 1, \"mv\": 2}]}").await,
        "The field “mv” stands there twice",
    );
    let deep = "[".repeat(5_000);
    bad(&post(&bench, deep).await, "can't be read as JSON");
}

#[tokio::test]
async fn a_huge_body_is_refused() {
    let bench = Bench::new();
    let mut body = good().to_string();
    body.extend(std::iter::repeat_n(' ', BODY_BYTES_MAX));
    let answer = post(&bench, body).await;
    check_problem(&answer, 413, "over_limit", None, "larger than 65536 bytes");
}

#[tokio::test]
async fn a_body_that_is_not_said_to_be_json_is_refused() {
    let bench = Bench::new();
    for kind in [
        "text/plain",
        "application/x-www-form-urlencoded",
        "application/jsonx",
    ] {
        let request = Request::post("/api/v1/transport-verdict")
            .header(header::CONTENT_TYPE, kind)
            .body(Body::from(good().to_string()))
            .expect("a request");
        let answer = call(&bench.router, request).await;
        check_problem(
            &answer,
            415,
            "not_json",
            None,
            "content-type: application/json",
        );
    }
    let request = Request::post("/api/v1/transport-verdict")
        .header(header::CONTENT_TYPE, "application/json; charset=utf-8")
        .body(Body::from(good().to_string()))
        .expect("a request");
    assert_eq!(call(&bench.router, request).await.status, StatusCode::OK);
}

#[tokio::test]
async fn too_many_questions_from_one_address_wait() {
    let bench = Bench::new();
    for _ in 0..240 {
        let answer = post(&bench, "{}").await;
        assert_eq!(answer.status.as_u16(), 422, "{}", answer.text());
    }
    let answer = post(&bench, good().to_string()).await;
    check_problem(&answer, 429, "rate_limited", None, "ask again");
    let wait = answer.headers["retry-after"].to_str().expect("a number");
    assert!(wait.parse::<u64>().expect("seconds") >= 1, "{wait}");
}

#[tokio::test]
async fn a_server_that_is_not_open_answers_its_own_people_only() {
    let bench = Bench::closed();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let answer = post(&bench, good().to_string()).await;
    check_problem(&answer, 403, "verdict_not_public", None, "public_verdicts");

    let mut user = bench.user(shops[0], "mira@counter.example").await;
    let body = good().to_string().into_bytes();
    let answer = user
        .send(
            axum::http::Method::POST,
            "/api/v1/transport-verdict",
            Some("application/json"),
            body,
        )
        .await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());

    let with_credential = |credential: &str| {
        Request::post("/api/v1/transport-verdict")
            .header(header::CONTENT_TYPE, "application/json")
            .header(header::AUTHORIZATION, format!("Bearer {credential}"))
            .body(Body::from(good().to_string()))
            .expect("a request")
    };
    let answer = call(&bench.router, with_credential(&desktop.credential)).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let answer = call(&bench.router, with_credential("not-a-credential")).await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn another_method_is_told_which_ones_there_are() {
    let bench = Bench::new();
    let request = Request::put("/api/v1/transport-verdict")
        .body(Body::from(good().to_string()))
        .expect("a request");
    let answer = call(&bench.router, request).await;
    check_problem(&answer, 405, "method_not_allowed", None, "Ask with POST");
    assert_eq!(answer.headers["allow"], "GET, HEAD, POST");
}

#[tokio::test]
async fn a_refusal_s_type_leads_to_its_title() {
    let bench = Bench::new();
    for (code, title) in [
        ("field_invalid", "A field can't be used"),
        ("verdict_not_public", "Not open to everybody"),
        ("not_json", "The question is not JSON"),
    ] {
        let text = bench
            .browser()
            .get(&format!("/problems/{code}"))
            .await
            .text();
        assert!(text.starts_with(title), "{text}");
    }
}

#[tokio::test]
async fn the_page_documents_every_field_and_shows_an_answer_of_the_engine() {
    let bench = Bench::closed();
    for path in ["/api/v1/", "/api/v1", "/api/v1/transport-verdict"] {
        let page = bench.browser().get(path).await;
        assert_eq!(page.status, StatusCode::OK);
        let text = page.text();
        for field in PARCEL.iter().chain(CONTENT.iter()) {
            let name = format!("<span class=\"mono\">{}</span>", field.name);
            assert!(text.contains(&name), "{path} lacks {}", field.name);
            if let Shape::One(choices) | Shape::Several(choices) = &field.shape {
                for choice in choices {
                    assert!(text.contains(&choice.code), "{path} lacks {}", choice.code);
                }
            }
        }
        assert!(text.contains("LBM(UN3481)"), "three laptops need the mark");
        assert!(text.contains("&#34;verdict&#34;: &#34;MARKED&#34;"));
        assert!(text.contains("SM.CELL.WH") && text.contains("2026-11-25"));
    }
}

/// A value of every shape, so that nothing in the table can be a name that the engine doesn't read.
fn sample(shape: &Shape) -> Value {
    match shape {
        Shape::One(choices) => json!(choices[0].code),
        Shape::Several(choices) => json!([choices[0].code]),
        Shape::Whole(_) => json!(1),
        Shape::Decimal(_) => json!(1.5),
        Shape::YesNo => json!(true),
        Shape::Day => json!("2026-03-01"),
        Shape::Text(_) => json!("AT"),
        Shape::Object(fields) => fields
            .iter()
            .map(|field| (field.name.to_owned(), sample(&field.shape)))
            .collect::<serde_json::Map<_, _>>()
            .into(),
        Shape::Contents => json!([]),
    }
}

#[test]
fn the_table_holds_exactly_the_fields_that_the_engine_reads() {
    use domain::cells::transport::{Contents, Parcel};

    let content: Value = CONTENT
        .iter()
        .map(|field| (field.name.to_owned(), sample(&field.shape)))
        .collect::<serde_json::Map<_, _>>()
        .into();
    let read: Contents = serde_json::from_value(content.clone()).expect("every field is read");
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    assert_eq!(serde_json::to_value(&read).expect("JSON"), content);

    let mut parcel: serde_json::Map<String, Value> = PARCEL
        .iter()
        .map(|field| (field.name.to_owned(), sample(&field.shape)))
        .collect();
    parcel.insert("contents".to_owned(), json!([content]));
    let parcel = Value::Object(parcel);
    let read: Parcel = serde_json::from_value(parcel.clone()).expect("every field is read");
    assert_eq!(serde_json::to_value(&read).expect("JSON"), parcel);
}
