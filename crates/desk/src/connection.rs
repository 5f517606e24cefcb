//! The line to the server: joining, inviting, and what the quiet line on the screen says.
//!
//! An invitation for a further desktop carries the lab's key, which the server must never see: the joining desktop takes it out
//! before it sends the code on.

use std::path::Path;
use std::sync::{Arc, Mutex};
use ts_rs::TS;

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use domain::{ContentHash, ShopId, Subject};
use serde::{Deserialize, Serialize};
use sync_protocol::{ErrorCode, NewShopLink, PhotoVariant, SyncError, SyncProtocol};

use crate::desk::{Changed, Desk, lock, tell};
use crate::error::DeskError;
use crate::files::Files;
use crate::store::{FILE_NAME, Store, StoreOptions};
use crate::sync::{
    Connect, HttpClient, HttpOptions, RoundError, RunningSync, SyncRunner, SyncState, SyncStatus,
};
use crate::views::SyncLine;

/// A one-time sign-in link.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ShopInvitation {
    /// The link to send to the shop's user.
    pub url: String,
    /// Hours for which it can be used, once.
    pub valid_hours: u32,
}

/// An invitation for one more desktop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Invitation {
    /// The text to type or scan at the other desktop. It holds the lab's key: it is as secret as the passcodes.
    pub text: String,
    /// Minutes for which it can be used, once.
    pub valid_minutes: u32,
}

/// The line to the server.
pub(crate) struct Connection {
    runner: Arc<SyncRunner>,
    running: Mutex<Option<RunningSync>>,
}

impl Connection {
    /// Makes the line; nothing is sent until it is started.
    pub(crate) fn new(store: Arc<Store>, files: Arc<Files>) -> Self {
        Self {
            runner: SyncRunner::new(store, files, over_http()),
            running: Mutex::new(None),
        }
    }
}

/// The way to a server over HTTP.
fn over_http() -> Connect {
    Arc::new(|server_url, credential| {
        let options = HttpOptions {
            server_url: server_url.to_owned(),
            credential: credential.to_owned(),
            extra_roots_pem: Vec::new(),
        };
        match HttpClient::new(&options) {
            Ok(client) => Ok(Arc::new(client) as Arc<dyn SyncProtocol>),
            Err(error) => Err(SyncError::NoAnswer {
                server: server_url.to_owned(),
                reason: error.to_string(),
            }),
        }
    })
}

/// What an invitation holds. Field names are short because people may have to type it.
#[derive(Serialize, Deserialize)]
struct InvitationParts {
    /// The server's address.
    u: String,
    /// The one-time code.
    c: String,
    /// The lab's key, base64 without padding.
    k: String,
}

/// What every invitation begins with.
const INVITATION_HEAD: &str = "WB:I:";

/// How a sentence ends that asks for an invitation.
const INVITATION_FORM: &str =
    "copy the whole text that Setup shows at another desktop; it begins with WB:I:";

fn write_invitation(parts: &InvitationParts) -> String {
    let json = serde_json::to_vec(parts).expect("three texts can always be written as JSON");
    format!("{INVITATION_HEAD}{}", URL_SAFE_NO_PAD.encode(json))
}

fn read_invitation(text: &str) -> Result<(InvitationParts, Vec<u8>), DeskError> {
    let packed: String = text.split_whitespace().collect();
    let not_one = || {
        DeskError::field(
            "invitation",
            format!("this is no invitation; {INVITATION_FORM}"),
        )
    };
    let json = packed
        .strip_prefix(INVITATION_HEAD)
        .and_then(|body| URL_SAFE_NO_PAD.decode(body).ok())
        .ok_or_else(not_one)?;
    let parts: InvitationParts = serde_json::from_slice(&json).map_err(|_| not_one())?;
    let key = URL_SAFE_NO_PAD
        .decode(&parts.k)
        .ok()
        .filter(|key| key.len() == crate::passcode::KEY_BYTES)
        .ok_or_else(not_one)?;
    Ok((parts, key))
}

impl Desk {
    /// Begins to send and fetch in the background, and to watch the folder of new pictures.
    pub fn start(self: &Arc<Self>) -> Result<(), DeskError> {
        let listeners = Arc::clone(&self.listeners);
        self.sync.runner.on_status(Arc::new(move |_: &SyncStatus| {
            tell(&listeners, &Changed::Sync);
        }));
        let desk = Arc::downgrade(self);
        self.on_change(Arc::new(move |changed| {
            let Some(desk) = desk.upgrade() else {
                return std::ops::ControlFlow::Break(());
            };
            let is_of_the_lab = |subject: &Subject| matches!(subject, Subject::Lab(_));
            if let Changed::Subjects { subjects } = changed
                && subjects.iter().any(is_of_the_lab)
            {
                // Not on the thread that tells of the change: it must not wait for the network.
                std::thread::spawn(move || desk.fetch_mark());
            }
            std::ops::ControlFlow::Continue(())
        }));
        *lock(&self.sync.running) = Some(self.sync.runner.start());
        self.start_watching()
    }

