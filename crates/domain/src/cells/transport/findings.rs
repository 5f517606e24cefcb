//! The finding codes of the transport question and the condition they put a cell in.
//!
//! A code that nobody recorded says nothing: no finding at all counts as a cell that nobody has seen.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

/// The condition of a cell or battery for transport, from best to worst. The order is meant: the worst of several wins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "SCREAMING_SNAKE_CASE")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS), ts(rename = "CellCondition"))]
pub enum Condition {
    /// Seen, measured, nothing wrong.
    Sound,
    /// Nobody can say.
    Undiagnosed,
    /// Damaged, defective or recalled.
    Ddr,
    /// Reacting, or liable to.
    Critical,
}

impl Condition {
    /// The words on screens and papers.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Sound => "sound",
            Self::Undiagnosed => "not diagnosed",
            Self::Ddr => "damaged, defective or recalled",
            Self::Critical => "reacting, or liable to react",
        }
    }
}

macro_rules! codes {
    ($($(#[$doc:meta])* $code:ident = $condition:expr, $words:literal, $source:literal;)+) => {
        /// One finding about the cells of a parcel.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
        pub enum FindingCode {
            $($(#[$doc])* $code),+
        }

        impl FindingCode {
            /// Every code, in the order of a form.
            pub const ALL: &'static [Self] = &[$(Self::$code),+];

            /// The code as it is written.
            pub const fn code(self) -> &'static str {
                match self { $(Self::$code => stringify!($code)),+ }
            }

            /// What it says to people.
            pub const fn words(self) -> &'static str {
                match self { $(Self::$code => $words),+ }
            }

            /// Why it puts the cell in its condition.
            pub const fn source(self) -> &'static str {
                match self { $(Self::$code => $source),+ }
            }

            /// The condition it puts the cell in; `None` for what says nothing about the condition.
            pub const fn condition(self) -> Option<Condition> {
                match self { $(Self::$code => $condition),+ }
            }
        }
    };
}

const SOUND: Option<Condition> = Some(Condition::Sound);
const UNDIAGNOSED: Option<Condition> = Some(Condition::Undiagnosed);
const DDR: Option<Condition> = Some(Condition::Ddr);
const CRITICAL: Option<Condition> = Some(Condition::Critical);

codes! {
    /// Seen, measured, nothing wrong.
    F00 = SOUND, "battery seen, voltage and temperature taken, nothing wrong", "PHMSA letter 14-0163";
    /// Fault elsewhere, battery seen.
    F01 = SOUND, "fault only in screen, glass, board or port; battery seen and fine", "derived here";
    /// Not seen.
    F02 = UNDIAGNOSED, "device dead or sealed, battery not seen", "ADR special provision 376; IATA A154";
    /// Liquid, battery not seen.
    F03 = UNDIAGNOSED, "liquid reported or seen, battery not seen", "PHMSA guide: known misuse";
    /// Hard drop without a sign-off.
    F04 = UNDIAGNOSED, "hard drop or bent frame, battery looks fine, nobody has signed for it", "PHMSA guide: known misuse";
    /// Loses its charge.
    F05 = UNDIAGNOSED, "does not hold its charge, or its voltage drops oddly", "a university's battery safety page";
    /// Deeply discharged.
    F06 = UNDIAGNOSED, "a cell at 1.5 to 2.5 V at rest, cause unknown", "guides to over-discharged cells";
    /// Swollen.
    F10 = DDR, "swollen, or the back or screen is lifted", "PHMSA guide; ADR special provision 376";
    /// Dented, bent, crushed, cut, pierced.
    F11 = DDR, "dented, bent, crushed, cut or pierced", "ADR special provision 376";
    /// Leaking.
    F12 = DDR, "leaking, residue, or a smell of solvent", "ADR special provision 376";
    /// Scorched.
    F13 = DDR, "scorched or discoloured case", "ADR special provision 376";
    /// Bad terminals.
    F14 = DDR, "corroded terminals, bare tabs, torn insulation or flex", "PHMSA guide";
    /// Protection board.
    F15 = DDR, "protection board missing or bad", "ADR special provision 376";
    /// Liquid reached it.
    F16 = DDR, "liquid reached the battery", "PHMSA guide";
    /// Dead or overcharged.
    F17 = DDR, "a cell below 1.5 V, or below 2.0 V for over a week, or above its marked maximum", "guides to over-discharged cells; the condition is derived here";
    /// Recalled.
    F18 = DDR, "a recall notice covers it", "49 CFR 173.185(f); IATA A154";
    /// Called defective.
    F19 = DDR, "its maker, or a person with battery knowledge, calls it defective for safety", "49 CFR 173.185(f); ADR special provision 376";
    /// Vented.
    F20 = DDR, "has vented earlier, now cold", "ADR special provision 376";
    /// Hot.
    F30 = CRITICAL, "hot, heating itself, or its temperature rises", "ADR special provision 376, critical";
    /// Smoke and the like.
    F31 = CRITICAL, "smoke, hiss, pop, venting or flame", "ADR special provision 376, critical";
    /// Unknown type.
    F40 = None, "re-celled, unbranded or untraceable battery", "49 CFR 173.185(a)(1)";
    /// No rating.
    F41 = None, "no watt-hours on the case, and no volts and milliampere-hours", "49 CFR 173.185(c)(1)(i)";
}

/// Every condition that the findings put the cell in; the worst counts most. No finding about the condition: not diagnosed.
pub fn conditions(findings: &BTreeSet<FindingCode>) -> BTreeSet<Condition> {
    let found: BTreeSet<Condition> = findings
        .iter()
        .filter_map(|code| code.condition())
        .collect();
    if found.is_empty() {
        BTreeSet::from([Condition::Undiagnosed])
    } else {
        found
    }
}

/// The worst of them.
pub fn condition(findings: &BTreeSet<FindingCode>) -> Condition {
    conditions(findings)
        .into_iter()
        .next_back()
        .unwrap_or(Condition::Undiagnosed)
}
