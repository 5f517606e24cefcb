//! Edges of the bench figures. The published tables are checked in `tests/src/outside/rework.rs`.

use proptest::prelude::*;

use super::*;

fn seen(peak_c: u16) -> HeatSeen<'static> {
    HeatSeen {
        peak_c,
        measured_at: MeasuredAt::Package,
        seconds: 20,
        above_liquidus_s: None,
        alloy: None,
        body: Some(PackageBody {
            length_um: 10_000,
            width_um: 10_000,
            thickness_um: 1000,
        }),
        pass: 1,
        cell_attached: Some(false),
    }
}

fn check(heat: &HeatSeen<'_>, expected: &[&str]) {
    let warnings = heat_warnings(heat);
    assert_eq!(warnings.len(), expected.len(), "{warnings:?}");
    for (warning, part) in warnings.iter().zip(expected) {
        assert!(warning.text.contains(part), "{}", warning.text);
        assert!(!warning.source.is_empty());
    }
}

#[test]
fn heat_within_its_limits_is_not_spoken_of() {
    check(&seen(245), &[]);
}

#[test]
fn a_cell_that_may_be_there_comes_first() {
    let mut heat = seen(261);
    heat.cell_attached = None;
    check(&heat, &["whether the cell is off", "above the 260 °C"]);
    heat.cell_attached = Some(true);
    check(&heat, &["still attached", "above the 260 °C"]);
}

#[test]
fn the_limit_itself_may_be_reached_but_not_for_long() {
    check(&seen(260), &[]);
    let mut heat = seen(255);
    heat.seconds = 30;
    check(&heat, &[]);
    heat.seconds = 31;
    check(&heat, &["31 s within 5 °C of 260 °C"]);
}

#[test]
fn the_temperature_of_the_tool_is_not_that_of_the_package() {
    let mut heat = seen(380);
    heat.measured_at = MeasuredAt::Tool;
    check(&heat, &["The tool's 380 °C is not the package's"]);
}

#[test]
fn a_fourth_heating_and_a_long_melt_are_named() {
    let mut heat = seen(240);
    heat.alloy = alloy_named("SAC305");
    heat.above_liquidus_s = Some(151);
    heat.pass = 4;
    check(&heat, &["151 s above 220 °C", "number 4"]);
    heat.above_liquidus_s = Some(150);
    heat.pass = 3;
    check(&heat, &[]);
}

#[test]
fn solder_that_was_never_liquid_is_named() {
    let mut heat = seen(200);
    heat.alloy = alloy_named("sac 305");
    check(&heat, &["melts fully at 220 °C"]);
}

#[test]
fn leaded_solder_has_the_lower_ceiling() {
    let mut heat = seen(240);
    heat.alloy = alloy_named("Sn63Pb37");
    check(&heat, &["240 °C on the package is above the 235 °C"]);
}

#[test]
fn an_alloy_is_known_whichever_of_its_elements_is_written_first() {
    for (typed, name) in [
        ("Sn42Bi58", "Bi58Sn42"),
        ("sn 42 / bi 58", "Bi58Sn42"),
        ("Pb37Sn63", "Sn63Pb37"),
        ("Sn42Bi57Ag1", "Bi57Sn42Ag1"),
        ("sac 305", "SAC305"),
    ] {
        assert_eq!(
            alloy_named(typed).map(|alloy| alloy.name),
            Some(name),
            "{typed}"
        );
    }
    for typed in ["Sn58Bi42", "Sn42", "SAC", "", "42"] {
        assert_eq!(alloy_named(typed), None, "{typed}");
    }
}

#[test]
fn bismuth_and_lead_must_not_meet() {
    let named = |name: &str| alloy_named(name).expect("in the table");
    let warning = mixing_warning(&[named("Bi58Sn42"), named("Sn63Pb37")]).expect("a warning");
    assert!(warning.contains("96 °C"), "{warning}");
    assert_eq!(mixing_warning(&[named("Bi58Sn42"), named("SAC305")]), None);
    assert_eq!(mixing_warning(&[named("SAC305"), named("Sn63Pb37")]), None);
    assert_eq!(mixing_warning(&[]), None);
}

#[test]
fn a_wire_that_is_none_says_what_would_be_right() {
    let wire = |wire: Wire, length_um| {
        let error = wire
            .expected_micro_ohm(length_um, 200)
            .expect_err("refused");
        error.to_string()
    };
    assert!(wire(Wire::Awg { number: 12 }, 5000).contains("from 20 to 56"));
    assert!(wire(Wire::Diameter { diameter_um: 2 }, 5000).contains("without the enamel"));
    assert!(wire(Wire::Awg { number: 40 }, 0).contains("0.1 to 500 mm"));
}

fn check_jumper(measured: i64, leads: i64, meter: i64, expected: i64, accepted: bool) {
    let reading = JumperReading {
        measured_micro_ohm: measured,
        leads_micro_ohm: leads,
        meter_micro_ohm: meter,
    };
    let verdict = judge_jumper(&reading, expected);
    assert_eq!(verdict.accepted, accepted, "{}", verdict.words);
}

#[test]
fn a_jumper_is_judged_without_the_leads_of_its_meter() {
    check_jumper(474_400, 200_000, 10_000, 274_400, true);
    check_jumper(474_400, 0, 10_000, 274_400, false);
}

