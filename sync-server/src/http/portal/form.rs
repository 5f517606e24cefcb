//! Forms as they arrive: proved to come from our own page, then read field by field.
//!
//! A form is not trusted to hold the fields its page has: what a page doesn't read is not there.

use std::sync::Arc;

use axum::Form;
use axum::extract::multipart::MultipartError;
use axum::extract::{FromRequest, FromRequestParts as _, Multipart, Query, Request};
use axum::http::{HeaderMap, StatusCode, header};

use super::super::App;
use super::error::PageError;
use super::visitor::{SignedIn, Visitor};
use crate::auth::csrf;
use crate::auth::token::Token;

/// The name of the hidden field.
pub(super) const CSRF_FIELD: &str = "form_token";

/// The fields of a form, in their order.
#[derive(Debug, Clone, Default)]
pub(super) struct Fields(Vec<(String, String)>);

impl Fields {
    /// The fields of a page's query, such as a question that is asked by its address.
    pub(super) fn of_query(query: &str) -> Result<Self, PageError> {
        let uri = axum::http::Uri::builder()
            .path_and_query(format!("/?{query}"))
            .build()
            .map_err(|_| PageError::BadForm)?;
        Query::<Vec<(String, String)>>::try_from_uri(&uri)
            .map(|Query(fields)| Self(fields))
            .map_err(|_| PageError::BadForm)
    }

    /// Whether nothing was sent.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether a field was sent with this value; a box that isn't ticked isn't sent at all.
    pub(super) fn is_given(&self, name: &str, value: &str) -> bool {
        self.0
            .iter()
            .any(|(key, sent)| key == name && sent == value)
    }

    /// A field's text without white space around it, with plain line ends and without other control characters.
    pub(super) fn text(&self, name: &str) -> String {
        let raw = self
            .0
            .iter()
            .find(|(key, _)| key == name)
            .map_or("", |(_, value)| value);
        let plain = raw.replace("\r\n", "\n");
        plain
            .chars()
            .filter(|c| !c.is_control() || *c == '\n')
            .collect::<String>()
            .trim()
            .to_owned()
    }

    /// A field exactly as typed: for passwords, which may begin or end with anything.
    pub(super) fn exact(&self, name: &str) -> String {
        self.0
            .iter()
            .find(|(key, _)| key == name)
            .map(|(_, value)| value.clone())
            .unwrap_or_default()
    }
}

/// A form from a signed-in user.
#[derive(Debug)]
pub(super) struct SignedPost {
    /// Who sent it.
    pub(super) who: SignedIn,
    /// What it holds.
    pub(super) fields: Fields,
}

/// A form from a visitor.
#[derive(Debug)]
pub(super) struct VisitorPost {
    /// Who sent it.
    pub(super) visitor: Visitor,
    /// What it holds.
    pub(super) fields: Fields,
}

/// A file from a signed-in user.
#[derive(Debug)]
pub(super) struct SignedUpload {
    /// Who sent it.
    pub(super) who: SignedIn,
    /// Its bytes; empty when no file was chosen.
    pub(super) bytes: Vec<u8>,
}

impl FromRequest<Arc<App>> for SignedPost {
    type Rejection = PageError;

    async fn from_request(request: Request, app: &Arc<App>) -> Result<Self, PageError> {
        let (mut parts, body) = request.into_parts();
        let who = SignedIn::from_request_parts(&mut parts, app).await?;
        let headers = parts.headers.clone();
        let fields = read(Request::from_parts(parts, body)).await?;
        prove(
            app,
            &headers,
            &who.session.cookie,
            &fields.exact(CSRF_FIELD),
        )?;
        Ok(Self { who, fields })
    }
}

impl FromRequest<Arc<App>> for VisitorPost {
    type Rejection = PageError;

    async fn from_request(request: Request, app: &Arc<App>) -> Result<Self, PageError> {
        let (mut parts, body) = request.into_parts();
        let visitor = Visitor::from_request_parts(&mut parts, app).await?;
        let headers = parts.headers.clone();
        let fields = read(Request::from_parts(parts, body)).await?;
        if visitor.is_new {
            return Err(PageError::ForeignForm);
        }
        prove(app, &headers, &visitor.cookie, &fields.exact(CSRF_FIELD))?;
        Ok(Self { visitor, fields })
    }
}

impl FromRequest<Arc<App>> for SignedUpload {
    type Rejection = PageError;

    async fn from_request(request: Request, app: &Arc<App>) -> Result<Self, PageError> {
        let (mut parts, body) = request.into_parts();
        let who = SignedIn::from_request_parts(&mut parts, app).await?;
        let headers = parts.headers.clone();
        let mut multipart = Multipart::from_request(Request::from_parts(parts, body), app)
            .await
            .map_err(|_| PageError::BadForm)?;
        let (mut token, mut bytes) = (String::new(), Vec::new());
        while let Some(field) = multipart
            .next_field()
            .await
            .map_err(|error| refused(&error))?
        {
            match field.name() {
                Some(CSRF_FIELD) => token = field.text().await.map_err(|_| PageError::BadForm)?,
                Some("file") => {
                    bytes = field
                        .bytes()
                        .await
                        .map_err(|error| refused(&error))?
                        .to_vec();
                }
                _ => {}
            }
        }
        prove(app, &headers, &who.session.cookie, &token)?;
        Ok(Self { who, bytes })
    }
}

/// A body over its limit is told apart from one that can't be read.
fn refused(error: &MultipartError) -> PageError {
    if error.status() == StatusCode::PAYLOAD_TOO_LARGE {
        PageError::TooLarge
    } else {
        PageError::BadForm
    }
}

async fn read(request: Request) -> Result<Fields, PageError> {
    let Form(fields) = Form::<Vec<(String, String)>>::from_request(request, &())
        .await
        .map_err(|_| PageError::BadForm)?;
    Ok(Fields(fields))
}

/// Refuses a form that another site made the browser send.
fn prove(app: &App, headers: &HeaderMap, cookie: &Token, token: &str) -> Result<(), PageError> {
    let word = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
    let is_ours = csrf::is_same_origin(
        app.public_url.as_str(),
        word(header::ORIGIN.as_str()),
        word("sec-fetch-site"),
    );
    if is_ours && csrf::is_right(cookie, token) {
        return Ok(());
    }
    tracing::warn!("a form without its own page's token was refused");
    Err(PageError::ForeignForm)
}
