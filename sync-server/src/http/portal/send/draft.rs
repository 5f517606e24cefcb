//! A user's unfinished advice, kept in the store as JSON between one page and the next.

use serde::{Deserialize, Serialize};

use super::super::super::App;
use super::super::error::PageError;
use super::super::form::Fields;
use super::super::visitor::SignedIn;
use super::device_form::DeviceForm;
use crate::core::TEXT_CHARS_MAX;

/// Longest carrier name or tracking number.
const SHORT_CHARS_MAX: usize = 60;

/// What has been typed so far.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct Draft {
    /// Devices on the list.
    pub(super) devices: Vec<DeviceForm>,
    /// A device that is not on the list: its form had errors, or its cell forbids the post.
    pub(super) open: Option<DeviceForm>,
    /// Words about the parcel.
    pub(super) note: String,
    /// Carrier, if known.
    pub(super) carrier: String,
    /// Tracking number, if known.
    pub(super) tracking: String,
    /// What the last import did, line by line.
    pub(super) import_lines: Vec<String>,
}

impl Draft {
    /// The user's unfinished advice; an empty one if there is none, or if an older version wrote it otherwise.
    pub(super) async fn load(app: &App, who: &SignedIn) -> Result<Self, PageError> {
        let scope = who.session.scope;
        let body = app
            .run(move |core| core.store().advice_draft(&scope))
            .await??;
        Ok(body
            .and_then(|body| serde_json::from_slice(&body).ok())
            .unwrap_or_default())
    }

    /// Keeps it.
    pub(super) async fn save(&self, app: &App, who: &SignedIn) -> Result<(), PageError> {
        let scope = who.session.scope;
        let body = serde_json::to_vec(self).map_err(|_| PageError::Fault)?;
        app.run(move |core| {
            core.store()
                .set_advice_draft(&scope, Some(&body), core.now_ms())
        })
        .await??;
        Ok(())
    }

    /// Drops it, once it was announced.
    pub(super) async fn drop(app: &App, who: &SignedIn) -> Result<(), PageError> {
        let scope = who.session.scope;
        app.run(move |core| core.store().set_advice_draft(&scope, None, core.now_ms()))
            .await??;
        Ok(())
    }

    /// The device with this number on the list, from 1.
    pub(super) fn device(&self, number: usize) -> Option<&DeviceForm> {
        self.devices.get(number.checked_sub(1)?)
    }

    /// The same, to be changed.
    pub(super) fn device_mut(&mut self, number: usize) -> Option<&mut DeviceForm> {
        self.devices.get_mut(number.checked_sub(1)?)
    }

    /// Takes a device off the list; a number that isn't there changes nothing.
    pub(super) fn remove(&mut self, number: usize) {
        if self.device(number).is_some() {
            self.devices.remove(number - 1);
        }
    }

    /// Reads the fields about the parcel.
    pub(super) fn read_parcel(&mut self, fields: &Fields) {
        let cut = |text: String, max: usize| text.chars().take(max).collect::<String>();
        self.note = cut(fields.text("note"), TEXT_CHARS_MAX);
        self.carrier = cut(fields.text("carrier"), SHORT_CHARS_MAX);
        self.tracking = cut(fields.text("tracking"), SHORT_CHARS_MAX);
    }
}
