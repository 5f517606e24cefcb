//! What a desktop proves itself with: a secret that the server handed out once, when the desktop joined.

use axum::http::HeaderMap;
use axum::http::header::AUTHORIZATION;

use crate::auth::scope::LabScope;
use crate::auth::token::Token;
use crate::store::{DesktopRow, Store, StoreError};

/// A desktop that proved itself.
#[derive(Debug, Clone)]
pub struct Desktop {
    /// What it may touch.
    pub scope: LabScope,
    /// Its row.
    pub row: DesktopRow,
}

/// The secret of an `Authorization: Bearer …` header, if it is there and of our form.
pub fn bearer(headers: &HeaderMap) -> Option<Token> {
    let value = headers.get(AUTHORIZATION)?.to_str().ok()?;
    let (scheme, secret) = value.split_once(' ')?;
    if scheme.eq_ignore_ascii_case("bearer") {
        Token::presented(secret.trim())
    } else {
        None
    }
}

/// The desktop that holds `token`; `None` if nobody does, or if the lab took its right away.
pub fn desktop(store: &dyn Store, token: &Token) -> Result<Option<Desktop>, StoreError> {
    let row = store.desktop_by_secret(&token.hash())?;
    Ok(row.filter(|row| !row.is_revoked).map(|row| Desktop {
        scope: LabScope::new(row.lab_id),
        row,
    }))
}

/// The operator's own right, at the server's command line: whoever can read the database file needs no other proof.
pub fn operator(store: &dyn Store) -> Result<Option<LabScope>, StoreError> {
    Ok(store.lab()?.lab_id.map(LabScope::new))
}
