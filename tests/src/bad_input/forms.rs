//! Fields with the wrong thing in them: one sentence beside the field, nothing recorded.

use desk::commands::bench::cell::{
    CellCheckInput, RecordCellCheck, preview_cell_check, record_cell_check,
};
use desk::commands::bench::look_over::{RecordCondition, record_condition};
use desk::commands::bench::proof::{RecordResult, ResultInput, record_result};
use desk::commands::bench::quote::{QuoteLineInput, SetQuote, set_quote};
use desk::commands::bench::work::{HeatInput, RecordStep, record_step};
use desk::commands::outbound::{
    OpenReturnParcel, ShipParcel, WeighParcel, open_return_parcel, ship_parcel, weigh_parcel,
};
use desk::commands::shops::{SaveShop, save_shop};
use desk::commands::{NAMES, dispatch};
use desk::{EdgeError, ErrorCode};
use domain::cells::CellFinding;
use domain::fact::{Blemish, BoardSide, Condition, Face, Phase};
use domain::{JobId, ShopId};
use serde_json::json;

use crate::house::{
    House, IMEI, agree_by_word, check_cell, code, entry_count, job, look_over, quote, quote_of,
    refusal, shop_description, sound_cell, take_in, test_before, work,
};

/// A device in the house.
fn with_job() -> (House, JobId) {
    let house = House::founded();
    let job_id = take_in(&house.desk, house.shop_id, "K4", IMEI);
    (house, job_id)
}

/// A device that is ready for a price.
fn before_the_quote() -> (House, JobId) {
    let (house, job_id) = with_job();
    check_cell(&house.desk, job_id);
    look_over(&house.desk, job_id, IMEI);
    test_before(&house.desk, job_id);
    (house, job_id)
}

/// Checks that a refusal names its field and says this.
fn check(refused: &EdgeError, field: &str, words: &str) {
    assert_eq!(
        (refused.code, refused.field.as_deref()),
        (ErrorCode::Field, Some(field)),
        "{}",
        refused.message
    );
    assert!(
        refused.message.contains(words),
        "“{}” lacks “{words}”",
        refused.message
    );
    assert!(
        refused.message.ends_with(['.', '?', '!', '”']),
        "a sentence has an end: {}",
        refused.message
    );
}

/// A sound cell's check with one field typed otherwise.
fn with_typed(field: &str, text: &str) -> CellCheckInput {
    let mut input = serde_json::to_value(sound_cell()).unwrap();
    input[field] = text.into();
    serde_json::from_value(input).unwrap()
}

#[test]
fn a_cell_check_with_an_impossible_number_is_refused_by_its_field() {
    let (house, job_id) = with_job();
    let before = entry_count(&house.desk);
    let record = |check| record_cell_check(&house.desk, RecordCellCheck { job_id, check });
    for (field, text, words) in [
        ("voltage", "3820 V", "did you mean 3820 mV?"),
        ("voltage", "about four", "write it like 3.85 V"),
        ("voltage", "-3.8", "-3.8"),
        ("voltage", "3.82345678", "more decimals"),
        ("surface", "2250", "2250"),
        ("room", "warm", "23.5 °C"),
        ("cells_in_series", "0", "from 1 to 12"),
        ("cells_in_series", "two", "from 1 to 12"),
        ("cells_in_parallel", "0", "from 1 to 12"),
        ("cells_in_parallel", "200", "from 1 to 12"),
        ("label_wh", "15400 Wh", "15400 Wh"),
        ("capacity_mah", "1", "must lie between"),
        ("charge_max_v", "4,4,4", "4,4,4"),
    ] {
        let input = with_typed(field, text);
        check(
            &refusal(preview_cell_check(
                &house.desk,
                RecordCellCheck {
                    job_id,
                    check: input.clone(),
                },
            )),
            field,
            words,
        );
        check(&refusal(record(input)), field, words);
    }
    let none = CellCheckInput {
        findings: Vec::new(),
        ..sound_cell()
    };
    check(&refusal(record(none)), "findings", "nothing wrong");
    let both = CellCheckInput {
        findings: vec![CellFinding::NothingWrong, CellFinding::Swollen],
        ..sound_cell()
    };
    check(&refusal(record(both)), "findings", "can't stand beside");
    assert_eq!(entry_count(&house.desk), before);
    assert!(job(&house.desk, job_id).cell_checks.is_empty());
}

#[test]
fn a_swollen_cell_goes_to_isolation_and_the_job_no_further() {
    let (house, job_id) = with_job();
    let swollen = CellCheckInput {
        findings: vec![CellFinding::Swollen],
        ..sound_cell()
    };
    let view = record_cell_check(
        &house.desk,
        RecordCellCheck {
            job_id,
            check: swollen,
        },
    )
    .unwrap();
    assert!(view.job.cell().unwrap().judgement.level >= domain::cells::BenchLevel::Isolate);
    assert!(
        !view.cautions.is_empty()
            && view
                .job
                .cell()
                .unwrap()
                .judgement
                .reasons
                .iter()
                .all(|reason| !reason.source.is_empty())
    );
    let request = desk::commands::bench::look_over::RecordIdentity {
        job_id,
        texts: vec![IMEI.to_owned()],
    };
    let blocked = refusal(desk::commands::bench::look_over::record_identity(
        &house.desk,
        request,
    ));
    assert_eq!(blocked.code, ErrorCode::Blocked);
    assert!(!blocked.missing[0].can_be_overridden, "nobody may pass it");
}

