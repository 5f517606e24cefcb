//! What is really wrong, how it shows in tests before and after, what is done about it and what that costs.
//!
//! The numbers are plausible, not measured. Temperatures and times are those of a hot-air tool at the nozzle; common practice,
//! no source.

use domain::fact::{BoardSide, PartSource};
use domain::reading::Unit;

use super::remedy_table as table;
use crate::pictures::BoardState;

/// What is really wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// A shorted capacitor on the main rail.
    MainRail,
    /// The charging circuit.
    Charging,
    /// The picture or its light.
    Display,
    /// The touch circuit.
    Touch,
    /// The radio towards the network.
    Network,
    /// Microphones and sound.
    Microphones,
    /// Liquid.
    Liquid,
    /// Wi-Fi.
    Wifi,
    /// Storage.
    BootLoop,
    /// A laptop that shuts down.
    Laptop,
    /// Keys and sticks.
    Keys,
}

/// What a test gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gives {
    /// It works.
    Pass,
    /// It doesn't.
    Fail,
    /// A reading, with the instrument's uncertainty; empty for none.
    Reads(&'static str, &'static str),
    /// One of the test's answers.
    Says(&'static str),
    /// It could not be tested.
    Not(&'static str),
}

/// One test of a remedy.
#[derive(Debug, Clone, Copy)]
pub struct Trial {
    /// The test.
    pub code: &'static str,
    /// True when it shows the declared fault.
    pub shows_fault: bool,
    /// Before.
    pub before: Gives,
    /// After.
    pub after: Gives,
}

/// A part that is fitted.
#[derive(Debug, Clone, Copy)]
pub struct PartPlan {
    /// Its designator.
    pub designator: &'static str,
    /// What it is.
    pub description: &'static str,
    /// Where from.
    pub source: PartSource,
    /// Lot or donor board.
    pub lot: &'static str,
}

/// Heat.
#[derive(Debug, Clone, Copy)]
pub struct HeatPlan {
    /// Degrees Celsius.
    pub temperature_c: &'static str,
    /// Seconds.
    pub seconds: &'static str,
    /// Side.
    pub side: BoardSide,
    /// Neighbours.
    pub neighbours: &'static [&'static str],
    /// The tests that would show harm to them.
    pub tests: &'static [&'static str],
}

/// One step.
#[derive(Debug, Clone, Copy)]
pub struct StepPlan {
    /// What was done.
    pub text: &'static str,
    /// The tool.
    pub tool: &'static str,
    /// Parts.
    pub parts: &'static [PartPlan],
    /// Heat.
    pub heat: Option<HeatPlan>,
}

/// A reading on the board.
#[derive(Debug, Clone, Copy)]
pub struct ProbePlan {
    /// Where.
    pub point: &'static str,
    /// What was read.
    pub value: &'static str,
    /// The unit.
    pub unit: Unit,
    /// What it should be.
    pub expected: &'static str,
}

/// A fault from its tests to its price.
#[derive(Debug, Clone, Copy)]
pub struct Remedy {
    /// The tests the proof rests on.
    pub trials: &'static [Trial],
    /// What is thought to be wrong.
    pub diagnosis: &'static str,
    /// The suspected part.
    pub suspect: &'static str,
    /// Readings on the board.
    pub probes: &'static [ProbePlan],
    /// The work.
    pub steps: &'static [StepPlan],
    /// What the shop is told at the end.
    pub told: &'static str,
    /// The lines of the quote, in euro.
    pub lines: &'static [(&'static str, u32)],
    /// How the board looks before.
    pub board: BoardState,
}

impl Fault {
    /// What is done about it.
    pub const fn remedy(self) -> &'static Remedy {
        match self {
            Self::MainRail => &table::MAIN_RAIL,
            Self::Charging => &table::CHARGING,
            Self::Display => &table::DISPLAY,
            Self::Touch => &table::TOUCH,
            Self::Network => &table::NETWORK,
            Self::Microphones => &table::MICROPHONES,
            Self::Liquid => &table::LIQUID,
            Self::Wifi => &table::WIFI,
            Self::BootLoop => &table::BOOT_LOOP,
            Self::Laptop => &table::LAPTOP,
            Self::Keys => &table::KEYS,
        }
    }
}
