//! The portal: what a shop's user sees at a counter, as pages that need no script.
//!
//! A page is one struct and one template. Everything it shows comes through a [`crate::auth::ShopScope`] from the allow-listed
//! projection; another shop's device and a device that doesn't exist give the same bytes.

mod account;
mod assets;
mod check_report;
mod device;
mod devices;
mod error;
mod form;
mod page;
mod parcels;
mod pictures;
mod posting;
mod report;
mod send;
mod sign_in;
mod visitor;
mod words;

use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::response::Redirect;
use axum::routing::{get, post};

use super::App;
use assets::stylesheet;
pub(super) use error::{PageError, not_found};
pub(super) use page::{Frame, html};
pub(super) use posting::certainty;
pub(super) use visitor::{is_signed_in, today};

/// The largest form: a device's texts are bounded at 4,000 characters each, in UTF-8 and percent-encoded.
const FORM_BYTES_MAX: usize = 256 * 1024;

/// The largest CSV file: forty rows of a few hundred bytes are 20 KB; a whole exported list is taken and its rows refused.
const CSV_BYTES_MAX: usize = 1024 * 1024;

/// The largest report that is checked: sixty photos stay below half of it.
const REPORT_BYTES_MAX: usize = 32 * 1024 * 1024;

pub(super) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/", get(|| async { Redirect::to("/devices") }))
        .route("/sign-in", get(sign_in::form).post(sign_in::sign_in))
        .route("/sign-out", post(sign_in::sign_out))
        .route(
            "/invite/{token}",
            get(sign_in::invite).post(sign_in::use_invite),
        )
        .route("/devices", get(devices::list))
        .route("/devices/{job_id}", get(device::page))
        .route("/devices/{job_id}/decision", post(device::decide))
        .route("/devices/{job_id}/messages", post(device::post_message))
        .route("/devices/{job_id}/report.pdf", get(pictures::report_pdf))
        .route("/pictures/{hash}/{variant}", get(pictures::picture))
        .route("/send", get(send::page).post(send::announce))
        .route("/send/parcel", post(send::keep_parcel))
        .route("/send/device", get(send::new_device).post(send::add_device))
        .route(
            "/send/device/{number}",
            get(send::edit_device).post(send::change_device),
        )
        .route("/send/device/{number}/remove", post(send::remove_device))
        .route(
            "/send/csv",
            post(send::import).layer(DefaultBodyLimit::max(CSV_BYTES_MAX)),
        )
        .route("/what-may-i-post", get(posting::page))
        .route("/what-may-i-post/{sheet}", get(posting::sheet))
        .route("/parcels", get(parcels::list))
        .route("/parcels/{parcel_id}", get(parcels::page))
        .route("/parcels/{parcel_id}/tracking", post(parcels::set_tracking))
        .route("/parcels/{parcel_id}/slip.pdf", get(parcels::slip))
        .route("/parcels/{parcel_id}/mark.pdf", get(parcels::mark))
        .route("/account", get(account::page))
        .route("/account/password", post(account::change_password))
        .route(
            "/check-report",
            get(check_report::page)
                .post(check_report::check)
                .layer(DefaultBodyLimit::max(REPORT_BYTES_MAX)),
        )
        .route("/r/{digest}", get(report::check))
        .route("/robots.txt", get(assets::robots))
        .route("/assets/{*path}", get(assets::file))
        .layer(DefaultBodyLimit::max(FORM_BYTES_MAX))
}

#[cfg(test)]
mod tests;
