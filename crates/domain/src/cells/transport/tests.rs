//! The published and derived cases, the limits at their edges, and what must hold for every parcel.
//!
//! The cases lie in `tests/vectors/transport_cases.json`, each with its source; the server's interface answers the same file.

mod bad_input;
mod edges;
mod label;
mod properties;

use std::collections::BTreeSet;

use serde::Deserialize;
use serde_json::json;

use super::*;
use crate::cells::book::{RowKind, RuleBook};

const CASES: &str = include_str!("../../../../../tests/vectors/transport_cases.json");

#[derive(Deserialize)]
struct Cases {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    id: String,
    what: String,
    request: Parcel,
    expect: Expected,
}

#[derive(Deserialize)]
struct Expected {
    verdict: VerdictCode,
    un: Option<Vec<UnNumber>>,
    marks: Option<BTreeSet<String>>,
    #[serde(default)]
    flags: BTreeSet<Flag>,
    packing_instruction: Option<Vec<String>>,
    #[serde(default)]
    rules: BTreeSet<String>,
}

fn cases() -> Vec<Case> {
    serde_json::from_str::<Cases>(CASES).unwrap().cases
}

fn judged(parcel: &Parcel) -> Verdict {
    judge_parcel(RuleBook::shipped(), parcel)
}

fn mark_codes(verdict: &Verdict) -> BTreeSet<String> {
    verdict.marks.iter().map(|mark| mark.code.clone()).collect()
}

fn rule_ids(verdict: &Verdict) -> BTreeSet<String> {
    verdict.rules.iter().map(|rule| rule.id.clone()).collect()
}

/// A sound used phone of one 19.4 Wh cell by road in the United States, with the fields given in place of its own.
fn parcel(changes: serde_json::Value) -> Parcel {
    let mut question = json!({
        "regime": "US_HMR", "mode": "GROUND", "carrier": "none", "ship_date": "2026-03-01",
        "packages_per_consignment": 1, "gross_g_per_package": 1000,
        "chem": "LI_ION", "cells_per_unit": 1, "wh_label": 19.4, "config": "CONTAINED",
        "units_in_devices": 1, "spare_sets": 0, "devices_per_package": 1, "battery_net_g_per_package": 80,
        "findings": ["F00"], "soc_rated_pct": 25, "soc_indicated_pct": 25, "device_status": "USED",
        "battery_original": true, "powered_off": true,
    });
    let serde_json::Value::Object(changes) = changes else {
        panic!("changes are an object")
    };
    for (name, value) in changes {
        question[name] = value;
    }
    serde_json::from_value(question).unwrap()
}

