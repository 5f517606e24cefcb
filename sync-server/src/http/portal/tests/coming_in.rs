//! Invites, signing in and out, sessions, cookies, headers.

use axum::http::{StatusCode, header};
use domain::Subject;

use crate::testing::Bench;

#[tokio::test]
async fn a_user_follows_an_invite_sets_a_password_and_signs_in_with_it() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    let mut browser = bench.user(shops[0], "Mira@Counter.example").await;
    assert!(
        browser
            .get("/devices")
            .await
            .text()
            .contains("Northside Counter")
    );
    browser.get("/account").await;
    assert_eq!(browser.post("/sign-out", &[]).await.location(), "/sign-in");
    let signed_out = browser.get("/devices").await;
    assert_eq!(signed_out.location(), "/sign-in?next=%2Fdevices");
    browser.get("/sign-in?next=%2Fparcels").await;
    let wrong = browser
        .post(
            "/sign-in",
            &[("email", "mira@counter.example"), ("password", "nope nope")],
        )
        .await;
    assert_eq!(wrong.status, StatusCode::UNAUTHORIZED);
    assert!(
        wrong.text().contains("mira@counter.example"),
        "what was typed stays"
    );
    let fields = [
        ("email", "mira@counter.example"),
        ("password", "copper and rosin"),
        ("next", "/parcels"),
    ];
    let right = browser.post("/sign-in", &fields).await;
    assert_eq!(right.location(), "/parcels");
}

#[tokio::test]
async fn an_unknown_account_and_a_wrong_password_look_alike() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    bench.user(shops[0], "mira@counter.example").await;
    let mut browser = bench.browser();
    browser.get("/sign-in").await;
    let known = browser
        .post(
            "/sign-in",
            &[
                ("email", "mira@counter.example"),
                ("password", "wrong wrong"),
            ],
        )
        .await;
    let unknown = browser
        .post(
            "/sign-in",
            &[
                ("email", "nobody@counter.example"),
                ("password", "wrong wrong"),
            ],
        )
        .await;
    assert_eq!(known.status, unknown.status);
    assert_eq!(known.text().replace("mira@", "nobody@"), unknown.text());
}

#[tokio::test]
async fn the_ninth_try_for_one_account_is_told_to_wait() {
    let bench = Bench::new();
    bench.desktop(1).furnish();
    let mut browser = bench.browser();
    browser.get("/sign-in").await;
    let fields = [
        ("email", "mira@counter.example"),
        ("password", "guess guess"),
    ];
    for _ in 0..8 {
        assert_eq!(
            browser.post("/sign-in", &fields).await.status,
            StatusCode::UNAUTHORIZED
        );
    }
    let refused = browser.post("/sign-in", &fields).await;
    assert_eq!(refused.status, StatusCode::TOO_MANY_REQUESTS);
    assert!(refused.headers.contains_key(header::RETRY_AFTER));
    assert!(refused.text().contains("Wait"), "{}", refused.text());
}

#[tokio::test]
async fn an_invite_works_once_and_not_after_a_week() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    let token = bench
        .core
        .new_invite(&bench.scope(), shops[0], "")
        .expect("an invite");
    let path = format!("/invite/{}", token.reveal());
    let mut browser = bench.browser();
    assert_eq!(browser.get(&path).await.status, StatusCode::OK);
    assert_eq!(
        browser.get(&path).await.status,
        StatusCode::OK,
        "looking at it does not use it up"
    );
    bench.clock.advance(8 * 24 * 3_600_000);
    let late = browser.get(&path).await;
    assert_eq!(late.status, StatusCode::GONE);
    assert!(late.text().contains("Ask the lab for a new one"));
    bench.clock.advance(-8 * 24 * 3_600_000);
    browser.get(&path).await;
    let fields = [
        ("name", "Mira"),
        ("email", "m@counter.example"),
        ("password", "copper and rosin"),
    ];
    assert_eq!(
        browser.post(&path, &fields).await.status,
        StatusCode::SEE_OTHER
    );
    let mut second = bench.browser();
    assert_eq!(second.get(&path).await.status, StatusCode::GONE);
    assert_eq!(
        second.get("/invite/nonsense").await.status,
        StatusCode::GONE
    );
}

