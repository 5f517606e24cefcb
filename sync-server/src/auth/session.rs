//! A shop user's signed-in state.
//!
//! The cookie holds a random secret, the store its hash, the user and two times. Signing in always makes a new secret; the old
//! one is closed. Limits follow ASVS 5.0.0, 7.3: a session ends after 12 hours without use, and after seven days in any case.

use crate::auth::scope::{LabScope, ShopScope};
use crate::auth::token::{RandomError, Token};
use crate::store::{SessionRow, Store, StoreError, UserRow};

/// Ends a session that nobody used: a working day and the evening after it.
pub const IDLE_MS_MAX: i64 = 12 * 3_600_000;

/// Ends any session: one sign-in a week at a counter that is used daily.
pub const AGE_MS_MAX: i64 = 7 * 24 * 3_600_000;

/// The last use is written at most this often, so that reading a page seldom writes.
const TOUCH_MS: i64 = 5 * 60_000;

/// Why a session could not be opened or read.
#[derive(Debug, thiserror::Error)]
pub enum SessionError {
    /// No random bytes.
    #[error(transparent)]
    Random(#[from] RandomError),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// A signed-in user, as every page gets it.
#[derive(Debug, Clone)]
pub struct Session {
    /// What the user may see.
    pub scope: ShopScope,
    /// The user.
    pub user: UserRow,
    /// The cookie's secret: forms derive their token from it.
    pub cookie: Token,
}

/// Opens a session for `user` and closes the one that `replaced` names.
pub fn open(
    store: &dyn Store,
    user: &UserRow,
    replaced: Option<&Token>,
    now_ms: i64,
) -> Result<Token, SessionError> {
    let cookie = Token::random()?;
    if let Some(old) = replaced {
        store.close_session(&old.hash())?;
    }
    store.open_session(&SessionRow {
        secret: cookie.hash(),
        person_id: user.person_id,
        opened_ms: now_ms,
        used_ms: now_ms,
    })?;
    Ok(cookie)
}

/// The session behind a cookie; `None` when it ended, was closed or never was.
pub fn find(
    store: &dyn Store,
    cookie: &Token,
    now_ms: i64,
) -> Result<Option<Session>, SessionError> {
    let Some((row, user)) = store.session(&cookie.hash())? else {
        return Ok(None);
    };
    if !is_live(&row, now_ms) {
        store.close_session(&row.secret)?;
        return Ok(None);
    }
    if now_ms - row.used_ms > TOUCH_MS {
        store.touch_session(&row.secret, now_ms)?;
    }
    let scope = ShopScope::new(LabScope::new(user.lab_id), user.shop_id, user.person_id);
    Ok(Some(Session {
        scope,
        user,
        cookie: cookie.clone(),
    }))
}

fn is_live(row: &SessionRow, now_ms: i64) -> bool {
    now_ms - row.used_ms <= IDLE_MS_MAX && now_ms - row.opened_ms <= AGE_MS_MAX
}

#[cfg(test)]
mod tests;
