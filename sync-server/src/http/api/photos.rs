//! Photos and files over HTTP: parts up, ranges down.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, QueryRejection};
use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, header};
use axum::response::{IntoResponse as _, Response};
use domain::ContentHash;
use serde::Deserialize;
use sync_protocol::limits::PHOTO_PART_BYTES_MAX;
use sync_protocol::{FinishPhoto, PhotoVariant, http_paths};

use super::super::App;
use super::problem::{Refusal, json};
use super::{read_bytes, read_json, with_desktop};

/// `{hash}/{variant}` of a path.
fn name_of((hash, variant): (String, String)) -> Result<(ContentHash, PhotoVariant), Refusal> {
    let hash = hash
        .parse::<ContentHash>()
        .map_err(|error| Refusal::bad_request(error.to_string()))?;
    let variant = PhotoVariant::from_word(&variant)
        .ok_or_else(|| Refusal::bad_request("a photo is asked for as “full” or as “thumb”"))?;
    Ok((hash, variant))
}

#[derive(Debug, Deserialize)]
pub(super) struct Offset {
    offset: u64,
}

#[derive(Debug, Deserialize)]
pub(super) struct Range {
    offset: Option<u64>,
    length: Option<u64>,
}

pub(super) async fn progress(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Path(name): Path<(String, String)>,
) -> Result<Response, Refusal> {
    let name = name_of(name);
    with_desktop(&app, &headers, move |core, desktop| {
        let (hash, variant) = name.map_err(|refusal| refusal.0)?;
        Ok(json(&core.photo_progress(
            &desktop.scope,
            &hash,
            variant,
        )?))
    })
    .await
}

pub(super) async fn part(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Path(name): Path<(String, String)>,
    query: Result<Query<Offset>, QueryRejection>,
    body: Result<Bytes, BytesRejection>,
) -> Result<Response, Refusal> {
    let (name, body) = (name_of(name), read_bytes(body));
    with_desktop(&app, &headers, move |core, desktop| {
        let (hash, variant) = name.map_err(|refusal| refusal.0)?;
        let bytes = body.map_err(|refusal| refusal.0)?;
        let Ok(Query(Offset { offset })) = query else {
            return Err(Refusal::bad_request("a part says where it begins, as in ?offset=0").0);
        };
        Ok(json(&core.photo_part(
            &desktop.scope,
            &hash,
            variant,
            offset,
            &bytes,
        )?))
    })
    .await
}

pub(super) async fn finish(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Path(name): Path<(String, String)>,
    body: Result<Bytes, BytesRejection>,
) -> Result<Response, Refusal> {
    let (name, finish) = (name_of(name), read_json::<FinishPhoto>(body));
    with_desktop(&app, &headers, move |core, desktop| {
        let (hash, variant) = name.map_err(|refusal| refusal.0)?;
        let finish = finish.map_err(|refusal| refusal.0)?;
        Ok(json(&core.photo_finish(
            &desktop.scope,
            &hash,
            variant,
            &finish,
        )?))
    })
    .await
}

pub(super) async fn download(
    State(app): State<Arc<App>>,
    headers: HeaderMap,
    Path(name): Path<(String, String)>,
    query: Result<Query<Range>, QueryRejection>,
) -> Result<Response, Refusal> {
    let name = name_of(name);
    let part = with_desktop(&app, &headers, move |core, desktop| {
        let (hash, variant) = name.map_err(|refusal| refusal.0)?;
        let Ok(Query(Range { offset, length })) = query else {
            return Err(Refusal::bad_request(
                "a range is given in bytes, as in ?offset=0&length=1000",
            )
            .0);
        };
        let length = length.unwrap_or(u64::MAX).min(PHOTO_PART_BYTES_MAX as u64);
        core.photo_read(&desktop.scope, &hash, variant, offset.unwrap_or(0), length)
    })
    .await?;
    let mut response = part.bytes.into_response();
    let headers = response.headers_mut();
    headers.insert(
        header::CONTENT_TYPE,
        HeaderValue::from_static("application/octet-stream"),
    );
    headers.insert(
        HeaderName::from_static(http_paths::TOTAL_BYTES_HEADER),
        HeaderValue::from(part.total_bytes),
    );
    Ok(response)
}
