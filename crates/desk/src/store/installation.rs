//! Who this installation is: its key, its stream, its lab, its clock.
//!
//! A stream has one writer. That rule is kept here, not in a comment: a file that has been copied or restored, and a stream that
//! the server knows further than this file does, get a new stream before anything more is written.

use std::io::Write as _;
use std::path::Path;

use domain::{ContentHash, LabId, StreamId};
use logbook::{EntryHash, Head, Hlc, PublicKey, ReportSeal, SigningKey, public_key};
use rusqlite::{OptionalExtension as _, params};
use sync_protocol::StreamInfo;

use super::error::StoreError;
use super::rows::{bytes, integer, natural};
use super::{Reading, Store, StoreOptions, Writing};

const SIGNING_KEY: &str = "signing";
const DOING: &str = "reading what this installation is";

/// What this installation is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Installation {
    /// The lab, once there is one.
    pub lab_id: Option<LabId>,
    /// What people call this desktop.
    pub desktop_name: String,
    /// The stream it writes now.
    pub stream_id: StreamId,
    /// The public half of its key.
    pub public_key: PublicKey,
    /// Its hybrid clock.
    pub hlc: Hlc,
}

impl Installation {
    /// The stream as the server wants to know it.
    pub fn stream_info(&self) -> StreamInfo {
        StreamInfo {
            stream_id: self.stream_id,
            public_key: self.public_key,
            name: self.desktop_name.clone(),
        }
    }
}

impl Store {
    /// Returns what this installation is.
    #[expect(
        clippy::redundant_closure_for_method_calls,
        reason = "the method's path has one lifetime and the closure is wanted for all"
    )]
    pub fn installation(&self) -> Result<Installation, StoreError> {
        self.read(|reading| reading.installation())
    }

    /// Makes this the desktop of a lab. A file that belongs to a lab can't be given to another.
    pub fn set_lab(&self, lab_id: LabId) -> Result<(), StoreError> {
        self.transact("joining the lab", |writing| writing.set_lab(lab_id))
    }

    /// Renames this desktop.
    pub fn set_desktop_name(&self, name: &str) -> Result<(), StoreError> {
        let name: String = name
            .trim()
            .chars()
            .take(sync_protocol::limits::NAME_CHARS_MAX)
            .collect();
        self.transact("renaming this desktop", |writing| {
            writing
                .tx
                .execute(
                    "UPDATE installation SET desktop_name = ?1 WHERE one = 1",
                    [&name],
                )
                .and_then(|_| {
                    writing
                        .tx
                        .execute("UPDATE streams SET name = ?1 WHERE is_own = 1", [&name])
                })
                .map(drop)
                .map_err(StoreError::database("renaming this desktop"))
        })
    }

    /// Returns a secret kept in the file under `name`, such as the lab's sealing key.
    pub fn secret(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        self.read(|reading| reading.secret(name))
    }

    /// Keeps a secret under `name`. A secret once kept is never replaced; the one kept is returned.
    pub fn keep_secret(&self, name: &str, secret: &[u8]) -> Result<Vec<u8>, StoreError> {
        self.transact("keeping a key", |writing| {
            if let Some(kept) = writing.reading().secret(name)? {
                return Ok(kept);
            }
            writing
                .tx
                .execute(
                    "INSERT INTO keys (name, bytes) VALUES (?1, ?2)",
                    params![name, secret],
                )
                .map_err(StoreError::database("keeping a key"))?;
            Ok(secret.to_vec())
        })
    }

    /// Makes the installation on first use, and opens a new stream when the file was copied or restored.
    pub(super) fn settle_installation(&self, options: &StoreOptions) -> Result<(), StoreError> {
        let beside = read_nonce(&options.nonce_file)?;
        let nonce = self.transact(DOING, |writing| {
            let stored: Option<[u8; 32]> = writing
                .tx
                .query_row("SELECT nonce FROM installation WHERE one = 1", [], |row| {
                    bytes(row, 0)
                })
                .optional()
                .map_err(StoreError::database(DOING))?;
            match stored {
                Some(nonce) if beside.as_deref() == Some(&nonce[..]) => Ok::<_, StoreError>(nonce),
                Some(_) => {
                    let nonce = writing.ports.random_bytes::<32>();
                    writing
                        .tx
                        .execute("UPDATE installation SET nonce = ?1 WHERE one = 1", [&nonce])
                        .map_err(StoreError::database(DOING))?;
                    writing.open_stream()?;
                    Ok(nonce)
                }
                None => writing.install(&options.desktop_name),
            }
        })?;
        if beside.as_deref() == Some(&nonce[..]) {
            Ok(())
        } else {
            write_nonce(&options.nonce_file, &nonce)
        }
    }
}

