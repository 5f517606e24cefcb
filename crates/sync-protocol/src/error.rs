//! What can go wrong between a desktop and its server, in words for people, and whether trying again can help.

use std::fmt;

use serde::{Deserialize, Serialize};

/// RFC 9457 problem details, the body of every error answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Problem {
    /// `/problems/` and the code.
    #[serde(rename = "type")]
    pub type_uri: String,
    /// Short, the same for every occurrence.
    pub title: String,
    /// The HTTP status.
    pub status: u16,
    /// One sentence about this occurrence: what is wrong and what would be right.
    pub detail: String,
    /// For the program.
    pub code: ErrorCode,
}

impl Problem {
    /// Builds a problem with the code's own status and title.
    pub fn new(code: ErrorCode, detail: impl Into<String>) -> Self {
        Self {
            type_uri: format!("/problems/{}", code.word()),
            title: code.title().to_owned(),
            status: code.status(),
            detail: detail.into(),
            code,
        }
    }
}

/// Error codes somebody branches on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ErrorCode {
    /// 401: the credential is missing, unknown or withdrawn.
    NotEnrolled,
    /// 403: the one-time code is unknown, used or expired.
    CodeRefused,
    /// 409: the desktop has worked for another lab.
    OtherLab,
    /// 400: the request can't be read.
    BadRequest,
    /// 413: the request is over a limit.
    OverLimit,
    /// 404: no such photo for this lab, or not whole yet.
    PhotoAbsent,
    /// 404: no such shop in this lab.
    ShopUnknown,
    /// 422: the bytes sent have another hash or size; the parts were dropped.
    PhotoHashMismatch,
    /// 426: the protocol version is no longer, or not yet, understood.
    VersionUnsupported,
    /// 429: too many tries.
    RateLimited,
    /// 503: the server is stopping or its database is busy.
    Unavailable,
    /// 507: the server's disk is full.
    StorageFull,
    /// 500: a fault in the server.
    ServerFault,
    /// A code of a newer server.
    #[serde(other)]
    Other,
}

impl ErrorCode {
    /// The HTTP status it goes with.
    pub const fn status(self) -> u16 {
        match self {
            Self::NotEnrolled => 401,
            Self::CodeRefused => 403,
            Self::OtherLab => 409,
            Self::BadRequest | Self::Other => 400,
            Self::OverLimit => 413,
            Self::PhotoAbsent | Self::ShopUnknown => 404,
            Self::PhotoHashMismatch => 422,
            Self::VersionUnsupported => 426,
            Self::RateLimited => 429,
            Self::Unavailable => 503,
            Self::StorageFull => 507,
            Self::ServerFault => 500,
        }
    }

    /// The code as it stands in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotEnrolled => "not_enrolled",
            Self::CodeRefused => "code_refused",
            Self::OtherLab => "other_lab",
            Self::BadRequest => "bad_request",
            Self::OverLimit => "over_limit",
            Self::PhotoAbsent => "photo_absent",
            Self::ShopUnknown => "shop_unknown",
            Self::PhotoHashMismatch => "photo_hash_mismatch",
            Self::VersionUnsupported => "version_unsupported",
            Self::RateLimited => "rate_limited",
            Self::Unavailable => "unavailable",
            Self::StorageFull => "storage_full",
            Self::ServerFault => "server_fault",
            Self::Other => "other",
        }
    }

    /// The problem's title.
    pub const fn title(self) -> &'static str {
        match self {
            Self::NotEnrolled => "This desktop is not enrolled",
            Self::CodeRefused => "The joining code was refused",
            Self::OtherLab => "This desktop belongs to another lab",
            Self::BadRequest | Self::Other => "The request was not understood",
            Self::OverLimit => "The request is too large",
            Self::PhotoAbsent => "The photo is not here",
            Self::ShopUnknown => "The server does not know this shop",
            Self::PhotoHashMismatch => "The photo arrived damaged",
            Self::VersionUnsupported => "The versions do not fit together",
            Self::RateLimited => "Too many tries",
            Self::Unavailable => "The server is busy",
            Self::StorageFull => "The server's disk is full",
            Self::ServerFault => "The server has a fault",
        }
    }

    /// True when the same request can never succeed.
    pub const fn is_permanent(self) -> bool {
        match self {
            Self::NotEnrolled
            | Self::CodeRefused
            | Self::OtherLab
            | Self::BadRequest
            | Self::OverLimit
            | Self::VersionUnsupported
            | Self::Other => true,
            Self::PhotoAbsent
            | Self::ShopUnknown
            | Self::PhotoHashMismatch
            | Self::RateLimited
            | Self::Unavailable
            | Self::StorageFull
            | Self::ServerFault => false,
        }
    }
}

impl fmt::Display for ErrorCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.title())
    }
}

/// A call that got no usable answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SyncError {
    /// Nothing came back: no network, no server, or too slow.
    #[error(
        "the server at {server} does not answer; work goes on here and is sent when it does ({reason})"
    )]
    NoAnswer {
        /// Where it should be.
        server: String,
        /// The transport's words.
        reason: String,
    },
    /// Something answered that isn't this server, such as a sign-in page of the network or a proxy's error page.
    #[error(
        "something other than the lab's server answers at {server} (status {status}, {found} instead of JSON); check the address, or sign in to the network first"
    )]
    NotOurServer {
        /// The address.
        server: String,
        /// The HTTP status.
        status: u16,
        /// The content type it sent.
        found: String,
    },
    /// A redirect, which is refused: a credential must not follow to an address nobody entered.
    #[error(
        "{server} sends elsewhere, to {target}; enter the server's own address in Setup, or sign in to the network first"
    )]
    Redirected {
        /// The address.
        server: String,
        /// Where it points.
        target: String,
    },
    /// The server says no, with a reason.
    #[error("{}: {}", .0.title, .0.detail)]
    Refused(Problem),
    /// A 5xx without problem details.
    #[error(
        "the server at {server} has a fault (status {status}); work goes on here and is sent when it is well again"
    )]
    ServerFault {
        /// The address.
        server: String,
        /// The HTTP status.
        status: u16,
    },
    /// JSON that isn't the answer this version expects.
    #[error(
        "the answer of {server} can't be read ({reason}); the program and the server may be of versions that do not fit together"
    )]
    BadAnswer {
        /// The address.
        server: String,
        /// What is wrong with it.
        reason: String,
    },
    /// The server can't prove that it is the one this desktop joined.
    #[error(
        "the server at {server} is not the one this desktop joined: its signature does not fit; ask whoever runs the server before going on"
    )]
    WrongServer {
        /// The address.
        server: String,
    },
}

impl SyncError {
    /// True when trying the same again can't help and a person must act.
    pub const fn is_permanent(&self) -> bool {
        match self {
            Self::NoAnswer { .. }
            | Self::NotOurServer { .. }
            | Self::Redirected { .. }
            | Self::ServerFault { .. }
            | Self::BadAnswer { .. } => false,
            Self::Refused(problem) => problem.code.is_permanent(),
            Self::WrongServer { .. } => true,
        }
    }

    /// The code the server gave, if it gave one.
    pub const fn code(&self) -> Option<ErrorCode> {
        match self {
            Self::Refused(problem) => Some(problem.code),
            _ => None,
        }
    }
}
