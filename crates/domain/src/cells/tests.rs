//! Unit cases. Published watt-hours are in the outside checks.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::rules::{RULES, Step, When};
use super::*;

/// A phone's cell that was seen and measured, with nothing wrong.
fn sound() -> CellCheck {
    CellCheck {
        findings: BTreeSet::from([CellFinding::NothingWrong]),
        voltage_mv: Some(3850),
        cells_in_series: Some(1),
        surface_tenths_c: Some(224),
        room_tenths_c: Some(220),
        chemistry: Chemistry::LiIon,
        rating: Rating {
            label_uwh: Some(17_325_000),
            charge_max_mv: Some(4400),
            ..Rating::default()
        },
        ..CellCheck::default()
    }
}

fn with(change: impl FnOnce(&mut CellCheck)) -> CellCheck {
    let mut check = sound();
    change(&mut check);
    check
}

fn finding(finding: CellFinding) -> CellCheck {
    with(|check| check.findings = BTreeSet::from([finding]))
}

/// The level, and the rule that gave it.
fn check(given: &CellCheck, level: BenchLevel, rule: &str) {
    let judgement = judge(given);
    let first = judgement.reasons.first().map(|reason| reason.rule.as_str());
    assert_eq!(
        (judgement.level, first),
        (level, Some(rule)),
        "{given:?}\n{judgement:?}"
    );
}

#[test]
fn a_cell_that_was_seen_and_measured_is_clear() {
    check(&sound(), BenchLevel::Clear, "B50");
    assert_eq!(judge(&sound()).unknowns, Vec::<String>::new());
    assert!(judge(&sound()).actions.is_empty());
}

#[test]
fn every_finding_has_its_level() {
    use BenchLevel::{Clear, Emergency, Isolate, Watch};
    for &(code, level, rule) in &[
        (CellFinding::NothingWrong, Clear, "B50"),
        (CellFinding::Missing, Clear, "B51"),
        (CellFinding::NotSeen, Watch, "B36"),
        (CellFinding::WaterNearIt, Watch, "B34"),
        (CellFinding::HardDrop, Watch, "B32"),
        (CellFinding::LosesCharge, Watch, "B33"),
        (CellFinding::NotTheMakers, Watch, "B35"),
        (CellFinding::Swollen, Isolate, "B10"),
        (CellFinding::Pierced, Isolate, "B11"),
        (CellFinding::Bent, Isolate, "B12"),
        (CellFinding::Leaking, Isolate, "B13"),
        (CellFinding::SolventSmell, Isolate, "B14"),
        (CellFinding::Burnt, Isolate, "B15"),
        (CellFinding::Vented, Isolate, "B16"),
        (CellFinding::ConnectorCorroded, Isolate, "B17"),
        (CellFinding::BareConductor, Isolate, "B18"),
        (CellFinding::ProtectionFault, Isolate, "B19"),
        (CellFinding::WaterReachedIt, Isolate, "B20"),
        (CellFinding::Recalled, Isolate, "B21"),
        (CellFinding::Burning, Emergency, "B01"),
        (CellFinding::Smoking, Emergency, "B02"),
        (CellFinding::Hissing, Emergency, "B03"),
        (CellFinding::Hot, Emergency, "B04"),
        (CellFinding::Warming, Emergency, "B05"),
    ] {
        check(&finding(code), level, rule);
    }
}

#[test]
fn every_finding_has_a_rule_and_every_rule_an_id_of_its_own() {
    for finding in CellFinding::ALL {
        assert!(
            RULES
                .iter()
                .any(|rule| rule.when == When::Finding(*finding)),
            "{}",
            finding.code()
        );
    }
    let ids: BTreeSet<&str> = RULES.iter().map(|rule| rule.id).collect();
    assert_eq!(ids.len(), RULES.len());
    assert!(
        RULES
            .iter()
            .all(|rule| rule.level == BenchLevel::Clear || !rule.steps.is_empty())
    );
    assert_eq!(rules().len(), RULES.len(), "every rule has its row");
}

#[test]
fn the_revision_that_papers_name_is_that_of_the_rows() {
    assert_eq!(judge(&sound()).rules_revision, RULES_REVISION);
    assert_eq!(
        book::BenchRules::of(book::RuleBook::shipped()).revision(),
        RULES_REVISION
    );
}

#[test]
fn a_newer_row_of_the_lab_moves_a_threshold() {
    let shipped = book::RuleBook::shipped();
    let mut row = shipped
        .latest()
        .row("BENCH.DEEP", book::RuleBody::Bench)
        .expect("shipped")
        .clone();
    row.value = Some(2_800);
    let low = with(|check| check.voltage_mv = Some(2_700));
    assert_eq!(judge(&low).level, BenchLevel::Clear);
    let stricter = shipped.with_updates(&[row]);
    assert_eq!(judge_by(&stricter, &low).level, BenchLevel::Watch);
}

