//! The findings of a cell check: codes that are stored, and the words for them.

use serde::{Deserialize, Serialize};

macro_rules! findings {
    ($($(#[$doc:meta])* $variant:ident = $code:literal, $words:literal;)+) => {
        /// One thing seen, smelt, felt or known about a cell.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
        pub enum CellFinding {
            $(
                $(#[$doc])*
                #[serde(rename = $code)]
                $variant,
            )+
        }

        impl CellFinding {
            /// Every finding, in the order in which a form lists them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The code that is stored. Never changes.
            pub const fn code(self) -> &'static str {
                match self { $(Self::$variant => $code),+ }
            }

            /// What it says to people.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$variant => $words),+ }
            }
        }
    };
}

findings! {
    /// Seen, and nothing is wrong with it.
    NothingWrong = "nothing_wrong", "seen, nothing wrong";
    /// The device has not been opened, or the cell is hidden.
    NotSeen = "not_seen", "not seen";
    /// There is no cell in the device.
    Missing = "missing", "missing";
    /// Bulging, or the back or screen is lifted by it.
    Swollen = "swollen", "swollen, or the back or screen is lifted";
    /// Cut or punctured.
    Pierced = "pierced", "cut or pierced";
    /// Dented, bent or crushed.
    Bent = "bent", "dented, bent or crushed";
    /// Wet, or with residue of electrolyte.
    Leaking = "leaking", "leaking, or residue on it";
    /// A sweet or sharp smell, as of nail varnish remover.
    SolventSmell = "solvent_smell", "smells of solvent";
    /// Hot to the touch with nothing connected.
    Hot = "hot", "hot with nothing connected";
    /// Its temperature rises from one reading to the next.
    Warming = "warming", "growing warmer by itself";
    /// Smoke or vapour.
    Smoking = "smoking", "smoking";
    /// Hissing, popping or crackling.
    Hissing = "hissing", "hissing or popping";
    /// In flames.
    Burning = "burning", "burning";
    /// Scorch marks or discoloured, cold now.
    Burnt = "burnt", "scorched or discoloured";
    /// Has vented before and is cold now.
    Vented = "vented", "has vented earlier";
    /// Powder or corrosion on the connector.
    ConnectorCorroded = "connector_corroded", "connector corroded, or powder on it";
    /// Bare tabs, torn insulation or flex.
    BareConductor = "bare_conductor", "bare tabs, or torn insulation or flex";
    /// The protection board is missing or bad.
    ProtectionFault = "protection_fault", "protection board missing or faulty";
    /// Liquid has reached the cell.
    WaterReachedIt = "water_reached_it", "water reached it";
    /// Water is reported or seen in the device; whether it reached the cell is not known.
    WaterNearIt = "water_near_it", "water in the device, unknown whether it reached the cell";
    /// A hard drop or a bent frame, though the cell looks fine.
    HardDrop = "hard_drop", "hard drop or bent frame, the cell looks fine";
    /// Will not hold charge, or its voltage drops oddly.
    LosesCharge = "loses_charge", "does not hold its charge";
    /// A recall notice or the maker names it as defective.
    Recalled = "recalled", "recalled, or called defective by its maker";
    /// Not the maker's own, re-celled, or without a mark.
    NotTheMakers = "not_the_makers", "not the maker's, or of unknown origin";
}