#[tokio::test]
async fn a_short_password_is_told_why_and_the_name_stays() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    let token = bench
        .core
        .new_invite(&bench.scope(), shops[0], "")
        .expect("an invite");
    let path = format!("/invite/{}", token.reveal());
    let mut browser = bench.browser();
    browser.get(&path).await;
    let answer = browser
        .post(
            &path,
            &[
                ("name", "Mira"),
                ("email", "m@counter.example"),
                ("password", "short"),
            ],
        )
        .await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text().contains("at least 8 characters"));
    assert!(answer.text().contains("value=\"Mira\""));
    assert!(
        !answer.text().contains("value=\"short\""),
        "a password is never sent back"
    );
}

#[tokio::test]
async fn an_invite_for_one_shop_can_t_take_over_another_shop_s_account() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    bench.user(shops[0], "mira@counter.example").await;
    let token = bench
        .core
        .new_invite(&bench.scope(), shops[1], "")
        .expect("an invite");
    let path = format!("/invite/{}", token.reveal());
    let mut browser = bench.browser();
    browser.get(&path).await;
    let fields = [
        ("name", "Eve"),
        ("email", "mira@counter.example"),
        ("password", "taking it over"),
    ];
    assert_eq!(
        browser.post(&path, &fields).await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
}

#[tokio::test]
async fn a_link_made_for_a_user_sets_a_new_password_and_ends_the_old_sessions() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    let mut old = bench.user(shops[0], "mira@counter.example").await;
    let token = bench
        .core
        .new_invite(&bench.scope(), shops[0], "mira@counter.example")
        .expect("an invite");
    let path = format!("/invite/{}", token.reveal());
    let mut browser = bench.browser();
    browser.get(&path).await;
    let fields = [
        ("name", "Mira"),
        ("email", "other@counter.example"),
        ("password", "a new set of words"),
    ];
    assert_eq!(
        browser.post(&path, &fields).await.status,
        StatusCode::SEE_OTHER
    );
    assert_eq!(old.get("/devices").await.status, StatusCode::SEE_OTHER);
    assert!(
        browser
            .get("/account")
            .await
            .text()
            .contains("mira@counter.example")
    );
}

#[tokio::test]
async fn a_form_without_its_token_is_refused_and_records_nothing() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "M2");
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    browser.get(&format!("/devices/{job_id}")).await;
    let before = bench.core.store().lab().expect("a lab").log_position;
    let path = format!("/devices/{job_id}/messages");
    for fields in [
        vec![("text", "hello")],
        vec![("text", "hello"), ("form_token", "guess")],
    ] {
        assert_eq!(
            browser.post_as_is(&path, &fields).await.status,
            StatusCode::FORBIDDEN
        );
    }
    assert_eq!(
        bench.core.store().lab().expect("a lab").log_position,
        before
    );
    assert_eq!(
        browser.post(&path, &[("text", "hello")]).await.status,
        StatusCode::SEE_OTHER
    );
}