impl Reading<'_> {
    /// Returns what this installation is.
    pub fn installation(&self) -> Result<Installation, StoreError> {
        self.connection
            .query_row(
                "SELECT i.lab_id, i.desktop_name, i.current_stream, s.public_key, i.hlc_ms, i.hlc_counter
                 FROM installation i JOIN streams s ON s.stream_id = i.current_stream WHERE i.one = 1",
                [],
                |row| {
                    Ok(Installation {
                        lab_id: row.get::<_, Option<[u8; 16]>>(0)?.map(LabId::from_bytes),
                        desktop_name: row.get(1)?,
                        stream_id: StreamId::from_bytes(bytes(row, 2)?),
                        public_key: PublicKey::from_bytes(bytes(row, 3)?),
                        hlc: Hlc { ms: natural(row.get(4)?), counter: row.get(5)? },
                    })
                },
            )
            .map_err(StoreError::database(DOING))
    }

    /// Returns the lab, or says that there is none yet.
    pub fn lab_id(&self) -> Result<LabId, StoreError> {
        self.installation()?.lab_id.ok_or(StoreError::NoLab)
    }

    fn secret(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        self.connection
            .query_row("SELECT bytes FROM keys WHERE name = ?1", [name], |row| {
                row.get(0)
            })
            .optional()
            .map_err(StoreError::database("reading a key"))
    }

    /// Seals the record of a report under this desktop's key.
    pub fn seal_report(&self, record_digest: ContentHash) -> Result<ReportSeal, StoreError> {
        let installation = self.installation()?;
        let lab_id = installation.lab_id.ok_or(StoreError::NoLab)?;
        let key = self.signing_key()?;
        Ok(ReportSeal::make(
            &key,
            lab_id,
            installation.stream_id,
            record_digest,
        ))
    }

    pub(super) fn signing_key(&self) -> Result<SigningKey, StoreError> {
        let seed = self.secret(SIGNING_KEY)?.unwrap_or_default();
        let seed: [u8; 32] = seed.try_into().map_err(|_| StoreError::Damaged {
            detail: "its signing key is missing".to_owned(),
        })?;
        Ok(SigningKey::from_bytes(&seed))
    }
}

impl Writing<'_> {
    pub(super) fn set_lab(&self, lab_id: LabId) -> Result<(), StoreError> {
        match self.reading().installation()?.lab_id {
            Some(ours) if ours == lab_id => Ok(()),
            Some(ours) => Err(StoreError::OtherLab {
                ours,
                theirs: lab_id,
            }),
            None => self
                .tx
                .execute(
                    "UPDATE installation SET lab_id = ?1 WHERE one = 1",
                    [lab_id.as_bytes()],
                )
                .map(drop)
                .map_err(StoreError::database("joining the lab")),
        }
    }

    /// Opens a new stream under this installation's key and makes it the one written from now on.
    pub(super) fn open_stream(&self) -> Result<Head, StoreError> {
        let stream_id = StreamId::new(self.ports.new_uuid());
        let key = public_key(&self.reading().signing_key()?);
        let name: String = self
            .tx
            .query_row(
                "SELECT desktop_name FROM installation WHERE one = 1",
                [],
                |row| row.get(0),
            )
            .map_err(StoreError::database(DOING))?;
        self.insert_stream(stream_id, &key, &name)?;
        self.tx
            .execute(
                "UPDATE installation SET current_stream = ?1 WHERE one = 1",
                [stream_id.as_bytes()],
            )
            .map_err(StoreError::database("opening a new stream"))?;
        tracing::info!(%stream_id, "opened a new stream");
        Ok(Head::empty(stream_id))
    }

    pub(super) fn set_hlc(&self, hlc: Hlc) -> Result<(), StoreError> {
        self.tx
            .prepare_cached("UPDATE installation SET hlc_ms = ?1, hlc_counter = ?2 WHERE one = 1")
            .and_then(|mut statement| statement.execute(params![integer(hlc.ms), hlc.counter]))
            .map(drop)
            .map_err(StoreError::database("saving the clock"))
    }

    fn install(&self, desktop_name: &str) -> Result<[u8; 32], StoreError> {
        let doing = "making this installation";
        let nonce = self.ports.random_bytes::<32>();
        let seed = self.ports.random_bytes::<32>();
        let stream_id = StreamId::new(self.ports.new_uuid());
        let name: String = desktop_name
            .trim()
            .chars()
            .take(sync_protocol::limits::NAME_CHARS_MAX)
            .collect();
        self.tx
            .execute(
                "INSERT INTO keys (name, bytes) VALUES (?1, ?2)",
                params![SIGNING_KEY, seed],
            )
            .map_err(StoreError::database(doing))?;
        self.insert_stream(
            stream_id,
            &public_key(&SigningKey::from_bytes(&seed)),
            &name,
        )?;
        self.tx
            .execute(
                "INSERT INTO installation (one, nonce, lab_id, desktop_name, current_stream, hlc_ms, hlc_counter, fold_version)
                 VALUES (1, ?1, NULL, ?2, ?3, 0, 0, ?4)",
                params![nonce, name, stream_id.as_bytes(), self.projector.fold_version()],
            )
            .map_err(StoreError::database(doing))?;
        Ok(nonce)
    }

    fn insert_stream(
        &self,
        stream_id: StreamId,
        key: &PublicKey,
        name: &str,
    ) -> Result<(), StoreError> {
        self.tx
            .execute(
                "INSERT INTO streams (stream_id, public_key, name, head_seq, head_hash, is_own) VALUES (?1, ?2, ?3, 0, ?4, 1)",
                params![stream_id.as_bytes(), key.as_bytes(), name, EntryHash::GENESIS.as_bytes()],
            )
            .map(drop)
            .map_err(StoreError::database("opening a new stream"))
    }
}

fn read_nonce(path: &Path) -> Result<Option<Vec<u8>>, StoreError> {
    match std::fs::read_to_string(path) {
        Ok(text) => Ok(hex::decode(text.trim()).ok()),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(source) => Err(StoreError::File {
            path: path.to_owned(),
            source,
        }),
    }
}

/// Written after the database's commit: if this fails, the next start sees a mismatch and opens one stream more, which is harmless.
fn write_nonce(path: &Path, nonce: &[u8; 32]) -> Result<(), StoreError> {
    let write = || -> std::io::Result<()> {
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder)?;
        }
        let partial = path.with_extension("partial");
        let mut file = std::fs::File::create(&partial)?;
        writeln!(file, "{}", hex::encode(nonce))?;
        file.sync_all()?;
        std::fs::rename(&partial, path)
    };
    write().map_err(|source| StoreError::File {
        path: path.to_owned(),
        source,
    })
}
