//! The rule book about cells and who is trained for lithium shipments: shown to everybody, changed by owners only.
//!
//! A row is never rewritten; a newer one is added with its reason.

use domain::cells::book::BookRow;
use domain::fact::{Fact, Role, RuleUpdate, Training};
use domain::{PersonId, Subject};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::commands::{Nothing, PersonBrief};
use crate::desk::Desk;
use crate::error::DeskError;

/// A row of the rule book, and whether the lab changed it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BookRowView {
    /// The row.
    pub row: BookRow,
    /// The number with its unit, or the list.
    pub value: String,
    /// The lab's reason, when the row is the lab's own.
    pub changed: Option<String>,
}

/// A person with their training for lithium shipments.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TrainedPerson {
    /// The person.
    pub person: PersonBrief,
    /// The last day of the training, if there is one.
    pub until: Option<String>,
    /// What it was.
    pub note: String,
}

/// The whole rule book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RuleBookView {
    /// Its state, as papers name it.
    pub revision: String,
    /// Its rows.
    pub rows: Vec<BookRowView>,
    /// Whether the person at this desktop may change it.
    pub may_edit: bool,
    /// Who is trained.
    pub people: Vec<TrainedPerson>,
}

/// Adds a newer row to the rule book.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct UpdateRule {
    /// The row.
    pub row: BookRow,
    /// Why.
    pub reason: String,
}

/// Records a person's training.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordTraining {
    /// The person.
    pub person_id: PersonId,
    /// Its last day, as `2028-05-31`.
    pub until: String,
    /// What it was.
    pub note: String,
}

/// The whole rule book.
pub fn rule_book(desk: &Desk, _: Nothing) -> Result<RuleBookView, DeskError> {
    let lab = desk.lab()?;
    let book = lab.rule_book();
    let rows = book
        .rows()
        .iter()
        .map(|row| BookRowView {
            row: row.clone(),
            value: row.value_text(),
            changed: lab
                .rules
                .iter()
                .rev()
                .find(|update| update.value.row == *row)
                .map(|update| update.value.reason.clone()),
        })
        .collect();
    let mut people = Vec::new();
    for person in desk.people()? {
        if person.of_a_shop || person.left {
            continue;
        }
        let training = desk.person_fold(person.person_id)?.training;
        people.push(TrainedPerson {
            until: training
                .as_ref()
                .map(|training| training.value.until.to_string()),
            note: training.map_or_else(String::new, |training| training.value.note),
            person,
        });
    }
    Ok(RuleBookView {
        revision: book.revision(),
        rows,
        may_edit: desk.person()?.roles.contains(&Role::Owner),
        people,
    })
}

/// Adds a newer row to the rule book. Owners only.
pub fn update_rule(desk: &Desk, request: UpdateRule) -> Result<RuleBookView, DeskError> {
    owners_only(desk, "the rule book")?;
    let reason = request.reason.trim();
    if reason.is_empty() {
        return Err(DeskError::field(
            "reason",
            "say why the rule changes: which text you read, and when",
        ));
    }
    let lab = desk.lab()?;
    lab.rule_book()
        .accepts(&request.row)
        .map_err(DeskError::refused)?;
    desk.record(
        Subject::Lab(lab.lab_id),
        Fact::RuleUpdated(RuleUpdate {
            row: request.row,
            reason: reason.to_owned(),
        }),
    )?;
    rule_book(desk, Nothing {})
}

/// Records a person's training for lithium shipments. Owners only.
pub fn record_training(desk: &Desk, request: RecordTraining) -> Result<RuleBookView, DeskError> {
    owners_only(desk, "a person's training")?;
    desk.person_fold(request.person_id)?;
    let typed = request.until.trim();
    let until: Date = typed.parse().map_err(|_| {
        DeskError::field(
            "until",
            format!("“{typed}” is no day; write the last day of the training like 2028-05-31"),
        )
    })?;
    let note = request.note.trim();
    if note.is_empty() {
        return Err(DeskError::field(
            "note",
            "say what the training was: its course, its modes and who gave it",
        ));
    }
    desk.record(
        Subject::Person(request.person_id),
        Fact::PersonTrained(Training {
            until,
            note: note.to_owned(),
        }),
    )?;
    rule_book(desk, Nothing {})
}

fn owners_only(desk: &Desk, what: &str) -> Result<(), DeskError> {
    if desk.person()?.roles.contains(&Role::Owner) {
        Ok(())
    } else {
        Err(DeskError::refused(format!(
            "only the owner of the lab changes {what}; choose the owner at the top, or ask them"
        )))
    }
}
