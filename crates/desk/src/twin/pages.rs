//! The built screens, served from their folder. Nothing outside it can be reached.

use std::path::{Component, Path};

use hyper::header;

use super::routes::{Answer, refusal, typed, with_head};
use crate::error::ErrorCode;

/// The same rule as the window's: nothing but what the twin itself serves.
const CONTENT_SECURITY_POLICY: &str = "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; connect-src 'self'; frame-ancestors 'none'";

/// A file of the screens; `/` is their first page.
pub(super) fn page(folder: Option<&Path>, path: &str) -> Answer {
    let Some(folder) = folder else {
        return refusal(
            404,
            ErrorCode::NotFound,
            "this twin serves no screens; start it with --ui and the folder of the built ones",
        );
    };
    let wanted = Path::new(if path == "/" {
        "index.html"
    } else {
        path.trim_start_matches('/')
    });
    let stays_inside = wanted
        .components()
        .all(|part| matches!(part, Component::Normal(_)));
    let bytes = if stays_inside {
        std::fs::read(folder.join(wanted)).ok()
    } else {
        None
    };
    match bytes {
        Some(bytes) => with_head(
            typed(bytes, content_type(wanted)),
            header::CONTENT_SECURITY_POLICY,
            CONTENT_SECURITY_POLICY,
        ),
        None => refusal(404, ErrorCode::NotFound, "the screens have no such file"),
    }
}

fn content_type(path: &Path) -> &'static str {
    match path.extension().and_then(|extension| extension.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("json") => "application/json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("woff2") => "font/woff2",
        Some("txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}
