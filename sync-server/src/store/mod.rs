//! What the server keeps, behind a narrow trait: a lab's log, its accounts, what each shop may see, and which files are whole.
//!
//! Methods that touch a lab's data take a scope first; only the authentication layer makes scopes. An implementation holds no
//! rules of its own: what an entry means for a shop is decided by [`crate::shop_view`], where an entry belongs by `logbook`.

mod accounts;
mod files;
mod log;
mod shop;
pub mod sqlite;

use std::fmt;
use std::path::PathBuf;

pub use accounts::{
    AccountStore, DesktopRow, InviteRow, NewDesktop, OneTimeUse, RefusedUse, SessionRow, UserRow,
};
pub use files::{FileStore, StoredFile};
pub use log::{LabRow, LogStore, OwnFact, ProvedPush};
pub use shop::{ReportRow, ShopStore};

use crate::auth::token::RandomError;

/// All a server keeps. A second implementation passes the same story of tests.
pub trait Store:
    AccountStore + LogStore + ShopStore + FileStore + fmt::Debug + Send + Sync
{
}

impl<T: AccountStore + LogStore + ShopStore + FileStore + fmt::Debug + Send + Sync> Store for T {}

/// The store could not do what it was asked.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The data folder can't be used.
    #[error("the data folder at {path} can't be used")]
    Folder {
        /// The folder or file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// The file is of a newer version of this program.
    #[error(
        "the database is of step {found} and this version knows {known}; start the newer version of the server again"
    )]
    NewerFile {
        /// The step in the file.
        found: i64,
        /// The last step known here.
        known: i64,
    },
    /// The database refused.
    #[error("the database failed to {doing}")]
    Database {
        /// What was being done.
        doing: &'static str,
        /// What the database said.
        #[source]
        source: Box<dyn std::error::Error + Send + Sync>,
    },
    /// The disk is full; what was being written is not there.
    #[error("the disk is full, so the database could not {doing}; free some space")]
    DiskFull {
        /// What was being done.
        doing: &'static str,
    },
    /// A row does not hold what it must.
    #[error("the database holds something that can't be: {what}")]
    Damaged {
        /// Which row and why.
        what: String,
    },
    /// An entry of the server's own could not be sealed.
    #[error("an entry of the server's own stream could not be sealed")]
    Seal(#[from] logbook::SealError),
    /// No random bytes.
    #[error(transparent)]
    Random(#[from] RandomError),
}

impl StoreError {
    /// True when trying again later may help.
    pub const fn is_passing(&self) -> bool {
        matches!(
            self,
            Self::Database { .. } | Self::DiskFull { .. } | Self::Random(_)
        )
    }
}
