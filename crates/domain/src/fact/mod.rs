//! Every fact the lab can record: the kinds, their payloads, their bytes.
//!
//! A kind is past tense and never reused for another meaning; an old kind is folded for ever. Payloads are JSON whose bytes are
//! kept verbatim by everything that relays them. Unknown fields are ignored on reading; unknown kinds stay unread, not lost.
//! Nothing here judges a fact: rules live beside the folds.

mod board;
mod cell;
mod job;
mod lab;
mod papers;
mod parcel;
mod procedure;
mod proof;
mod stock;
mod transport;
mod work;

pub use self::board::*;
pub use self::cell::*;
pub use self::job::*;
pub use self::lab::*;
pub use self::papers::*;
pub use self::parcel::*;
pub use self::procedure::*;
pub use self::proof::*;
pub use self::stock::*;
pub use self::transport::*;
pub use self::work::*;

use serde::{Deserialize, Serialize};

use crate::ids::EntryId;
use crate::recorded::Decoded;

/// Takes back an entry that was recorded by mistake. The entry stays readable; folds leave it out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Withdrawal {
    /// The entry taken back; it must be about the same subject.
    pub entry_id: EntryId,
    /// Why, in the person's words.
    pub reason: String,
}

/// Whether a program that can't read a kind may carry on as if it weren't there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Missing it shows less, but nothing dangerous.
    MayBeIgnored,
    /// Missing it could hurt someone or lose a device: the subject becomes read-only in a program that can't read it.
    MustBeRead,
}

