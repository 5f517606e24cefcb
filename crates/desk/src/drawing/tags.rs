//! Job tags: the label on the bag that a device stays in.

use domain::JobId;
use domain::cells::BenchLevel;
use domain::job::Job;
use domain::reference::JobRef;
use papers::model::{self, HazardMark, JobTag, JobTags, LabelGrid, PageSize};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::report::words;
use super::the_lab;
use super::words::{Words, day_of, joined};
use crate::desk::Desk;
use crate::error::DeskError;
use crate::views::{PaperFile, PaperSize};

/// What job tags are printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum TagStock {
    /// A roll 62 mm wide.
    Roll62Mm,
    /// Labels on an A4 sheet.
    SheetA4,
    /// Labels on a Letter sheet.
    SheetLetter,
}

impl Desk {
    /// Prints job tags. On a sheet the first goes on label `first_label`, counted from 1.
    pub(crate) fn job_tags(
        &self,
        job_ids: &[JobId],
        stock: TagStock,
        first_label: u32,
    ) -> Result<PaperFile, DeskError> {
        let words = words(self)?;
        let lab = the_lab(self)?;
        // Each stock has a name of its own, so that no sheet overwrites the roll.
        let suffix = match stock {
            TagStock::Roll62Mm => "roll",
            TagStock::SheetA4 => "a4",
            TagStock::SheetLetter => "letter",
        };
        let (stock, size) = paper_stock(stock, first_label)?;
        let jobs: Vec<Job> = job_ids
            .iter()
            .map(|job_id| self.job(*job_id))
            .collect::<Result<_, _>>()?;
        let first = jobs
            .first()
            .ok_or_else(|| DeskError::refused("choose at least one job to print a tag for"))?;
        let name = match jobs.len() {
            1 => format!("tag-{}-{suffix}.pdf", first.reference),
            count => format!(
                "tags-{}-and-{}-more-{suffix}.pdf",
                first.reference,
                count - 1
            ),
        };
        let last_at_ms = jobs.iter().map(|job| job.last_at_ms).max().unwrap_or(0);
        let tags = jobs
            .iter()
            .map(|job| self.job_tag(job, &words))
            .collect::<Result<_, _>>()?;
        let model = JobTags {
            meta: super::meta("Job tags".to_owned(), &lab, last_at_ms),
            stock,
            tags,
        };
        let pdf = papers::job_tags(&model, &super::setup(size))?;
        self.write_paper(&name, &pdf)
    }

    fn job_tag(&self, job: &Job, words: &Words) -> Result<JobTag, DeskError> {
        let row = self.row_of(job)?;
        let received = job.arrived.as_ref().map_or_else(String::new, |arrived| {
            format!("in {}", words.date(arrived.mark.at_ms))
        });
        let due = if row.promised_date.is_empty() {
            String::new()
        } else {
            format!("due {}", day_of(&row.promised_date))
        };
        Ok(JobTag {
            code: JobRef::of(job.job_id).qr_text(),
            job_ref: job.reference.clone(),
            shop: row.shop_name,
            device: row.device,
            identifier: row.identifiers.into_iter().next().unwrap_or_default(),
            bag: String::new(),
            note: joined([received.as_str(), due.as_str()], ", "),
            hazard: hazard(job),
        })
    }
}

fn hazard(job: &Job) -> Option<HazardMark> {
    let level = job.cell()?.judgement.level;
    let text = match level {
        BenchLevel::Clear => return None,
        BenchLevel::Watch => "do not charge; readings at the set times",
        BenchLevel::Isolate => "Cell bay; do not charge, do not open",
        BenchLevel::Emergency => "keep away; call the fire service",
    };
    Some(HazardMark {
        level: super::came::level(level),
        word: level.word().to_owned(),
        text: text.to_owned(),
    })
}

fn paper_stock(
    stock: TagStock,
    first_label: u32,
) -> Result<(model::TagStock, PaperSize), DeskError> {
    let size = match stock {
        TagStock::Roll62Mm => return Ok((model::TagStock::Roll62, PaperSize::A4)),
        TagStock::SheetA4 => PaperSize::A4,
        TagStock::SheetLetter => PaperSize::Letter,
    };
    let page: PageSize = super::page_size(size);
    let grid = LabelGrid::usual_for(page);
    let labels = grid.columns * grid.rows;
    if !(1..=labels).contains(&first_label) {
        return Err(DeskError::field(
            "first_label",
            format!("label {first_label} is not on the sheet; choose one from 1 to {labels}"),
        ));
    }
    Ok((
        model::TagStock::Sheet {
            grid,
            start_position: first_label,
        },
        size,
    ))
}
