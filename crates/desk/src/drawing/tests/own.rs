//! What a lab sets itself reaches its report and the record that the digest vouches for.

use domain::fact::PaperTexts;

use super::bench::{Bench, bench, closed};
use crate::commands::paper_setup::{SetPaperTexts, set_paper_texts};

/// The record's own words, if it has any.
fn own_words(bench: &Bench) -> Option<serde_json::Value> {
    let job = bench.desk.job(bench.job_id).unwrap();
    let gathered = super::super::report::Gathered::of(&bench.desk, &job).unwrap();
    let record = super::super::record::ReportRecord::of(&gathered.told()).bytes();
    let record: serde_json::Value = serde_json::from_slice(&record).unwrap();
    record.get("own_words").cloned()
}

fn say(bench: &Bench) {
    let texts = PaperTexts {
        warranty: "It covers the joints.\n\n  Not a new fall.  ".to_owned(),
        terms: "Removed parts are kept for 30 days.".to_owned(),
        foot: "No. 4 455".to_owned(),
    };
    set_paper_texts(&bench.desk, SetPaperTexts { texts }).unwrap();
}

#[test]
fn a_lab_that_says_nothing_of_its_own_adds_nothing_to_the_record() {
    assert_eq!(own_words(&closed()), None);
}

#[test]
fn the_labs_own_words_are_printed_and_vouched_for() {
    let bench = closed();
    say(&bench);
    let wanted = serde_json::json!({
        "warranty": ["It covers the joints.", "Not a new fall."],
        "terms": ["Removed parts are kept for 30 days."],
    });
    assert_eq!(own_words(&bench), Some(wanted));
    let filled = super::filled(&bench);
    for words in ["Not a new fall.", "Removed parts are kept", "No. 4 455"] {
        assert!(filled.contains(words), "{words}");
    }
}

#[test]
fn without_a_warranty_the_report_says_nothing_about_what_it_covers() {
    let bench = bench();
    say(&bench);
    assert!(!super::filled(&bench).contains("It covers the joints."));
}
