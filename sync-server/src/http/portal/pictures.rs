//! Photos and report files, for the shop whose device they show.
//!
//! Knowing a hash grants nothing: an entry in the shop's scope must name it. A file that hasn't arrived is said to be on its
//! way on the page, and isn't there at its address.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::{IntoResponse as _, Response};
use domain::ContentHash;
use domain::fact::PhotoPlace;
use domain::shop_view::ShopPhoto;
use sync_protocol::PhotoVariant;

use super::super::App;
use super::device::job_id_of;
use super::error::PageError;
use super::visitor::SignedIn;
use crate::auth::ShopScope;
use crate::core::Core;

/// A photo on a page.
pub(super) struct Picture {
    pub(super) hash: ContentHash,
    pub(super) alt: String,
    pub(super) caption: String,
    pub(super) width_px: u32,
    pub(super) height_px: u32,
    pub(super) is_here: bool,
    pub(super) thumb_is_here: bool,
}

/// Looks up which photos have arrived.
pub(super) fn pictures_of(
    core: &Core,
    scope: &ShopScope,
    photos: &[ShopPhoto],
) -> Result<Vec<Picture>, PageError> {
    let here = |hash, variant| {
        Ok::<_, PageError>(
            core.store()
                .stored_file(scope.lab(), hash, variant)?
                .is_some(),
        )
    };
    photos
        .iter()
        .map(|photo| {
            let place = place_words(photo.place);
            let caption = if photo.caption.is_empty() {
                place.to_owned()
            } else {
                format!("{place}: {}", photo.caption)
            };
            Ok(Picture {
                hash: photo.hash,
                alt: format!("Photo, {caption}"),
                caption,
                width_px: photo.width_px,
                height_px: photo.height_px,
                is_here: here(&photo.hash, PhotoVariant::Full)?,
                thumb_is_here: here(&photo.hash, PhotoVariant::Thumb)?,
            })
        })
        .collect()
}

/// Whether a file has arrived whole.
pub(super) fn stored(
    core: &Core,
    scope: &ShopScope,
    hash: &ContentHash,
) -> Result<bool, PageError> {
    Ok(core
        .store()
        .stored_file(scope.lab(), hash, PhotoVariant::Full)?
        .is_some())
}

const fn place_words(place: PhotoPlace) -> &'static str {
    match place {
        PhotoPlace::Parcel => "parcel",
        PhotoPlace::Condition => "condition",
        PhotoPlace::Cell => "battery",
        PhotoPlace::Before => "before",
        PhotoPlace::Diagnosis => "board",
        PhotoPlace::Work => "work",
        PhotoPlace::After => "after",
        PhotoPlace::Packing => "packing",
    }
}

pub(super) async fn picture(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Path((hash, variant)): Path<(String, String)>,
) -> Result<Response, PageError> {
    let hash: ContentHash = hash.parse().map_err(|_| PageError::NotFound)?;
    let variant = PhotoVariant::from_word(&variant).ok_or(PageError::NotFound)?;
    let scope = who.session.scope;
    let bytes = app
        .run(move |core| fetch(core, &scope, &hash, variant))
        .await??;
    // Intake makes JPEGs only. Whatever else lies under the hash is not shown as a picture.
    if !bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        return Err(PageError::NotFound);
    }
    Ok(file(bytes, "image/jpeg", None))
}

pub(super) async fn report_pdf(
    State(app): State<Arc<App>>,
    who: SignedIn,
    Path(job_id): Path<String>,
) -> Result<Response, PageError> {
    let (job_id, scope) = (job_id_of(&job_id)?, who.session.scope);
    let (bytes, reference) = app
        .run(move |core| {
            let job = core
                .store()
                .job(&scope, job_id)?
                .ok_or(PageError::NotFound)?;
            let report = job.report.ok_or(PageError::NotFound)?;
            Ok::<_, PageError>((
                fetch(core, &scope, &report.file, PhotoVariant::Full)?,
                job.reference,
            ))
        })
        .await??;
    if !bytes.starts_with(b"%PDF-") {
        return Err(PageError::NotFound);
    }
    Ok(file(
        bytes,
        "application/pdf",
        Some(&format!("report-{reference}.pdf")),
    ))
}

fn fetch(
    core: &Core,
    scope: &ShopScope,
    hash: &ContentHash,
    variant: PhotoVariant,
) -> Result<Vec<u8>, PageError> {
    if !core.store().may_fetch(scope, hash)? {
        return Err(PageError::NotFound);
    }
    match core.photo_read(scope.lab(), hash, variant, 0, u64::MAX) {
        Ok(part) => Ok(part.bytes),
        Err(problem) if problem.code == sync_protocol::ErrorCode::PhotoAbsent => {
            Err(PageError::NotFound)
        }
        Err(_) => Err(PageError::Fault),
    }
}

/// A file as an answer. What a hash names never changes, but it is private: kept by this browser only.
pub(super) fn file(bytes: Vec<u8>, kind: &'static str, name: Option<&str>) -> Response {
    let mut headers = HeaderMap::new();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(
        header::CACHE_CONTROL,
        HeaderValue::from_static("private, no-store"),
    );
    if let Some(disposition) =
        name.and_then(|name| HeaderValue::from_str(&format!("inline; filename=\"{name}\"")).ok())
    {
        headers.insert(header::CONTENT_DISPOSITION, disposition);
    }
    (headers, bytes).into_response()
}
