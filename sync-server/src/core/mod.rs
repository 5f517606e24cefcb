//! What the server does, callable without a socket: the protocol for desktops, and the portal's own entries.
//!
//! The HTTP layers parse, call this, and render. A test or a simulation joins a desktop straight to a [`Connection`].

mod connection;
mod hints;
mod photos;
mod portal_entries;
mod prove;
mod report_check;
mod rules;

use std::sync::{Arc, Mutex};

use domain::{LabId, ShopId};
use sync_protocol::{ErrorCode, JoinCode, NewShopLink, Problem, ShopLink};

pub use connection::Connection;
pub use hints::Hints;
pub use photos::FilePart;
pub use portal_entries::{
    ASKED_BEFORE_POSTING, DEVICES_MAX, NewAdvice, NewDevice, PortalError, Quoted, TEXT_CHARS_MAX,
    is_open,
};
pub use prove::prove;

use crate::auth::credential;
use crate::auth::token::{Token, TokenHash};
use crate::auth::{LabScope, credential::Desktop};
use crate::clock::{Clock, timed_uuid};
use crate::config::Quotas;
use crate::files::Files;
use crate::store::{Store, StoreError};

/// How long a join code is good: a working day.
const JOIN_CODE_MS: i64 = 24 * 3_600_000;

/// How long an invite is good: a week, since shops answer mail when they can.
const INVITE_MS: i64 = 7 * 24 * 3_600_000;

/// Signs in a join code, apart from the hyphen: Crockford's base 32 has no letters that look like digits.
const CODE_SIGNS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// The server without its sockets.
#[derive(Debug)]
pub struct Core {
    store: Arc<dyn Store>,
    files: Files,
    clock: Arc<dyn Clock>,
    hints: Hints,
    quotas: Quotas,
    book: Mutex<Option<rules::KeptBook>>,
}

impl Core {
    /// Puts the parts together.
    pub fn new(
        store: Arc<dyn Store>,
        files: Files,
        clock: Arc<dyn Clock>,
        quotas: Quotas,
    ) -> Result<Self, StoreError> {
        let hints = Hints::at(store.lab()?.log_position);
        Ok(Self {
            store,
            files,
            clock,
            hints,
            quotas,
            book: Mutex::new(None),
        })
    }

    /// The store.
    pub fn store(&self) -> &dyn Store {
        &*self.store
    }

    /// Photos and files.
    pub const fn files(&self) -> &Files {
        &self.files
    }

    /// Bounds on use.
    pub const fn quotas(&self) -> &Quotas {
        &self.quotas
    }

    /// Now, in milliseconds since 1970.
    pub fn now_ms(&self) -> i64 {
        self.clock.now_ms()
    }

    /// Who waits for news.
    pub const fn hints(&self) -> &Hints {
        &self.hints
    }

    /// Makes a one-time code for a desktop: 16 signs of 5 bits, 80 bits, good for a day.
    pub fn new_join_code(&self) -> Result<String, StoreError> {
        let bytes = crate::auth::token::random::<16>()?;
        let code: String = bytes
            .iter()
            .map(|byte| char::from(CODE_SIGNS[usize::from(byte % 32)]))
            .collect();
        self.store
            .add_join_code(&join_code_hash(&code), self.now_ms() + JOIN_CODE_MS)?;
        Ok(code
            .as_bytes()
            .chunks(4)
            .map(|four| String::from_utf8_lossy(four))
            .collect::<Vec<_>>()
            .join("-"))
    }

    /// Makes the secret of a one-time link for a shop's user. `email` may be empty: the link is then for whoever holds it.
    pub fn new_invite(
        &self,
        scope: &LabScope,
        shop_id: ShopId,
        email: &str,
    ) -> Result<Token, StoreError> {
        let token = Token::random()?;
        self.store.add_invite(
            scope,
            shop_id,
            &token.hash(),
            &email.to_lowercase(),
            self.now_ms() + INVITE_MS,
        )?;
        Ok(token)
    }

    /// A one-time code for one more desktop, as a desktop asks for it.
    pub fn join_code(&self) -> Result<JoinCode, Problem> {
        let code = self.new_join_code().map_err(|error| problem_of(&error))?;
        Ok(JoinCode {
            code,
            valid_minutes: minutes(JOIN_CODE_MS),
        })
    }

    /// A one-time link for a shop's user, as a desktop asks for it.
    pub fn shop_link(&self, scope: &LabScope, request: &NewShopLink) -> Result<ShopLink, Problem> {
        let failed = |error: StoreError| problem_of(&error);
        let cards = self.store.shop_cards(scope).map_err(failed)?;
        if !cards.iter().any(|(shop_id, _)| *shop_id == request.shop_id) {
            let detail = "the server doesn't know this shop yet; wait until everything is sent and try again";
            return Err(Problem::new(ErrorCode::ShopUnknown, detail));
        }
        let token = self
            .new_invite(scope, request.shop_id, &request.email)
            .map_err(failed)?;
        Ok(ShopLink {
            path: format!("/invite/{}", token.reveal()),
            valid_hours: minutes(INVITE_MS) / 60,
        })
    }

    /// The desktop that holds a credential, or why not.
    pub fn desktop(&self, token: Option<&Token>) -> Result<Desktop, Problem> {
        let found = match token {
            Some(token) => {
                credential::desktop(self.store(), token).map_err(|error| problem_of(&error))?
            }
            None => None,
        };
        found.ok_or_else(|| {
            let detail = "the server doesn't know this desktop any more; enrol it again with a new joining code";
            Problem::new(ErrorCode::NotEnrolled, detail)
        })
    }

    fn new_lab_id(&self) -> Result<LabId, StoreError> {
        Ok(LabId::new(timed_uuid(self.now_ms())?))
    }
}

fn minutes(ms: i64) -> u32 {
    u32::try_from(ms / 60_000).unwrap_or(u32::MAX)
}

/// Reads a code as people type it: spaces, hyphens and case don't count, and O, I, L are the digits they look like.
fn join_code_hash(typed: &str) -> TokenHash {
    let plain: String = typed
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .map(|sign| match sign.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            sign => sign,
        })
        .collect();
    TokenHash::of(&plain)
}

/// What a desktop is told when the store fails. The cause goes to the server's own log, not over the wire.
pub fn problem_of(error: &StoreError) -> Problem {
    tracing::error!(error = %crate::log::Chain(error), "the store failed");
    match error {
        StoreError::DiskFull { .. } => Problem::new(
            ErrorCode::StorageFull,
            "nothing of this request was stored; free space and try again",
        ),
        error if error.is_passing() => Problem::new(
            ErrorCode::Unavailable,
            "nothing of this request was stored; try again in a moment",
        ),
        _ => Problem::new(
            ErrorCode::ServerFault,
            "nothing of this request was stored; the server's log says more",
        ),
    }
}

#[cfg(test)]
mod tests;
