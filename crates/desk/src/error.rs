//! What can go wrong when a person acts, and how it reaches the screen.
//!
//! A refusal is not a failure: it says what is wrong and what would be right, and nothing was recorded.

use std::borrow::Cow;

use domain::job::Missing;
use serde::{Deserialize, Serialize};

use crate::store::StoreError;

/// Why a command did not do what was asked. Nothing is recorded when one is returned.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// A field holds something that can't be taken.
    #[error("{sentence}")]
    Field {
        /// The field's name in the request.
        field: Cow<'static, str>,
        /// What is wrong and what would be right.
        sentence: String,
    },
    /// The action is not allowed as things stand.
    #[error("{sentence}")]
    Refused {
        /// What is wrong and what would be right.
        sentence: String,
    },
    /// Something is missing before the next station.
    #[error("{}", sentences(.missing))]
    Blocked {
        /// All that is missing.
        missing: Vec<Missing>,
    },
    /// Nobody has said who is at the bench.
    #[error("Nobody is signed in at this desktop; choose your name first.")]
    NoPerson,
    /// There is no lab here yet.
    #[error("This desktop belongs to no lab yet; found one, or join one by invitation.")]
    NoLab,
    /// The thing is not in this lab's logbook.
    #[error("There is no such {what} in this lab’s logbook.")]
    NotFound {
        /// What was looked for, in a word.
        what: &'static str,
    },
    /// The request does not have the form the command takes.
    #[error("The request to “{command}” can't be read: {source}")]
    Request {
        /// The command.
        command: String,
        /// Why.
        source: serde_json::Error,
    },
    /// There is no such command.
    #[error("There is no command “{name}”.")]
    NoCommand {
        /// What was asked for.
        name: String,
    },
    /// The logbook could not be read or written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A picture could not be taken in.
    #[error(transparent)]
    Photo(#[from] photos::PhotoError),
    /// A file could not be kept.
    #[error("The file could not be kept on this computer: {0}")]
    Attachment(#[from] attachments::StoreError),
    /// A paper could not be drawn.
    #[error("The paper could not be drawn: {0}")]
    Paper(#[from] papers::PaperError),
    /// A round with the server failed.
    #[error(transparent)]
    Round(#[from] crate::sync::RoundError),
    /// The server could not be asked.
    #[error(transparent)]
    Sync(#[from] sync_protocol::SyncError),
    /// A file outside the logbook could not be read or written.
    #[error("{path} could not be {action}: {source}")]
    File {
        /// The file.
        path: String,
        /// “read” or “written”.
        action: &'static str,
        /// Why.
        source: std::io::Error,
    },
    /// The passcode can't be opened with this lab's key.
    #[error(
        "The passcode can't be opened here: this desktop does not hold the key it was sealed with. Join this desktop again with an invitation from another desktop of the lab."
    )]
    WrongKey,
}

fn sentences(missing: &[Missing]) -> String {
    missing
        .iter()
        .map(|missing| missing.sentence.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}

impl DeskError {
    /// A field's refusal.
    pub(crate) fn field(field: impl Into<Cow<'static, str>>, why: impl std::fmt::Display) -> Self {
        Self::Field {
            field: field.into(),
            sentence: sentence(&why.to_string()),
        }
    }

    /// A refusal as things stand.
    pub(crate) fn refused(why: impl std::fmt::Display) -> Self {
        Self::Refused {
            sentence: sentence(&why.to_string()),
        }
    }
}

/// Makes a library's lower-case message a sentence for people.
pub(crate) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let mut sentence: String = first.to_uppercase().chain(letters).collect();
    if !sentence.ends_with(['.', '?', '!', '”']) {
        sentence.push('.');
    }
    sentence
}

/// A code, only where the screen does something different for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
#[serde(rename_all = "snake_case")]
pub enum ErrorCode {
    /// Show the sentence beside the field.
    Field,
    /// Show what is missing, with the way to pass it.
    Blocked,
    /// Ask who is at the bench.
    NoPerson,
    /// Show the first page.
    NoLab,
    /// Say that it isn't there.
    NotFound,
    /// Show the sentence.
    Refused,
    /// Show the sentence; trying again may help.
    Failed,
}

/// A refusal as the screen gets it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ts_rs::TS)]
pub struct EdgeError {
    /// What the screen does about it.
    pub code: ErrorCode,
    /// One sentence for the person.
    pub message: String,
    /// The field it belongs to, if it belongs to one.
    pub field: Option<String>,
    /// What is missing, if that is why.
    pub missing: Vec<Missing>,
}

impl From<DeskError> for EdgeError {
    fn from(error: DeskError) -> Self {
        let message = sentence(&error.to_string());
        let (code, field, missing) = match error {
            DeskError::Field { field, .. } => {
                (ErrorCode::Field, Some(field.into_owned()), Vec::new())
            }
            DeskError::Blocked { missing } => (ErrorCode::Blocked, None, missing),
            DeskError::NoPerson => (ErrorCode::NoPerson, None, Vec::new()),
            DeskError::NoLab => (ErrorCode::NoLab, None, Vec::new()),
            DeskError::NotFound { .. } => (ErrorCode::NotFound, None, Vec::new()),
            DeskError::Refused { .. } | DeskError::Photo(_) | DeskError::WrongKey => {
                (ErrorCode::Refused, None, Vec::new())
            }
            _ => (ErrorCode::Failed, None, Vec::new()),
        };
        Self {
            code,
            message,
            field,
            missing,
        }
    }
}
