//! Who opens a page: a signed-in user of a shop, or anyone else.

use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;

use axum::extract::{ConnectInfo, FromRequestParts};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::Response;
use domain::calendar::Zone;
use domain::fact::LabDescription;
use jiff::civil::Date;

use super::super::App;
use super::error::PageError;
use super::page::{Frame, FrameUser, Leaf};
use super::words::Times;
use crate::auth::cookie::CookieKind;
use crate::auth::csrf;
use crate::auth::session::{self, Session};
use crate::auth::token::Token;

/// A signed-in user.
#[derive(Debug)]
pub(super) struct SignedIn {
    /// The session and what it may see.
    pub(super) session: Session,
    /// The lab's card.
    pub(super) lab: Option<LabDescription>,
    /// The shop's name.
    pub(super) shop: String,
    /// Now, in ms since 1970.
    pub(super) now_ms: i64,
}

impl SignedIn {
    /// The frame of one of this user's pages.
    pub(super) fn frame(&self, title: impl Into<String>, leaf: Leaf) -> Frame {
        Frame::private(
            title,
            self.lab.as_ref(),
            FrameUser {
                shop: self.shop.clone(),
                leaf,
            },
        )
    }

    /// The token that this user's forms carry.
    pub(super) fn form_token(&self) -> String {
        csrf::token_for(&self.session.cookie)
    }

    /// Prints times on the lab's wall clock.
    pub(super) fn times(&self) -> Times {
        let zone = self
            .lab
            .as_ref()
            .and_then(|lab| lab.zone.parse::<Zone>().ok());
        Times::new(zone, self.now_ms)
    }

    /// The lab's country, by its two letters; empty if it isn't known.
    pub(super) fn country(&self) -> String {
        self.lab
            .as_ref()
            .map(|lab| lab.country.clone())
            .unwrap_or_default()
    }

    /// The day it is at the lab.
    pub(super) fn today(&self) -> Date {
        let zone = self
            .lab
            .as_ref()
            .and_then(|lab| lab.zone.parse::<Zone>().ok());
        zone.and_then(|zone| zone.local(self.now_ms).ok())
            .map_or_else(|| today(self.now_ms), jiff::civil::DateTime::date)
    }

    /// The telephone number to call about a cell.
    pub(super) fn phone(&self) -> &str {
        self.lab.as_ref().map_or("", |lab| lab.phone.as_str())
    }
}

impl FromRequestParts<Arc<App>> for SignedIn {
    type Rejection = PageError;

    async fn from_request_parts(parts: &mut Parts, app: &Arc<App>) -> Result<Self, PageError> {
        // A form's own path can't be opened by a redirect, so only pages are returned to.
        let next = if parts.method == axum::http::Method::GET {
            parts.uri.path()
        } else {
            "/devices"
        };
        let signed_out = || PageError::SignedOut {
            next: next.to_owned(),
        };
        let cookie = CookieKind::Session
            .read(&parts.headers, app.public_url.is_https())
            .ok_or_else(signed_out)?;
        let found = app.run(move |core| {
            let now_ms = core.now_ms();
            let Some(session) = session::find(core.store(), &cookie, now_ms)? else {
                return Ok(None);
            };
            let lab = core.store().lab_card(session.scope.lab())?;
            let shop = core
                .store()
                .shop_card(session.scope.lab(), session.scope.shop_id())?;
            let shop = shop.map(|shop| shop.name).unwrap_or_default();
            Ok::<_, PageError>(Some(Self {
                session,
                lab,
                shop,
                now_ms,
            }))
        });
        found.await??.ok_or_else(signed_out)
    }
}

/// The day it is in UTC.
pub(in crate::http) fn today(now_ms: i64) -> Date {
    let at = jiff::Timestamp::from_millisecond(now_ms).unwrap_or_default();
    jiff::tz::Offset::UTC.to_datetime(at).date()
}

/// Whether a request comes from a signed-in shop user. A store that fails counts as no.
pub(in crate::http) async fn is_signed_in(app: &App, headers: &HeaderMap) -> bool {
    let Some(cookie) = CookieKind::Session.read(headers, app.public_url.is_https()) else {
        return false;
    };
    let found = app.run(move |core| session::find(core.store(), &cookie, core.now_ms()));
    matches!(found.await, Ok(Ok(Some(_))))
}

/// Anyone, with the cookie that protects the forms they see.
#[derive(Debug)]
pub(super) struct Visitor {
    /// The cookie's secret.
    pub(super) cookie: Token,
    /// True when the browser brought none, so that it must be set.
    pub(super) is_new: bool,
    /// The session cookie the browser still holds, if any.
    pub(super) session_cookie: Option<Token>,
    /// Where the request came from.
    pub(super) address: IpAddr,
    is_https: bool,
}

impl Visitor {
    /// The token that this visitor's forms carry.
    pub(super) fn form_token(&self) -> String {
        csrf::token_for(&self.cookie)
    }

    /// Sets the cookie on an answer if the browser has none.
    pub(super) fn remember(&self, mut response: Response) -> Response {
        if self.is_new {
            add_cookie(
                &mut response,
                &CookieKind::Visitor.set(&self.cookie, self.is_https),
            );
        }
        response
    }
}

impl FromRequestParts<Arc<App>> for Visitor {
    type Rejection = PageError;

    async fn from_request_parts(parts: &mut Parts, app: &Arc<App>) -> Result<Self, PageError> {
        let is_https = app.public_url.is_https();
        let peer = parts
            .extensions
            .get::<ConnectInfo<SocketAddr>>()
            .ok_or(PageError::Fault)?
            .0;
        let address = app.address_of(peer, &parts.headers);
        let session_cookie = CookieKind::Session.read(&parts.headers, is_https);
        let (cookie, is_new) = match CookieKind::Visitor.read(&parts.headers, is_https) {
            Some(cookie) => (cookie, false),
            None => (Token::random()?, true),
        };
        Ok(Self {
            cookie,
            is_new,
            session_cookie,
            address,
            is_https,
        })
    }
}

/// Adds a `Set-Cookie` header.
pub(super) fn add_cookie(response: &mut Response, cookie: &str) {
    // The cookie's own characters are base64url, so the value is always a valid header.
    if let Ok(value) = HeaderValue::from_str(cookie) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
}
