//! Outbound: devices of one shop are scanned into a return parcel, and it leaves.
//!
//! Shipping ends custody and destroys passcodes, in the same transaction.

use domain::cells::transport::label_refusal;
use domain::fact::{
    Fact, JobParcel, JobShipment, ParcelDevice, ParcelOpening, ParcelWeight, Shipment, Tracking,
};
use domain::job::{Job, Passcode, Stage, Station, may_enter};
use domain::parcel::{Direction, Parcel, ParcelStage};
use domain::{JobId, ParcelId, ShopId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::bench::enter;
use super::dock::{ParcelDeviceRow, ParcelView, parcels_at, tracking_of};
use super::{JobRow, Nothing, PaperFile, PaperSize, ParcelRow, ShopBrief};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::passcode;
use crate::rows::tag;
use crate::store::{Filter, Order};

/// A shop with what is ready for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShopGroup {
    /// The shop.
    pub shop: ShopBrief,
    /// Jobs that may be packed.
    pub ready: Vec<JobRow>,
    /// Jobs that are closed, but lack something before they may be packed.
    pub not_ready: Vec<JobRow>,
    /// The return parcel that is open for it, if one is.
    pub open_parcel: Option<ParcelRow>,
}

/// What is ready to go, by shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OutboundView {
    /// Shops with something to pack or an open parcel.
    pub groups: Vec<ShopGroup>,
    /// Return parcels shipped lately, latest first.
    pub shipped: Vec<ParcelRow>,
}

/// Begins a return parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OpenReturnParcel {
    /// The shop it goes to.
    pub shop_id: ShopId,
}

/// Scans a device into a return parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PackDevice {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The job tag's code, as scanned or typed.
    pub scanned: String,
}

/// Takes a device out of a return parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct UnpackDevice {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The device's job.
    pub job_id: JobId,
}

/// Weighs a return parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct WeighParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Grams, as typed.
    pub grams: String,
}

/// Prints a packing slip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PrintPackingSlip {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The page.
    pub size: PaperSize,
}

/// Hands a return parcel to its carrier.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShipParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The tracking number, as scanned or typed.
    pub tracking: String,
    /// The carrier, where the number doesn't tell; may be empty.
    pub carrier: String,
}

/// Shipped parcels shown.
const SHIPPED_SHOWN_MAX: usize = 20;

/// What is ready to go, by shop.
pub fn outbound(desk: &Desk, _: Nothing) -> Result<OutboundView, DeskError> {
    let open = desk.parcel_rows(&parcels_at(ParcelStage::Packing))?;
    let jobs = desk.job_rows(&Filter {
        stages: vec![tag(&Stage::Packing)],
        ..Filter::all("job")
    })?;
    let mut groups = Vec::new();
    for shop in desk.shops()? {
        let (ready, not_ready) = jobs
            .iter()
            .filter(|row| row.shop_id == Some(shop.shop_id))
            .cloned()
            .partition::<Vec<_>, _>(|row| {
                row.next == Some(Station::Outbound) && row.missing.is_empty()
            });
        let open_parcel = open
            .iter()
            .find(|row| row.shop_id == Some(shop.shop_id))
            .cloned();
        if !ready.is_empty() || !not_ready.is_empty() || open_parcel.is_some() {
            groups.push(ShopGroup {
                shop,
                ready,
                not_ready,
                open_parcel,
            });
        }
    }
    let shipped = Filter {
        order: Order::Latest,
        limit: SHIPPED_SHOWN_MAX,
        ..parcels_at(ParcelStage::Shipped)
    };
    let shipped = desk.parcel_rows(&shipped)?;
    Ok(OutboundView { groups, shipped })
}

/// Begins a return parcel for a shop. One is enough until it has left.
pub fn open_return_parcel(desk: &Desk, request: OpenReturnParcel) -> Result<ParcelView, DeskError> {
    desk.shop_brief(request.shop_id)?
        .ok_or(DeskError::NotFound { what: "shop" })?;
    let open = Filter {
        shop_id: Some(request.shop_id),
        ..parcels_at(ParcelStage::Packing)
    };
    if let Some(open) = desk.parcel_rows(&open)?.first() {
        return desk.parcel_view(open.parcel_id);
    }
    let parcel_id = ParcelId::new(desk.new_id());
    desk.record(
        Subject::Parcel(parcel_id),
        Fact::ParcelOpened(ParcelOpening {
            shop_id: request.shop_id,
        }),
    )?;
    desk.parcel_view(parcel_id)
}

