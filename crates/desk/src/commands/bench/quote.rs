//! Diagnosis, price, and the shop's answer.

use domain::fact::{Answer, AnswerWay, BoardReading, Decision, Diagnosis, Fact, Quote, QuoteLine};
use domain::job::{Agreement, Station};
use domain::money::{Currency, Money};
use domain::reading::{Reading, Unit, parse_micro};
use domain::{EntryId, JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobView, enter};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::store::NewEntry;

/// A board reading as typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BoardReadingInput {
    /// The point, net or rail.
    pub point: String,
    /// The value.
    pub value: String,
    /// Its unit.
    pub unit: Unit,
    /// What it should be, in words; may be empty.
    pub expected: String,
}

/// Records what is thought to be wrong.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordDiagnosis {
    /// The job.
    pub job_id: JobId,
    /// In words.
    pub text: String,
    /// The suspected part or net; may be empty.
    pub suspect: String,
    /// Readings on the board.
    pub readings: Vec<BoardReadingInput>,
}

/// A line of a quote as typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct QuoteLineInput {
    /// What for.
    pub text: String,
    /// How much, such as `89.00`.
    pub amount: String,
}

/// Sets the quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetQuote {
    /// The job.
    pub job_id: JobId,
    /// Its lines.
    pub lines: Vec<QuoteLineInput>,
    /// What returning it unrepaired costs, such as `15`; empty for nothing.
    pub fee_if_refused: String,
    /// The day it is promised for, as `2026-11-25`; empty when none is.
    pub promised_date: String,
    /// More words for the shop.
    pub note: String,
}

/// Records an answer that the shop gave by word.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordDecision {
    /// The job.
    pub job_id: JobId,
    /// The answer.
    pub answer: Answer,
    /// Who said it and how, or what was asked.
    pub note: String,
}

/// Records what is thought to be wrong.
pub fn record_diagnosis(desk: &Desk, request: RecordDiagnosis) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::Before)?;
    let text = request.text.trim().to_owned();
    if text.is_empty() {
        return Err(DeskError::field("text", "say what is thought to be wrong"));
    }
    let mut readings = Vec::new();
    for input in request.readings {
        let point = input.point.trim().to_owned();
        if point.is_empty() {
            return Err(DeskError::field(
                "readings",
                "name the point, net or rail of each reading",
            ));
        }
        let micro = parse_micro(&input.value).map_err(|why| DeskError::field("readings", why))?;
        let measured = Reading {
            micro,
            unit: input.unit,
            uncertainty_micro: None,
        };
        readings.push(BoardReading {
            point,
            measured,
            expected: input.expected.trim().to_owned(),
        });
    }
    let diagnosis = Diagnosis {
        text,
        suspect: request.suspect.trim().to_owned(),
        readings,
    };
    desk.record(
        Subject::Job(request.job_id),
        Fact::DiagnosisRecorded(diagnosis),
    )?;
    desk.job_view(request.job_id)
}

/// Sets the quote. Within the shop's standing limit it is agreed in the same breath.
pub fn set_quote(desk: &Desk, request: SetQuote) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::Quote)?;
    if !job.steps.is_empty() && matches!(job.agreement, Agreement::Agreed { .. }) {
        return Err(DeskError::refused(
            "work on the agreed quote has begun; write to the shop before naming another price",
        ));
    }
    let shop_id = job.shop_id.ok_or_else(|| {
        DeskError::refused("nobody knows which shop this device is from; choose the shop first")
    })?;
    let shop = desk.shop_fold(shop_id)?;
    let currency_code = shop
        .description
        .value()
        .map_or("", |description| description.currency.as_str());
    let currency: Currency = currency_code.parse().map_err(DeskError::refused)?;
    let quote = parse_quote(&request, currency, &desk.today()?)?;
    let total = quote
        .total()
        .map_err(|why| DeskError::field("lines", why))?;
    if total.minor < 0 {
        let why =
            format!("the lines add up to {total}, less than nothing; look for a sign too many");
        return Err(DeskError::field("lines", why));
    }
    let subject = Subject::Job(request.job_id);
    let within = shop.agrees_beforehand(&total);
    let quote_entry_id = EntryId::new(desk.new_id());
    let mut entries = vec![
        NewEntry::fact(subject, &Fact::QuoteSet(quote))
            .based_on(job.quote.based_on())
            .with_id(quote_entry_id),
    ];
    if within {
        let note = "Within the standing limit.".to_owned();
        let decision = Decision {
            quote_entry_id,
            answer: Answer::Agree,
            way: AnswerWay::StandingLimit,
            note,
        };
        entries.push(NewEntry::fact(subject, &Fact::DecisionMade(decision)));
    }
    desk.append(entries)?;
    desk.job_view(request.job_id)
}