#[test]
fn codes_are_stored_as_they_are_named() {
    for finding in CellFinding::ALL {
        let json = serde_json::to_string(finding).expect("json");
        assert_eq!(json, format!("\"{}\"", finding.code()));
    }
}

#[test]
fn the_worst_finding_wins() {
    let both = with(|check| {
        check.findings = BTreeSet::from([CellFinding::NotTheMakers, CellFinding::Swollen]);
    });
    check(&both, BenchLevel::Isolate, "B10");
    assert_eq!(judge(&both).reasons.len(), 2);
}

#[test]
fn what_is_unknown_is_never_taken_for_good() {
    use BenchLevel::Watch;
    check(&CellCheck::default(), Watch, "B37");
    check(&with(|check| check.findings.clear()), Watch, "B37");
    check(&with(|check| check.voltage_mv = None), Watch, "B40");
    check(&with(|check| check.cells_in_series = None), Watch, "B41");
    check(&with(|check| check.cells_in_series = Some(0)), Watch, "B41");
    check(&with(|check| check.surface_tenths_c = None), Watch, "B42");
    check(&with(|check| check.room_tenths_c = None), Watch, "B42");
    assert_eq!(judge(&CellCheck::default()).unknowns.len(), 7);
}

#[test]
fn a_check_that_contradicts_itself_is_not_clear() {
    let both = BTreeSet::from([CellFinding::NothingWrong, CellFinding::Missing]);
    check(
        &with(|check| check.findings = both),
        BenchLevel::Watch,
        "B38",
    );
}

#[test]
fn voltage_limits_are_those_of_one_cell() {
    use BenchLevel::{Clear, Isolate, Watch};
    let volts = |mv, cells| {
        with(|check| {
            check.voltage_mv = Some(mv);
            check.cells_in_series = cells;
            check.rating.charge_max_mv = None;
        })
    };
    check(&volts(0, Some(1)), Isolate, "B22");
    check(&volts(1499, Some(1)), Isolate, "B22");
    check(&volts(1500, Some(1)), Watch, "B30");
    check(&volts(2499, Some(1)), Watch, "B30");
    check(&volts(2500, Some(1)), Clear, "B50");
    check(&volts(4499, Some(3)), Isolate, "B22");
    check(&volts(7499, Some(3)), Watch, "B30");
    check(&volts(7500, Some(3)), Clear, "B50");
    // How many cells there are is not known: too low for one is too low for several.
    check(&volts(1400, None), Isolate, "B22");
    check(&volts(7500, None), Watch, "B41");
}

#[test]
fn a_cell_above_its_marked_maximum_is_isolated() {
    use BenchLevel::{Clear, Isolate, Watch};
    let volts = |mv, marked| {
        with(|check| (check.voltage_mv, check.rating.charge_max_mv) = (Some(mv), marked))
    };
    check(&volts(4400, Some(4400)), Clear, "B50");
    check(&volts(4401, Some(4400)), Isolate, "B23");
    check(&volts(4250, None), Clear, "B50");
    check(&volts(4251, None), Watch, "B31");
    check(&volts(4500, None), Watch, "B31");
    check(&volts(4501, None), Isolate, "B24");
}

#[test]
fn a_cell_warmer_than_the_room_counts_as_heating_itself() {
    use BenchLevel::{Clear, Emergency};
    let degrees = |surface, room| {
        with(|check| (check.surface_tenths_c, check.room_tenths_c) = (Some(surface), Some(room)))
    };
    check(&degrees(269, 220), Clear, "B50");
    check(&degrees(270, 220), Emergency, "B07");
    check(&degrees(600, 220), Emergency, "B06");
    check(
        &with(|check| (check.surface_tenths_c, check.room_tenths_c) = (Some(600), None)),
        Emergency,
        "B06",
    );
    let unmeasured = |surface| {
        with(|check| (check.surface_tenths_c, check.room_tenths_c) = (Some(surface), None))
    };
    check(&unmeasured(349), BenchLevel::Watch, "B42");
    check(&unmeasured(350), Emergency, "B07");
    let reason = &judge(&degrees(412, 220)).reasons[0].text;
    assert!(
        reason.starts_with("the surface has 41.2 °C in a room of 22.0 °C"),
        "{reason}"
    );
}

