//! GS1 keys and element strings against GS1's own examples.
//!
//! `vectors/gs1.json`: GS1 General Specifications 7.9.1, the GS1 Barcode Syntax Dictionary (Apache-2.0, commit
//! ff2eb4bfc8f6), and values computed with python-stdnum 2.2.

use std::collections::BTreeMap;

use domain::gs1::{Gs1Error, check, check_digit, read};

use super::vector_files::{list, text, vectors};

#[test]
fn published_keys_have_their_check_digit() {
    for case in list(&vectors("gs1.json"), "check_digit") {
        let (payload, full) = (text(case, "payload"), text(case, "full"));
        let digit = check_digit(payload).and_then(|digit| digit.to_digit(10));
        assert_eq!(digit.map(u64::from), case["check"].as_u64(), "{payload}");
        assert!(check(full).is_right(), "{full}");
    }
}

#[test]
fn published_element_strings_are_read_or_warned_of() {
    for case in list(&vectors("gs1.json"), "element_strings") {
        let data = text(case, "data");
        let read = read(data);
        if let Some(expected) = case["expected"].as_object() {
            let elements = read.unwrap_or_else(|error| panic!("{data}: {error}"));
            assert!(
                elements.iter().all(|element| !element.check.is_wrong()),
                "{data}"
            );
            let found: BTreeMap<String, String> = elements
                .into_iter()
                .map(|element| (element.ai, element.value))
                .collect();
            let expected: BTreeMap<String, String> = expected
                .iter()
                .map(|(ai, value)| (ai.clone(), value.as_str().expect("a text").to_owned()))
                .collect();
            assert_eq!(found, expected, "{data}");
        } else {
            // To be refused: a wrong length is, a wrong check digit is kept and told.
            let told = read.map_or(true, |elements| {
                elements.iter().any(|element| element.check.is_wrong())
            });
            assert!(told, "{data} ({})", text(case, "why"));
        }
    }
}

#[test]
fn every_application_identifier_of_the_list_is_known() {
    for case in list(&vectors("gs1.json"), "application_identifiers") {
        let named = text(case, "ai");
        let (first, last) = named.split_once('-').unwrap_or((named, named));
        let (first, last, width) = (first.parse::<u32>(), last.parse::<u32>(), first.len());
        for number in first.expect("digits")..=last.expect("digits") {
            let read = read(&format!("({number:0width$})1"));
            assert!(
                !matches!(read, Err(Gs1Error::UnknownIdentifier { .. })),
                "{number:0width$}"
            );
        }
    }
}
