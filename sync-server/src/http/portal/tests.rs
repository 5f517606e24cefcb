mod check_report;
mod coming_in;
mod isolation;

use axum::http::StatusCode;
use domain::fact::{Destruction, Message, MessageFrom};
use domain::{Fact, Subject};

use crate::testing::Bench;

#[tokio::test]
async fn what_people_type_is_shown_as_text_never_as_markup() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "<script>alert(1)</script>\"'&");
    let message = Message {
        from: MessageFrom::Lab,
        text: "</textarea><img src=x onerror=alert(2)>".to_owned(),
    };
    desktop.write(&[(Subject::Job(job_id), Fact::MessagePosted(message))]);
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    for path in ["/devices".to_owned(), format!("/devices/{job_id}")] {
        let text = browser.get(&path).await.text();
        assert!(
            !text.contains("<script>alert") && !text.contains("<img src=x"),
            "{path}"
        );
        assert!(
            text.contains("&#60;script&#62;") || text.contains("&lt;script&gt;"),
            "{path}"
        );
    }
}

#[tokio::test]
async fn the_shop_agrees_to_a_quote_and_can_t_answer_twice() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "M2");
    let quote = desktop.quote(job_id, "new");
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let page = browser.get(&format!("/devices/{job_id}")).await.text();
    assert!(
        page.contains("101.50 EUR") && page.contains("Wed 2 Dec 2026"),
        "{page}"
    );
    let path = format!("/devices/{job_id}/decision");
    let id = quote.entry_id.to_string();
    let answer = browser
        .post(&path, &[("quote", &id), ("answer", "agree"), ("note", "")])
        .await;
    assert_eq!(answer.location(), format!("/devices/{job_id}?done=agreed"));
    let page = browser.get(answer.location()).await.text();
    assert!(
        page.contains("Recorded: you agree") && page.contains("Agreed (today"),
        "{page}"
    );
    let again = browser
        .post(&path, &[("quote", &id), ("answer", "refuse"), ("note", "")])
        .await;
    assert_eq!(again.status, StatusCode::CONFLICT);
}

#[tokio::test]
async fn an_answer_to_a_quote_that_was_replaced_is_not_an_answer_to_the_new_one() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "M2");
    let old = desktop.quote(job_id, "old");
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    browser.get(&format!("/devices/{job_id}")).await;
    desktop.quote(job_id, "new");
    let id = old.entry_id.to_string();
    let answer = browser
        .post(
            &format!("/devices/{job_id}/decision"),
            &[("quote", &id), ("answer", "agree")],
        )
        .await;
    assert_eq!(answer.status, StatusCode::CONFLICT);
    assert!(answer.text().contains("The quote has changed"));
}

#[tokio::test]
async fn a_question_needs_words_and_leaves_the_quote_open() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "M2");
    let id = desktop.quote(job_id, "new").entry_id.to_string();
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    browser.get(&format!("/devices/{job_id}")).await;
    let path = format!("/devices/{job_id}/decision");
    assert_eq!(
        browser
            .post(&path, &[("quote", &id), ("answer", "ask")])
            .await
            .status,
        StatusCode::CONFLICT
    );
    let asked = browser
        .post(
            &path,
            &[
                ("quote", &id),
                ("answer", "ask"),
                ("note", "Is the data safe?"),
            ],
        )
        .await;
    let page = browser.get(asked.location()).await.text();
    assert!(
        page.contains("Is the data safe?") && page.contains("value=\"agree\""),
        "{page}"
    );
    let agreed = browser
        .post(&path, &[("quote", &id), ("answer", "agree")])
        .await;
    assert_eq!(agreed.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_long_past_is_listed_in_part_until_all_of_it_is_asked_for() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    for number in 0..52 {
        let job_id = desktop.job(shops[0], &format!("Model-{number}-"));
        let reason = "by agreement".to_owned();
        desktop.write(&[(
            Subject::Job(job_id),
            Fact::JobDestroyed(Destruction { reason }),
        )]);
    }
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let page = browser.get("/devices").await.text();
    assert!(
        page.contains("Sent back (52)") && page.contains("Show all 52"),
        "{page}"
    );
    assert!(
        page.contains("Model-51-") && !page.contains("Model-0-"),
        "the latest come first"
    );
    assert!(
        browser
            .get("/devices?all=yes")
            .await
            .text()
            .contains("Model-0-")
    );
}
