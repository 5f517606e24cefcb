//! Every limit just under, at, and just over, in the smallest unit that is kept.

use serde_json::json;

use super::{judged, mark_codes, parcel};
use crate::cells::transport::{Flag, VerdictCode};

use VerdictCode::{Forbidden, Hold, Marked, Ordinary};

/// The verdict for a value one below the limit, at it, and one above it.
fn edge(
    at: i64,
    question: impl Fn(i64) -> serde_json::Value,
    keeps: VerdictCode,
    breaks: VerdictCode,
) {
    for (value, verdict) in [(at - 1, keeps), (at, keeps), (at + 1, breaks)] {
        let found = judged(&parcel(question(value)));
        assert_eq!(found.verdict, verdict, "at {value}: {:?}", found.rules);
    }
}

/// Microwatt-hours or micrograms as the decimal number that the question takes.
fn decimal(millionths: i64) -> serde_json::Value {
    json!(format!(
        "{}.{:06}",
        millionths / 1_000_000,
        millionths % 1_000_000
    ))
}

#[test]
fn a_small_cell_ends_at_20_wh_and_a_small_battery_at_100_wh() {
    // 49 CFR 173.185(c)(1)(i); PI 967.
    for mode in ["AIR_PAX", "AIR_CARGO"] {
        edge(
            20_000_000,
            |uwh| json!({"mode": mode, "wh_label": decimal(uwh)}),
            Ordinary,
            Hold,
        );
        edge(
            100_000_000,
            |uwh| json!({"mode": mode, "cells_per_unit": 6, "wh_label": decimal(uwh), "battery_net_g_per_package": 500}),
            Ordinary,
            Hold,
        );
    }
    // ADR 2025, SP 188.
    edge(
        20_000_000,
        |uwh| json!({"regime": "ADR", "wh_label": decimal(uwh)}),
        Ordinary,
        Hold,
    );
    edge(
        100_000_000,
        |uwh| json!({"regime": "ADR", "cells_per_unit": 6, "wh_label": decimal(uwh)}),
        Ordinary,
        Hold,
    );
    edge(
        20_000_000,
        |uwh| json!({"regime": "ADR", "chem": "NA_ION", "wh_label": decimal(uwh)}),
        Ordinary,
        Hold,
    );
    edge(
        100_000_000,
        |uwh| json!({"regime": "ADR", "chem": "NA_ION", "cells_per_unit": 6, "wh_label": decimal(uwh)}),
        Ordinary,
        Hold,
    );
    // IMM 135.6.
    edge(
        20_000_000,
        |uwh| json!({"mode": "POST_INTL", "device_status": "NEW_SEALED", "wh_label": decimal(uwh)}),
        Ordinary,
        Forbidden,
    );
}

#[test]
fn the_road_of_the_states_takes_60_and_300_wh() {
    // 49 CFR 173.185(c)(1)(iv).
    edge(
        20_000_000,
        |uwh| json!({"wh_label": decimal(uwh)}),
        Ordinary,
        Marked,
    );
    edge(
        60_000_000,
        |uwh| json!({"wh_label": decimal(uwh)}),
        Marked,
        Hold,
    );
    edge(
        100_000_000,
        |uwh| json!({"cells_per_unit": 6, "wh_label": decimal(uwh)}),
        Ordinary,
        Marked,
    );
    edge(
        300_000_000,
        |uwh| json!({"cells_per_unit": 6, "wh_label": decimal(uwh)}),
        Marked,
        Hold,
    );
}

#[test]
fn lithium_metal_is_small_up_to_1_and_2_g_and_goes_by_road_up_to_5_and_25_g() {
    // 49 CFR 173.185(c)(1)(ii), (iv).
    let metal = |cells: i64| move |ug: i64| json!({"chem": "LI_METAL", "cells_per_unit": cells, "wh_label": null, "li_grams": decimal(ug)});
    edge(1_000_000, metal(1), Ordinary, Marked);
    edge(2_000_000, metal(2), Ordinary, Marked);
    edge(5_000_000, metal(1), Marked, Hold);
    edge(25_000_000, metal(2), Marked, Hold);
}

#[test]
fn a_hybrid_battery_is_small_up_to_1_5_g_and_10_wh() {
    // 49 CFR 172.102 SP 388; ADR SP 387.
    for regime in ["US_HMR", "ADR"] {
        edge(
            1_500_000,
            |ug| json!({"regime": regime, "chem": "HYBRID", "cells_per_unit": 2, "wh_label": 9, "li_grams": decimal(ug)}),
            Ordinary,
            Hold,
        );
        edge(
            10_000_000,
            |uwh| json!({"regime": regime, "chem": "HYBRID", "cells_per_unit": 2, "wh_label": decimal(uwh), "li_grams": 1.4}),
            Ordinary,
            Hold,
        );
    }
}

