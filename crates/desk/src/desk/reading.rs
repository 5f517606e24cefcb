//! What the logbook says of shops, parcels, jobs and cells: their folds, their rows, and what a scanned code stands for.
//!
//! Nothing here records anything.

use std::collections::BTreeMap;

use domain::cells::bay::Cell;
use domain::house::Shop;
use domain::job::Job;
use domain::parcel::Parcel;
use domain::{CellId, JobId, ParcelId, Recorded, ShopId, Subject};
use serde::de::DeserializeOwned;

use super::Desk;
use crate::error::DeskError;
use crate::rows::{self, plain_code};
use crate::store::{Filter, Summary};
use crate::views::{CellRow, JobRow, ParcelRow, ShopBrief};

impl Desk {
    /// Every shop, by name.
    pub(crate) fn shops(&self) -> Result<Vec<ShopBrief>, DeskError> {
        let mut shops: Vec<ShopBrief> = self.rows(&Filter::all("shop"))?;
        shops.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(shops)
    }

    /// One shop in a line.
    pub(crate) fn shop_brief(&self, shop_id: ShopId) -> Result<Option<ShopBrief>, DeskError> {
        self.row(Subject::Shop(shop_id))
    }

    /// One shop.
    pub(crate) fn shop_fold(&self, shop_id: ShopId) -> Result<Shop, DeskError> {
        let entries = self.known_entries(Subject::Shop(shop_id), "shop")?;
        Ok(domain::fold_shop(shop_id, &entries))
    }

    /// The entries about a subject.
    pub(crate) fn entries(&self, subject: Subject) -> Result<Vec<Recorded>, DeskError> {
        Ok(self.store.entries_of(subject)?)
    }

    /// The entries about a subject that somebody recorded something about; `what` names it in the refusal.
    pub(super) fn known_entries(
        &self,
        subject: Subject,
        what: &'static str,
    ) -> Result<Vec<Recorded>, DeskError> {
        let entries = self.entries(subject)?;
        if entries.is_empty() {
            return Err(DeskError::NotFound { what });
        }
        Ok(entries)
    }

    /// One job.
    pub(crate) fn job(&self, job_id: JobId) -> Result<Job, DeskError> {
        let entries = self.known_entries(Subject::Job(job_id), "job")?;
        Ok(domain::fold_job(job_id, &entries))
    }

    /// One parcel.
    pub(crate) fn parcel(&self, parcel_id: ParcelId) -> Result<Parcel, DeskError> {
        let entries = self.known_entries(Subject::Parcel(parcel_id), "parcel")?;
        Ok(domain::fold_parcel(parcel_id, &entries))
    }

    /// One removed cell.
    pub(crate) fn cell(&self, cell_id: CellId) -> Result<Cell, DeskError> {
        let entries = self.known_entries(Subject::Cell(cell_id), "cell")?;
        Ok(domain::fold_cell(cell_id, &entries))
    }

    /// A job's row, with its shop's name.
    pub(crate) fn row_of(&self, job: &Job) -> Result<JobRow, DeskError> {
        let mut row = rows::job_row(job);
        row.shop_name = self.shop_name(row.shop_id)?;
        Ok(row)
    }

    /// A job's row as it is kept, with its shop's name.
    pub(crate) fn job_row(&self, job_id: JobId) -> Result<Option<JobRow>, DeskError> {
        let Some(mut row) = self.row::<JobRow>(Subject::Job(job_id))? else {
            return Ok(None);
        };
        row.shop_name = self.shop_name(row.shop_id)?;
        Ok(Some(row))
    }

    /// Rows of jobs that a filter lets through, with their shops' names.
    pub(crate) fn job_rows(&self, filter: &Filter) -> Result<Vec<JobRow>, DeskError> {
        self.named_rows(filter, |row: &mut JobRow| (row.shop_id, &mut row.shop_name))
    }

