//! Times, money and routes as a person at a counter says them.

use domain::calendar::Zone;
use domain::cells::energy_text;
use domain::fact::{AdvisedBattery, AdvisedCells, Blemish, Face, ParcelFinding};
use domain::job::Station;
use domain::money::Money;
use domain::parcel::{Direction, ParcelStage};
use domain::shop_view::ShopParcel;

/// A moment: as said, and exactly.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Moment {
    /// `today, 14:02`.
    pub(super) said: String,
    /// `2026-11-25 14:02 Europe/Vienna`, for the pointer.
    pub(super) exact: String,
    /// `2026-11-25T13:02:00Z`, for programs.
    pub(super) machine: String,
}

/// Prints moments on the lab's wall clock.
#[derive(Debug, Clone)]
pub(super) struct Times {
    zone: Option<Zone>,
    now_ms: i64,
}

impl Times {
    /// A zone that isn't known leaves times in UTC.
    pub(super) fn new(zone: Option<Zone>, now_ms: i64) -> Self {
        Self {
            zone: zone.or_else(|| "UTC".parse().ok()),
            now_ms,
        }
    }

    /// A moment in ms since 1970.
    pub(super) fn moment(&self, at_ms: u64) -> Moment {
        let at_ms = i64::try_from(at_ms).unwrap_or(i64::MAX);
        let machine = jiff::Timestamp::from_millisecond(at_ms).map_or_else(
            |_| String::new(),
            |at| at.strftime("%Y-%m-%dT%H:%M:%SZ").to_string(),
        );
        let Some(zone) = &self.zone else {
            return Moment {
                said: machine.clone(),
                exact: machine.clone(),
                machine,
            };
        };
        let (Ok(local), Ok(days)) = (zone.local(at_ms), zone.days_between(at_ms, self.now_ms))
        else {
            return Moment {
                said: machine.clone(),
                exact: machine.clone(),
                machine,
            };
        };
        let clock = local.strftime("%H:%M").to_string();
        let said = match days {
            0 => format!("today, {clock}"),
            1 => format!("yesterday, {clock}"),
            2..=300 => format!("{}, {clock}", local.strftime("%a %-d %b")),
            _ => local.strftime("%-d %b %Y").to_string(),
        };
        let exact = format!("{} {}", local.strftime("%Y-%m-%d %H:%M"), zone.name());
        Moment {
            said,
            exact,
            machine,
        }
    }

    /// A day given as `2026-11-25`, said as `Wed 25 Nov 2026`; as given if it is no day.
    #[expect(
        clippy::unused_self,
        reason = "templates print every time through the same value"
    )]
    pub(super) fn day(&self, date: &str) -> String {
        date.parse::<jiff::civil::Date>().map_or_else(
            |_| date.to_owned(),
            |day| day.strftime("%a %-d %b %Y").to_string(),
        )
    }
}

/// An amount, as `120.00 EUR`.
pub(super) fn money(amount: &Money) -> String {
    amount.to_string()
}

/// A station in a shop's words.
pub(super) const fn station(station: Station) -> &'static str {
    match station {
        Station::Advice => "Announced",
        Station::Dock => "Received",
        Station::CellCheck => "Battery checked",
        Station::LookOver => "Looked over",
        Station::Before => "Tested as it came",
        Station::Quote => "Quote answered",
        Station::Work => "Repair",
        Station::After => "Tested after the work",
        Station::Report => "Report written",
        Station::Outbound => "Sent back",
    }
}

/// What is seen on a parcel.
pub(super) const fn parcel_finding(finding: ParcelFinding) -> &'static str {
    match finding {
        ParcelFinding::Sound => "undamaged",
        ParcelFinding::Crushed => "crushed",
        ParcelFinding::Wet => "wet",
        ParcelFinding::Opened => "opened on the way",
        ParcelFinding::Retaped => "taped again by someone",
        ParcelFinding::Torn => "torn",
        ParcelFinding::Bulging => "bulging",
        ParcelFinding::Warm => "warm",
        ParcelFinding::Smoking => "smoking or smelling",
        ParcelFinding::Other => "something else",
    }
}

/// A face of a device.
pub(super) const fn face(face: Face) -> &'static str {
    match face {
        Face::Front => "front",
        Face::Back => "back",
        Face::TopEdge => "top edge",
        Face::BottomEdge => "bottom edge",
        Face::LeftEdge => "left edge",
        Face::RightEdge => "right edge",
    }
}

/// A mark on a case.
pub(super) const fn blemish(blemish: Blemish) -> &'static str {
    match blemish {
        Blemish::Scratch => "scratch",
        Blemish::Crack => "crack",
        Blemish::Dent => "dent",
        Blemish::Chip => "chip",
        Blemish::Bend => "bend",
        Blemish::MissingPart => "piece missing",
        Blemish::Stain => "stain or corrosion",
        Blemish::Lifted => "loose or lifted",
        Blemish::Other => "mark",
    }
}

/// Where a parcel is, in a sentence.
pub(super) const fn parcel_state(parcel: &ShopParcel) -> &'static str {
    match (parcel.direction, parcel.stage) {
        (Direction::Inward, ParcelStage::Advised) => "Announced; not here yet.",
        (Direction::Inward, ParcelStage::Received) => "Here; being opened and counted.",
        (Direction::Inward, _) => "Opened and counted.",
        (Direction::Outward, ParcelStage::Shipped) => "On its way back to you.",
        (Direction::Outward, _) => "Being packed for its way back to you.",
    }
}

/// `1 device`, `3 devices`.
pub(super) fn devices(count: usize) -> String {
    if count == 1 {
        "1 device".to_owned()
    } else {
        format!("{count} devices")
    }
}

/// A device's name at the head of a line: `Phone Lumo M2`.
pub(super) fn device_name(device: &str) -> String {
    let mut letters = device.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => "Device not described yet".to_owned(),
    }
}

/// What a shop read of a battery's rating, such as `17.30 Wh, one cell`; empty where it read nothing.
pub(super) fn battery(battery: &AdvisedBattery) -> String {
    let cells = battery.cells.map(|cells| match cells {
        AdvisedCells::One => "one cell",
        AdvisedCells::More => "two cells or more",
    });
    let energy = battery.rating.energy_uwh().map(energy_text);
    let parts: Vec<String> = energy.into_iter().chain(cells.map(str::to_owned)).collect();
    parts.join(", ")
}
