//! The shop view in SQLite: JSON bodies of the allow-listed structs, with the few columns that lists sort by.

use std::collections::BTreeSet;

use domain::fact::{LabDescription, ShopDescription};
use domain::shop_view::{ShopJob, ShopParcel};
use domain::{ContentHash, JobId, LabId, ParcelId, ShopId, Subject};
use rusqlite::{OptionalExtension as _, Params, Transaction, params};
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::super::StoreError;
use super::super::shop::{ReportRow, ShopStore};
use super::entries::recorded_of;
use super::row;
use super::{SqliteStore, StoreResult as _};
use crate::auth::{LabScope, ShopScope};
use crate::shop_view::{self, JobView, LabCard, LabOwn, Projection};

impl ShopStore for SqliteStore {
    fn jobs(&self, scope: &ShopScope) -> Result<Vec<ShopJob>, StoreError> {
        self.read(|tx| {
            bodies(
                tx,
                "SELECT body FROM shop_job WHERE lab_id = ?1 AND shop_id = ?2 \
                 ORDER BY needs_shop DESC, is_over, changed_ms DESC, job_id",
                params![scope.lab().lab_id().as_bytes(), scope.shop_id().as_bytes()],
            )
        })
    }

    fn job(&self, scope: &ShopScope, job_id: JobId) -> Result<Option<ShopJob>, StoreError> {
        self.read(|tx| {
            body(
                tx,
                "SELECT body FROM shop_job WHERE lab_id = ?1 AND shop_id = ?2 AND job_id = ?3",
                params![
                    scope.lab().lab_id().as_bytes(),
                    scope.shop_id().as_bytes(),
                    job_id.as_bytes()
                ],
            )
        })
    }

    fn parcels(&self, scope: &ShopScope) -> Result<Vec<ShopParcel>, StoreError> {
        self.read(|tx| {
            bodies(
                tx,
                "SELECT body FROM shop_parcel WHERE lab_id = ?1 AND shop_id = ?2 ORDER BY changed_ms DESC, parcel_id",
                params![scope.lab().lab_id().as_bytes(), scope.shop_id().as_bytes()],
            )
        })
    }

    fn parcel(
        &self,
        scope: &ShopScope,
        parcel_id: ParcelId,
    ) -> Result<Option<ShopParcel>, StoreError> {
        self.read(|tx| {
            body(
                tx,
                "SELECT body FROM shop_parcel WHERE lab_id = ?1 AND shop_id = ?2 AND parcel_id = ?3",
                params![scope.lab().lab_id().as_bytes(), scope.shop_id().as_bytes(), parcel_id.as_bytes()],
            )
        })
    }

    fn may_fetch(&self, scope: &ShopScope, hash: &ContentHash) -> Result<bool, StoreError> {
        self.read(|tx| {
            tx.query_row(
                "SELECT EXISTS (SELECT 1 FROM shop_file WHERE lab_id = ?1 AND shop_id = ?2 AND content_hash = ?3)",
                params![scope.lab().lab_id().as_bytes(), scope.shop_id().as_bytes(), hash.as_bytes()],
                |row| row.get(0),
            )
            .doing("look up a file's use")
        })
    }

    fn lab_card(&self, scope: &LabScope) -> Result<Option<LabDescription>, StoreError> {
        let lab_id = scope.lab_id();
        self.read(|tx| card(tx, lab_id, "lab", lab_id.as_bytes()))
    }

    fn lab_own(&self, scope: &LabScope) -> Result<LabOwn, StoreError> {
        let lab_id = scope.lab_id();
        let card: Option<LabCard> = self.read(|tx| card(tx, lab_id, "lab", lab_id.as_bytes()))?;
        Ok(card.map(|card| card.own).unwrap_or_default())
    }

    fn shop_card(
        &self,
        scope: &LabScope,
        shop_id: ShopId,
    ) -> Result<Option<ShopDescription>, StoreError> {
        self.read(|tx| card(tx, scope.lab_id(), "shop", shop_id.as_bytes()))
    }

