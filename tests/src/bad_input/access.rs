//! Invites and codes that are over, another shop's devices, files that are not what they say.

use std::sync::Arc;

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use desk::commands::Nothing;
use desk::commands::start::{ConnectServer, JoinLab, connect_server, invite_desktop, join_lab};
use domain::ContentHash;
use domain::fact::PhotoPlace;
use domain::{JobId, Subject};
use sync_protocol::http_paths::{HEADS, PHOTO, PHOTO_FINISH, PHOTO_UPLOAD, photo_path};
use sync_protocol::{FinishPhoto, PhotoVariant, Problem};
use sync_server::clock::{Clock as _, ManualClock, SystemClock};

use crate::house::{
    Answer, Browser, Desktop, House, IMEI, Server, add_shop, client, closed_job, found, imei, jpeg,
    refusal, shop_link, state_of, take_in,
};

const HOUR_MS: i64 = 3_600_000;

#[test]
fn an_expired_invite_says_so_and_lets_nobody_in() {
    let clock = Arc::new(ManualClock::at(SystemClock.now_ms()));
    let house = House::founded_on(Server::start_with(clock.clone()));
    let link = shop_link(&house.desk, house.shop_id, "counter@corner.example");
    let path = link.strip_prefix(&house.server.url()).unwrap().to_owned();
    let mut browser = Browser::new(&house.server.url());
    assert_eq!(browser.get(&path).status, 200);
    clock.advance(7 * 24 * HOUR_MS + 1);
    let late = browser.post(
        &path,
        &[("name", "Mira Oduya"), ("password", "copper and rosin")],
    );
    assert_eq!(late.status, 410);
    assert!(
        late.text().contains("older than a week")
            && late.text().contains("Ask the lab for a new one"),
        "{}",
        late.text()
    );
    assert_eq!(
        browser.get("/devices").location(),
        "/sign-in?next=%2Fdevices",
        "nobody is signed in"
    );
}

#[test]
fn an_invite_works_once() {
    let house = House::founded();
    let link = shop_link(&house.desk, house.shop_id, "counter@corner.example");
    Browser::new(&house.server.url()).follow_invite(&link);
    let path = link.strip_prefix(&house.server.url()).unwrap().to_owned();
    assert_eq!(Browser::new(&house.server.url()).get(&path).status, 410);
}

#[test]
fn an_expired_or_unknown_joining_code_is_refused_with_the_way_out() {
    let clock = Arc::new(ManualClock::at(SystemClock.now_ms()));
    let server = Server::start_with(clock.clone());
    let desk = Desktop::new();
    found(&desk);
    let code = server.join_code();
    clock.advance(24 * HOUR_MS + 1);
    for code in [code.as_str(), "0000-0000-0000-0000"] {
        let request = ConnectServer {
            url: server.url(),
            code: code.to_owned(),
        };
        let answer = refusal(connect_server(&desk, request));
        assert!(
            answer
                .message
                .contains("older than a day; ask whoever runs the server for a new one"),
            "{}",
            answer.message
        );
    }
    // Codes are typed by people: spaces, small letters and O for 0 don't matter.
    let typed = server
        .join_code()
        .to_lowercase()
        .replace('-', " ")
        .replace('0', "o");
    connect_server(
        &desk,
        ConnectServer {
            url: format!("{}/", server.url()),
            code: typed,
        },
    )
    .unwrap();
}

