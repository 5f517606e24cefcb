//! What shops do on the portal, as entries of the server's own stream.
//!
//! Each act is one or more facts recorded together. The user is their actor, and an answer names the quote that was on the
//! page, so that a price changed meanwhile is never agreed to by accident. Scope is checked here again: a page's own check is
//! for its words, this one for the log.

use std::collections::BTreeSet;

use domain::fact::{
    Answer, AnswerWay, CellAnswer, Decision, Fact, JobAdvice, Message, MessageFrom, ParcelAdvice,
    PersonDescription, RefusedAdvice, Role, Tracking,
};
use domain::parcel::Direction;
use domain::shop_view::ShopQuote;
use domain::{EntryId, JobId, ParcelId, Subject, fold_parcel};

use super::Core;
use crate::auth::ShopScope;
use crate::clock::timed_uuid;
use crate::store::{OwnFact, StoreError, UserRow};

/// Most devices in one parcel's advice. A box of forty phones weighs 12 kg; more is several boxes.
pub const DEVICES_MAX: usize = 40;

/// Longest message or note, in characters: two pages.
pub const TEXT_CHARS_MAX: usize = 4_000;

/// How the message begins that tells what the lab answered about a battery whose condition is open.
pub const ASKED_BEFORE_POSTING: &str =
    "Asked the lab about the battery before posting. The answer: ";

/// One device of an advice, with the parcel and shop still to be filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewDevice {
    /// What the shop says; `shop_id` and `parcel_id` are set by [`Core::advise`].
    pub advice: JobAdvice,
    /// Who at the lab said that it may go although its cell's condition is open, and how; empty where nothing is open.
    pub lab_answer: String,
}

/// What a shop puts in one parcel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewAdvice {
    /// More words about the parcel.
    pub note: String,
    /// Carrier and number, if they are known already.
    pub tracking: Option<Tracking>,
    /// The devices.
    pub devices: Vec<NewDevice>,
}

/// What a user answered to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quoted {
    /// The job.
    pub job_id: JobId,
    /// The quote that was on the page.
    pub quote_entry_id: EntryId,
}