#[test]
fn a_jumper_s_reading_is_said_as_a_meter_shows_it() {
    let words = |measured_micro_ohm, expected| {
        let reading = JumperReading {
            measured_micro_ohm,
            leads_micro_ohm: 0,
            meter_micro_ohm: 0,
        };
        judge_jumper(&reading, expected).words
    };
    let small = words(281_449, 274_399);
    assert!(
        small.contains("281.4 mΩ") && small.contains("274.4 mΩ ± 54.9 mΩ"),
        "{small}"
    );
    assert!(words(1_234_567, 1_200_000).contains("1.235 Ω"));
    assert!(words(-50, 1000).contains("−0.1 mΩ"));
}

#[test]
fn a_jumper_may_differ_by_a_fifth_or_by_the_meter() {
    check_jumper(120_000, 0, 1000, 100_000, true);
    check_jumper(120_001, 0, 1000, 100_000, false);
    check_jumper(79_999, 0, 1000, 100_000, false);
    check_jumper(150_000, 0, 50_000, 100_000, true);
}

const HOUR_MS: i64 = 3_600_000;

fn opened(level: MoistureLevel) -> Moisture {
    Moisture {
        level,
        label_hours: None,
        exposures: vec![Exposure {
            opened_ms: 0,
            closed_ms: None,
        }],
        baked_ms: None,
        history_unknown: false,
    }
}

fn check_floor(moisture: &Moisture, now_ms: i64, usable: bool, words: &str) {
    let life = floor_life(moisture, now_ms);
    assert_eq!(life.usable, usable, "{}", life.words);
    assert!(life.words.contains(words), "{}", life.words);
}

#[test]
fn the_clock_of_each_level_ends_at_its_hours_and_not_before() {
    for level in MoistureLevel::ALL {
        let Some(hours) = level.hours() else { continue };
        let end_ms = i64::from(hours) * HOUR_MS;
        check_floor(&opened(*level), end_ms, true, "0 h of its");
        check_floor(&opened(*level), end_ms + 1, false, "Bake it");
    }
}

#[test]
fn what_nobody_knows_counts_as_used_up_until_it_is_baked() {
    let mut part = opened(MoistureLevel::L3);
    part.exposures.clear();
    part.history_unknown = true;
    check_floor(&part, 0, false, "unknown history");
    part.baked_ms = Some(10 * HOUR_MS);
    check_floor(&part, 20 * HOUR_MS, true, "168 h of its 168 h");
}

#[test]
fn a_bake_starts_the_clock_anew() {
    let mut part = opened(MoistureLevel::L5a);
    part.baked_ms = Some(100 * HOUR_MS);
    check_floor(&part, 110 * HOUR_MS, true, "14 h of its 24 h");
}

#[test]
fn level_6_is_baked_first_and_then_has_the_hours_of_its_label() {
    let mut part = opened(MoistureLevel::L6);
    check_floor(&part, 0, false, "bake it before use");
    part.baked_ms = Some(0);
    check_floor(&part, HOUR_MS, false, "hours on its label");
    part.label_hours = Some(6);
    check_floor(&part, HOUR_MS, true, "5 h of its 6 h");
}

#[test]
fn level_1_has_no_clock() {
    check_floor(&opened(MoistureLevel::L1), i64::MAX, true, "no floor life");
}

proptest! {
    #[test]
    fn more_time_in_the_open_never_gives_more_floor_life(hours in 0i64..10_000, more in 0i64..10_000) {
        let part = opened(MoistureLevel::L3);
        let (before, after) = (floor_life(&part, hours * HOUR_MS), floor_life(&part, (hours + more) * HOUR_MS));
        prop_assert!(before.usable || !after.usable);
        prop_assert!(after.left_ms.unwrap_or(-1) <= before.left_ms.unwrap_or(-1));
    }

    #[test]
    fn a_longer_or_thinner_or_warmer_wire_never_reads_less(length in 200u32..400_000, number in 20u8..56, tenths in 0i32..600) {
        let read = |wire: Wire, length, tenths| wire.expected_micro_ohm(length, tenths).expect("a wire");
        let wire = Wire::Awg { number };
        let base = read(wire, length, tenths);
        prop_assert!(read(wire, length + 1000, tenths) >= base);
        let thinner = Wire::Awg { number: number + 1 };
        prop_assert!(read(thinner, length, tenths) >= base);
        prop_assert!(read(wire, length, tenths + 10) >= base);
    }

    #[test]
    fn a_thicker_or_larger_body_never_stands_more_heat(sides in proptest::array::uniform3(100u32..60_000), more in 0u32..5000) {
        let [length_um, width_um, thickness_um] = sides;
        let body = PackageBody { length_um, width_um, thickness_um };
        for finish in [Finish::LeadFree, Finish::TinLead] {
            let limit = peak_limit_c(finish, body);
            let longer = PackageBody { length_um: length_um + more, ..body };
            let thicker = PackageBody { thickness_um: thickness_um + more, ..body };
            prop_assert!(peak_limit_c(finish, longer) <= limit);
            prop_assert!(peak_limit_c(finish, thicker) <= limit);
        }
    }
}
