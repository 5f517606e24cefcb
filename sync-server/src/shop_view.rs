//! From a subject's entries to what its shop may see: the fold of `domain`, cut down by its allow-list.
//!
//! Pure. The store calls it inside the transaction that takes entries in, and the portal reads nothing else. A field that
//! `domain::shop_view` doesn't list can't get here.

use domain::fact::{LabDescription, MarkPicture, ShopDescription};
use domain::shop_view::{ShopJob, ShopParcel, shop_job, shop_parcel};
use domain::{ContentHash, Recorded, Subject, fold_job, fold_lab, fold_parcel, fold_shop};
use serde::{Deserialize, Serialize};

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

/// The lab as its pages and papers name it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LabCard {
    /// Name, address, telephone number.
    #[serde(flatten)]
    pub description: LabDescription,
    /// What it sets itself on papers.
    #[serde(default)]
    pub own: LabOwn,
}

/// What a lab sets itself on the papers that a shop can make.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct LabOwn {
    /// The mark beside its name.
    pub mark: Option<MarkPicture>,
    /// The foot of every page; may be empty.
    pub foot: String,
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
    /// The lab's name, address and telephone number, its mark and its foot.
    Lab(Option<Box<LabCard>>),
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
        Subject::Lab(id) => {
            let lab = fold_lab(id, recorded);
            let foot = lab.texts.value().map_or("", |texts| texts.foot.as_str());
            let own = LabOwn {
                mark: lab.mark.value().and_then(|mark| mark.picture.clone()),
                foot: domain::fact::paragraphs(foot).join("  ·  "),
            };
            let description = lab.description.value().cloned();
            Projection::Lab(description.map(|description| Box::new(LabCard { description, own })))
        }
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
