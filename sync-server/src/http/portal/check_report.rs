//! Check a report: a shop's user hands in a return report's PDF and is told whether it is genuine and the newest.
//!
//! The file is looked at and let go: nothing of it is kept. Another shop's report is answered like one that isn't known.

use std::sync::Arc;

use askama::Template;
use axum::extract::{FromRequestParts, State};
use axum::http::request::Parts;
use axum::response::Response;
use domain::calendar::Zone;
use domain::report_check::{ReportCheck, ReportStanding};

use super::super::App;
use super::error::PageError;
use super::form::SignedUpload;
use super::page::{Frame, Leaf, html};
use super::visitor::{SignedIn, Visitor};

#[derive(Template)]
#[template(path = "check_report.html")]
struct CheckPage {
    frame: Frame,
    form_token: String,
    is_unchosen: bool,
    answer: Option<ReportCheck>,
}

impl CheckPage {
    /// Whether the report may be relied on as it is.
    fn is_good(&self) -> bool {
        let standing = self.answer.as_ref().map(|answer| answer.standing);
        standing == Some(ReportStanding::Genuine)
    }

    fn title(&self) -> &'static str {
        self.answer
            .as_ref()
            .map_or("", |answer| match answer.standing {
                ReportStanding::Genuine => "Genuine, and the newest",
                ReportStanding::Superseded => "Genuine, but a newer one exists",
                ReportStanding::Withdrawn => "Taken back",
                ReportStanding::PagesUnproved => "Its pages can't be vouched for",
                ReportStanding::NotKnownYet => "Not among your reports",
                ReportStanding::Altered => "Altered",
                ReportStanding::OtherLab => "Another lab's report",
                ReportStanding::NoReport => "No report in this file",
            })
    }
}

/// One more file may be sent from this address. Asked before the file itself is read.
pub(super) struct Counted;

impl FromRequestParts<Arc<App>> for Counted {
    type Rejection = PageError;

    async fn from_request_parts(parts: &mut Parts, app: &Arc<App>) -> Result<Self, PageError> {
        let visitor = Visitor::from_request_parts(parts, app).await?;
        app.rates.report_file(visitor.address)?;
        Ok(Self)
    }
}

pub(super) async fn page(who: SignedIn) -> Result<Response, PageError> {
    html(&view(&who, false, None))
}

pub(super) async fn check(
    State(app): State<Arc<App>>,
    _counted: Counted,
    upload: SignedUpload,
) -> Result<Response, PageError> {
    let SignedUpload { who, bytes } = upload;
    if bytes.is_empty() {
        return html(&view(&who, true, None));
    }
    let scope = who.session.scope;
    let zone = who
        .lab
        .as_ref()
        .and_then(|lab| lab.zone.parse::<Zone>().ok());
    let answer = app
        .run(move |core| core.check_report(&scope, &bytes, zone.as_ref()))
        .await??;
    html(&view(&who, false, Some(answer)))
}

fn view(who: &SignedIn, is_unchosen: bool, answer: Option<ReportCheck>) -> CheckPage {
    CheckPage {
        frame: who.frame("Check a report", Leaf::Account),
        form_token: who.form_token(),
        is_unchosen,
        answer,
    }
}
