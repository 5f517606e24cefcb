//! Server-sent events: "the log has moved". They may end at any time; nothing depends on them.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::{Query, State};
use axum::http::HeaderMap;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse as _, Response};
use serde::Deserialize;
use sync_protocol::{PositionHint, http_paths};
use tokio::sync::mpsc;
use tokio_stream::wrappers::ReceiverStream;

use super::super::App;
use super::problem::Refusal;
use super::with_desktop;

/// A comment line this often keeps proxies from closing the connection, and shows the server that the desktop is gone.
const KEEP_ALIVE: Duration = Duration::from_secs(10);

#[derive(Debug, Deserialize)]
pub(super) struct After {
    log_position: Option<u64>,
}

/// Tells the position at once if it is past the one given, and whenever it moves.
pub(super) async fn follow(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Query(after): Query<After>,
) -> Result<Response, Refusal> {
    with_desktop(&app, &headers, |_, _| Ok(())).await?;
    let (sender, receiver) = mpsc::channel(1);
    tokio::spawn(tell(app, after.log_position, sender));
    let events =
        Sse::new(ReceiverStream::new(receiver)).keep_alive(KeepAlive::new().interval(KEEP_ALIVE));
    Ok(events.into_response())
}

async fn tell(app: Arc<App>, after: Option<u64>, sender: mpsc::Sender<Result<Event, Infallible>>) {
    let mut position = app.core.hints().follow();
    let mut stopping = app.stopping.clone();
    let mut told = None;
    loop {
        let now = *position.borrow_and_update();
        if told != Some(now) && (told.is_some() || after.is_none_or(|after| now != after)) {
            let Ok(event) = Event::default()
                .event(http_paths::POSITION_EVENT)
                .json_data(PositionHint { log_position: now })
            else {
                return;
            };
            if sender.send(Ok(event)).await.is_err() {
                return;
            }
        }
        told = Some(now);
        tokio::select! {
            moved = position.changed() => if moved.is_err() { return },
            _ = stopping.wait_for(|stopping| *stopping) => return,
            () = sender.closed() => return,
        }
    }
}