#[test]
fn a_warmth_from_outside_isolates_until_it_is_gone() {
    use BenchLevel::{Emergency, Isolate};
    let warm = |surface| {
        with(|check| {
            (check.surface_tenths_c, check.warmed_by) = (Some(surface), Some(WarmedBy::Journey));
        })
    };
    check(&warm(280), Isolate, "B08");
    assert!(
        judge(&warm(280))
            .actions
            .iter()
            .any(|action| action.contains("do the cell check anew"))
    );
    // It explains neither real heat nor a cell with anything else against it.
    check(&warm(600), Emergency, "B06");
    let swollen = CellCheck {
        findings: BTreeSet::from([CellFinding::Swollen]),
        ..warm(280)
    };
    check(&swollen, Emergency, "B07");
}

#[test]
fn an_emergency_says_to_leave_and_never_to_handle_the_cell() {
    for code in [
        CellFinding::Burning,
        CellFinding::Smoking,
        CellFinding::Hissing,
        CellFinding::Hot,
        CellFinding::Warming,
    ] {
        let all = with(|check| {
            check.findings = BTreeSet::from([code, CellFinding::Leaking, CellFinding::Swollen]);
        });
        let actions = judge(&all).actions;
        let words = [
            Step::Leave,
            Step::CloseDoor,
            Step::Alarm,
            Step::CallFireService,
            Step::StayOut,
        ]
        .map(Step::words);
        assert_eq!(actions, words);
        let text = actions.join(" ").to_lowercase();
        for handling in [
            "move",
            "cover",
            "carry",
            "put",
            "sand",
            "water",
            "container",
            "bay",
            "tape",
        ] {
            assert!(!text.contains(handling), "{handling} in {text}");
        }
    }
}

#[test]
fn an_isolated_cell_gets_its_steps_in_order() {
    let actions = judge(&finding(CellFinding::Leaking)).actions;
    let place = |words: &str| {
        actions
            .iter()
            .position(|action| action.contains(words))
            .unwrap_or_else(|| panic!("{words}"))
    };
    assert_eq!(place("Stop"), 0);
    assert!(
        place("gloves") < place("Soak up")
            && place("Soak up") < place("container")
            && place("container") < place("Cell bay")
    );
    assert_eq!(
        judge(&finding(CellFinding::Leaking)).recheck_minutes,
        [60, 240, 1440]
    );
}

#[test]
fn a_missing_cell_is_searched_for_and_not_measured() {
    let judgement = judge(&CellCheck {
        findings: BTreeSet::from([CellFinding::Missing]),
        ..CellCheck::default()
    });
    assert_eq!(judgement.level, BenchLevel::Clear);
    assert!(judgement.actions[0].contains("Search the parcel"));
    assert!(judgement.unknowns.is_empty());
}

#[test]
fn typed_values_are_read_with_their_units() {
    for text in [
        "3200 mAh",
        "3200",
        "3.2 Ah",
        "3,2 Ah",
        "3,200 mAh",
        "3'200mah",
        "3 200 mAh",
    ] {
        assert_eq!(parse_capacity_mah(text), Ok(3200), "{text}");
    }
    for text in ["3.85 V", "3,85", "3850 mV", "3.850 v", "3,850 mV"] {
        assert_eq!(parse_voltage_mv(text), Ok(3850), "{text}");
    }
    for text in ["17.325 Wh", "17,325 mWh", "17.325"] {
        assert_eq!(parse_energy_uwh(text), Ok(17_325_000), "{text}");
    }
    for text in ["23.5 °C", "23,5", "23.5C", "74.3 F"] {
        assert_eq!(parse_temperature_tenths_c(text), Ok(235), "{text}");
    }
    assert_eq!(parse_temperature_tenths_c("-5 °C"), Ok(-50));
    assert_eq!(parse_temperature_tenths_c("140 °F"), Ok(600));
    assert_eq!(parse_voltage_mv("0"), Ok(0));
}

#[test]
fn an_absurd_value_is_refused_with_what_was_probably_meant() {
    let capacity = |text| parse_capacity_mah(text).expect_err(text).to_string();
    assert_eq!(
        capacity("3,200 Ah"),
        "a capacity of “3,200 Ah” can't be right: it must lie between 5 mAh and 60000 mAh; did you mean 3200 mAh?"
    );
    assert!(capacity("3.2 mAh").ends_with("did you mean 3.2 Ah?"));
    let voltage = |text| parse_voltage_mv(text).expect_err(text).to_string();
    assert_eq!(
        voltage("3850"),
        "a voltage of “3850” can't be right: it must lie between 0 V and 75 V; did you mean 3850 mV?"
    );
    assert!(voltage("3.8505 V").contains("more decimals"));
    assert_eq!(
        voltage("full"),
        "“full” is not a voltage; write it like 3.85 V"
    );
    assert!(
        parse_energy_uwh("19400")
            .expect_err("too much")
            .to_string()
            .contains("did you mean 19400 mWh?")
    );
    assert!(
        parse_temperature_tenths_c("9000")
            .expect_err("too hot")
            .to_string()
            .contains("between -50 °C and 1000 °C")
    );
    for text in [
        "",
        "Ah",
        "-3 Ah",
        "3.2.1 Ah",
        "é",
        "99999999999999999999",
        "1e3",
    ] {
        assert!(parse_capacity_mah(text).is_err(), "{text}");
    }
}

