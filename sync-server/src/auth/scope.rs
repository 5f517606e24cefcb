//! The proof that a request may see a lab's or a shop's data.
//!
//! The fields are private and the constructors visible to `auth` alone: a scope exists only because a credential was checked.

use domain::{LabId, PersonId, ShopId};

/// The right to act within one lab: held by a desktop that joined, and by the operator at the server's own command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LabScope {
    lab_id: LabId,
}

impl LabScope {
    pub(in crate::auth) const fn new(lab_id: LabId) -> Self {
        Self { lab_id }
    }

    /// The lab.
    pub const fn lab_id(&self) -> LabId {
        self.lab_id
    }
}

/// The right to see one shop's part of one lab: held by a signed-in user of that shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShopScope {
    lab: LabScope,
    shop_id: ShopId,
    person_id: PersonId,
}

impl ShopScope {
    pub(in crate::auth) const fn new(lab: LabScope, shop_id: ShopId, person_id: PersonId) -> Self {
        Self {
            lab,
            shop_id,
            person_id,
        }
    }

    /// The lab the shop works with.
    pub const fn lab(&self) -> &LabScope {
        &self.lab
    }

    /// The shop.
    pub const fn shop_id(&self) -> ShopId {
        self.shop_id
    }

    /// The user, who signs the portal's entries as their actor.
    pub const fn person_id(&self) -> PersonId {
        self.person_id
    }
}