    fn shop_cards(&self, scope: &LabScope) -> Result<Vec<(ShopId, ShopDescription)>, StoreError> {
        self.read(|tx| {
            let mut statement = tx
                .prepare(
                    "SELECT subject_id, body FROM card WHERE lab_id = ?1 AND subject_tag = 'shop'",
                )
                .doing("list the shops")?;
            let rows = statement
                .query_map([scope.lab_id().as_bytes()], |row| {
                    Ok((ShopId::from_bytes(row.get(0)?), row.get::<_, Vec<u8>>(1)?))
                })
                .and_then(Iterator::collect::<rusqlite::Result<Vec<_>>>)
                .doing("list the shops")?;
            let mut cards = rows
                .into_iter()
                .map(|(id, body)| Ok((id, from_json::<ShopDescription>(&body)?)))
                .collect::<Result<Vec<_>, StoreError>>()?;
            cards.sort_by(|a, b| (&a.1.name, a.0).cmp(&(&b.1.name, b.0)));
            Ok(cards)
        })
    }

    fn report(&self, prefix: &str) -> Result<Option<ReportRow>, StoreError> {
        self.read(|tx| {
            let mut statement = tx
                .prepare_cached(
                    "SELECT report.digest, report.job_id, report.shop_id, report.issued_ms, EXISTS (SELECT 1 FROM issued_report AS later \
                     WHERE later.lab_id = report.lab_id AND later.job_id = report.job_id AND later.issued_ms > report.issued_ms) \
                     FROM issued_report AS report JOIN lab ON lab.lab_id = report.lab_id \
                     WHERE report.digest >= ?1 AND report.digest < ?1 || 'g' LIMIT 2",
                )
                .doing("look up a report")?;
            let rows = statement
                .query_map([prefix], |row| {
                    Ok(ReportRow {
                        digest: row.get(0)?,
                        job_id: JobId::from_bytes(row.get(1)?),
                        shop_id: ShopId::from_bytes(row.get(2)?),
                        issued_ms: row::unsigned(row, 3)?,
                        is_replaced: row.get(4)?,
                    })
                })
                .and_then(Iterator::collect::<rusqlite::Result<Vec<_>>>)
                .doing("look up a report")?;
            // Two that begin alike prove neither.
            Ok(match <[ReportRow; 1]>::try_from(rows) {
                Ok([report]) => Some(report),
                Err(_) => None,
            })
        })
    }

    fn lab_name(&self) -> Result<String, StoreError> {
        self.read(|tx| {
            let lab: Option<LabDescription> =
                body(tx, "SELECT body FROM card JOIN lab ON lab.lab_id = card.lab_id WHERE subject_tag = 'lab'", [])?;
            Ok(lab.map(|lab| lab.name).unwrap_or_default())
        })
    }
}

/// Builds every view of the file's lab again from the log.
pub(super) fn rebuild_all(tx: &Transaction<'_>) -> Result<(), StoreError> {
    for statement in [
        "DELETE FROM shop_job",
        "DELETE FROM shop_parcel",
        "DELETE FROM shop_file",
        "DELETE FROM issued_report",
        "DELETE FROM card",
    ] {
        tx.execute(statement, []).doing("throw the views away")?;
    }
    let mut statement = tx
        .prepare("SELECT DISTINCT lab_id, subject_tag, subject_id FROM entry")
        .doing("list the subjects")?;
    let subjects = statement
        .query_map([], |row| {
            let subject = Subject::from_parts(&row.get::<_, String>(1)?, row.get(2)?);
            Ok((LabId::from_bytes(row.get(0)?), subject))
        })
        .and_then(Iterator::collect::<rusqlite::Result<Vec<_>>>)
        .doing("list the subjects")?;
    subjects
        .into_iter()
        .filter_map(|(lab_id, subject)| subject.map(|subject| (lab_id, subject)))
        .try_for_each(|(lab_id, subject)| project(tx, lab_id, &BTreeSet::from([subject])))
}

