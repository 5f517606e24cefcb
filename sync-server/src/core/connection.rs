//! One desktop's side of the server: the protocol trait, answered without a socket.
//!
//! The credential is looked up anew for each call, so that a right that was taken away ends at once.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use domain::ContentHash;
use sync_protocol::limits::{HINT_WAIT_MS_MAX, PROTOCOL_VERSION, PageLimits};
use sync_protocol::{
    Cursor, Enrol, Enrolled, ErrorCode, FinishPhoto, Heads, JoinCode, NewShopLink, PhotoProgress,
    PhotoVariant, PositionHint, Problem, Pull, PushAnswer, PushEntries, ServerClock, ShopLink,
    SyncError, SyncProtocol,
};

use super::{Core, join_code_hash, problem_of, prove};
use crate::auth::token::Token;
use crate::auth::{LabScope, credential::Desktop};
use crate::store::{NewDesktop, OneTimeUse, RefusedUse};

/// A desktop joined to the server without sockets.
#[derive(Debug)]
pub struct Connection {
    core: Arc<Core>,
    credential: Mutex<Option<Token>>,
    limits: PageLimits,
}

impl Connection {
    /// A connection that has yet to join.
    pub fn new(core: Arc<Core>) -> Self {
        Self {
            core,
            credential: Mutex::default(),
            limits: PageLimits::STANDARD,
        }
    }

    /// A connection with the credential of a desktop that joined earlier.
    pub fn with_credential(core: Arc<Core>, credential: &str) -> Self {
        let connection = Self::new(core);
        connection.keep(Token::presented(credential));
        connection
    }

    /// Makes pages of another size, for tests of their edges.
    #[must_use]
    pub fn with_limits(mut self, limits: PageLimits) -> Self {
        self.limits = limits;
        self
    }

    fn keep(&self, token: Option<Token>) {
        *self
            .credential
            .lock()
            .unwrap_or_else(PoisonError::into_inner) = token;
    }

    fn desktop(&self) -> Result<Desktop, SyncError> {
        let token = self
            .credential
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone();
        self.core
            .desktop(token.as_ref())
            .map_err(SyncError::Refused)
    }

    fn scope(&self) -> Result<LabScope, SyncError> {
        Ok(self.desktop()?.scope)
    }
}

impl SyncProtocol for Connection {
    fn enrol(&self, request: &Enrol) -> Result<Enrolled, SyncError> {
        let (enrolled, token) = self.core.enrol(request).map_err(SyncError::Refused)?;
        self.keep(Some(token));
        Ok(enrolled)
    }

    fn clock(&self) -> Result<ServerClock, SyncError> {
        self.scope()?;
        Ok(self.core.server_clock())
    }

    fn heads(&self) -> Result<Heads, SyncError> {
        self.core.heads(&self.scope()?).map_err(SyncError::Refused)
    }

    fn push(&self, request: &PushEntries) -> Result<PushAnswer, SyncError> {
        self.core
            .push(&self.scope()?, request)
            .map_err(SyncError::Refused)
    }

    fn pull(&self, cursor: &Cursor) -> Result<Pull, SyncError> {
        self.core
            .pull(&self.scope()?, cursor, self.limits)
            .map_err(SyncError::Refused)
    }

    fn wait_hint(&self, log_position: u64, timeout_ms: u64) -> Result<PositionHint, SyncError> {
        self.scope()?;
        let timeout = Duration::from_millis(timeout_ms.min(HINT_WAIT_MS_MAX));
        Ok(PositionHint {
            log_position: self.core.hints.wait(log_position, timeout),
        })
    }

    fn new_join_code(&self) -> Result<JoinCode, SyncError> {
        self.scope()?;
        self.core.join_code().map_err(SyncError::Refused)
    }

    fn new_shop_link(&self, request: &NewShopLink) -> Result<ShopLink, SyncError> {
        self.core
            .shop_link(&self.scope()?, request)
            .map_err(SyncError::Refused)
    }

