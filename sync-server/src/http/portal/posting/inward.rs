//! How a shop packs the parcel it has announced: the engine's verdict over everything that the announced devices may hold.
//!
//! What the shop read of a battery's rating is taken as it stands, and what it did not say stays unknown: a box with such a battery is
//! held. Where only the number of cells is open, the question is asked for one cell, for several and for a mix of both, and the worst
//! answer is the one that is shown. Nothing here speaks for batteries that are loose, damaged or that nobody has seen.

use domain::cells::book::{RuleBody, RuleBook};
use domain::cells::energy_text;
use domain::cells::transport::{
    Carrier, Chem, Config, Contents, DeviceStatus, FindingCode, Millionths, Mode, Parcel, Purpose,
    Regime, Verdict, judge_parcel,
};
use domain::fact::{AdvisedBattery, AdvisedCells};
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

/// An announced device, as far as its shop described its battery.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::http::portal) struct Announced {
    /// Maker and model.
    pub(in crate::http::portal) name: String,
    /// What the shop read of the rating.
    pub(in crate::http::portal) battery: AdvisedBattery,
}

/// The verdict for an announced parcel, and what it supposes.
pub(in crate::http::portal) struct Inward {
    /// The worst of what the devices may hold.
    pub(in crate::http::portal) verdict: Verdict,
    /// What it supposes, and what is not known, in sentences.
    pub(in crate::http::portal) supposes: String,
}

/// More volts than one lithium-ion cell has, so that a battery with them has several in a row. Own derivation: the highest charge
/// voltage of such a cell is 4.5 V.
const SEVERAL_CELLS_MV: u32 = 5_000;

/// Judges a box with these used devices, from one country to another by road. `None` for a country without rules here.
pub(in crate::http::portal) fn judge(
    book: &RuleBook,
    from: &str,
    to: &str,
    devices: &[Announced],
    on: Date,
) -> Option<Inward> {
    let regime = regime_of(book, from, on)?;
    let batteries: Vec<AdvisedBattery> = devices.iter().map(|device| device.battery).collect();
    let worst = |batteries: &[AdvisedBattery]| {
        boxes(batteries)
            .into_iter()
            .map(|contents| judge_parcel(book, &parcel(regime, to, contents, on)))
            .max_by_key(|verdict| (verdict.verdict, verdict.marks.len()))
    };
    let verdict = worst(&batteries)?;
    let way = format!("in one or two boxes by road, from {from} to {to}.");
    let unrated: Vec<&str> = devices
        .iter()
        .filter(|device| device.battery.rating.energy_uwh().is_none())
        .map(|device| device.name.as_str())
        .collect();
    let supposes = if unrated.is_empty() {
        let largest = batteries
            .iter()
            .filter_map(|one| one.rating.energy_uwh())
            .max();
        format!(
            "This is for used devices with sound lithium-ion batteries inside, rated as you gave them (at most {}), {way}",
            energy_text(largest.unwrap_or_default()),
        )
    } else {
        let body = match regime {
            Regime::UsHmr => RuleBody::UsHmr,
            Regime::Adr => RuleBody::Adr,
        };
        let in_force = book.on(on);
        let cell = in_force.value("SM.CELL.WH", body)?;
        let battery = in_force.value("SM.BATT.WH", body)?;
        let small: Vec<AdvisedBattery> = batteries
            .iter()
            .map(|one| at_most(*one, [cell, battery]))
            .collect();
        format!(
            "Nobody gave the watt-hours of {}: hold the box until they are known. They stand on the battery or in its maker’s data \
             sheet; the lab may know them, too. If each is at most {} Wh in one cell, or {} Wh in two or more: {}, for used devices \
             with sound lithium-ion batteries inside, {way}",
            listed(&unrated),
            Millionths(cell),
            Millionths(battery),
            worst(&small)?.words,
        )
    };
    Some(Inward { verdict, supposes })
}

/// What an unrated battery would be at the largest size that counts as small.
fn at_most(battery: AdvisedBattery, [cell, several]: [i64; 2]) -> AdvisedBattery {
    if battery.rating.energy_uwh().is_some() {
        return battery;
    }
    let most = match battery.cells {
        Some(AdvisedCells::More) => several,
        _ => cell,
    };
    let mut small = battery;
    small.rating.label_uwh = u64::try_from(most).ok();
    small
}

/// "a, b and c".
fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// The boxes that these batteries may make: where the number of cells is open, all of one, all of several, and a mix.
fn boxes(batteries: &[AdvisedBattery]) -> Vec<Vec<Contents>> {
    let known = |battery: &AdvisedBattery| {
        let has_several = battery
            .rating
            .nominal_mv
            .is_some_and(|mv| mv >= SEVERAL_CELLS_MV);
        battery.cells.or(has_several.then_some(AdvisedCells::More))
    };
    let with = |choose: fn(usize) -> AdvisedCells| {
        let mut open = 0;
        batteries
            .iter()
            .map(|battery| {
                let cells = known(battery).unwrap_or_else(|| {
                    open += 1;
                    choose(open)
                });
                contents(battery, cells)
            })
            .collect()
    };
    vec![
        with(|_| AdvisedCells::One),
        with(|_| AdvisedCells::More),
        with(|number| {
            if number == 1 {
                AdvisedCells::One
            } else {
                AdvisedCells::More
            }
        }),
    ]
}

fn contents(battery: &AdvisedBattery, cells: AdvisedCells) -> Contents {
    let rating = battery.rating;
    Contents {
        chem: Chem::LiIon,
        cells_per_unit: Some(match cells {
            AdvisedCells::One => 1,
            AdvisedCells::More => 2,
        }),
        wh_label: rating
            .label_uwh
            .and_then(|uwh| i64::try_from(uwh).ok())
            .map(Millionths),
        mv: rating.nominal_mv.map(i64::from),
        mah: rating.capacity_mah.map(i64::from),
        config: Some(Config::Contained),
        units_in_devices: Some(1),
        spare_sets: Some(0),
        devices_per_package: Some(1),
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
