use axum::http::StatusCode;

use crate::testing::{Answer, Bench, Browser};

/// A phone whose screen is broken, with one cell of 17.3 Wh, by road inside Europe: case T45 of the published ones, on the ground.
fn good() -> Vec<(&'static str, &'static str)> {
    vec![
        ("what", "phone"),
        ("count", "1"),
        ("parcels", "1"),
        ("spares", "0"),
        ("seen", "fine"),
        ("chem", "LI_ION"),
        ("cells", "one"),
        ("wh", "17,325"),
        ("charge", "25"),
        ("off", "yes"),
        ("original", "yes"),
        ("country", "ADR"),
        ("to", "AT"),
        ("way", "GROUND"),
        ("carrier", "none"),
        ("date", "2026-03-01"),
        ("ask", "yes"),
    ]
}

fn with(changes: &[(&'static str, &'static str)]) -> String {
    let mut fields = good();
    for (name, value) in changes {
        match fields.iter_mut().find(|(known, _)| known == name) {
            Some(field) => field.1 = value,
            None => fields.push((name, value)),
        }
    }
    let pairs: Vec<String> = fields
        .iter()
        .map(|(name, value)| format!("{name}={}", value.replace(' ', "+").replace(',', "%2C")))
        .collect();
    pairs.join("&")
}

async fn user(bench: &Bench) -> Browser {
    let shops = bench.desktop(1).furnish();
    bench.user(shops[0], "mira@counter.example").await
}

async fn ask(changes: &[(&'static str, &'static str)]) -> Answer {
    let bench = Bench::new();
    let mut browser = user(&bench).await;
    browser
        .get(&format!("/what-may-i-post?{}", with(changes)))
        .await
}

/// What stands between the marks of the page.
fn words(answer: &Answer) -> String {
    let text = answer.text();
    let mut words = String::new();
    let mut is_in_mark = false;
    for sign in text.chars() {
        match sign {
            '<' => is_in_mark = true,
            '>' => {
                is_in_mark = false;
                words.push(' ');
            }
            sign if !is_in_mark => words.push(sign),
            _ => {}
        }
    }
    words.replace("&#39;", "'")
}

async fn check(changes: &[(&'static str, &'static str)], parts: &[&str]) {
    let answer = ask(changes).await;
    let words = words(&answer);
    assert_eq!(answer.status, StatusCode::OK, "{changes:?}: {words}");
    for part in parts {
        assert!(
            words.contains(part),
            "{changes:?} should say “{part}”: {words}"
        );
    }
    // Codes are for programs: none of them may stand on a screen.
    for code in [
        "T-PAX",
        "T-GND",
        "T-DDR",
        "T-USPS",
        "LBM(",
        "AWB-II",
        "F00",
        "F01",
        "F02",
        "F10",
        "F31",
        "DDR_GROUND",
        "HOLD ",
        "FORBIDDEN ",
        "ORDINARY",
        "MARKED",
        "data_missing",
        "carrier_check",
        "surface_only",
        "advice_soc",
        "LI_ION",
        "AIR_PAX",
        "POST_DOMESTIC",
        "US_HMR",
        "PACKED_WITH",
        "wh_label",
    ] {
        assert!(
            !words.contains(code),
            "{changes:?} shows the code {code}: {words}"
        );
    }
    // The cautions stand on every verdict, and so do the rules with their editions.
    assert!(words.contains("Before you rely on this"), "{changes:?}");
    assert!(
        words.contains("The rules behind it") && words.contains("Last checked"),
        "{changes:?}"
    );
}

async fn check_refused(changes: &[(&'static str, &'static str)], part: &str) {
    let answer = ask(changes).await;
    let words = words(&answer);
    assert_eq!(
        answer.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{changes:?}: {words}"
    );
    assert!(
        words.contains(part),
        "{changes:?} should say “{part}”: {words}"
    );
    assert!(
        answer.text().contains("value=\"17,325\"") || changes.iter().any(|(name, _)| *name == "wh"),
        "{changes:?}: what was typed stays"
    );
}

#[tokio::test]
async fn the_empty_form_knows_the_shop_s_country_and_nothing_about_the_battery() {
    let bench = Bench::new();
    let mut browser = user(&bench).await;
    let text = browser.get("/what-may-i-post").await.text();
    assert!(
        text.contains("name=\"country\" value=\"ADR\" checked"),
        "the shop is in Austria"
    );
    assert!(
        text.contains("value=\"2026-11-25\""),
        "the day it is at the lab"
    );
    assert!(!text.contains("name=\"seen\" value=\"fine\" checked"));
    assert!(
        !text.contains("The rules behind it"),
        "no verdict before there is a question"
    );
}

#[tokio::test]
async fn a_stranger_is_asked_to_sign_in() {
    let answer = Bench::new().browser().get("/what-may-i-post").await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert!(answer.location().starts_with("/sign-in"));
}

