//! The Dock: parcels come in, are looked at, and are counted. Custody of a device begins here.

use std::collections::{BTreeMap, BTreeSet};

use domain::device::DeviceKind;
use domain::fact::{
    CellAnswer, DeviceDescription, Fact, JobAdvice, JobArrival, ParcelFinding, ParcelFindingRecord,
    ParcelReceipt, ParcelRelease, ParcelShop, Role, Tracking,
};
use domain::job::{Stage, TrailLine};
use domain::parcel::{Direction, Parcel, ParcelStage, count};
use domain::tracking;
use domain::{JobId, ParcelId, ShopId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobRow, Nothing, PaperFile, ParcelRow, PersonBrief, PhotoState, ShopBrief};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::rows::tag;
use crate::store::{Filter, Order};

/// Parcels on the Dock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DockView {
    /// Received, not counted: what to do first.
    pub to_count: Vec<ParcelRow>,
    /// Announced, not here, oldest first.
    pub awaited: Vec<ParcelRow>,
    /// Counted lately, latest first.
    pub counted: Vec<ParcelRow>,
    /// All shops, for a parcel that nobody announced.
    pub shops: Vec<ShopBrief>,
}

/// How a device stands in its parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum InParcel {
    /// Announced, not counted yet.
    Expected,
    /// Announced and found.
    Found,
    /// Announced and not found.
    Missing,
    /// Found, though nobody announced it.
    Extra,
    /// Packed into a return parcel.
    Packed,
}

/// A device of a parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ParcelDeviceRow {
    /// The job.
    pub job: JobRow,
    /// How it stands.
    pub state: InParcel,
    /// What the shop answered about its cell.
    pub cell_answers: Vec<CellAnswer>,
    /// What came with it, as announced.
    pub accessories: Vec<String>,
}

/// One parcel with all that belongs to it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
pub struct ParcelView {
    /// The parcel.
    pub parcel: Parcel,
    /// Its shop, once known.
    pub shop: Option<ShopBrief>,
    /// Its devices.
    pub devices: Vec<ParcelDeviceRow>,
    /// Where each photo's bytes are, by hash.
    #[ts(as = "BTreeMap<String, PhotoState>")]
    pub photo_states: BTreeMap<String, PhotoState>,
    /// What happened to it, oldest first.
    pub trail: Vec<TrailLine>,
    /// The people named in it.
    pub people: Vec<PersonBrief>,
    /// What to mind, in sentences.
    pub cautions: Vec<String>,
    /// For a return parcel: what keeps it from being shipped, in sentences.
    pub not_ready: Vec<String>,
}

/// Which parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ParcelKey {
    /// The parcel.
    pub parcel_id: ParcelId,
}

/// Takes a parcel in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ReceiveParcel {
    /// The announced parcel, if it is one.
    pub parcel_id: Option<ParcelId>,
    /// What was scanned; may be empty.
    pub scanned: String,
    /// The shop, for a parcel that nobody announced; may be chosen later.
    pub shop_id: Option<ShopId>,
}

/// Says which shop a parcel is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetParcelShop {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The shop.
    pub shop_id: ShopId,
}

/// Records what is seen on a parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordParcelFindings {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// What is seen.
    pub findings: Vec<ParcelFinding>,
    /// More words.
    pub note: String,
}

/// Finds a dangerous parcel safe to open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ReleaseParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// What was found, and why it may be opened.
    pub reason: String,
}

/// Sets a parcel's tracking number.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetTracking {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// The number as scanned or typed.
    pub text: String,
}

/// A device in a parcel that nobody announced.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ExtraDevice {
    /// Its kind.
    pub kind: DeviceKind,
    /// Its maker.
    pub maker: String,
    /// Its model.
    pub model: String,
    /// Its colour or another mark.
    pub colour: String,
    /// The fault, if a note in the parcel says it.
    pub fault: String,
    /// An identifier, if one can be read.
    pub identifier: String,
}

/// Counts expected against found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct CountParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Announced devices that are inside.
    pub found: Vec<JobId>,
    /// Devices inside that nobody announced.
    pub extra: Vec<ExtraDevice>,
    /// More words; the shop sees them.
    pub note: String,
}

/// What job tags are printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum TagStock {
    /// A roll 62 mm wide.
    Roll62Mm,
    /// Labels on an A4 sheet.
    SheetA4,
    /// Labels on a Letter sheet.
    SheetLetter,
}

/// Prints job tags.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PrintJobTags {
    /// The jobs.
    pub job_ids: Vec<JobId>,
    /// On what.
    pub stock: TagStock,
    /// The first free label of a sheet, from 1.
    pub first_label: u32,
}

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

