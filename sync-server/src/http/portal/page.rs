//! What every page has around it, and how a template becomes an answer.

use askama::Template;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use domain::fact::LabDescription;

use super::error::PageError;

/// The four leaves of the notebook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::http) enum Leaf {
    /// My devices.
    Devices,
    /// Send devices.
    Send,
    /// Parcels.
    Parcels,
    /// Account.
    Account,
}

/// The signed-in user's part of the frame.
#[derive(Debug, Clone)]
pub(in crate::http) struct FrameUser {
    /// The shop's name.
    pub(in crate::http) shop: String,
    /// Which leaf is open.
    pub(in crate::http) leaf: Leaf,
}

impl FrameUser {
    /// Whether this leaf is the open one; by its address, which is what the template has at hand.
    pub(in crate::http) fn is_on(&self, leaf: &str) -> bool {
        let open = match self.leaf {
            Leaf::Devices => "devices",
            Leaf::Send => "send",
            Leaf::Parcels => "parcels",
            Leaf::Account => "account",
        };
        open == leaf
    }
}

/// Head and foot of a page.
#[derive(Debug, Clone)]
pub(in crate::http) struct Frame {
    /// The page's title, for the window.
    pub(in crate::http) title: String,
    /// The lab's name; empty before there is one.
    pub(in crate::http) lab: String,
    /// The lab's telephone number, for signed-in users.
    pub(in crate::http) phone: String,
    /// The lab's e-mail address, for signed-in users.
    pub(in crate::http) email: String,
    /// What has just been recorded; empty if nothing.
    pub(in crate::http) notice: String,
    /// The signed-in user.
    pub(in crate::http) user: Option<FrameUser>,
}

impl Frame {
    /// The frame of a page that anybody may see.
    pub(in crate::http) fn public(title: impl Into<String>, lab: String) -> Self {
        Self {
            title: title.into(),
            lab,
            phone: String::new(),
            email: String::new(),
            notice: String::new(),
            user: None,
        }
    }

    /// The frame of a signed-in user's page.
    pub(in crate::http) fn private(
        title: impl Into<String>,
        lab: Option<&LabDescription>,
        user: FrameUser,
    ) -> Self {
        let (name, phone, email) = lab.map_or_else(Default::default, |lab| {
            (lab.name.clone(), lab.phone.clone(), lab.email.clone())
        });
        Self {
            title: title.into(),
            lab: name,
            phone,
            email,
            notice: String::new(),
            user: Some(user),
        }
    }

    /// The same frame, saying what has just been recorded.
    #[must_use]
    pub(in crate::http) fn saying(self, notice: impl Into<String>) -> Self {
        Self {
            notice: notice.into(),
            ..self
        }
    }

    /// The stylesheet's address.
    #[expect(
        clippy::unused_self,
        reason = "templates call what they need on the frame"
    )]
    pub(in crate::http) fn stylesheet(&self) -> &'static str {
        super::stylesheet()
    }

    /// The telephone number as a `tel:` link takes it.
    pub(in crate::http) fn phone_digits(&self) -> String {
        self.phone
            .chars()
            .filter(|c| c.is_ascii_digit() || *c == '+')
            .collect()
    }
}

/// Renders a page.
pub(in crate::http) fn html(page: &impl Template) -> Result<Response, PageError> {
    html_with(StatusCode::OK, page)
}

/// Renders a page with another status, such as a form with errors.
pub(in crate::http) fn html_with(
    status: StatusCode,
    page: &impl Template,
) -> Result<Response, PageError> {
    let body = page.render().map_err(PageError::Render)?;
    Ok((
        status,
        [(header::CONTENT_TYPE, "text/html; charset=utf-8")],
        body,
    )
        .into_response())
}
