//! Joining a lab's server with a one-time code.

use sync_protocol::limits::PROTOCOL_VERSION;
use sync_protocol::{Enrol, Enrolled, SyncProtocol};

use super::round::RoundError;
use crate::store::Store;

/// Joins the server behind `server` with a one-time code and keeps what it gives.
///
/// A desktop that has worked alone keeps its lab and its entries; the server must be that lab's or have none yet. A new desktop
/// takes the server's lab. The code can be sent again by the same desktop if the answer was lost.
pub fn join(
    store: &Store,
    server: &dyn SyncProtocol,
    server_url: &str,
    code: &str,
) -> Result<Enrolled, RoundError> {
    let installation = store.installation()?;
    let enrolled = server.enrol(&Enrol {
        protocol_version: PROTOCOL_VERSION,
        code: code.trim().to_owned(),
        lab_id: installation.lab_id,
        stream: installation.stream_info(),
    })?;
    store.keep_enrolment(server_url, &enrolled)?;
    Ok(enrolled)
}
