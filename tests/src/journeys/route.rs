//! Turns of the route: what each station misses, the standing limit, a refusal, a question, undo, a wrong device at packing.

use desk::Desk;
use desk::commands::bench::JobKey;
use desk::commands::bench::closing::{
    MakeReport, SetOutcome, Withdraw, make_report, set_outcome, withdraw,
};
use desk::commands::bench::work::{PostMessage, post_message};
use desk::commands::outbound::{self, OpenReturnParcel, PackDevice};
use desk::commands::{PaperSize, bench};
use domain::Subject;
use domain::fact::{AnswerWay, JobOutcome, Phase};
use domain::job::{Agreement, Stage, Station};

use crate::house::{
    FAULT_TEST, House, IMEI, add_shop, agree_by_word, check_cell, close, closed_job, entry_count,
    imei, job, look_over, pack, quote, reading, refusal, result, set_repaired, tag_of, take_in,
    test_after, test_before, work,
};

/// A device that is ready for a price.
fn before_the_quote(house: &House, shop_id: domain::ShopId) -> domain::JobId {
    let job_id = take_in(&house.desk, shop_id, "K4", IMEI);
    check_cell(&house.desk, job_id);
    look_over(&house.desk, job_id, IMEI);
    test_before(&house.desk, job_id);
    job_id
}

#[test]
fn a_price_within_the_standing_limit_is_agreed_in_the_same_breath() {
    let house = House::founded();
    let shop_id = add_shop(&house.desk, "Northside Counter", "AT", "EUR", "90.00");
    let job_id = before_the_quote(&house, shop_id);
    let view = quote(&house.desk, job_id, "90");
    assert!(
        matches!(
            view.job.agreement,
            Agreement::Agreed {
                way: AnswerWay::StandingLimit,
                ..
            }
        ),
        "{:?}",
        view.job.agreement
    );
    let view = quote(&house.desk, job_id, "90.01");
    assert_eq!(
        view.job.agreement,
        Agreement::Waiting,
        "one cent more is asked about"
    );
}

#[test]
fn a_shop_that_asks_first_gets_its_answer_and_then_refuses() {
    let house = House::founded();
    let desk = &house.desk;
    let mut counter = house.counter();
    let job_id = before_the_quote(&house, house.shop_id);
    quote(desk, job_id, "89");
    desk.sync_now().unwrap();
    let device_path = format!("/devices/{job_id}");
    assert_eq!(
        counter
            .decide(&device_path, "ask", "Is the data safe?")
            .status,
        303
    );
    desk.sync_now().unwrap();
    assert_eq!(
        job(desk, job_id).agreement,
        Agreement::Asked {
            question: "Is the data safe?".to_owned()
        }
    );
    post_message(
        desk,
        PostMessage {
            job_id,
            text: "It is not touched.".to_owned(),
        },
    )
    .unwrap();
    desk.sync_now().unwrap();
    assert!(
        counter
            .get(&device_path)
            .text()
            .contains("It is not touched.")
    );
    assert_eq!(
        counter.decide(&device_path, "refuse", "too dear").status,
        303
    );
    desk.sync_now().unwrap();
    assert_eq!(
        job(desk, job_id).stage,
        Stage::Packing,
        "it goes back unrepaired"
    );
    let request = |outcome| SetOutcome {
        job_id,
        outcome,
        words: String::new(),
        warranty_days: String::new(),
    };
    assert!(
        refusal(set_outcome(desk, request(JobOutcome::Repaired)))
            .message
            .contains("The shop refused the quote")
    );
    let view = set_outcome(desk, request(JobOutcome::Declined)).unwrap();
    assert_eq!(
        view.job.outcome.value().unwrap().warranty_days,
        0,
        "no work, no warranty"
    );
}

#[test]
fn what_was_recorded_by_a_slip_is_taken_back_and_stays_readable() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = before_the_quote(&house, house.shop_id);
    let entry_id = quote(desk, job_id, "8900")
        .job
        .quote
        .mark()
        .unwrap()
        .entry_id;
    let before = entry_count(desk);
    let undo = |reason: &str| Withdraw {
        subject: Subject::Job(job_id),
        entry_id,
        reason: reason.to_owned(),
    };
    assert!(
        refusal(withdraw(desk, undo(" ")))
            .message
            .contains("say why")
            || refusal(withdraw(desk, undo(" "))).field.is_some()
    );
    withdraw(desk, undo("two noughts too many")).unwrap();
    let after = job(desk, job_id);
    assert_eq!(
        (after.agreement, after.quote.heads.len()),
        (Agreement::NoQuote, 0)
    );
    assert_eq!(
        entry_count(desk),
        before + 1,
        "taking back is one more entry"
    );
    assert_eq!(quote(desk, job_id, "89").job.agreement, Agreement::Waiting);
    // The shop is asked about the price that stands, and only about that one.
    desk.sync_now().unwrap();
    let page = house.counter().get(&format!("/devices/{job_id}")).text();
    assert!(
        page.contains("89.00 EUR") && !page.contains("8,900") && !page.contains("8900.00"),
        "{page}"
    );
}

