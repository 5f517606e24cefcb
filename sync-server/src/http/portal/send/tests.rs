use domain::shop_view::ShopParcel;
use domain::tracking;

use super::*;
use crate::auth::credential;
use crate::testing::{Bench, Browser, sound_device};

fn with(changes: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let mut fields = sound_device();
    for (name, value) in changes {
        match fields.iter_mut().find(|(key, _)| key == name) {
            Some(field) => field.1 = value,
            None => fields.push((name, value)),
        }
    }
    fields
}

async fn signed_in(bench: &Bench) -> Browser {
    let shops = bench.desktop(1).furnish();
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    browser.get("/send/device").await;
    browser
}

async fn check_refused(changes: &[(&'static str, &'static str)], part: &str) {
    let bench = Bench::new();
    let mut browser = signed_in(&bench).await;
    let answer = browser.post("/send/device", &with(changes)).await;
    assert_eq!(
        answer.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{changes:?}"
    );
    let text = answer.text();
    assert!(
        text.contains(part),
        "{changes:?} should say “{part}”: {text}"
    );
    assert!(
        text.contains("value=\"Lumo\"") || changes.iter().any(|(name, _)| *name == "maker"),
        "what was typed stays"
    );
}

#[tokio::test]
async fn a_field_that_is_wrong_is_told_in_one_sentence_and_the_rest_stays() {
    check_refused(&[("maker", "")], "Give the maker").await;
    check_refused(&[("model", "")], "Give the model").await;
    check_refused(&[("fault", "   ")], "in your own words").await;
    check_refused(&[("kind", "toaster")], "phone, tablet, laptop or handheld").await;
    check_refused(
        &[("liquid", "yes"), ("liquid_what", "")],
        "what liquid it was",
    )
    .await;
    check_refused(&[("data_needed", "")], "whether the data").await;
    check_refused(&[("hot", "")], "warm although it is off").await;
    check_refused(&[("cell_seen", "perhaps")], "look at the battery").await;
}

#[tokio::test]
async fn a_rating_that_no_battery_has_is_told_in_one_sentence_with_what_was_meant() {
    check_refused(
        &[("wh", ""), ("volts", "3.85"), ("mah", "3200 Ah")],
        "did you mean 3200 mAh?",
    )
    .await;
    check_refused(&[("wh", "17300")], "did you mean").await;
    check_refused(&[("wh", "much")], "write it like 19.4 Wh").await;
    check_refused(&[("wh", ""), ("volts", "3.85")], "count only together").await;
    check_refused(&[("wh", ""), ("mah", "4500")], "count only together").await;
}

#[tokio::test]
async fn a_rating_may_be_left_out_and_the_list_says_what_follows() {
    let bench = Bench::new();
    let mut browser = signed_in(&bench).await;
    let added = browser
        .post("/send/device", &with(&[("wh", ""), ("cells", "")]))
        .await;
    assert_eq!(added.status, StatusCode::SEE_OTHER);
    let list = browser.get("/send").await.text();
    assert!(
        list.contains("Watt-hours of its battery not given"),
        "{list}"
    );
    browser.get("/send/device/1").await;
    let rated = with(&[("wh", ""), ("volts", "3,85 V"), ("mah", "4500")]);
    browser.post("/send/device/1", &rated).await;
    let list = browser.get("/send").await.text();
    assert!(
        !list.contains("Watt-hours of its battery not given"),
        "{list}"
    );
}

