//! Watt-hours of cells against published examples and arithmetic done elsewhere.
//!
//! `vectors/battery.json`: watt-hours to two decimals for six ratings. The products in microwatt-hours, and the published
//! examples among them, are named beside each row.

use domain::cells::{Rating, energy_text};

use super::vector_files::{list, number, vectors};

/// 100 Wh, the limit that the vectors name.
const LIMIT_UWH: u64 = 100_000_000;

fn rating(nominal_mv: u32, capacity_mah: u32) -> Rating {
    Rating {
        nominal_mv: Some(nominal_mv),
        capacity_mah: Some(capacity_mah),
        ..Rating::default()
    }
}

#[test]
fn watt_hours_are_those_computed_elsewhere() {
    for case in list(&vectors("battery.json"), "watt_hours") {
        let volts = case["nominal_V"].as_f64().expect("volts");
        // The vectors give volts with at most two decimals, so the nearest millivolt is exact.
        let nominal_mv = format!("{:.0}", volts * 1000.0)
            .parse()
            .expect("millivolts");
        let uwh = rating(nominal_mv, number(&case["mAh"]).try_into().expect("small"))
            .energy_uwh()
            .expect("both known");
        let expected = case["Wh"].as_f64().expect("watt-hours");
        assert_eq!(energy_text(uwh), format!("{expected:.2} Wh"));
        assert_eq!(Some(uwh <= LIMIT_UWH), case["within_100Wh"].as_bool());
    }
}

#[test]
fn published_products_are_exact() {
    for (nominal_mv, capacity_mah, uwh) in [
        // 3.7 V, 6 Ah: 22.2 Wh, wiki.gefahrgutberater.de.
        (3700, 6000, 22_200_000),
        // 22.2 V, 2000 mAh: 44.4 Wh, transport classification report RZUN2024-3321-2.
        (22_200, 2000, 44_400_000),
        // 40 V, 2 Ah: 80 Wh, blog.thecompliancecenter.com.
        (40_000, 2000, 80_000_000),
        // 20 V, 1.3 Ah: 26 Wh, and 20 V, 6 Ah: 120 Wh, polexp.com instructions for lithium ion batteries.
        (20_000, 1300, 26_000_000),
        (20_000, 6000, 120_000_000),
        // 7.4 V, 1100 mAh: PHMSA letter 14-0218 gives the figures, the product is derived here.
        (7400, 1100, 8_140_000),
        // Just over and just under a limit, where rounding would decide: derived here.
        (3850, 5200, 20_020_000),
        (11_400, 8755, 99_807_000),
        (11_550, 8660, 100_023_000),
    ] {
        assert_eq!(rating(nominal_mv, capacity_mah).energy_uwh(), Some(uwh));
    }
}
