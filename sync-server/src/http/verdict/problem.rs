//! Refusals of the transport verdict: RFC 9457 problem details that name the field.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use sync_protocol::http_paths::PROBLEM_JSON;

use super::super::Stopped;
use crate::auth::rate::TooMany;
use crate::store::StoreError;

/// Why a question about a parcel got no verdict.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(in crate::http) enum VerdictProblem {
    /// The owner of this server has not opened it to everybody.
    #[error(
        "This server answers transport questions only for its own shops and desktops: sign in on its portal, or ask its owner \
         to switch on public_verdicts."
    )]
    NotPublic,
    /// Too many questions from one address.
    #[error(
        "There were too many questions from this address; wait {retry_after_s} s and ask again."
    )]
    TooMany {
        /// When the next one is answered.
        retry_after_s: u64,
    },
    /// Neither asked nor read.
    #[error("Ask with POST; GET shows the documentation.")]
    Method,
    /// The body isn't said to be JSON.
    #[error("The question must be JSON: send the header “content-type: application/json” with it.")]
    NotJsonType,
    /// The body is too large.
    #[error(
        "The question is larger than {bytes_max} bytes, which no parcel needs; send one parcel at a time."
    )]
    TooLarge {
        /// The bound.
        bytes_max: usize,
    },
    /// The body broke off.
    #[error("The question broke off on its way; send it again.")]
    BrokenOff,
    /// The body is no JSON object.
    #[error("{sentence}")]
    NotReadable {
        /// What is wrong and what would be right.
        sentence: String,
    },
    /// A field is wrong, missing or unknown.
    #[error("{sentence}")]
    Field {
        /// Its name, or the way to it, as in `contents[1].wh_label`.
        field: String,
        /// What is wrong and what would be right.
        sentence: String,
    },
    /// The work behind the answer ended by a fault.
    #[error("The server could not finish this question; send it again.")]
    Unavailable,
}

/// The body of a refusal. `field` is an extension member (RFC 9457, section 3.2).
#[derive(Debug, Serialize)]
struct Details<'a> {
    #[serde(rename = "type")]
    type_uri: String,
    title: &'static str,
    status: u16,
    detail: String,
    code: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    field: Option<&'a str>,
}

impl VerdictProblem {
    /// A field that is wrong, with one sentence.
    pub(super) fn field(field: impl Into<String>, sentence: impl Into<String>) -> Self {
        Self::Field {
            field: field.into(),
            sentence: sentence.into(),
        }
    }

    /// Status, code and title of a kind of refusal. The title is the same for every occurrence.
    const fn kind(&self) -> (StatusCode, &'static str, &'static str) {
        match self {
            Self::NotPublic => (
                StatusCode::FORBIDDEN,
                "verdict_not_public",
                "Not open to everybody",
            ),
            Self::TooMany { .. } => (
                StatusCode::TOO_MANY_REQUESTS,
                "rate_limited",
                "Too many requests",
            ),
            Self::Method => (
                StatusCode::METHOD_NOT_ALLOWED,
                "method_not_allowed",
                "Another method is needed",
            ),
            Self::NotJsonType => (
                StatusCode::UNSUPPORTED_MEDIA_TYPE,
                "not_json",
                "The question is not JSON",
            ),
            Self::TooLarge { .. } => (
                StatusCode::PAYLOAD_TOO_LARGE,
                "over_limit",
                "The question is too large",
            ),
            Self::BrokenOff | Self::NotReadable { .. } => (
                StatusCode::BAD_REQUEST,
                "bad_request",
                "The question can't be read",
            ),
            Self::Field { .. } => (
                StatusCode::UNPROCESSABLE_ENTITY,
                "field_invalid",
                "A field can't be used",
            ),
            Self::Unavailable => (
                StatusCode::SERVICE_UNAVAILABLE,
                "unavailable",
                "Not available",
            ),
        }
    }

    /// Every kind once, as the documentation lists them.
    pub(super) fn documented() -> Vec<(StatusCode, &'static str, &'static str, String)> {
        let field = Self::field(
            "wh_label",
            "A sentence that names the field and says what would be right.",
        );
        [
            Self::NotReadable {
                sentence: "The body is no JSON object, or a field stands in it twice.".to_owned(),
            },
            Self::NotPublic,
            Self::Method,
            Self::TooLarge {
                bytes_max: super::BODY_BYTES_MAX,
            },
            Self::NotJsonType,
            field,
            Self::TooMany { retry_after_s: 1 },
            Self::Unavailable,
        ]
        .into_iter()
        .map(|problem| {
            let (status, code, title) = problem.kind();
            (status, code, title, problem.to_string())
        })
        .collect()
    }
}

impl From<Stopped> for VerdictProblem {
    fn from(_: Stopped) -> Self {
        Self::Unavailable
    }
}

impl From<StoreError> for VerdictProblem {
    fn from(error: StoreError) -> Self {
        tracing::error!(error = %crate::log::Chain(&error), "the rule book could not be read");
        Self::Unavailable
    }
}

impl From<TooMany> for VerdictProblem {
    fn from(too_many: TooMany) -> Self {
        Self::TooMany {
            retry_after_s: too_many.retry_after_s,
        }
    }
}

impl IntoResponse for VerdictProblem {
    fn into_response(self) -> Response {
        let (status, code, title) = self.kind();
        let field = match &self {
            Self::Field { field, .. } => Some(field.as_str()),
            _ => None,
        };
        let details = Details {
            type_uri: format!("/problems/{code}"),
            title,
            status: status.as_u16(),
            detail: self.to_string(),
            code,
            field,
        };
        let mut response = (status, super::json_answer(&details)).into_response();
        let headers = response.headers_mut();
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(PROBLEM_JSON));
        if self == Self::Method {
            headers.insert(header::ALLOW, HeaderValue::from_static("GET, HEAD, POST"));
        }
        if let Self::TooMany { retry_after_s } = self {
            headers.insert(header::RETRY_AFTER, HeaderValue::from(retry_after_s));
        }
        response
    }
}

/// What a problem's `type` leads to, if it is one of ours: its title and status, in plain text.
pub(in crate::http) fn explained(code: &str) -> Option<String> {
    VerdictProblem::documented()
        .into_iter()
        .find(|(_, known, _, _)| *known == code)
        .map(|(status, _, title, _)| format!("{title}\nHTTP status {}\n", status.as_u16()))
}
