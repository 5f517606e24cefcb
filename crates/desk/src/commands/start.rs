//! Beginning: a lab is founded, joined or restored; a person says who is at the bench; drafts are kept.

pub use crate::connection::Invitation;
pub use crate::desk::DeskState;

use domain::fact::{Fact, LabDescription, PersonDescription, Role};
use domain::{PersonId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Nothing, SyncLine};
use crate::desk::Desk;
use crate::error::DeskError;

/// Founds a lab.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct FoundLab {
    /// The lab.
    pub lab: LabDescription,
    /// The owner's name.
    pub owner_name: String,
    /// What this desktop is called.
    pub desktop_name: String,
}

/// Joins a lab.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct JoinLab {
    /// The invitation, as another desktop showed it.
    pub invitation: String,
    /// What this desktop is called.
    pub desktop_name: String,
}

/// Connects to a server.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ConnectServer {
    /// The server's address.
    pub url: String,
    /// The one-time code that `sync-server join-code` printed.
    pub code: String,
}

/// Says who is at the desktop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ChoosePerson {
    /// The person.
    pub person_id: PersonId,
}

/// Restores a lab from a backup.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RestoreLab {
    /// The folder that “Back up” wrote.
    pub path: String,
}

/// Something half typed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Draft {
    /// Which form, of which thing.
    pub key: String,
    /// Its fields, as the screen wrote them.
    pub text: String,
}

/// Which draft.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DraftKey {
    /// Which form, of which thing.
    pub key: String,
}

/// A draft, if there is one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct KeptDraft {
    /// Its fields, as the screen wrote them.
    pub text: Option<String>,
}

/// What the screen shows around every place.
pub fn state(desk: &Desk, _: Nothing) -> Result<DeskState, DeskError> {
    desk.state()
}

/// Founds a lab on this desktop, with its owner as first person and a first catalogue of tests.
pub fn found_lab(desk: &Desk, request: FoundLab) -> Result<DeskState, DeskError> {
    if desk.lab_id().is_ok() {
        return Err(DeskError::refused(
            "this desktop already belongs to a lab; use another folder for another lab",
        ));
    }
    super::setup::check_lab(&request.lab)?;
    let owner_name = super::setup::named("owner_name", "the owner's name", &request.owner_name)?;
    let desktop_name =
        super::setup::named("desktop_name", "this desktop's name", &request.desktop_name)?;
    let lab_id = desk.found(&desktop_name)?;
    let owner_id = PersonId::new(desk.new_id());
    let owner = PersonDescription {
        name: owner_name,
        roles: [
            Role::Receiver,
            Role::Technician,
            Role::SecondPair,
            Role::Shipper,
            Role::CellExpert,
            Role::Owner,
        ]
        .into(),
        shop_id: None,
        left: false,
    };
    let mut facts = vec![
        (Subject::Person(owner_id), Fact::PersonDescribed(owner)),
        (Subject::Lab(lab_id), Fact::LabDescribed(request.lab)),
    ];
    facts.extend(
        crate::catalogue::first_tests()
            .into_iter()
            .map(|test| (Subject::Lab(lab_id), Fact::TestDefined(test))),
    );
    desk.record_as(owner_id, facts)?;
    desk.set_person(owner_id)?;
    desk.state()
}

/// Joins a lab by an invitation from one of its desktops.
pub fn join_lab(desk: &Desk, request: JoinLab) -> Result<DeskState, DeskError> {
    let desktop_name =
        super::setup::named("desktop_name", "this desktop's name", &request.desktop_name)?;
    desk.join(&request.invitation, &desktop_name)?;
    desk.state()
}

/// Connects this lab to its server.
pub fn connect_server(desk: &Desk, request: ConnectServer) -> Result<DeskState, DeskError> {
    desk.connect(request.url.trim(), request.code.trim())?;
    desk.state()
}

/// Makes an invitation for one more desktop.
pub fn invite_desktop(desk: &Desk, _: Nothing) -> Result<Invitation, DeskError> {
    desk.invite()
}

/// Says who is at this desktop.
pub fn choose_person(desk: &Desk, request: ChoosePerson) -> Result<DeskState, DeskError> {
    let people = desk.people()?;
    let person = people
        .iter()
        .find(|person| person.person_id == request.person_id && !person.of_a_shop && !person.left);
    let person = person.ok_or(DeskError::NotFound { what: "person" })?;
    desk.set_person(person.person_id)?;
    desk.state()
}

/// Tries to reach the server now.
pub fn sync_now(desk: &Desk, _: Nothing) -> Result<SyncLine, DeskError> {
    desk.wake_sync();
    desk.sync_line()
}

/// Restores a lab from a backup into an empty desktop.
pub fn restore_lab(desk: &Desk, request: RestoreLab) -> Result<DeskState, DeskError> {
    desk.restore(std::path::Path::new(request.path.trim()))?;
    desk.state()
}

/// Keeps what is being typed.
pub fn save_draft(desk: &Desk, request: Draft) -> Result<Nothing, DeskError> {
    desk.store().keep_draft(&request.key, &request.text)?;
    Ok(Nothing {})
}

/// Gives back what was being typed.
pub fn load_draft(desk: &Desk, request: DraftKey) -> Result<KeptDraft, DeskError> {
    Ok(KeptDraft {
        text: desk.store().draft(&request.key)?.map(|(text, _)| text),
    })
}

/// Forgets what was being typed.
pub fn forget_draft(desk: &Desk, request: DraftKey) -> Result<Nothing, DeskError> {
    desk.store().drop_draft(&request.key)?;
    Ok(Nothing {})
}
