//! What shops may see, as the store keeps it.

use domain::fact::{LabDescription, ShopDescription};
use domain::shop_view::{ShopJob, ShopParcel};
use domain::{ContentHash, JobId, ParcelId, ShopId};

use super::StoreError;
use crate::auth::{LabScope, ShopScope};
use crate::shop_view::LabOwn;

/// A return report that exists, as anybody who holds the paper may know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportRow {
    /// Digest of the data it was made from, 64 hexadecimal digits.
    pub digest: String,
    /// The job, for the shop whose it is.
    pub job_id: JobId,
    /// The shop whose it is.
    pub shop_id: ShopId,
    /// When it was made, in milliseconds since 1970.
    pub issued_ms: u64,
    /// Whether a later report of the same job stands in its place.
    pub is_replaced: bool,
}

/// One shop's devices and parcels, and the cards of lab and shops.
pub trait ShopStore {
    /// The shop's devices: those that wait for the shop first, those that are over last, latest change first.
    fn jobs(&self, scope: &ShopScope) -> Result<Vec<ShopJob>, StoreError>;

    /// One device of the shop; `None` alike for one that doesn't exist and one of another shop.
    fn job(&self, scope: &ShopScope, job_id: JobId) -> Result<Option<ShopJob>, StoreError>;

    /// The shop's parcels, latest change first.
    fn parcels(&self, scope: &ShopScope) -> Result<Vec<ShopParcel>, StoreError>;

    /// One parcel of the shop.
    fn parcel(
        &self,
        scope: &ShopScope,
        parcel_id: ParcelId,
    ) -> Result<Option<ShopParcel>, StoreError>;

    /// Whether an entry in the shop's scope names this file.
    fn may_fetch(&self, scope: &ShopScope, hash: &ContentHash) -> Result<bool, StoreError>;

    /// The lab's card, for any signed-in user.
    fn lab_card(&self, scope: &LabScope) -> Result<Option<LabDescription>, StoreError>;

    /// What the lab sets itself on papers; nothing as long as it has set nothing.
    fn lab_own(&self, scope: &LabScope) -> Result<LabOwn, StoreError>;

    /// A shop's card.
    fn shop_card(
        &self,
        scope: &LabScope,
        shop_id: ShopId,
    ) -> Result<Option<ShopDescription>, StoreError>;

    /// All shops by name, for the operator.
    fn shop_cards(&self, scope: &LabScope) -> Result<Vec<(ShopId, ShopDescription)>, StoreError>;

    /// The lab's public name and the report whose digest begins with `prefix`, if exactly one does. Anybody may ask.
    fn report(&self, prefix: &str) -> Result<Option<ReportRow>, StoreError>;

    /// The lab's name for pages that anybody sees; empty before there is one.
    fn lab_name(&self) -> Result<String, StoreError>;
}
