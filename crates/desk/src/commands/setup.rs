//! Setup: the lab, its people, its tests, its folders, its backup.

pub use crate::desk::{BackedUp, DesktopRow, SetupView, Verified};

use domain::fact::{Fact, LabDescription, PersonDescription, Role, TestDefinition, TestKind};
use domain::money::Currency;
use domain::{JobId, PersonId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::Nothing;
use crate::desk::Desk;
use crate::error::DeskError;

/// Changes the lab's description.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct DescribeLab {
    /// What it is.
    pub lab: LabDescription,
}

/// Adds or changes a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SavePerson {
    /// The person; none to add one.
    pub person_id: Option<PersonId>,
    /// The name.
    pub name: String,
    /// What the person does.
    pub roles: Vec<Role>,
    /// True when the person has left.
    pub left: bool,
}

/// Adds or changes a test.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SaveTest {
    /// The test; its version is counted by the program.
    pub test: TestDefinition,
}

/// The most lines that "how to do it" may have: what is read at arm's length while hands are busy.
const HOW_LINES_MAX: usize = 3;

/// Checks what a test is judged by.
fn check_judging(test: &TestDefinition) -> Result<(), DeskError> {
    if test
        .how
        .lines()
        .filter(|line| !line.trim().is_empty())
        .count()
        > HOW_LINES_MAX
    {
        return Err(DeskError::field(
            "how",
            "say how it is done in at most three lines; longer words belong in a procedure",
        ));
    }
    if let Some((_, limits)) = test.kind.measured() {
        if let (Some(low), Some(high)) = (limits.low_micro, limits.high_micro)
            && low > high
        {
            return Err(DeskError::field(
                "limits",
                "the lower limit stands above the upper one; exchange the two",
            ));
        }
        if test.safety_limit && limits.low_micro.is_none() && limits.high_micro.is_none() {
            return Err(DeskError::field(
                "limits",
                "a limit that protects people must be given; write it, or untick the safety limit",
            ));
        }
    } else if test.safety_limit {
        return Err(DeskError::field(
            "limits",
            "a safety limit belongs to a test that is measured; choose a reading, or untick it",
        ));
    }
    if let TestKind::Choice { answers } = &test.kind {
        let has = |passes| answers.iter().any(|answer| answer.passes == passes);
        if answers.len() > ANSWERS_MAX || !has(true) || !has(false) {
            return Err(DeskError::field(
                "answers",
                "give two to nine answers, at least one that passes and one that fails",
            ));
        }
        let words: std::collections::BTreeSet<&str> =
            answers.iter().map(|answer| answer.words.trim()).collect();
        if words.contains("") || words.len() < answers.len() {
            return Err(DeskError::field(
                "answers",
                "each answer needs words of its own",
            ));
        }
    }
    let range = (test.instrument.low_micro, test.instrument.high_micro);
    if let (Some(low), Some(high)) = range
        && low >= high
    {
        return Err(DeskError::field(
            "range",
            "the instrument's lowest value stands above its highest; exchange the two",
        ));
    }
    Ok(())
}

/// Each answer has a digit key of its own.
const ANSWERS_MAX: usize = 9;

/// Sets the folder in which new pictures are picked up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct SetWatchedFolder {
    /// The folder; empty for none.
    pub path: String,
}

/// Says where new pictures go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AimWatchedFolder {
    /// The job that is open, if one is.
    pub job_id: Option<JobId>,
    /// Its place.
    pub place: domain::fact::PhotoPlace,
}

/// Writes a backup.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BackUp {
    /// The folder to write it into; made if it isn't there.
    pub path: String,
}

/// All that is set up.
pub fn setup(desk: &Desk, _: Nothing) -> Result<SetupView, DeskError> {
    desk.setup_view()
}

/// Changes the lab's description.
pub fn describe_lab(desk: &Desk, request: DescribeLab) -> Result<SetupView, DeskError> {
    check_lab(&request.lab)?;
    let lab = desk.lab()?;
    let description = LabDescription {
        address_lines: lines(&request.lab.address_lines),
        ..request.lab
    };
    desk.record_all(vec![(
        Subject::Lab(lab.lab_id),
        Fact::LabDescribed(description),
        lab.description.based_on(),
    )])?;
    desk.setup_view()
}