    /// Ends all that [`Desk::start`] began.
    pub fn stop(&self) {
        self.stop_watching();
        drop(lock(&self.sync.running).take());
    }

    /// Sends and fetches all there is, now, on this thread.
    pub fn sync_now(&self) -> Result<(), DeskError> {
        self.sync.runner.sync_now()?;
        self.fetch_mark();
        Ok(())
    }

    /// Has the background thread try at once.
    pub(crate) fn wake_sync(&self) {
        self.sync.runner.wake();
    }

    /// The quiet line.
    pub(crate) fn sync_line(&self) -> Result<SyncLine, DeskError> {
        let status = self.sync.runner.status()?;
        let since = status
            .last_in_step_ms
            .map(|at_ms| self.clock_words(at_ms))
            .transpose()?;
        Ok(SyncLine {
            words: line_words(&status, since.as_deref()),
            entries_waiting: status.waiting_entries,
            files_waiting: status.photos_waiting,
            file_bytes_waiting: status.photo_bytes_waiting,
            file_bytes_per_second: status.photo_bytes_per_second,
            entries_fetched: status.reading.map(|(read, _)| read),
            entries_to_fetch: status.reading.map(|(_, all)| all),
            in_step_at_ms: status.last_in_step_ms,
            connected: matches!(
                status.state,
                SyncState::InStep | SyncState::Working | SyncState::Partly
            ),
            joined: status.state != SyncState::NotJoined,
            trouble: status
                .problem
                .map_or_else(String::new, |problem| crate::error::sentence(&problem)),
            needs_person: matches!(status.state, SyncState::Stopped | SyncState::Partly),
            clock_ahead_ms: status.clock_ahead_ms,
        })
    }

    /// The server this desktop has joined.
    fn server(&self) -> Result<HttpClient, DeskError> {
        let enrolment = self.store.enrolment()?;
        let enrolment = enrolment.ok_or_else(|| {
            DeskError::refused("this lab has no server yet; connect one in Setup first")
        })?;
        let options = HttpOptions {
            server_url: enrolment.server_url,
            credential: enrolment.credential,
            extra_roots_pem: Vec::new(),
        };
        HttpClient::new(&options).map_err(DeskError::refused)
    }

    /// Joins a lab by an invitation from another desktop.
    pub(crate) fn join(&self, invitation: &str, desktop_name: &str) -> Result<(), DeskError> {
        if self.lab_id().is_ok() {
            return Err(DeskError::refused(
                "this desktop already belongs to a lab; use another folder for another lab",
            ));
        }
        let (parts, key) = read_invitation(invitation)?;
        self.store.set_desktop_name(desktop_name)?;
        let joined = self.sync.runner.join(&parts.u, &parts.c);
        joined.map_err(|error| at_code(error, "invitation"))?;
        self.keep_lab_key(&key)?;
        // The first reading brings the lab's people; without them nobody could say who is at the bench.
        self.sync_now()
    }

    /// Connects this lab to its server.
    pub(crate) fn connect(&self, url: &str, code: &str) -> Result<(), DeskError> {
        self.lab_id()?;
        if code.is_empty() {
            return Err(DeskError::field(
                "code",
                "type the one-time code that the server's join-code command printed",
            ));
        }
        HttpClient::new(&HttpOptions {
            server_url: url.to_owned(),
            ..HttpOptions::default()
        })
        .map_err(|why| DeskError::field("url", why))?;
        let joined = self.sync.runner.join(url, code);
        joined.map_err(|error| at_code(error, "code"))?;
        self.wake_sync();
        Ok(())
    }

    /// Makes an invitation for one more desktop.
    pub(crate) fn invite(&self) -> Result<Invitation, DeskError> {
        let server_url = self
            .store
            .enrolment()?
            .map(|enrolment| enrolment.server_url);
        let code = self.server()?.new_join_code()?;
        let parts = InvitationParts {
            u: server_url.unwrap_or_default(),
            c: code.code,
            k: URL_SAFE_NO_PAD.encode(*self.lab_key()?),
        };
        Ok(Invitation {
            text: write_invitation(&parts),
            valid_minutes: code.valid_minutes,
        })
    }

    /// Makes a one-time link by which a shop's user signs in.
    pub(crate) fn invite_shop_user(
        &self,
        shop_id: ShopId,
        email: &str,
    ) -> Result<ShopInvitation, DeskError> {
        let server = self.server()?;
        // The server must know the shop before it can let its user in.
        self.sync_now()?;
        let link = server.new_shop_link(&NewShopLink {
            shop_id,
            email: email.to_owned(),
        })?;
        let server_url = self
            .store
            .enrolment()?
            .map_or_else(String::new, |enrolment| enrolment.server_url);
        Ok(ShopInvitation {
            url: format!("{server_url}{}", link.path),
            valid_hours: link.valid_hours,
        })
    }