#[test]
fn products_count_without_rounding() {
    // 49 CFR 171.8: volts times ampere-hours. 3.85 V and 5200 mAh are 20.02 Wh, 5194 mAh are 19.9969 Wh.
    let cell =
        |mah: i64| parcel(json!({"mode": "AIR_PAX", "wh_label": null, "mv": 3850, "mah": mah}));
    assert_eq!(judged(&cell(5_194)).verdict, Ordinary);
    assert_eq!(judged(&cell(5_195)).verdict, Hold);
    let exactly = parcel(json!({"mode": "AIR_PAX", "wh_label": null, "mv": 4000, "mah": 5000}));
    assert_eq!(judged(&exactly).verdict, Ordinary);
}

#[test]
fn of_two_printed_capacities_the_larger_counts() {
    let two = parcel(
        json!({"mode": "AIR_PAX", "wh_label": null, "mv": 3850, "mah": 5100, "mah_second": 5200}),
    );
    assert_eq!(judged(&two).verdict, Hold);
}

#[test]
fn a_battery_of_one_cell_is_a_cell() {
    let of = |cells: i64| {
        judged(&parcel(
            json!({"mode": "AIR_PAX", "wh_label": 22.2, "cells_per_unit": cells}),
        ))
        .verdict
    };
    assert_eq!((of(1), of(2)), (Hold, Ordinary));
}

#[test]
fn the_mark_is_needed_from_the_fifth_cell_the_third_battery_and_the_third_package() {
    // 49 CFR 173.185(c)(3); ADR SP 188(f); PI 967.
    for (regime, mode) in [
        ("US_HMR", "GROUND"),
        ("ADR", "GROUND"),
        ("US_HMR", "AIR_PAX"),
    ] {
        let with = |name: &'static str, cells: i64| {
            move |count: i64| {
                let mut question = json!({"regime": regime, "mode": mode, "cells_per_unit": cells});
                question[name] = json!(count);
                question
            }
        };
        edge(4, with("devices_per_package", 1), Ordinary, Marked);
        edge(2, with("devices_per_package", 2), Ordinary, Marked);
        edge(2, with("packages_per_consignment", 1), Ordinary, Marked);
    }
}

#[test]
fn button_cells_in_equipment_need_no_mark_in_any_number_of_packages() {
    let button = json!({"chem": "LI_METAL", "button": true, "wh_label": null, "li_grams": 0.1, "units_in_devices": 9, "packages_per_consignment": 40});
    assert_eq!(judged(&parcel(button)).verdict, Ordinary);
}

#[test]
fn the_mail_takes_8_cells_2_batteries_and_5_pounds() {
    // Publication 52, 349.242 to 349.244.
    let mail = |cells: i64| move |count: i64| json!({"mode": "POST_DOMESTIC", "carrier": "USPS", "cells_per_unit": cells, "devices_per_package": count});
    edge(8, mail(1), Marked, Forbidden);
    edge(2, mail(2), Marked, Forbidden);
    edge(
        2_268,
        |grams| json!({"mode": "POST_DOMESTIC", "carrier": "USPS", "config": "ALONE", "device_status": "NEW_SEALED", "gross_g_per_package": grams}),
        Marked,
        Forbidden,
    );
    // IMM 135.6.
    let abroad = |cells: i64| move |count: i64| json!({"mode": "POST_INTL", "device_status": "NEW_SEALED", "cells_per_unit": cells, "devices_per_package": count});
    edge(4, abroad(1), Ordinary, Forbidden);
    edge(2, abroad(2), Ordinary, Forbidden);
}

#[test]
fn loose_ones_weigh_30_kg_at_most() {
    // 49 CFR 173.185(c)(1)(vii); ADR SP 188(h).
    for regime in ["US_HMR", "ADR"] {
        edge(
            30_000,
            |grams| json!({"regime": regime, "config": "ALONE", "gross_g_per_package": grams}),
            Marked,
            Hold,
        );
    }
}

#[test]
fn by_air_5_kg_of_batteries_and_two_spare_sets_are_the_most() {
    // PI 966 and 967, Section II.
    edge(
        5_000,
        |grams| json!({"mode": "AIR_PAX", "gross_g_per_package": 9_000, "battery_net_g_per_package": grams}),
        Ordinary,
        Hold,
    );
    edge(
        5_000,
        |grams| json!({"mode": "AIR_PAX", "config": "PACKED_WITH", "gross_g_per_package": 9_000, "battery_net_g_per_package": grams}),
        Marked,
        Hold,
    );
    edge(
        2,
        |sets| json!({"mode": "AIR_PAX", "config": "PACKED_WITH", "spare_sets": sets}),
        Marked,
        Hold,
    );
}

