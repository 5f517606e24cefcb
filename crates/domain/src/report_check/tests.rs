//! Every way in which a report may turn up.

use super::*;

fn issued() -> IssuedFound {
    IssuedFound {
        job_reference: "7K3M-2Q9X-C".to_owned(),
        made_on: "25 November 2026".to_owned(),
        same_file: true,
        withdrawn: false,
        newer_on: None,
    }
}

fn check(
    record_found: bool,
    seal: SealFound,
    issued: Option<IssuedFound>,
    standing: ReportStanding,
    part: &str,
) {
    let evidence = ReportEvidence {
        record_found,
        seal,
        issued,
    };
    let check = judge_report(&evidence);
    assert_eq!(check.standing, standing, "{evidence:?}");
    assert!(check.words.contains(part), "{}", check.words);
}

#[test]
fn the_newest_file_of_ours_is_genuine() {
    check(
        true,
        SealFound::Ours,
        Some(issued()),
        ReportStanding::Genuine,
        "newest",
    );
}

#[test]
fn an_older_one_says_since_when_there_is_a_newer() {
    let older = IssuedFound {
        newer_on: Some("26 November 2026".to_owned()),
        ..issued()
    };
    check(
        true,
        SealFound::Ours,
        Some(older),
        ReportStanding::Superseded,
        "26 November 2026",
    );
}

#[test]
fn one_that_was_taken_back_says_so_before_all_else() {
    let back = IssuedFound {
        withdrawn: true,
        newer_on: Some("26 November 2026".to_owned()),
        ..issued()
    };
    check(
        true,
        SealFound::Ours,
        Some(back),
        ReportStanding::Withdrawn,
        "taken it back",
    );
}

#[test]
fn a_report_without_a_seal_that_the_log_knows_byte_for_byte_is_ours() {
    check(
        true,
        SealFound::None,
        Some(issued()),
        ReportStanding::Genuine,
        "not a byte",
    );
}

#[test]
fn one_that_was_saved_again_proves_its_record_and_not_its_pages() {
    let saved_again = IssuedFound {
        same_file: false,
        ..issued()
    };
    check(
        true,
        SealFound::Ours,
        Some(saved_again),
        ReportStanding::PagesUnproved,
        "another program saved it again, or somebody changed it",
    );
}

#[test]
fn one_whose_record_was_changed_is_altered() {
    for seal in [SealFound::Broken, SealFound::None, SealFound::UnknownKey] {
        check(
            true,
            seal,
            None,
            ReportStanding::Altered,
            "don't belong together",
        );
    }
}

#[test]
fn another_lab_s_report_is_sent_to_that_lab() {
    check(
        true,
        SealFound::OtherLab,
        None,
        ReportStanding::OtherLab,
        "another lab",
    );
}

#[test]
fn one_of_a_desktop_that_has_not_been_in_touch_can_wait() {
    check(
        true,
        SealFound::Ours,
        None,
        ReportStanding::NotKnownYet,
        "not come here yet",
    );
}

#[test]
fn a_file_without_a_record_is_no_report() {
    check(
        false,
        SealFound::None,
        None,
        ReportStanding::NoReport,
        "as it was sent",
    );
}