#[test]
fn a_quote_with_wrong_money_is_refused_by_its_field() {
    let (house, job_id) = before_the_quote();
    let before = entry_count(&house.desk);
    let set = |quote| refusal(set_quote(&house.desk, quote));
    let good = quote_of(job_id, "89");
    for (amount, words) in [
        ("eighty", "“eighty” is not an amount"),
        ("", "costs"),
        ("89.9999", "digits after the point"),
        ("89 USD", "USD"),
        ("99999999999999999999", "too large"),
        ("-89", "less than nothing"),
    ] {
        check(&set(quote_of(job_id, amount)), "lines", words);
    }
    for (promised_date, words) in [
        ("soon", "is no date"),
        ("2020-02-30", "is no date"),
        ("2020-02-29", "has passed"),
    ] {
        let promised_date = promised_date.to_owned();
        check(
            &set(SetQuote {
                promised_date,
                ..good.clone()
            }),
            "promised_date",
            words,
        );
    }
    check(
        &set(SetQuote {
            lines: Vec::new(),
            ..good.clone()
        }),
        "lines",
        "at least one line",
    );
    let fee_if_refused = "-15".to_owned();
    check(
        &set(SetQuote {
            fee_if_refused,
            ..good.clone()
        }),
        "fee_if_refused",
        "negative",
    );
    let lines = vec![QuoteLineInput {
        text: "  ".to_owned(),
        amount: "12".to_owned(),
    }];
    check(
        &set(SetQuote { lines, ..good }),
        "lines",
        "Say what the 12 is for",
    );
    assert_eq!(entry_count(&house.desk), before);
}

#[test]
fn a_reduction_is_a_line_like_any_other_as_long_as_something_is_left_to_pay() {
    let (house, job_id) = before_the_quote();
    let mut quote = quote_of(job_id, "89");
    quote.lines.push(QuoteLineInput {
        text: "Reduction".to_owned(),
        amount: "-9".to_owned(),
    });
    let view = set_quote(&house.desk, quote).unwrap();
    assert_eq!(view.job.quote_total.unwrap().minor, 8_000);
}

#[test]
fn a_negative_standing_limit_is_refused() {
    let house = House::founded();
    let request = |limit: &str| SaveShop {
        shop_id: Some(house.shop_id),
        description: shop_description("Corner Phones", "PT", "EUR"),
        standing_limit: limit.to_owned(),
    };
    check(
        &refusal(save_shop(&house.desk, request("-50"))),
        "standing_limit",
        "negative",
    );
    check(
        &refusal(save_shop(&house.desk, request("50 CHF"))),
        "standing_limit",
        "CHF",
    );
    assert_eq!(
        save_shop(&house.desk, request("50"))
            .unwrap()
            .brief
            .standing_limit
            .unwrap()
            .minor,
        5_000
    );
}

#[test]
fn a_shop_with_a_country_or_currency_that_is_none_is_refused() {
    let house = House::founded();
    let save = |description| {
        refusal(save_shop(
            &house.desk,
            SaveShop {
                shop_id: None,
                description,
                standing_limit: String::new(),
            },
        ))
    };
    check(
        &save(shop_description(" ", "PT", "EUR")),
        "name",
        "is empty",
    );
    check(
        &save(shop_description("North", "Portugal", "EUR")),
        "country",
        "two letters",
    );
    check(
        &save(shop_description("North", "PT", "Euro")),
        "currency",
        "three letters",
    );
    let unknown = SaveShop {
        shop_id: Some(ShopId::from_bytes([9; 16])),
        ..SaveShop {
            shop_id: None,
            description: shop_description("North", "PT", "EUR"),
            standing_limit: String::new(),
        }
    };
    assert_eq!(
        refusal(save_shop(&house.desk, unknown)).code,
        ErrorCode::NotFound
    );
}

#[test]
fn a_reading_that_is_none_is_refused_by_its_field() {
    let (house, job_id) = before_the_quote();
    let record = |test: &str, result: ResultInput| {
        let request = RecordResult {
            job_id,
            phase: Phase::Before,
            code: code(test),
            result,
            note: String::new(),
            photos: Vec::new(),
            assembly: Some(domain::fact::Assembly::Closed),
            trace: None,
        };
        refusal(record_result(&house.desk, request))
    };
    let reading = |value: &str, uncertainty: &str| ResultInput::Reading {
        value: value.to_owned(),
        uncertainty: uncertainty.to_owned(),
    };
    check(
        &record("charge.current", reading("one", "")),
        "value",
        "one",
    );
    check(
        &record("charge.current", reading("1.2", "-0.1")),
        "uncertainty",
        "can't be negative",
    );
    check(
        &record("charge.current", ResultInput::Pass),
        "result",
        "is measured",
    );
    check(
        &record("display.touch", reading("1", "")),
        "result",
        "passed or failed",
    );
    check(
        &record("power.start_time", reading("-4", "")),
        "value",
        "can't be negative",
    );
    check(
        &record(
            "charge.current",
            ResultInput::NotTestable {
                why: " ".to_owned(),
            },
        ),
        "why",
        "Say why",
    );
    assert_eq!(
        record("no.such", ResultInput::Pass).code,
        ErrorCode::NotFound
    );
    let request = RecordResult {
        job_id,
        phase: Phase::After,
        code: code("display.touch"),
        result: ResultInput::Pass,
        note: String::new(),
        photos: Vec::new(),
        assembly: Some(domain::fact::Assembly::Closed),
        trace: None,
    };
    assert_eq!(
        refusal(record_result(&house.desk, request)).code,
        ErrorCode::Blocked,
        "after comes after work"
    );
}

