//! Sixty parcels at random against a second reading of the rules, made without this program.
//!
//! `vectors/transport_second_reading.json` holds what was read, and what holds where the two differed, with the clause.

use domain::cells::book::RuleBook;
use domain::cells::transport::{Parcel, judge_parcel};
use serde_json::Value;

use super::vector_files::{list, text, vectors};

#[test]
fn every_parcel_of_the_second_reading_has_its_settled_verdict() {
    let book = RuleBook::shipped();
    let vectors = vectors("transport_second_reading.json");
    let cases = list(&vectors, "cases");
    assert_eq!(cases.len(), 60);
    for case in cases {
        let id = text(case, "id");
        let parcel: Parcel = serde_json::from_value(case["request"].clone())
            .unwrap_or_else(|error| panic!("{id}: {error}"));
        let verdict = serde_json::to_value(judge_parcel(book, &parcel)).expect("JSON");
        assert_eq!(verdict["verdict"], case["settled"]["verdict"], "{id}");
        if let Some(expected) = case["settled"].get("marks") {
            let mut marks: Vec<&str> = list_of(&verdict["marks"]).map(code).collect();
            marks.sort_unstable();
            let expected: Vec<&str> = list_of(expected).filter_map(Value::as_str).collect();
            assert_eq!(marks, expected, "{id}");
        }
        let agrees = case["settled"]["verdict"] == case["reader"]["verdict"]
            && case["settled"]
                .get("marks")
                .is_none_or(|marks| *marks == case["reader"]["marks"]);
        assert!(
            agrees || case.get("note").is_some(),
            "{id}: a difference is settled by a clause, which a note names"
        );
    }
}

fn list_of(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

/// A mark is its code, or an object that holds it.
fn code(mark: &Value) -> &str {
    mark.as_str()
        .or_else(|| mark["code"].as_str())
        .unwrap_or_else(|| panic!("{mark} is no mark"))
}
