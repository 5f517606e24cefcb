//! The parcels on their way in, and when parcels went back.

use domain::fact::ParcelFinding;

use super::ParcelPlan;
use super::shops::ShopKey::{self, Elektra, Hoshi, Lasta, Nordljus};
use crate::pictures::ParcelState;

/// How far a parcel has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrival {
    /// Counted.
    Counted,
    /// Taken in, not counted.
    Received,
    /// Announced.
    Awaited,
}

/// What is seen on a parcel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Look {
    /// Nothing wrong.
    Sound,
    /// A corner is crushed.
    Crushed,
    /// It is wet.
    Wet,
    /// It was taped again.
    Retaped,
}

impl Look {
    /// The finding that is recorded.
    pub const fn finding(self) -> ParcelFinding {
        match self {
            Self::Sound => ParcelFinding::Sound,
            Self::Crushed => ParcelFinding::Crushed,
            Self::Wet => ParcelFinding::Wet,
            Self::Retaped => ParcelFinding::Retaped,
        }
    }

    /// The note that goes with it.
    pub const fn note(self) -> &'static str {
        match self {
            Self::Sound => "",
            Self::Crushed => "One corner pressed in about 3 cm; the padding inside held.",
            Self::Wet => "Wet on the lower left side, the contents dry.",
            Self::Retaped => "Taped a second time across the first tape, not with the shop's tape.",
        }
    }

    /// The picture.
    pub const fn picture(self) -> ParcelState {
        match self {
            Self::Sound => ParcelState::Sound,
            Self::Crushed => ParcelState::Crushed,
            Self::Wet => ParcelState::Wet,
            Self::Retaped => ParcelState::Retaped,
        }
    }
}

const fn parcel(shop: ShopKey, day: u32, look: Look, jobs: &'static [&'static str]) -> ParcelPlan {
    ParcelPlan {
        shop,
        day,
        announced: true,
        state: Arrival::Counted,
        look,
        jobs,
    }
}

/// Every parcel, in the order of the days. Nobody announced the one of day 5.
pub const PARCELS: &[ParcelPlan] = &[
    parcel(Elektra, 0, Look::Sound, &["e1", "e2", "e3"]),
    parcel(Nordljus, 0, Look::Sound, &["n1", "n2", "n3"]),
    parcel(Hoshi, 1, Look::Crushed, &["h1", "h2", "h3"]),
    parcel(Lasta, 2, Look::Sound, &["l1", "l2", "l3"]),
    parcel(Elektra, 3, Look::Retaped, &["e4", "e5", "e6"]),
    parcel(Nordljus, 4, Look::Sound, &["n4", "n5", "n6"]),
    ParcelPlan {
        shop: Lasta,
        day: 5,
        announced: false,
        state: Arrival::Counted,
        look: Look::Sound,
        jobs: &["l4", "l5"],
    },
    parcel(Hoshi, 6, Look::Sound, &["h4", "h5", "h6"]),
    parcel(Elektra, 7, Look::Wet, &["e7", "e8"]),
    parcel(Lasta, 8, Look::Sound, &["l6", "l7", "l8"]),
    parcel(Nordljus, 9, Look::Sound, &["n7", "n8", "n9"]),
    parcel(Hoshi, 10, Look::Sound, &["h7", "h8", "h11"]),
    parcel(Elektra, 11, Look::Sound, &["e9", "e10", "e11"]),
    parcel(Nordljus, 12, Look::Sound, &["n10", "n11", "n12"]),
    ParcelPlan {
        shop: Lasta,
        day: 13,
        announced: true,
        state: Arrival::Received,
        look: Look::Crushed,
        jobs: &["l9", "l10"],
    },
    ParcelPlan {
        shop: Hoshi,
        day: 14,
        announced: true,
        state: Arrival::Awaited,
        look: Look::Sound,
        jobs: &["h9", "h10"],
    },
];

/// A parcel that goes back: all that is ready for a shop at that time.
#[derive(Debug, Clone, Copy)]
pub struct ReturnPlan {
    /// The shop.
    pub shop: ShopKey,
    /// The business day.
    pub day: u32,
    /// False for one that is still being packed.
    pub shipped: bool,
}

/// Every parcel that goes back.
pub const RETURNS: &[ReturnPlan] = &[
    ReturnPlan {
        shop: Elektra,
        day: 4,
        shipped: true,
    },
    ReturnPlan {
        shop: Nordljus,
        day: 5,
        shipped: true,
    },
    ReturnPlan {
        shop: Hoshi,
        day: 6,
        shipped: true,
    },
    ReturnPlan {
        shop: Elektra,
        day: 6,
        shipped: true,
    },
    ReturnPlan {
        shop: Nordljus,
        day: 8,
        shipped: true,
    },
    ReturnPlan {
        shop: Lasta,
        day: 9,
        shipped: true,
    },
    ReturnPlan {
        shop: Hoshi,
        day: 11,
        shipped: true,
    },
    ReturnPlan {
        shop: Lasta,
        day: 13,
        shipped: true,
    },
    ReturnPlan {
        shop: Nordljus,
        day: 15,
        shipped: false,
    },
];

/// A device that a shop wanted to post and must not: recorded, not announced.
pub const REFUSED_ADVICE: (ShopKey, u32, &str) = (Elektra, 9, "Tavira M2");
