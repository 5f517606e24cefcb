//! What the lab's own past says of a job's fault: shown where the fault is diagnosed and where its price is set.

use domain::history::{Ended, Past, Precedent, fault_of};
use domain::job::Job;
use domain::{ContentHash, JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::JobKey;
use super::quote::QuoteLineInput;
use crate::commands::JobRow;
use crate::desk::Desk;
use crate::drawing;
use crate::error::DeskError;
use crate::rows::{fault_code, model_code};

/// The past of one job's fault.
#[derive(Debug, Clone, PartialEq, Serialize, TS)]
pub struct PastView {
    /// The model, in words; empty when it is not described yet.
    pub model: String,
    /// The tests that show the fault, by their titles. Empty until they are chosen: then nothing can be told.
    pub fault: Vec<String>,
    /// What became of like jobs; none without a fault.
    pub past: Option<Past>,
    /// The lines of the quote of the job to go by, as they would be typed for this shop: amounts in another currency are left empty.
    pub quote_lines: Vec<QuoteLineInput>,
    /// How the figures are meant, in a sentence.
    pub definition: String,
}

/// An earlier stay of a device that came again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
pub struct EarlierStay {
    /// The job of that stay.
    pub row: JobRow,
    /// Whether it came back within the warranty of that stay; `None` where that stay gave none.
    pub in_warranty: Option<bool>,
    /// The same in words, with the day: “in warranty until 24 May 2027”.
    pub warranty: String,
    /// The report that went back with it.
    pub report: Option<ContentHash>,
}

/// At most so many like jobs are looked through, the latest first: more would not change a rate, and a person waits.
const JOBS_MAX: usize = 400;

/// Tells what became of like jobs.
pub fn past(desk: &Desk, request: JobKey) -> Result<PastView, DeskError> {
    let job = desk.job(request.job_id)?;
    let fault = fault_of(&job);
    let tests = job.tests.value().map_or(&[][..], |chosen| &chosen.tests);
    let titles = tests.iter().filter(|test| test.shows_fault);
    let device = job.device.value();
    let model = device.map_or_else(String::new, |device| {
        format!("{} {}", device.maker, device.model)
            .trim()
            .to_owned()
    });
    let past = if fault.is_empty() {
        None
    } else {
        let same_model = match device {
            Some(device) => desk.jobs_under(&[model_code(device)], job.job_id)?,
            None => Vec::new(),
        };
        let codes: Vec<String> = fault.iter().map(fault_code).collect();
        let same_fault = desk.jobs_under(&codes, job.job_id)?;
        let mut ended = Vec::new();
        for like in &same_fault {
            ended.push(Ended {
                job: like,
                came_back_ms: desk.came_back_ms(like)?,
            });
        }
        let same_model: Vec<&Job> = same_model.iter().collect();
        Some(domain::history::past(
            job.job_id,
            &fault,
            &same_model,
            &ended,
            desk.ports.clock.now_ms(),
        ))
    };
    let precedent = past.as_ref().and_then(|past| past.precedent.as_ref());
    Ok(PastView {
        model,
        quote_lines: match precedent {
            Some(precedent) => quote_lines(desk, &job, precedent)?,
            None => Vec::new(),
        },
        fault: titles.map(|test| test.title.clone()).collect(),
        past,
        definition: "Fixed means closed as repaired, of the jobs on this model in which a repair of this fault was tried; declined ones and \
                     those without a fault found do not count. The interval is Wilson’s. Bench time runs from the first step to the last test \
                     after. A comeback is the same device with the same fault; how repairs last is the product-limit estimate."
            .to_owned(),
    })
}

fn quote_lines(
    desk: &Desk,
    job: &Job,
    precedent: &Precedent,
) -> Result<Vec<QuoteLineInput>, DeskError> {
    let shop = job.shop_id.map(|shop_id| desk.shop_fold(shop_id));
    let shop = shop.transpose()?;
    let shop = shop.as_ref().and_then(|shop| shop.description.value());
    let lines = precedent.quote.iter().map(|line| QuoteLineInput {
        text: line.text.clone(),
        amount: shop
            .filter(|shop| shop.currency == line.amount.currency.code())
            .map_or_else(String::new, |_| line.amount.amount()),
    });
    Ok(lines.collect())
}

/// Earlier stays of a device that bears one of the same identifiers, the latest first. Whether a comeback is in warranty is
/// counted to the day on which it came in again, by the lab's calendar.
pub(super) fn earlier_stays(
    desk: &Desk,
    job: &Job,
    row: &JobRow,
) -> Result<Vec<EarlierStay>, DeskError> {
    let mut job_ids = Vec::new();
    for identifier in &row.identifiers {
        for subject in desk.look_up_identifier(identifier)? {
            // Ids are made in the order of time, so a smaller one is an earlier stay.
            if let Subject::Job(job_id) = subject
                && job_id < job.job_id
            {
                job_ids.push(job_id);
            }
        }
    }
    job_ids.sort_unstable_by(|a, b| b.cmp(a));
    job_ids.dedup();
    let zone = desk.zone()?;
    let back_ms = job
        .arrived
        .as_ref()
        .map_or(job.last_at_ms, |arrived| arrived.mark.at_ms);
    let back_on = zone
        .local_date(i64::try_from(back_ms).unwrap_or(i64::MAX))
        .ok();
    let mut stays = Vec::new();
    for job_id in job_ids {
        let Some(row) = desk.job_row(job_id)? else {
            continue;
        };
        let earlier = desk.job(job_id)?;
        let until = drawing::warranty_until(&earlier, &zone);
        let in_warranty = until.zip(back_on).map(|(until, back_on)| back_on <= until);
        stays.push(EarlierStay {
            row,
            in_warranty,
            warranty: match (until, in_warranty) {
                (Some(until), Some(true)) => format!("in warranty until {}", drawing::day(until)),
                (Some(until), _) => format!("out of warranty since {}", drawing::day(until)),
                (None, _) => "no warranty was given".to_owned(),
            },
            report: earlier.current_report().map(|report| report.value.file),
        });
    }
    Ok(stays)
}

impl Desk {
    /// The jobs kept under any of these codes, the latest first, without one.
    fn jobs_under(&self, codes: &[String], without: JobId) -> Result<Vec<Job>, DeskError> {
        let mut job_ids = Vec::new();
        for code in codes {
            for (_, subject) in self.store.lookup_code(code)? {
                if let Subject::Job(job_id) = subject
                    && job_id != without
                {
                    job_ids.push(job_id);
                }
            }
        }
        // Ids are made in the order of time.
        job_ids.sort_unstable_by(|a, b| b.cmp(a));
        job_ids.dedup();
        job_ids.truncate(JOBS_MAX);
        job_ids.into_iter().map(|job_id| self.job(job_id)).collect()
    }

    /// When the same device came in again with the same fault, after this job.
    fn came_back_ms(&self, job: &Job) -> Result<Option<u64>, DeskError> {
        let fault = fault_of(job);
        let identifiers = job
            .identity
            .value()
            .map_or(&[][..], |identity| &identity.identifiers);
        let mut back_ms: Option<u64> = None;
        for identifier in identifiers {
            for subject in self.look_up_identifier(&identifier.text)? {
                let Subject::Job(job_id) = subject else {
                    continue;
                };
                if job_id <= job.job_id {
                    continue;
                }
                let later = self.job(job_id)?;
                let same = fault_of(&later).iter().any(|code| fault.contains(code));
                if let (true, Some(arrived)) = (same, &later.arrived) {
                    let arrived_ms = arrived.mark.at_ms;
                    back_ms = Some(back_ms.map_or(arrived_ms, |known| known.min(arrived_ms)));
                }
            }
        }
        Ok(back_ms)
    }
}
