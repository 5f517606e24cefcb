//! Facts about one job, from its advice to its return.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::{TestCode, Tracking};
use crate::cells::Rating;
use crate::device::DeviceKind;
use crate::identifiers::IdentifierKind;
use crate::ids::{ContentHash, EntryId, ParcelId, PersonId, ShopId};
use crate::judging::DecisionRule;
use crate::money::{Money, MoneyError};
use crate::reading::{Limits, Reading};

/// What a device is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeviceDescription {
    /// Its kind.
    pub kind: DeviceKind,
    /// Its maker.
    pub maker: String,
    /// Its model.
    pub model: String,
    /// Its colour or another mark that tells it apart; may be empty.
    pub colour: String,
}

/// A shop's answer about the cell, given before posting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum CellAnswer {
    /// The cell, back or screen bulges.
    Swollen,
    /// Something leaks or smells of solvent.
    Leaking,
    /// It is hot without reason.
    Hot,
    /// It is or was burnt, or smoked.
    Burnt,
    /// It is pierced, crushed or bent.
    Pierced,
    /// Its maker recalls it, or calls it unsafe.
    Recalled,
    /// Water reached the inside.
    Wet,
    /// Nobody could see the cell.
    NotSeen,
    /// It fell hard or its frame is bent, though the cell looks fine.
    Dropped,
}

impl CellAnswer {
    /// True for what forbids the post: the sign of a damaged or defective cell (49 CFR 173.185(f); ADR 2025 SP 376).
    pub const fn forbids_post(self) -> bool {
        matches!(
            self,
            Self::Swollen
                | Self::Leaking
                | Self::Hot
                | Self::Burnt
                | Self::Pierced
                | Self::Recalled
        )
    }

    /// True for what leaves the cell's condition open: no label until a trained person has answered (ADR 2025 SP 376, “cannot be
    /// diagnosed before carriage”; IATA A154).
    pub const fn needs_an_answer(self) -> bool {
        matches!(self, Self::Wet | Self::NotSeen | Self::Dropped)
    }
}

/// Whether the device met liquid.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LiquidStory {
    /// What it was, in the shop's words.
    pub what: String,
    /// When, in the shop's words.
    pub when: String,
}

/// How many cells a shop says a battery has. More than one makes it a battery, for which the limits are higher.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum AdvisedCells {
    /// One cell.
    One,
    /// Two or more.
    More,
}

/// What a shop read of a battery's rating, on the battery or in its maker's data sheet. What it did not say is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct AdvisedBattery {
    /// Watt-hours, or volts and milliampere-hours.
    pub rating: Rating,
    /// How many cells are in it.
    pub cells: Option<AdvisedCells>,
}

impl AdvisedBattery {
    /// True when the shop said nothing about it.
    pub fn is_silent(&self) -> bool {
        *self == Self::default()
    }
}

/// What the shop says about one device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobAdvice {
    /// The sender.
    pub shop_id: ShopId,
    /// The parcel it is in or came in.
    pub parcel_id: ParcelId,
    /// The device.
    pub device: DeviceDescription,
    /// Identifier as given by the shop; may be empty.
    pub identifier: String,
    /// The fault in the shop's own words.
    pub fault: String,
    /// What was tried already.
    pub tried: String,
    /// The liquid it met, if any.
    pub liquid: Option<LiquidStory>,
    /// True when the data on it must be kept.
    pub data_needed: bool,
    /// What the shop put in with it.
    pub accessories: Vec<String>,
    /// What the shop answered about the cell.
    pub cell_answers: BTreeSet<CellAnswer>,
    /// The shop's own number for the job; may be empty.
    pub shop_reference: String,
    /// The rating of its battery, as far as the shop read it.
    #[serde(default, skip_serializing_if = "AdvisedBattery::is_silent")]
    #[cfg_attr(feature = "ts-rs", ts(as = "Option<AdvisedBattery>", optional))]
    pub battery: AdvisedBattery,
}

/// A device was, or was not, in its parcel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobArrival {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// How it differs from its advice, or anything else worth saying; may be empty.
    pub note: String,
}

/// One identifier as read from the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Identifier {
    /// What kind it is.
    pub kind: IdentifierKind,
    /// Its canonical text.
    pub text: String,
    /// A warning about its check digit with the likely right reading; empty when right or without one.
    pub warning: String,
}

/// The identifiers read from the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Identity {
    /// In the order read.
    pub identifiers: Vec<Identifier>,
}