#[tokio::test]
async fn a_sound_phone_may_go_by_road_without_a_mark() {
    // ADR 2025 SP 188(f)(ii): up to four cells in equipment, up to two packages.
    check(&[], &["May go", "How to pack it"]).await;
}

#[tokio::test]
async fn three_laptops_need_the_battery_mark_at_its_size() {
    // ADR 2025 SP 188(f) and 5.2.1.9.2; case T37 of the published ones.
    let three = [
        ("what", "laptop"),
        ("count", "3"),
        ("cells", "more"),
        ("wh", "57.7"),
    ];
    check(
        &three,
        &[
            "May go, with the marks below",
            "UN 3481",
            "100 × 100 mm",
            "100 × 70 mm",
        ],
    )
    .await;
}

#[tokio::test]
async fn a_swollen_battery_goes_by_road_with_a_trained_shipper_only() {
    // ADR 2025 SP 376; IATA A154.
    let swollen = [("seen", "wrong"), ("F10", "yes")];
    check(
        &swollen,
        &[
            "By road only, and only by a trained shipper",
            "Call Harbour Board Lab",
        ],
    )
    .await;
    let by_air = [("seen", "wrong"), ("F10", "yes"), ("way", "AIR_PAX")];
    check(&by_air, &["Must not go this way", "Call Harbour Board Lab"]).await;
}

#[tokio::test]
async fn a_reacting_battery_shows_what_to_do_before_anything_else() {
    let answer = ask(&[("seen", "wrong"), ("F31", "yes")]).await;
    let words = words(&answer);
    let leave = words.find("Leave the room, and take everyone with you.");
    let rest = words.find("Before you rely on this");
    assert!(leave.is_some() && leave < rest, "{words}");
    assert!(
        !words.contains("How to pack it"),
        "nobody packs it: {words}"
    );
}

#[tokio::test]
async fn a_battery_that_nobody_has_seen_is_held() {
    // ADR 2025 SP 376, “cannot be diagnosed before carriage”; on US ground the sheet holds it.
    check(
        &[("seen", "no"), ("country", "US_HMR"), ("to", "US")],
        &["Hold it"],
    )
    .await;
    check(
        &[("seen", "no"), ("way", "AIR_CARGO")],
        &["Must not go this way"],
    )
    .await;
}

#[tokio::test]
async fn what_is_not_known_is_held_and_said() {
    check(&[("wh", "")], &["Hold it", "What we do not know"]).await;
    check(&[("chem", "UNKNOWN")], &["Hold it"]).await;
}

#[tokio::test]
async fn a_spare_that_nobody_has_looked_at_makes_it_worse() {
    check(&[("spares", "1")], &["Hold it"]).await;
    let seen = [("spares", "1"), ("spares_alike", "yes")];
    check(&seen, &["May go, with the marks below"]).await;
}

#[tokio::test]
async fn a_field_that_is_wrong_is_told_in_one_sentence_and_the_rest_stays() {
    check_refused(&[("what", "toaster")], "Choose what you want to send").await;
    check_refused(&[("count", "none")], "Say how many are in this box").await;
    check_refused(&[("spares", "")], "0 if none").await;
    check_refused(&[("seen", "")], "has looked at the battery itself").await;
    check_refused(&[("seen", "wrong")], "Tick what is wrong").await;
    check_refused(&[("F10", "yes")], "take back one of the two").await;
    check_refused(&[("wh", "much")], "Give the watt-hours as a number").await;
    check_refused(
        &[("wh", ""), ("volts", "3.85"), ("mah", "3200000")],
        "Did you mean 3200 mAh?",
    )
    .await;
    check_refused(&[("charge", "250")], "can't be right").await;
    check_refused(&[("country", "elsewhere")], "We hold no rules").await;
    check_refused(&[("way", "")], "Choose how it goes").await;
    check_refused(&[("date", "tomorrow")], "written as 2026-03-01").await;
    check_refused(&[("gross_kg", "heavy")], "Give the weight in kilograms").await;
}

#[tokio::test]
async fn the_battery_mark_of_a_verdict_can_be_printed() {
    let bench = Bench::new();
    let mut browser = user(&bench).await;
    let three = with(&[
        ("what", "laptop"),
        ("count", "3"),
        ("cells", "more"),
        ("wh", "57.7"),
    ]);
    let sheet = browser
        .get(&format!("/what-may-i-post/mark.pdf?{three}"))
        .await;
    assert_eq!(sheet.headers["content-type"], "application/pdf");
    assert!(sheet.body.starts_with(b"%PDF-"));
    for path in ["mark.pdf", "words.pdf", "other.pdf"] {
        let none = browser
            .get(&format!("/what-may-i-post/{path}?{}", with(&[])))
            .await;
        assert_eq!(
            none.status,
            StatusCode::NOT_FOUND,
            "{path}: no mark is needed"
        );
    }
    let swollen = with(&[("seen", "wrong"), ("F10", "yes")]);
    let none = browser
        .get(&format!("/what-may-i-post/mark.pdf?{swollen}"))
        .await;
    assert_eq!(
        none.status,
        StatusCode::NOT_FOUND,
        "no shop prints marks for a damaged battery"
    );
}

