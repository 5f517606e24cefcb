//! The lab of this desktop, its key, its time and what is set up in it, and who is at the desktop.
//!
//! The key goes to the lab's other desktops only; no server ever has it.

use domain::fact::{LabDescription, TestDefinition};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use ts_rs::TS;

use domain::calendar::Zone;
use domain::house::{Lab, Person};
use domain::{LabId, PersonId, Subject};

use super::{Desk, PERSON};
use crate::error::DeskError;
use crate::passcode::{KEY_BYTES, LabKey};
use crate::store::Filter;
use crate::views::PersonBrief;

/// A desktop of the lab.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DesktopRow {
    /// Its name.
    pub name: String,
    /// Entries it wrote.
    pub entries: u64,
    /// True for the one this is.
    pub this_one: bool,
}

/// All that is set up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetupView {
    /// The lab.
    pub lab: Option<LabDescription>,
    /// Its people.
    pub people: Vec<PersonBrief>,
    /// Its tests, by group and title.
    pub tests: Vec<TestDefinition>,
    /// The server's address; empty when none.
    pub server_url: String,
    /// The desktops that have written entries.
    pub desktops: Vec<DesktopRow>,
    /// The folder in which new pictures are picked up; empty when none.
    pub watched_folder: String,
    /// Where the logbook lies.
    pub folder: String,
    /// Entries in the logbook.
    pub entries: u64,
}

const LAB_KEY: &str = "lab_key";

impl Desk {
    /// The lab this desktop belongs to.
    pub fn lab_id(&self) -> Result<LabId, DeskError> {
        self.store.installation()?.lab_id.ok_or(DeskError::NoLab)
    }

    /// Makes a new lab of this desktop, with a key of its own.
    pub(crate) fn found(&self, desktop_name: &str) -> Result<LabId, DeskError> {
        let lab_id = LabId::new(self.new_id());
        self.store.set_lab(lab_id)?;
        self.store.set_desktop_name(desktop_name)?;
        self.store
            .keep_secret(LAB_KEY, &self.random::<KEY_BYTES>())?;
        Ok(lab_id)
    }

    /// The key under which passcodes are sealed.
    pub(crate) fn lab_key(&self) -> Result<LabKey, DeskError> {
        let secret = self.store.secret(LAB_KEY)?.ok_or(DeskError::WrongKey)?;
        <[u8; KEY_BYTES]>::try_from(secret.as_slice())
            .map(LabKey::new)
            .map_err(|_| DeskError::WrongKey)
    }

    /// Keeps the lab's key as another desktop gave it.
    pub(crate) fn keep_lab_key(&self, key: &[u8]) -> Result<(), DeskError> {
        self.store.keep_secret(LAB_KEY, key)?;
        Ok(())
    }

    /// The lab.
    pub fn lab(&self) -> Result<Lab, DeskError> {
        let lab_id = self.lab_id()?;
        Ok(domain::fold_lab(
            lab_id,
            &self.entries(Subject::Lab(lab_id))?,
        ))
    }

    /// The lab's zone; UTC as long as none is known.
    pub(crate) fn zone(&self) -> Result<Zone, DeskError> {
        let lab = self.lab()?;
        Ok(lab
            .description
            .value()
            .and_then(|description| description.zone.parse().ok())
            .unwrap_or_else(Zone::utc))
    }

    /// The day it is at the lab, as `2026-11-25`.
    pub(crate) fn today(&self) -> Result<String, DeskError> {
        let now_ms = i64::try_from(self.ports.clock.now_ms()).unwrap_or(i64::MAX);
        self.zone()?
            .local_date(now_ms)
            .map(|date| date.to_string())
            .map_err(DeskError::refused)
    }

    /// An instant in the lab's own time, for sentences: `2026-11-25, 14:05`.
    pub(crate) fn time_words(&self, at_ms: u64) -> Result<String, DeskError> {
        let at_ms = i64::try_from(at_ms).unwrap_or(i64::MAX);
        let local = self.zone()?.local(at_ms).map_err(DeskError::refused)?;
        Ok(local.strftime("%-d %b %Y, %H:%M").to_string())
    }

    /// Who is at this desktop.
    pub(crate) fn person_id(&self) -> Result<PersonId, DeskError> {
        self.store.setting(PERSON)?.ok_or(DeskError::NoPerson)
    }

    /// Says who is at this desktop.
    pub(crate) fn set_person(&self, person_id: PersonId) -> Result<(), DeskError> {
        Ok(self.store.set_setting(PERSON, &person_id)?)
    }

    /// The person at this desktop.
    pub(crate) fn person(&self) -> Result<PersonBrief, DeskError> {
        let person_id = self.person_id()?;
        self.people()?
            .into_iter()
            .find(|person| person.person_id == person_id)
            .ok_or(DeskError::NoPerson)
    }

    /// Everyone who is known, by name, shops' users included.
    pub(crate) fn people(&self) -> Result<Vec<PersonBrief>, DeskError> {
        let mut people: Vec<PersonBrief> = self
            .rows::<Option<PersonBrief>>(&Filter::all("person"))?
            .into_iter()
            .flatten()
            .collect();
        people.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(people)
    }

    /// Those of the people who are named by their ids.
    pub(crate) fn people_named(
        &self,
        ids: impl Iterator<Item = PersonId>,
    ) -> Result<Vec<PersonBrief>, DeskError> {
        let ids: BTreeSet<PersonId> = ids.collect();
        Ok(self
            .people()?
            .into_iter()
            .filter(|person| ids.contains(&person.person_id))
            .collect())
    }

    /// One person.
    pub(crate) fn person_fold(&self, person_id: PersonId) -> Result<Person, DeskError> {
        let entries = self.known_entries(Subject::Person(person_id), "person")?;
        Ok(domain::fold_person(person_id, &entries))
    }

    /// All that is set up.
    pub(crate) fn setup_view(&self) -> Result<SetupView, DeskError> {
        let lab = self.lab()?;
        let own = self.store.installation()?.stream_id;
        let streams = self.store.stream_heads()?;
        Ok(SetupView {
            lab: lab.description.value().cloned(),
            people: self
                .people()?
                .into_iter()
                .filter(|person| !person.of_a_shop)
                .collect(),
            tests: lab.catalogue().into_iter().cloned().collect(),
            server_url: self
                .store
                .enrolment()?
                .map_or_else(String::new, |enrolment| enrolment.server_url),
            desktops: streams
                .into_iter()
                .map(|head| DesktopRow {
                    this_one: head.stream.stream_id == own,
                    name: head.stream.name,
                    entries: head.head_seq,
                })
                .collect(),
            watched_folder: self.watched_folder()?,
            folder: self.options.folder.display().to_string(),
            entries: self.store.entry_count()?,
        })
    }
}
