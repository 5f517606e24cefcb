//! The Dock: parcels come in, are looked at, and are counted. Custody of a device begins here.
//!
//! A parcel that is warm, bulging or smoking is never counted, so never opened, before a person with battery knowledge released it.

mod counting;
mod request;
mod view;

pub use counting::count_parcel;
pub use request::{
    CountParcel, ExtraDevice, ParcelKey, PrintJobTags, ReceiveParcel, RecordParcelFindings,
    ReleaseParcel, SetParcelShop, SetTracking, TagStock,
};
pub use view::{DockView, InParcel, ParcelDeviceRow, ParcelView};

use std::collections::BTreeSet;

use domain::fact::{
    Fact, ParcelFinding, ParcelFindingRecord, ParcelReceipt, ParcelRelease, ParcelShop, Role,
    Tracking,
};
use domain::parcel::{Direction, ParcelStage};
use domain::{ParcelId, Subject, tracking};

use super::{Nothing, PaperFile};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::rows::tag;
use crate::store::{Filter, Order};

/// Counted parcels shown on the Dock.
const COUNTED_SHOWN_MAX: usize = 20;

/// Parcels awaited, received and counted.
pub fn dock(desk: &Desk, _: Nothing) -> Result<DockView, DeskError> {
    let mut view = DockView {
        to_count: Vec::new(),
        awaited: Vec::new(),
        counted: Vec::new(),
        shops: desk.shops()?,
    };
    view.awaited = desk.parcel_rows(&parcels_at(ParcelStage::Advised))?;
    view.to_count = desk.parcel_rows(&parcels_at(ParcelStage::Received))?;
    let counted = Filter {
        order: Order::Latest,
        limit: COUNTED_SHOWN_MAX,
        ..parcels_at(ParcelStage::Counted)
    };
    view.counted = desk.parcel_rows(&counted)?;
    view.awaited.sort_by_key(|row| row.begun_at_ms);
    view.to_count
        .sort_by_key(|row| (!row.danger, row.received_at_ms));
    Ok(view)
}

/// Parcels at a stage.
pub(crate) fn parcels_at(stage: ParcelStage) -> Filter {
    Filter {
        stages: vec![tag(&stage)],
        ..Filter::all("parcel")
    }
}

/// One parcel.
pub fn parcel(desk: &Desk, request: ParcelKey) -> Result<ParcelView, DeskError> {
    desk.parcel_view(request.parcel_id)
}

/// Takes a parcel in. One that was announced keeps its advice; any other begins here.
pub fn receive_parcel(desk: &Desk, request: ReceiveParcel) -> Result<ParcelView, DeskError> {
    let scanned = request.scanned.trim().to_owned();
    let parcel_id = match request.parcel_id {
        Some(parcel_id) => {
            let parcel = desk.parcel(parcel_id)?;
            if parcel.direction == Direction::Outward {
                return Err(DeskError::refused(
                    "this is a return parcel of ours; it can't be taken in",
                ));
            }
            if let Some(received) = &parcel.received {
                let when = desk.time_words(received.mark.at_ms)?;
                return Err(DeskError::refused(format!(
                    "this parcel was taken in already, {when}"
                )));
            }
            parcel_id
        }
        None => ParcelId::new(desk.new_id()),
    };
    let subject = Subject::Parcel(parcel_id);
    let mut facts = vec![(
        subject,
        Fact::ParcelReceived(ParcelReceipt {
            scanned: scanned.clone(),
            read_point: "Dock".to_owned(),
        }),
        Vec::new(),
    )];
    if let Some(shop_id) = request.shop_id {
        desk.shop_brief(shop_id)?
            .ok_or(DeskError::NotFound { what: "shop" })?;
        facts.push((
            subject,
            Fact::ParcelShopSet(ParcelShop { shop_id }),
            Vec::new(),
        ));
    }
    // The label as scanned is the parcel's number, unless the scan was our own slip.
    if let Some(tracking) = tracking_of(&scanned)
        && desk.look_up_code(&tracking.number)?.is_empty()
    {
        let based_on = match request.parcel_id {
            Some(parcel_id) => desk.parcel(parcel_id)?.tracking.based_on(),
            None => Vec::new(),
        };
        facts.push((subject, Fact::ParcelTrackingSet(tracking), based_on));
    }
    desk.record_all(facts)?;
    desk.parcel_view(parcel_id)
}

