//! One parcel, inward or outward: what its entries add up to.
//!
//! Like a job, a parcel folds from its own entries alone, in any order.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::fact::{
    Fact, GivenVerdict, ParcelAdvice, ParcelCount, ParcelFinding, ParcelFindingRecord,
    ParcelReceipt, ParcelRelease, PhotoAdded, Shipment, Tracking, TransportDecision, TransportPlan,
};
use crate::ids::{EntryId, JobId, ParcelId, ShopId};
use crate::job::Marked;
use crate::job::fold::{marked, pick, register, standing_entries};
use crate::recorded::Recorded;
use crate::reference::ParcelRef;
use crate::register::Register;

/// Which way a parcel goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Direction {
    /// From a shop.
    Inward,
    /// To a shop.
    Outward,
}

/// Where a parcel is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum ParcelStage {
    /// Announced, not here.
    Advised,
    /// Here, not counted.
    Received,
    /// Counted.
    Counted,
    /// A return parcel being packed.
    Packing,
    /// A return parcel that has left.
    Shipped,
}

impl ParcelStage {
    /// The word on screens.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Advised => "advised",
            Self::Received => "received, not counted",
            Self::Counted => "counted",
            Self::Packing => "being packed",
            Self::Shipped => "shipped",
        }
    }
}

/// All of one parcel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Parcel {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Its reference for people.
    pub reference: String,
    /// Which way it goes.
    pub direction: Direction,
    /// Where it is.
    pub stage: ParcelStage,
    /// The shop it is from or for, once known.
    pub shop_id: Option<ShopId>,
    /// The shop's notice.
    pub advice: Option<Marked<ParcelAdvice>>,
    /// Its tracking number.
    pub tracking: Register<Tracking>,
    /// When it came in.
    pub received: Option<Marked<ParcelReceipt>>,
    /// What was seen on it, oldest first.
    pub findings: Vec<Marked<ParcelFindingRecord>>,
    /// True when a finding says that it must not be opened, and no trained person has found it safe since.
    pub danger: bool,
    /// Why a trained person found it safe to open, if one did.
    pub released: Option<Marked<ParcelRelease>>,
    /// Photos of it, oldest first.
    pub photos: Vec<Marked<PhotoAdded>>,
    /// The count that stands: the last.
    pub count: Option<Marked<ParcelCount>>,
    /// Devices announced for it.
    pub expected: Vec<JobId>,
    /// Devices inside: found at the count, or packed.
    pub inside: Vec<JobId>,
    /// Its weight in grams, once weighed.
    pub grams: Option<u32>,
    /// How it goes, as said last.
    pub transport: Option<Marked<TransportPlan>>,
    /// What a trained shipper decided last.
    pub decision: Option<Marked<TransportDecision>>,
    /// The verdict with which it left.
    pub verdict: Option<Marked<GivenVerdict>>,
    /// When it left.
    pub shipped: Option<Marked<Shipment>>,
    /// When it was begun or announced, in milliseconds since 1970.
    pub begun_at_ms: u64,
    /// When something last happened to it, in milliseconds since 1970.
    pub last_at_ms: u64,
    /// True when a newer program recorded something that must not be ignored.
    pub read_only: bool,
}

/// Folds the entries of one parcel.
pub fn fold_parcel(parcel_id: ParcelId, entries: &[Recorded]) -> Parcel {
    let standing = standing_entries(entries);
    let opened = last(&standing, pick!(ParcelOpened));
    let advice = last(&standing, pick!(ParcelAdvised));
    let chosen_shop = register(&standing, pick!(ParcelShopSet));
    let received = last(&standing, pick!(ParcelReceived));
    let count = last(&standing, pick!(ParcelCounted));
    let shipped = last(&standing, pick!(ParcelShipped));
    let findings = marked(&standing, pick!(ParcelFindingRecorded));
    let released: BTreeSet<EntryId> = standing
        .iter()
        .filter(|recorded| matches!(recorded.fact(), Some(Fact::ParcelReleased(_))))
        .flat_map(|recorded| recorded.based_on.iter().copied())
        .collect();
    let direction = if opened.is_some() {
        Direction::Outward
    } else {
        Direction::Inward
    };
    let inside = match direction {
        Direction::Outward => packed(&standing),
        Direction::Inward => count.as_ref().map_or(Vec::new(), |count| {
            [&count.value.found[..], &count.value.extra].concat()
        }),
    };
    let stage = match direction {
        Direction::Outward if shipped.is_some() => ParcelStage::Shipped,
        Direction::Outward => ParcelStage::Packing,
        Direction::Inward if count.is_some() => ParcelStage::Counted,
        Direction::Inward if received.is_some() => ParcelStage::Received,
        Direction::Inward => ParcelStage::Advised,
    };
    Parcel {
        parcel_id,
        reference: ParcelRef::of(parcel_id).to_string(),
        direction,
        stage,
        shop_id: chosen_shop
            .value()
            .map(|chosen| chosen.shop_id)
            .or_else(|| opened.map(|opened| opened.value.shop_id))
            .or_else(|| advice.as_ref().map(|advice| advice.value.shop_id)),
        tracking: register(&standing, pick!(ParcelTrackingSet)),
        received,
        danger: findings
            .iter()
            .filter(|record| !released.contains(&record.mark.entry_id))
            .flat_map(|record| &record.value.findings)
            .copied()
            .any(ParcelFinding::is_danger),
        released: last(&standing, pick!(ParcelReleased)),
        findings,
        photos: marked(&standing, pick!(ParcelPhotoAdded)),
        expected: advice
            .as_ref()
            .map_or(Vec::new(), |advice| advice.value.job_ids.clone()),
        advice,
        count,
        inside,
        grams: last(&standing, pick!(ParcelWeighed)).map(|weighed| weighed.value.grams),
        transport: last(&standing, pick!(ParcelTransportSet)),
        decision: last(&standing, pick!(ParcelTransportDecided)),
        verdict: last(&standing, pick!(ParcelVerdictGiven)),
        shipped,
        begun_at_ms: standing.first().map_or(0, |recorded| recorded.stamp.hlc_ms),
        last_at_ms: standing.last().map_or(0, |recorded| recorded.stamp.hlc_ms),
        read_only: standing.iter().any(|recorded| {
            matches!(
                recorded.decoded,
                crate::recorded::Decoded::Unknown {
                    must_not_ignore: true,
                    ..
                }
            )
        }),
    }
}

fn last<'a, T: Clone + 'a>(
    standing: &[&'a Recorded],
    pick: impl Fn(&'a Fact) -> Option<&'a T>,
) -> Option<Marked<T>> {
    marked(standing, pick).into_iter().next_back()
}

/// Devices in a return parcel, in the order they were packed.
fn packed(standing: &[&Recorded]) -> Vec<JobId> {
    let mut inside: Vec<JobId> = Vec::new();
    for recorded in standing {
        match recorded.fact() {
            Some(Fact::ParcelDevicePacked(device)) if !inside.contains(&device.job_id) => {
                inside.push(device.job_id);
            }
            Some(Fact::ParcelDeviceUnpacked(device)) => {
                inside.retain(|job_id| *job_id != device.job_id);
            }
            _ => {}
        }
    }
    inside
}

/// Splits the devices announced for a parcel by what was found in it.
pub fn count(
    expected: &[JobId],
    found: &BTreeSet<JobId>,
    extra: Vec<JobId>,
    note: String,
) -> ParcelCount {
    let (present, missing) = expected.iter().partition(|job_id| found.contains(job_id));
    ParcelCount {
        found: present,
        missing,
        extra,
        note,
    }
}