/// Counts expected against found: one entry for the parcel, one for each device, all or none.
pub fn count_parcel(desk: &Desk, request: CountParcel) -> Result<ParcelView, DeskError> {
    let parcel = desk.parcel(request.parcel_id)?;
    if parcel.received.is_none() {
        return Err(DeskError::refused(
            "this parcel has not been taken in; scan its label on the Dock first",
        ));
    }
    if parcel.danger {
        return Err(DeskError::refused(
            "this parcel is warm, bulging or smoking: do not open it; it stays closed until a person with battery knowledge has found it safe",
        ));
    }
    let shop_id = parcel.shop_id.ok_or_else(|| {
        DeskError::refused("nobody knows which shop this parcel is from; choose the shop first")
    })?;
    if parcel.count.is_some() {
        return Err(DeskError::refused(
            "this parcel was counted already; take the count back to count again",
        ));
    }
    let found: BTreeSet<JobId> = request.found.iter().copied().collect();
    if let Some(stranger) = found
        .iter()
        .find(|job_id| !parcel.expected.contains(job_id))
    {
        let row = desk
            .job_row(*stranger)?
            .ok_or(DeskError::NotFound { what: "job" })?;
        return Err(DeskError::refused(format!(
            "job {} was not announced for this parcel; add the device as an extra one",
            row.reference
        )));
    }
    if found.is_empty() && request.extra.is_empty() && parcel.expected.is_empty() {
        return Err(DeskError::refused(
            "nothing was announced and nothing is counted; add each device that is in the parcel",
        ));
    }
    let mut facts = Vec::new();
    let mut extra_ids = Vec::new();
    for (number, extra) in (1..).zip(request.extra) {
        let job_id = JobId::new(desk.new_id());
        facts.push((
            Subject::Job(job_id),
            Fact::JobOpened(extra_advice(shop_id, request.parcel_id, number, extra)?),
            Vec::new(),
        ));
        facts.push((Subject::Job(job_id), arrival(request.parcel_id), Vec::new()));
        extra_ids.push(job_id);
    }
    let counted = count(
        &parcel.expected,
        &found,
        extra_ids,
        request.note.trim().to_owned(),
    );
    for job_id in &counted.found {
        facts.push((
            Subject::Job(*job_id),
            arrival(request.parcel_id),
            Vec::new(),
        ));
    }
    for job_id in &counted.missing {
        let missed = JobArrival {
            parcel_id: request.parcel_id,
            note: String::new(),
        };
        facts.push((Subject::Job(*job_id), Fact::JobMissed(missed), Vec::new()));
    }
    facts.push((
        Subject::Parcel(request.parcel_id),
        Fact::ParcelCounted(counted),
        Vec::new(),
    ));
    desk.record_all(facts)?;
    desk.parcel_view(request.parcel_id)
}

fn arrival(parcel_id: ParcelId) -> Fact {
    Fact::JobArrived(JobArrival {
        parcel_id,
        note: String::new(),
    })
}

fn extra_advice(
    shop_id: ShopId,
    parcel_id: ParcelId,
    number: usize,
    extra: ExtraDevice,
) -> Result<JobAdvice, DeskError> {
    let maker = extra.maker.trim().to_owned();
    let model = extra.model.trim().to_owned();
    if maker.is_empty() && model.is_empty() {
        return Err(DeskError::field(
            format!("extra-{number}-model"),
            "say what the extra device is: its maker or its model",
        ));
    }
    let device = DeviceDescription {
        kind: extra.kind,
        maker,
        model,
        colour: extra.colour.trim().to_owned(),
    };
    let mut advice = domain::job::unannounced_advice(shop_id, parcel_id, device);
    extra.fault.trim().clone_into(&mut advice.fault);
    extra.identifier.trim().clone_into(&mut advice.identifier);
    Ok(advice)
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

impl Desk {
    /// One parcel with all that belongs to it.
    pub(crate) fn parcel_view(&self, parcel_id: ParcelId) -> Result<ParcelView, DeskError> {
        let entries = self.entries(Subject::Parcel(parcel_id))?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what: "parcel" });
        }
        let parcel = domain::fold_parcel(parcel_id, &entries);
        let trail = domain::job::trail(&entries);
        let shop = parcel
            .shop_id
            .map(|shop_id| self.shop_brief(shop_id))
            .transpose()?
            .flatten();
        let devices = self.parcel_devices(&parcel)?;
        let hashes: Vec<_> = parcel.photos.iter().map(|photo| photo.value.hash).collect();
        Ok(ParcelView {
            photo_states: self.photo_states(&hashes)?,
            people: self.people_named(trail.iter().map(|line| line.mark.actor_id))?,
            cautions: parcel_cautions(&parcel),
            not_ready: if parcel.direction == Direction::Outward {
                let mut sentences = super::outbound::not_ready(&parcel, &devices);
                sentences.extend(self.transport_view(&parcel)?.blocked);
                sentences
            } else {
                Vec::new()
            },
            parcel,
            shop,
            devices,
            trail,
        })
    }

    fn parcel_devices(&self, parcel: &Parcel) -> Result<Vec<ParcelDeviceRow>, DeskError> {
        let mut ids = parcel.expected.clone();
        ids.extend(
            parcel
                .inside
                .iter()
                .filter(|job_id| !parcel.expected.contains(job_id)),
        );
        let mut devices = Vec::new();
        for job_id in ids {
            let job = self.job(job_id)?;
            let advice = job.advice.as_ref().map(|advice| &advice.value);
            let state = match (parcel.direction, parcel.count.is_some()) {
                (Direction::Outward, _) => InParcel::Packed,
                (_, false) if job.stage == Stage::Advised => InParcel::Expected,
                _ if !parcel.expected.contains(&job_id) => InParcel::Extra,
                _ if parcel.inside.contains(&job_id) || job.arrived.is_some() => InParcel::Found,
                _ => InParcel::Missing,
            };
            devices.push(ParcelDeviceRow {
                state,
                cell_answers: advice.map_or(Vec::new(), |advice| {
                    advice.cell_answers.iter().copied().collect()
                }),
                accessories: advice.map_or(Vec::new(), |advice| advice.accessories.clone()),
                job: self.row_of(&job)?,
            });
        }
        Ok(devices)
    }
}

fn parcel_cautions(parcel: &Parcel) -> Vec<String> {
    let mut cautions = Vec::new();
    if parcel.danger {
        cautions.push(
            "Do not open this parcel and do not carry it. Keep people away, leave the room if it smokes or hisses, raise the alarm and call \
             the fire service."
                .to_owned(),
        );
    } else if parcel.direction == Direction::Inward && parcel.count.is_none() {
        cautions.push(
            "Before opening: feel for warmth, look for bulges, smell for solvent. If there is any, leave it closed and record it here."
                .to_owned(),
        );
    }
    cautions
}
