//! This desktop's settings, and what people had typed but not yet recorded. Neither leaves this computer.

use rusqlite::{OptionalExtension as _, params};
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::Store;
use super::error::StoreError;
use super::rows::{integer, natural};

impl Store {
    /// Returns a setting. One that can't be read any more counts as not set.
    pub fn setting<T: DeserializeOwned>(&self, key: &str) -> Result<Option<T>, StoreError> {
        self.read(|reading| {
            let json: Option<String> = reading
                .connection
                .query_row("SELECT json FROM settings WHERE key = ?1", [key], |row| {
                    row.get(0)
                })
                .optional()
                .map_err(StoreError::database("reading a setting"))?;
            Ok(json.and_then(|json| serde_json::from_str(&json).ok()))
        })
    }

    /// Sets a setting.
    pub fn set_setting<T: Serialize>(&self, key: &str, value: &T) -> Result<(), StoreError> {
        let json = to_json(value)?;
        self.transact("saving a setting", |writing| {
            writing
                .tx
                .execute(
                    "INSERT INTO settings (key, json) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET json = ?2",
                    [key, &json],
                )
                .map(drop)
                .map_err(StoreError::database("saving a setting"))
        })
    }

    /// Returns a draft as JSON, with the time it was saved.
    pub fn draft(&self, key: &str) -> Result<Option<(String, u64)>, StoreError> {
        self.read(|reading| {
            reading
                .connection
                .query_row(
                    "SELECT json, saved_ms FROM drafts WHERE key = ?1",
                    [key],
                    |row| Ok((row.get(0)?, natural(row.get(1)?))),
                )
                .optional()
                .map_err(StoreError::database("reading a draft"))
        })
    }

    /// Keeps a draft, replacing the one before.
    pub fn keep_draft(&self, key: &str, json: &str) -> Result<(), StoreError> {
        self.transact("keeping a draft", |writing| {
            writing
                .tx
                .execute(
                    "INSERT INTO drafts (key, json, saved_ms) VALUES (?1, ?2, ?3)
                     ON CONFLICT (key) DO UPDATE SET json = ?2, saved_ms = ?3",
                    params![key, json, integer(writing.now_ms())],
                )
                .map(drop)
                .map_err(StoreError::database("keeping a draft"))
        })
    }

    /// Forgets a draft, once it is recorded or given up.
    pub fn drop_draft(&self, key: &str) -> Result<(), StoreError> {
        self.transact("forgetting a draft", |writing| {
            writing
                .tx
                .execute("DELETE FROM drafts WHERE key = ?1", [key])
                .map(drop)
                .map_err(StoreError::database("forgetting a draft"))
        })
    }
}

fn to_json<T: Serialize>(value: &T) -> Result<String, StoreError> {
    serde_json::to_string(value).map_err(|error| StoreError::Database {
        doing: "saving a setting",
        source: rusqlite::Error::ToSqlConversionFailure(Box::new(error)),
    })
}
