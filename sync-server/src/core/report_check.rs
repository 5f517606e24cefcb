//! Is a report that a shop's user holds one of this lab's for this shop, unaltered, and the newest?
//!
//! What is in the file is never trusted, and nothing of it is kept. A report on another shop's job is answered exactly like one
//! that isn't known here: ownership is asked before anything of the job is read.

use domain::calendar::Zone;
use domain::job::Job;
use domain::report_check::{
    IssuedFound, RECORD_BEGINNING, RecordHead, ReportCheck, ReportEvidence, ReportStanding,
    SealFound, find_in_trail, judge_report, newest_report_ms,
};
use domain::{ContentHash, JobId, Subject, fold_job};
use logbook::ReportSeal;
use sha2::{Digest as _, Sha256};

use super::Core;
use crate::auth::ShopScope;
use crate::store::StoreError;

/// Said alike of another shop's report and of one whose entry isn't here: the answer must not tell them apart.
const NOT_AMONG_YOURS: &str = "This report is sealed by one of our desktops, and it is not among those of your shop that are known \
    here. If it came with a device of yours, try again later: its entry may still be on its way.";

impl Core {
    /// Checks a report's PDF for a shop. Anything may be handed in; days are said on the clock of `zone`.
    pub fn check_report(
        &self,
        scope: &ShopScope,
        pdf: &[u8],
        zone: Option<&Zone>,
    ) -> Result<ReportCheck, StoreError> {
        let record = papers::attached::beginning_with(pdf, RECORD_BEGINNING);
        let seal = papers::attached::beginning_with(pdf, ReportSeal::BEGINNING)
            .and_then(|bytes| serde_json::from_slice::<ReportSeal>(&bytes).ok());
        let record_digest = record.as_deref().map(hash);
        let head = record
            .as_deref()
            .and_then(|bytes| serde_json::from_slice::<RecordHead>(bytes).ok());
        let issued = match head {
            Some(head) => self.issued(scope, head.job_id, hash(pdf), record_digest, zone)?,
            None => None,
        };
        let mut check = judge_report(&ReportEvidence {
            record_found: record.is_some(),
            seal: self.seal_found(scope, seal.as_ref(), record_digest)?,
            issued,
        });
        if check.standing == ReportStanding::NotKnownYet {
            NOT_AMONG_YOURS.clone_into(&mut check.words);
        }
        Ok(check)
    }

    fn seal_found(
        &self,
        scope: &ShopScope,
        seal: Option<&ReportSeal>,
        record_digest: Option<ContentHash>,
    ) -> Result<SealFound, StoreError> {
        let Some(seal) = seal else {
            return Ok(SealFound::None);
        };
        let Some(lab_id) = self.store().lab()?.lab_id else {
            return Ok(SealFound::UnknownKey);
        };
        seal.standing(record_digest, lab_id, |stream_id| {
            let heads = self.store().heads(scope.lab(), self.now_ms())?;
            let known = heads
                .streams
                .into_iter()
                .find(|head| head.stream.stream_id == stream_id);
            Ok(known.map(|head| head.stream.public_key))
        })
    }

    fn issued(
        &self,
        scope: &ShopScope,
        job_id: JobId,
        file: ContentHash,
        record_digest: Option<ContentHash>,
        zone: Option<&Zone>,
    ) -> Result<Option<IssuedFound>, StoreError> {
        if self.store().job(scope, job_id)?.is_none() {
            return Ok(None);
        }
        let entries = self.store().recorded(scope.lab(), Subject::Job(job_id))?;
        let Some(found) = find_in_trail(job_id, &entries, file, record_digest) else {
            return Ok(None);
        };
        let newer_ms = self.newer_report_ms(scope, &found.job, found.made_ms)?;
        Ok(Some(IssuedFound {
            job_reference: found.job.reference.clone(),
            made_on: day(found.made_ms, zone),
            same_file: found.same_file,
            withdrawn: found.withdrawn,
            newer_on: newer_ms.map(|newer_ms| day(newer_ms, zone)),
        }))
    }

    /// When a newer report on the same device was made, among this shop's jobs alone.
    fn newer_report_ms(
        &self,
        scope: &ShopScope,
        job: &Job,
        made_ms: u64,
    ) -> Result<Option<u64>, StoreError> {
        let mut newest = newest_report_ms(job);
        let wanted = identifiers(job);
        for other in self.store().jobs(scope)? {
            let is_later = |ms: u64| Some(ms) > newest && ms > made_ms;
            let later = other
                .report
                .as_ref()
                .is_some_and(|report| is_later(report.at_ms));
            if !later || other.job_id == job.job_id || wanted.is_empty() {
                continue;
            }
            let entries = self
                .store()
                .recorded(scope.lab(), Subject::Job(other.job_id))?;
            let other = fold_job(other.job_id, &entries);
            if identifiers(&other).iter().any(|text| wanted.contains(text)) {
                newest = newest.max(newest_report_ms(&other));
            }
        }
        Ok(newest.filter(|newest_ms| *newest_ms > made_ms))
    }
}

/// The identifiers that were read off the device at the look-over.
fn identifiers(job: &Job) -> Vec<String> {
    job.identity.value().map_or_else(Vec::new, |identity| {
        identity
            .identifiers
            .iter()
            .map(|identifier| identifier.text.clone())
            .collect()
    })
}

/// `25 November 2026`, in UTC where the lab's zone isn't known.
fn day(at_ms: u64, zone: Option<&Zone>) -> String {
    let at_ms = i64::try_from(at_ms).unwrap_or(i64::MAX);
    let local = zone.and_then(|zone| zone.local(at_ms).ok());
    let local = local.unwrap_or_else(|| {
        let at = jiff::Timestamp::from_millisecond(at_ms).unwrap_or_default();
        jiff::tz::Offset::UTC.to_datetime(at)
    });
    local.strftime("%-d %B %Y").to_string()
}

fn hash(bytes: &[u8]) -> ContentHash {
    ContentHash::from_bytes(Sha256::digest(bytes).into())
}
