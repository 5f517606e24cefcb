//! Proof that a form was sent from our own page.
//!
//! The token in the form is a hash of the cookie, so it needs no storage, and a page of another site can't know it: it can
//! make a browser send the cookie but not read it. The `Origin` header is checked as well, where the browser sends one.

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq as _;

use crate::auth::token::Token;

/// The token that belongs to a cookie's secret.
pub fn token_for(cookie: &Token) -> String {
    let mut hasher = Sha256::new();
    // The prefix keeps this hash apart from the one in the store, which is of the cookie alone.
    hasher.update(b"waybench form token 1\0");
    hasher.update(cookie.reveal().as_bytes());
    URL_SAFE_NO_PAD.encode(hasher.finalize())
}

/// Whether `given` is the token for `cookie`; takes the same time wherever they differ.
pub fn is_right(cookie: &Token, given: &str) -> bool {
    token_for(cookie).as_bytes().ct_eq(given.as_bytes()).into()
}

/// Whether the `Origin` and `Sec-Fetch-Site` headers allow this to be our own form. Old browsers send neither.
///
/// Our pages send no referrer, and browsers then write `null` for the origin of their forms too (Fetch Standard, "append a
/// request `Origin` header"). So `null` alone says nothing; `Sec-Fetch-Site` and the token decide.
pub fn is_same_origin(public_url: &str, origin: Option<&str>, fetch_site: Option<&str>) -> bool {
    let origin_ok = origin.is_none_or(|origin| origin == public_url || origin == "null");
    let site_ok = fetch_site.is_none_or(|site| matches!(site, "same-origin" | "none"));
    origin_ok && site_ok
}

#[cfg(test)]
mod tests;