#[test]
fn every_case_gets_its_verdict_marks_flags_and_instruction() {
    let mut wrong = Vec::new();
    for case in cases() {
        let verdict = judged(&case.request);
        let expect = &case.expect;
        let fits = verdict.verdict == expect.verdict
            && expect.un.as_ref().is_none_or(|un| *un == verdict.un)
            && expect
                .marks
                .as_ref()
                .is_none_or(|marks| *marks == mark_codes(&verdict))
            && expect.flags.iter().all(|flag| verdict.flags.contains(flag))
            && expect
                .packing_instruction
                .as_ref()
                .is_none_or(|instruction| *instruction == verdict.packing_instruction)
            && expect.rules.is_subset(&rule_ids(&verdict));
        if !fits {
            wrong.push(format!(
                "{} {}: {:?} {:?} {:?} {:?} {:?} by {:?}",
                case.id,
                case.what,
                verdict.verdict,
                verdict.un,
                mark_codes(&verdict),
                verdict.flags,
                verdict.packing_instruction,
                verdict
                    .rules
                    .iter()
                    .map(|rule| (&rule.id, rule.verdict, &rule.text))
                    .collect::<Vec<_>>()
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} wrong:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn every_rule_of_the_book_is_reached_by_a_case() {
    let reached: BTreeSet<String> = cases()
        .iter()
        .flat_map(|case| rule_ids(&judged(&case.request)))
        .collect();
    let rules: BTreeSet<String> = RuleBook::shipped()
        .rows()
        .iter()
        .filter(|row| row.kind == RowKind::Rule)
        .map(|row| row.id.clone())
        .collect();
    assert_eq!(
        rules.difference(&reached).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
}

#[test]
fn every_rule_that_fires_has_its_row() {
    for case in cases() {
        for rule in judged(&case.request).rules {
            assert!(
                !rule.clause.is_empty() && !rule.edition.is_empty(),
                "{} {}",
                case.id,
                rule.id
            );
        }
    }
}

#[test]
fn every_verdict_carries_the_eight_cautions() {
    for case in cases() {
        let verdict = judged(&case.request);
        let ids: Vec<&str> = verdict
            .cautions
            .iter()
            .map(|caution| caution.id.as_str())
            .collect();
        assert_eq!(
            ids,
            ["C1", "C2", "C3", "C4", "C5", "C6", "C7", "C8"],
            "{}",
            case.id
        );
    }
}

#[test]
fn what_rests_on_less_than_the_rules_own_text_says_so() {
    let verdict = judged(&parcel(json!({"mode": "AIR_PAX"})));
    assert!(
        verdict
            .unknowns
            .iter()
            .any(|line| line.starts_with("R22") && line.contains("not on the rule's own text")),
        "{:?}",
        verdict.unknowns
    );
}

#[test]
fn a_parcel_that_must_not_go_has_no_marks_and_no_papers() {
    for case in cases() {
        let verdict = judged(&case.request);
        if verdict.verdict == VerdictCode::Forbidden {
            assert!(
                verdict.marks.is_empty() && verdict.papers.is_empty() && verdict.packing.is_empty()
            );
        }
    }
}

#[test]
fn letters_and_marks_have_their_lawful_sizes() {
    // 49 CFR 173.185(c)(1)(v), (c)(3)(i)(A), (f)(4).
    let marks = judged(&parcel(
        json!({"config": "ALONE", "devices_per_package": 0}),
    ))
    .marks;
    let mark = |code: &str| marks.iter().find(|mark| mark.code == code).unwrap();
    assert_eq!(mark("LBM(UN3480)").size_mm, Some((100, 100)));
    assert_eq!(mark("LBM(UN3480)").small_size_mm, Some((100, 70)));
    assert_eq!(mark("LBM(UN3480)").lines, ["UN 3480"]);
    assert_eq!(mark("T-PAX").letter_height_mm, Some(6));
    let damaged = judged(&parcel(json!({"findings": ["F10"]}))).marks;
    let words = damaged.iter().find(|mark| mark.code == "T-DDR").unwrap();
    assert_eq!(words.letter_height_mm, Some(12));
    assert_eq!(words.lines, ["Damaged/defective lithium ion battery"]);
}

#[test]
fn a_leaking_battery_is_packed_with_absorbent() {
    // ADR 2025, P908.
    let verdict = judged(&parcel(json!({"regime": "ADR", "findings": ["F12"]})));
    assert!(
        verdict
            .packing
            .iter()
            .any(|step| step.text.contains("absorbent"))
    );
}

fn offered(parcel: &Parcel) -> Vec<(String, VerdictCode)> {
    judged(parcel)
        .alternatives
        .into_iter()
        .map(|alternative| (alternative.change, alternative.verdict))
        .collect()
}

fn offers(parcel: &Parcel, change: &str, verdict: VerdictCode) {
    let offered = offered(parcel);
    assert!(
        offered
            .iter()
            .any(|(text, code)| text.contains(change) && *code == verdict),
        "{change}: {offered:?}"
    );
}

#[test]
fn what_must_not_go_as_a_cell_nor_as_a_battery_must_not_go_when_nobody_said_which() {
    // 57.7 Wh is too much for a single cell, and three batteries are one too many for a mailpiece (Pub 52, 349).
    let post = |cells: serde_json::Value| {
        parcel(json!({
            "mode": "POST_DOMESTIC", "carrier": "USPS", "ship_date": "2025-12-31", "gross_g_per_package": 900,
            "device_status": "NEW_SEALED", "devices_per_package": 3, "wh_label": 57.7, "findings": [], "cells_per_unit": cells,
        }))
    };
    for cells in [json!(1), json!(3), json!(null)] {
        let verdict = judged(&post(cells.clone())).verdict;
        assert_eq!(verdict, VerdictCode::Forbidden, "{cells} cells");
    }
}

#[test]
fn the_nearest_lawful_ways_are_offered() {
    use VerdictCode::{DdrGround, Marked, Ordinary};
    let air = |changes: serde_json::Value| {
        let mut all = json!({"mode": "AIR_PAX"});
        for (name, value) in changes.as_object().unwrap() {
            all[name] = value.clone();
        }
        parcel(all)
    };
    offers(&air(json!({"wh_label": 21.285})), "by road instead", Marked);
    offers(
        &air(json!({"findings": ["F10"]})),
        "by road instead",
        DdrGround,
    );
    offers(
        &air(json!({"findings": ["F02"]})),
        "without its battery",
        Ordinary,
    );
    offers(
        &air(json!({"findings": ["F02"]})),
        "finds it sound",
        Ordinary,
    );
    offers(
        &air(json!({"config": "PACKED_WITH", "spare_sets": 1})),
        "take the spare out",
        Ordinary,
    );
    offers(
        &air(json!({"config": "PACKED_WITH", "soc_rated_pct": 80})),
        "discharged to 30 %",
        Marked,
    );
    offers(
        &parcel(json!({"devices_per_package": 9})),
        "at most 4 in a package",
        Ordinary,
    );
    offers(
        &parcel(json!({"mode": "POST_DOMESTIC", "carrier": "USPS", "devices_per_package": 9})),
        "at most 8 in a package",
        Marked,
    );
    offers(
        &parcel(json!({"packages_per_consignment": 3})),
        "at most 2 packages",
        Ordinary,
    );
}

#[test]
fn nothing_is_offered_for_a_cell_that_is_reacting() {
    for findings in [json!(["F30"]), json!(["F31"]), json!(["F02", "F31"])] {
        assert_eq!(offered(&parcel(json!({"findings": findings}))), []);
    }
}

mod bridge {
    use std::collections::BTreeSet;

    use super::super::{FindingCode, codes_of};
    use crate::cells::book::RuleBook;
    use crate::cells::{CellCheck, CellFinding};

    fn codes(check: Option<&CellCheck>) -> BTreeSet<FindingCode> {
        codes_of(RuleBook::shipped(), check)
    }

    fn seen(finding: CellFinding, voltage_mv: Option<u32>) -> CellCheck {
        CellCheck {
            findings: BTreeSet::from([finding]),
            voltage_mv,
            cells_in_series: Some(1),
            surface_tenths_c: Some(220),
            room_tenths_c: Some(215),
            ..CellCheck::default()
        }
    }

    #[test]
    fn no_check_is_a_battery_not_seen() {
        assert_eq!(codes(None), BTreeSet::from([FindingCode::F02]));
        assert_eq!(
            codes(Some(&CellCheck::default())),
            BTreeSet::from([FindingCode::F02])
        );
    }

    #[test]
    fn only_a_seen_and_measured_cell_without_fault_is_sound() {
        let sound = seen(CellFinding::NothingWrong, Some(3_800));
        assert_eq!(codes(Some(&sound)), BTreeSet::from([FindingCode::F00]));
        let unmeasured = seen(CellFinding::NothingWrong, None);
        assert_eq!(codes(Some(&unmeasured)), BTreeSet::from([FindingCode::F02]));
    }

    #[test]
    fn a_low_voltage_is_undiagnosed_and_a_lower_one_is_damage() {
        let at = |mv| codes(Some(&seen(CellFinding::NothingWrong, Some(mv))));
        assert!(at(2_499).contains(&FindingCode::F06));
        assert!(!at(2_500).contains(&FindingCode::F06));
        assert!(at(1_499).contains(&FindingCode::F17));
        assert!(!at(1_500).contains(&FindingCode::F17));
    }

    #[test]
    fn every_finding_of_the_bench_keeps_its_weight() {
        use super::super::Condition;
        for finding in CellFinding::ALL {
            let level = crate::cells::judge(&seen(*finding, Some(3_800))).level;
            let condition = super::super::condition(&codes(Some(&seen(*finding, Some(3_800)))));
            match level {
                crate::cells::BenchLevel::Emergency => assert_eq!(condition, Condition::Critical),
                crate::cells::BenchLevel::Isolate => assert_eq!(condition, Condition::Ddr),
                crate::cells::BenchLevel::Watch => {
                    assert_eq!(condition, Condition::Undiagnosed, "{}", finding.code());
                }
                crate::cells::BenchLevel::Clear => {}
            }
        }
    }
}