/// Scans a device into a return parcel. A device that does not belong there is refused, with the reason.
pub fn pack_device(desk: &Desk, request: PackDevice) -> Result<ParcelView, DeskError> {
    let parcel = packing(desk, request.parcel_id)?;
    let job = scanned_job(desk, &request.scanned)?;
    let name = desk.job_row(job.job_id)?.map_or_else(
        || job.reference.clone(),
        |row| format!("{} ({})", row.reference, row.device),
    );
    if job.shop_id != parcel.shop_id {
        let theirs = match job.shop_id {
            Some(shop_id) => desk
                .shop_brief(shop_id)?
                .map_or_else(String::new, |shop| shop.name),
            None => "an unknown shop".to_owned(),
        };
        let ours = match parcel.shop_id {
            Some(shop_id) => desk
                .shop_brief(shop_id)?
                .map_or_else(String::new, |shop| shop.name),
            None => "an unknown shop".to_owned(),
        };
        return Err(DeskError::field(
            "scanned",
            format!(
                "{name} belongs to {theirs}, and this parcel goes to {ours}; put it back in its place"
            ),
        ));
    }
    if let Some(packed) = &job.packed {
        let same = packed.value.parcel_id == request.parcel_id;
        let why = if same {
            "is in this parcel already"
        } else {
            "lies in another return parcel; take it out there first"
        };
        return Err(DeskError::field("scanned", format!("{name} {why}")));
    }
    enter(&job, Station::Outbound)?;
    super::transport::lies_alone(desk, &parcel, &job, &name)?;
    super::transport::may_go_along(desk, &parcel, &job, &name)?;
    desk.record_all(vec![
        (
            Subject::Parcel(request.parcel_id),
            Fact::ParcelDevicePacked(ParcelDevice { job_id: job.job_id }),
            Vec::new(),
        ),
        (
            Subject::Job(job.job_id),
            Fact::JobPacked(JobParcel {
                parcel_id: request.parcel_id,
            }),
            Vec::new(),
        ),
    ])?;
    desk.parcel_view(request.parcel_id)
}

/// Takes a device out of a return parcel again.
pub fn unpack_device(desk: &Desk, request: UnpackDevice) -> Result<ParcelView, DeskError> {
    let parcel = packing(desk, request.parcel_id)?;
    if !parcel.inside.contains(&request.job_id) {
        return Err(DeskError::refused("this device is not in this parcel"));
    }
    desk.record_all(vec![
        (
            Subject::Parcel(request.parcel_id),
            Fact::ParcelDeviceUnpacked(ParcelDevice {
                job_id: request.job_id,
            }),
            Vec::new(),
        ),
        (
            Subject::Job(request.job_id),
            Fact::JobUnpacked(JobParcel {
                parcel_id: request.parcel_id,
            }),
            Vec::new(),
        ),
    ])?;
    desk.parcel_view(request.parcel_id)
}

/// The heaviest parcel that can be typed: what two people lift. Common practice, no source; carriers' own limits are lower.
const GRAMS_MAX: u32 = 70_000;

/// Weighs a return parcel.
pub fn weigh_parcel(desk: &Desk, request: WeighParcel) -> Result<ParcelView, DeskError> {
    packing(desk, request.parcel_id)?;
    let text = request.grams.trim().trim_end_matches('g').trim();
    let grams = text
        .parse::<u32>()
        .ok()
        .filter(|grams| (1..=GRAMS_MAX).contains(grams))
        .ok_or_else(|| {
            DeskError::field(
                "grams",
                format!(
                    "“{}” is no weight; write whole grams up to {GRAMS_MAX}, such as 850",
                    request.grams.trim()
                ),
            )
        })?;
    desk.record(
        Subject::Parcel(request.parcel_id),
        Fact::ParcelWeighed(ParcelWeight { grams }),
    )?;
    desk.parcel_view(request.parcel_id)
}

/// Prints a packing slip.
pub fn print_packing_slip(desk: &Desk, request: PrintPackingSlip) -> Result<PaperFile, DeskError> {
    let view = desk.parcel_view(request.parcel_id)?;
    if view.parcel.direction != Direction::Outward {
        return Err(DeskError::refused(
            "only a return parcel has a packing slip",
        ));
    }
    if view.devices.is_empty() {
        return Err(DeskError::refused(
            "the parcel is empty; scan its devices first",
        ));
    }
    desk.packing_slip(&view, request.size)
}