    /// A parcel's row as it is kept, with its shop's name.
    pub(crate) fn parcel_row(&self, parcel_id: ParcelId) -> Result<Option<ParcelRow>, DeskError> {
        let Some(mut row) = self.row::<ParcelRow>(Subject::Parcel(parcel_id))? else {
            return Ok(None);
        };
        row.shop_name = self.shop_name(row.shop_id)?;
        Ok(Some(row))
    }

    /// Rows of parcels that a filter lets through, with their shops' names.
    pub(crate) fn parcel_rows(&self, filter: &Filter) -> Result<Vec<ParcelRow>, DeskError> {
        self.named_rows(filter, |row: &mut ParcelRow| {
            (row.shop_id, &mut row.shop_name)
        })
    }

    /// Rows of removed cells that a filter lets through, with their shops' names.
    pub(crate) fn cell_rows(&self, filter: &Filter) -> Result<Vec<CellRow>, DeskError> {
        self.named_rows(filter, |row: &mut CellRow| {
            (row.shop_id, &mut row.shop_name)
        })
    }

    /// A removed cell's row as it is kept.
    pub(crate) fn cell_row(&self, cell_id: CellId) -> Result<Option<CellRow>, DeskError> {
        self.row(Subject::Cell(cell_id))
    }

    /// Rows that a filter lets through, each with the name of its shop, once that is known.
    fn named_rows<T: DeserializeOwned>(
        &self,
        filter: &Filter,
        shop_of: impl Fn(&mut T) -> (Option<ShopId>, &mut String),
    ) -> Result<Vec<T>, DeskError> {
        let names = self.shop_names()?;
        let mut rows: Vec<T> = self.rows(filter)?;
        for row in &mut rows {
            let (shop_id, name) = shop_of(row);
            *name = shop_id
                .and_then(|shop_id| names.get(&shop_id).cloned())
                .unwrap_or_default();
        }
        Ok(rows)
    }

    /// The name of a shop; empty as long as nobody knows which it is.
    pub(crate) fn shop_name(&self, shop_id: Option<ShopId>) -> Result<String, DeskError> {
        let shop = shop_id
            .map(|shop_id| self.shop_brief(shop_id))
            .transpose()?;
        Ok(shop.flatten().map_or_else(String::new, |shop| shop.name))
    }

    fn shop_names(&self) -> Result<BTreeMap<ShopId, String>, DeskError> {
        Ok(self
            .shops()?
            .into_iter()
            .map(|shop| (shop.shop_id, shop.name))
            .collect())
    }

    /// How many rows a filter lets through.
    pub(crate) fn count(&self, filter: &Filter) -> Result<u32, DeskError> {
        Ok(u32::try_from(self.store.projection_count(filter)?).unwrap_or(u32::MAX))
    }

    /// What a scanned code stands for.
    pub(crate) fn look_up_code(&self, text: &str) -> Result<Vec<Subject>, DeskError> {
        let code = plain_code(text);
        if code.is_empty() {
            return Ok(Vec::new());
        }
        let mut subjects: Vec<Subject> = self
            .store
            .lookup_code(&code)?
            .into_iter()
            .map(|(_, subject)| subject)
            .collect();
        subjects.sort();
        subjects.dedup();
        Ok(subjects)
    }

    /// The jobs of devices that bear an identifier, however it is written.
    pub(crate) fn look_up_identifier(&self, text: &str) -> Result<Vec<Subject>, DeskError> {
        rows::identifier_code(text).map_or(Ok(Vec::new()), |code| self.look_up_code(&code.text))
    }

    pub(super) fn rows<T: DeserializeOwned>(&self, filter: &Filter) -> Result<Vec<T>, DeskError> {
        self.store
            .projections(filter)?
            .iter()
            .map(parse_row)
            .collect()
    }

    fn row<T: DeserializeOwned>(&self, subject: Subject) -> Result<Option<T>, DeskError> {
        self.store
            .projection(subject)?
            .as_ref()
            .map(parse_row)
            .transpose()
    }
}

fn parse_row<T: DeserializeOwned>(summary: &Summary) -> Result<T, DeskError> {
    serde_json::from_str(&summary.summary_json).map_err(|source| DeskError::Request {
        command: "row".to_owned(),
        source,
    })
}
