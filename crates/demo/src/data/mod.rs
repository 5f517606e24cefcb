//! The invented lab in tables: who, what, and how each story goes.
//!
//! Makers, models, shops, people and places are made up. Telephone numbers of the lab are from a range kept free for fiction
//! (01632 960000 to 960999, Ofcom's numbers for drama use, from memory); the shops' are mere zeros. Addresses of mail end in
//! `.example` (RFC 2606). IMEIs begin with 00, as those of test devices do.

pub mod jobs;
pub mod numbers;
pub mod parcels;
pub mod people;
pub mod remedies;
mod remedy_table;
pub mod shops;

use domain::device::DeviceKind;
use domain::fact::JobOutcome;

use remedies::Fault;
use shops::ShopKey;

/// A model of an invented maker.
#[derive(Debug, Clone, Copy)]
pub struct Model {
    /// Its kind.
    pub kind: DeviceKind,
    /// Its maker.
    pub maker: &'static str,
    /// Its name.
    pub name: &'static str,
    /// What its cell holds, in milliampere-hours at 3.85 V per cell.
    pub cell_mah: u32,
    /// Cells in series.
    pub cells: u8,
}

/// How far a job has come when the story ends, and how it stands there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// Announced only, or in a parcel that nobody has counted.
    Awaited,
    /// Counted, not looked at.
    Counted,
    /// Its cell was checked.
    CellChecked,
    /// Its cell is swollen: isolated.
    Swollen,
    /// Its cell is deeply discharged: watched.
    Watched,
    /// Looked over.
    LookedOver,
    /// Looked over, and it is another device than was announced.
    Swapped,
    /// Tested before.
    Tested,
    /// The shop has not answered the quote.
    Quoted,
    /// The shop asks first.
    Asked,
    /// Two desktops named different prices while apart.
    Disputed,
    /// Agreed, not begun.
    Agreed,
    /// Agreed; a part is on its way.
    ForPart,
    /// On hold for another reason.
    OnHold,
    /// Worked on.
    Worked,
    /// Some tests after the work are done.
    Proving,
    /// Closed with an outcome; it goes back with the next parcel of its shop.
    Closed(JobOutcome),
    /// Refused by the shop: closed as declined.
    Refused,
}

/// One device's story.
#[derive(Debug, Clone, Copy)]
pub struct JobPlan {
    /// Its name in this story.
    pub key: &'static str,
    /// The device.
    pub model: &'static Model,
    /// Its colour.
    pub colour: &'static str,
    /// The number on it, by the story's own counting; the same number is the same device.
    pub number: u32,
    /// What is really wrong with it.
    pub fault: Fault,
    /// The fault in the shop's words.
    pub words: &'static str,
    /// What the shop tried.
    pub tried: &'static str,
    /// What came along.
    pub accessories: &'static [&'static str],
    /// How it goes.
    pub fate: Fate,
    /// What is special about it.
    pub twist: Twist,
}

/// What is special about a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Twist {
    /// Nothing.
    None,
    /// Announced, and not in its parcel.
    Missing,
    /// Its IMEI has a wrong check digit, on the advice and on the device.
    WrongCheckDigit,
    /// The shop mistyped its IMEI; the owner passed the block after a call.
    Mistyped,
    /// It comes back under warranty.
    Comeback,
    /// A passcode was given.
    Passcode,
}

/// One parcel on its way in.
#[derive(Debug, Clone, Copy)]
pub struct ParcelPlan {
    /// Its shop.
    pub shop: ShopKey,
    /// The business day on which it is announced, from 0; the last is [`LAST_DAY`].
    pub day: u32,
    /// True when the shop announces it on the portal.
    pub announced: bool,
    /// How far it has come.
    pub state: parcels::Arrival,
    /// What is seen on it.
    pub look: parcels::Look,
    /// Its devices.
    pub jobs: &'static [&'static str],
}

/// The last business day of the story: the last one before today.
pub const LAST_DAY: u32 = 15;