#[test]
fn a_device_that_does_not_belong_in_the_box_is_refused_with_the_reason() {
    let house = House::founded();
    let desk = &house.desk;
    let other_shop = add_shop(desk, "Southgate Phones", "CH", "CHF", "");
    let ours = closed_job(desk, house.shop_id, 1);
    let theirs = closed_job(desk, other_shop, 2);
    let open = take_in(desk, house.shop_id, "K9", &imei(3));
    let parcel_id = outbound::open_return_parcel(
        desk,
        OpenReturnParcel {
            shop_id: house.shop_id,
        },
    )
    .unwrap()
    .parcel
    .parcel_id;
    let before = entry_count(desk);
    let why = |job_id| refusal(pack(desk, parcel_id, job_id)).message;
    assert!(
        why(theirs).contains("belongs to Southgate Phones"),
        "{}",
        why(theirs)
    );
    assert!(
        why(open).contains("The cell has not been checked"),
        "{}",
        why(open)
    );
    let nothing = PackDevice {
        parcel_id,
        scanned: "WB:J:0000000000".to_owned(),
    };
    assert!(
        refusal(outbound::pack_device(desk, nothing))
            .message
            .contains("is no device of this lab")
    );
    assert_eq!(entry_count(desk), before, "a refusal records nothing");
    pack(desk, parcel_id, ours).unwrap();
    assert!(why(ours).contains("is in this parcel already"));
}

#[test]
fn a_result_after_the_report_asks_for_a_new_report() {
    let house = House::founded();
    let desk = &house.desk;
    let job_id = closed_job(desk, house.shop_id, 1);
    assert!(job(desk, job_id).current_report().is_some());
    crate::house::result(
        desk,
        job_id,
        domain::fact::Phase::After,
        crate::house::OTHER_TEST,
        desk::commands::bench::proof::ResultInput::Pass,
    );
    assert!(job(desk, job_id).current_report().is_none());
    let parcel_id = outbound::open_return_parcel(
        desk,
        OpenReturnParcel {
            shop_id: house.shop_id,
        },
    )
    .unwrap()
    .parcel
    .parcel_id;
    assert!(
        refusal(pack(desk, parcel_id, job_id))
            .message
            .contains("return report that tells of the latest facts")
    );
    close(desk, job_id);
    pack(desk, parcel_id, job_id).unwrap();
}

#[test]
fn each_station_says_what_is_missing_before_it() {
    let house = House::founded();
    let desk: &Desk = &house.desk;
    let job_id = take_in(desk, house.shop_id, "K4", IMEI);
    let missing = |station: Station| {
        let stops = bench::job(desk, JobKey { job_id }).unwrap().job.route;
        stops
            .into_iter()
            .find(|stop| stop.station == station)
            .unwrap()
            .missing
    };
    assert!(
        missing(Station::LookOver)[0]
            .sentence
            .contains("The cell has not been checked")
    );
    check_cell(desk, job_id);
    assert!(missing(Station::LookOver).is_empty());
    look_over(desk, job_id, IMEI);
    test_before(desk, job_id);
    quote(desk, job_id, "89");
    assert!(
        missing(Station::Work)
            .iter()
            .any(|missing| missing.sentence.contains("has not answered the quote"))
    );
    agree_by_word(desk, job_id);
    work(desk, job_id);
    // A heated neighbour without its test, and a fault that still shows, keep the job from being called repaired.
    result(desk, job_id, Phase::After, FAULT_TEST, reading("0.1"));
    let view = bench::job(desk, JobKey { job_id }).unwrap();
    let closing = view
        .closing
        .iter()
        .find(|closing| closing.outcome == domain::fact::JobOutcome::Repaired)
        .unwrap();
    let sentences: Vec<&str> = closing
        .missing
        .iter()
        .map(|missing| missing.sentence.as_str())
        .collect();
    assert!(
        sentences
            .iter()
            .any(|sentence| sentence.contains("Heat reached a neighbour")),
        "{sentences:?}"
    );
    assert!(
        sentences
            .iter()
            .any(|sentence| sentence.contains("not shown to be gone")),
        "{sentences:?}"
    );
    test_after(desk, job_id);
    let early = make_report(
        desk,
        MakeReport {
            job_id,
            size: PaperSize::Letter,
        },
    );
    assert!(refusal(early).message.contains("No outcome is set"));
    set_repaired(desk, job_id);
    make_report(
        desk,
        MakeReport {
            job_id,
            size: PaperSize::Letter,
        },
    )
    .unwrap();
    assert_eq!(job(desk, job_id).next, Some(Station::Outbound));
    assert!(missing(Station::Outbound).is_empty());
    assert!(tag_of(&job(desk, job_id)).starts_with("WB:J:"));
}