/// Hands a return parcel to its carrier: custody ends, passcodes are destroyed, the shop is told.
pub fn ship_parcel(desk: &Desk, request: ShipParcel) -> Result<ParcelView, DeskError> {
    let parcel = packing(desk, request.parcel_id)?;
    let view = desk.parcel_view(request.parcel_id)?;
    if let Some(first) = view.not_ready.first() {
        return Err(DeskError::refused(first));
    }
    let mut tracking = tracking_of(&request.tracking).ok_or_else(|| {
        DeskError::field(
            "tracking",
            "scan or type the tracking number on the carrier's label",
        )
    })?;
    let carrier = request.carrier.trim();
    if let Some(plan) = &parcel.transport
        && let Some(why) = label_refusal(
            plan.value.mode,
            plan.value.carrier,
            &tracking.number,
            carrier,
        )
    {
        return Err(DeskError::field("tracking", why));
    }
    if !carrier.is_empty() {
        tracking = Tracking {
            carrier: carrier.to_owned(),
            ..tracking
        };
    }
    let verdict = desk.verdict_to_record(&parcel)?;
    let mut facts = vec![(
        Subject::Parcel(request.parcel_id),
        Fact::ParcelShipped(Shipment {
            tracking: tracking.clone(),
            job_ids: parcel.inside.clone(),
        }),
        Vec::new(),
    )];
    if let Some(verdict) = verdict {
        facts.push((
            Subject::Parcel(request.parcel_id),
            Fact::ParcelVerdictGiven(verdict),
            Vec::new(),
        ));
    }
    for job_id in &parcel.inside {
        let job = desk.job(*job_id)?;
        let missing = may_enter(&job, Station::Outbound);
        if !missing.is_empty() {
            return Err(DeskError::Blocked { missing });
        }
        let shipment = JobShipment {
            parcel_id: request.parcel_id,
            tracking: tracking.clone(),
        };
        facts.push((
            Subject::Job(*job_id),
            Fact::JobShipped(shipment),
            Vec::new(),
        ));
        if let Passcode::Sealed { entry_id } = job.passcode {
            facts.push((
                Subject::Job(*job_id),
                passcode::destruction(entry_id),
                Vec::new(),
            ));
        }
    }
    desk.record_all(facts)?;
    desk.parcel_view(request.parcel_id)
}

/// What keeps a return parcel from being shipped, in sentences.
pub(crate) fn not_ready(parcel: &Parcel, devices: &[ParcelDeviceRow]) -> Vec<String> {
    let mut sentences = Vec::new();
    if parcel.shipped.is_some() {
        return sentences;
    }
    if parcel.inside.is_empty() {
        sentences.push("The parcel is empty; scan the devices that go into it.".to_owned());
    }
    if parcel.grams.is_none() {
        sentences.push("The parcel has not been weighed; weigh it closed.".to_owned());
    }
    for device in devices {
        if device.job.stage != Stage::Shipping {
            sentences.push(format!(
                "Job {} is {} now; take it out or settle it first.",
                device.job.reference,
                device.job.stage.word()
            ));
        }
    }
    sentences
}

fn packing(desk: &Desk, parcel_id: ParcelId) -> Result<Parcel, DeskError> {
    let parcel = desk.parcel(parcel_id)?;
    match parcel.stage {
        ParcelStage::Packing => Ok(parcel),
        ParcelStage::Shipped => Err(DeskError::refused("this parcel has left the house")),
        _ => Err(DeskError::refused(
            "this is an inward parcel; begin a return parcel on Outbound",
        )),
    }
}

fn scanned_job(desk: &Desk, scanned: &str) -> Result<Job, DeskError> {
    let answer = super::scan::scan(
        desk,
        super::scan::ScanText {
            text: scanned.to_owned(),
        },
    )
    .map_err(|_| DeskError::field("scanned", "scan the tag on the device's bag"))?;
    let mut jobs = answer
        .matches
        .iter()
        .filter_map(|found| match found.target {
            super::scan::ScanTarget::Job { job_id } => Some(job_id),
            _ => None,
        });
    match (jobs.next(), jobs.next()) {
        (Some(job_id), None) => desk.job(job_id),
        (Some(_), Some(_)) => Err(DeskError::field(
            "scanned",
            "this fits several devices; scan the tag on the bag instead",
        )),
        (None, _) => {
            let why = if answer.warning.is_empty() {
                "scan the tag on the device's bag".to_owned()
            } else {
                answer.warning
            };
            Err(DeskError::field(
                "scanned",
                format!("“{}” is no device of this lab; {why}", answer.text),
            ))
        }
    }
}
