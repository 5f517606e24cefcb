//! My devices: where each is, and first those that wait for the shop.

use std::sync::Arc;

use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use domain::shop_view::ShopJob;
use serde::Deserialize;

use super::super::App;
use super::error::PageError;
use super::page::{Frame, Leaf, html};
use super::visitor::SignedIn;
use super::words::{self, Moment};
use crate::shop_view;

/// Which act led to a page, so that the page can say that it was recorded.
#[derive(Debug, Deserialize)]
pub(super) struct Done {
    done: Option<String>,
    all: Option<String>,
}

/// Devices that were sent back and are listed at first: about two months of a busy counter.
const OVER_SHOWN: usize = 50;

impl Done {
    /// Whether the whole list was asked for.
    fn wants_all(&self) -> bool {
        self.all.is_some()
    }

    /// Whether a parcel was just announced.
    pub(super) fn is_announced(&self) -> bool {
        self.done.as_deref() == Some("announced")
    }

    /// What was recorded, in words; empty for anything that is none of ours.
    pub(super) fn words(&self) -> &'static str {
        match self.done.as_deref() {
            Some("welcome") => "Welcome. Your password is set and you are signed in.",
            Some("agreed") => "Recorded: you agree to the quote. The lab goes on.",
            Some("refused") => "Recorded: you refuse the quote. The device comes back unrepaired.",
            Some("asked") => "Your question is on its way. The quote stays open until you decide.",
            Some("message") => "Your message is on its way.",
            Some("announced") => {
                "Announced. Now print the slip, pack the box as below and send it."
            }
            Some("tracking") => "The tracking number is recorded.",
            Some("password") => "The password is changed, and you are signed out everywhere else.",
            Some("added") => "Added to this parcel.",
            Some("removed") => "Taken out of this parcel.",
            Some("kept") => "Kept. Nothing has been sent yet.",
            _ => "",
        }
    }
}

struct Row {
    job: ShopJob,
    changed: Moment,
}

impl Row {
    fn is_stopped(&self) -> bool {
        self.job.stage == domain::job::Stage::Holding
    }

    fn is_over(&self) -> bool {
        shop_view::is_over(&self.job)
    }

    fn name(&self) -> String {
        words::device_name(&self.job.device)
    }
}

#[derive(Template)]
#[template(path = "devices.html")]
struct DevicesPage {
    frame: Frame,
    waiting: Vec<Row>,
    here: Vec<Row>,
    over: Vec<Row>,
    over_count: usize,
}

pub(super) async fn list(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Query(done): Query<Done>,
) -> Result<Response, PageError> {
    let scope = who.session.scope;
    let jobs = app.run(move |core| core.store().jobs(&scope)).await??;
    let times = who.times();
    let (mut waiting, mut here, mut over) = (Vec::new(), Vec::new(), Vec::new());
    for job in jobs {
        let row = Row {
            changed: times.moment(job.last_at_ms),
            job,
        };
        if row.is_over() {
            over.push(row);
        } else if row.job.needed.is_empty() {
            here.push(row);
        } else {
            waiting.push(row);
        }
    }
    let over_count = over.len();
    if !done.wants_all() {
        over.truncate(OVER_SHOWN);
    }
    let frame = who.frame("My devices", Leaf::Devices).saying(done.words());
    html(&DevicesPage {
        frame,
        waiting,
        here,
        over,
        over_count,
    })
}