/// A face of the device on which a mark lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Face {
    /// The screen side.
    Front,
    /// The back.
    Back,
    /// The upper edge.
    TopEdge,
    /// The lower edge.
    BottomEdge,
    /// The left edge, seen from the front.
    LeftEdge,
    /// The right edge, seen from the front.
    RightEdge,
}

/// What a mark is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Blemish {
    /// A scratch.
    Scratch,
    /// A crack.
    Crack,
    /// A dent.
    Dent,
    /// A chip.
    Chip,
    /// A bend.
    Bend,
    /// A missing piece.
    MissingPart,
    /// A stain or corrosion.
    Stain,
    /// Loose or lifted.
    Lifted,
    /// Something else, in the note.
    Other,
}

/// One mark on the case, placed on the device's outline.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Condition {
    /// The face.
    pub face: Face,
    /// Thousandths of the face's width from its left.
    pub x_permille: u16,
    /// Thousandths of the face's height from its top.
    pub y_permille: u16,
    /// What it is.
    pub blemish: Blemish,
    /// More words; may be empty.
    pub note: String,
    /// Photos of it.
    pub photos: Vec<ContentHash>,
}

/// Whether a device answers to somebody else's account.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum AccountLock {
    /// Not locked.
    Off,
    /// Locked.
    On,
    /// It could not be told.
    NotKnown,
}

/// What the look-over found besides marks on the case.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Signs {
    /// Account lock.
    pub account_lock: AccountLock,
    /// True when a liquid indicator has turned.
    pub liquid_indicator_turned: bool,
    /// Screws that are missing.
    pub screws_missing: u8,
    /// True when a seal is missing or broken.
    pub seal_broken: bool,
    /// True when someone worked on it before.
    pub earlier_work: bool,
    /// More words; may be empty.
    pub note: String,
}

/// What came with the device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Accessories {
    /// Each in words.
    pub items: Vec<String>,
}

/// A passcode under the lab's key (XChaCha20-Poly1305), which the server never has.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SealedPasscode {
    /// Base64 of the 24-byte nonce and the ciphertext with its tag. The job's id is the associated data.
    pub sealed: String,
}

/// Somebody read a passcode.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PasscodeOpening {
    /// The sealed entry.
    pub sealed_entry_id: EntryId,
    /// Why.
    pub reason: String,
}

/// A passcode is to be erased.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PasscodeDestruction {
    /// The sealed entry.
    pub sealed_entry_id: EntryId,
}

/// One test that this job's proof rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ChosenTest {
    /// The test.
    pub code: TestCode,
    /// Its title when it was chosen.
    pub title: String,
    /// True when it shows the declared fault: the job counts as repaired only when it is fixed.
    pub shows_fault: bool,
    /// Its version when it was chosen; 0 in choices older than versions by entries.
    #[serde(default)]
    pub version: u32,
    /// The entry that defined it: the job is tested with this one, whatever the catalogue says later.
    #[serde(default)]
    pub definition_id: Option<EntryId>,
}

/// The tests chosen for a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ChosenTests {
    /// In the order they are done.
    pub tests: Vec<ChosenTest>,
}

/// Before or after the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Phase {
    /// As it came.
    Before,
    /// As it goes.
    After,
}

/// What a test gave.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Outcome {
    /// It works.
    Pass,
    /// It doesn't.
    Fail,
    /// A value, with the limits of the test's version at the time.
    Reading {
        /// The value.
        reading: Reading,
        /// What passes.
        limits: Limits,
        /// How the value is judged against them.
        #[serde(default)]
        rule: DecisionRule,
    },
    /// One of the test's answers.
    Choice {
        /// The answer.
        words: String,
        /// True when it counts as passed.
        passes: bool,
    },
    /// The device has no such thing.
    NotApplicable,
    /// It could not be tested.
    NotTestable {
        /// Why.
        why: String,
    },
}

/// One result of one test.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TestResult {
    /// Before or after.
    pub phase: Phase,
    /// The test.
    pub code: TestCode,
    /// Its version.
    pub version: u32,
    /// Its title, so that the job can be read without the catalogue.
    pub title: String,
    /// What it gave.
    pub outcome: Outcome,
    /// A short note; may be empty.
    pub note: String,
    /// Evidence.
    pub photos: Vec<ContentHash>,
    /// How it was taken.
    #[serde(default)]
    pub taken: super::Taken,
}

