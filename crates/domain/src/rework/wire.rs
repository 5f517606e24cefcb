//! What a jumper wire should read, and whether it does.
//!
//! The resistance follows from the copper alone: enamel does not count, and a two-wire meter reads its own leads on top.

use std::f64::consts::PI;

/// Annealed copper at 20 °C, in ohm metres: the International Annealed Copper Standard (NBS Handbook 100; from memory).
const COPPER_OHM_M: f64 = 1.7241e-8;
/// Its growth per kelvin from 20 °C (NBS Handbook 100; from memory).
const COPPER_PER_K: f64 = 0.003_93;
const REFERENCE_C: f64 = 20.0;
/// A jumper reads right within this share of what it should: 5 % in the diameter is about 10 % in the resistance, and as much
/// again for its length by eye. Common practice, no source.
const TOLERANCE_PERCENT: i64 = 20;

/// The wire that was used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(tag = "by", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Wire {
    /// By its American wire gauge, 20 to 56.
    Awg {
        /// The number.
        number: u8,
    },
    /// By the diameter of its copper, in micrometres.
    Diameter {
        /// Micrometres, 5 to 1000.
        diameter_um: u16,
    },
}

/// A wire that no jumper is made of.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WireError {
    /// The gauge.
    #[error(
        "a jumper wire has a gauge from 20 to 56, and {number} is not; for other wires give the diameter of the copper"
    )]
    Gauge {
        /// What was given.
        number: u8,
    },
    /// The diameter.
    #[error(
        "a jumper wire's copper is 0.005 to 1 mm thick, and {diameter_um} µm is not; give its diameter without the enamel"
    )]
    Diameter {
        /// What was given.
        diameter_um: u16,
    },
    /// The length.
    #[error("a jumper on a board is 0.1 to 500 mm long, and {length_um} µm is not")]
    Length {
        /// What was given.
        length_um: u32,
    },
}

impl Wire {
    /// Diameter of the copper in metres (ASTM B258: 0.127 mm times 92 to the power of (36 - n) / 39; from memory).
    fn diameter_m(self) -> Result<f64, WireError> {
        match self {
            Self::Awg { number } if (20..=56).contains(&number) => {
                Ok(0.127e-3 * 92f64.powf((36.0 - f64::from(number)) / 39.0))
            }
            Self::Awg { number } => Err(WireError::Gauge { number }),
            Self::Diameter { diameter_um } if (5..=1000).contains(&diameter_um) => {
                Ok(f64::from(diameter_um) * 1e-6)
            }
            Self::Diameter { diameter_um } => Err(WireError::Diameter { diameter_um }),
        }
    }

    /// What so much of the wire should read, in micro-ohms, at a temperature in tenths of a degree Celsius.
    pub fn expected_micro_ohm(
        self,
        length_um: u32,
        temperature_tenths_c: i32,
    ) -> Result<i64, WireError> {
        if !(100..=500_000).contains(&length_um) {
            return Err(WireError::Length { length_um });
        }
        let diameter_m = self.diameter_m()?;
        let area_m2 = PI * diameter_m * diameter_m / 4.0;
        let warmer_k = f64::from(temperature_tenths_c) / 10.0 - REFERENCE_C;
        let ohm = COPPER_OHM_M * (f64::from(length_um) * 1e-6) / area_m2
            * (1.0 + COPPER_PER_K * warmer_k);
        // At most 500 mm of 5 µm wire: some 440 ohm, far within range.
        #[expect(
            clippy::cast_possible_truncation,
            reason = "rounded, and bounded by the checks above"
        )]
        Ok((ohm * 1e6).round() as i64)
    }

    /// The wire in words.
    pub fn words(self) -> String {
        match self {
            Self::Awg { number } => format!("AWG {number}"),
            Self::Diameter { diameter_um } => {
                format!(
                    "{} mm wire",
                    crate::reading::format_micro(i64::from(diameter_um) * 1000)
                )
            }
        }
    }
}

/// What was read over a jumper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JumperReading {
    /// Over the jumper, in micro-ohms.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub measured_micro_ohm: i64,
    /// With the probes held together, in micro-ohms; 0 with four wires.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub leads_micro_ohm: i64,
    /// The meter's expanded uncertainty, in micro-ohms.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub meter_micro_ohm: i64,
}

/// How a reading compares with what the wire should read.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JumperVerdict {
    /// Whether it reads as it should.
    pub accepted: bool,
    /// What it should read, in micro-ohms.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub expected_micro_ohm: i64,
    /// By how much it may differ, in micro-ohms.
    #[cfg_attr(feature = "ts-rs", ts(type = "number"))]
    pub tolerance_micro_ohm: i64,
    /// One sentence.
    pub words: String,
}

/// Judges a jumper: measured less leads, against expected, within 20 % or the meter's uncertainty, whichever is more.
pub fn judge_jumper(reading: &JumperReading, expected_micro_ohm: i64) -> JumperVerdict {
    let tolerance = (expected_micro_ohm * TOLERANCE_PERCENT / 100).max(reading.meter_micro_ohm);
    let own = reading.measured_micro_ohm - reading.leads_micro_ohm;
    let apart = own - expected_micro_ohm;
    let accepted = apart.abs() <= tolerance;
    let says = if accepted {
        "as such a wire should"
    } else if apart > 0 {
        "too much: look at its joints, and at its length and gauge as recorded"
    } else {
        "too little: something else joins the two ends, or the probes' own resistance was taken off twice"
    };
    JumperVerdict {
        accepted,
        expected_micro_ohm,
        tolerance_micro_ohm: tolerance,
        words: format!(
            "It reads {} without the leads, {says} (expected {} ± {}).",
            ohm_words(own),
            ohm_words(expected_micro_ohm),
            ohm_words(tolerance)
        ),
    }
}

/// As a meter shows it: milliohms to a tenth below one ohm, ohms to a thousandth above.
fn ohm_words(micro_ohm: i64) -> String {
    const OHM: i64 = 1_000_000;
    // Half away from zero, to a whole number of `step` micro-ohms.
    let rounded = |step: i64| (micro_ohm + micro_ohm.signum() * step / 2) / step * step;
    if micro_ohm.abs() < OHM {
        format!("{} mΩ", crate::reading::format_micro(rounded(100) * 1000))
    } else {
        format!("{} Ω", crate::reading::format_micro(rounded(1000)))
    }
}