#[tokio::test]
async fn two_devices_are_announced_and_the_slip_can_be_printed() {
    let bench = Bench::new();
    let mut browser = signed_in(&bench).await;
    let added = browser
        .post("/send/device", &with(&[("then", "another")]))
        .await;
    assert_eq!(added.location(), "/send/device");
    browser
        .post(
            "/send/device",
            &with(&[("model", "Slate 9"), ("kind", "tablet")]),
        )
        .await;
    let list = browser.get("/send").await.text();
    assert!(
        list.contains("1. Lumo M2") && list.contains("2. Lumo Slate 9"),
        "{list}"
    );
    assert!(list.contains("IMEI, check digit right"), "{list}");
    let announced = browser
        .post("/send", &[("note", "two this time"), ("tracking", "")])
        .await;
    assert_eq!(
        announced.status,
        StatusCode::SEE_OTHER,
        "{}",
        announced.text()
    );
    let page = browser.get(announced.location()).await.text();
    assert!(
        page.contains("Now print the slip") && page.contains("Slate 9"),
        "{page}"
    );
    let parcel = only_parcel(&bench);
    assert_eq!(parcel.expected.len(), 2);
    let device = browser
        .get(&format!("/devices/{}", parcel.expected[0]))
        .await
        .text();
    assert!(device.contains("case, cable"), "{device}");
    let slip = browser
        .get(&format!("/parcels/{}/slip.pdf", parcel.parcel_id))
        .await;
    assert_eq!(slip.headers["content-type"], "application/pdf");
    assert!(slip.body.starts_with(b"%PDF-"));
    assert!(
        browser
            .get("/send")
            .await
            .text()
            .contains("What is in the parcel?"),
        "the list is empty again"
    );
    assert!(
        browser
            .get("/devices")
            .await
            .text()
            .contains("Announced; not here yet.")
    );
}

fn only_parcel(bench: &Bench) -> ShopParcel {
    let store = bench.core.store();
    let user = store
        .user_by_email("mira@counter.example")
        .expect("the store answers")
        .expect("the user is there");
    let token =
        crate::auth::session::open(store, &user, None, bench.core.now_ms()).expect("a session");
    let session =
        crate::auth::session::find(store, &token, bench.core.now_ms()).expect("the store answers");
    let parcels = store
        .parcels(&session.expect("it is live").scope)
        .expect("the store answers");
    <[ShopParcel; 1]>::try_from(parcels).expect("one parcel")[0].clone()
}

#[tokio::test]
async fn a_dangerous_battery_is_refused_recorded_and_can_be_corrected() {
    let bench = Bench::new();
    let mut browser = signed_in(&bench).await;
    let before = bench.core.store().lab().expect("a lab").log_position;
    for (field, words) in [
        ("swollen", "swollen"),
        ("leaking", "leaks"),
        ("hot", "warm"),
        ("burnt", "burnt"),
    ] {
        // Nothing else on the form is right, and the answer still counts.
        let answer = browser
            .post(
                "/send/device",
                &[(field, "yes"), ("maker", "Lumo"), ("model", "M2")],
            )
            .await;
        let text = answer.text();
        assert!(
            text.contains("Do not post this device") && text.contains("+43 5500 7788"),
            "{field}: {text}"
        );
        assert!(text.contains(words), "{field}: {text}");
        browser.get("/send/device").await;
    }
    assert_eq!(
        bench.core.store().lab().expect("a lab").log_position,
        before + 4,
        "the lab is told each time"
    );
    let form = browser.get("/send/device").await.text();
    assert!(form.contains("value=\"Lumo\""), "what was typed stays");
    assert!(
        browser
            .get("/send")
            .await
            .text()
            .contains("What is in the parcel?"),
        "it is not on the list"
    );
    browser.get("/send/device").await;
    assert_eq!(
        browser
            .post("/send/device", &sound_device())
            .await
            .location(),
        "/send?done=added"
    );
}

async fn check_asks_first(changes: &[(&'static str, &'static str)], words: &str) {
    let bench = Bench::new();
    let mut browser = signed_in(&bench).await;
    let answer = browser.post("/send/device", &with(changes)).await;
    assert_eq!(
        answer.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{changes:?}"
    );
    let text = answer.text();
    assert!(
        text.contains("Ask the lab about the battery before you post") && text.contains(words),
        "{changes:?} should say “{words}”: {text}"
    );
    assert!(text.contains("+43 5500 7788"), "it says whom to call");
    assert!(
        browser
            .get("/send")
            .await
            .text()
            .contains("What is in the parcel?"),
        "it is not on the list"
    );
}

