//! A jumper wire as it is typed.

use domain::fact::Jumper;
use domain::reading::{ReadingError, Unit, parse_micro, parse_reading};
use domain::rework::{JumperReading, Wire};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::error::DeskError;

/// A jumper as typed.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, TS)]
pub struct JumperInput {
    /// The net, and from where to where when it has several.
    pub net: String,
    /// The wire: “AWG 40”, or the diameter of its copper such as “0.02 mm”.
    pub wire: String,
    /// Its length in millimetres.
    pub length_mm: String,
    /// What was read over it, in ohms or with a unit such as “474 mΩ”.
    pub measured: String,
    /// What the meter's leads read held together; empty for none, as with four wires.
    pub leads: String,
    /// The meter's expanded uncertainty; empty when not known.
    pub uncertainty: String,
    /// How warm the wire is, in degrees Celsius; empty for 20.
    pub wire_temperature_c: String,
}

/// Reads a jumper. Refuses only what no jumper can be.
pub(super) fn parse_jumper(input: &JumperInput) -> Result<Jumper, DeskError> {
    let net = input.net.trim().to_owned();
    if net.is_empty() {
        return Err(DeskError::field(
            "net",
            "name the net that the wire bridges",
        ));
    }
    let jumper = Jumper {
        net,
        wire: wire(&input.wire)?,
        length_um: length(&input.length_mm)?,
        temperature_tenths_c: temperature(&input.wire_temperature_c)?,
        reading: JumperReading {
            measured_micro_ohm: ohm("measured", &input.measured)?.ok_or_else(|| {
                DeskError::field("measured", "measure the wire and write its resistance")
            })?,
            leads_micro_ohm: ohm("leads", &input.leads)?.unwrap_or(0),
            meter_micro_ohm: ohm("uncertainty", &input.uncertainty)?.unwrap_or(0),
        },
    };
    jumper
        .wire
        .expected_micro_ohm(jumper.length_um, jumper.temperature_tenths_c)
        .map_err(|why| {
            let field = match why {
                domain::rework::WireError::Length { .. } => "length_mm",
                _ => "wire",
            };
            DeskError::field(field, why)
        })?;
    Ok(jumper)
}

fn wire(text: &str) -> Result<Wire, DeskError> {
    let plain = text.trim().to_lowercase();
    let refuse = || {
        DeskError::field(
            "wire",
            format!(
                "“{}” is no wire; write its gauge like AWG 40, or the diameter of its copper like 0.02 mm",
                text.trim()
            ),
        )
    };
    if let Some(number) = plain.strip_prefix("awg") {
        return number
            .trim()
            .parse()
            .map(|number| Wire::Awg { number })
            .map_err(|_| refuse());
    }
    let number = plain.strip_suffix("mm").ok_or_else(refuse)?;
    let micro = parse_micro(number.trim()).map_err(|_| refuse())?;
    u16::try_from(micro / 1000)
        .map(|diameter_um| Wire::Diameter { diameter_um })
        .map_err(|_| refuse())
}

fn length(text: &str) -> Result<u32, DeskError> {
    let text = text.trim();
    let number = text.strip_suffix("mm").unwrap_or(text).trim();
    let micro = parse_micro(number).map_err(|why| DeskError::field("length_mm", why))?;
    u32::try_from(micro / 1000).map_err(|_| {
        DeskError::field(
            "length_mm",
            format!("“{text}” is no length; a jumper on a board is 0.1 to 500 mm long"),
        )
    })
}

/// Room temperature outside this is a slip. Common practice, no source.
const WARM_TENTHS_C: std::ops::RangeInclusive<i64> = -200..=1500;

fn temperature(text: &str) -> Result<i32, DeskError> {
    let text = text.trim().trim_end_matches("°C").trim();
    if text.is_empty() {
        return Ok(200);
    }
    let micro = parse_micro(text).map_err(|why| DeskError::field("wire_temperature_c", why))?;
    let tenths = micro / 100_000;
    if !WARM_TENTHS_C.contains(&tenths) {
        return Err(DeskError::field(
            "wire_temperature_c",
            format!(
                "{text} °C is no temperature of a wire on the bench; write one from -20 to 150"
            ),
        ));
    }
    i32::try_from(tenths).map_err(|why| DeskError::field("wire_temperature_c", why))
}

fn ohm(field: &'static str, text: &str) -> Result<Option<i64>, DeskError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let micro = parse_reading(text.trim(), Unit::Ohm).map_err(|why| match why {
        ReadingError::OtherUnit {
            text,
            typed,
            wanted,
        } => DeskError::field(
            field,
            format!(
                "a wire is read in {wanted}, but “{text}” is in {typed}; measure its resistance"
            ),
        ),
        why => DeskError::field(field, why),
    })?;
    if micro < 0 {
        return Err(DeskError::field(
            field,
            "a resistance can't be negative; write it without the sign",
        ));
    }
    Ok(Some(micro))
}