/// Writes what the touched subjects add up to now, in place of what was there.
pub(super) fn project(
    tx: &Transaction<'_>,
    lab_id: LabId,
    touched: &BTreeSet<Subject>,
) -> Result<(), StoreError> {
    for subject in touched {
        let recorded = recorded_of(tx, lab_id, *subject)?;
        match shop_view::project(*subject, &recorded) {
            Projection::Job(view) => put_job(tx, lab_id, subject, view.as_deref())?,
            Projection::Parcel(parcel) => put_parcel(tx, lab_id, subject, parcel.as_ref())?,
            Projection::Shop(shop) => put_card(tx, lab_id, subject, shop.as_ref())?,
            Projection::Lab(lab) => put_card(tx, lab_id, subject, lab.as_deref())?,
            Projection::Nothing => {}
        }
    }
    Ok(())
}

fn put_job(
    tx: &Transaction<'_>,
    lab_id: LabId,
    subject: &Subject,
    view: Option<&JobView>,
) -> Result<(), StoreError> {
    let id = subject.id_bytes();
    // The row goes first: a job that was given to the wrong shop must vanish there.
    tx.execute(
        "DELETE FROM shop_job WHERE lab_id = ?1 AND job_id = ?2",
        params![lab_id.as_bytes(), id],
    )
    .doing("replace a device's view")?;
    tx.execute(
        "DELETE FROM issued_report WHERE lab_id = ?1 AND job_id = ?2",
        params![lab_id.as_bytes(), id],
    )
    .doing("replace a device's report")?;
    let Some(JobView { job, reports }) = view else {
        return put_files(tx, lab_id, subject, None);
    };
    tx.execute(
        "INSERT INTO shop_job (lab_id, shop_id, job_id, needs_shop, is_over, changed_ms, body) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        params![
            lab_id.as_bytes(),
            job.shop_id.as_bytes(),
            id,
            !job.needed.is_empty(),
            shop_view::is_over(job),
            row::signed(job.last_at_ms)?,
            to_json(job)?
        ],
    )
    .doing("replace a device's view")?;
    for (digest, issued_ms) in reports {
        tx.execute(
            "INSERT INTO issued_report (lab_id, digest, job_id, shop_id, issued_ms) VALUES (?1, ?2, ?3, ?4, ?5) \
             ON CONFLICT (lab_id, digest, job_id) DO UPDATE SET issued_ms = excluded.issued_ms",
            params![
                lab_id.as_bytes(),
                digest.to_string(),
                id,
                job.shop_id.as_bytes(),
                row::signed(*issued_ms)?
            ],
        )
        .doing("replace a device's reports")?;
    }
    put_files(
        tx,
        lab_id,
        subject,
        Some((job.shop_id, shop_view::job_files(job))),
    )
}

fn put_parcel(
    tx: &Transaction<'_>,
    lab_id: LabId,
    subject: &Subject,
    parcel: Option<&ShopParcel>,
) -> Result<(), StoreError> {
    let id = subject.id_bytes();
    tx.execute(
        "DELETE FROM shop_parcel WHERE lab_id = ?1 AND parcel_id = ?2",
        params![lab_id.as_bytes(), id],
    )
    .doing("replace a parcel's view")?;
    let Some(parcel) = parcel else {
        return put_files(tx, lab_id, subject, None);
    };
    let changed_ms = parcel
        .begun_at_ms
        .max(parcel.received_at_ms.unwrap_or(0))
        .max(parcel.shipped_at_ms.unwrap_or(0));
    tx.execute(
        "INSERT INTO shop_parcel (lab_id, shop_id, parcel_id, changed_ms, body) VALUES (?1, ?2, ?3, ?4, ?5)",
        params![lab_id.as_bytes(), parcel.shop_id.as_bytes(), id, row::signed(changed_ms)?, to_json(parcel)?],
    )
    .doing("replace a parcel's view")?;
    put_files(
        tx,
        lab_id,
        subject,
        Some((parcel.shop_id, shop_view::parcel_files(parcel))),
    )
}

