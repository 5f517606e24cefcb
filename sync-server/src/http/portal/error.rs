//! The portal's errors: one enum; each variant knows its status, its words and the way out.
//!
//! A page about an error tells nothing of the request, so that two refusals of the same kind are the same bytes.

use askama::Template;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};

use super::super::Stopped;
use super::page::{Frame, html_with};
use crate::auth::password::PasswordError;
use crate::auth::rate::TooMany;
use crate::auth::session::SessionError;
use crate::auth::token::RandomError;
use crate::core::PortalError;
use crate::store::StoreError;

/// Why a page could not be shown or a form not taken.
#[derive(Debug, thiserror::Error)]
pub(in crate::http) enum PageError {
    /// Nothing here, or nothing that this user may see.
    #[error("no such page")]
    NotFound,
    /// Nobody is signed in; holds the page to return to.
    #[error("nobody is signed in")]
    SignedOut {
        /// A path on this server.
        next: String,
    },
    /// The form was not sent from our own page, or its cookie is gone.
    #[error("the form did not come from its own page")]
    ForeignForm,
    /// The form could not be read.
    #[error("the form could not be read")]
    BadForm,
    /// A file is larger than anything that belongs there.
    #[error("the file is larger than is taken")]
    TooLarge,
    /// Too many tries.
    #[error(transparent)]
    TooMany(#[from] TooMany),
    /// The act can't be recorded.
    #[error(transparent)]
    Act(PortalError),
    /// A template failed.
    #[error("a page could not be written")]
    Render(#[source] askama::Error),
    /// A paper could not be made.
    #[error("a paper could not be made")]
    Paper(#[source] papers::PaperError),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A session could not be opened.
    #[error(transparent)]
    Session(#[from] SessionError),
    /// A password could not be hashed.
    #[error(transparent)]
    Password(#[from] PasswordError),
    /// No random bytes.
    #[error(transparent)]
    Random(#[from] RandomError),
    /// The work behind the page ended by a fault.
    #[error("the work behind a page ended by a fault")]
    Fault,
}

impl From<Stopped> for PageError {
    fn from(_: Stopped) -> Self {
        Self::Fault
    }
}

impl From<PortalError> for PageError {
    fn from(error: PortalError) -> Self {
        match error {
            PortalError::NotFound => Self::NotFound,
            PortalError::Store(error) => Self::Store(error),
            error => Self::Act(error),
        }
    }
}

#[derive(Template)]
#[template(path = "error.html")]
struct ErrorPage {
    frame: Frame,
    sentence: String,
    way_out: &'static str,
    link: &'static str,
    link_text: &'static str,
}

impl PageError {
    const fn status(&self) -> StatusCode {
        match self {
            Self::NotFound => StatusCode::NOT_FOUND,
            Self::SignedOut { .. } => StatusCode::SEE_OTHER,
            Self::ForeignForm => StatusCode::FORBIDDEN,
            Self::BadForm => StatusCode::BAD_REQUEST,
            Self::TooLarge => StatusCode::PAYLOAD_TOO_LARGE,
            Self::TooMany(_) => StatusCode::TOO_MANY_REQUESTS,
            Self::Act(_) => StatusCode::CONFLICT,
            _ => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    fn page(&self) -> ErrorPage {
        let (title, sentence, way_out) = match self {
            Self::NotFound => (
                "Nothing here",
                "There is no page at this address, or none that you may see.".to_owned(),
                "Check the address, or start from the list of your devices.",
            ),
            Self::ForeignForm => (
                "Not taken",
                "The form could not be checked, so nothing was recorded.".to_owned(),
                "Go back, load the page again and send the form once more. Cookies must be allowed for this address.",
            ),
            Self::BadForm => (
                "Not taken",
                "The form arrived damaged, so nothing was recorded.".to_owned(),
                "Go back and send it again.",
            ),
            Self::TooLarge => (
                "Not taken",
                "This file is larger than anything that belongs here.".to_owned(),
                "Go back and choose the file again: a list of devices has less than 1 MB, a return report less than 32 MB.",
            ),
            Self::TooMany(too_many) => (
                "Too many tries",
                format!(
                    "There were too many tries. Wait {} and try again.",
                    wait_words(too_many.retry_after_s)
                ),
                "If you have forgotten the password, ask the lab for a new link.",
            ),
            Self::Act(error) => (
                "Not recorded",
                error.to_string(),
                "Go back and load the page again to see how it stands now.",
            ),
            _ => (
                "A fault here",
                "Something went wrong on our side. What you sent may not have been recorded."
                    .to_owned(),
                "Wait a moment, load the page again and see whether it is there before you send it once more.",
            ),
        };
        let (link, link_text) = ("/devices", "My devices");
        ErrorPage {
            frame: Frame::public(title, String::new()),
            sentence,
            way_out,
            link,
            link_text,
        }
    }
}

fn wait_words(seconds: u64) -> String {
    if seconds > 90 {
        format!("{} minutes", seconds.div_ceil(60))
    } else {
        format!("{seconds} seconds")
    }
}

impl IntoResponse for PageError {
    fn into_response(self) -> Response {
        if let Self::SignedOut { next } = &self {
            let next: String = percent_encoded(next);
            return Redirect::to(&format!("/sign-in?next={next}")).into_response();
        }
        let status = self.status();
        if status.is_server_error() {
            tracing::error!(error = %crate::log::Chain(&self), "a page failed");
        }
        let mut response =
            html_with(status, &self.page()).unwrap_or_else(|_| status.into_response());
        if let Self::TooMany(too_many) = &self {
            response.headers_mut().insert(
                header::RETRY_AFTER,
                HeaderValue::from(too_many.retry_after_s),
            );
        }
        response
    }
}

/// Percent-encodes a path for a query, byte by byte; only letters, digits and `-_.` stay as they are.
fn percent_encoded(text: &str) -> String {
    use std::fmt::Write as _;
    text.bytes().fold(String::new(), |mut out, byte| {
        if byte.is_ascii_alphanumeric() || b"-_.".contains(&byte) {
            out.push(char::from(byte));
        } else {
            // Writing to a String can't fail.
            let _written = write!(out, "%{byte:02X}");
        }
        out
    })
}

/// What a path without a page gets: the same bytes as another shop's device.
pub(crate) async fn not_found() -> Response {
    PageError::NotFound.into_response()
}
