//! The protocol on HTTP, as `sync_protocol::http_paths` lays it down.
//!
//! Parse, look the credential up, call the core, answer. The credential alone decides the lab; no path or body can.

mod hints;
mod photos;
mod problem;

use std::net::SocketAddr;
use std::sync::Arc;

use axum::Router;
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{ConnectInfo, DefaultBodyLimit, Query, State};
use axum::http::HeaderMap;
use axum::response::Response;
use axum::routing::{get, post};
use domain::ContentHash;
use logbook::LogDigest;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use sync_protocol::limits::{ENTRIES_BODY_BYTES_MAX, PHOTO_PART_BYTES_MAX, PageLimits};
use sync_protocol::{
    Cursor, Enrol, ErrorCode, NewShopLink, Problem, PushEntries, http_paths as paths,
};
use uuid::Uuid;

use self::problem::Refusal;
use self::problem::json;
pub(super) use self::problem::json as json_answer;
use super::App;
use crate::auth::credential::{Desktop, bearer};
use crate::core::Core;

pub(super) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route(paths::ENROL, post(enrol))
        .route(paths::CLOCK, get(clock))
        .route(paths::HEADS, get(heads))
        .route(
            paths::ENTRIES,
            get(pull)
                .post(push)
                .layer(DefaultBodyLimit::max(ENTRIES_BODY_BYTES_MAX)),
        )
        .route(paths::JOIN_CODES, post(join_code))
        .route(paths::SHOP_LINKS, post(shop_link))
        .route(paths::HINTS, get(hints::follow))
        .route(
            paths::PHOTO_UPLOAD,
            get(photos::progress)
                .put(photos::part)
                .layer(DefaultBodyLimit::max(PHOTO_PART_BYTES_MAX)),
        )
        .route(paths::PHOTO_FINISH, post(photos::finish))
        .route(paths::PHOTO, get(photos::download))
        .route("/problems/{code}", get(problem::explain))
        .route("/sync/{*rest}", axum::routing::any(no_such_path))
        .method_not_allowed_fallback(no_such_path)
}

async fn enrol(
    State(app): State<Arc<App>>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Result<Response, Refusal> {
    app.rates
        .one_time(app.address_of(peer, &headers))
        .map_err(Refusal::rate)?;
    let request: Enrol = read_json(body)?;
    let (enrolled, _) = app.run(move |core| core.enrol(&request)).await??;
    Ok(json(&enrolled))
}

async fn clock(State(app): State<Arc<App>>, headers: HeaderMap) -> Result<Response, Refusal> {
    with_desktop(&app, &headers, |core, _| Ok(json(&core.server_clock()))).await
}

async fn heads(State(app): State<Arc<App>>, headers: HeaderMap) -> Result<Response, Refusal> {
    with_desktop(&app, &headers, |core, desktop| {
        Ok(json(&core.heads(&desktop.scope)?))
    })
    .await
}

async fn push(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Result<Response, Refusal> {
    // The credential first: a stranger is told nothing about the body.
    let push: PushEntries = match read_json(body) {
        Ok(push) => push,
        Err(refusal) => return with_desktop(&app, &headers, |_, _| Err(refusal.0)).await,
    };
    with_desktop(&app, &headers, move |core, desktop| {
        Ok(json(&core.push(&desktop.scope, &push)?))
    })
    .await
}

#[derive(Debug, Deserialize)]
struct CursorQuery {
    log_epoch: Uuid,
    log_position: u64,
    digest: ContentHash,
}

async fn pull(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    query: Result<Query<CursorQuery>, axum::extract::rejection::QueryRejection>,
) -> Result<Response, Refusal> {
    with_desktop(&app, &headers, move |core, desktop| {
        let Query(query) =
            query.map_err(|error| Problem::new(ErrorCode::BadRequest, error.body_text()))?;
        let digest = LogDigest::from_bytes(*query.digest.as_bytes());
        let cursor = Cursor {
            log_epoch: query.log_epoch,
            log_position: query.log_position,
            digest,
        };
        Ok(json(&core.pull(
            &desktop.scope,
            &cursor,
            PageLimits::STANDARD,
        )?))
    })
    .await
}

async fn join_code(State(app): State<Arc<App>>, headers: HeaderMap) -> Result<Response, Refusal> {
    with_desktop(&app, &headers, |core, _| Ok(json(&core.join_code()?))).await
}

async fn shop_link(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    body: Result<Bytes, BytesRejection>,
) -> Result<Response, Refusal> {
    let request: NewShopLink = match read_json(body) {
        Ok(request) => request,
        Err(refusal) => return with_desktop(&app, &headers, |_, _| Err(refusal.0)).await,
    };
    with_desktop(&app, &headers, move |core, desktop| {
        Ok(json(&core.shop_link(&desktop.scope, &request)?))
    })
    .await
}

async fn no_such_path() -> Refusal {
    Refusal::not_found()
}

/// Looks the credential up and runs `work` for its desktop, on a thread that may block.
async fn with_desktop<T: Send + 'static>(
    app: &App,
    headers: &HeaderMap,
    work: impl FnOnce(&Core, &Desktop) -> Result<T, Problem> + Send + 'static,
) -> Result<T, Refusal> {
    let token = bearer(headers);
    let done = app.run(move |core| {
        let desktop = core.desktop(token.as_ref())?;
        work(core, &desktop)
    });
    Ok(done.await??)
}

fn read_json<T: DeserializeOwned>(body: Result<Bytes, BytesRejection>) -> Result<T, Refusal> {
    let bytes = read_bytes(body)?;
    serde_json::from_slice(&bytes)
        .map_err(|error| Refusal::bad_request(format!("the body can't be read: {error}")))
}

fn read_bytes(body: Result<Bytes, BytesRejection>) -> Result<Bytes, Refusal> {
    body.map_err(|rejection| {
        if rejection.status() == axum::http::StatusCode::PAYLOAD_TOO_LARGE {
            Refusal(Problem::new(
                ErrorCode::OverLimit,
                "the body is larger than this path takes; send it in smaller pieces",
            ))
        } else {
            Refusal::bad_request("the body broke off; send it again")
        }
    })
}

#[cfg(test)]
mod tests;
