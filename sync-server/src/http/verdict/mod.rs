//! The transport verdict for programs: a question about one parcel in, the engine's answer out, and the documentation of both.
//!
//! The engine is the one that the lab's desktops use. Nothing is stored, and nothing is guessed: a field that is not known to this
//! version is refused, and what is left out counts as unknown. Whether strangers may ask is the owner's decision.

mod fields;
mod json;
mod openapi;
mod page;
mod problem;
mod read;

use std::net::SocketAddr;
use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{ConnectInfo, DefaultBodyLimit, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::Response;
use axum::routing::get;
use domain::cells::transport::{Flag, ParcelError, judge_parcel};

use self::problem::VerdictProblem;
use super::App;
use super::api::json_answer;
use super::portal::is_signed_in;
use crate::auth::credential::bearer;

pub(in crate::http) use problem::explained;

/// The largest question. A hundred kinds of content with every field are 60 KB.
const BODY_BYTES_MAX: usize = 64 * 1024;

/// Where the question goes.
const PATH: &str = "/api/v1/transport-verdict";

pub(super) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route(
            PATH,
            get(page::page)
                .post(judge)
                .fallback(|| async { VerdictProblem::Method })
                .layer(DefaultBodyLimit::max(BODY_BYTES_MAX)),
        )
        .route("/api/v1/", get(page::page))
        .route("/api/v1", get(page::page))
        .route("/api/v1/openapi.json", get(openapi::document))
}

async fn judge(
    State(app): State<Arc<App>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Result<Response, VerdictProblem> {
    app.rates.verdict(app.address_of(peer, &headers))?;
    if !app.public_verdicts && !is_known(&app, &headers).await? {
        return Err(VerdictProblem::NotPublic);
    }
    if !is_json(&headers) {
        return Err(VerdictProblem::NotJsonType);
    }
    let bytes = body.map_err(|rejection| {
        if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE {
            VerdictProblem::TooLarge {
                bytes_max: BODY_BYTES_MAX,
            }
        } else {
            VerdictProblem::BrokenOff
        }
    })?;
    let parcel = read::parcel(&bytes)?;
    let verdict = app
        .run(move |core| {
            let book = core.rule_book()?;
            let verdict = judge_parcel(&book, &parcel);
            // A danger is said whatever else is wrong with the question.
            if verdict.flags.contains(&Flag::Emergency) {
                return Ok(verdict);
            }
            match parcel.problems(&book).iter().find_map(problem_of) {
                Some(problem) => Err(problem),
                None => Ok(verdict),
            }
        })
        .await??;
    Ok(json_answer(&verdict))
}

/// What the engine says can't be right, where it is the question's form. What it can judge all the same, it holds, and says why.
fn problem_of(error: &ParcelError) -> Option<VerdictProblem> {
    let field = match error {
        ParcelError::Negative { field, .. }
        | ParcelError::Absurd { field, .. }
        | ParcelError::Nothing { field } => field,
        ParcelError::NoContents | ParcelError::ContentsTwice => "contents",
        ParcelError::UnknownField { name } => name,
        ParcelError::ButtonOfSeveral { .. } => "cells_per_unit",
        ParcelError::Contradiction { .. }
        | ParcelError::PostByAnotherWay { .. }
        | ParcelError::UspsElsewhere
        | ParcelError::Edition(_) => return None,
    };
    let sentence = format!("{error}");
    let mut letters = sentence.chars();
    let capital: String = letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default();
    let end = if capital.ends_with(['.', '?']) {
        ""
    } else {
        "."
    };
    Some(VerdictProblem::field(field, format!("{capital}{end}")))
}

/// Whether a signed-in shop user or a joined desktop asks.
async fn is_known(app: &App, headers: &HeaderMap) -> Result<bool, VerdictProblem> {
    if let Some(token) = bearer(headers) {
        let desktop = app.run(move |core| core.desktop(Some(&token))).await?;
        return Ok(desktop.is_ok());
    }
    Ok(is_signed_in(app, headers).await)
}

/// Whether the body is said to be JSON (RFC 6839: `+json` is too).
fn is_json(headers: &HeaderMap) -> bool {
    let kind = headers
        .get(header::CONTENT_TYPE)
        .and_then(|value| value.to_str().ok())
        .unwrap_or_default();
    let essence = kind
        .split(';')
        .next()
        .unwrap_or_default()
        .trim()
        .to_ascii_lowercase();
    essence == "application/json" || essence.ends_with("+json")
}

#[cfg(test)]
mod tests;
