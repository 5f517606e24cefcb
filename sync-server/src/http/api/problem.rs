//! Answers of the API: JSON, or RFC 9457 problem details.

use axum::extract::Path;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use sync_protocol::http_paths::PROBLEM_JSON;
use sync_protocol::{ErrorCode, Problem};

use super::super::Stopped;
use crate::auth::rate::TooMany;

/// A request that got a no.
#[derive(Debug)]
pub(super) struct Refusal(pub(super) Problem);

impl Refusal {
    pub(super) fn bad_request(detail: impl Into<String>) -> Self {
        Self(Problem::new(ErrorCode::BadRequest, detail))
    }

    pub(super) fn rate(too_many: TooMany) -> Self {
        Self(Problem::new(ErrorCode::RateLimited, too_many.to_string()))
    }

    /// A path that isn't part of the protocol.
    pub(super) fn not_found() -> Self {
        let detail = "there is nothing at this path; see the protocol's list of paths";
        Self(Problem {
            status: 404,
            ..Problem::new(ErrorCode::BadRequest, detail)
        })
    }
}

impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Self {
        Self(problem)
    }
}

impl From<Stopped> for Refusal {
    fn from(_: Stopped) -> Self {
        Self(Problem::new(
            ErrorCode::Unavailable,
            "the server could not finish this request; send it again",
        ))
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let status =
            StatusCode::from_u16(self.0.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let mut response = (status, json(&self.0)).into_response();
        response
            .headers_mut()
            .insert(header::CONTENT_TYPE, HeaderValue::from_static(PROBLEM_JSON));
        if status == StatusCode::UNAUTHORIZED {
            response
                .headers_mut()
                .insert(header::WWW_AUTHENTICATE, HeaderValue::from_static("Bearer"));
        }
        response
    }
}

/// What a problem's `type` leads to: its title and status, in plain text.
pub(super) async fn explain(Path(code): Path<String>) -> Response {
    match serde_json::from_value::<ErrorCode>(serde_json::Value::String(code.clone())) {
        Ok(code) if code != ErrorCode::Other => {
            format!("{}\nHTTP status {}\n", code.title(), code.status()).into_response()
        }
        _ => match super::super::verdict::explained(&code) {
            Some(explained) => explained.into_response(),
            None => Refusal::not_found().into_response(),
        },
    }
}

/// A JSON answer.
pub(in crate::http) fn json(value: &impl Serialize) -> Response {
    match serde_json::to_vec(value) {
        Ok(body) => ([(header::CONTENT_TYPE, "application/json")], body).into_response(),
        Err(error) => {
            tracing::error!(%error, "an answer could not be written as JSON");
            StatusCode::INTERNAL_SERVER_ERROR.into_response()
        }
    }
}