/// Why an act on the portal was not recorded.
#[derive(Debug, thiserror::Error)]
pub enum PortalError {
    /// No such device or parcel in this shop's scope.
    #[error("no such device or parcel")]
    NotFound,
    /// The quote was replaced, or the job went on, since the page was read.
    #[error(
        "The quote has changed since you opened the page. Nothing was recorded; please read it again and answer then."
    )]
    QuoteChanged,
    /// An answer in the way of the quote was given already.
    #[error("This quote has been answered already. Write a message if you have changed your mind.")]
    Answered,
    /// A device whose cell forbids the post.
    #[error(
        "A device in this parcel must not be posted because of its battery. Take it out of the list and call the lab."
    )]
    MustNotBePosted,
    /// A device whose cell's condition is open, without a trained person's answer.
    #[error(
        "Nobody knows how the battery of a device in this parcel is. Call the lab about it first, and write down who answered."
    )]
    AskFirst,
    /// No device, or too many.
    #[error("A parcel holds 1 to {DEVICES_MAX} devices, and this one would hold {count}.")]
    DeviceCount {
        /// How many were given.
        count: usize,
    },
    /// The parcel has arrived, so its tracking number is known better at the lab.
    #[error("This parcel has arrived, so its tracking number can no longer be changed here.")]
    HasArrived,
    /// A text is empty or too long.
    #[error("The text must have 1 to {TEXT_CHARS_MAX} characters.")]
    TextLength,
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl Core {
    /// Records a dispatch advice: the parcel, its tracking number if known, and every device. Returns the parcel.
    pub fn advise(&self, scope: &ShopScope, advice: NewAdvice) -> Result<ParcelId, PortalError> {
        let count = advice.devices.len();
        if count == 0 || count > DEVICES_MAX {
            return Err(PortalError::DeviceCount { count });
        }
        let forbids = |device: &NewDevice| {
            device
                .advice
                .cell_answers
                .iter()
                .any(|answer| answer.forbids_post())
        };
        if advice.devices.iter().any(forbids) {
            return Err(PortalError::MustNotBePosted);
        }
        let is_open = |device: &NewDevice| {
            device.lab_answer.trim().is_empty()
                && device
                    .advice
                    .cell_answers
                    .iter()
                    .any(|answer| answer.needs_an_answer())
        };
        if advice.devices.iter().any(is_open) {
            return Err(PortalError::AskFirst);
        }
        let parcel_id = ParcelId::new(self.id()?);
        let job_ids = advice
            .devices
            .iter()
            .map(|_| Ok(JobId::new(self.id()?)))
            .collect::<Result<Vec<_>, StoreError>>()?;
        let shop_id = scope.shop_id();
        let parcel = ParcelAdvice {
            shop_id,
            job_ids: job_ids.clone(),
            note: advice.note,
        };
        let mut facts = vec![self.own(
            scope,
            Subject::Parcel(parcel_id),
            Fact::ParcelAdvised(parcel),
        )?];
        if let Some(tracking) = advice.tracking {
            facts.push(self.own(
                scope,
                Subject::Parcel(parcel_id),
                Fact::ParcelTrackingSet(tracking),
            )?);
        }
        for (job_id, device) in job_ids.into_iter().zip(advice.devices) {
            let advised = JobAdvice {
                shop_id,
                parcel_id,
                ..device.advice
            };
            facts.push(self.own(scope, Subject::Job(job_id), Fact::JobAdvised(advised))?);
            if !device.lab_answer.trim().is_empty() {
                // A message, so that whoever opens the parcel reads it where all that the shop says is read.
                let message = Message {
                    from: MessageFrom::Shop,
                    text: format!("{ASKED_BEFORE_POSTING}{}", device.lab_answer.trim()),
                };
                facts.push(self.own(scope, Subject::Job(job_id), Fact::MessagePosted(message))?);
            }
        }
        self.record(scope, facts)?;
        tracing::info!(shop_id = %shop_id, parcel_id = %parcel_id, devices = count, "a parcel was announced");
        Ok(parcel_id)
    }

    /// Records that a shop wanted to post a device whose cell forbids it.
    pub fn refuse_advice(
        &self,
        scope: &ShopScope,
        device: String,
        answers: BTreeSet<CellAnswer>,
    ) -> Result<(), PortalError> {
        let fact = Fact::AdviceRefused(RefusedAdvice { device, answers });
        let fact = self.own(scope, Subject::Shop(scope.shop_id()), fact)?;
        self.record(scope, vec![fact])?;
        tracing::info!(shop_id = %scope.shop_id(), "an advice was refused because of its cell");
        Ok(())
    }

    /// Records the shop's answer to the quote it saw. A question is also a message, so that the lab reads it where it reads all.
    pub fn decide(
        &self,
        scope: &ShopScope,
        quoted: Quoted,
        answer: Answer,
        note: String,
    ) -> Result<(), PortalError> {
        check_length(&note, answer == Answer::Ask)?;
        let job = self
            .store
            .job(scope, quoted.job_id)?
            .ok_or(PortalError::NotFound)?;
        let quote = job.quote.as_ref().ok_or(PortalError::NotFound)?;
        if quote.quote_entry_id != quoted.quote_entry_id || !job.outcome.is_empty() {
            return Err(PortalError::QuoteChanged);
        }
        if !is_open(quote) {
            return Err(PortalError::Answered);
        }
        let subject = Subject::Job(quoted.job_id);
        let decision = Decision {
            quote_entry_id: quoted.quote_entry_id,
            answer,
            way: AnswerWay::Portal,
            note: note.clone(),
        };
        let mut decided = self.own(scope, subject, Fact::DecisionMade(decision))?;
        decided.based_on = vec![quoted.quote_entry_id];
        let mut facts = vec![decided];
        if !note.trim().is_empty() {
            let message = Message {
                from: MessageFrom::Shop,
                text: note,
            };
            facts.push(self.own(scope, subject, Fact::MessagePosted(message))?);
        }
        self.record(scope, facts)
    }

    /// Records a message to the lab about a device.
    pub fn post_message(
        &self,
        scope: &ShopScope,
        job_id: JobId,
        text: String,
    ) -> Result<(), PortalError> {
        check_length(&text, true)?;
        self.store
            .job(scope, job_id)?
            .ok_or(PortalError::NotFound)?;
        let message = Message {
            from: MessageFrom::Shop,
            text,
        };
        let fact = self.own(scope, Subject::Job(job_id), Fact::MessagePosted(message))?;
        self.record(scope, vec![fact])
    }

    /// Records the tracking number of a parcel that is on its way, in place of the one that was known.
    pub fn set_tracking(
        &self,
        scope: &ShopScope,
        parcel_id: ParcelId,
        tracking: Tracking,
    ) -> Result<(), PortalError> {
        let parcel = self
            .store
            .parcel(scope, parcel_id)?
            .ok_or(PortalError::NotFound)?;
        if parcel.direction != Direction::Inward || parcel.received_at_ms.is_some() {
            return Err(PortalError::HasArrived);
        }
        let subject = Subject::Parcel(parcel_id);
        let mut fact = self.own(scope, subject, Fact::ParcelTrackingSet(tracking))?;
        // A correction names what it corrects; else it would be a disagreement with the shop's own first number.
        let known = fold_parcel(parcel_id, &self.store.recorded(scope.lab(), subject)?);
        fact.based_on = known.tracking.based_on();
        self.record(scope, vec![fact])
    }

    /// Records who a new user is, so that the lab's screens can name the person.
    pub fn introduce(&self, scope: &ShopScope, user: &UserRow) -> Result<(), PortalError> {
        let description = PersonDescription {
            name: user.name.clone(),
            roles: BTreeSet::from([Role::ShopUser]),
            shop_id: Some(scope.shop_id()),
            left: false,
        };
        let fact = self.own(
            scope,
            Subject::Person(user.person_id),
            Fact::PersonDescribed(description),
        )?;
        self.record(scope, vec![fact])
    }

    fn own(&self, scope: &ShopScope, subject: Subject, fact: Fact) -> Result<OwnFact, StoreError> {
        let entry_id = EntryId::new(self.id()?);
        Ok(OwnFact {
            entry_id,
            actor_id: scope.person_id(),
            subject,
            based_on: Vec::new(),
            fact,
        })
    }

    fn record(&self, scope: &ShopScope, facts: Vec<OwnFact>) -> Result<(), PortalError> {
        let position = self.store.record(scope.lab(), facts, self.now_ms())?;
        self.hints.tell(position);
        Ok(())
    }

    fn id(&self) -> Result<uuid::Uuid, StoreError> {
        Ok(timed_uuid(self.now_ms())?)
    }
}

/// A quote can be answered until it was agreed or refused; a question leaves it open.
pub fn is_open(quote: &ShopQuote) -> bool {
    matches!(quote.answer, None | Some(Answer::Ask))
}

fn check_length(text: &str, is_needed: bool) -> Result<(), PortalError> {
    let length = text.trim().chars().count();
    if length > TEXT_CHARS_MAX || (is_needed && length == 0) {
        Err(PortalError::TextLength)
    } else {
        Ok(())
    }
}