#[tokio::test]
async fn a_battery_whose_condition_is_open_waits_for_a_trained_person_s_answer() {
    // ADR 2025 SP 376 and IATA A154: “cannot be diagnosed before carriage” counts as damaged.
    check_asks_first(&[("cell_seen", "no")], "nobody could see the battery").await;
    check_asks_first(&[("dropped", "yes")], "it has had a hard fall").await;
    check_asks_first(
        &[("liquid", "yes"), ("liquid_what", "sea water")],
        "water reached the inside",
    )
    .await;
}

#[tokio::test]
async fn the_lab_s_answer_is_announced_with_the_device() {
    let bench = Bench::new();
    let mut browser = signed_in(&bench).await;
    let answered = [
        ("cell_seen", "no"),
        ("lab_answer", "Ines Weber: by road, charge below 30 %"),
    ];
    let added = browser.post("/send/device", &with(&answered)).await;
    assert_eq!(added.location(), "/send?done=added", "{}", added.text());
    browser.get("/send").await;
    let announced = browser.post("/send", &[("note", "")]).await;
    assert_eq!(announced.status, StatusCode::SEE_OTHER);
    let job_id = only_parcel(&bench).expected[0];
    let device = browser.get(&format!("/devices/{job_id}")).await.text();
    assert!(
        device.contains("Ines Weber: by road, charge below 30 %"),
        "the lab reads it beside the device: {device}"
    );
    let parcel = browser.get(announced.location()).await.text();
    assert!(
        parcel.contains("Only as the lab said") && !parcel.contains("By road: May go"),
        "a battery that nobody has seen is not called good: {parcel}"
    );
    assert!(parcel.contains("Ines Weber: by road"), "{parcel}");
}

#[tokio::test]
async fn an_empty_parcel_is_not_announced() {
    let bench = Bench::new();
    let mut browser = signed_in(&bench).await;
    browser.get("/send").await;
    let answer = browser.post("/send", &[("note", "")]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text().contains("Add at least one device"));
}

#[tokio::test]
async fn a_csv_with_a_broken_row_keeps_the_good_ones_and_names_the_line() {
    let bench = Bench::new();
    let mut browser = signed_in(&bench).await;
    let head = "kind;maker;model;fault;IMEI;swollen\n";
    let rows = "phone;Lumo;M2;no charge;490154203237518;no\n\
                phone;Lumo;;no model;;no\n\
                phone;Lumo;M3;\"quoted; with a sign\";;no\n\
                phone;Lumo;M4;swells;;yes\n\
                phone;Lumo\n";
    let answer = browser
        .upload("/send/csv", format!("{head}{rows}").as_bytes())
        .await;
    assert_eq!(answer.location(), "/send#imported", "{}", answer.text());
    let page = browser.get("/send").await.text();
    assert!(page.contains("2 devices added from the file."), "{page}");
    assert!(page.contains("Line 3: Give the model"), "{page}");
    assert!(
        page.contains("Line 5: Lumo M4 must not be posted"),
        "{page}"
    );
    assert!(
        page.contains("Line 6: it has 2 columns and the first line has 6"),
        "{page}"
    );
    assert!(page.contains("quoted; with a sign"), "{page}");
    assert!(
        page.contains("Still open: 9 answers."),
        "open questions stay open: {page}"
    );
    let refused = browser.post("/send", &[("note", "")]).await;
    assert_eq!(
        refused.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "and it is not announced before they are answered"
    );
}

fn check_import(bytes: &[u8], devices: usize, part: &str) {
    let imported = import::read(bytes, 3);
    assert_eq!(imported.devices.len(), devices, "{:?}", imported.lines);
    assert!(
        imported.lines.iter().any(|line| line.contains(part)),
        "{:?} should say “{part}”",
        imported.lines
    );
}