fn put_files(
    tx: &Transaction<'_>,
    lab_id: LabId,
    subject: &Subject,
    files: Option<(ShopId, Vec<ContentHash>)>,
) -> Result<(), StoreError> {
    tx.execute(
        "DELETE FROM shop_file WHERE lab_id = ?1 AND subject_id = ?2",
        params![lab_id.as_bytes(), subject.id_bytes()],
    )
    .doing("replace a view's files")?;
    let Some((shop_id, files)) = files else {
        return Ok(());
    };
    let mut insert = tx
        .prepare_cached("INSERT INTO shop_file (lab_id, shop_id, content_hash, subject_id) VALUES (?1, ?2, ?3, ?4)")
        .doing("replace a view's files")?;
    for hash in files.into_iter().collect::<BTreeSet<_>>() {
        insert
            .execute(params![
                lab_id.as_bytes(),
                shop_id.as_bytes(),
                hash.as_bytes(),
                subject.id_bytes()
            ])
            .doing("replace a view's files")?;
    }
    Ok(())
}

fn put_card(
    tx: &Transaction<'_>,
    lab_id: LabId,
    subject: &Subject,
    card: Option<&impl Serialize>,
) -> Result<(), StoreError> {
    tx.execute(
        "DELETE FROM card WHERE lab_id = ?1 AND subject_tag = ?2 AND subject_id = ?3",
        params![lab_id.as_bytes(), subject.tag(), subject.id_bytes()],
    )
    .doing("replace a card")?;
    if let Some(card) = card {
        tx.execute(
            "INSERT INTO card (lab_id, subject_tag, subject_id, body) VALUES (?1, ?2, ?3, ?4)",
            params![
                lab_id.as_bytes(),
                subject.tag(),
                subject.id_bytes(),
                to_json(card)?
            ],
        )
        .doing("replace a card")?;
    }
    Ok(())
}

pub(super) fn card<T: DeserializeOwned>(
    tx: &Transaction<'_>,
    lab_id: LabId,
    tag: &str,
    id: &[u8; 16],
) -> Result<Option<T>, StoreError> {
    body(
        tx,
        "SELECT body FROM card WHERE lab_id = ?1 AND subject_tag = ?2 AND subject_id = ?3",
        params![lab_id.as_bytes(), tag, id],
    )
}

fn body<T: DeserializeOwned>(
    tx: &Transaction<'_>,
    sql: &str,
    params: impl Params,
) -> Result<Option<T>, StoreError> {
    tx.prepare_cached(sql)
        .and_then(|mut statement| {
            statement
                .query_row(params, |row| row.get::<_, Vec<u8>>(0))
                .optional()
        })
        .doing("read a shop's view")?
        .map(|body| from_json(&body))
        .transpose()
}

fn bodies<T: DeserializeOwned>(
    tx: &Transaction<'_>,
    sql: &str,
    params: impl Params,
) -> Result<Vec<T>, StoreError> {
    tx.prepare_cached(sql)
        .and_then(|mut statement| {
            statement
                .query_map(params, |row| row.get::<_, Vec<u8>>(0))?
                .collect::<rusqlite::Result<Vec<_>>>()
        })
        .doing("read a shop's view")?
        .iter()
        .map(|body| from_json(body))
        .collect()
}

fn to_json(value: &impl Serialize) -> Result<Vec<u8>, StoreError> {
    serde_json::to_vec(value).map_err(|error| StoreError::Damaged {
        what: format!("a view that can't be written: {error}"),
    })
}

fn from_json<T: DeserializeOwned>(body: &[u8]) -> Result<T, StoreError> {
    serde_json::from_slice(body).map_err(|error| StoreError::Damaged {
        what: format!("a view that can't be read: {error}"),
    })
}