#[test]
fn heat_without_sense_is_refused_by_its_field() {
    let (house, job_id) = before_the_quote();
    quote(&house.desk, job_id, "89");
    agree_by_word(&house.desk, job_id);
    let step = |temperature_c: &str, seconds: &str, tests: &[&str]| {
        let heat = HeatInput {
            temperature_c: temperature_c.to_owned(),
            seconds: seconds.to_owned(),
            side: BoardSide::Bottom,
            neighbours: vec!["u5200".to_owned()],
            neighbour_tests: tests.iter().map(|test| code(test)).collect(),
            ..HeatInput::default()
        };
        RecordStep {
            job_id,
            text: "Replaced the controller".to_owned(),
            procedure: String::new(),
            tool: String::new(),
            parts: Vec::new(),
            heat: Some(heat),
            witness_id: None,
            photos: Vec::new(),
            ..RecordStep::on(job_id)
        }
    };
    check(
        &refusal(record_step(
            &house.desk,
            step("3500", "40", &["radio.wifi"]),
        )),
        "temperature_c",
        "up to 600",
    );
    check(
        &refusal(record_step(&house.desk, step("350", "-4", &["radio.wifi"]))),
        "seconds",
        "up to 600",
    );
    check(
        &refusal(record_step(&house.desk, step("350", "40", &[]))),
        "neighbour_tests",
        "heated neighbours",
    );
    assert!(job(&house.desk, job_id).steps.is_empty());
    work(&house.desk, job_id);
    // A price can't change under work that was agreed.
    assert!(
        refusal(set_quote(&house.desk, quote_of(job_id, "120")))
            .message
            .contains("has begun")
    );
}

#[test]
fn a_mark_outside_the_outline_is_refused() {
    let (house, job_id) = with_job();
    check_cell(&house.desk, job_id);
    let condition = Condition {
        face: Face::Back,
        x_permille: 1001,
        y_permille: 0,
        blemish: Blemish::Dent,
        note: String::new(),
        photos: Vec::new(),
    };
    check(
        &refusal(record_condition(
            &house.desk,
            RecordCondition { job_id, condition },
        )),
        "condition",
        "outside the outline",
    );
}

#[test]
fn a_parcel_without_a_true_weight_or_number_does_not_leave() {
    let house = House::founded();
    let parcel_id = open_return_parcel(
        &house.desk,
        OpenReturnParcel {
            shop_id: house.shop_id,
        },
    )
    .unwrap()
    .parcel
    .parcel_id;
    for grams in ["", "0", "-3", "640 stone", "900000"] {
        let refused = refusal(weigh_parcel(
            &house.desk,
            WeighParcel {
                parcel_id,
                grams: grams.to_owned(),
            },
        ));
        assert_eq!(
            refused.field.as_deref(),
            Some("grams"),
            "{grams}: {}",
            refused.message
        );
    }
    let empty = refusal(ship_parcel(
        &house.desk,
        ShipParcel {
            parcel_id,
            tracking: String::new(),
            carrier: String::new(),
        },
    ));
    assert!(
        empty.message.contains("The parcel is empty"),
        "{}",
        empty.message
    );
}

#[test]
fn a_request_without_its_form_is_refused_before_anything_happens() {
    let house = House::founded();
    let before = entry_count(&house.desk);
    for name in NAMES {
        let refused = refusal(dispatch(
            &house.desk,
            name,
            json!(["not", "an", "object", {"of": "any command"}, 7]),
        ));
        assert!(
            refused.message.contains(name),
            "{name}: {}",
            refused.message
        );
    }
    assert!(
        refusal(dispatch(&house.desk, "open_the_safe", json!({})))
            .message
            .contains("no command “open_the_safe”")
    );
    let job_id = "not-an-id";
    let refused = refusal(dispatch(&house.desk, "job", json!({ "job_id": job_id })));
    assert!(
        refused.message.contains("can't be read"),
        "{}",
        refused.message
    );
    let unknown = json!({ "job_id": "0190e2e2-79b0-7cc3-98c4-dc0c0c07398f" });
    assert_eq!(
        refusal(dispatch(&house.desk, "job", unknown)).code,
        ErrorCode::NotFound
    );
    assert_eq!(entry_count(&house.desk), before);
}
