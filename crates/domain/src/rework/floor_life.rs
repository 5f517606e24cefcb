//! How long a moisture-sensitive part may lie open before it is soldered, and what baking gives back.
//!
//! Figures: J-STD-020 and J-STD-033, floor life at no more than 30 °C and 60 % relative humidity, as widely reprinted; bake
//! hours from an older revision (eesemi.com), rows from memory left out. The label on the bag comes first. The clock runs
//! only while a part is exposed, and an unknown history counts as used up.

use serde::{Deserialize, Serialize};

/// Moisture sensitivity level, as on the bag's label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum MoistureLevel {
    /// Not sensitive.
    #[serde(rename = "1")]
    L1,
    /// One year.
    #[serde(rename = "2")]
    L2,
    /// Four weeks.
    #[serde(rename = "2a")]
    L2a,
    /// 168 hours.
    #[serde(rename = "3")]
    L3,
    /// 72 hours.
    #[serde(rename = "4")]
    L4,
    /// 48 hours.
    #[serde(rename = "5")]
    L5,
    /// 24 hours.
    #[serde(rename = "5a")]
    L5a,
    /// To be baked before each use, then used within the time on its label.
    #[serde(rename = "6")]
    L6,
}

impl MoistureLevel {
    /// All levels, in order.
    pub const ALL: &'static [Self] = &[
        Self::L1,
        Self::L2,
        Self::L2a,
        Self::L3,
        Self::L4,
        Self::L5,
        Self::L5a,
        Self::L6,
    ];

    /// As printed on labels.
    pub const fn label(self) -> &'static str {
        match self {
            Self::L1 => "1",
            Self::L2 => "2",
            Self::L2a => "2a",
            Self::L3 => "3",
            Self::L4 => "4",
            Self::L5 => "5",
            Self::L5a => "5a",
            Self::L6 => "6",
        }
    }

    /// Hours out of the bag; `None` for level 1, which has no clock, and level 6, whose time stands on its label.
    pub const fn hours(self) -> Option<u32> {
        match self {
            Self::L1 | Self::L6 => None,
            Self::L2 => Some(8760),
            Self::L2a => Some(672),
            Self::L3 => Some(168),
            Self::L4 => Some(72),
            Self::L5 => Some(48),
            Self::L5a => Some(24),
        }
    }
}

/// A time out of the bag.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Exposure {
    /// When the bag was opened, in milliseconds since 1970.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub opened_ms: i64,
    /// When it was closed again; `None` while it is open.
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub closed_ms: Option<i64>,
}

/// What is known of a lot's history.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Moisture {
    /// The level on its label.
    pub level: MoistureLevel,
    /// For level 6, the hours on its label.
    pub label_hours: Option<u32>,
    /// Each time out of the bag; empty when it was never opened.
    pub exposures: Vec<Exposure>,
    /// When it was last baked to the end, in milliseconds since 1970.
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub baked_ms: Option<i64>,
    /// True when nobody knows how long it lay open before it came here.
    pub history_unknown: bool,
}

/// What is left of the floor life.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct FloorLife {
    /// Whether the part may be soldered without a bake.
    pub usable: bool,
    /// Milliseconds exposed since the last bake, or since it came.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub exposed_ms: i64,
    /// Milliseconds left; `None` without a limit, or when it is used up or unknown.
    #[cfg_attr(feature = "ts-rs", ts(type = "number | null"))]
    pub left_ms: Option<i64>,
    /// One sentence.
    pub words: String,
}

const HOUR_MS: i64 = 3_600_000;

/// How much floor life is left at a time. Exactly at the limit is still within it.
pub fn floor_life(moisture: &Moisture, now_ms: i64) -> FloorLife {
    let exposed_ms = exposed_ms(moisture, now_ms);
    let answer = |usable, left_ms, words: String| FloorLife {
        usable,
        exposed_ms,
        left_ms,
        words,
    };
    let level = moisture.level.label();
    if moisture.level == MoistureLevel::L1 {
        return answer(true, None, "Level 1: it has no floor life.".to_owned());
    }
    if moisture.history_unknown && moisture.baked_ms.is_none() {
        return answer(
            false,
            None,
            format!("Level {level} of unknown history counts as used up: bake it first."),
        );
    }
    if moisture.level == MoistureLevel::L6 && moisture.baked_ms.is_none() {
        return answer(
            false,
            None,
            "Level 6: bake it before use, then solder it within the time on its label.".to_owned(),
        );
    }
    let Some(hours) = moisture.level.hours().or(moisture.label_hours) else {
        return answer(
            false,
            None,
            "Level 6: enter the hours on its label.".to_owned(),
        );
    };
    let left_ms = i64::from(hours) * HOUR_MS - exposed_ms;
    if left_ms < 0 {
        let over = (-left_ms + HOUR_MS - 1) / HOUR_MS;
        return answer(
            false,
            None,
            format!(
                "Level {level}: its {hours} h are over by {over} h or less. Bake it before it is heated."
            ),
        );
    }
    answer(
        true,
        Some(left_ms),
        format!(
            "Level {level}: {} h of its {hours} h are left.",
            left_ms / HOUR_MS
        ),
    )
}

/// The time spent open after the last bake. What lies before the bake, or after `now`, does not count.
fn exposed_ms(moisture: &Moisture, now_ms: i64) -> i64 {
    let from_ms = moisture.baked_ms.unwrap_or(i64::MIN);
    moisture
        .exposures
        .iter()
        .map(|exposure| {
            let opened = exposure.opened_ms.max(from_ms);
            let closed = exposure.closed_ms.unwrap_or(now_ms).min(now_ms);
            closed.saturating_sub(opened).max(0)
        })
        .sum()
}

/// Hours in the oven at 125 °C.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BakeHours {
    /// When it may be saturated: at 30 °C and 85 % for long, or unknown.
    pub saturated: u32,
    /// When its floor life was passed by no more than 72 h at 30 °C and 60 %.
    pub little_over: u32,
}

/// How long a part is baked at 125 °C, by its thickness; `None` where the table was not readable: ask the part's maker.
///
/// J-STD-033, user-site bake, as reprinted at eesemi.com (older revision). Trays and tape may not stand 125 °C.
pub fn bake_hours(level: MoistureLevel, thickness_um: u32) -> Option<BakeHours> {
    let thin = match level {
        MoistureLevel::L2a => (5, 3),
        MoistureLevel::L3 => (9, 7),
        MoistureLevel::L4 => (11, 7),
        MoistureLevel::L5 => (12, 7),
        MoistureLevel::L5a => (16, 10),
        _ => return None,
    };
    let middle = match level {
        MoistureLevel::L2a => Some((21, 16)),
        MoistureLevel::L3 => Some((27, 17)),
        MoistureLevel::L4 => Some((34, 20)),
        MoistureLevel::L5 => Some((40, 25)),
        _ => None,
    };
    let (saturated, little_over) = match thickness_um {
        0..=1400 => thin,
        1401..=2000 => middle?,
        _ => return None,
    };
    Some(BakeHours {
        saturated,
        little_over,
    })
}
