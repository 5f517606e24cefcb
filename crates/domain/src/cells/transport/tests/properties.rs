//! What must hold for every parcel.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::{judged, mark_codes, parcel};
use crate::cells::transport::{FindingCode, Parcel, VerdictCode};

fn one_of(values: &[&'static str]) -> BoxedStrategy<Value> {
    prop::sample::select(values.to_vec())
        .prop_map(Value::from)
        .boxed()
}

fn maybe(values: BoxedStrategy<Value>) -> BoxedStrategy<Value> {
    prop_oneof![5 => values, 1 => Just(Value::Null)].boxed()
}

fn findings() -> impl Strategy<Value = Value> {
    prop::collection::btree_set(prop::sample::select(FindingCode::ALL), 0..3)
        .prop_map(|codes| json!(codes))
}

prop_compose! {
    fn where_and_how()(
        regime in one_of(&["US_HMR", "ADR"]),
        mode in one_of(&["GROUND", "AIR_PAX", "AIR_CARGO", "POST_DOMESTIC", "POST_INTL"]),
        carrier in one_of(&["none", "USPS", "UPS", "FEDEX", "ROYAL_MAIL", "other"]),
        purpose in one_of(&["RETURN", "REPAIR_IN", "RECYCLE"]),
        date in one_of(&["2025-12-31", "2026-03-01", "2026-12-31"]),
        packages in maybe(prop_oneof![Just(json!(1)), Just(json!(2)), Just(json!(3))].boxed()),
        gross in maybe(prop_oneof![Just(json!(900)), Just(json!(6_000)), Just(json!(31_000))].boxed()),
    ) -> Value {
        json!({"regime": regime, "mode": mode, "carrier": carrier, "purpose": purpose, "ship_date": date,
            "packages_per_consignment": packages, "gross_g_per_package": gross})
    }
}

prop_compose! {
    fn what()(
        chem in one_of(&["LI_ION", "LI_METAL", "NA_ION", "HYBRID", "UNKNOWN"]),
        cells in maybe(prop_oneof![Just(json!(1)), Just(json!(3))].boxed()),
        wh in maybe(prop_oneof![Just(json!(2.5)), Just(json!(9)), Just(json!(19.4)), Just(json!(57.7)), Just(json!(120)), Just(json!(400))].boxed()),
        grams in maybe(prop_oneof![Just(json!(0.5)), Just(json!(1.4)), Just(json!(3))].boxed()),
        config in maybe(one_of(&["CONTAINED", "PACKED_WITH", "ALONE"])),
        units in maybe((1_i64..4).prop_map(|n| json!(n)).boxed()),
        spares in maybe((0_i64..4).prop_map(|n| json!(n)).boxed()),
        devices in maybe((1_i64..10).prop_map(|n| json!(n)).boxed()),
        net in maybe(prop_oneof![Just(json!(90)), Just(json!(5_001))].boxed()),
        findings in findings(),
        charge in maybe(prop_oneof![Just(json!(20)), Just(json!(30)), Just(json!(80))].boxed()),
        status in maybe(one_of(&["NEW_SEALED", "MFR_CERTIFIED", "USED"])),
    ) -> Value {
        json!({"chem": chem, "cells_per_unit": cells, "wh_label": wh, "li_grams": grams, "config": config,
            "units_in_devices": units, "spare_sets": spares, "devices_per_package": devices,
            "battery_net_g_per_package": net, "findings": findings, "soc_rated_pct": charge,
            "soc_indicated_pct": charge, "device_status": status, "battery_original": status != "USED"})
    }
}

fn merged(a: &Value, b: &Value) -> Value {
    let mut all = a.clone();
    for (name, value) in b.as_object().unwrap() {
        all[name] = value.clone();
    }
    all
}

/// How free the parcel is. Both “hold” and “road only under the damaged-battery provisions” need a trained shipper: neither is
/// better than the other.
fn freedom(parcel: &Parcel) -> u8 {
    match judged(parcel).verdict {
        VerdictCode::Ordinary => 3,
        VerdictCode::Marked => 2,
        VerdictCode::Hold | VerdictCode::DdrGround => 1,
        VerdictCode::Forbidden => 0,
    }
}

/// Every value that a field may take instead of being unknown.
fn known_values(field: &str) -> Vec<Value> {
    match field {
        "cells_per_unit" => vec![json!(1), json!(3)],
        "wh_label" => vec![
            json!(2.5),
            json!(9),
            json!(19.4),
            json!(57.7),
            json!(120),
            json!(400),
        ],
        "li_grams" => vec![json!(0.5), json!(1.4), json!(3)],
        "config" => vec![json!("CONTAINED"), json!("PACKED_WITH"), json!("ALONE")],
        "units_in_devices" | "devices_per_package" | "packages_per_consignment" => {
            (1..4).map(|n| json!(n)).collect()
        }
        "spare_sets" => (0..4).map(|n| json!(n)).collect(),
        "soc_rated_pct" | "soc_indicated_pct" => vec![json!(10), json!(30), json!(80)],
        "device_status" => vec![json!("NEW_SEALED"), json!("MFR_CERTIFIED"), json!("USED")],
        "battery_original" | "powered_off" => vec![json!(true), json!(false)],
        "gross_g_per_package" => vec![json!(500), json!(2_000), json!(31_000)],
        "battery_net_g_per_package" => vec![json!(90), json!(5_001)],
        "chem" => ["LI_ION", "LI_METAL", "NA_ION", "HYBRID"]
            .map(Value::from)
            .to_vec(),
        other => panic!("{other} has no values"),
    }
}

const FIELDS: [&str; 15] = [
    "cells_per_unit",
    "wh_label",
    "li_grams",
    "config",
    "units_in_devices",
    "devices_per_package",
    "packages_per_consignment",
    "spare_sets",
    "soc_rated_pct",
    "soc_indicated_pct",
    "device_status",
    "battery_original",
    "powered_off",
    "gross_g_per_package",
    "battery_net_g_per_package",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_worse_finding_never_improves_a_verdict(how in where_and_how(), what in what(), more in prop::sample::select(FindingCode::ALL)) {
        // A finding that says the battery is fine is not a worse one.
        prop_assume!(!matches!(more, FindingCode::F00 | FindingCode::F01));
        let question = merged(&how, &what);
        // Nothing found at all already counts as not diagnosed.
        prop_assume!(question["findings"] != json!([]) || more.condition().is_some());
        let mut worse = parcel(question.clone());
        worse.contents[0].findings.insert(more);
        prop_assert!(freedom(&worse) <= freedom(&parcel(question)), "{more:?}");
    }

    #[test]
    fn an_unknown_never_gives_a_better_verdict_than_the_best_known_value(how in where_and_how(), what in what(), field in prop::sample::select(FIELDS.to_vec())) {
        let question = merged(&how, &what);
        let best = known_values(field)
            .into_iter()
            .map(|value| freedom(&parcel(merged(&question, &json!({field: value})))))
            .max()
            .unwrap();
        let unknown = freedom(&parcel(merged(&question, &json!({field: null}))));
        prop_assert!(unknown <= best, "{field}: {unknown} against {best}");
    }

    #[test]
    fn an_unknown_chemistry_never_helps(how in where_and_how(), what in what()) {
        let question = merged(&how, &what);
        let best = known_values("chem")
            .into_iter()
            .map(|value| freedom(&parcel(merged(&question, &json!({"chem": value})))))
            .max()
            .unwrap();
        let unknown = freedom(&parcel(merged(&question, &json!({"chem": "UNKNOWN"}))));
        prop_assert!(unknown <= best);
    }

    #[test]
    fn the_order_of_the_contents_does_not_matter(how in where_and_how(), mut lines in prop::collection::vec(what(), 1..4)) {
        let of = |lines: &[Value]| -> Parcel {
            serde_json::from_value(merged(&how, &json!({"contents": lines}))).unwrap()
        };
        let forward = judged(&of(&lines));
        lines.reverse();
        let mut backward = judged(&of(&lines));
        // Sentences about what is not known come in the order of the contents; as a set they are the same.
        let mut expected = forward.clone();
        expected.unknowns.sort();
        backward.unknowns.sort();
        prop_assert_eq!(expected, backward);
    }

    #[test]
    fn more_devices_never_need_fewer_marks(how in where_and_how(), what in what(), devices in 1_i64..12) {
        let with = |count: i64| {
            let mut question = merged(&how, &what);
            question["devices_per_package"] = json!(count);
            judged(&parcel(question))
        };
        let (fewer, more) = (with(devices), with(devices + 1));
        prop_assert!(more.verdict == VerdictCode::Forbidden || mark_codes(&fewer).is_subset(&mark_codes(&more)));
        prop_assert!(more.verdict >= fewer.verdict);
    }

    #[test]
    fn an_alternative_is_always_better_and_may_go(how in where_and_how(), what in what()) {
        let verdict = judged(&parcel(merged(&how, &what)));
        for alternative in &verdict.alternatives {
            prop_assert!(alternative.verdict < verdict.verdict);
            prop_assert!(!matches!(alternative.verdict, VerdictCode::Hold | VerdictCode::Forbidden));
        }
    }

    #[test]
    fn no_air_and_no_post_for_what_is_not_known_to_be_sound(how in where_and_how(), what in what()) {
        let question = parcel(merged(&how, &what));
        let sound = crate::cells::transport::condition(&question.contents[0].findings)
            == crate::cells::transport::Condition::Sound;
        if !sound && question.mode != crate::cells::transport::Mode::Ground {
            prop_assert!(freedom(&question) <= 1);
        }
    }
}