#[test]
fn a_heavy_package_of_the_states_gets_the_words_about_passenger_aircraft() {
    // 49 CFR 173.185(c)(1)(iii).
    let has_words = |grams: i64| {
        let verdict = judged(&parcel(
            json!({"gross_g_per_package": 9_000, "battery_net_g_per_package": grams}),
        ));
        mark_codes(&verdict).contains("T-PAX")
    };
    assert_eq!([4_999, 5_000, 5_001].map(has_words), [false, false, true]);
}

#[test]
fn the_charge_is_30_percent_at_most_alone_and_packed_with() {
    // SP A100; PI 966 from 1 January 2026.
    edge(
        30,
        |charge| json!({"mode": "AIR_CARGO", "config": "ALONE", "soc_rated_pct": charge}),
        Hold,
        Forbidden,
    );
    edge(
        30,
        |charge| json!({"mode": "AIR_PAX", "config": "PACKED_WITH", "soc_rated_pct": charge}),
        Marked,
        Forbidden,
    );
    edge(
        2_700_000,
        |uwh| json!({"mode": "AIR_PAX", "config": "PACKED_WITH", "soc_rated_pct": 100, "wh_label": decimal(uwh)}),
        Marked,
        Forbidden,
    );
}

#[test]
fn a_lower_charge_in_the_device_is_advice_by_air() {
    // PI 967.
    let advised = |rated: i64, shown: i64| {
        judged(&parcel(
            json!({"mode": "AIR_PAX", "soc_rated_pct": rated, "soc_indicated_pct": shown}),
        ))
        .flags
        .contains(&Flag::AdviceSoc)
    };
    assert_eq!(
        [advised(30, 26), advised(31, 25), advised(31, 26)],
        [false, false, true]
    );
}

#[test]
fn ups_takes_used_phones_up_to_25_percent_shown() {
    edge(
        25,
        |charge| json!({"carrier": "UPS", "soc_indicated_pct": charge}),
        Ordinary,
        Hold,
    );
}

#[test]
fn the_printed_mark_has_its_least_measures() {
    // 49 CFR 173.185(c)(3)(i)(A).
    let marked = |width: i64, height: i64, hatching: i64, small: bool| {
        judged(&parcel(json!({"devices_per_package": 9, "printed_mark": {
            "width_mm": width, "height_mm": height, "hatching_mm": hatching, "phone_number": false,
            "added_inside": false, "folded_over_edge": false, "package_too_small": small}})))
        .verdict
    };
    assert_eq!(
        [
            marked(99, 100, 5, false),
            marked(100, 100, 5, false),
            marked(101, 101, 5, false)
        ],
        [Hold, Marked, Marked]
    );
    assert_eq!(
        [
            marked(100, 69, 5, true),
            marked(100, 70, 5, true),
            marked(70, 100, 5, true)
        ],
        [Hold, Marked, Marked]
    );
    assert_eq!(
        [marked(100, 100, 4, false), marked(100, 100, 6, false)],
        [Hold, Marked]
    );
}

#[test]
fn words_about_aircraft_are_larger_above_30_kg_and_where_nobody_weighed() {
    // 49 CFR 173.185(c)(1)(v).
    let height = |grams: serde_json::Value| {
        let question = json!({"gross_g_per_package": grams, "battery_net_g_per_package": 6_000});
        let verdict = judged(&parcel(question));
        let words = verdict
            .marks
            .into_iter()
            .find(|mark| mark.code == "T-PAX")
            .unwrap();
        words.letter_height_mm
    };
    assert_eq!(
        [
            height(json!(30_000)),
            height(json!(30_001)),
            height(json!(null))
        ],
        [Some(6), Some(12), Some(12)]
    );
}

#[test]
fn an_unknown_mass_is_bounded_by_the_energy_and_held_above_it() {
    // 50 Wh in a kilogram at least: 19.4 Wh weigh 389 g at most; 40 tablets of 38 Wh may weigh 30 kg.
    let question = |devices: i64, wh: f64| json!({"mode": "AIR_PAX", "gross_g_per_package": null, "battery_net_g_per_package": null, "cells_per_unit": 2, "wh_label": wh, "devices_per_package": devices});
    assert_eq!(judged(&parcel(question(1, 19.4))).verdict, Ordinary);
    assert_eq!(judged(&parcel(question(40, 38.0))).verdict, Hold);
}
