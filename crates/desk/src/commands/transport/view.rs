//! The verdict of a return parcel as it is shown, with all that keeps the parcel from going.
//!
//! A parcel that has left shows what it left with; it is never judged again.

use domain::PersonId;
use domain::cells::transport::{Parcel as Question, Regime, Verdict, VerdictCode, judge_parcel};
use domain::fact::{GivenVerdict, TransportDecision, TransportPlan};
use domain::parcel::Parcel;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::covers;
use crate::commands::PersonBrief;
use crate::desk::Desk;
use crate::error::DeskError;

/// The verdict of a return parcel, with what it rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TransportView {
    /// How it goes, as said last.
    pub plan: Option<TransportPlan>,
    /// The regime of the lab's own country, where a form begins.
    pub own_regime: Regime,
    /// The question, once it can be asked.
    pub question: Option<Question>,
    /// The verdict; none while nobody said how it goes, and none for a parcel without a cell.
    pub verdict: Option<Verdict>,
    /// The decision that covers this verdict, if one does.
    pub decision: Option<TransportDecision>,
    /// The person who decided.
    pub decided_by: Option<PersonBrief>,
    /// True when the verdict leaves a trained shipper a choice.
    pub may_decide: bool,
    /// The last day of the training of the person at this desktop; `None` without one.
    pub trained_until: Option<String>,
    /// What keeps the parcel from going, in sentences; empty when it may go.
    pub blocked: Vec<String>,
}

impl Desk {
    /// The verdict of a return parcel, and what keeps it from going. A parcel that has left shows what it left with.
    pub(crate) fn transport_view(&self, parcel: &Parcel) -> Result<TransportView, DeskError> {
        let plan = parcel.transport.as_ref().map(|plan| plan.value);
        let trained_until = self
            .person_id()
            .ok()
            .map(|person_id| self.trained_until(person_id))
            .transpose()?
            .flatten();
        let lab = self.lab()?;
        let country = lab.description.value().map_or("", |lab| &lab.country);
        let mut view = TransportView {
            plan,
            own_regime: regime_of(country),
            question: None,
            verdict: None,
            decision: None,
            decided_by: None,
            may_decide: false,
            trained_until: trained_until.map(|until| until.to_string()),
            blocked: Vec::new(),
        };
        if let Some(given) = &parcel.verdict {
            view.question = Some(given.value.question.clone());
            view.verdict = Some(given.value.verdict.clone());
        } else if parcel.shipped.is_none() && !parcel.inside.is_empty() {
            self.ask(parcel, plan, &mut view)?;
        }
        self.covering_decision(parcel, &mut view)?;
        if parcel.shipped.is_none() {
            block(&mut view);
        }
        Ok(view)
    }

    /// Asks for the verdict, if everything that only a person can say was said.
    fn ask(
        &self,
        parcel: &Parcel,
        plan: Option<TransportPlan>,
        view: &mut TransportView,
    ) -> Result<(), DeskError> {
        let book = self.lab()?.rule_book();
        let contents = self.contents_of(parcel, plan, &book)?;
        if contents.is_empty() {
            return Ok(());
        }
        let Some(plan) = plan else {
            view.blocked.push(
                "Nobody has said how this parcel goes; choose road, post or air, and the carrier."
                    .to_owned(),
            );
            return Ok(());
        };
        let question = self.question(parcel, plan, contents)?;
        view.verdict = Some(judge_parcel(&book, &question));
        view.question = Some(question);
        Ok(())
    }

    /// Finds the decision that covers the verdict: about the same rules, and no milder a verdict.
    fn covering_decision(
        &self,
        parcel: &Parcel,
        view: &mut TransportView,
    ) -> Result<(), DeskError> {
        let Some(verdict) = &view.verdict else {
            return Ok(());
        };
        view.may_decide = matches!(verdict.verdict, VerdictCode::DdrGround | VerdictCode::Hold)
            && parcel.shipped.is_none();
        let covering = parcel
            .decision
            .as_ref()
            .filter(|decision| covers(&decision.value, verdict));
        if let Some(decision) = covering {
            view.decision = Some(decision.value.clone());
            view.decided_by = self
                .people_named(std::iter::once(decision.mark.actor_id))?
                .pop();
        }
        Ok(())
    }

    /// What is recorded beside the shipping of a parcel: the verdict it leaves with.
    pub(crate) fn verdict_to_record(
        &self,
        parcel: &Parcel,
    ) -> Result<Option<GivenVerdict>, DeskError> {
        let view = self.transport_view(parcel)?;
        if let Some(first) = view.blocked.first() {
            return Err(DeskError::refused(first));
        }
        Ok(view
            .question
            .zip(view.verdict)
            .map(|(question, verdict)| GivenVerdict { question, verdict }))
    }

    /// The last day of a person's training, unless it has run out.
    pub(crate) fn trained_until(&self, person_id: PersonId) -> Result<Option<Date>, DeskError> {
        let today = self.ship_date()?;
        let training = self.person_fold(person_id)?.training;
        Ok(training
            .map(|training| training.value.until)
            .filter(|until| *until >= today))
    }

    /// Today in the lab's zone: the day a parcel that is handed over now leaves.
    pub(super) fn ship_date(&self) -> Result<Date, DeskError> {
        self.today()?.parse().map_err(DeskError::refused)
    }
}

/// The sentences that keep a parcel from going.
fn block(view: &mut TransportView) {
    let Some(verdict) = &view.verdict else {
        return;
    };
    let first = verdict.rules.first().map_or("", |rule| rule.text.as_str());
    match verdict.verdict {
        VerdictCode::Forbidden => view
            .blocked
            .push(format!("This parcel must not go this way. {first}")),
        VerdictCode::Hold if view.decision.is_none() => view
            .blocked
            .push(format!("This parcel waits for a trained shipper. {first}")),
        VerdictCode::DdrGround if view.decision.is_none() => view.blocked.push(
            "This parcel goes by road only, under the provisions for damaged batteries; a trained shipper must sign.".to_owned(),
        ),
        _ => {}
    }
}

/// The regime of a country, where this program knows one: for what a form begins with.
fn regime_of(country: &str) -> Regime {
    if country.trim().eq_ignore_ascii_case("US") {
        Regime::UsHmr
    } else {
        Regime::Adr
    }
}