/// Says which shop a parcel is from.
pub fn set_parcel_shop(desk: &Desk, request: SetParcelShop) -> Result<ParcelView, DeskError> {
    desk.shop_brief(request.shop_id)?
        .ok_or(DeskError::NotFound { what: "shop" })?;
    let parcel = desk.parcel(request.parcel_id)?;
    if parcel.advice.is_some() {
        return Err(DeskError::refused(
            "its shop announced this parcel; it can't be given to another",
        ));
    }
    if parcel.count.is_some() {
        return Err(DeskError::refused(
            "its devices were counted for the shop already; take the count back first",
        ));
    }
    desk.record(
        Subject::Parcel(request.parcel_id),
        Fact::ParcelShopSet(ParcelShop {
            shop_id: request.shop_id,
        }),
    )?;
    desk.parcel_view(request.parcel_id)
}

/// Records what is seen on a parcel.
pub fn record_parcel_findings(
    desk: &Desk,
    request: RecordParcelFindings,
) -> Result<ParcelView, DeskError> {
    let findings: BTreeSet<ParcelFinding> = request.findings.into_iter().collect();
    let note = request.note.trim().to_owned();
    if findings.is_empty() {
        return Err(DeskError::field(
            "findings",
            "say what is seen on the parcel, or that it is sound",
        ));
    }
    if findings.contains(&ParcelFinding::Sound) && findings.len() > 1 {
        return Err(DeskError::field(
            "findings",
            "a parcel can't be sound and damaged; take one of the two away",
        ));
    }
    if findings.contains(&ParcelFinding::Other) && note.is_empty() {
        return Err(DeskError::field("note", "say what else is seen"));
    }
    desk.parcel(request.parcel_id)?;
    desk.record(
        Subject::Parcel(request.parcel_id),
        Fact::ParcelFindingRecorded(ParcelFindingRecord { findings, note }),
    )?;
    desk.parcel_view(request.parcel_id)
}

/// Finds a dangerous parcel safe to open. Only for a person with battery knowledge, and only for what is recorded by now.
pub fn release_parcel(desk: &Desk, request: ReleaseParcel) -> Result<ParcelView, DeskError> {
    let parcel = desk.parcel(request.parcel_id)?;
    if !parcel.danger {
        return Err(DeskError::refused(
            "nothing dangerous is recorded of this parcel; open and count it",
        ));
    }
    super::cell_bay::only_for(
        desk,
        Role::CellExpert,
        "finds a dangerous parcel safe to open",
    )?;
    let reason = request.reason.trim().to_owned();
    if reason.is_empty() {
        return Err(DeskError::field(
            "reason",
            "say what was found, and why the parcel may be opened",
        ));
    }
    let seen = parcel
        .findings
        .iter()
        .map(|finding| finding.mark.entry_id)
        .collect();
    desk.record_all(vec![(
        Subject::Parcel(request.parcel_id),
        Fact::ParcelReleased(ParcelRelease { reason }),
        seen,
    )])?;
    desk.parcel_view(request.parcel_id)
}

/// Sets a parcel's tracking number. A wrong check digit is kept, with a warning.
pub fn set_tracking(desk: &Desk, request: SetTracking) -> Result<ParcelView, DeskError> {
    let parcel = desk.parcel(request.parcel_id)?;
    let tracking = tracking_of(&request.text).ok_or_else(|| {
        DeskError::field("text", "type or scan the number on the carrier's label")
    })?;
    desk.record_all(vec![(
        Subject::Parcel(request.parcel_id),
        Fact::ParcelTrackingSet(tracking),
        parcel.tracking.based_on(),
    )])?;
    desk.parcel_view(request.parcel_id)
}

/// Prints job tags for the bags that devices stay in.
pub fn print_job_tags(desk: &Desk, request: PrintJobTags) -> Result<PaperFile, DeskError> {
    if request.job_ids.is_empty() {
        return Err(DeskError::refused(
            "choose at least one job to print a tag for",
        ));
    }
    desk.job_tags(&request.job_ids, request.stock, request.first_label)
}

/// A typed or scanned tracking number with carrier and warning; `None` when nothing was typed.
pub(crate) fn tracking_of(text: &str) -> Option<Tracking> {
    let text = text.trim();
    if text.is_empty() || text.to_ascii_uppercase().starts_with("WB:") || text.contains("://") {
        return None;
    }
    Some(match tracking::read(text).into_iter().next() {
        Some(reading) => Tracking {
            warning: reading.check.warning("tracking number").unwrap_or_default(),
            carrier: reading.carrier,
            number: reading.number,
        },
        None => Tracking {
            carrier: String::new(),
            number: text.to_owned(),
            warning: String::new(),
        },
    })
}
