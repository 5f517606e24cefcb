//! Accounts as the store sees them: desktops, join codes, shop users, invites, sessions, unfinished advices.
//!
//! The methods that look a secret up take no scope, because they are how a scope comes to be. They find by hash only.

use domain::fact::ShopDescription;
use domain::{LabId, PersonId, ShopId};
use sync_protocol::StreamInfo;

use super::StoreError;
use crate::auth::token::TokenHash;
use crate::auth::{LabScope, ShopScope};

/// A desktop that joined the lab.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DesktopRow {
    /// Counts desktops; for the operator's list.
    pub desktop_id: i64,
    /// The lab.
    pub lab_id: LabId,
    /// What its person called it.
    pub name: String,
    /// True once the lab took its right away.
    pub is_revoked: bool,
    /// When it joined, in ms since 1970.
    pub joined_ms: i64,
}

/// What a desktop brings when it joins.
#[derive(Debug, Clone)]
pub struct NewDesktop {
    /// The lab it has worked for, if any. The first desktop decides which lab this server keeps.
    pub lab_id: Option<LabId>,
    /// The lab this server takes on if neither side has one yet.
    pub new_lab_id: LabId,
    /// Hash of the secret it will present.
    pub secret: TokenHash,
    /// The stream it writes, its key and the desktop's name.
    pub stream: StreamInfo,
}

/// How an attempt to use up a one-time secret went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OneTimeUse<T> {
    /// It was good and is now used up.
    Done(T),
    /// Unknown, used before, or out of date; which of them is not told.
    NotValid,
    /// It was good, but what it was to be used for is not possible; it is not used up.
    Refused(RefusedUse),
}

/// Why a good one-time secret did not help.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RefusedUse {
    /// The server already keeps another lab.
    OtherLab,
    /// The stream is known with another key.
    StreamTaken,
    /// The e-mail address belongs to another account.
    EmailTaken,
    /// The shop has as many users as it may have.
    TooManyUsers,
}

/// An invite for a shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InviteRow {
    /// The lab.
    pub lab_id: LabId,
    /// The shop.
    pub shop_id: ShopId,
    /// The e-mail address it was made for; empty when it is for whoever holds it.
    pub email: String,
    /// When it stops being good.
    pub expires_ms: i64,
    /// When it was used.
    pub used_ms: Option<i64>,
}

/// A shop's user.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UserRow {
    /// The person, as entries name it.
    pub person_id: PersonId,
    /// The lab.
    pub lab_id: LabId,
    /// The shop.
    pub shop_id: ShopId,
    /// E-mail address, lower case.
    pub email: String,
    /// Name shown to the lab.
    pub name: String,
    /// Argon2id PHC string.
    pub password_phc: String,
}

/// A signed-in browser.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SessionRow {
    /// Hash of the cookie's secret.
    pub secret: TokenHash,
    /// The user.
    pub person_id: PersonId,
    /// When it began.
    pub opened_ms: i64,
    /// When it was last used, within five minutes.
    pub used_ms: i64,
}

/// Everything about who may come in.
pub trait AccountStore {
    /// Keeps a join code.
    fn add_join_code(&self, secret: &TokenHash, expires_ms: i64) -> Result<(), StoreError>;

    /// Uses a join code up and takes the desktop in, whole or not at all. The same code serves the same stream and key again,
    /// with a new secret in place of the first, because the answer to the first try may have been lost.
    fn join(
        &self,
        code: &TokenHash,
        desktop: &NewDesktop,
        now_ms: i64,
    ) -> Result<OneTimeUse<DesktopRow>, StoreError>;

    /// The desktop whose secret has this hash, revoked or not.
    fn desktop_by_secret(&self, secret: &TokenHash) -> Result<Option<DesktopRow>, StoreError>;

    /// The lab's desktops in the order in which they joined.
    fn desktops(&self, scope: &LabScope) -> Result<Vec<DesktopRow>, StoreError>;

    /// Takes a desktop's right away, at once. Its entries stay. False if there is no such desktop.
    fn revoke_desktop(&self, scope: &LabScope, desktop_id: i64) -> Result<bool, StoreError>;

    /// Takes a shop user's account away and ends its sessions, at once. What the person did stays. False if there is none.
    fn remove_user(&self, scope: &LabScope, email: &str) -> Result<bool, StoreError>;

    /// Keeps an invite for a shop. `email` may be empty.
    fn add_invite(
        &self,
        scope: &LabScope,
        shop_id: ShopId,
        secret: &TokenHash,
        email: &str,
        expires_ms: i64,
    ) -> Result<(), StoreError>;

    /// The invite with this hash, good or not.
    fn invite(&self, secret: &TokenHash) -> Result<Option<InviteRow>, StoreError>;

    /// The card of the shop that an invite is for: who holds the link may know whom it is for.
    fn invited_shop(&self, secret: &TokenHash) -> Result<Option<ShopDescription>, StoreError>;

    /// Uses an invite up and makes its user. If the invite was made for the e-mail address of an existing user of that shop, the
    /// user gets the new password, keeps the name, and all sessions of that user end. The row that comes back tells which it was.
    fn use_invite(
        &self,
        secret: &TokenHash,
        user: &UserRow,
        users_max: u32,
        now_ms: i64,
    ) -> Result<OneTimeUse<UserRow>, StoreError>;

    /// The user who signs in with this address (lower case).
    fn user_by_email(&self, email: &str) -> Result<Option<UserRow>, StoreError>;

    /// The users of a shop, by name.
    fn shop_users(&self, scope: &ShopScope) -> Result<Vec<UserRow>, StoreError>;

    /// Replaces the user's own password and ends every session but `kept`.
    fn set_password(
        &self,
        scope: &ShopScope,
        password_phc: &str,
        kept: &TokenHash,
    ) -> Result<(), StoreError>;

    /// Keeps a new session.
    fn open_session(&self, session: &SessionRow) -> Result<(), StoreError>;

    /// The session with this hash and its user.
    fn session(&self, secret: &TokenHash) -> Result<Option<(SessionRow, UserRow)>, StoreError>;

    /// Notes the session's use.
    fn touch_session(&self, secret: &TokenHash, now_ms: i64) -> Result<(), StoreError>;

    /// Ends a session.
    fn close_session(&self, secret: &TokenHash) -> Result<(), StoreError>;

    /// Drops sessions, join codes and invites that ended before `before_ms`.
    fn sweep_accounts(&self, before_ms: i64) -> Result<(), StoreError>;

    /// The user's unfinished advice, as the portal wrote it.
    fn advice_draft(&self, scope: &ShopScope) -> Result<Option<Vec<u8>>, StoreError>;

    /// Keeps, or with `None` drops, the user's unfinished advice.
    fn set_advice_draft(
        &self,
        scope: &ShopScope,
        draft: Option<&[u8]>,
        now_ms: i64,
    ) -> Result<(), StoreError>;
}
