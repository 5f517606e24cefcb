//! What a step did besides its words: heat in plain words, the jumper's verdict, the lots, and what was to be minded.

use domain::fact::{BoardSide, HeatExposure, Step};
use domain::job::{Job, Marked};
use domain::rework::MeasuredAt;

/// The sentences after a step's own; empty when it was only words.
pub(super) fn besides(job: &Job, step: &Marked<Step>) -> String {
    let judged = job
        .judged_steps
        .iter()
        .find(|judged| judged.entry_id == step.mark.entry_id);
    let mut said: Vec<String> = hold_point(job, &step.value).into_iter().collect();
    if let Some(heat) = &step.value.heat {
        said.push(heat_words(heat, judged.and_then(|judged| judged.pass)));
    }
    if let (Some(jumper), Some(judged)) = (&step.value.jumper, judged)
        && let Some(verdict) = &judged.jumper
    {
        let again = if judged.read_again {
            " It was read again since."
        } else {
            ""
        };
        said.push(format!(
            "Jumper {}, {}: {}{again}",
            jumper.net,
            jumper.wire.words(),
            verdict.words
        ));
    }
    let warnings = judged.map_or(&[][..], |judged| &judged.warnings);
    said.extend(
        warnings
            .iter()
            .map(|warning| format!("Mind: {}", warning.text)),
    );
    said.join(" ")
}

/// What a hold point came to.
fn hold_point(job: &Job, step: &Step) -> Option<String> {
    let done = step.in_procedure.as_ref()?;
    let procedure = job
        .procedures
        .iter()
        .find(|procedure| procedure.mark.entry_id == done.begun_id)?;
    let place = procedure.places.get(usize::try_from(done.index).ok()?)?;
    place.step.hold_point.then(|| {
        let passed = if done.passed { "passed" } else { "not passed" };
        let asked = place.step.text.trim_end_matches('.');
        let result = done.result.trim_end_matches('.');
        // The bench writes question and result into the step's own words.
        if step.text.contains(result) {
            format!("Hold point, {passed}.")
        } else {
            format!("Hold point “{asked}”, {passed}: {result}.")
        }
    })
}

fn heat_words(heat: &HeatExposure, pass: Option<u32>) -> String {
    let heated = if heat.part.is_empty() {
        "Heat".to_owned()
    } else {
        format!("Heat on {}", heat.part)
    };
    let number = pass
        .filter(|pass| *pass > 1)
        .map_or_else(String::new, |pass| format!(", its heating number {pass}"));
    let place = match heat.measured_at {
        MeasuredAt::Tool => "at the tool",
        MeasuredAt::Package => "on top of the part",
    };
    let side = match heat.side {
        BoardSide::Top => "top side",
        BoardSide::Bottom => "bottom side",
    };
    let alloy = if heat.alloy.is_empty() {
        String::new()
    } else {
        format!(", {}", heat.alloy)
    };
    let near = if heat.neighbours.is_empty() {
        String::new()
    } else {
        format!("; it reached {}", heat.neighbours.join(", "))
    };
    let titles: Vec<&str> = heat
        .neighbour_tests
        .iter()
        .map(|test| test.title.as_str())
        .collect();
    let opened = if titles.is_empty() {
        String::new()
    } else {
        format!(", so these were tested: {}", titles.join(", "))
    };
    let changed = if heat.changed_because.is_empty() {
        String::new()
    } else {
        format!(
            " Less than the board's knowledge names, because {}.",
            heat.changed_because.trim_end_matches('.')
        )
    };
    format!(
        "{heated}{number}: {} °C {place} for {} s, {side}{alloy}{near}{opened}.{changed}",
        heat.temperature_c, heat.seconds
    )
}
