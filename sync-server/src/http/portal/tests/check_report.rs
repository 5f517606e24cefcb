//! A return report's PDF is handed in and judged; what is another shop's stays unknown.

use axum::http::StatusCode;
use domain::fact::IssuedReport;
use domain::{ContentHash, Fact, JobId, Subject};
use logbook::{ReportSeal, SigningKey};
use sha2::{Digest as _, Sha256};

use crate::testing::{Answer, Bench, Browser, Desktop};

fn hash(bytes: &[u8]) -> ContentHash {
    ContentHash::from_bytes(Sha256::digest(bytes).into())
}

/// A file with a record and its seal inside, as streams that are not packed (ISO 32000-1, 7.3.8).
fn paper(
    desktop: &Desktop,
    key: &SigningKey,
    job_id: JobId,
    words: &str,
) -> (Vec<u8>, ContentHash) {
    let record = format!(
        r#"{{"form":"waybench return report, form 1","job_id":"{job_id}","words":"{words}"}}"#
    );
    let digest = hash(record.as_bytes());
    let seal = ReportSeal::make(key, desktop.lab_id, desktop.head.stream_id, digest);
    let seal = serde_json::to_string(&seal).expect("a seal holds only strings");
    let file = format!(
        "%PDF-1.7\n1 0 obj\n<<>>\nstream\n{record}\nendstream\nendobj\n2 0 obj\n<<>>\nstream\n{seal}\nendstream\nendobj\n%%EOF\n"
    );
    (file.into_bytes(), digest)
}

/// A report that the desktop has made and told the server of.
fn issued(desktop: &mut Desktop, job_id: JobId, words: &str) -> Vec<u8> {
    let key = desktop.key.clone();
    let (file, digest) = paper(desktop, &key, job_id, words);
    let report = IssuedReport {
        file: hash(&file),
        size_bytes: file.len() as u64,
        digest,
        pages: 1,
    };
    desktop.write(&[(Subject::Job(job_id), Fact::ReportIssued(report))]);
    file
}

async fn hand_in(browser: &mut Browser, file: &[u8]) -> Answer {
    assert_eq!(browser.get("/check-report").await.status, StatusCode::OK);
    browser.upload("/check-report", file).await
}

async fn check(browser: &mut Browser, file: &[u8], part: &str) {
    let answer = hand_in(browser, file).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    assert!(answer.text().contains(part), "{part}: {}", answer.text());
}

/// The page without its one-time token.
fn without_token(answer: &Answer) -> String {
    let text = answer.text();
    let (before, rest) = text
        .split_once("name=\"form_token\" value=\"")
        .expect("a form");
    format!("{before}{}", rest.split_once('"').expect("its end").1)
}

#[tokio::test]
async fn a_shop_s_own_report_is_genuine_until_a_newer_one_is_made() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "Own");
    let first = issued(&mut desktop, job_id, "first");
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    check(&mut browser, &first, "Genuine, and the newest").await;
    let second = issued(&mut desktop, job_id, "second");
    check(&mut browser, &first, "a newer one exists").await;
    check(&mut browser, &second, "Genuine, and the newest").await;
}

#[tokio::test]
async fn a_changed_page_record_or_key_is_told_apart() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "Own");
    let file = issued(&mut desktop, job_id, "as made");
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let mut page = file.clone();
    page[7] ^= 1;
    check(&mut browser, &page, "Its pages can").await;
    let record = String::from_utf8(file.clone())
        .expect("text")
        .replace("as made", "as told");
    check(&mut browser, record.as_bytes(), ">Altered<").await;
    let (forged, _) = paper(
        &desktop,
        &SigningKey::from_bytes(&[77; 32]),
        job_id,
        "forged",
    );
    check(&mut browser, &forged, ">Altered<").await;
    check(&mut browser, b"%PDF-1.7 nothing", "No report in this file").await;
    check(&mut browser, b"", "Choose the report").await;
}

#[tokio::test]
async fn another_shop_s_report_gives_the_same_bytes_as_one_that_is_not_known() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let theirs = desktop.job(shops[1], "Theirs");
    let never = desktop.job_id();
    let theirs_file = issued(&mut desktop, theirs, "theirs");
    let key = desktop.key.clone();
    let (never_file, _) = paper(&desktop, &key, never, "never told");
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let other = hand_in(&mut browser, &theirs_file).await;
    let absent = hand_in(&mut browser, &never_file).await;
    assert!(
        other.text().contains("Not among your reports"),
        "{}",
        other.text()
    );
    assert_eq!(without_token(&other), without_token(&absent));
    let change = |file: &[u8]| {
        let text = String::from_utf8(file.to_vec()).expect("text");
        text.replace(
            "waybench return report, form 1",
            "waybench return report, form 9",
        )
        .into_bytes()
    };
    let other = hand_in(&mut browser, &change(&theirs_file)).await;
    let absent = hand_in(&mut browser, &change(&never_file)).await;
    assert_eq!(without_token(&other), without_token(&absent));
}

#[tokio::test]
async fn only_who_is_signed_in_may_ask_and_not_without_end() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let answer = bench.browser().get("/check-report").await;
    assert_eq!(answer.location(), "/sign-in?next=%2Fcheck-report");
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let large = vec![b'x'; 33 * 1024 * 1024];
    let answer = hand_in(&mut browser, &large).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(
        answer.text().contains("larger than anything"),
        "{}",
        answer.text()
    );
    let mut refused = None;
    for _ in 0..30 {
        let answer = hand_in(&mut browser, b"x").await;
        refused = refused.or((answer.status == StatusCode::TOO_MANY_REQUESTS).then_some(answer));
    }
    assert!(refused.is_some(), "thirty files in a row were all taken");
}

#[tokio::test]
async fn the_schema_of_the_record_is_there_for_anybody() {
    let bench = Bench::new();
    let answer = bench.browser().get("/schema/return-report-1.json").await;
    assert_eq!(answer.status, StatusCode::OK);
    assert_eq!(answer.headers["content-type"], "application/schema+json");
    let schema: serde_json::Value = serde_json::from_slice(&answer.body).expect("JSON");
    assert_eq!(schema["$id"], "urn:waybench:schema:return-report-1");
}