fn parse_quote(request: &SetQuote, currency: Currency, today: &str) -> Result<Quote, DeskError> {
    let mut lines = Vec::new();
    for line in &request.lines {
        let text = line.text.trim().to_owned();
        if text.is_empty() && line.amount.trim().is_empty() {
            continue;
        }
        if text.is_empty() {
            return Err(DeskError::field(
                "lines",
                format!("say what the {} is for", line.amount.trim()),
            ));
        }
        if line.amount.trim().is_empty() {
            return Err(DeskError::field(
                "lines",
                format!("say what “{text}” costs"),
            ));
        }
        let amount =
            Money::parse(&line.amount, currency).map_err(|why| DeskError::field("lines", why))?;
        lines.push(QuoteLine { text, amount });
    }
    if lines.is_empty() {
        return Err(DeskError::field(
            "lines",
            "a quote needs at least one line with a price",
        ));
    }
    let fee = request.fee_if_refused.trim();
    let fee_if_refused = if fee.is_empty() {
        Money::zero(currency)
    } else {
        Money::parse(fee, currency).map_err(|why| DeskError::field("fee_if_refused", why))?
    };
    if fee_if_refused.minor < 0 {
        return Err(DeskError::field(
            "fee_if_refused",
            "the fee can't be negative; write it without the sign, or leave it empty",
        ));
    }
    let promised_date = request.promised_date.trim().to_owned();
    if !promised_date.is_empty() {
        let date = promised_date.parse::<jiff::civil::Date>();
        let date = date.map_err(|_| {
            DeskError::field(
                "promised_date",
                format!("“{promised_date}” is no date; write it like 2026-11-25"),
            )
        })?;
        if date.to_string().as_str() < today {
            return Err(DeskError::field(
                "promised_date",
                format!("{date} has passed; promise a day from {today} on"),
            ));
        }
    }
    Ok(Quote {
        lines,
        fee_if_refused,
        promised_date,
        note: request.note.trim().to_owned(),
    })
}

/// Records an answer that the shop gave by word, to the quote that stands.
pub fn record_decision(desk: &Desk, request: RecordDecision) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    let quote = job
        .quote
        .mark()
        .ok_or_else(|| DeskError::refused("no price has been named; set a quote first"))?;
    if job.quote.is_disputed() {
        return Err(DeskError::refused(
            "two people set different quotes; settle which one counts before recording an answer",
        ));
    }
    let note = request.note.trim().to_owned();
    if note.is_empty() {
        return Err(DeskError::field(
            "note",
            match request.answer {
                Answer::Ask => "write what the shop asks, and who asked",
                Answer::Agree | Answer::Refuse => {
                    "say who answered and how, such as “by phone, the owner”"
                }
            },
        ));
    }
    let decision = Decision {
        quote_entry_id: quote.entry_id,
        answer: request.answer,
        way: AnswerWay::Told,
        note,
    };
    desk.record(Subject::Job(request.job_id), Fact::DecisionMade(decision))?;
    desk.job_view(request.job_id)
}
