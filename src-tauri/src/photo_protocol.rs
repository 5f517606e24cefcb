//! Pictures for the screens, at `photo://localhost/<content hash>`; with `?thumb=1` the small one.
//!
//! A picture never changes under its hash, so the window may keep it as long as it likes. Only pictures of the lab are
//! served: the address is a hash and never a path.

use tauri::http::{Request, Response, StatusCode, header};

/// A SHA-256 in hexadecimal.
const HASH_LENGTH: usize = 64;

/// A year, the longest that caches heed; the bytes behind a hash cannot change.
const FOR_EVER: &str = "private, max-age=31536000, immutable";

/// The picture that an address asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PhotoAddress {
    /// The content hash in lower-case hexadecimal.
    pub(crate) hash: String,
    /// The small picture rather than the whole one.
    pub(crate) thumbnail: bool,
}

impl PhotoAddress {
    /// Reads the address of a request; `None` if it is not one of a picture.
    pub(crate) fn of<Body>(request: &Request<Body>) -> Option<Self> {
        let hash = request.uri().path().strip_prefix('/')?;
        let is_hash = hash.len() == HASH_LENGTH
            && hash
                .bytes()
                .all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        is_hash.then(|| Self {
            hash: hash.to_owned(),
            thumbnail: request.uri().query() == Some("thumb=1"),
        })
    }
}

/// The answer with a JPEG's bytes.
pub(crate) fn picture(bytes: Vec<u8>) -> Response<Vec<u8>> {
    answer(StatusCode::OK, "image/jpeg", FOR_EVER, bytes)
}

/// The answer when there is no such picture here, or not yet: it may still come with the next sync.
pub(crate) fn missing() -> Response<Vec<u8>> {
    let text = b"this desktop does not have that picture".to_vec();
    answer(StatusCode::NOT_FOUND, "text/plain", "no-store", text)
}

/// The answer when the picture could not be read.
pub(crate) fn unreadable(reason: String) -> Response<Vec<u8>> {
    let status = StatusCode::INTERNAL_SERVER_ERROR;
    answer(status, "text/plain", "no-store", reason.into_bytes())
}

fn answer(
    status: StatusCode,
    content_type: &'static str,
    cache: &'static str,
    body: Vec<u8>,
) -> Response<Vec<u8>> {
    Response::builder()
        .status(status)
        .header(header::CONTENT_TYPE, content_type)
        .header(header::CACHE_CONTROL, cache)
        .header(header::X_CONTENT_TYPE_OPTIONS, "nosniff")
        .body(body)
        .expect("a fixed status and fixed headers make a valid answer")
}

#[cfg(test)]
mod tests;