#[test]
fn an_invitation_that_is_not_one_is_refused_in_a_sentence() {
    let house = House::founded();
    let good = invite_desktop(&house.desk, Nothing {}).unwrap().text;
    let empty = Desktop::new();
    let join = |text: &str| {
        refusal(join_lab(
            &empty,
            JoinLab {
                invitation: text.to_owned(),
                desktop_name: "Bench two".to_owned(),
            },
        ))
    };
    let no_key = format!(
        "WB:I:{}",
        URL_SAFE_NO_PAD.encode(r#"{"u":"http://127.0.0.1:9","c":"ABCD","k":"c2hvcnQ"}"#)
    );
    for text in [
        "",
        "hello",
        "WB:J:7K3M2Q9XC",
        "WB:I:",
        &good[..good.len() - 7],
        &no_key,
    ] {
        let answer = join(text);
        assert_eq!(answer.field.as_deref(), Some("invitation"), "{text}");
        assert!(
            answer
                .message
                .contains("copy the whole text that Setup shows"),
            "{text}: {}",
            answer.message
        );
    }
    assert_eq!(state_of(&empty).lab, None, "it still belongs to no lab");
    // Broken into lines on the way it is still good; a second use is not.
    let (left, right) = good.split_at(good.len() / 2);
    let request = JoinLab {
        invitation: format!("  {left}\n{right} "),
        desktop_name: "Bench two".to_owned(),
    };
    join_lab(&empty, request).unwrap();
    let third = Desktop::new();
    let again = refusal(join_lab(
        &third,
        JoinLab {
            invitation: good.clone(),
            desktop_name: "Bench three".to_owned(),
        },
    ));
    assert!(again.message.contains("was used"), "{}", again.message);
    let own = refusal(join_lab(
        &house.desk,
        JoinLab {
            invitation: good,
            desktop_name: "Bench one".to_owned(),
        },
    ));
    assert!(
        own.message.contains("already belongs to a lab"),
        "{}",
        own.message
    );
}

#[test]
fn a_desktop_of_another_lab_is_not_let_in() {
    let house = House::founded();
    let stranger = Desktop::new();
    found(&stranger);
    let request = ConnectServer {
        url: house.server.url(),
        code: house.server.join_code(),
    };
    let answer = refusal(connect_server(&stranger, request));
    assert!(
        answer.message.contains("another lab's log"),
        "{}",
        answer.message
    );
}

#[test]
fn another_shop_s_things_are_not_there_to_the_byte() {
    let house = House::founded();
    let other_shop = add_shop(&house.desk, "Southgate Phones", "CH", "CHF", "");
    let theirs = closed_job(&house.desk, other_shop, 5);
    let target = desk::PhotoTarget {
        subject: Subject::Job(theirs),
        place: PhotoPlace::Packing,
        caption: "secret".to_owned(),
        beside: None,
    };
    let photo = house.desk.take_photo(&jpeg(320, 240, 5), &target).unwrap();
    let ours = take_in(&house.desk, house.shop_id, "K4", IMEI);
    house.desk.sync_now().unwrap();
    let job = crate::house::job(&house.desk, theirs);
    let parcel_id = job.parcel_id.unwrap();
    let report_file = job.reports.last().unwrap().value.file;
    let never = JobId::new(uuid::Uuid::from_u128(
        0x0190_0000_0000_7000_8000_0000_0000_0001,
    ));
    let mut counter = house.counter();
    assert_eq!(counter.get(&format!("/devices/{ours}")).status, 200);
    let absent = counter.get(&format!("/devices/{never}"));
    assert_eq!(absent.status, 404);
    for path in [
        format!("/devices/{theirs}"),
        format!("/devices/{theirs}/report.pdf"),
        format!("/parcels/{parcel_id}"),
        format!("/parcels/{parcel_id}/slip.pdf"),
        format!("/pictures/{}/full", photo.hash),
        format!("/pictures/{}/thumb", photo.hash),
        format!("/pictures/{report_file}/full"),
    ] {
        let answer = counter.get(&path);
        assert_eq!(
            (answer.status, &answer.headers, &answer.body),
            (404, &absent.headers, &absent.body),
            "{path}"
        );
    }
    for act in ["decision", "messages"] {
        let fields = [
            ("text", "hello"),
            ("answer", "agree"),
            ("quote", "0190e2e2-79b0-7cc3-98c4-dc0c0c07398f"),
            ("note", ""),
        ];
        // The token of a page of our own, so that nothing but the device can be the reason.
        counter.get(&format!("/devices/{ours}"));
        let theirs = counter.post(&format!("/devices/{theirs}/{act}"), &fields);
        counter.get(&format!("/devices/{ours}"));
        let never = counter.post(&format!("/devices/{never}/{act}"), &fields);
        assert_eq!(
            (theirs.status, &theirs.headers, &theirs.body),
            (never.status, &never.headers, &never.body),
            "{act}"
        );
        assert_eq!(theirs.status, 404);
    }
    let list = counter.get("/devices").text();
    assert!(
        list.contains("K4") && !list.contains("K5") && !list.contains("Southgate"),
        "{list}"
    );
    // Its own shop sees all of it.
    let mut southgate = house.counter_of(other_shop, "till@southgate.example");
    assert_eq!(
        southgate
            .get(&format!("/devices/{theirs}/report.pdf"))
            .status,
        200
    );
    assert_eq!(
        southgate
            .get(&format!("/pictures/{}/full", photo.hash))
            .status,
        200
    );
}

#[test]
fn without_a_credential_the_protocol_says_nothing() {
    let house = House::founded();
    let url = format!("{}{HEADS}", house.server.url());
    for credential in [None, Some("guess"), Some("")] {
        let mut request = client().get(&url);
        if let Some(credential) = credential {
            request = request.bearer_auth(credential);
        }
        let answer = Answer::of(request);
        assert_eq!(answer.status, 401);
        let problem: Problem = serde_json::from_slice(&answer.body).unwrap();
        assert!(
            problem.detail.contains("enrol it again"),
            "{}",
            problem.detail
        );
    }
    // A shop's session is no desktop's credential.
    let counter = house.counter();
    let answer = Answer::of(client().get(&url).header("cookie", counter.cookie_line()));
    assert_eq!(answer.status, 401);
}

#[test]
fn an_upload_of_a_wrong_hash_is_dropped_and_the_right_bytes_are_taken_after() {
    let house = House::founded();
    let (right, wrong) = (jpeg(64, 48, 1), jpeg(64, 48, 2));
    let hash: ContentHash = attachments::hash_of(&right);
    let credential = house.desk.credential();
    let url = |pattern| {
        format!(
            "{}{}",
            house.server.url(),
            photo_path(pattern, &hash, PhotoVariant::Full)
        )
    };
    let upload = |bytes: &[u8]| {
        let part = client()
            .put(format!("{}?offset=0", url(PHOTO_UPLOAD)))
            .bearer_auth(&credential)
            .body(bytes.to_vec());
        assert_eq!(Answer::of(part).status, 200);
        let finish = FinishPhoto {
            size_bytes: bytes.len() as u64,
            content_hash: hash,
        };
        Answer::of(
            client()
                .post(url(PHOTO_FINISH))
                .bearer_auth(&credential)
                .json(&finish),
        )
    };
    let refused = upload(&wrong);
    assert_eq!(refused.status, 422);
    assert_eq!(refused.headers["content-type"], "application/problem+json");
    assert!(
        refused.text().contains("photo_hash_mismatch"),
        "{}",
        refused.text()
    );
    assert_eq!(
        Answer::of(client().get(url(PHOTO)).bearer_auth(&credential)).status,
        404,
        "nothing of it can be fetched"
    );
    assert_eq!(house.server.file(&hash), None);
    let taken = upload(&right);
    assert_eq!(taken.status, 200, "{}", taken.text());
    assert_eq!(house.server.file(&hash), Some(right));
}

#[test]
fn a_name_that_is_no_hash_reaches_no_file() {
    let house = House::founded();
    let credential = house.desk.credential();
    for name in [
        "..%2f..%2fwaybench-server.sqlite",
        "0",
        &"z".repeat(64),
        &"A".repeat(63),
    ] {
        let url = format!("{}/sync/v1/photos/{name}/full", house.server.url());
        let answer = Answer::of(client().get(url).bearer_auth(&credential));
        assert!(
            matches!(answer.status, 400 | 404),
            "{name}: {}",
            answer.status
        );
        assert!(!answer.text().contains("SQLite"));
    }
    assert!(
        house
            .server
            .file(&attachments::hash_of(imei(1).as_bytes()))
            .is_none()
    );
}
