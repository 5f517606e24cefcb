//! Is a report that somebody holds this lab's, unaltered, and the newest? What is in the file is never trusted: only the seal,
//! this lab's own keys and its own log decide.

use domain::job::Marked;
use domain::report_check::{IssuedFound, ReportCheck, ReportEvidence, SealFound, judge_report};
use domain::{ContentHash, Fact, JobId, Recorded, Subject};
use logbook::ReportSeal;
use serde::Deserialize;
use sha2::{Digest as _, Sha256};

use crate::desk::Desk;
use crate::drawing;
use crate::error::DeskError;

/// Largest file that is looked at: a report of sixty photos stays below half of it.
pub(crate) const REPORT_BYTES_MAX: usize = 64 * 1024 * 1024;

/// The one field of a record that leads to its job.
#[derive(Deserialize)]
struct RecordHead {
    job_id: JobId,
}

impl Desk {
    /// Checks a report's PDF. Anything may be handed in; the answer says what it is.
    pub fn check_report(&self, pdf: &[u8]) -> Result<ReportCheck, DeskError> {
        if pdf.len() > REPORT_BYTES_MAX {
            return Err(DeskError::refused(
                "this file is larger than any report; choose the PDF that came with the device",
            ));
        }
        let record = papers::attached::beginning_with(pdf, drawing::RECORD_BEGINNING);
        let seal = papers::attached::beginning_with(pdf, ReportSeal::BEGINNING)
            .and_then(|bytes| serde_json::from_slice::<ReportSeal>(&bytes).ok());
        let file = hash(pdf);
        let record_digest = record.as_deref().map(hash);
        let head = record
            .as_deref()
            .and_then(|bytes| serde_json::from_slice::<RecordHead>(bytes).ok());
        let issued = head
            .map(|head| self.issued(head.job_id, file, record_digest))
            .transpose()?
            .flatten();
        Ok(judge_report(&ReportEvidence {
            record_found: record.is_some(),
            seal: self.judge_seal(seal.as_ref(), record_digest)?,
            issued,
        }))
    }

    fn judge_seal(
        &self,
        seal: Option<&ReportSeal>,
        record_digest: Option<ContentHash>,
    ) -> Result<SealFound, DeskError> {
        let Some(seal) = seal else {
            return Ok(SealFound::None);
        };
        if Some(seal.record_digest) != record_digest || !seal.is_good() {
            return Ok(SealFound::Broken);
        }
        if seal.lab_id != self.store.installation()?.lab_id.ok_or(DeskError::NoLab)? {
            return Ok(SealFound::OtherLab);
        }
        let known = self.store.stream_info(seal.stream_id)?;
        Ok(match known {
            Some(stream) if stream.public_key == seal.public_key => SealFound::Ours,
            _ => SealFound::UnknownKey,
        })
    }

    /// The report in the log with this file or this record, by the job that the record names.
    fn issued(
        &self,
        job_id: JobId,
        file: ContentHash,
        record_digest: Option<ContentHash>,
    ) -> Result<Option<IssuedFound>, DeskError> {
        let entries = self.entries(Subject::Job(job_id))?;
        let same = |recorded: &&Recorded| match recorded.fact() {
            Some(Fact::ReportIssued(report)) => {
                report.file == file || Some(report.digest) == record_digest
            }
            _ => false,
        };
        // Of several with the same record, the one with the same bytes is meant.
        let exact = entries.iter().filter(same).find(
            |recorded| matches!(recorded.fact(), Some(Fact::ReportIssued(report)) if report.file == file),
        );
        let Some(found) = exact.or_else(|| entries.iter().rfind(same)) else {
            return Ok(None);
        };
        let job = domain::fold_job(job_id, &entries);
        let standing = job
            .reports
            .iter()
            .any(|report| report.mark.entry_id == found.entry_id);
        let words = drawing::words(self)?;
        let made_ms = domain::Mark::from(found).at_ms;
        Ok(Some(IssuedFound {
            job_reference: job.reference.clone(),
            made_on: words.date(made_ms),
            same_file: exact.is_some(),
            withdrawn: !standing,
            newer_on: self
                .newest_report_ms(&job)?
                .filter(|newest_ms| *newest_ms > made_ms)
                .map(|newest_ms| words.date(newest_ms)),
        }))
    }

    /// When the newest report on this device was made: this job's, or that of a later stay of the same device.
    fn newest_report_ms(&self, job: &domain::job::Job) -> Result<Option<u64>, DeskError> {
        let latest = |reports: &[Marked<domain::fact::IssuedReport>]| {
            reports.iter().map(|report| report.mark.at_ms).max()
        };
        let mut newest = latest(&job.reports);
        let identifiers = job
            .identity
            .value()
            .map(|identity| identity.identifiers.clone())
            .unwrap_or_default();
        for identifier in &identifiers {
            for subject in self.look_up_identifier(&identifier.text)? {
                if let Subject::Job(other) = subject
                    && other != job.job_id
                {
                    newest = newest.max(latest(&self.job(other)?.reports));
                }
            }
        }
        Ok(newest)
    }
}

fn hash(bytes: &[u8]) -> ContentHash {
    ContentHash::from_bytes(Sha256::digest(bytes).into())
}
