//! What can be said of a return report that somebody holds: is it this lab's, is it unaltered, is it the newest.
//!
//! The callers look inside the file, check the seal and search their log; here it is judged and said in words. A file is never
//! called genuine for its looks, and “unaltered” is said of the whole file only when its every byte is what the lab made.

use serde::{Deserialize, Serialize};

use crate::job::Job;
use crate::{ContentHash, Fact, JobId, Mark, Recorded, fold_job};

/// How the bytes of every record begin, whatever its form.
pub const RECORD_BEGINNING: &[u8] = b"{\"form\":\"waybench return report, ";

/// The one field of a record that leads to its job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub struct RecordHead {
    /// The job that the record says it is about.
    pub job_id: JobId,
}

/// A report of a job's trail that is the one somebody holds.
#[derive(Debug, Clone)]
pub struct InTrail {
    /// The job as it stands.
    pub job: Job,
    /// When the report was made, in milliseconds since 1970.
    pub made_ms: u64,
    /// Whether the file's bytes are those that the lab made.
    pub same_file: bool,
    /// Whether the lab has withdrawn it.
    pub withdrawn: bool,
}

/// Looks in a job's entries for the report with this file or this record. Of several with the same record, the one with the
/// same bytes is meant, else the last.
pub fn find_in_trail(
    job_id: JobId,
    entries: &[Recorded],
    file: ContentHash,
    record_digest: Option<ContentHash>,
) -> Option<InTrail> {
    let issued = |recorded: &&Recorded, wanted: &dyn Fn(&crate::fact::IssuedReport) -> bool| matches!(recorded.fact(), Some(Fact::ReportIssued(report)) if wanted(report));
    let exact = entries
        .iter()
        .find(|recorded| issued(recorded, &|report| report.file == file));
    let found = exact.or_else(|| {
        entries
            .iter()
            .rfind(|recorded| issued(recorded, &|report| Some(report.digest) == record_digest))
    })?;
    let job = fold_job(job_id, entries);
    let stands = job
        .reports
        .iter()
        .any(|report| report.mark.entry_id == found.entry_id);
    Some(InTrail {
        job,
        made_ms: Mark::from(found).at_ms,
        same_file: exact.is_some(),
        withdrawn: !stands,
    })
}

/// When a job's newest standing report was made, in milliseconds since 1970.
pub fn newest_report_ms(job: &Job) -> Option<u64> {
    job.reports.iter().map(|report| report.mark.at_ms).max()
}

/// What was found out about a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportEvidence {
    /// Whether a record of a report lies inside.
    pub record_found: bool,
    /// The seal beside it.
    pub seal: SealFound,
    /// The report in this lab's log that has the same file or the same record.
    pub issued: Option<IssuedFound>,
}

/// The seal inside a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SealFound {
    /// There is none, or it can't be read.
    None,
    /// It doesn't fit the record, or its signature is wrong.
    Broken,
    /// It is good, under a key that this lab's log knows.
    Ours,
    /// It is good, in the name of this lab, under a key that its log doesn't know.
    UnknownKey,
    /// It is good, in the name of another lab.
    OtherLab,
}

/// A report that the log knows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IssuedFound {
    /// The job's reference.
    pub job_reference: String,
    /// The day it was made, in words.
    pub made_on: String,
    /// Whether the file's bytes are those that the lab made.
    pub same_file: bool,
    /// Whether the lab has withdrawn it.
    pub withdrawn: bool,
    /// The day on which a newer one was made for the same device, in words.
    pub newer_on: Option<String>,
}

/// The answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum ReportStanding {
    /// This lab's, unaltered, and the newest.
    Genuine,
    /// This lab's and unaltered, and a newer one exists.
    Superseded,
    /// This lab's and unaltered, and the lab has taken it back.
    Withdrawn,
    /// The record inside is this lab's; the pages around it are not as the lab made them.
    PagesUnproved,
    /// Sealed by this lab, and not known here yet.
    NotKnownYet,
    /// What is inside has been altered.
    Altered,
    /// Another lab's.
    OtherLab,
    /// No report of this program's.
    NoReport,
}

/// The answer with its words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ReportCheck {
    /// The answer.
    pub standing: ReportStanding,
    /// The job's reference, where the log knows the report.
    pub job_reference: Option<String>,
    /// One or two sentences for people.
    pub words: String,
}

/// Judges what was found.
pub fn judge_report(evidence: &ReportEvidence) -> ReportCheck {
    use ReportStanding as Standing;
    let answer = |standing, words: String| ReportCheck {
        standing,
        job_reference: evidence
            .issued
            .as_ref()
            .map(|issued| issued.job_reference.clone()),
        words,
    };
    if let Some(issued) = evidence.issued.as_ref().filter(|issued| issued.same_file) {
        let about = format!(
            "This is our report on job {}, made on {}, and not a byte of it has been changed.",
            issued.job_reference, issued.made_on
        );
        return match (&issued.newer_on, issued.withdrawn) {
            (_, true) => answer(
                Standing::Withdrawn,
                format!("{about} We have taken it back: it holds no longer."),
            ),
            (Some(newer_on), false) => answer(
                Standing::Superseded,
                format!("{about} A newer one was made on {newer_on}: ask for that one."),
            ),
            (None, false) => answer(
                Standing::Genuine,
                format!("{about} It is the newest for this device."),
            ),
        };
    }
    if !evidence.record_found {
        return answer(
            Standing::NoReport,
            "No whole report of a lab that works with Waybench is in this file: it is none, or it was damaged. Choose the PDF as it was sent, \
             not a scan or a print of it."
                .to_owned(),
        );
    }
    match (evidence.seal, &evidence.issued) {
        (SealFound::OtherLab, _) => answer(
            Standing::OtherLab,
            "This report is sealed by another lab. Ask that lab to check it.".to_owned(),
        ),
        (SealFound::Ours, Some(issued)) => answer(
            Standing::PagesUnproved,
            format!(
                "The record inside is ours, of job {}, and unaltered. But the file is not the one that we issued: another program saved \
                 it again, or somebody changed it. What its pages show can't be vouched for; ask for the original.",
                issued.job_reference
            ),
        ),
        (SealFound::Ours, None) => answer(
            Standing::NotKnownYet,
            "This report is sealed by one of our desktops, and its entry has not come here yet. Try again when that desktop has been in touch."
                .to_owned(),
        ),
        (SealFound::None | SealFound::Broken | SealFound::UnknownKey, _) => answer(
            Standing::Altered,
            "This is not as any of our desktops made it: what is inside and its seal don't belong together. Don't rely on it, and ask for \
             the original."
                .to_owned(),
        ),
    }
}

#[cfg(test)]
mod tests;
