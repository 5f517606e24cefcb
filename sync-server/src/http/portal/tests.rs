use axum::http::{StatusCode, header};
use domain::fact::{
    IssuedReport, JobOutcome, Message, MessageFrom, Note, OutcomeRecord, ParcelAdvice, PhotoAdded,
    PhotoPlace,
};
use domain::{Fact, Subject};
use sync_protocol::{FinishPhoto, PhotoVariant, SyncProtocol as _};

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
    assert!(
        css.headers[header::CACHE_CONTROL]
            .to_str()
            .expect("a header")
            .contains("immutable")
    );
}

#[tokio::test]
async fn another_shop_s_device_gives_the_same_bytes_as_one_that_does_not_exist() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let theirs = desktop.job(shops[1], "Secret");
    let never = desktop.job_id();
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let other = browser.get(&format!("/devices/{theirs}")).await;
    let absent = browser.get(&format!("/devices/{never}")).await;
    let unread = browser.get("/devices/not-an-id").await;
    let no_path = browser.get("/no-such-page").await;
    assert_eq!(other.status, StatusCode::NOT_FOUND);
    for answer in [&absent, &unread, &no_path] {
        assert_eq!(
            (answer.status, &answer.headers, &answer.body),
            (other.status, &other.headers, &other.body)
        );
    }
    for act in ["decision", "messages"] {
        let path = format!("/devices/{theirs}/{act}");
        let fields = [
            ("text", "x"),
            ("answer", "agree"),
            ("quote", "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"),
        ];
        browser.get("/send/device").await;
        assert_eq!(
            browser.post(&path, &fields).await.status,
            StatusCode::NOT_FOUND,
            "{act}"
        );
    }
}

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
async fn no_byte_of_any_answer_comes_from_another_shop() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let markers = ["MARKERONE", "MARKERTWO"];
    let mut own = Vec::new();
    for (shop_id, marker) in shops.into_iter().zip(markers) {
        let job_id = desktop.job(shop_id, marker);
        desktop.quote(job_id, marker);
        let message = Message {
            from: MessageFrom::Lab,
            text: format!("{marker} message"),
        };
        let note = Note {
            text: format!("{marker} inward-only"),
        };
        let outcome = OutcomeRecord {
            outcome: JobOutcome::NotRepairable,
            words: format!("{marker} ends"),
            warranty_days: 0,
        };
        let report = report_of(marker);
        let subject = Subject::Job(job_id);
        desktop.write(&[
            (subject, Fact::MessagePosted(message)),
            (subject, Fact::NoteRecorded(note)),
            (subject, Fact::PhotoAdded(photo_of(marker))),
            (subject, Fact::OutcomeSet(outcome)),
            (subject, Fact::ReportIssued(report.clone())),
        ]);
        let parcel_id = desktop.parcel_id();
        let advice = ParcelAdvice {
            shop_id,
            job_ids: vec![job_id],
            note: format!("{marker} parcel"),
        };
        desktop.write(&[(Subject::Parcel(parcel_id), Fact::ParcelAdvised(advice))]);
        own.push((job_id, parcel_id, photo_of(marker).hash, report.digest));
    }
    let mut users = Vec::new();
    for (index, shop_id) in shops.into_iter().enumerate() {
        users.push(
            bench
                .user(shop_id, &format!("user{index}@counter.example"))
                .await,
        );
    }
    users.push(bench.browser());
    for (index, user) in users.iter_mut().enumerate() {
        let mut seen = String::new();
        for (job_id, parcel_id, hash, digest) in &own {
            for path in [
                "/devices".to_owned(),
                format!("/devices/{job_id}"),
                format!("/devices/{job_id}/report.pdf"),
                "/parcels".to_owned(),
                format!("/parcels/{parcel_id}"),
                format!("/parcels/{parcel_id}/slip.pdf"),
                format!("/pictures/{hash}/thumb"),
                format!("/pictures/{hash}/full"),
                "/send".to_owned(),
                "/account".to_owned(),
                format!("/r/{digest}"),
                format!("/sync/v1/photos/{hash}/full"),
                "/sync/v1/heads".to_owned(),
            ] {
                let answer = user.get(&path).await;
                let headers = format!("{:?}", answer.headers);
                seen.push_str(&answer.text());
                seen.push_str(&headers);
                assert!(
                    !answer.text().contains("inward-only"),
                    "a lab's own note shows at {path}"
                );
            }
        }
        for (of, marker) in markers.into_iter().enumerate() {
            assert_eq!(
                seen.contains(marker),
                of == index,
                "user {index}, marker {marker}"
            );
        }
    }
}

