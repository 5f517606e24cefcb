//! The shapes that several answers share: what screens are shown and papers are drawn from. They are made from folds and rows and
//! never stored; nothing here does anything.

use std::collections::BTreeMap;

use domain::cells::BenchLevel;
use domain::device::DeviceKind;
use domain::fact::{CellAnswer, Role};
use domain::job::{Stage, Station, TrailLine};
use domain::money::Money;
use domain::parcel::{Direction, Parcel, ParcelStage};
use domain::{CellId, JobId, LabId, ParcelId, PersonId, ShopId};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The lab in a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LabBrief {
    /// The lab.
    pub lab_id: LabId,
    /// Its name.
    pub name: String,
    /// Its IANA zone.
    pub zone: String,
    /// Its currency.
    pub currency: String,
    /// Its country.
    pub country: String,
    /// Its telephone number.
    pub phone: String,
}

/// A person in a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PersonBrief {
    /// The person.
    pub person_id: PersonId,
    /// The name.
    pub name: String,
    /// What the person does.
    pub roles: Vec<Role>,
    /// True for a shop's user.
    pub of_a_shop: bool,
    /// True once the person has left.
    pub left: bool,
}

/// A shop in a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShopBrief {
    /// The shop.
    pub shop_id: ShopId,
    /// Its name.
    pub name: String,
    /// Its country.
    pub country: String,
    /// Its currency.
    pub currency: String,
    /// The price up to which it agrees beforehand.
    pub standing_limit: Option<Money>,
}

/// The quiet line about the server.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SyncLine {
    /// The line, ready to show: “all sent”, “12 waiting, no connection since 09:40”.
    pub words: String,
    /// Entries that the server has not confirmed.
    pub entries_waiting: u64,
    /// Pictures and files that the server has not confirmed.
    pub files_waiting: u64,
    /// Bytes of those.
    pub file_bytes_waiting: u64,
    /// Bytes a second over the files sent lately.
    pub file_bytes_per_second: Option<u64>,
    /// While fetching: entries fetched so far.
    pub entries_fetched: Option<u64>,
    /// While fetching: of how many.
    pub entries_to_fetch: Option<u64>,
    /// When both sides last held the same, in milliseconds since 1970.
    pub in_step_at_ms: Option<u64>,
    /// True while the server answers.
    pub connected: bool,
    /// True once this desktop has joined a server.
    pub joined: bool,
    /// What keeps it from sending, in a sentence; empty when nothing does.
    pub trouble: String,
    /// True when it goes no further until a person acts; a server that is out of reach needs nobody.
    pub needs_person: bool,
    /// How far this computer's clock is ahead of the server's, in milliseconds, once known.
    pub clock_ahead_ms: Option<i64>,
}

/// A job in a row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct JobRow {
    /// The job.
    pub job_id: JobId,
    /// Its reference.
    pub reference: String,
    /// Its shop.
    pub shop_id: Option<ShopId>,
    /// The shop's name; empty when unknown.
    pub shop_name: String,
    /// The kind of device.
    pub kind: DeviceKind,
    /// Maker and model.
    pub device: String,
    /// Identifiers, read or announced.
    pub identifiers: Vec<String>,
    /// The declared fault.
    pub fault: String,
    /// Where it is.
    pub stage: Stage,
    /// Why it waits, in words.
    pub holds: Vec<String>,
    /// The next station.
    pub next: Option<Station>,
    /// What is missing before it, in sentences.
    pub missing: Vec<String>,
    /// The day it is promised for, as `2026-11-25`; empty when none is.
    pub promised_date: String,
    /// When it came in, in milliseconds since 1970.
    pub arrived_at_ms: Option<u64>,
    /// When something last happened, in milliseconds since 1970.
    pub last_at_ms: u64,
    /// Its cell's level, once checked.
    pub cell_level: Option<BenchLevel>,
    /// True while it lies in isolation, or must.
    pub in_isolation: bool,
    /// When its cell asks for the next reading, in milliseconds since 1970.
    pub reading_due_ms: Option<u64>,
    /// Values that people disagree on.
    pub disagreements: u32,
    /// Things a person must look at.
    pub exceptions: u32,
    /// Its outcome in words; empty before.
    pub outcome: String,
    /// The parcel it came or comes in.
    pub parcel_id: Option<ParcelId>,
    /// The return parcel it lies in.
    pub return_parcel_id: Option<ParcelId>,
    /// The standing quote's sum.
    pub quote_total: Option<Money>,
}

/// A removed cell in a row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct CellRow {
    /// The cell.
    pub cell_id: CellId,
    /// Its reference.
    pub reference: String,
    /// The job of the device it was in.
    pub job_id: Option<JobId>,
    /// The shop of that device.
    pub shop_id: Option<ShopId>,
    /// The shop's name; empty when unknown.
    pub shop_name: String,
    /// The device, in words.
    pub device: String,
    /// The level it stands at.
    pub level: Option<BenchLevel>,
    /// True while it lies in isolation, or must.
    pub in_isolation: bool,
    /// True once it was handed over or returned.
    pub has_left: bool,
    /// When it asks for the next reading, in milliseconds since 1970.
    pub reading_due_ms: Option<u64>,
    /// When it was taken out, in milliseconds since 1970.
    pub removed_at_ms: Option<u64>,
    /// When something last happened, in milliseconds since 1970.
    pub last_at_ms: u64,
}

/// A parcel in a row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ParcelRow {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Its reference.
    pub reference: String,
    /// Which way it goes.
    pub direction: Direction,
    /// Where it is.
    pub stage: ParcelStage,
    /// The shop it is from or for.
    pub shop_id: Option<ShopId>,
    /// Its name; empty when unknown.
    pub shop_name: String,
    /// The carrier; empty when unknown.
    pub carrier: String,
    /// The tracking number; empty when unknown.
    pub tracking: String,
    /// Devices announced.
    pub expected: u32,
    /// Devices inside.
    pub inside: u32,
    /// Announced devices that were not inside.
    pub missing: u32,
    /// True when it must not be opened.
    pub danger: bool,
    /// When it was announced or begun, in milliseconds since 1970.
    pub begun_at_ms: u64,
    /// When it was received, in milliseconds since 1970.
    pub received_at_ms: Option<u64>,
    /// When it was shipped, in milliseconds since 1970.
    pub shipped_at_ms: Option<u64>,
    /// When something last happened, in milliseconds since 1970.
    pub last_at_ms: u64,
}

/// A paper that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct PaperFile {
    /// Where the PDF lies on this computer.
    pub path: String,
    /// Its file name; the window and the twin serve it by this name.
    pub name: String,
    /// Its size in bytes.
    pub size_bytes: u64,
}

/// The page of a paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum PaperSize {
    /// 210 x 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 x 11 in (ANSI/ASME Y14.1).
    Letter,
}

/// Where a photo's bytes are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum PhotoState {
    /// Here, waiting to be sent.
    Waiting,
    /// Here and at the server.
    Sent,
    /// At another desktop; not here yet.
    Elsewhere,
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
