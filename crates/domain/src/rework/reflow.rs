//! How hot and how long a package may be heated, as J-STD-020 classifies it, used as ceilings for rework.
//!
//! Figures: IPC/JEDEC J-STD-020 revision D as reprinted by component makers (reflow sheets of several), tin-lead cells in part
//! from memory. The temperature meant is that of the package's body, measured on its top, not that of the tool.

use serde::{Deserialize, Serialize};

use super::Alloy;

/// Which column of the table holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Finish {
    /// Lead-free.
    LeadFree,
    /// Tin-lead.
    TinLead,
}

/// A package's body without balls or leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PackageBody {
    /// Length in micrometres.
    pub length_um: u32,
    /// Width in micrometres.
    pub width_um: u32,
    /// Thickness in micrometres.
    pub thickness_um: u32,
}

/// Where a temperature was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum MeasuredAt {
    /// The tool's setting or its nozzle.
    #[default]
    Tool,
    /// The top of the package.
    Package,
}

/// A step's heat, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HeatSeen<'a> {
    /// The highest temperature, in degrees Celsius.
    pub peak_c: u16,
    /// Where.
    pub measured_at: MeasuredAt,
    /// Seconds at that temperature.
    pub seconds: u16,
    /// Seconds above the alloy's liquidus, if recorded.
    pub above_liquidus_s: Option<u16>,
    /// The alloy, if recorded.
    pub alloy: Option<&'a Alloy>,
    /// The body, if its size is known.
    pub body: Option<PackageBody>,
    /// Which heating of this part it is, the first being 1.
    pub pass: u32,
    /// Whether a cell is still connected or in the device; `None` when nobody said.
    pub cell_attached: Option<bool>,
}

/// Something to think about before or after heat. Never a permission.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HeatWarning {
    /// One sentence: what is too much, against what.
    pub text: String,
    /// Where the figure comes from.
    pub source: String,
}

const J020: &str = "IPC/JEDEC J-STD-020, revision D as reprinted by component makers; check the part's own data sheet";
const PRACTICE: &str = "common practice, no source";

/// Cubic micrometres in a cubic millimetre.
const MM3: u64 = 1_000_000_000;
/// At most so many reflow passes (a component maker's soldering note to J-STD-020).
const PASSES_MAX: u32 = 3;
/// Longest time above liquidus, both columns.
const ABOVE_LIQUIDUS_MAX_S: u16 = 150;
/// How near to the limit counts as near.
const NEAR_LIMIT_C: u16 = 5;

/// The classification temperature of a package: its body must not become hotter. Volumes exactly at a bound fall in the
/// higher class, thicknesses as the table prints them (1.6 to 2.5 mm inclusive).
pub fn peak_limit_c(finish: Finish, body: PackageBody) -> u16 {
    let volume_um3 = [body.length_um, body.width_um, body.thickness_um]
        .into_iter()
        .fold(1_u64, |volume, side| volume.saturating_mul(u64::from(side)));
    let (below_350, above_2000) = (volume_um3 < 350 * MM3, volume_um3 > 2000 * MM3);
    match finish {
        Finish::LeadFree => match (body.thickness_um, below_350, above_2000) {
            (0..1600, ..) | (1600..=2500, true, _) => 260,
            (1600..=2500, false, false) | (2501.., true, _) => 250,
            _ => 245,
        },
        Finish::TinLead if body.thickness_um < 2500 && below_350 => 235,
        Finish::TinLead => 220,
    }
}

/// Longest time within 5 °C of the limit: what a supplier must at least survive is what a user may at most do.
const fn near_limit_max_s(finish: Finish) -> u16 {
    match finish {
        Finish::LeadFree => 30,
        Finish::TinLead => 20,
    }
}

/// All that speaks against a step's heat, gravest first.
pub fn heat_warnings(heat: &HeatSeen<'_>) -> Vec<HeatWarning> {
    let mut warnings = Vec::new();
    let mut warn = |text: String, source: &str| {
        warnings.push(HeatWarning {
            text,
            source: source.to_owned(),
        });
    };
    match heat.cell_attached {
        Some(true) => warn(
            "A cell is still attached: take it off before any heat. A heated cell can vent and burn.".to_owned(),
            PRACTICE,
        ),
        None => warn(
            "Nobody has said whether the cell is off; heat near a cell can make it vent and burn.".to_owned(),
            PRACTICE,
        ),
        Some(false) => {}
    }
    body_warnings(heat, &mut warn);
    if let (Some(seconds), Some(alloy)) = (heat.above_liquidus_s, heat.alloy)
        && seconds > ABOVE_LIQUIDUS_MAX_S
    {
        let text = format!(
            "{seconds} s above {} °C, where {} is liquid, is longer than {ABOVE_LIQUIDUS_MAX_S} s.",
            alloy.liquidus_c, alloy.name
        );
        warn(text, J020);
    }
    if let Some(alloy) = heat.alloy
        && heat.peak_c < alloy.liquidus_c
    {
        let text = format!(
            "{} melts fully at {} °C, above the {} °C recorded: the joint may never have been liquid.",
            alloy.name, alloy.liquidus_c, heat.peak_c
        );
        warn(text, alloy.source);
    }
    if heat.pass > PASSES_MAX {
        let text = format!(
            "This is heating number {} of this part; {PASSES_MAX} are what packages are classified for.",
            heat.pass
        );
        warn(text, J020);
    }
    warnings
}

fn body_warnings(heat: &HeatSeen<'_>, warn: &mut impl FnMut(String, &str)) {
    let Some(body) = heat.body else { return };
    let finish = match heat.alloy {
        Some(alloy) if alloy.has_lead => Finish::TinLead,
        _ => Finish::LeadFree,
    };
    let limit_c = peak_limit_c(finish, body);
    match heat.measured_at {
        MeasuredAt::Package if heat.peak_c > limit_c => warn(
            format!(
                "{} °C on the package is above the {limit_c} °C that a body of this size is classified for.",
                heat.peak_c
            ),
            J020,
        ),
        MeasuredAt::Package
            if heat.peak_c + NEAR_LIMIT_C >= limit_c && heat.seconds > near_limit_max_s(finish) =>
        {
            warn(
                format!(
                    "{} s within {NEAR_LIMIT_C} °C of {limit_c} °C is longer than {} s.",
                    heat.seconds,
                    near_limit_max_s(finish)
                ),
                J020,
            );
        }
        MeasuredAt::Tool if heat.peak_c > limit_c => warn(
            format!(
                "The tool's {} °C is not the package's: its body may reach {limit_c} °C and no more. Measure on its top to know.",
                heat.peak_c
            ),
            J020,
        ),
        _ => {}
    }
}