fn photo_of(marker: &str) -> PhotoAdded {
    let hash = attachments::hash_of(marker.as_bytes());
    PhotoAdded {
        hash,
        size_bytes: 9,
        width_px: 40,
        height_px: 30,
        place: PhotoPlace::Condition,
        caption: format!("{marker} photo"),
        beside: None,
    }
}

fn report_of(marker: &str) -> IssuedReport {
    let file = attachments::hash_of(format!("{marker} report").as_bytes());
    IssuedReport {
        file,
        size_bytes: 9,
        digest: attachments::hash_of(format!("{marker} digest").as_bytes()),
        pages: 1,
    }
}

#[tokio::test]
async fn a_report_s_digest_is_confirmed_to_anyone_and_leads_only_its_shop_further() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "M2");
    let report = report_of("one");
    desktop.write(&[(Subject::Job(job_id), Fact::ReportIssued(report.clone()))]);
    let digest = report.digest.to_string();
    let mut anyone = bench.browser();
    for path in [
        format!("/r/{digest}"),
        format!("/r/{}", &digest[..16]),
        format!("/r/{}", digest.to_uppercase()),
    ] {
        let answer = anyone.get(&path).await;
        assert_eq!(answer.status, StatusCode::OK, "{path}");
        assert!(
            answer.text().contains(&digest) && answer.text().contains("Harbour Board Lab"),
            "{path}"
        );
        assert!(
            !answer.text().contains("Northside") && !answer.text().contains("M2"),
            "{path}"
        );
    }
    for path in [
        format!("/r/{}", &digest[..15]),
        "/r/0123456789abcdef".to_owned(),
        "/r/%25%25%25%25%25%25%25%25%25%25%25%25%25%25%25%25".to_owned(),
    ] {
        assert_eq!(
            anyone.get(&path).await.status,
            StatusCode::NOT_FOUND,
            "{path}"
        );
    }
    let link = format!("href=\"/devices/{job_id}\"");
    let mut owner = bench.user(shops[0], "mira@counter.example").await;
    let mut other = bench.user(shops[1], "kai@counter.example").await;
    assert!(
        owner
            .get(&format!("/r/{digest}"))
            .await
            .text()
            .contains(&link)
    );
    assert!(
        !other
            .get(&format!("/r/{digest}"))
            .await
            .text()
            .contains(&link)
    );
    desktop.write(&[(Subject::Job(job_id), Fact::ReportIssued(report_of("two")))]);
    let old = anyone.get(&format!("/r/{digest}")).await;
    assert!(
        old.text().contains("A later report"),
        "an old paper still proves itself, and says that it is old"
    );
}

#[tokio::test]
async fn a_photo_is_shown_only_when_it_is_whole_and_only_to_its_shop() {
    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let job_id = desktop.job(shops[0], "M2");
    let bytes = [&[0xFF, 0xD8, 0xFF, 0xE0][..], b"a small picture"].concat();
    let hash = attachments::hash_of(&bytes);
    let photo = PhotoAdded {
        hash,
        ..photo_of("x")
    };
    desktop.write(&[(Subject::Job(job_id), Fact::PhotoAdded(photo))]);
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    let path = format!("/pictures/{hash}/thumb");
    assert!(
        browser
            .get(&format!("/devices/{job_id}"))
            .await
            .text()
            .contains("Photo not uploaded yet")
    );
    assert_eq!(browser.get(&path).await.status, StatusCode::NOT_FOUND);
    for variant in [PhotoVariant::Thumb, PhotoVariant::Full] {
        desktop
            .connection
            .photo_part(&hash, variant, 0, &bytes)
            .expect("a part is taken");
        let finish = FinishPhoto {
            size_bytes: bytes.len() as u64,
            content_hash: hash,
        };
        desktop
            .connection
            .photo_finish(&hash, variant, &finish)
            .expect("the hash is right");
    }
    let shown = browser.get(&path).await;
    assert_eq!((shown.status, &shown.body), (StatusCode::OK, &bytes));
    assert_eq!(shown.headers[header::CONTENT_TYPE], "image/jpeg");
    let mut other = bench.user(shops[1], "kai@counter.example").await;
    assert_eq!(other.get(&path).await.status, StatusCode::NOT_FOUND);
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