/// Adds or changes a person.
pub fn save_person(desk: &Desk, request: SavePerson) -> Result<SetupView, DeskError> {
    let name = named("name", "the person's name", &request.name)?;
    if request.roles.is_empty() {
        return Err(DeskError::field(
            "roles",
            "say what the person does: choose at least one role",
        ));
    }
    if request.roles.contains(&Role::ShopUser) {
        return Err(DeskError::field(
            "roles",
            "a shop's user is invited on the page of the shop",
        ));
    }
    let (person_id, based_on) = match request.person_id {
        Some(person_id) => (
            person_id,
            desk.person_fold(person_id)?.description.based_on(),
        ),
        None => (PersonId::new(desk.new_id()), Vec::new()),
    };
    let person = PersonDescription {
        name,
        roles: request.roles.into_iter().collect(),
        shop_id: None,
        left: request.left,
    };
    desk.record_all(vec![(
        Subject::Person(person_id),
        Fact::PersonDescribed(person),
        based_on,
    )])?;
    desk.setup_view()
}

/// Adds or changes a test. Jobs keep the version they were tested with.
pub fn save_test(desk: &Desk, request: SaveTest) -> Result<SetupView, DeskError> {
    let mut test = request.test;
    test.title = named("title", "the test's title", &test.title)?;
    let instrument = test.instrument.name.trim().to_owned();
    test.instrument.name = instrument;
    test.code.0 = test.code.0.trim().to_lowercase();
    if test.code.0.is_empty()
        || !test
            .code
            .0
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || ".-_".contains(c))
    {
        return Err(DeskError::field(
            "code",
            "write the code in small letters, digits and dots, such as charge.current",
        ));
    }
    if test.device_kinds.is_empty() {
        return Err(DeskError::field(
            "device_kinds",
            "choose at least one kind of device",
        ));
    }
    check_judging(&test)?;
    let lab = desk.lab()?;
    let register = lab.tests.iter().find(|register| {
        register
            .value()
            .is_some_and(|known| known.code == test.code)
    });
    let based_on = register.map_or(Vec::new(), domain::Register::based_on);
    test.version = register
        .and_then(|register| register.value())
        .map_or(1, |known| known.version + 1);
    desk.record_all(vec![(
        Subject::Lab(lab.lab_id),
        Fact::TestDefined(test),
        based_on,
    )])?;
    desk.setup_view()
}

/// Sets the folder in which new pictures are picked up.
pub fn set_watched_folder(desk: &Desk, request: SetWatchedFolder) -> Result<SetupView, DeskError> {
    desk.set_watched_folder(request.path.trim())?;
    desk.setup_view()
}

/// Says which job's place new pictures from the watched folder go to.
pub fn aim_watched_folder(desk: &Desk, request: AimWatchedFolder) -> Result<Nothing, DeskError> {
    desk.aim_watched_folder(request.job_id.map(|job_id| (job_id, request.place)));
    Ok(Nothing {})
}

/// Writes a backup: the logbook and all pictures, into one folder.
pub fn back_up(desk: &Desk, request: BackUp) -> Result<BackedUp, DeskError> {
    let path = request.path.trim();
    if path.is_empty() {
        return Err(DeskError::field(
            "path",
            "name the folder to write the backup into",
        ));
    }
    desk.back_up(std::path::Path::new(path))
}

/// Checks every entry of the logbook: bytes, chains and signatures.
pub fn verify_logbook(desk: &Desk, _: Nothing) -> Result<Verified, DeskError> {
    desk.verify()
}

/// A name that must not be empty.
pub(crate) fn named(field: &'static str, what: &str, text: &str) -> Result<String, DeskError> {
    let text = text.trim();
    if text.is_empty() {
        Err(DeskError::field(
            field,
            format!("{what} is empty; write it"),
        ))
    } else {
        Ok(text.to_owned())
    }
}

/// Lines of an address, without empty ones.
pub(crate) fn lines(lines: &[String]) -> Vec<String> {
    lines
        .iter()
        .map(|line| line.trim().to_owned())
        .filter(|line| !line.is_empty())
        .collect()
}

/// A country's code, ISO 3166-1 alpha-2 by its form.
pub(crate) fn country(text: &str) -> Result<String, DeskError> {
    let code = text.trim().to_uppercase();
    if code.len() == 2 && code.bytes().all(|byte| byte.is_ascii_uppercase()) {
        Ok(code)
    } else {
        Err(DeskError::field(
            "country",
            format!(
                "“{}” is no country code; write its two letters, such as DE or CA",
                text.trim()
            ),
        ))
    }
}

/// Checks a lab's description at the edge.
pub(crate) fn check_lab(lab: &LabDescription) -> Result<(), DeskError> {
    named("name", "the lab's name", &lab.name)?;
    country(&lab.country)?;
    lab.currency
        .parse::<Currency>()
        .map_err(|why| DeskError::field("currency", why))?;
    if jiff::tz::db().get(&lab.zone).is_err() {
        return Err(DeskError::field(
            "zone",
            format!(
                "“{}” is no time zone; write it like Europe/Lisbon",
                lab.zone
            ),
        ));
    }
    Ok(())
}
