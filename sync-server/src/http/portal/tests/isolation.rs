//! What one shop can't see of another.

use axum::http::{StatusCode, header};
use domain::fact::{
    IssuedReport, JobOutcome, Message, MessageFrom, Note, OutcomeRecord, ParcelAdvice, PhotoAdded,
    PhotoPlace,
};
use domain::{Fact, Subject};
use sync_protocol::{FinishPhoto, PhotoVariant, SyncProtocol as _};

use crate::testing::Bench;

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

/// One thing that happens to one shop's devices, words and all.
fn happen(
    desktop: &mut crate::testing::Desktop,
    shop_id: domain::ShopId,
    marker: &str,
    what: u8,
    jobs: &mut Vec<domain::JobId>,
) {
    let Some(job_id) = jobs.last().copied() else {
        jobs.push(desktop.job(shop_id, marker));
        return;
    };
    let subject = Subject::Job(job_id);
    match what % 6 {
        0 => jobs.push(desktop.job(shop_id, marker)),
        1 => {
            desktop.quote(job_id, marker);
        }
        2 => {
            let message = Message {
                from: MessageFrom::Lab,
                text: format!("{marker} message"),
            };
            desktop.write(&[(subject, Fact::MessagePosted(message))]);
        }
        3 => {
            desktop.write(&[(subject, Fact::PhotoAdded(photo_of(marker)))]);
        }
        4 => {
            let parcel_id = desktop.parcel_id();
            let advice = ParcelAdvice {
                shop_id,
                job_ids: jobs.clone(),
                note: format!("{marker} parcel"),
            };
            desktop.write(&[(Subject::Parcel(parcel_id), Fact::ParcelAdvised(advice))]);
        }
        _ => {
            desktop.write(&[(subject, Fact::ReportIssued(report_of(marker)))]);
        }
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(8))]

    /// Whatever happens to two shops in whatever order, no answer to one holds a word, an id or a hash of the other.
    #[test]
    fn whatever_happens_no_answer_holds_another_shop_s_marker(history in proptest::collection::vec((0_usize..2, 0_u8..6), 4..24)) {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
        runtime.block_on(async {
            let bench = Bench::new();
            let mut desktop = bench.desktop(1);
            let shops = desktop.furnish();
            let markers = ["MARKERONE", "MARKERTWO"];
            let mut jobs = [Vec::new(), Vec::new()];
            for (shop, what) in history {
                happen(&mut desktop, shops[shop], markers[shop], what, &mut jobs[shop]);
            }
            for (own, shop_id) in shops.into_iter().enumerate() {
                let mut user = bench.user(shop_id, &format!("user{own}@counter.example")).await;
                let mut paths: Vec<String> = ["/devices", "/parcels", "/send", "/account"].map(str::to_owned).to_vec();
                for job_id in jobs.iter().flatten() {
                    paths.push(format!("/devices/{job_id}"));
                    paths.push(format!("/devices/{job_id}/report.pdf"));
                    paths.push(format!("/parcels/{job_id}"));
                }
                paths.push(format!("/pictures/{}/full", photo_of(markers[1 - own]).hash));
                for path in paths {
                    let answer = user.get(&path).await;
                    let seen = format!("{}{:?}", answer.text(), answer.headers);
                    assert!(!seen.contains(markers[1 - own]), "{path}");
                    for foreign in jobs[1 - own].iter().filter(|_| answer.status == StatusCode::OK) {
                        assert!(!seen.contains(&foreign.to_string()), "{path} names a foreign job");
                    }
                }
            }
        });
    }
}
