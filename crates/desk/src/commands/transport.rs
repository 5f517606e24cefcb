//! The transport verdict of a return parcel: asked from its jobs' cell checks, shown, and decided where the law leaves a choice.
//!
//! A parcel that must not go never goes, whoever signs. A hold, or the road for damaged cells, goes only by the decision of a
//! person trained for it, with a reason. Nothing that a cell check left open is filled in here.

use std::collections::BTreeSet;

use domain::cells::bay::Diagnosis;
use domain::cells::book::{BookRow, RuleBook};
use domain::cells::transport::{
    Chem, Condition, Config, Contents, DeviceStatus, FindingCode, Millionths, Parcel as Question,
    Purpose, Regime, Verdict, VerdictCode, chem_of, codes_of, judge_parcel,
};
use domain::cells::{CellCheck, CellFinding};
use domain::fact::{
    Fact, GivenVerdict, Role, RuleUpdate, Training, TransportDecision, TransportPlan,
};
use domain::job::Job;
use domain::parcel::{Direction, Parcel, ParcelStage};
use domain::{ParcelId, PersonId, Subject};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::dock::ParcelKey;
use super::{Nothing, PersonBrief};
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

/// A row of the rule book, and whether the lab changed it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BookRowView {
    /// The row.
    pub row: BookRow,
    /// The number with its unit, or the list.
    pub value: String,
    /// The lab's reason, when the row is the lab's own.
    pub changed: Option<String>,
}

/// A person with their training for lithium shipments.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TrainedPerson {
    /// The person.
    pub person: PersonBrief,
    /// The last day of the training, if there is one.
    pub until: Option<String>,
    /// What it was.
    pub note: String,
}

/// The whole rule book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RuleBookView {
    /// Its state, as papers name it.
    pub revision: String,
    /// Its rows.
    pub rows: Vec<BookRowView>,
    /// Whether the person at this desktop may change it.
    pub may_edit: bool,
    /// Who is trained.
    pub people: Vec<TrainedPerson>,
}

/// Adds a newer row to the rule book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct UpdateRule {
    /// The row.
    pub row: BookRow,
    /// Why.
    pub reason: String,
}

/// Records a person's training.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordTraining {
    /// The person.
    pub person_id: PersonId,
    /// Its last day, as `2028-05-31`.
    pub until: String,
    /// What it was.
    pub note: String,
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

/// The whole rule book.
pub fn rule_book(desk: &Desk, _: Nothing) -> Result<RuleBookView, DeskError> {
    let lab = desk.lab()?;
    let book = lab.rule_book();
    let rows = book
        .rows()
        .iter()
        .map(|row| BookRowView {
            row: row.clone(),
            value: row.value_text(),
            changed: lab
                .rules
                .iter()
                .rev()
                .find(|update| update.value.row == *row)
                .map(|update| update.value.reason.clone()),
        })
        .collect();
    let mut people = Vec::new();
    for person in desk.people()? {
        if person.of_a_shop || person.left {
            continue;
        }
        let training = desk.person_fold(person.person_id)?.training;
        people.push(TrainedPerson {
            until: training
                .as_ref()
                .map(|training| training.value.until.to_string()),
            note: training.map_or_else(String::new, |training| training.value.note),
            person,
        });
    }
    Ok(RuleBookView {
        revision: book.revision(),
        rows,
        may_edit: desk.person()?.roles.contains(&Role::Owner),
        people,
    })
}

/// Adds a newer row to the rule book. Owners only.
pub fn update_rule(desk: &Desk, request: UpdateRule) -> Result<RuleBookView, DeskError> {
    owners_only(desk, "the rule book")?;
    let reason = request.reason.trim();
    if reason.is_empty() {
        return Err(DeskError::field(
            "reason",
            "say why the rule changes: which text you read, and when",
        ));
    }
    let lab = desk.lab()?;
    lab.rule_book()
        .accepts(&request.row)
        .map_err(DeskError::refused)?;
    desk.record(
        Subject::Lab(lab.lab_id),
        Fact::RuleUpdated(RuleUpdate {
            row: request.row,
            reason: reason.to_owned(),
        }),
    )?;
    rule_book(desk, Nothing {})
}