#[test]
fn the_printed_energy_rules_over_the_product() {
    let rating = Rating {
        label_uwh: Some(20_000_000),
        nominal_mv: Some(3850),
        capacity_mah: Some(5200),
        charge_max_mv: None,
    };
    assert_eq!(rating.energy_uwh(), Some(20_000_000));
    assert_eq!(rating.product_uwh(), Some(20_020_000));
    assert_eq!(Rating::default().energy_uwh(), None);
}

#[test]
fn an_older_check_without_newer_fields_still_reads() {
    let read: CellCheck = serde_json::from_str(r#"{"findings":["swollen"],"voltage_mv":3850}"#)
        .expect("defaults fill in");
    assert_eq!(judge(&read).level, BenchLevel::Isolate);
}

fn any_check() -> impl Strategy<Value = CellCheck> {
    let findings = prop::collection::btree_set(prop::sample::select(CellFinding::ALL), 0..4);
    let readings = (
        prop::option::of(0_u32..20_000),
        prop::option::of(0_u8..5),
        prop::option::of(-200_i32..1000),
        prop::option::of(-200_i32..400),
        prop::option::of(prop::sample::select(vec![
            WarmedBy::Journey,
            WarmedBy::Running,
            WarmedBy::Charging,
        ])),
        prop::option::of(3000_u32..18_000),
    );
    (findings, readings).prop_map(
        |(findings, (voltage_mv, cells_in_series, surface, room, warmed_by, marked))| CellCheck {
            findings,
            voltage_mv,
            cells_in_series,
            surface_tenths_c: surface,
            room_tenths_c: room,
            warmed_by,
            rating: Rating {
                charge_max_mv: marked,
                ..Rating::default()
            },
            ..CellCheck::default()
        },
    )
}

/// The level a finding calls for by itself.
fn level_of(finding: CellFinding) -> BenchLevel {
    RULES
        .iter()
        .find(|rule| rule.when == When::Finding(finding))
        .expect("every finding has a rule")
        .level
}

proptest! {
    #[test]
    fn a_further_finding_of_anything_amiss_never_improves_the_level(given in any_check(), more in prop::sample::select(CellFinding::ALL)) {
        prop_assume!(level_of(more) > BenchLevel::Clear);
        let mut worse = given.clone();
        worse.findings.insert(more);
        prop_assert!(judge(&worse).level >= judge(&given).level.max(level_of(more)));
    }

    #[test]
    fn a_reading_left_out_never_makes_it_clear(given in any_check(), which in 0..4) {
        // A cell that is missing has no readings to leave out.
        prop_assume!(given.findings != BTreeSet::from([CellFinding::Missing]));
        let mut unknown = given.clone();
        match which {
            0 => unknown.voltage_mv = None,
            1 => unknown.cells_in_series = None,
            2 => unknown.surface_tenths_c = None,
            _ => unknown.room_tenths_c = None,
        }
        prop_assert!(judge(&given).level == BenchLevel::Clear || judge(&unknown).level > BenchLevel::Clear);
    }

    #[test]
    fn a_judgement_has_reasons_and_says_what_to_do(given in any_check()) {
        let judgement = judge(&given);
        prop_assert!(!judgement.reasons.is_empty());
        prop_assert_eq!(judgement.reasons[0].level, judgement.level);
        prop_assert!(judgement.level == BenchLevel::Clear || !judgement.actions.is_empty());
        prop_assert_eq!(judgement.actions.first().map(String::as_str) == Some(Step::Leave.words()), judgement.level == BenchLevel::Emergency);
    }

    #[test]
    fn any_text_is_read_without_a_fall(text in "\\PC{0,12}") {
        let _ = (parse_capacity_mah(&text), parse_voltage_mv(&text), parse_energy_uwh(&text), parse_temperature_tenths_c(&text));
    }

    #[test]
    fn any_number_is_read_without_a_fall(text in "[-0-9.,' ]{0,24} ?(Ah|mAh|V|mV|Wh|mWh|F|C)?") {
        let _ = (parse_capacity_mah(&text), parse_voltage_mv(&text), parse_energy_uwh(&text), parse_temperature_tenths_c(&text));
    }
}