/// One reading on the board, against what this board should show.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct BoardReading {
    /// The point, net or rail.
    pub point: String,
    /// What was measured.
    pub measured: Reading,
    /// What it should be, in words; may be empty.
    pub expected: String,
}

/// What is thought to be wrong.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Diagnosis {
    /// In words.
    pub text: String,
    /// The suspected part's designator or net; may be empty.
    pub suspect: String,
    /// Readings on the board.
    pub readings: Vec<BoardReading>,
}

/// One line of a quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct QuoteLine {
    /// What for.
    pub text: String,
    /// How much.
    pub amount: Money,
}

/// A price for the shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Quote {
    /// Its lines, all in one currency.
    pub lines: Vec<QuoteLine>,
    /// What returning it unrepaired costs.
    pub fee_if_refused: Money,
    /// The day it is promised for, as `2026-11-25`; empty when none is.
    pub promised_date: String,
    /// More words; may be empty.
    pub note: String,
}

impl Quote {
    /// The sum of its lines, in the currency of the quote.
    pub fn total(&self) -> Result<Money, MoneyError> {
        Money::sum(
            self.fee_if_refused.currency,
            self.lines.iter().map(|line| line.amount),
        )
    }
}

/// A shop's answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Answer {
    /// Go on.
    Agree,
    /// Return it unrepaired.
    Refuse,
    /// A question first, in the note.
    Ask,
}

/// How an answer reached the lab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum AnswerWay {
    /// The shop answered on the portal.
    Portal,
    /// The shop told a person of the lab.
    Told,
    /// The price lies within the shop's standing limit.
    StandingLimit,
}

/// The shop's answer to one quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Decision {
    /// The quote it answers. A later quote needs an answer of its own.
    pub quote_entry_id: EntryId,
    /// The answer.
    pub answer: Answer,
    /// How it came.
    pub way: AnswerWay,
    /// The shop's words; may be empty.
    pub note: String,
}

/// A side of the board.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum BoardSide {
    /// The side with the main parts.
    #[default]
    Top,
    /// The other side.
    Bottom,
}

/// What a heating step did to the board.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HeatExposure {
    /// The highest temperature, in degrees Celsius, measured where `measured_at` says.
    pub temperature_c: u16,
    /// Seconds at that temperature.
    pub seconds: u16,
    /// The heated side.
    pub side: BoardSide,
    /// Parts near enough to be harmed, on both sides, by designator.
    pub neighbours: Vec<String>,
    /// The tests that would show harm to them; each must be proved after.
    pub neighbour_tests: Vec<ChosenTest>,
    /// The part that was heated, by designator; empty in entries older than this field, and for heat on no part.
    #[serde(default)]
    pub part: String,
    /// The board whose knowledge was offered.
    #[serde(default)]
    pub board: Option<super::BoardCode>,
    /// Where the temperature was measured.
    #[serde(default)]
    pub measured_at: crate::rework::MeasuredAt,
    /// Seconds above the alloy's liquidus, if they were taken.
    #[serde(default)]
    pub above_liquidus_s: Option<u16>,
    /// The alloy, by its name; empty when it is not known.
    #[serde(default)]
    pub alloy: String,
    /// The heated part's body, as the lab knew it then.
    #[serde(default)]
    pub body: Option<crate::rework::PackageBody>,
    /// Whether the cell was off; `None` when nobody said.
    #[serde(default)]
    pub cell_off: Option<bool>,
    /// Why neighbours or tests differ from what the board's knowledge offered; empty when they don't, or nothing was known.
    #[serde(default)]
    pub changed_because: String,
}

/// Where a part came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum PartSource {
    /// New stock.
    New,
    /// Taken from a donor board.
    Donor,
    /// The device's own part, put back.
    Own,
}

/// A part that was fitted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct FittedPart {
    /// Its designator on the board.
    pub designator: String,
    /// What it is.
    pub description: String,
    /// Where it came from.
    pub source: PartSource,
    /// Lot, or the donor board's number; may be empty.
    pub lot: String,
}

