//! What a trace comes to: length, peak, charge, the levels it passes through, and the start-up.
//!
//! The rules are common practice, no source; each is named here and beside its figure on screen. They propose; the technician reads
//! the chart and decides.

use super::Sample;
use crate::fact::TraceStage;

/// A current below this is “off”: more than a board draws asleep, less than one that starts. Common practice, no source.
const OFF_NA: i64 = 10_000_000;
/// The current is looked at in steps of a fifth of a second, or of a four-hundredth of the trace where that is longer.
const STEP_US: i64 = 200_000;
const STEPS_MAX: i64 = 400;
/// A level is left when the current differs from it by more than a quarter and by more than 30 mA.
const BAND_NA: i64 = 30_000_000;
/// A level that lasts shorter than this many steps is a spike, not a stage.
const STAGE_STEPS_MIN: usize = 3;
/// More stages than this tell nobody anything; the shortest are joined to their neighbours.
const STAGES_MAX: usize = 8;

/// The figures of a trace.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figures {
    /// From the first to the last row, in microseconds.
    pub length_us: i64,
    /// The highest current, in nanoamperes, and where it lies.
    pub peak_na: i64,
    /// Microseconds from the first row to the peak.
    pub peak_at_us: i64,
    /// When the current first rises above off, in microseconds from the first row; none when it never does.
    pub rises_at_us: Option<i64>,
    /// From that rise to the begin of the last level, in microseconds; none when it never rises or never settles.
    pub start_up_us: Option<i64>,
    /// The charge over the whole trace by the trapezoid rule, in nanoampere-hours, to the nearest.
    pub charge_nah: i64,
    /// The levels, in order.
    pub stages: Vec<TraceStage>,
}

/// Works out the figures. The samples are in the order of time.
pub fn figures(samples: &[Sample]) -> Figures {
    let length_us = samples.last().map_or(0, |sample| sample.at_us);
    let peak = samples
        .iter()
        .max_by_key(|sample| (sample.current_na, std::cmp::Reverse(sample.at_us)));
    let stages = stages(samples);
    let rises_at_us = samples
        .iter()
        .find(|sample| sample.current_na >= OFF_NA)
        .map(|sample| sample.at_us);
    let start_up_us = rises_at_us.and_then(|rise| {
        let last = stages.last()?;
        // A trace that ends on its way has no steady level; one that went off again never started.
        let is_steady =
            last.to_us - last.from_us >= (length_us - rise) / 10 && last.mean_na >= OFF_NA;
        (is_steady && last.from_us > rise).then_some(last.from_us - rise)
    });
    Figures {
        length_us,
        peak_na: peak.map_or(0, |sample| sample.current_na),
        peak_at_us: peak.map_or(0, |sample| sample.at_us),
        rises_at_us,
        start_up_us,
        charge_nah: charge_nah(samples),
        stages,
    }
}

/// Charge by the trapezoid rule: exact in nanoampere-microseconds, then rounded once.
fn charge_nah(samples: &[Sample]) -> i64 {
    const TWICE_HOUR_US: i128 = 2 * 3_600_000_000;
    let twice: i128 = samples
        .windows(2)
        .map(|pair| {
            let time = i128::from(pair[1].at_us - pair[0].at_us);
            time * (i128::from(pair[0].current_na) + i128::from(pair[1].current_na))
        })
        .sum();
    let half = TWICE_HOUR_US / 2 * twice.signum();
    i64::try_from((twice + half) / TWICE_HOUR_US).unwrap_or(i64::MAX)
}

/// The mean current of one step of time.
#[derive(Debug, Clone, Copy)]
struct Step {
    from_us: i64,
    to_us: i64,
    mean_na: i64,
}

/// Means over equal steps of time, each from the area under the straight lines between rows.
fn steps(samples: &[Sample]) -> Vec<Step> {
    let length_us = samples.last().map_or(0, |sample| sample.at_us);
    let width_us = STEP_US.max(length_us / STEPS_MAX).max(1);
    let mut steps = Vec::new();
    let (mut area, mut from_us) = (0i128, 0i64);
    for pair in samples.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let mut at_us = a.at_us;
        while at_us < b.at_us {
            let to_us = b.at_us.min(from_us + width_us);
            area += i128::from(to_us - at_us) * (between(a, b, at_us) + between(a, b, to_us)) / 2;
            at_us = to_us;
            if at_us == from_us + width_us {
                steps.push(step(from_us, at_us, area));
                (area, from_us) = (0, at_us);
            }
        }
    }
    // A rest of less than half a step says too little to stand alone.
    if length_us - from_us > width_us / 2 || steps.is_empty() {
        steps.push(step(from_us, length_us, area));
    }
    steps
}

fn step(from_us: i64, to_us: i64, area: i128) -> Step {
    let mean = area / i128::from((to_us - from_us).max(1));
    Step {
        from_us,
        to_us,
        mean_na: i64::try_from(mean).unwrap_or(i64::MAX),
    }
}

