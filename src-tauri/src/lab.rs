//! The lab behind the window, or the reason why it could not be opened.
//!
//! The only module here that knows `desk`. It passes things on and decides nothing.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use desk::ports::Ports;
use desk::{Desk, DeskError, DeskOptions, EdgeError, ErrorCode, PhotoTarget, commands};
use serde_json::Value;

use crate::photo_protocol::PhotoAddress;
use crate::viewer;

/// The name under which the screens hear of changes.
const CHANGED: &str = "changed";

/// A lab that is open, or why it is not. It is opened once; whoever mends the reason starts the program again.
pub(crate) struct Lab {
    folder: PathBuf,
    desk: Result<Arc<Desk>, EdgeError>,
}

impl Lab {
    /// Opens the lab in `folder`, or lays out a new one, and starts its work in the background.
    pub(crate) fn open(folder: &Path) -> Self {
        let desk = open_desk(folder).map_err(|error| {
            let mut error = EdgeError::from(error);
            error.message = format!(
                "The lab in {} can’t be opened. {}",
                folder.display(),
                error.message
            );
            error
        });
        Self {
            folder: folder.to_path_buf(),
            desk,
        }
    }

    fn desk(&self) -> Result<&Arc<Desk>, EdgeError> {
        self.desk.as_ref().map_err(Clone::clone)
    }

    /// Runs one command of the desk's table.
    pub(crate) fn call(&self, name: &str, request: Value) -> Result<Value, EdgeError> {
        Ok(commands::dispatch(self.desk()?, name, request)?)
    }

    /// The bytes of a picture or of its thumbnail; `None` if nobody knows it.
    pub(crate) fn photo(&self, address: &PhotoAddress) -> Result<Option<Vec<u8>>, EdgeError> {
        let desk = self.desk()?;
        let Ok(hash) = address.hash.parse() else {
            return Ok(None);
        };
        let bytes = if address.thumbnail {
            desk.thumbnail_bytes(&hash)
        } else {
            desk.file_bytes(&hash)
        };
        match bytes {
            Ok(bytes) => Ok(Some(bytes)),
            Err(DeskError::NotFound { .. }) => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    /// Takes a picture in; `target` is the JSON of a `PhotoTarget`. Returns the JSON of what was recorded.
    pub(crate) fn put_photo(&self, bytes: &[u8], target: &str) -> Result<Value, EdgeError> {
        let unreadable = |source| DeskError::Request {
            command: "put_photo".to_owned(),
            source,
        };
        let target: PhotoTarget = serde_json::from_str(target).map_err(unreadable)?;
        let photo = self.desk()?.take_photo(bytes, &target)?;
        Ok(serde_json::to_value(photo).map_err(unreadable)?)
    }

    /// Says what a report's PDF is, as the JSON of a `ReportCheck`.
    pub(crate) fn check_report(&self, pdf: &[u8]) -> Result<Value, EdgeError> {
        let check = self.desk()?.check_report(pdf)?;
        serde_json::to_value(check).map_err(|source| {
            EdgeError::from(DeskError::Request {
                command: "check_report".to_owned(),
                source,
            })
        })
    }

    /// Shows a paper that was made on this computer in the system's own viewer.
    pub(crate) fn open_paper(&self, name: &str) -> Result<(), EdgeError> {
        // Reading it is the check of its name, too: only a plain name leads anywhere.
        self.desk()?.paper_bytes(name)?;
        viewer::show(&viewer::papers(&self.folder).join(name))
    }

    /// Shows a kept PDF, by the hash of its bytes, in the system's own viewer. One that was made on another desktop is
    /// fetched first.
    pub(crate) fn open_file(&self, hash: &str) -> Result<(), EdgeError> {
        let no_such_file = DeskError::NotFound { what: "paper" };
        let Ok(hash) = hash.parse() else {
            return Err(no_such_file.into());
        };
        let bytes = self.desk()?.file_bytes(&hash)?;
        viewer::show_bytes(&viewer::papers(&self.folder), &hash.to_string(), &bytes)
    }

    /// Calls `hear` with the name and the content of each event, on the thread that caused it.
    pub(crate) fn on_event(&self, hear: impl Fn(&str, Value) + Send + Sync + 'static) {
        let Ok(desk) = &self.desk else { return };
        desk.on_change(Arc::new(move |changed| {
            match serde_json::to_value(changed) {
                Ok(payload) => hear(CHANGED, payload),
                Err(error) => eprintln!("waybench: a change can’t be told to the window: {error}"),
            }
            std::ops::ControlFlow::Continue(())
        }));
    }

    /// Ends the work in the background; the lab itself is safe at any moment.
    pub(crate) fn close(&self) {
        if let Ok(desk) = &self.desk {
            desk.stop();
        }
    }
}

fn open_desk(folder: &Path) -> Result<Arc<Desk>, DeskError> {
    let desk = Arc::new(Desk::open(DeskOptions::beside(folder), Ports::system())?);
    desk.start()?;
    Ok(desk)
}

/// An answer that says only what went wrong.
pub(crate) fn failed(message: String) -> EdgeError {
    EdgeError {
        code: ErrorCode::Failed,
        message,
        field: None,
        missing: Vec::new(),
    }
}

/// What the screen is told when a call ended without an answer.
pub(crate) fn broken_off(reason: &dyn std::fmt::Display) -> EdgeError {
    failed(format!(
        "The program broke off in the middle of this ({reason}). Look whether it was recorded before you do it again."
    ))
}
