//! Heat, alloys, wires and moisture against published tables.
//!
//! Sources, also in `vectors/rework.json`: IPC/JEDEC J-STD-020 tables as reprinted by component makers (Diodes/Pericom reflow
//! sheet, TDK data sheet, Microchip soldering profile; dtsheet 1654354 for revision C); J-STD-033 floor life as widely
//! reprinted and bake hours at eesemi.com (older revision); Indium Corporation's list of alloys; resistance of copper wire from
//! the International Annealed Copper Standard, with the printed figures of two wire tables (HyperPhysics; an NBS-style table).

use domain::rework::{
    Exposure, Finish, JumperReading, Moisture, MoistureLevel, PackageBody, Wire, alloy_named,
    bake_hours, floor_life, judge_jumper, peak_limit_c,
};
use serde_json::Value;

use super::vector_files::{list, number, text, vectors};

fn float(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// The nearest whole thousandth: the tables print three decimals at most.
fn thousandths(value: &Value) -> u32 {
    format!("{:.0}", float(value) * 1000.0)
        .parse()
        .expect("a small number")
}

#[test]
fn each_package_has_the_peak_of_its_thickness_and_volume() {
    for case in list(&vectors("rework.json"), "peak_cases") {
        let body = PackageBody {
            length_um: thousandths(&case["l_mm"]),
            width_um: thousandths(&case["w_mm"]),
            thickness_um: thousandths(&case["h_mm"]),
        };
        let limit_c = peak_limit_c(Finish::LeadFree, body);
        assert_eq!(i64::from(limit_c), number(&case["Tc_PbFree"]), "{case}");
    }
}

#[test]
fn alloys_melt_where_their_maker_says() {
    for case in list(&vectors("rework.json"), "alloys") {
        let name = text(case, "alloy");
        let short = name.split(' ').next().expect("a name");
        let alloy = alloy_named(short).unwrap_or_else(|| panic!("{name} is not known"));
        assert_eq!(
            i64::from(alloy.solidus_c),
            number(&case["solidus_C"]),
            "{name}"
        );
        assert_eq!(
            i64::from(alloy.liquidus_c),
            number(&case["liquidus_C"]),
            "{name}"
        );
        let from_memory = case.get("from_memory").is_some();
        assert_eq!(alloy.source.contains("from memory"), from_memory, "{name}");
    }
}

#[test]
fn floor_life_is_that_of_the_table() {
    let vectors = vectors("rework.json");
    let hours = &vectors["moisture"]["floor_life_hours"];
    for level in MoistureLevel::ALL {
        let expected = hours[level.label()].as_u64();
        assert_eq!(level.hours().map(u64::from), expected, "{}", level.label());
    }
}

fn instant_ms(value: &Value) -> i64 {
    let text = value.as_str().expect("an instant");
    let instant: jiff::Timestamp = text.parse().expect("an instant");
    instant.as_millisecond()
}

#[test]
fn the_clock_runs_only_in_the_open_and_its_last_minute_counts() {
    let vectors = vectors("rework.json");
    for case in list(&vectors["moisture"], "clock_cases") {
        assert_eq!(text(case, "msl"), "3");
        let exposure = |opened: &str, closed: Option<&str>| Exposure {
            opened_ms: instant_ms(&case[opened]),
            closed_ms: closed.map(|closed| instant_ms(&case[closed])),
        };
        let exposures = if case.get("resealed").is_some() {
            vec![
                exposure("opened", Some("resealed")),
                exposure("reopened", None),
            ]
        } else {
            vec![exposure("opened", None)]
        };
        let moisture = Moisture {
            level: MoistureLevel::L3,
            label_hours: None,
            exposures,
            baked_ms: None,
            history_unknown: false,
        };
        let life = floor_life(&moisture, instant_ms(&case["checked"]));
        assert_eq!(Some(life.usable), case["ok"].as_bool(), "{case}");
        let minutes = life.exposed_ms / 60_000;
        let expected: i64 = format!("{:.0}", float(&case["exposed_hours"]) * 60.0)
            .parse()
            .expect("minutes");
        assert_eq!(minutes, expected, "{case}");
    }
}

#[test]
fn bake_hours_are_those_of_the_reprinted_table() {
    let vectors = vectors("rework.json");
    let table = &vectors["moisture"]["bake_user_site_125C_hours"];
    for (thickness, thickness_um) in [("<=1.4mm", 1400), ("<=2.0mm", 2000)] {
        for level in MoistureLevel::ALL {
            let row = &table[thickness][level.label()];
            // A row from memory holds text, and is left out of the program.
            let expected = row[0].as_u64().zip(row[1].as_u64());
            let found = bake_hours(*level, thickness_um)
                .map(|hours| (u64::from(hours.saturated), u64::from(hours.little_over)));
            assert_eq!(found, expected, "{thickness} {}", level.label());
        }
    }
}

/// Compares micro-ohms with ohms of a table that prints so many digits after the point.
fn check_ohm(what: &str, micro_ohm: i64, ohm: f64, tolerance: f64) {
    let micro: f64 = micro_ohm.to_string().parse().expect("a number");
    let found = micro / 1e6;
    assert!(
        (found - ohm).abs() <= tolerance,
        "{what}: {found} is not {ohm}"
    );
}

#[test]
fn wire_reads_what_the_wire_tables_print() {
    const TENTH_M_UM: u32 = 100_000;
    for case in list(&vectors("rework.json"), "wire_awg") {
        let wire = Wire::Awg {
            number: number(&case["awg"]).try_into().expect("a gauge"),
        };
        let micro_ohm = wire.expected_micro_ohm(TENTH_M_UM, 200).expect("a wire");
        let what = wire.words();
        check_ohm(&what, micro_ohm * 10, float(&case["ohm_per_m_20C"]), 6e-5);
        if let Some(printed) = case.get("printed_ohm_per_m") {
            // The two printed tables differ from the formula by up to 0.03 %.
            let printed = float(printed);
            check_ohm(&what, micro_ohm * 10, printed, printed * 3e-4);
        }
    }
    for case in list(&vectors("rework.json"), "wire_metric") {
        let wire = Wire::Diameter {
            diameter_um: thousandths(&case["diameter_mm"]).try_into().expect("thin"),
        };
        let micro_ohm = wire.expected_micro_ohm(TENTH_M_UM, 200).expect("a wire");
        check_ohm(
            &wire.words(),
            micro_ohm * 10,
            float(&case["ohm_per_m_20C"]),
            6e-4,
        );
    }
}

#[test]
fn jumpers_of_known_wire_read_what_was_computed_elsewhere() {
    for case in list(&vectors("rework.json"), "jumper_cases") {
        let wire = Wire::Diameter {
            diameter_um: thousandths(&case["diameter_mm"]).try_into().expect("thin"),
        };
        let tenths = i32::try_from(number(&case["temp_C"]) * 10).expect("small");
        let expected = wire
            .expected_micro_ohm(thousandths(&case["length_mm"]), tenths)
            .expect("a wire");
        check_ohm(
            &case.to_string(),
            expected,
            float(&case["expected_mohm"]) / 1e3,
            6e-6,
        );
        let reading = JumperReading {
            measured_micro_ohm: expected,
            leads_micro_ohm: 0,
            meter_micro_ohm: 0,
        };
        assert!(judge_jumper(&reading, expected).accepted);
    }
}