/// One step of bench work.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Step {
    /// What was done.
    pub text: String,
    /// The lab's own procedure code; may be empty.
    pub procedure: String,
    /// The tool; may be empty.
    pub tool: String,
    /// Parts fitted.
    pub parts: Vec<FittedPart>,
    /// Heat, if any was used.
    pub heat: Option<HeatExposure>,
    /// Who witnessed it, where it is a hold point.
    pub witness_id: Option<PersonId>,
    /// Photos of it.
    pub photos: Vec<ContentHash>,
    /// True when the work may not go on without a witness to it.
    #[serde(default)]
    pub hold_point: bool,
    /// Its place in a procedure that the job is worked by.
    #[serde(default)]
    pub in_procedure: Option<super::ProcedureDone>,
    /// The jumper it laid or read again.
    #[serde(default)]
    pub jumper: Option<super::Jumper>,
    /// The lots of moisture-sensitive parts that it took from.
    #[serde(default)]
    pub lots: Vec<super::LotUsed>,
}

/// What a job can be made to wait for by a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum HoldKind {
    /// A part that is not here.
    Part,
    /// Something the shop must send or say.
    Shop,
    /// Anything else, in the note.
    Other,
}

/// The job waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Hold {
    /// For what.
    pub kind: HoldKind,
    /// In words.
    pub note: String,
}

/// The job goes on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HoldLift {
    /// The hold that is over.
    pub hold_entry_id: EntryId,
    /// In words; may be empty.
    pub note: String,
}

/// A block that was passed by a person with the right to do so.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Override {
    /// The block.
    pub block: crate::job::Block,
    /// Why; it is printed.
    pub reason: String,
    /// The tests it covers; empty for all, where the block is not about tests, and in entries older than this list.
    #[serde(default)]
    pub tests: Vec<TestCode>,
}

/// How a job ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum JobOutcome {
    /// The declared fault is gone and nothing is worse.
    Repaired,
    /// Some of it is gone.
    RepairedInPart,
    /// The declared fault could not be shown.
    NoFaultFound,
    /// It can't be repaired.
    NotRepairable,
    /// It could be, at no sensible price.
    BeyondEconomicRepair,
    /// The shop said no.
    Declined,
    /// Only its data was saved.
    DataOnly,
}

impl JobOutcome {
    /// The words on screens and papers.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Repaired => "repaired",
            Self::RepairedInPart => "repaired in part",
            Self::NoFaultFound => "no fault found",
            Self::NotRepairable => "not repairable",
            Self::BeyondEconomicRepair => "beyond economic repair",
            Self::Declined => "declined",
            Self::DataOnly => "data only",
        }
    }

    /// What it claims, in a sentence for the shop. It stands true only as long as [`crate::job::may_close`] finds nothing missing.
    pub const fn claim(self) -> &'static str {
        match self {
            Self::Repaired => {
                "The declared fault was there before and is gone; what heat could reach still works; nothing is worse."
            }
            Self::RepairedInPart => {
                "Part of the fault is gone, as the tests show; what is not is named here. Nothing is worse."
            }
            Self::NoFaultFound => {
                "The declared fault did not appear in the tests that would show it. Nothing was changed on the board."
            }
            Self::NotRepairable => {
                "The fault was found and can't be put right by this lab; why is named here."
            }
            Self::BeyondEconomicRepair => {
                "The fault was found and could be put right, for more than the device is worth; it goes back unrepaired."
            }
            Self::Declined => "The shop declined the price; the device goes back unrepaired.",
            Self::DataOnly => {
                "Only data was saved, as agreed; the device itself does not count as repaired."
            }
        }
    }
}

/// The outcome as recorded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct OutcomeRecord {
    /// How it ended.
    pub outcome: JobOutcome,
    /// What the shop should know; printed.
    pub words: String,
    /// Days of warranty on the work; 0 for none.
    pub warranty_days: u16,
}

/// A return report that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct IssuedReport {
    /// Hash of the PDF's bytes; the file travels like a photo.
    pub file: ContentHash,
    /// Its size in bytes.
    pub size_bytes: u64,
    /// Digest of the data it was made from: what the paper prints and its QR code leads to.
    pub digest: ContentHash,
    /// Its pages.
    pub pages: u32,
}

/// A job and a return parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobParcel {
    /// The parcel.
    pub parcel_id: ParcelId,
}

/// The device left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobShipment {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Carrier and number.
    pub tracking: Tracking,
}

/// The device was destroyed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Destruction {
    /// Why, and by whose agreement.
    pub reason: String,
}

/// Who wrote a message.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum MessageFrom {
    /// The lab.
    Lab,
    /// The shop.
    Shop,
}

/// A message between lab and shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Message {
    /// The side that wrote it.
    pub from: MessageFrom,
    /// Its words.
    pub text: String,
}

/// A note for the lab.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Note {
    /// Its words.
    pub text: String,
}
