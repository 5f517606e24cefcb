//! A current trace from a bench supply: dropped on a test, read at once, kept byte for byte with the result.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use domain::ContentHash;
use domain::fact::{TraceRecord, TraceStage};
use domain::trace::{Figures, Trace, decode_text, figures, parse_trace, thinned};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::desk::Desk;
use crate::error::DeskError;

/// Largest file of a trace: an hour at 50 rows a second, with room.
pub(crate) const TRACE_BYTES_MAX: usize = 10 * 1024 * 1024;
/// Slices of a drawn trace: about one a pixel of the chart.
const SLICES: usize = 240;

/// A dropped file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TraceFile {
    /// Its name.
    pub name: String,
    /// Its bytes in base64.
    pub base64: String,
}

/// Which kept file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TraceKey {
    /// The hash of its bytes.
    pub file: ContentHash,
}

/// A row of the file that could not be read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct BrokenTraceRow {
    /// Its line, from 1.
    pub line: u32,
    /// What is wrong with it.
    pub why: String,
}

/// A point of the drawn curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TracePoint {
    /// Microseconds from the first row.
    pub at_us: i64,
    /// The current, in nanoamperes.
    pub current_na: i64,
}

/// A trace as read, with its figures and a curve to draw.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct TraceView {
    /// Rows that were read.
    pub rows: u32,
    /// Rows that could not be read, the first fifty.
    pub broken: Vec<BrokenTraceRow>,
    /// How many could not be read.
    pub broken_count: u32,
    /// What was taken for granted about the file, in sentences.
    pub assumed: Vec<String>,
    /// From the first to the last row, in microseconds.
    pub length_us: i64,
    /// The highest current, in nanoamperes.
    pub peak_na: i64,
    /// Where it lies, in microseconds.
    pub peak_at_us: i64,
    /// Where the current first rises above off, in microseconds.
    pub rises_at_us: Option<i64>,
    /// From that rise to the steady level, in microseconds; none when it never settles.
    pub start_up_us: Option<i64>,
    /// Charge by the trapezoid rule, in nanoampere-hours.
    pub charge_nah: i64,
    /// The levels it passes through.
    pub stages: Vec<TraceStage>,
    /// The curve; no peak is left out of it.
    pub points: Vec<TracePoint>,
}

/// Reads a trace without recording it.
pub fn preview_trace(_: &Desk, request: TraceFile) -> Result<TraceView, DeskError> {
    let bytes = bytes(&request)?;
    let (trace, figures) = read(&bytes)?;
    Ok(view(&trace, figures))
}

/// Reads a kept trace again, from this computer or, if it isn't here, from the server.
pub fn kept_trace(desk: &Desk, request: TraceKey) -> Result<TraceView, DeskError> {
    let bytes = desk.file_bytes(&request.file)?;
    let (trace, figures) = read(&bytes)?;
    Ok(view(&trace, figures))
}

impl Desk {
    /// Keeps the file of a trace and tells what it came to.
    pub(super) fn keep_trace(&self, file: &TraceFile) -> Result<TraceRecord, DeskError> {
        let bytes = bytes(file)?;
        let (trace, figures) = read(&bytes)?;
        let kept = self.files.whole().put(&bytes)?;
        self.keep_file(kept.hash, kept.size_bytes, None)?;
        Ok(TraceRecord {
            file: kept.hash,
            size_bytes: kept.size_bytes,
            name: file.name.trim().to_owned(),
            rows: count(trace.samples.len()),
            broken_rows: trace.broken_count,
            length_us: figures.length_us,
            peak_na: figures.peak_na,
            start_up_us: figures.start_up_us,
            charge_nah: figures.charge_nah,
            stages: figures.stages,
        })
    }
}

fn bytes(file: &TraceFile) -> Result<Vec<u8>, DeskError> {
    let broken = || DeskError::field("trace", "the file came in damaged; drop it again");
    // Four letters carry three bytes.
    if file.base64.len() / 4 * 3 > TRACE_BYTES_MAX {
        return Err(DeskError::field(
            "trace",
            "the file is larger than 10 MB; export it with fewer rows a second, or in parts",
        ));
    }
    STANDARD.decode(&file.base64).map_err(|_| broken())
}

fn read(bytes: &[u8]) -> Result<(Trace, Figures), DeskError> {
    let trace = parse_trace(&decode_text(bytes)).map_err(|why| DeskError::field("trace", why))?;
    let figures = figures(&trace.samples);
    Ok((trace, figures))
}

fn count(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

fn view(trace: &Trace, figures: Figures) -> TraceView {
    TraceView {
        rows: count(trace.samples.len()),
        broken: trace
            .broken
            .iter()
            .map(|row| BrokenTraceRow {
                line: row.line,
                why: row.why.clone(),
            })
            .collect(),
        broken_count: trace.broken_count,
        assumed: trace.assumed.clone(),
        length_us: figures.length_us,
        peak_na: figures.peak_na,
        peak_at_us: figures.peak_at_us,
        rises_at_us: figures.rises_at_us,
        start_up_us: figures.start_up_us,
        charge_nah: figures.charge_nah,
        stages: figures.stages,
        points: thinned(&trace.samples, SLICES)
            .points
            .into_iter()
            .map(|(at_us, current_na)| TracePoint { at_us, current_na })
            .collect(),
    }
}
