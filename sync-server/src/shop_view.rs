//! From a subject's entries to what its shop may see: the fold of `domain`, cut down by its allow-list.
//!
//! Pure. The store calls it inside the transaction that takes entries in, and the portal reads nothing else. A field that
//! `domain::shop_view` doesn't list can't get here.

use domain::fact::{LabDescription, ShopDescription};
use domain::shop_view::{ShopJob, ShopParcel, shop_job, shop_parcel};
use domain::{ContentHash, Recorded, Subject, fold_job, fold_lab, fold_parcel, fold_shop};

/// Counts the shapes of what is stored of a view. It goes up by one whenever a field of a view comes, goes or changes, and the
/// store then builds all views again from the log. A test holds it to the shapes.
pub const VIEW_VERSION: i64 = 2;

/// A device as its shop sees it, and every report that was ever made for it: an old paper must still prove itself.
#[derive(Debug, Clone, PartialEq)]
pub struct JobView {
    /// What the shop sees.
    pub job: ShopJob,
    /// Digest and time (ms since 1970) of each report, oldest first.
    pub reports: Vec<(ContentHash, u64)>,
}

/// What one subject adds up to for shops.
#[derive(Debug, Clone, PartialEq)]
pub enum Projection {
    /// A device, once it has a shop.
    Job(Option<Box<JobView>>),
    /// A parcel, once it has a shop.
    Parcel(Option<ShopParcel>),
    /// A shop's name and address.
    Shop(Option<ShopDescription>),
    /// The lab's name, address and telephone number.
    Lab(Option<LabDescription>),
    /// Nothing that a shop sees.
    Nothing,
}

/// Folds the entries of one subject. They may come in any order and more than once.
pub fn project(subject: Subject, recorded: &[Recorded]) -> Projection {
    match subject {
        Subject::Job(id) => {
            let job = fold_job(id, recorded);
            let reports = job
                .reports
                .iter()
                .map(|report| (report.value.digest, report.mark.at_ms))
                .collect();
            Projection::Job(shop_job(&job).map(|job| Box::new(JobView { job, reports })))
        }
        Subject::Parcel(id) => Projection::Parcel(shop_parcel(&fold_parcel(id, recorded))),
        Subject::Shop(id) => Projection::Shop(fold_shop(id, recorded).description.value().cloned()),
        Subject::Lab(id) => Projection::Lab(fold_lab(id, recorded).description.value().cloned()),
        Subject::Person(_) | Subject::Cell(_) => Projection::Nothing,
    }
}

/// The files that a device's view names: only these can be fetched by its shop.
pub fn job_files(job: &ShopJob) -> Vec<ContentHash> {
    let photos = job.photos.iter().map(|photo| photo.hash);
    photos
        .chain(job.report.iter().map(|report| report.file))
        .collect()
}

/// The files that a parcel's view names.
pub fn parcel_files(parcel: &ShopParcel) -> Vec<ContentHash> {
    parcel.photos.iter().map(|photo| photo.hash).collect()
}

/// True for a device that has left or was destroyed: listed last.
pub fn is_over(job: &ShopJob) -> bool {
    use domain::job::Stage;
    matches!(job.stage, Stage::Returned | Stage::Destroyed)
}

#[cfg(test)]
mod tests;
