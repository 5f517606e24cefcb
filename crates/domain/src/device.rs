//! What a device is.

use serde::{Deserialize, Serialize};

/// The kinds of device the lab takes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum DeviceKind {
    /// A telephone.
    Phone,
    /// A tablet.
    Tablet,
    /// A laptop.
    Laptop,
    /// A handheld: game console, scanner, meter.
    Handheld,
}

impl DeviceKind {
    /// Every kind.
    pub const ALL: [Self; 4] = [Self::Phone, Self::Tablet, Self::Laptop, Self::Handheld];

    /// The word on screens and papers.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Phone => "phone",
            Self::Tablet => "tablet",
            Self::Laptop => "laptop",
            Self::Handheld => "handheld",
        }
    }
}