    fn photo_progress(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<PhotoProgress, SyncError> {
        self.core
            .photo_progress(&self.scope()?, hash, variant)
            .map_err(SyncError::Refused)
    }

    fn photo_part(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        offset: u64,
        bytes: &[u8],
    ) -> Result<PhotoProgress, SyncError> {
        self.core
            .photo_part(&self.scope()?, hash, variant, offset, bytes)
            .map_err(SyncError::Refused)
    }

    fn photo_finish(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
        finish: &FinishPhoto,
    ) -> Result<PhotoProgress, SyncError> {
        self.core
            .photo_finish(&self.scope()?, hash, variant, finish)
            .map_err(SyncError::Refused)
    }

    fn photo_download(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<Vec<u8>, SyncError> {
        let part = self
            .core
            .photo_read(&self.scope()?, hash, variant, 0, u64::MAX)
            .map_err(SyncError::Refused)?;
        Ok(part.bytes)
    }
}

/// The protocol's calls, for whoever has already shown a credential.
impl Core {
    /// Lets a desktop in with a one-time code.
    pub fn enrol(&self, request: &Enrol) -> Result<(Enrolled, Token), Problem> {
        if request.protocol_version != PROTOCOL_VERSION {
            let detail = format!(
                "this server speaks version {PROTOCOL_VERSION} and the desktop {}",
                request.protocol_version
            );
            return Err(Problem::new(ErrorCode::VersionUnsupported, detail));
        }
        prove::check_stream(&request.stream)?;
        let fail = |error| problem_of(&error);
        let token = Token::random().map_err(|error| problem_of(&error.into()))?;
        let desktop = NewDesktop {
            lab_id: request.lab_id,
            new_lab_id: self.new_lab_id().map_err(fail)?,
            secret: token.hash(),
            stream: request.stream.clone(),
        };
        let used = self
            .store
            .join(&join_code_hash(&request.code), &desktop, self.now_ms())
            .map_err(fail)?;
        let row = match used {
            OneTimeUse::Done(row) => row,
            OneTimeUse::Refused(RefusedUse::OtherLab) => {
                let detail = "this server keeps another lab's log; give the address of the server this desktop worked with";
                return Err(Problem::new(ErrorCode::OtherLab, detail));
            }
            OneTimeUse::Refused(_) => {
                let detail = "this desktop's stream is known here under another key; set the desktop up anew";
                return Err(Problem::new(ErrorCode::CodeRefused, detail));
            }
            OneTimeUse::NotValid => {
                let detail = "the code is unknown, was used, or is older than a day; ask whoever runs the server for a new one";
                return Err(Problem::new(ErrorCode::CodeRefused, detail));
            }
        };
        tracing::info!(desktop_id = row.desktop_id, "a desktop joined");
        let lab = self.store.lab().map_err(fail)?;
        let enrolled = Enrolled {
            lab_id: row.lab_id,
            lab_name: self.store.lab_name().map_err(fail)?,
            credential: token.reveal().to_owned(),
            server_key: lab.server_key,
            server_stream_id: lab.server_stream_id,
            log_epoch: lab.log_epoch,
        };
        Ok((enrolled, token))
    }

    /// The server's time.
    pub fn server_clock(&self) -> ServerClock {
        ServerClock {
            server_ms: u64::try_from(self.now_ms()).unwrap_or(0),
        }
    }

    /// Where the log and all streams stand.
    pub fn heads(&self, scope: &LabScope) -> Result<Heads, Problem> {
        self.store
            .heads(scope, self.now_ms())
            .map_err(|error| problem_of(&error))
    }

    /// Takes entries in.
    pub fn push(&self, scope: &LabScope, request: &PushEntries) -> Result<PushAnswer, Problem> {
        let proved = prove(scope.lab_id(), request)?;
        let answer = self
            .store
            .append(scope, &proved, self.quotas.entries_bytes, self.now_ms())
            .map_err(|error| problem_of(&error))?;
        let position = self
            .store
            .lab()
            .map_err(|error| problem_of(&error))?
            .log_position;
        self.hints.tell(position);
        Ok(answer)
    }

    /// The page after a cursor.
    pub fn pull(
        &self,
        scope: &LabScope,
        cursor: &Cursor,
        limits: PageLimits,
    ) -> Result<Pull, Problem> {
        self.store
            .read_after(scope, cursor, limits)
            .map_err(|error| problem_of(&error))
    }
}
