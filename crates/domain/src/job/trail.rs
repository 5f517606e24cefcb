//! The custody trail in words: one line an entry, with its business step where the Core Business Vocabulary has one.
//!
//! Business steps are those of GS1 CBV 2.0 (ISO/IEC 19988), section 7.1. The trail tells; it decides nothing.

use serde::{Deserialize, Serialize};

use super::fold::standing_entries;
use crate::cells::judge;
use crate::fact::{Answer, Fact, Phase};
use crate::recorded::{Decoded, Mark, Recorded};

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
}

/// The business step (CBV 2.0) that a fact is, if it is one.
pub const fn biz_step(fact: &Fact) -> Option<&'static str> {
    Some(match fact {
        Fact::JobArrived(_) | Fact::ParcelReceived(_) => "receiving",
        Fact::CellChecked(_)
        | Fact::ConditionRecorded(_)
        | Fact::IdentityRecorded(_)
        | Fact::TestResulted(_) => "inspecting",
        Fact::HoldPlaced(_) => "holding",
        Fact::StepRecorded(_) => "repairing",
        Fact::JobPacked(_) | Fact::ParcelDevicePacked(_) => "packing",
        Fact::JobUnpacked(_) | Fact::ParcelDeviceUnpacked(_) => "unpacking",
        Fact::JobShipped(_) | Fact::ParcelShipped(_) => "shipping",
        Fact::JobDestroyed(_) => "destroying",
        _ => return None,
    })
}

/// Tells the trail of one subject, oldest first, withdrawn entries included.
pub fn trail(entries: &[Recorded]) -> Vec<TrailLine> {
    let standing: std::collections::BTreeSet<_> = standing_entries(entries)
        .iter()
        .map(|recorded| recorded.entry_id)
        .collect();
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
        })
        .collect()
}

fn phase(phase: Phase) -> &'static str {
    match phase {
        Phase::Before => "before",
        Phase::After => "after",
    }
}

fn words(fact: &Fact) -> String {
    match fact {
        Fact::JobAdvised(_) => "announced by the shop".to_owned(),
        Fact::JobOpened(_) => "taken in unannounced".to_owned(),
        Fact::JobArrived(_) => "found in its parcel".to_owned(),
        Fact::JobMissed(_) => "not in its parcel".to_owned(),
        Fact::DeviceDescribed(device) => format!("described as {} {}", device.maker, device.model),
        Fact::CellChecked(check) => format!("cell checked: {}", judge(check).level.word()),
        Fact::IdentityRecorded(_) => "identifiers read".to_owned(),
        Fact::ConditionRecorded(_) => "mark on the case recorded".to_owned(),
        Fact::SignsRecorded(_) => "locks, seals and indicators recorded".to_owned(),
        Fact::AccessoriesRecorded(_) => "accessories recorded".to_owned(),
        Fact::PasscodeSealed(_) => "passcode sealed".to_owned(),
        Fact::PasscodeOpened(opening) => format!("passcode opened: {}", opening.reason),
        Fact::PasscodeDestroyed(_) => "passcode destroyed".to_owned(),
        Fact::PhotoAdded(_) => "photo added".to_owned(),
        Fact::TestsChosen(chosen) => format!("{} tests chosen", chosen.tests.len()),
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
        Fact::ParcelPhotoAdded(_) => "parcel photo added".to_owned(),
        Fact::ParcelCounted(count) => format!(
            "counted: {} found, {} missing, {} extra",
            count.found.len(),
            count.missing.len(),
            count.extra.len()
        ),
        Fact::ParcelOpened(_) => "return parcel begun".to_owned(),
        Fact::ParcelWeighed(weight) => format!("weighed: {} g", weight.grams),
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
