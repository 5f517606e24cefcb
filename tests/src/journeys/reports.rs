//! A report that somebody holds is checked: as it was sent, saved again, changed, taken back, and another lab's.

use std::path::Path;
use std::process::Command;

use desk::Desk;
use desk::commands::bench::closing::{Withdraw, withdraw};
use domain::report_check::ReportStanding;
use domain::{JobId, Subject};

use crate::house::{
    House, ROAD_LABEL, agree_by_word, check_cell, close, imei, job, jpeg, look_over, quote, ship,
    take_in, test_after, test_before, work,
};

fn check(desk: &Desk, pdf: &[u8], standing: ReportStanding, part: &str) {
    let check = desk.check_report(pdf).expect("an answer");
    assert_eq!(check.standing, standing, "{}", check.words);
    assert!(check.words.contains(part), "{}", check.words);
}

fn reported(house: &House, number: u32) -> (JobId, Vec<u8>) {
    let job_id = crate::house::closed_job(&house.desk, house.shop_id, number);
    (job_id, latest(&house.desk, job_id))
}

fn latest(desk: &Desk, job_id: JobId) -> Vec<u8> {
    let job = job(desk, job_id);
    let report = job.current_report().expect("a report");
    desk.file_bytes(&report.value.file).expect("its file")
}

/// The same paper as another program saves it: nothing is packed any more (Debian: `qpdf`).
fn saved_again(folder: &Path, pdf: &[u8]) -> Vec<u8> {
    let (from, to) = (folder.join("from.pdf"), folder.join("to.pdf"));
    std::fs::write(&from, pdf).expect("written");
    let status = Command::new("qpdf")
        .args(["--stream-data=uncompress"])
        .args([&from, &to])
        .status()
        .expect("qpdf is installed");
    assert!(status.success());
    std::fs::read(&to).expect("read")
}

fn with(pdf: &[u8], from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let at = pdf
        .windows(from.len())
        .position(|window| window == from.as_bytes())
        .unwrap_or_else(|| panic!("“{from}” is not in the file"));
    let mut pdf = pdf.to_vec();
    pdf[at..at + to.len()].copy_from_slice(to.as_bytes());
    pdf
}

#[test]
fn a_report_as_it_was_sent_is_genuine_on_every_desktop_of_the_lab() {
    let house = House::founded();
    let (job_id, pdf) = reported(&house, 1);
    let reference = job(&house.desk, job_id).reference;
    check(&house.desk, &pdf, ReportStanding::Genuine, &reference);
    house.desk.sync_now().expect("in touch");
    let second = house.second_desktop("Bench two");
    check(&second, &pdf, ReportStanding::Genuine, &reference);
}

#[test]
fn one_changed_byte_of_a_page_is_not_vouched_for_and_one_of_the_record_is_an_alteration() {
    let house = House::founded();
    let (_, pdf) = reported(&house, 1);
    let folder = tempfile::tempdir().expect("a folder");
    let again = saved_again(folder.path(), &pdf);
    check(
        &house.desk,
        &again,
        ReportStanding::PagesUnproved,
        "another program saved it again, or somebody changed it",
    );
    let mut page = pdf.clone();
    // The comment behind the header: no byte of the record, and not what the lab made.
    let last = page.len() - 2;
    page[last] ^= 1;
    check(
        &house.desk,
        &page,
        ReportStanding::PagesUnproved,
        "ask for the original",
    );
    let record = with(
        &again,
        "The charging controller was replaced",
        "The charging controller was polished",
    );
    check(
        &house.desk,
        &record,
        ReportStanding::Altered,
        "don't belong together",
    );
    let seal = with(&again, "\"record_digest\":\"", "\"record_digest\": ");
    check(
        &house.desk,
        &seal,
        ReportStanding::Altered,
        "don't belong together",
    );
}

#[test]
fn another_lab_s_report_and_a_picture_are_called_what_they_are() {
    let house = House::founded();
    let other = House::founded();
    let (_, pdf) = reported(&other, 1);
    check(&house.desk, &pdf, ReportStanding::OtherLab, "that lab");
    check(
        &house.desk,
        &jpeg(64, 48, 1),
        ReportStanding::NoReport,
        "as it was sent",
    );
    check(&house.desk, b"", ReportStanding::NoReport, "as it was sent");
}

#[test]
fn an_older_report_names_the_newer_and_one_taken_back_says_so() {
    let house = House::founded();
    let (job_id, first) = reported(&house, 1);
    crate::house::set_repaired(&house.desk, job_id);
    close(&house.desk, job_id);
    let second = latest(&house.desk, job_id);
    assert_ne!(first, second);
    check(
        &house.desk,
        &first,
        ReportStanding::Superseded,
        "A newer one",
    );
    check(&house.desk, &second, ReportStanding::Genuine, "newest");
    let entry_id = job(&house.desk, job_id)
        .current_report()
        .expect("the second")
        .mark
        .entry_id;
    let withdrawal = Withdraw {
        subject: Subject::Job(job_id),
        entry_id,
        reason: "made too early".to_owned(),
    };
    withdraw(&house.desk, withdrawal).expect("it is still here");
    check(
        &house.desk,
        &second,
        ReportStanding::Withdrawn,
        "taken it back",
    );
    check(&house.desk, &first, ReportStanding::Genuine, "newest");
}

#[test]
fn a_later_stay_of_the_same_device_makes_the_older_report_the_older_one() {
    let house = House::founded();
    let (first_id, first) = reported(&house, 7);
    ship(&house.desk, house.shop_id, &[first_id], ROAD_LABEL);
    let again = take_in(&house.desk, house.shop_id, "Nine", &imei(7));
    check_cell(&house.desk, again);
    look_over(&house.desk, again, &imei(7));
    test_before(&house.desk, again);
    quote(&house.desk, again, "20");
    agree_by_word(&house.desk, again);
    work(&house.desk, again);
    test_after(&house.desk, again);
    close(&house.desk, again);
    check(
        &house.desk,
        &first,
        ReportStanding::Superseded,
        "A newer one",
    );
}

#[test]
fn a_report_of_a_desktop_that_has_not_been_in_touch_waits() {
    let house = House::founded();
    let second = house.second_desktop("Bench two");
    let (_, pdf) = reported(&house, 1);
    check(
        &second,
        &pdf,
        ReportStanding::NotKnownYet,
        "not come here yet",
    );
}
