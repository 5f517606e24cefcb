//! The transport verdict of a return parcel: asked from its jobs' cell checks, shown, and decided where the law leaves a choice.
//!
//! A parcel that must not go never goes, whoever signs. A hold, or the road for damaged cells, goes only by the decision of a
//! person trained for it, with a reason.

mod along;
mod question;
mod rules;
mod view;

pub(super) use along::{lies_alone, may_go_along};
pub use rules::{
    BookRowView, RecordTraining, RuleBookView, TrainedPerson, UpdateRule, record_training,
    rule_book, update_rule,
};
pub use view::TransportView;

use std::collections::BTreeSet;

use domain::cells::transport::{Verdict, VerdictCode};
use domain::fact::{Fact, TransportDecision, TransportPlan};
use domain::parcel::{Direction, Parcel, ParcelStage};
use domain::{ParcelId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::dock::ParcelKey;
use crate::desk::Desk;
use crate::error::DeskError;

/// Says how a return parcel goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordTransport {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// How it goes.
    pub plan: TransportPlan,
}

/// A trained shipper's decision.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DecideTransport {
    /// The parcel.
    pub parcel_id: ParcelId,
    /// Why it may go.
    pub reason: String,
}

/// The verdict of a return parcel.
pub fn transport_verdict(desk: &Desk, request: ParcelKey) -> Result<TransportView, DeskError> {
    let parcel = outward(desk, request.parcel_id)?;
    desk.transport_view(&parcel)
}

/// Says how a return parcel goes.
pub fn record_transport(desk: &Desk, request: RecordTransport) -> Result<TransportView, DeskError> {
    being_packed(&outward(desk, request.parcel_id)?)?;
    let percents = [
        ("charge_rated_pct", request.plan.charge_rated_pct),
        ("charge_shown_pct", request.plan.charge_shown_pct),
    ];
    for (field, percent) in percents {
        if let Some(percent) = percent.filter(|percent| *percent > 100) {
            return Err(DeskError::field(
                field,
                format!("{percent} % is no charge; it is 100 % at most"),
            ));
        }
    }
    if request.plan.packages == 0 {
        return Err(DeskError::field(
            "packages",
            "count this package too: at least 1 goes to the address",
        ));
    }
    desk.record(
        Subject::Parcel(request.parcel_id),
        Fact::ParcelTransportSet(request.plan),
    )?;
    desk.transport_view(&outward(desk, request.parcel_id)?)
}

/// Lets a parcel go where the law leaves a trained shipper a choice.
pub fn decide_transport(desk: &Desk, request: DecideTransport) -> Result<TransportView, DeskError> {
    let parcel = outward(desk, request.parcel_id)?;
    being_packed(&parcel)?;
    let view = desk.transport_view(&parcel)?;
    let verdict = view.verdict.ok_or_else(|| {
        DeskError::refused("there is no verdict to decide about; say how the parcel goes first")
    })?;
    match verdict.verdict {
        VerdictCode::Forbidden => {
            return Err(DeskError::refused(
                "the law leaves no choice: this parcel must not go this way; choose one of the other ways",
            ));
        }
        VerdictCode::Ordinary | VerdictCode::Marked => {
            return Err(DeskError::refused(
                "this parcel may go as it is; there is nothing to decide",
            ));
        }
        VerdictCode::DdrGround | VerdictCode::Hold => {}
    }
    let trained_until = desk.trained_until(desk.person_id()?)?.ok_or_else(|| {
        DeskError::refused(
            "only a person whose training for lithium shipments is recorded and has not run out may decide; see Setup",
        )
    })?;
    let reason = request.reason.trim();
    if reason.is_empty() {
        return Err(DeskError::field(
            "reason",
            "say why it may go: what was checked, and in which edition",
        ));
    }
    desk.record(
        Subject::Parcel(request.parcel_id),
        Fact::ParcelTransportDecided(TransportDecision {
            verdict: verdict.verdict,
            rules: deciding_rules(&verdict),
            reason: reason.to_owned(),
            trained_until,
        }),
    )?;
    desk.transport_view(&outward(desk, request.parcel_id)?)
}

fn outward(desk: &Desk, parcel_id: ParcelId) -> Result<Parcel, DeskError> {
    let parcel = desk.parcel(parcel_id)?;
    if parcel.direction == Direction::Outward {
        Ok(parcel)
    } else {
        Err(DeskError::refused(
            "only a return parcel has a transport verdict",
        ))
    }
}

fn being_packed(parcel: &Parcel) -> Result<(), DeskError> {
    if parcel.stage == ParcelStage::Packing {
        Ok(())
    } else {
        Err(DeskError::refused("this parcel has left the house"))
    }
}

/// Whether a decision is about this verdict: the same answer, for the same rules.
pub(super) fn covers(decision: &TransportDecision, verdict: &Verdict) -> bool {
    decision.verdict == verdict.verdict && decision.rules == deciding_rules(verdict)
}

/// The rules that a decision is about: those that call for the verdict.
fn deciding_rules(verdict: &Verdict) -> Vec<String> {
    let rules: BTreeSet<String> = verdict
        .rules
        .iter()
        .filter(|rule| rule.verdict >= VerdictCode::DdrGround)
        .map(|rule| rule.id.clone())
        .collect();
    rules.into_iter().collect()
}