macro_rules! facts {
    ($($(#[$doc:meta])* $kind:literal v $version:literal $weight:ident $variant:ident($payload:ty)),+ $(,)?) => {
        /// One recorded fact.
        #[derive(Debug, Clone, PartialEq)]
        pub enum Fact {
            $($(#[$doc])* $variant($payload)),+
        }

        impl Fact {
            /// All kinds this version reads and writes, with their version.
            pub const KINDS: &'static [(&'static str, u16)] = &[$(($kind, $version)),+];

            /// The kind's name in the logbook.
            pub const fn kind(&self) -> &'static str {
                match self { $(Self::$variant(_) => $kind),+ }
            }

            /// The version of the payload's shape.
            pub const fn version(&self) -> u16 {
                match self { $(Self::$variant(_) => $version),+ }
            }

            /// Whether an older program may ignore this kind.
            pub const fn weight(&self) -> Weight {
                match self { $(Self::$variant(_) => Weight::$weight),+ }
            }

            /// The payload's bytes: JSON with the fields in the order of their declaration.
            pub fn encode(&self) -> Vec<u8> {
                match self {
                    $(Self::$variant(payload) => serde_json::to_vec(payload)
                        .expect("payloads hold only strings, integers and lists, which JSON can always express")),+
                }
            }

            /// Reads a payload. Never fails: what can't be read is [`Decoded::Unknown`] and stays as it is.
            pub fn decode(kind: &str, version: u16, payload: &[u8], must_not_ignore: bool) -> Decoded {
                let known = match (kind, version) {
                    $(($kind, $version) => serde_json::from_slice(payload).ok().map(|payload| Self::$variant(payload)),)+
                    _ => None,
                };
                match known {
                    Some(fact) => Decoded::Known(Box::new(fact)),
                    None => Decoded::Unknown { kind: kind.to_owned(), must_not_ignore },
                }
            }
        }
    };
}

facts! {
    /// The lab's name, address, zone and money.
    "lab.described" v 1 MayBeIgnored LabDescribed(LabDescription),
    /// The mark beside the lab's name on its papers.
    "lab.mark_set" v 1 MayBeIgnored LabMarkSet(LabMark),
    /// What the lab says on its papers in its own words.
    "lab.paper_texts_set" v 1 MayBeIgnored PaperTextsSet(PaperTexts),
    /// A functional test of the lab's catalogue.
    "test.defined" v 1 MayBeIgnored TestDefined(TestDefinition),
    /// A board and the devices it is in.
    "board.described" v 1 MayBeIgnored BoardDescribed(BoardDescription),
    /// A part of a board.
    "board.part_described" v 1 MayBeIgnored BoardPartDescribed(BoardPart),
    /// Whether heat on one part of a board reaches another.
    "board.nearness_set" v 1 MayBeIgnored BoardNearnessSet(BoardNearness),
    /// A lot of parts came, with what its label says.
    "lot.received" v 1 MayBeIgnored LotReceived(LotReceipt),
    /// A lot's bag was opened.
    "lot.opened" v 1 MayBeIgnored LotOpened(LotBag),
    /// A lot's bag was closed again.
    "lot.closed" v 1 MayBeIgnored LotClosed(LotBag),
    /// A lot was baked.
    "lot.baked" v 1 MayBeIgnored LotBaked(LotBake),
    /// A procedure of the lab.
    "procedure.defined" v 1 MayBeIgnored ProcedureDefined(Procedure),
    /// A newer row of the rule book about cells.
    "rule.updated" v 1 MustBeRead RuleUpdated(RuleUpdate),
    /// A person's training for lithium shipments.
    "person.trained" v 1 MayBeIgnored PersonTrained(Training),
    /// A person's name and roles.
    "person.described" v 1 MayBeIgnored PersonDescribed(PersonDescription),
    /// A shop's name, address and money.
    "shop.described" v 1 MayBeIgnored ShopDescribed(ShopDescription),
    /// The price up to which a shop agrees beforehand.
    "shop.limit_set" v 1 MayBeIgnored ShopLimitSet(StandingLimit),
    /// A shop wanted to advise a device whose cell must not be posted.
    "advice.refused" v 1 MayBeIgnored AdviceRefused(RefusedAdvice),

    /// A shop's notice of what it has put in a parcel.
    "parcel.advised" v 1 MayBeIgnored ParcelAdvised(ParcelAdvice),
    /// A parcel's tracking number, as known.
    "parcel.tracking_set" v 1 MayBeIgnored ParcelTrackingSet(Tracking),
    /// Which shop a parcel is from.
    "parcel.shop_set" v 1 MayBeIgnored ParcelShopSet(ParcelShop),
    /// A parcel came in: custody of what is inside begins.
    "parcel.received" v 1 MayBeIgnored ParcelReceived(ParcelReceipt),
    /// Something seen on a parcel.
    "parcel.finding_recorded" v 1 MustBeRead ParcelFindingRecorded(ParcelFindingRecord),
    /// A trained person found a dangerous parcel safe to open.
    "parcel.released" v 1 MayBeIgnored ParcelReleased(ParcelRelease),
    /// A photo of a parcel.
    "parcel.photo_added" v 1 MayBeIgnored ParcelPhotoAdded(PhotoAdded),
    /// Expected devices counted against those found.
    "parcel.counted" v 1 MayBeIgnored ParcelCounted(ParcelCount),
    /// A return parcel was begun for a shop.
    "parcel.opened" v 1 MayBeIgnored ParcelOpened(ParcelOpening),
    /// A device was scanned into a return parcel.
    "parcel.device_packed" v 1 MayBeIgnored ParcelDevicePacked(ParcelDevice),
    /// A device was taken out of a return parcel again.
    "parcel.device_unpacked" v 1 MayBeIgnored ParcelDeviceUnpacked(ParcelDevice),
    /// A return parcel's weight.
    "parcel.weighed" v 1 MayBeIgnored ParcelWeighed(ParcelWeight),
    /// How a return parcel goes.
    "parcel.transport_set" v 1 MayBeIgnored ParcelTransportSet(TransportPlan),
    /// A trained shipper decided where the law leaves a choice.
    "parcel.transport_decided" v 1 MayBeIgnored ParcelTransportDecided(TransportDecision),
    /// The transport verdict with which a parcel left.
    "parcel.verdict_given" v 1 MayBeIgnored ParcelVerdictGiven(GivenVerdict),
    /// A return parcel was handed to its carrier: custody ends.
    "parcel.shipped" v 1 MayBeIgnored ParcelShipped(Shipment),

    /// A device announced by its shop.
    "job.advised" v 1 MayBeIgnored JobAdvised(JobAdvice),
    /// A device that nobody announced was taken in.
    "job.opened" v 1 MayBeIgnored JobOpened(JobAdvice),
    /// A device was found in its parcel.
    "job.arrived" v 1 MayBeIgnored JobArrived(JobArrival),
    /// An announced device was not in its parcel.
    "job.missed" v 1 MayBeIgnored JobMissed(JobArrival),
    /// What the device is, as the lab sees it.
    "device.described" v 1 MayBeIgnored DeviceDescribed(DeviceDescription),
    /// The look at the lithium cell before power.
    "cell.checked" v 1 MustBeRead CellChecked(crate::cells::CellCheck),
    /// A device or a removed cell was put somewhere in isolation.
    "cell.placed" v 1 MustBeRead CellPlaced(CellPlacement),
    /// A look at a cell that is being watched.
    "cell.reading_taken" v 1 MustBeRead CellReadingTaken(CellReading),
    /// The cell was taken out of the device: on the job.
    "cell.removed" v 1 MustBeRead CellRemoved(CellRemoval),
    /// The cell that was taken out became a thing of its own: on the cell.
    "cell.set_apart" v 1 MustBeRead CellSetApart(CellOrigin),
    /// A person with battery knowledge judged it sound or damaged.
    "cell.judged" v 1 MustBeRead CellJudged(CellJudged),
    /// It was handed to a recycler.
    "cell.handed_over" v 1 MayBeIgnored CellHandedOver(CellHandOver),
    /// It goes back under the special provisions for damaged cells.
    "cell.returned" v 1 MayBeIgnored CellReturned(CellReturn),
    /// It stays in isolation for a reason.
    "cell.held" v 1 MayBeIgnored CellHeld(CellHold),
    /// Identifiers read from the device.
    "identity.recorded" v 1 MayBeIgnored IdentityRecorded(Identity),
    /// One mark on the device's case.
    "condition.recorded" v 1 MayBeIgnored ConditionRecorded(Condition),
    /// Locks, indicators, seals and signs of earlier work.
    "signs.recorded" v 1 MayBeIgnored SignsRecorded(Signs),
    /// What came along with the device.
    "accessories.recorded" v 1 MayBeIgnored AccessoriesRecorded(Accessories),
    /// A passcode, sealed under the lab's key.
    "passcode.sealed" v 1 MayBeIgnored PasscodeSealed(SealedPasscode),
    /// A sealed passcode was opened by a person, for a reason.
    "passcode.opened" v 1 MayBeIgnored PasscodeOpened(PasscodeOpening),
    /// A sealed passcode's bytes are to be erased everywhere.
    "passcode.destroyed" v 1 MustBeRead PasscodeDestroyed(PasscodeDestruction),
    /// A photo of the device.
    "photo.added" v 1 MayBeIgnored PhotoAdded(PhotoAdded),
    /// The tests that this job's proof rests on.
    "tests.chosen" v 1 MayBeIgnored TestsChosen(ChosenTests),
    /// One test's result, before or after.
    "test.resulted" v 1 MayBeIgnored TestResulted(TestResult),
    /// What is thought to be wrong.
    "diagnosis.recorded" v 1 MayBeIgnored DiagnosisRecorded(Diagnosis),
    /// A price for the shop.
    "quote.set" v 1 MayBeIgnored QuoteSet(Quote),
    /// The shop's answer to one quote.
    "decision.made" v 1 MayBeIgnored DecisionMade(Decision),
    /// The job is worked by a procedure from now on.
    "procedure.begun" v 1 MayBeIgnored ProcedureBegun(ProcedureBegun),
    /// One step of bench work.
    "step.recorded" v 1 MayBeIgnored StepRecorded(Step),
    /// The job waits for something.
    "hold.placed" v 1 MustBeRead HoldPlaced(Hold),
    /// What a hold waited for is there.
    "hold.lifted" v 1 MayBeIgnored HoldLifted(HoldLift),
    /// A block that is not a legal prohibition was passed, with a reason.
    "block.overridden" v 1 MayBeIgnored BlockOverridden(Override),
    /// How the job ended.
    "outcome.set" v 1 MayBeIgnored OutcomeSet(OutcomeRecord),
    /// A return report was made.
    "report.issued" v 1 MayBeIgnored ReportIssued(IssuedReport),
    /// The device lies in a return parcel.
    "job.packed" v 1 MayBeIgnored JobPacked(JobParcel),
    /// The device was taken out of a return parcel.
    "job.unpacked" v 1 MayBeIgnored JobUnpacked(JobParcel),
    /// The device left for its shop: custody ends.
    "job.shipped" v 1 MayBeIgnored JobShipped(JobShipment),
    /// The device was destroyed by agreement or law.
    "job.destroyed" v 1 MayBeIgnored JobDestroyed(Destruction),
    /// A message between lab and shop.
    "message.posted" v 1 MayBeIgnored MessagePosted(Message),
    /// A note for the lab only.
    "note.recorded" v 1 MayBeIgnored NoteRecorded(Note),
    /// An entry was recorded by mistake.
    "entry.withdrawn" v 1 MustBeRead EntryWithdrawn(Withdrawal),
}

impl Fact {
    /// The entry whose payload bytes every store must erase when it takes in this fact. The entry's header and its salted
    /// hash stay, so its stream still verifies.
    pub const fn erases(&self) -> Option<EntryId> {
        match self {
            Self::PasscodeDestroyed(destruction) => Some(destruction.sealed_entry_id),
            _ => None,
        }
    }
}