#[tokio::test]
async fn a_rule_that_was_not_read_is_said_in_its_words_and_not_by_its_id() {
    // IATA PI 967 was read in texts about it only; see the rule book.
    let answer = ask(&[("way", "AIR_CARGO")]).await;
    let text = answer.text();
    let from = text
        .find("What we do not know")
        .expect("something is not known");
    let section = &text[from..from + text[from..].find("</section>").expect("the section ends")];
    assert!(section.contains("<li>"), "{section}");
    for item in section.split("<li>").skip(1) {
        let id = item.starts_with('R') && item[1..].starts_with(|sign: char| sign.is_ascii_digit());
        assert!(!id, "a line begins with an id: {item}");
    }
    assert!(section.contains("In our table: R22."), "{section}");
}

/// The page of a parcel announced with one device whose battery is described like this.
async fn announced_with(changes: &[(&'static str, &'static str)]) -> String {
    let bench = Bench::new();
    let mut browser = user(&bench).await;
    let mut device = crate::testing::sound_device();
    device.retain(|(name, _)| !["wh", "cells"].contains(name));
    device.extend_from_slice(changes);
    browser.get("/send/device").await;
    let added = browser.post("/send/device", &device).await;
    assert_eq!(added.status, StatusCode::SEE_OTHER, "{}", words(&added));
    browser.get("/send").await;
    let announced = browser.post("/send", &[("note", "")]).await;
    words(&browser.get(announced.location()).await)
}

#[tokio::test]
async fn a_battery_without_a_rating_holds_the_announced_box() {
    // Rule R09 of the sheet: what is not known is never taken for good.
    let said = announced_with(&[]).await;
    for part in [
        "Announced. Hold the box",
        "Switch every device off",
        "Close the box",
        "By road: Hold it: something is not known.",
        "Nobody gave the watt-hours of",
        "If each is at most 20 Wh in one cell, or 100 Wh in two or more",
    ] {
        assert!(said.contains(part), "“{part}”: {said}");
    }
    assert!(!said.contains("Battery mark to print"), "{said}");
}

#[tokio::test]
async fn an_announced_battery_is_judged_by_the_rating_that_its_shop_read() {
    // ADR 2025 SP 188: 20 Wh in a cell, 100 Wh in a battery; a single-cell battery is a cell.
    for (battery, headline) in [
        (&[("wh", "20")][..], "By road: May go."),
        (&[("wh", "20,1"), ("cells", "one")], "By road: Hold it"),
        (&[("wh", "20.1")], "By road: Hold it"),
        (&[("wh", "57.7"), ("cells", "more")], "By road: May go."),
        // 57.72 Wh; more volts than one cell has.
        (&[("volts", "11.1"), ("mah", "5200")], "By road: May go."),
        (
            &[("volts", "3.85"), ("mah", "5200"), ("cells", "one")],
            "By road: Hold it",
        ),
        (&[("wh", "100.1"), ("cells", "more")], "By road: Hold it"),
    ] {
        let said = announced_with(battery).await;
        assert!(said.contains(headline), "{battery:?}: {said}");
    }
}

#[tokio::test]
async fn several_devices_in_an_announced_parcel_need_the_battery_mark() {
    let bench = Bench::new();
    let mut browser = user(&bench).await;
    // Four cells in two packages go without a mark, a fifth needs it (ADR 2025, SP 188(f)(ii)).
    for (count, mark) in [(1, false), (4, false), (5, true)] {
        for _ in 0..count {
            browser.get("/send/device").await;
            let added = browser
                .post("/send/device", &crate::testing::sound_device())
                .await;
            assert_eq!(added.status, StatusCode::SEE_OTHER, "{}", words(&added));
        }
        browser.get("/send").await;
        let announced = browser.post("/send", &[("note", "")]).await;
        let address = announced.location().to_owned();
        let page = browser.get(&address).await;
        let said = words(&page);
        assert_eq!(
            said.contains("Battery mark to print"),
            mark,
            "{count}: {said}"
        );
        assert!(
            said.contains("How to pack it") && said.contains("at most 17.30 Wh"),
            "{said}"
        );
        let at = |step: &str| {
            said.find(step)
                .unwrap_or_else(|| panic!("no step “{step}”: {said}"))
        };
        assert!(at("Switch the device off") < at("bag or box of its own"));
        assert!(at("Put the printed slip on top") < at("Close and weigh"));
        let address = address.split('?').next().unwrap_or_default();
        let sheet = browser.get(&format!("{address}/mark.pdf")).await;
        assert_eq!(sheet.status == StatusCode::OK, mark, "{count}");
        let slip = browser.get(&format!("{address}/slip.pdf")).await;
        assert!(slip.body.starts_with(b"%PDF-"));
    }
}