    /// Fetches a file that another desktop took in.
    pub(crate) fn fetch_file(
        &self,
        hash: &ContentHash,
        variant: PhotoVariant,
    ) -> Result<(), DeskError> {
        if self.store.enrolment()?.is_none() {
            return Err(DeskError::NotFound { what: "picture" });
        }
        Ok(self.sync.runner.fetch_photo(hash, variant)?)
    }

    /// Restores a lab from a backup folder into this desktop, which must not belong to a lab yet.
    pub(crate) fn restore(&self, folder: &Path) -> Result<(), DeskError> {
        if self.lab_id().is_ok() {
            return Err(DeskError::refused(
                "this desktop already belongs to a lab; restore into an empty folder",
            ));
        }
        let backup = folder.join(FILE_NAME);
        if !backup.is_file() {
            let why = format!(
                "{} is no backup; choose the folder that “Back up” wrote: it holds {FILE_NAME}",
                folder.display()
            );
            return Err(DeskError::field("path", why));
        }
        let options = StoreOptions {
            data_dir: self.options.folder.clone(),
            nonce_file: self.options.nonce_file.clone(),
            desktop_name: String::new(),
        };
        self.store.take_over(&backup, &options)?;
        let files = attachments::Store::open(folder.join("files"), attachments::Limits::default())?;
        for hash in files.hashes()? {
            self.files.whole().put_reader(files.open_reader(&hash)?)?;
        }
        self.wake_sync();
        Ok(())
    }

    /// An instant in the lab's own time, short: `09:40`, or with its day when that is not today.
    fn clock_words(&self, at_ms: u64) -> Result<String, DeskError> {
        if self.lab_id().is_err() {
            return Ok(String::new());
        }
        let words = self.time_words(at_ms)?;
        let now = self.time_words(self.ports.clock.now_ms())?;
        Ok(match (words.split_once(", "), now.split_once(", ")) {
            (Some((on, clock)), Some((today, _))) if on == today => clock.to_owned(),
            _ => words,
        })
    }
}

/// The quiet line: one state, in the words of a person.
fn line_words(status: &SyncStatus, in_step: Option<&str>) -> String {
    let number = |count: u64, one: &str, more: &str| match count {
        1 => format!("1 {one}"),
        count => format!("{count} {more}"),
    };
    let pictures = number(status.photos_waiting, "picture", "pictures");
    let waiting = match (status.waiting_entries, status.photos_waiting) {
        (0, 0) => String::new(),
        (0, _) => format!("{pictures} waiting"),
        (entries, 0) => format!("{entries} waiting"),
        (entries, _) => {
            let entries = number(entries, "entry", "entries");
            format!("{entries} and {pictures} waiting")
        }
    };
    let since = in_step.map_or_else(
        || "no connection yet".to_owned(),
        |time| format!("no connection since {time}"),
    );
    match status.state {
        SyncState::NotJoined => "no server: everything stays on this computer".to_owned(),
        SyncState::Working => match status.reading {
            Some((read, all)) if read < all => format!("fetching {read} of {all}"),
            _ if waiting.is_empty() => "all sent".to_owned(),
            _ => format!("sending: {waiting}"),
        },
        SyncState::InStep | SyncState::Partly if waiting.is_empty() => "all sent".to_owned(),
        SyncState::InStep | SyncState::Partly => format!("sending: {waiting}"),
        SyncState::Starting if waiting.is_empty() => "looking for the server".to_owned(),
        SyncState::Starting => waiting,
        SyncState::Offline | SyncState::Stopped if waiting.is_empty() => {
            format!("nothing waiting, {since}")
        }
        SyncState::Offline | SyncState::Stopped => format!("{waiting}, {since}"),
    }
}

/// A refused code is put right where it was typed; every other trouble is told as it is.
fn at_code(error: RoundError, field: &'static str) -> DeskError {
    match &error {
        RoundError::Server(refused) if refused.code() == Some(ErrorCode::CodeRefused) => {
            DeskError::field(field, error)
        }
        _ => error.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::{SyncState, SyncStatus, line_words};

    fn check(waiting_entries: u64, photos_waiting: u64, words: &str) {
        let status = SyncStatus {
            state: SyncState::Offline,
            waiting_entries,
            photos_waiting,
            ..SyncStatus::default()
        };
        assert_eq!(line_words(&status, Some("09:40")), words);
    }

    #[test]
    fn the_line_counts_what_waits_in_the_singular_and_the_plural() {
        check(0, 0, "nothing waiting, no connection since 09:40");
        check(12, 0, "12 waiting, no connection since 09:40");
        check(0, 1, "1 picture waiting, no connection since 09:40");
        check(0, 2, "2 pictures waiting, no connection since 09:40");
        check(
            1,
            1,
            "1 entry and 1 picture waiting, no connection since 09:40",
        );
        check(
            8,
            2,
            "8 entries and 2 pictures waiting, no connection since 09:40",
        );
    }
}
