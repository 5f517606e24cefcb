//! A desktop joins with a one-time code: code, lab, stream and secret in one transaction.

use domain::LabId;
use rusqlite::{OptionalExtension as _, Transaction, params};

use super::super::StoreError;
use super::super::accounts::{DesktopRow, NewDesktop, OneTimeUse, RefusedUse};
use super::StoreResult as _;
use super::log::own_stream;
use super::streams::keep_stream;
use crate::auth::token::TokenHash;

/// Uses the code up and takes the desktop in, or says why not.
pub(super) fn join(
    tx: &Transaction<'_>,
    code: &TokenHash,
    desktop: &NewDesktop,
    now_ms: i64,
) -> Result<OneTimeUse<DesktopRow>, StoreError> {
    let Some(code_row) = find_code(tx, code, now_ms)? else {
        return Ok(OneTimeUse::NotValid);
    };
    let Some(lab_id) = claim_lab(tx, desktop)? else {
        return Ok(OneTimeUse::Refused(RefusedUse::OtherLab));
    };
    if let Some(used_by) = code_row.desktop_id {
        return take_up_again(tx, used_by, desktop);
    }
    if !keep_stream(tx, lab_id, &desktop.stream)? {
        return Ok(OneTimeUse::Refused(RefusedUse::StreamTaken));
    }
    tx.execute(
        "INSERT INTO desktop (lab_id, stream_id, name, secret_hash, is_revoked, joined_ms) \
                 VALUES (?1, ?2, ?3, ?4, 0, ?5)",
        params![
            lab_id.as_bytes(),
            desktop.stream.stream_id.as_bytes(),
            desktop.stream.name,
            desktop.secret.as_bytes(),
            now_ms
        ],
    )
    .doing("take a desktop in")?;
    let desktop_id = tx.last_insert_rowid();
    tx.execute(
        "UPDATE join_code SET used_ms = ?2, desktop_id = ?3 WHERE secret_hash = ?1",
        params![code.as_bytes(), now_ms, desktop_id],
    )
    .doing("use a join code up")?;
    let name = desktop.stream.name.clone();
    Ok(OneTimeUse::Done(DesktopRow {
        desktop_id,
        lab_id,
        name,
        is_revoked: false,
        joined_ms: now_ms,
    }))
}

struct CodeRow {
    desktop_id: Option<i64>,
}

/// A code that is within its time, used or not.
fn find_code(
    tx: &Transaction<'_>,
    code: &TokenHash,
    now_ms: i64,
) -> Result<Option<CodeRow>, StoreError> {
    tx.query_row(
        "SELECT desktop_id FROM join_code WHERE secret_hash = ?1 AND expires_ms > ?2",
        params![code.as_bytes(), now_ms],
        |row| {
            Ok(CodeRow {
                desktop_id: row.get(0)?,
            })
        },
    )
    .optional()
    .doing("look up a join code")
}

/// The first desktop decides which lab this server keeps; `None` for a desktop of another lab.
fn claim_lab(tx: &Transaction<'_>, desktop: &NewDesktop) -> Result<Option<LabId>, StoreError> {
    let kept: Option<[u8; 16]> = tx
        .query_row("SELECT lab_id FROM lab WHERE only_row = 1", [], |row| {
            row.get(0)
        })
        .doing("read the lab")?;
    if let Some(kept) = kept.map(LabId::from_bytes) {
        return Ok(desktop
            .lab_id
            .is_none_or(|brought| brought == kept)
            .then_some(kept));
    }
    let lab_id = desktop.lab_id.unwrap_or(desktop.new_lab_id);
    tx.execute(
        "UPDATE lab SET lab_id = ?1 WHERE only_row = 1",
        [lab_id.as_bytes()],
    )
    .doing("take the lab on")?;
    own_stream(tx, lab_id)?;
    Ok(Some(lab_id))
}

/// The answer to a desktop's first try was lost: it gets a new secret, and the first one is good for nothing.
fn take_up_again(
    tx: &Transaction<'_>,
    desktop_id: i64,
    desktop: &NewDesktop,
) -> Result<OneTimeUse<DesktopRow>, StoreError> {
    let known = tx
        .query_row(
            "SELECT desktop.lab_id, desktop.name, desktop.joined_ms FROM desktop \
             JOIN stream ON stream.lab_id = desktop.lab_id AND stream.stream_id = desktop.stream_id \
             WHERE desktop.desktop_id = ?1 AND desktop.stream_id = ?2 AND stream.public_key = ?3 AND desktop.is_revoked = 0",
            params![desktop_id, desktop.stream.stream_id.as_bytes(), desktop.stream.public_key.as_bytes()],
            |row| {
                Ok(DesktopRow {
                    desktop_id,
                    lab_id: LabId::from_bytes(row.get(0)?),
                    name: row.get(1)?,
                    is_revoked: false,
                    joined_ms: row.get(2)?,
                })
            },
        )
        .optional()
        .doing("look up the desktop that used a join code")?;
    let Some(known) = known else {
        return Ok(OneTimeUse::NotValid);
    };
    tx.execute(
        "UPDATE desktop SET secret_hash = ?2 WHERE desktop_id = ?1",
        params![desktop_id, desktop.secret.as_bytes()],
    )
    .doing("renew a desktop's secret")?;
    Ok(OneTimeUse::Done(known))
}
