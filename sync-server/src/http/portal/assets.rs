//! Styles, fonts and the icon, built into the program. The stylesheet's address carries its version, so it can be kept for ever.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use sha2::{Digest as _, Sha256};

use super::not_found;

/// The stylesheet's address; its version is its own hash.
pub(crate) fn stylesheet() -> &'static str {
    static ADDRESS: LazyLock<String> = LazyLock::new(|| {
        format!(
            "/assets/portal.css?v={}",
            hex::encode(&Sha256::digest(CSS)[..6])
        )
    });
    &ADDRESS
}

const CSS: &str = include_str!("../../../assets/portal.css");
const ICON: &str = include_str!("../../../assets/icon.svg");

macro_rules! fonts {
    ($($name:literal),+ $(,)?) => {
        /// Fonts under the SIL Open Font License 1.1; the licences stand beside the files.
        const FONTS: &[(&str, &[u8])] = &[$(($name, include_bytes!(concat!("../../../assets/fonts/", $name)))),+];
    };
}

fonts!(
    "atkinson-hyperlegible-next-latin-400-normal.woff2",
    "atkinson-hyperlegible-next-latin-700-normal.woff2",
    "atkinson-hyperlegible-next-latin-ext-400-normal.woff2",
    "atkinson-hyperlegible-next-latin-ext-700-normal.woff2",
    "atkinson-hyperlegible-mono-latin-400-normal.woff2",
    "noto-sans-greek-400-normal.woff2",
    "noto-sans-greek-700-normal.woff2",
    "noto-sans-cyrillic-400-normal.woff2",
    "noto-sans-cyrillic-700-normal.woff2",
);

/// Fonts and styles are public and never change under one address.
const KEEP: &str = "public, max-age=31536000, immutable";

pub(super) async fn file(Path(path): Path<String>) -> Response {
    let (kind, body): (&str, &'static [u8]) = match path.as_str() {
        "portal.css" => ("text/css; charset=utf-8", CSS.as_bytes()),
        "icon.svg" => ("image/svg+xml", ICON.as_bytes()),
        path => {
            let font = path
                .strip_prefix("fonts/")
                .and_then(|name| FONTS.iter().find(|(known, _)| *known == name));
            match font {
                Some((_, bytes)) => ("font/woff2", bytes),
                None => return not_found().await,
            }
        }
    };
    (
        StatusCode::OK,
        [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, KEEP)],
        body,
    )
        .into_response()
}

/// Nothing here is for search engines.
pub(super) async fn robots() -> &'static str {
    "User-agent: *\nDisallow: /\n"
}
