//! The cell check: what is seen and measured before any power.

use std::collections::BTreeSet;

use domain::cells::bay::LookKind;
use domain::cells::{
    CellCheck, CellFinding, Chemistry, Judgement, Rating, WarmedBy, parse_capacity_mah,
    parse_energy_uwh, parse_temperature_tenths_c, parse_voltage_mv,
};
use domain::fact::Fact;
use domain::job::Station;
use domain::{JobId, Subject};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{JobView, enter};
use crate::desk::Desk;
use crate::error::DeskError;

/// A cell check as typed. Numbers are texts, as they stand in their fields; an empty field is “not measured”.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, TS)]
pub struct CellCheckInput {
    /// What is seen.
    pub findings: Vec<CellFinding>,
    /// Resting voltage, such as `3.82`.
    pub voltage: String,
    /// Cells in series; empty when unknown.
    pub cells_in_series: String,
    /// Temperature of the cell's surface, in degrees Celsius.
    pub surface: String,
    /// Temperature of the room, in degrees Celsius.
    pub room: String,
    /// What may have warmed it.
    pub warmed_by: Option<WarmedBy>,
    /// Its chemistry.
    pub chemistry: Chemistry,
    /// Watt-hours as printed.
    pub label_wh: String,
    /// Nominal volts as printed.
    pub nominal_v: String,
    /// Capacity in milliampere-hours as printed.
    pub capacity_mah: String,
    /// Highest charge voltage as printed.
    pub charge_max_v: String,
    /// More words.
    pub note: String,
    /// Strings of cells side by side; empty when unknown.
    #[serde(default)]
    pub cells_in_parallel: String,
}

/// Records a cell check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RecordCellCheck {
    /// The job.
    pub job_id: JobId,
    /// What was seen and measured.
    pub check: CellCheckInput,
}

/// Judges a cell check without recording it, so that the level shows while it is typed: with all that was seen of the cell
/// before, as it will be judged once recorded.
pub fn preview_cell_check(desk: &Desk, request: RecordCellCheck) -> Result<Judgement, DeskError> {
    let state = desk.job(request.job_id)?.cell_state;
    let check = parse(request.check)?;
    desk.judged_with(&state, LookKind::Check, check)
}

/// Records a cell check.
pub fn record_cell_check(desk: &Desk, request: RecordCellCheck) -> Result<JobView, DeskError> {
    let job = desk.job(request.job_id)?;
    enter(&job, Station::CellCheck)?;
    let check = parse(request.check)?;
    if check.findings.is_empty() {
        return Err(DeskError::field(
            "findings",
            "say what is seen: nothing wrong, not seen, or each thing that is",
        ));
    }
    let check = CellCheck {
        rules: desk.bench_rules()?,
        ..check
    };
    desk.record(Subject::Job(request.job_id), Fact::CellChecked(check))?;
    desk.job_view(request.job_id)
}

fn parse(input: CellCheckInput) -> Result<CellCheck, DeskError> {
    Ok(CellCheck {
        findings: parse_findings(input.findings)?,
        voltage_mv: field("voltage", &input.voltage, parse_voltage_mv)?,
        cells_in_series: field("cells_in_series", &input.cells_in_series, parse_cells)?,
        surface_tenths_c: field("surface", &input.surface, parse_temperature_tenths_c)?,
        room_tenths_c: field("room", &input.room, parse_temperature_tenths_c)?,
        warmed_by: input.warmed_by,
        chemistry: input.chemistry,
        rating: Rating {
            label_uwh: field("label_wh", &input.label_wh, parse_energy_uwh)?,
            nominal_mv: field("nominal_v", &input.nominal_v, parse_voltage_mv)?,
            capacity_mah: field("capacity_mah", &input.capacity_mah, parse_capacity_mah)?,
            charge_max_mv: field("charge_max_v", &input.charge_max_v, parse_voltage_mv)?,
        },
        note: input.note.trim().to_owned(),
        cells_in_parallel: field("cells_in_parallel", &input.cells_in_parallel, parse_cells)?,
        rules: Vec::new(),
    })
}

/// What was seen at one look; “nothing wrong” stands alone.
pub(crate) fn parse_findings(seen: Vec<CellFinding>) -> Result<BTreeSet<CellFinding>, DeskError> {
    let findings: BTreeSet<CellFinding> = seen.into_iter().collect();
    if findings.contains(&CellFinding::NothingWrong) && findings.len() > 1 {
        return Err(DeskError::field(
            "findings",
            "“nothing wrong” can't stand beside a finding; take one of them away",
        ));
    }
    Ok(findings)
}

/// Parses a number of cells, in series or side by side.
pub(crate) fn parse_cells(text: &str) -> Result<u8, String> {
    match text.parse::<u8>() {
        Ok(cells) if (1..=12).contains(&cells) => Ok(cells),
        _ => Err(format!(
            "“{text}” is not a number of cells; write a number from 1 to 12, or leave it empty"
        )),
    }
}

/// Parses a field that may be empty.
pub(crate) fn field<T, E: std::fmt::Display>(
    name: &'static str,
    text: &str,
    parse: impl Fn(&str) -> Result<T, E>,
) -> Result<Option<T>, DeskError> {
    let text = text.trim();
    if text.is_empty() {
        Ok(None)
    } else {
        parse(text)
            .map(Some)
            .map_err(|why| DeskError::field(name, why))
    }
}