/// The current on the straight line between two rows.
fn between(a: Sample, b: Sample, at_us: i64) -> i128 {
    let span = i128::from((b.at_us - a.at_us).max(1));
    let rise = i128::from(b.current_na) - i128::from(a.current_na);
    i128::from(a.current_na) + rise * i128::from(at_us - a.at_us) / span
}

fn leaves(level_na: i64, mean_na: i64) -> bool {
    (mean_na - level_na).abs() > BAND_NA.max(level_na.abs() / 4)
}

/// Cuts the trace where its level changes. Three steps in a row away from a level end it; fewer are a spike.
fn stages(samples: &[Sample]) -> Vec<TraceStage> {
    let steps = steps(samples);
    let mut cuts = vec![0usize];
    let mut level_na = steps.first().map_or(0, |step| step.mean_na);
    let mut index = 1;
    while index < steps.len() {
        let away = leaves(level_na, steps[index].mean_na);
        let stays_away = steps[index..]
            .iter()
            .take(STAGE_STEPS_MIN)
            .all(|next| leaves(level_na, next.mean_na));
        if away && stays_away {
            cuts.push(index);
            level_na = steps[index].mean_na;
        } else if !away {
            let begun = *cuts.last().unwrap_or(&0);
            level_na = mean(&steps[begun..=index]);
        }
        index += 1;
    }
    cuts.push(steps.len());
    let mut spans: Vec<(usize, usize)> = cuts
        .windows(2)
        .map(|pair| (pair[0], pair[1]))
        .filter(|(from, to)| from < to)
        .collect();
    join_short(&mut spans, &steps);
    // What is left of a spike must not part one level into two.
    spans = spans
        .into_iter()
        .fold(Vec::new(), |mut kept: Vec<(usize, usize)>, (from, to)| {
            match kept.last_mut() {
                Some(last) if !leaves(mean(&steps[last.0..last.1]), mean(&steps[from..to])) => {
                    last.1 = to;
                }
                _ => kept.push((from, to)),
            }
            kept
        });
    spans
        .into_iter()
        .map(|(from, to)| TraceStage {
            from_us: steps[from].from_us,
            to_us: steps[to - 1].to_us,
            mean_na: mean(&steps[from..to]),
        })
        .collect()
}

/// Joins what is too short, or too many, to the neighbour whose level is nearer.
fn join_short(spans: &mut Vec<(usize, usize)>, steps: &[Step]) {
    while spans.len() > 1 {
        let Some((at, (from, to))) = spans
            .iter()
            .copied()
            .enumerate()
            .min_by_key(|(_, (from, to))| to - from)
        else {
            return;
        };
        if to - from >= STAGE_STEPS_MIN && spans.len() <= STAGES_MAX {
            return;
        }
        let level = mean(&steps[from..to]);
        let far = |other: Option<&(usize, usize)>| {
            other.map_or(i64::MAX, |(from, to)| {
                (mean(&steps[*from..*to]) - level).abs()
            })
        };
        let before = at.checked_sub(1).and_then(|before| spans.get(before));
        if far(before) <= far(spans.get(at + 1)) {
            spans[at - 1].1 = to;
        } else {
            spans[at + 1].0 = from;
        }
        spans.remove(at);
    }
}

/// The mean over several steps, by time.
fn mean(steps: &[Step]) -> i64 {
    let time: i128 = steps
        .iter()
        .map(|step| i128::from(step.to_us - step.from_us))
        .sum();
    let area: i128 = steps
        .iter()
        .map(|step| i128::from(step.to_us - step.from_us) * i128::from(step.mean_na))
        .sum();
    i64::try_from(area / time.max(1)).unwrap_or(i64::MAX)
}

/// A trace with so few points that it can be drawn: of each slice its first, lowest, highest and last row, so that no peak is lost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thinned {
    /// Time in microseconds and current in nanoamperes.
    pub points: Vec<(i64, i64)>,
}

/// Thins a trace to at most four points a slice.
pub fn thinned(samples: &[Sample], slices: usize) -> Thinned {
    let point = |sample: &Sample| (sample.at_us, sample.current_na);
    if samples.len() <= slices * 4 {
        return Thinned {
            points: samples.iter().map(point).collect(),
        };
    }
    let length_us = samples.last().map_or(0, |sample| sample.at_us).max(1);
    let slice_of = |sample: &Sample| {
        i128::from(sample.at_us) * i128::try_from(slices).unwrap_or(1) / i128::from(length_us)
    };
    let mut points = Vec::with_capacity(slices * 4);
    for slice in samples.chunk_by(|a, b| slice_of(a) == slice_of(b)) {
        let lowest = slice.iter().min_by_key(|sample| sample.current_na);
        let highest = slice.iter().max_by_key(|sample| sample.current_na);
        let mut kept: Vec<(i64, i64)> = [slice.first(), lowest, highest, slice.last()]
            .into_iter()
            .flatten()
            .map(point)
            .collect();
        kept.sort_unstable();
        kept.dedup();
        points.extend(kept);
    }
    Thinned { points }
}
