//! The custody trail in words: one line an entry, with its business step where the Core Business Vocabulary has one.
//!
//! Business steps are those of GS1 CBV 2.0 (ISO/IEC 19988), section 7.1. The trail tells; it decides nothing.

use serde::{Deserialize, Serialize};

use super::fold::standing_entries;
use crate::cells::{celsius, judge, volts};
use crate::fact::{Answer, CellPlacement, CellReading, Fact, Phase};
use crate::recorded::{Decoded, Mark, Recorded};
use crate::reference::CellRef;

/// One line of the trail.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct TrailLine {
    /// Who and when.
    pub mark: Mark,
    /// What happened, in a few words.
    pub words: String,
    /// The business step, if it is one.
    pub biz_step: Option<String>,
    /// True when the entry was withdrawn later.
    pub withdrawn: bool,
    /// Why the entry can't be taken back; `None` when it can.
    pub kept_because: Option<String>,
}

/// The business step (CBV 2.0) that a fact is, if it is one.
pub const fn biz_step(fact: &Fact) -> Option<&'static str> {
    Some(match fact {
        Fact::JobArrived(_) | Fact::ParcelReceived(_) => "receiving",
        Fact::CellChecked(_)
        | Fact::ConditionRecorded(_)
        | Fact::IdentityRecorded(_)
        | Fact::CellReadingTaken(_)
        | Fact::CellJudged(_)
        | Fact::TestResulted(_) => "inspecting",
        Fact::HoldPlaced(_) | Fact::CellPlaced(_) | Fact::CellHeld(_) => "holding",
        Fact::CellRemoved(_) => "removing",
        Fact::StepRecorded(_) => "repairing",
        Fact::JobPacked(_) | Fact::ParcelDevicePacked(_) => "packing",
        Fact::JobUnpacked(_) | Fact::ParcelDeviceUnpacked(_) => "unpacking",
        Fact::JobShipped(_) | Fact::ParcelShipped(_) => "shipping",
        Fact::JobDestroyed(_) => "destroying",
        _ => return None,
    })
}

/// Why an entry of this subject stays for good, in a sentence; `None` when it may be taken back.
pub fn kept_because(entries: &[Recorded], entry: &Recorded) -> Option<&'static str> {
    kept(entry, left_at(entries))
}

/// Where in the order of entries the subject left the house.
type Place = (crate::recorded::Stamp, crate::ids::EntryId);

fn left_at(entries: &[Recorded]) -> Option<Place> {
    standing_entries(entries)
        .into_iter()
        .filter(|recorded| {
            matches!(
                recorded.fact(),
                Some(Fact::JobShipped(_) | Fact::ParcelShipped(_))
            )
        })
        .map(|recorded| (recorded.stamp, recorded.entry_id))
        .max()
}

fn kept(entry: &Recorded, left: Option<Place>) -> Option<&'static str> {
    match entry.fact() {
        Some(Fact::EntryWithdrawn(_)) => {
            Some("Taking back can't be taken back; record the fact again.")
        }
        Some(Fact::PasscodeDestroyed(_) | Fact::PasscodeOpened(_)) => {
            Some("What happened to a passcode stays recorded; it can't be taken back.")
        }
        Some(Fact::CellRemoved(_) | Fact::CellSetApart(_)) => {
            Some("A cell that was taken out has a trail of its own; record on it what was wrong.")
        }
        Some(Fact::CellHandedOver(_)) => {
            Some("What was handed over can't be called back here; write to the recycler.")
        }
        Some(Fact::JobShipped(_) | Fact::ParcelShipped(_)) => {
            Some("A parcel that has left can't be called back here; write to the shop.")
        }
        _ if left.is_some_and(|left| (entry.stamp, entry.entry_id) < left) => {
            Some("It has left, with papers that rest on this; write a note or a message instead.")
        }
        _ => None,
    }
}

/// Tells the trail of one subject, oldest first, withdrawn entries included.
pub fn trail(entries: &[Recorded]) -> Vec<TrailLine> {
    let standing: std::collections::BTreeSet<_> = standing_entries(entries)
        .iter()
        .map(|recorded| recorded.entry_id)
        .collect();
    let left = left_at(entries);
    let mut sorted: Vec<&Recorded> = entries.iter().collect();
    sorted.sort_by_key(|recorded| (recorded.stamp, recorded.entry_id));
    sorted.dedup_by_key(|recorded| recorded.entry_id);
    sorted
        .into_iter()
        .map(|recorded| TrailLine {
            mark: Mark::from(recorded),
            words: match &recorded.decoded {
                Decoded::Known(fact) => words(fact),
                Decoded::Unknown { .. } => {
                    "something a newer version of the program recorded".to_owned()
                }
            },
            biz_step: recorded.fact().and_then(biz_step).map(str::to_owned),
            withdrawn: !standing.contains(&recorded.entry_id),
            kept_because: kept(recorded, left).map(str::to_owned),
        })
        .collect()
}

