//! How a shop packs the parcel it has announced: the engine's verdict over everything that the announced devices may hold.
//!
//! An advice names devices, not watt-hours. So the question is asked for single cells and for batteries of several cells, each at
//! the largest size that counts as small, and for a mix of both; the worst answer is the one that is shown, with what it
//! supposes said beside it. Nothing here speaks for batteries that are larger, loose, damaged or that nobody has seen.

use domain::cells::book::{RuleBody, RuleBook};
use domain::cells::transport::{
    Carrier, Chem, Config, Contents, DeviceStatus, FindingCode, Millionths, Mode, Parcel, Purpose,
    Regime, Verdict, judge_parcel,
};
use jiff::civil::Date;

/// The regime that ground transport from a country starts under; `None` for a country whose rules the book doesn't hold.
pub(in crate::http::portal) fn regime_of(
    book: &RuleBook,
    country: &str,
    on: Date,
) -> Option<Regime> {
    let lists = [
        ("US.COUNTRIES", RuleBody::UsHmr, Regime::UsHmr),
        ("ADR.PARTIES", RuleBody::Adr, Regime::Adr),
    ];
    lists.into_iter().find_map(|(id, body, regime)| {
        let row = book.on(on).row(id, body)?;
        row.codes
            .iter()
            .any(|code| code == country)
            .then_some(regime)
    })
}

/// The verdict for an announced parcel, and what it supposes.
pub(in crate::http::portal) struct Inward {
    /// The worst of what the devices may hold.
    pub(in crate::http::portal) verdict: Verdict,
    /// What it supposes, in a sentence.
    pub(in crate::http::portal) supposes: String,
}

/// Judges a box with this many used devices, from one country to another by road. `None` for a country without rules here.
pub(in crate::http::portal) fn judge(
    book: &RuleBook,
    from: &str,
    to: &str,
    devices: usize,
    on: Date,
) -> Option<Inward> {
    let regime = regime_of(book, from, on)?;
    let body = match regime {
        Regime::UsHmr => RuleBody::UsHmr,
        Regime::Adr => RuleBody::Adr,
    };
    let cell = book.on(on).value("SM.CELL.WH", body)?;
    let battery = book.on(on).value("SM.BATT.WH", body)?;
    let all = i64::try_from(devices).ok()?;
    let one = |cells, most, count| contents(cells, Millionths(most), count);
    let mut boxes = vec![vec![one(1, cell, all)], vec![one(2, battery, all)]];
    if all > 1 {
        boxes.push(vec![one(1, cell, 1), one(2, battery, all - 1)]);
    }
    let verdict = boxes
        .into_iter()
        .map(|contents| judge_parcel(book, &parcel(regime, to, contents, on)))
        .max_by_key(|verdict| (verdict.verdict, verdict.marks.len()))?;
    Some(Inward {
        verdict,
        supposes: format!(
            "This is for used devices with sound lithium-ion batteries inside, of at most {} Wh in one cell or {} Wh in two or \
             more, in one or two boxes by road, from {from} to {to}.",
            Millionths(cell),
            Millionths(battery),
        ),
    })
}

fn contents(cells: i64, most: Millionths, devices: i64) -> Contents {
    Contents {
        chem: Chem::LiIon,
        cells_per_unit: Some(cells),
        wh_label: Some(most),
        config: Some(Config::Contained),
        units_in_devices: Some(1),
        spare_sets: Some(0),
        devices_per_package: Some(devices),
        findings: [FindingCode::F01].into(),
        device_status: Some(DeviceStatus::Used),
        powered_off: Some(true),
        ..Contents::default()
    }
}

fn parcel(regime: Regime, to: &str, contents: Vec<Contents>, on: Date) -> Parcel {
    Parcel {
        regime,
        mode: Mode::Ground,
        carrier: Carrier::None,
        ship_date: on,
        purpose: Purpose::RepairIn,
        packages_per_consignment: Some(2),
        gross_g_per_package: None,
        contents,
        destination_country: (!to.is_empty()).then(|| to.to_owned()),
        outside_us_lower_48: None,
        overpack: None,
        printed_mark: None,
        contents_given_twice: false,
    }
}
