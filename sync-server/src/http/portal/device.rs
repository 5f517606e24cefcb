//! One device: what is needed of the shop first, then where it is, what it costs, how it came, and what was said.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use domain::fact::{Answer, MessageFrom};
use domain::job::{Stage, StationState};
use domain::shop_view::{ShopJob, ShopParcel, ShopQuote};
use domain::{EntryId, JobId};

use super::super::App;
use super::devices::Done;
use super::error::PageError;
use super::form::SignedPost;
use super::page::{Frame, Leaf, html};
use super::pictures::{Picture, pictures_of, stored};
use super::visitor::SignedIn;
use super::words::{self, Moment};
use crate::core::{Quoted, is_open};

struct StopRow {
    name: &'static str,
    state: StationState,
    at: Option<Moment>,
}

struct LineRow {
    text: String,
    amount: String,
}

struct QuoteView {
    quote_entry_id: EntryId,
    lines: Vec<LineRow>,
    total: String,
    fee: String,
    promised: String,
    note: String,
    is_open: bool,
    is_asked: bool,
    answered: String,
}

struct MessageRow {
    is_own: bool,
    text: String,
    at: Moment,
}

struct ReportView {
    at: Moment,
    pages: u32,
    size: String,
    is_here: bool,
}

#[derive(Template)]
#[template(path = "device.html")]
struct DevicePage {
    frame: Frame,
    form_token: String,
    job: ShopJob,
    name: String,
    is_over: bool,
    is_stopped: bool,
    route: Vec<StopRow>,
    quote: Option<QuoteView>,
    battery: String,
    conditions: Vec<String>,
    parcel_lines: Vec<String>,
    pictures: Vec<Picture>,
    messages: Vec<MessageRow>,
    report: Option<ReportView>,
}

/// A path's job id. A text that is no id gives the same page as a job that isn't there.
pub(super) fn job_id_of(text: &str) -> Result<JobId, PageError> {
    text.parse().map_err(|_| PageError::NotFound)
}

pub(super) async fn page(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Path(job_id): Path<String>,
    Query(done): Query<Done>,
) -> Result<Response, PageError> {
    let (job_id, scope) = (job_id_of(&job_id)?, who.session.scope);
    let (job, parcel, pictures, report_is_here) = app
        .run(move |core| {
            let job = core
                .store()
                .job(&scope, job_id)?
                .ok_or(PageError::NotFound)?;
            let parcel = match job.parcel_id {
                Some(parcel_id) => core.store().parcel(&scope, parcel_id)?,
                None => None,
            };
            let mut photos = parcel
                .as_ref()
                .map(|parcel| parcel.photos.clone())
                .unwrap_or_default();
            photos.extend(job.photos.iter().cloned());
            let pictures = pictures_of(core, &scope, &photos)?;
            let report_is_here = match &job.report {
                Some(report) => stored(core, &scope, &report.file)?,
                None => false,
            };
            Ok::<_, PageError>((job, parcel, pictures, report_is_here))
        })
        .await??;
    let mut page = view(&who, job, parcel.as_ref(), pictures, report_is_here);
    page.frame = page.frame.saying(done.words());
    html(&page)
}

fn view(
    who: &SignedIn,
    job: ShopJob,
    parcel: Option<&ShopParcel>,
    pictures: Vec<Picture>,
    report_is_here: bool,
) -> DevicePage {
    let times = who.times();
    let name = words::device_name(&job.device);
    let shown = |state| !matches!(state, StationState::Skipped);
    let route = job
        .route
        .iter()
        .filter(|stop| shown(stop.state))
        .map(|stop| StopRow {
            name: words::station(stop.station),
            state: stop.state,
            at: stop.at_ms.map(|at_ms| times.moment(at_ms)),
        });
    let messages = job.messages.iter().map(|message| MessageRow {
        is_own: message.from == MessageFrom::Shop,
        text: message.text.clone(),
        at: times.moment(message.at_ms),
    });
    let report = job.report.as_ref().map(|report| ReportView {
        at: times.moment(report.at_ms),
        pages: report.pages,
        size: format!("{} KB", report.size_bytes.div_ceil(1000)),
        is_here: report_is_here,
    });
    DevicePage {
        frame: who.frame(name.clone(), Leaf::Devices),
        battery: words::battery(&job.battery),
        form_token: who.form_token(),
        name,
        is_over: crate::shop_view::is_over(&job),
        is_stopped: job.stage == Stage::Holding,
        route: route.collect(),
        quote: job.quote.as_ref().map(|quote| quote_view(who, &job, quote)),
        conditions: conditions(&job),
        parcel_lines: parcel
            .map(|parcel| parcel_lines(parcel, job.job_id))
            .unwrap_or_default(),
        pictures,
        messages: messages.collect(),
        report,
        job,
    }
}