fn phase(phase: Phase) -> &'static str {
    match phase {
        Phase::Before => "before",
        Phase::After => "after",
    }
}

/// A place in isolation, in words.
fn place_words(placement: &CellPlacement) -> String {
    let place = placement.place.words();
    if placement.position.is_empty() {
        place.to_owned()
    } else {
        format!("{place}, {}", placement.position)
    }
}

/// A reading in words: what was seen, then what was measured.
fn reading_words(reading: &CellReading) -> String {
    let mut words: Vec<String> = reading
        .findings
        .iter()
        .map(|finding| finding.words().to_owned())
        .collect();
    words.extend(reading.voltage_mv.map(volts));
    words.extend(
        reading
            .surface_tenths_c
            .map(|tenths| format!("surface {}", celsius(tenths))),
    );
    words.extend(
        reading
            .room_tenths_c
            .map(|tenths| format!("room {}", celsius(tenths))),
    );
    words.join(", ")
}

#[expect(
    clippy::too_many_lines,
    reason = "a table: a line or two for each kind"
)]
fn words(fact: &Fact) -> String {
    match fact {
        Fact::JobAdvised(_) => "announced by the shop".to_owned(),
        Fact::JobOpened(_) => "taken in unannounced".to_owned(),
        Fact::JobArrived(_) => "found in its parcel".to_owned(),
        Fact::JobMissed(_) => "not in its parcel".to_owned(),
        Fact::DeviceDescribed(device) => format!("described as {} {}", device.maker, device.model),
        Fact::CellChecked(check) => format!("cell checked: {}", judge(check).level.word()),
        Fact::CellPlaced(placement) => format!("put in isolation: {}", place_words(placement)),
        Fact::CellReadingTaken(reading) => format!("reading: {}", reading_words(reading)),
        Fact::CellRemoved(removal) => {
            format!("cell taken out: {}", CellRef::of(removal.cell_id))
        }
        Fact::CellSetApart(origin) => format!("taken out of {}", origin.device),
        Fact::CellJudged(judged) => {
            format!("judged {}: {}", judged.verdict.word(), judged.reason)
        }
        Fact::CellHandedOver(record) => format!(
            "handed to {}, paper {}",
            record.recycler, record.paper_number
        ),
        Fact::CellReturned(record) => format!("goes back under {}", record.provisions),
        Fact::CellHeld(held) => format!("stays in isolation: {}", held.reason),
        Fact::IdentityRecorded(_) => "identifiers read".to_owned(),
        Fact::ConditionRecorded(_) => "mark on the case recorded".to_owned(),
        Fact::SignsRecorded(_) => "locks, seals and indicators recorded".to_owned(),
        Fact::AccessoriesRecorded(_) => "accessories recorded".to_owned(),
        Fact::PasscodeSealed(_) => "passcode sealed".to_owned(),
        Fact::PasscodeOpened(opening) => format!("passcode opened: {}", opening.reason),
        Fact::PasscodeDestroyed(_) => "passcode destroyed".to_owned(),
        Fact::PhotoAdded(_) => "photo added".to_owned(),
        Fact::TestsChosen(chosen) => match chosen.tests.len() {
            1 => "1 test chosen".to_owned(),
            count => format!("{count} tests chosen"),
        },
        Fact::TestResulted(result) => format!("tested {}: {}", phase(result.phase), result.title),
        Fact::DiagnosisRecorded(_) => "diagnosis recorded".to_owned(),
        Fact::QuoteSet(_) => "quote set".to_owned(),
        Fact::DecisionMade(decision) => match decision.answer {
            Answer::Agree => "quote agreed".to_owned(),
            Answer::Refuse => "quote refused".to_owned(),
            Answer::Ask => format!("the shop asks: {}", decision.note),
        },
        Fact::StepRecorded(step) => step.text.clone(),
        Fact::HoldPlaced(hold) => format!("on hold: {}", hold.note),
        Fact::HoldLifted(_) => "hold lifted".to_owned(),
        Fact::BlockOverridden(over) => format!("block passed: {}", over.reason),
        Fact::OutcomeSet(outcome) => format!("outcome: {}", outcome.outcome.words()),
        Fact::ReportIssued(_) => "return report made".to_owned(),
        Fact::JobPacked(_) | Fact::ParcelDevicePacked(_) => "packed".to_owned(),
        Fact::JobUnpacked(_) | Fact::ParcelDeviceUnpacked(_) => {
            "taken out of its return parcel".to_owned()
        }
        Fact::JobShipped(_) | Fact::ParcelShipped(_) => "shipped".to_owned(),
        Fact::JobDestroyed(destruction) => format!("destroyed: {}", destruction.reason),
        Fact::MessagePosted(_) => "message".to_owned(),
        Fact::NoteRecorded(_) => "note".to_owned(),
        Fact::EntryWithdrawn(withdrawal) => format!("an entry withdrawn: {}", withdrawal.reason),
        Fact::ParcelAdvised(_) => "parcel announced".to_owned(),
        Fact::ParcelTrackingSet(tracking) => format!("tracking number {}", tracking.number),
        Fact::ParcelShopSet(_) => "shop chosen".to_owned(),
        Fact::ParcelReceived(_) => "parcel received".to_owned(),
        Fact::ParcelFindingRecorded(_) => "parcel findings recorded".to_owned(),
        Fact::ParcelReleased(release) => format!("found safe to open: {}", release.reason),
        Fact::ParcelPhotoAdded(_) => "parcel photo added".to_owned(),
        Fact::ParcelCounted(count) => format!(
            "counted: {} found, {} missing, {} extra",
            count.found.len(),
            count.missing.len(),
            count.extra.len()
        ),
        Fact::ParcelOpened(_) => "return parcel begun".to_owned(),
        Fact::ParcelTransportSet(plan) => {
            format!("goes {}, {}", plan.mode.words(), plan.carrier.words())
        }
        Fact::ParcelTransportDecided(decision) => {
            format!("a trained shipper lets it go: {}", decision.reason)
        }
        Fact::ParcelVerdictGiven(given) => {
            format!("transport verdict: {}", given.verdict.words)
        }
        Fact::RuleUpdated(update) => format!("rule {} is newer: {}", update.row.id, update.reason),
        Fact::PersonTrained(training) => {
            format!("trained for lithium until {}", training.until)
        }
        Fact::ParcelWeighed(weight) => format!("weighed: {} g", weight.grams),
        Fact::ProcedureBegun(begun) => format!(
            "worked by {} {}, version {}",
            begun.procedure.code.0, begun.procedure.name, begun.procedure.version
        ),
        Fact::BoardDescribed(board) => format!("board {} described", board.name),
        Fact::BoardPartDescribed(part) if part.gone => format!("{} struck out", part.designator),
        Fact::BoardPartDescribed(part) => format!("{} described", part.designator),
        Fact::BoardNearnessSet(pair) if pair.near => format!("{} is near {}", pair.a, pair.b),
        Fact::BoardNearnessSet(pair) => format!("{} is not near {}", pair.a, pair.b),
        Fact::LotReceived(receipt) => format!("lot {} described", receipt.lot.0),
        Fact::LotOpened(bag) => format!("bag of lot {} opened", bag.lot.0),
        Fact::LotClosed(bag) if bag.dry_cabinet => {
            format!("lot {} put into the dry cabinet", bag.lot.0)
        }
        Fact::LotClosed(bag) => format!("bag of lot {} closed", bag.lot.0),
        Fact::LotBaked(bake) => format!(
            "lot {} baked: {} h at {} °C",
            bake.lot.0, bake.hours, bake.temperature_c
        ),
        Fact::ProcedureDefined(procedure) => format!(
            "procedure {} defined, version {}",
            procedure.code.0, procedure.version
        ),
        Fact::LabMarkSet(mark) => match mark.picture {
            Some(_) => "mark set on papers".to_owned(),
            None => "mark taken off papers".to_owned(),
        },
        Fact::PaperTextsSet(_) => "texts of papers changed".to_owned(),
        Fact::LabDescribed(_)
        | Fact::TestDefined(_)
        | Fact::PersonDescribed(_)
        | Fact::ShopDescribed(_)
        | Fact::ShopLimitSet(_) => "description changed".to_owned(),
        Fact::AdviceRefused(refused) => format!(
            "advice refused for {}: its cell must not be posted",
            refused.device
        ),
    }
}
