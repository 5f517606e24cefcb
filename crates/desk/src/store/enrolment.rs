//! The server this desktop has joined.

use std::fmt;

use domain::StreamId;
use logbook::PublicKey;
use rusqlite::{OptionalExtension as _, params};
use sync_protocol::{Cursor, Enrolled};

use super::Store;
use super::error::StoreError;
use super::rows::bytes;

const DOING: &str = "reading which server was joined";

/// A joined server.
#[derive(Clone, PartialEq, Eq)]
pub struct Enrolment {
    /// Where it is, such as `https://lab.example`.
    pub server_url: String,
    /// The secret that stands for this desktop.
    pub credential: String,
    /// The key that signs the server's statements.
    pub server_key: PublicKey,
    /// The server's own stream when this desktop joined.
    pub server_stream_id: StreamId,
    /// The lab's name.
    pub lab_name: String,
}

impl fmt::Debug for Enrolment {
    /// Leaves the credential out, so that it can't reach a log by accident.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Enrolment")
            .field("server_url", &self.server_url)
            .field("lab_name", &self.lab_name)
            .finish_non_exhaustive()
    }
}

impl Store {
    /// Returns the joined server, if any.
    pub fn enrolment(&self) -> Result<Option<Enrolment>, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .query_row(
                    "SELECT server_url, credential, server_key, server_stream, lab_name FROM enrolment WHERE one = 1",
                    [],
                    |row| {
                        Ok(Enrolment {
                            server_url: row.get(0)?,
                            credential: row.get(1)?,
                            server_key: PublicKey::from_bytes(bytes(row, 2)?),
                            server_stream_id: StreamId::from_bytes(bytes(row, 3)?),
                            lab_name: row.get(4)?,
                        })
                    },
                )
                .optional()
                .map_err(StoreError::database(DOING))
        })
    }

    /// Keeps what joining gave: lab, credential, server. The cursor stays if there is one: when it is another server's, the next
    /// round finds the last common position by itself.
    pub fn keep_enrolment(&self, server_url: &str, enrolled: &Enrolled) -> Result<(), StoreError> {
        let doing = "joining the server";
        self.transact(doing, |writing| {
            writing.set_lab(enrolled.lab_id)?;
            writing
                .tx
                .execute(
                    "INSERT INTO enrolment (one, server_url, credential, server_key, server_stream, lab_name)
                     VALUES (1, ?1, ?2, ?3, ?4, ?5)
                     ON CONFLICT (one) DO UPDATE SET server_url = ?1, credential = ?2, server_key = ?3, server_stream = ?4,
                         lab_name = ?5",
                    params![
                        server_url,
                        enrolled.credential,
                        enrolled.server_key.as_bytes(),
                        enrolled.server_stream_id.as_bytes(),
                        enrolled.lab_name,
                    ],
                )
                .map_err(StoreError::database(doing))?;
            Ok::<_, StoreError>(())
        })?;
        if self.cursor()?.is_none() {
            self.set_cursor(&Cursor::start(enrolled.log_epoch))?;
        }
        Ok(())
    }

    /// Changes the address of the joined server, for a server that has moved.
    pub fn set_server_url(&self, server_url: &str) -> Result<(), StoreError> {
        let doing = "changing the server's address";
        self.transact(doing, |writing| {
            writing
                .tx
                .execute(
                    "UPDATE enrolment SET server_url = ?1 WHERE one = 1",
                    [server_url],
                )
                .map(drop)
                .map_err(StoreError::database(doing))
        })
    }
}