fn quote_view(who: &SignedIn, job: &ShopJob, quote: &ShopQuote) -> QuoteView {
    let times = who.times();
    let when = quote
        .answered_at_ms
        .map(|at_ms| format!(" ({})", times.moment(at_ms).said))
        .unwrap_or_default();
    let answered = match quote.answer {
        Some(Answer::Agree) => format!("Agreed{when}."),
        Some(Answer::Refuse) => format!("Refused{when}. The device comes back unrepaired."),
        Some(Answer::Ask) | None => String::new(),
    };
    QuoteView {
        quote_entry_id: quote.quote_entry_id,
        lines: quote
            .lines
            .iter()
            .map(|line| LineRow {
                text: line.text.clone(),
                amount: words::money(&line.amount),
            })
            .collect(),
        total: quote.total.as_ref().map(words::money).unwrap_or_default(),
        fee: words::money(&quote.fee_if_refused),
        promised: if quote.promised_date.is_empty() {
            String::new()
        } else {
            times.day(&quote.promised_date)
        },
        note: quote.note.clone(),
        is_open: is_open(quote) && job.outcome.is_empty(),
        is_asked: quote.answer == Some(Answer::Ask),
        answered,
    }
}

fn conditions(job: &ShopJob) -> Vec<String> {
    let sentence = |condition: &domain::shop_view::ShopCondition| {
        let words = format!(
            "{}: {}",
            words::face(condition.face),
            words::blemish(condition.blemish)
        );
        if condition.note.is_empty() {
            words
        } else {
            format!("{words} ({})", condition.note)
        }
    };
    job.conditions.iter().map(sentence).collect()
}

/// What was seen on the parcel that concerns this device or its company.
pub(super) fn parcel_lines(parcel: &ShopParcel, job_id: JobId) -> Vec<String> {
    let mut lines = Vec::new();
    let seen: Vec<&str> = parcel
        .findings
        .iter()
        .map(|finding| words::parcel_finding(*finding))
        .collect();
    if !seen.is_empty() {
        lines.push(format!("The parcel was {}.", seen.join(", ")));
    }
    let others = parcel
        .missing
        .iter()
        .filter(|missing| **missing != job_id)
        .count();
    match others {
        0 => {}
        1 => lines.push("One device expected was not in the parcel.".to_owned()),
        count => lines.push(format!("{count} devices expected were not in the parcel.")),
    }
    if !parcel.extra.is_empty() {
        lines.push(format!(
            "{} more than announced in the parcel.",
            words::devices(parcel.extra.len())
        ));
    }
    lines.extend(parcel.notes.iter().cloned());
    lines
}

pub(super) async fn decide(
    State(app): State<Arc<App>>,
    Path(job_id): Path<String>,
    post: SignedPost,
) -> Result<Response, PageError> {
    let job_id = job_id_of(&job_id)?;
    let (answer, done) = match post.fields.text("answer").as_str() {
        "agree" => (Answer::Agree, "agreed"),
        "refuse" => (Answer::Refuse, "refused"),
        "ask" => (Answer::Ask, "asked"),
        _ => return Err(PageError::BadForm),
    };
    let quote_entry_id = post
        .fields
        .text("quote")
        .parse()
        .map_err(|_| PageError::BadForm)?;
    let note = post.fields.text("note");
    let scope = post.who.session.scope;
    app.run(move |core| {
        core.decide(
            &scope,
            Quoted {
                job_id,
                quote_entry_id,
            },
            answer,
            note,
        )
    })
    .await??;
    Ok(Redirect::to(&format!("/devices/{job_id}?done={done}")).into_response())
}

pub(super) async fn post_message(
    State(app): State<Arc<App>>,
    Path(job_id): Path<String>,
    post: SignedPost,
) -> Result<Response, PageError> {
    let job_id = job_id_of(&job_id)?;
    let text = post.fields.text("text");
    let scope = post.who.session.scope;
    app.run(move |core| core.post_message(&scope, job_id, text))
        .await??;
    Ok(Redirect::to(&format!("/devices/{job_id}?done=message#messages")).into_response())
}