/// Records a person's training for lithium shipments. Owners only.
pub fn record_training(desk: &Desk, request: RecordTraining) -> Result<RuleBookView, DeskError> {
    owners_only(desk, "a person's training")?;
    desk.person_fold(request.person_id)?;
    let typed = request.until.trim();
    let until: Date = typed.parse().map_err(|_| {
        DeskError::field(
            "until",
            format!("“{typed}” is no day; write the last day of the training like 2028-05-31"),
        )
    })?;
    let note = request.note.trim();
    if note.is_empty() {
        return Err(DeskError::field(
            "note",
            "say what the training was: its course, its modes and who gave it",
        ));
    }
    desk.record(
        Subject::Person(request.person_id),
        Fact::PersonTrained(Training {
            until,
            note: note.to_owned(),
        }),
    )?;
    rule_book(desk, Nothing {})
}

fn owners_only(desk: &Desk, what: &str) -> Result<(), DeskError> {
    if desk.person()?.roles.contains(&Role::Owner) {
        Ok(())
    } else {
        Err(DeskError::refused(format!(
            "only the owner of the lab changes {what}; choose the owner at the top, or ask them"
        )))
    }
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

/// Refuses to put a device beside a damaged battery, or a damaged battery beside a device: each damaged one lies alone in its outer
/// packaging (49 CFR 173.185(f)(3); ADR P908 lets one package hold several, which no shop's ordinary parcel is packed for).
pub(super) fn lies_alone(
    desk: &Desk,
    parcel: &Parcel,
    job: &Job,
    name: &str,
) -> Result<(), DeskError> {
    if parcel.inside.is_empty() {
        return Ok(());
    }
    if is_damaged(job) {
        return Err(DeskError::field(
            "scanned",
            format!(
                "The battery of {name} is damaged, so it lies alone in its parcel; ship this parcel or empty it first, then begin one for it alone"
            ),
        ));
    }
    for job_id in &parcel.inside {
        let other = desk.job(*job_id)?;
        if is_damaged(&other) {
            return Err(DeskError::field(
                "scanned",
                format!(
                    "Job {} in this parcel has a damaged battery, which lies alone; ship this parcel first, then begin one for {name}",
                    other.reference
                ),
            ));
        }
    }
    Ok(())
}

/// A device that goes back with a damaged battery in it.
fn is_damaged(job: &Job) -> bool {
    !holds_no_cell(job)
        && (job.cell_state.goes_back.is_some() || job.cell_state.diagnosis >= Diagnosis::Damaged)
}

/// Refuses a device with which a parcel must not go the way that was said, before anybody closes the box.
pub(super) fn may_go_along(
    desk: &Desk,
    parcel: &Parcel,
    job: &Job,
    name: &str,
) -> Result<(), DeskError> {
    if parcel.transport.is_none() {
        return Ok(());
    }
    let mut with = parcel.clone();
    with.inside.push(job.job_id);
    let Some(verdict) = desk.transport_view(&with)?.verdict else {
        return Ok(());
    };
    if verdict.verdict != VerdictCode::Forbidden {
        return Ok(());
    }
    let why = verdict.rules.first().map_or("", |rule| rule.text.as_str());
    let instead = verdict.alternatives.first().map_or_else(
        || "Say another way for it, or send it apart.".to_owned(),
        |alternative| format!("Instead, {}: {}.", alternative.change, alternative.words),
    );
    Err(DeskError::field(
        "scanned",
        format!(
            "With {name} inside, this parcel must not go the way that was said. {why} {instead}"
        ),
    ))
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

    fn question(
        &self,
        parcel: &Parcel,
        plan: TransportPlan,
        contents: Vec<Contents>,
    ) -> Result<Question, DeskError> {
        let shop = parcel
            .shop_id
            .map(|shop_id| self.shop_fold(shop_id))
            .transpose()?;
        let country = shop
            .as_ref()
            .and_then(|shop| shop.description.value())
            .map(|shop| shop.country.clone())
            .filter(|country| !country.trim().is_empty());
        Ok(Question {
            regime: plan.regime,
            mode: plan.mode,
            carrier: plan.carrier,
            ship_date: self.ship_date()?,
            purpose: Purpose::Return,
            packages_per_consignment: Some(i64::from(plan.packages)),
            gross_g_per_package: parcel.grams.map(i64::from),
            contents,
            destination_country: country,
            outside_us_lower_48: plan.outside_us_lower_48,
            overpack: None,
            printed_mark: None,
            contents_given_twice: false,
        })
    }

    /// One line for each device with a cell.
    fn contents_of(
        &self,
        parcel: &Parcel,
        plan: Option<TransportPlan>,
        book: &RuleBook,
    ) -> Result<Vec<Contents>, DeskError> {
        let mut contents = Vec::new();
        for job_id in &parcel.inside {
            let job = self.job(*job_id)?;
            if !holds_no_cell(&job) {
                contents.push(line(&job, plan, book));
            }
        }
        Ok(contents)
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
    fn ship_date(&self) -> Result<Date, DeskError> {
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

/// A device whose cell was taken out, or that came without one.
fn holds_no_cell(job: &Job) -> bool {
    let missing = job
        .cell()
        .is_some_and(|cell| cell.check.findings == BTreeSet::from([CellFinding::Missing]));
    missing || job.is_without_cell()
}

/// One device of the parcel. Whatever its cell check does not say stays unknown.
fn line(job: &Job, plan: Option<TransportPlan>, book: &RuleBook) -> Contents {
    let check = job.cell().map(|cell| &cell.check);
    let rating = check.map(|check| check.rating).unwrap_or_default();
    let charge = |of: fn(&TransportPlan) -> Option<u8>| plan.as_ref().and_then(of).map(i64::from);
    Contents {
        chem: check.map_or(Chem::Unknown, |check| chem_of(check.chemistry)),
        cells_per_unit: check.and_then(CellCheck::cells).map(i64::from),
        wh_label: rating
            .label_uwh
            .and_then(|uwh| i64::try_from(uwh).ok())
            .map(Millionths),
        mv: rating.nominal_mv.map(i64::from),
        mah: rating.capacity_mah.map(i64::from),
        config: Some(Config::Contained),
        units_in_devices: Some(1),
        spare_sets: Some(0),
        devices_per_package: Some(1),
        findings: findings_of(job, book),
        inspected: job
            .cell()
            .map(|_| "cell check in the lab's logbook".to_owned()),
        soc_rated_pct: charge(|plan| plan.charge_rated_pct),
        soc_indicated_pct: charge(|plan| plan.charge_shown_pct),
        device_status: Some(DeviceStatus::Used),
        battery_original: plan.and_then(|plan| plan.batteries_original),
        powered_off: plan.and_then(|plan| plan.powered_off),
        ..Contents::default()
    }
}

/// The finding codes of a job's cell: those of every look at it, brought to what the cell stands at now. A cell that a person
/// with battery knowledge has judged sound since is sound.
fn findings_of(job: &Job, book: &RuleBook) -> BTreeSet<FindingCode> {
    let mut codes = codes_of(book, job.cell().map(|cell| &cell.check));
    let condition_of = |code: &FindingCode| code.condition().unwrap_or(Condition::Sound);
    let (wanted, otherwise) = match job.cell_state.diagnosis {
        Diagnosis::Sound => {
            codes.retain(|code| condition_of(code) == Condition::Sound);
            (Condition::Sound, FindingCode::F00)
        }
        Diagnosis::Undiagnosed => (Condition::Undiagnosed, FindingCode::F02),
        Diagnosis::Damaged => (Condition::Ddr, FindingCode::F19),
        Diagnosis::Critical => (Condition::Critical, FindingCode::F30),
    };
    if wanted > Condition::Sound {
        codes.retain(|code| code.condition() != Some(Condition::Sound));
        for look in &job.cell_state.looks {
            codes.extend(
                codes_of(book, Some(&look.check))
                    .into_iter()
                    .filter(|code| condition_of(code) == wanted),
            );
        }
    }
    if !codes.iter().any(|code| code.condition() >= Some(wanted)) {
        codes.insert(otherwise);
    }
    codes
}

/// The regime of a country, where this program knows one: for what a form begins with.
fn regime_of(country: &str) -> Regime {
    if country.trim().eq_ignore_ascii_case("US") {
        Regime::UsHmr
    } else {
        Regime::Adr
    }
}