#[test]
fn a_file_that_is_no_list_says_what_it_should_be() {
    check_import(b"", 0, "No file was chosen");
    check_import(&[0xFF, 0xFE, 0x00], 0, "CSV UTF-8");
    check_import(
        b"a,b,c\n1,2,3\n",
        0,
        "\u{201c}kind\u{201d} is not among them",
    );
    check_import(
        b"\xEF\xBB\xBFKind,Maker,Model,Fault\nphone,Lumo,M2,dead\n",
        1,
        "1 device added",
    );
    let four = b"kind,maker,model,fault\nphone,a,1,x\nphone,b,2,x\nphone,c,3,x\nphone,d,4,x\n";
    check_import(four, 3, "Line 5: the parcel is full");
}

#[test]
fn an_identifier_with_a_wrong_check_digit_is_kept_with_a_warning() {
    // The IMEI of 3GPP TS 23.003's own example has the check digit 8.
    let (words, is_doubtful) = identifier_check("490154203237517").expect("it is not empty");
    assert!(
        is_doubtful && words.contains("does not fit") && words.contains("490154203237518"),
        "{words}"
    );
    let (words, is_doubtful) = identifier_check("490154203237518").expect("it is not empty");
    assert!(
        !is_doubtful && words == "IMEI, check digit right",
        "{words}"
    );
}

#[test]
fn a_tracking_number_is_recognised_and_a_wrong_one_kept_with_a_warning() {
    // UPU S10, from its own worked example: RR473124829NO; the check digit of 47312482 is 9.
    let right = tracking_of("", "rr 4731 2482 9 no").expect("a number");
    assert_eq!(
        (right.number.as_str(), right.warning.as_str()),
        ("RR473124829NO", "")
    );
    assert!(!right.carrier.is_empty() && !tracking::read("RR473124829NO").is_empty());
    let wrong = tracking_of("Own van", "RR473124828NO").expect("a number");
    assert_eq!(wrong.carrier, "Own van");
    assert!(wrong.warning.contains("does not fit"), "{}", wrong.warning);
    assert_eq!(tracking_of("", ""), None);
}

#[tokio::test]
async fn a_tracking_number_is_added_later_but_not_after_arrival() {
    use domain::fact::ParcelReceipt;
    use domain::{Fact, Subject};

    let bench = Bench::new();
    let mut desktop = bench.desktop(1);
    let shops = desktop.furnish();
    let mut browser = bench.user(shops[0], "mira@counter.example").await;
    browser.get("/send/device").await;
    browser.post("/send/device", &sound_device()).await;
    browser.get("/send").await;
    let announced = browser.post("/send", &[("note", "")]).await;
    let parcel = only_parcel(&bench);
    let path = format!("/parcels/{}/tracking", parcel.parcel_id);
    browser.get(announced.location()).await;
    let added = browser
        .post(&path, &[("carrier", ""), ("tracking", "RR473124829NO")])
        .await;
    assert!(
        browser
            .get(added.location())
            .await
            .text()
            .contains("RR473124829NO")
    );
    let page = browser.get(announced.location()).await.text();
    assert!(page.contains("RR473124829NO"), "{page}");
    let corrected = browser
        .post(&path, &[("carrier", "Own van"), ("tracking", "77-1")])
        .await;
    let page = browser.get(corrected.location()).await.text();
    assert!(
        page.contains("77-1") && !page.contains("RR473124829NO"),
        "{page}"
    );
    let recorded = bench
        .core
        .store()
        .recorded(&bench.scope(), Subject::Parcel(parcel.parcel_id))
        .expect("the store answers");
    let folded = domain::fold_parcel(parcel.parcel_id, &recorded);
    assert!(
        !folded.tracking.is_disputed(),
        "a correction is no disagreement"
    );
    let receipt = ParcelReceipt {
        scanned: "RR473124829NO".to_owned(),
        read_point: "Dock".to_owned(),
    };
    desktop.write(&[(
        Subject::Parcel(parcel.parcel_id),
        Fact::ParcelReceived(receipt),
    )]);
    let late = browser.post(&path, &[("tracking", "RR473124829NO")]).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(
        credential::operator(bench.core.store())
            .expect("the store answers")
            .is_some()
    );
}
