//! Is a report that somebody holds this lab's, unaltered, and the newest? What is in the file is never trusted: only the seal,
//! this lab's own keys and its own log decide.

use domain::report_check::{
    InTrail, IssuedFound, RECORD_BEGINNING, RecordHead, ReportCheck, ReportEvidence, SealFound,
    find_in_trail, judge_report, newest_report_ms,
};
use domain::{ContentHash, JobId, Subject};
use logbook::ReportSeal;
use sha2::{Digest as _, Sha256};

use crate::desk::Desk;
use crate::drawing;
use crate::error::DeskError;

/// Largest file that is looked at: a report of sixty photos stays below half of it.
pub(crate) const REPORT_BYTES_MAX: usize = 64 * 1024 * 1024;

impl Desk {
    /// Checks a report's PDF. Anything may be handed in; the answer says what it is.
    pub fn check_report(&self, pdf: &[u8]) -> Result<ReportCheck, DeskError> {
        if pdf.len() > REPORT_BYTES_MAX {
            return Err(DeskError::refused(
                "this file is larger than any report; choose the PDF that came with the device",
            ));
        }
        let record = papers::attached::beginning_with(pdf, RECORD_BEGINNING);
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
        let lab_id = self.store.installation()?.lab_id.ok_or(DeskError::NoLab)?;
        seal.standing(record_digest, lab_id, |stream_id| {
            let known = self.store.stream_info(stream_id)?;
            Ok(known.map(|stream| stream.public_key))
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
        let Some(found) = find_in_trail(job_id, &entries, file, record_digest) else {
            return Ok(None);
        };
        let InTrail { job, made_ms, .. } = &found;
        let words = drawing::words(self)?;
        Ok(Some(IssuedFound {
            job_reference: job.reference.clone(),
            made_on: words.date(*made_ms),
            same_file: found.same_file,
            withdrawn: found.withdrawn,
            newer_on: self
                .newest_report_ms(job)?
                .filter(|newest_ms| newest_ms > made_ms)
                .map(|newest_ms| words.date(newest_ms)),
        }))
    }

    /// When the newest report on this device was made: this job's, or that of a later stay of the same device.
    fn newest_report_ms(&self, job: &domain::job::Job) -> Result<Option<u64>, DeskError> {
        let mut newest = newest_report_ms(job);
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
                    newest = newest.max(newest_report_ms(&self.job(other)?));
                }
            }
        }
        Ok(newest)
    }
}

fn hash(bytes: &[u8]) -> ContentHash {
    ContentHash::from_bytes(Sha256::digest(bytes).into())
}
