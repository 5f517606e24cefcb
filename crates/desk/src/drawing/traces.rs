//! Current traces as curves: before and after of one test on the same scales, with what each came to in words.

use domain::ContentHash;
use domain::fact::TraceRecord;
use domain::job::{Job, MarkedResult};
use domain::reading::format_micro;
use domain::trace::{Figures, decode_text, figures, parse_trace, thinned};
use papers::model::{TraceChart, TraceCurve};

use crate::desk::Desk;
use crate::error::DeskError;

/// Slices of a printed curve: finer than a printer shows over the width of a column.
const SLICES: usize = 160;

/// A kept trace as read again.
struct Read {
    points: Vec<(i64, i64)>,
    figures: Figures,
}

/// One chart for each test that has a trace on either side.
pub(super) fn charts(desk: &Desk, job: &Job) -> Result<Vec<TraceChart>, DeskError> {
    let mut charts = Vec::new();
    for row in &job.comparison {
        let (before, after) = (trace_of(row.before.as_ref()), trace_of(row.after.as_ref()));
        if before.is_none() && after.is_none() {
            continue;
        }
        let sides = [before, after].map(|trace| {
            let read = trace.map(|trace| read(desk, &trace.file)).transpose()?;
            Ok::<_, DeskError>((trace, read.flatten()))
        });
        let [before, after] = sides;
        charts.push(chart(&row.title, &before?, &after?));
    }
    Ok(charts)
}

fn trace_of(result: Option<&MarkedResult>) -> Option<&TraceRecord> {
    result.and_then(|marked| marked.result.taken.trace.as_ref())
}

/// Only what is here: a paper must not wait for the network.
fn read(desk: &Desk, file: &ContentHash) -> Result<Option<Read>, DeskError> {
    if !desk.files.whole().contains(file)? {
        return Ok(None);
    }
    let bytes = desk.files.whole().get(file)?;
    Ok(parse_trace(&decode_text(&bytes)).ok().map(|trace| Read {
        points: thinned(&trace.samples, SLICES).points,
        figures: figures(&trace.samples),
    }))
}

type Side<'a> = (Option<&'a TraceRecord>, Option<Read>);

fn chart(title: &str, before: &Side<'_>, after: &Side<'_>) -> TraceChart {
    let traces = || [before.0, after.0].into_iter().flatten();
    let length_us = traces()
        .map(|trace| trace.length_us)
        .max()
        .unwrap_or(0)
        .max(1);
    let highest_na = traces()
        .map(|trace| trace.peak_na)
        .max()
        .unwrap_or(0)
        .max(1);
    TraceChart {
        test: title.to_owned(),
        highest: current(highest_na),
        begin: "0 s".to_owned(),
        length: span(length_us),
        before: curve(before, length_us, highest_na),
        after: curve(after, length_us, highest_na),
    }
}

fn curve((trace, read): &Side<'_>, length_us: i64, highest_na: i64) -> TraceCurve {
    let Some(trace) = trace else {
        return TraceCurve {
            absent: "no trace".to_owned(),
            ..TraceCurve::default()
        };
    };
    let figures = words(trace);
    let Some(read) = read else {
        return TraceCurve {
            figures,
            absent: "not on the computer that made this paper".to_owned(),
            ..TraceCurve::default()
        };
    };
    let rises_us = read.figures.rises_at_us;
    let settles_us = rises_us.zip(read.figures.start_up_us);
    TraceCurve {
        points: read
            .points
            .iter()
            .map(|(at_us, current_na)| (share(*at_us, length_us), share(*current_na, highest_na)))
            .collect(),
        from: rises_us.map(|at_us| share(at_us, length_us)),
        to: settles_us.map(|(from_us, span_us)| share(from_us + span_us, length_us)),
        figures,
        absent: String::new(),
    }
}

/// A part of a whole, to a ten-thousandth; what lies below nothing is drawn at nothing.
fn share(part: i64, whole: i64) -> f32 {
    const FINE: i64 = 10_000;
    let parts = (part.clamp(0, whole) * FINE) / whole;
    f32::from(u16::try_from(parts).unwrap_or(u16::MAX)) / 10_000.0
}

/// What a trace came to. The rules of start-up are those of `domain::trace`.
fn words(trace: &TraceRecord) -> String {
    let start = trace.start_up_us.map_or_else(
        || "does not settle in this trace".to_owned(),
        |us| format!("start-up {} (between the upright lines)", span(us)),
    );
    // A nanoampere-hour is a millionth of a milliampere-hour.
    let charge = format_micro(trace.charge_nah / 10_000 * 10_000);
    format!(
        "{start}; highest {}; {charge} mAh drawn; {}",
        current(trace.peak_na),
        trace.name
    )
}

/// A current in amperes, or milliamperes below one.
fn current(na: i64) -> String {
    if na.abs() >= 1_000_000_000 {
        format!("{} A", format_micro(na / 10_000_000 * 10_000))
    } else {
        format!("{} mA", format_micro(na / 100_000 * 100_000))
    }
}

/// Seconds to a tenth.
fn span(us: i64) -> String {
    format!("{} s", format_micro(us / 100_000 * 100_000))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn currents_and_times_are_said_with_the_digits_that_mean_something() {
        assert_eq!(current(421_340_000), "421.3 mA");
        assert_eq!(current(1_523_000_000), "1.52 A");
        assert_eq!(span(31_290_000), "31.2 s");
        for (part, shown) in [(5, 0.25), (-3, 0.0), (30, 1.0)] {
            assert!((share(part, 20) - shown).abs() < 1e-6, "{part}");
        }
    }
}
