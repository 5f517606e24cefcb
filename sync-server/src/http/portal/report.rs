//! The address that a paper report's QR code leads to: is this paper's digest one that the lab issued?
//!
//! Anybody may ask. The answer names the lab and the day, and nothing of the device or its shop; a signed-in user of that shop
//! also gets the way to the device.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use domain::JobId;

use super::super::App;
use super::error::PageError;
use super::page::{Frame, html_with};
use super::visitor::{SignedIn, Visitor};
use super::words::{Moment, Times};
use crate::store::ReportRow;

/// Shortest beginning of a digest that is looked up: 64 bits, so that nobody finds a report by trying.
const PREFIX_MIN: usize = 16;

#[derive(Template)]
#[template(path = "report.html")]
struct ReportPage {
    frame: Frame,
    is_known: bool,
    digest: String,
    issued: Option<Moment>,
    is_replaced: bool,
    own_job: Option<JobId>,
}

pub(super) async fn check(
    State(app): State<Arc<App>>,
    visitor: Visitor,
    who: Result<SignedIn, PageError>,
    Path(digest): Path<String>,
) -> Result<Response, PageError> {
    app.rates.report(visitor.address)?;
    let digest = digest.to_lowercase();
    let is_digest =
        (PREFIX_MIN..=64).contains(&digest.len()) && digest.bytes().all(|b| b.is_ascii_hexdigit());
    let (lab, report) = app
        .run({
            let digest = digest.clone();
            move |core| {
                let report = if is_digest {
                    core.store().report(&digest)?
                } else {
                    None
                };
                Ok::<_, PageError>((core.store().lab_name()?, report))
            }
        })
        .await??;
    let status = if report.is_some() {
        StatusCode::OK
    } else {
        StatusCode::NOT_FOUND
    };
    let is_own = |report: &ReportRow| {
        who.as_ref()
            .is_ok_and(|who| who.session.scope.shop_id() == report.shop_id)
    };
    let now_ms = app.core.now_ms();
    html_with(
        status,
        &ReportPage {
            frame: Frame::public("Report check", lab),
            is_known: report.is_some(),
            own_job: report
                .as_ref()
                .filter(|report| is_own(report))
                .map(|report| report.job_id),
            issued: report
                .as_ref()
                .map(|report| Times::new(None, now_ms).moment(report.issued_ms)),
            is_replaced: report.as_ref().is_some_and(|report| report.is_replaced),
            digest: report.map_or(digest, |report| report.digest),
        },
    )
}