#[tokio::test]
async fn a_sign_in_without_a_page_before_it_is_refused() {
    let bench = Bench::new();
    let answer = bench
        .browser()
        .post_as_is("/sign-in", &[("email", "a@b.example"), ("password", "x")])
        .await;
    assert_eq!(answer.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn cookies_over_https_are_secure_and_every_page_carries_its_headers() {
    let bench = Bench::https();
    let shops = bench.desktop(1).furnish();
    let mut browser = bench.browser();
    let answer = browser.get("/sign-in").await;
    let cookie = answer.headers[header::SET_COOKIE]
        .to_str()
        .expect("a cookie")
        .to_owned();
    assert!(cookie.starts_with("__Host-visitor="), "{cookie}");
    for flag in ["HttpOnly", "SameSite=Lax", "Secure", "Path=/"] {
        assert!(cookie.contains(flag), "{cookie} lacks {flag}");
    }
    let mut user = bench.user(shops[0], "mira@counter.example").await;
    for path in [
        "/sign-in",
        "/devices",
        "/no-such-page",
        "/healthz",
        "/sync/v1/heads",
    ] {
        let answer = user.get(path).await;
        let word =
            |name: header::HeaderName| answer.headers[name].to_str().expect("a header").to_owned();
        assert!(
            word(header::CONTENT_SECURITY_POLICY).starts_with("default-src 'none'"),
            "{path}"
        );
        assert!(
            word(header::CONTENT_SECURITY_POLICY).contains("frame-ancestors 'none'"),
            "{path}"
        );
        assert_eq!(word(header::X_CONTENT_TYPE_OPTIONS), "nosniff", "{path}");
        assert_eq!(word(header::REFERRER_POLICY), "no-referrer", "{path}");
        assert_eq!(word(header::CACHE_CONTROL), "no-store", "{path}");
        assert!(
            word(header::STRICT_TRANSPORT_SECURITY).contains("max-age="),
            "{path}"
        );
        assert!(
            !answer.text().contains("<script") && !answer.text().contains(" style="),
            "{path} works without either"
        );
    }
    let css = user.get("/assets/portal.css").await;
    for font in css
        .text()
        .split("url(\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap_or_default())
    {
        let answer = user.get(&format!("/assets/{font}")).await;
        assert_eq!(answer.headers[header::CONTENT_TYPE], "font/woff2", "{font}");
        assert!(answer.body.starts_with(b"wOF2"), "{font}");
    }
    assert!(
        css.headers[header::CACHE_CONTROL]
            .to_str()
            .expect("a header")
            .contains("immutable")
    );
}

#[tokio::test]
async fn a_session_ends_after_half_a_day_without_use() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    bench.clock.advance(11 * 3_600_000);
    assert_eq!(browser.get("/devices").await.status, StatusCode::OK);
    bench.clock.advance(11 * 3_600_000);
    assert_eq!(
        browser.get("/devices").await.status,
        StatusCode::OK,
        "its use was noted"
    );
    bench.clock.advance(13 * 3_600_000);
    assert_eq!(browser.get("/devices").await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_new_password_needs_the_old_one_and_ends_the_other_sessions() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    let mut phone = bench.user(shops[0], "mira@counter.example").await;
    let mut desk = bench.browser();
    desk.get("/sign-in").await;
    desk.post(
        "/sign-in",
        &[
            ("email", "mira@counter.example"),
            ("password", "copper and rosin"),
        ],
    )
    .await;
    desk.get("/account").await;
    let wrong = desk
        .post(
            "/account/password",
            &[
                ("old", "not this one"),
                ("password", "another set of words"),
            ],
        )
        .await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let right = desk
        .post(
            "/account/password",
            &[
                ("old", "copper and rosin"),
                ("password", "another set of words"),
            ],
        )
        .await;
    assert_eq!(right.location(), "/account?done=password");
    assert_eq!(desk.get("/devices").await.status, StatusCode::OK);
    assert_eq!(phone.get("/devices").await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn the_lab_reads_the_name_of_a_new_user_once() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    bench.user(shops[0], "mira@counter.example").await;
    let user = bench
        .core
        .store()
        .user_by_email("mira@counter.example")
        .expect("the store answers")
        .expect("a user");
    let person = || {
        let subject = Subject::Person(user.person_id);
        let recorded = bench
            .core
            .store()
            .recorded(&bench.scope(), subject)
            .expect("the store answers");
        domain::fold_person(user.person_id, &recorded).description
    };
    assert_eq!(
        person().value().map(|person| person.name.as_str()),
        Some("Mira Oduya")
    );
    let token = bench
        .core
        .new_invite(&bench.scope(), shops[0], "mira@counter.example")
        .expect("an invite");
    let path = format!("/invite/{}", token.reveal());
    let mut browser = bench.browser();
    browser.get(&path).await;
    browser
        .post(
            &path,
            &[("name", "Someone Else"), ("password", "a new set of words")],
        )
        .await;
    assert_eq!(
        person().heads.len(),
        1,
        "a new password is no second description"
    );
}

#[tokio::test]
async fn a_user_whose_account_was_taken_away_is_out_at_once() {
    let bench = Bench::new();
    let shops = bench.desktop(1).furnish();
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let removed = bench
        .core
        .store()
        .remove_user(&bench.scope(), "mira@counter.example");
    assert!(removed.expect("the store answers"));
    assert_eq!(browser.get("/devices").await.status, StatusCode::SEE_OTHER);
    browser.get("/sign-in").await;
    let fields = [
        ("email", "mira@counter.example"),
        ("password", "copper and rosin"),
    ];
    assert_eq!(
        browser.post("/sign-in", &fields).await.status,
        StatusCode::UNAUTHORIZED
    );
}
