//! The right page: diagnosis and work, heat, parts, price, warranty, and what was set aside.

use domain::fact::{
    Answer, AnswerWay, BoardSide, Decision, Diagnosis, FittedPart, JobOutcome, PartSource, Quote,
    Step,
};
use domain::job::{Block, Job, Marked};
use papers::model::{self, HeatExposure, PartUsed, QuoteLine, Stated, WorkStep};

use super::report::Told;
use super::words::{capital, counted, day, joined};

/// Diagnosis and work, in the order in which they were recorded.
pub(super) fn work(told: &Told<'_>) -> Vec<WorkStep> {
    let job = told.job;
    let mut steps: Vec<(u64, WorkStep)> = Vec::new();
    steps.extend(
        job.diagnoses
            .iter()
            .map(|diagnosis| (diagnosis.mark.at_ms, diagnosed(told, diagnosis))),
    );
    steps.extend(
        job.steps
            .iter()
            .map(|step| (step.mark.at_ms, worked(told, step))),
    );
    // A stable sort: what has the same time stays in its own order, diagnosis first.
    steps.sort_by_key(|(at_ms, _)| *at_ms);
    steps.into_iter().map(|(_, step)| step).collect()
}

fn diagnosed(told: &Told<'_>, diagnosis: &Marked<Diagnosis>) -> WorkStep {
    let readings: Vec<String> = diagnosis
        .value
        .readings
        .iter()
        .map(|reading| {
            let expected = if reading.expected.is_empty() {
                String::new()
            } else {
                format!(" (expected {})", reading.expected)
            };
            format!("{} {}{expected}", reading.point, reading.measured)
        })
        .collect();
    let said = diagnosis.value.text.trim_end_matches('.');
    let text = match readings.join("; ").as_str() {
        "" => format!("Diagnosis: {said}."),
        measured => format!("Diagnosis: {said}. Measured: {measured}."),
    };
    WorkStep {
        text,
        designators: diagnosis.value.suspect.clone(),
        by: told.words.by(&diagnosis.mark),
    }
}

fn worked(told: &Told<'_>, step: &Marked<Step>) -> WorkStep {
    let Step {
        text,
        procedure,
        tool,
        parts,
        witness_id,
        ..
    } = &step.value;
    let aside = joined([procedure.as_str(), tool.as_str()], ", ");
    let text = if aside.is_empty() {
        text.clone()
    } else {
        format!("{text} ({aside})")
    };
    let besides = super::step_words::besides(told.job, step);
    let text = if besides.is_empty() {
        text
    } else {
        format!("{} {besides}", with_full_stop(&text))
    };
    let designators: Vec<&str> = parts.iter().map(|part| part.designator.as_str()).collect();
    let witness = witness_id.map_or_else(String::new, |witness_id| {
        format!("; seen by {}", told.words.name(witness_id))
    });
    WorkStep {
        text,
        designators: designators.join(", "),
        by: format!("{}{witness}", told.words.by(&step.mark)),
    }
}

/// A sentence that another may follow.
fn with_full_stop(text: &str) -> String {
    if text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// Heating steps, each with the part that was heated for.
pub(super) fn heat(job: &Job) -> Vec<HeatExposure> {
    let heated = job
        .steps
        .iter()
        .filter_map(|step| Some((&step.value, step.value.heat.as_ref()?)));
    heated
        .map(|(step, heat)| {
            let parts: Vec<&str> = step
                .parts
                .iter()
                .map(|part| part.designator.as_str())
                .collect();
            let side = match heat.side {
                BoardSide::Top => "top side",
                BoardSide::Bottom => "bottom side",
            };
            HeatExposure {
                part: match (heat.part.as_str(), parts.is_empty()) {
                    ("", true) => "board".to_owned(),
                    ("", false) => parts.join(", "),
                    (part, _) => part.to_owned(),
                },
                temperature: format!("{} °C", heat.temperature_c),
                duration: format!("{} s", heat.seconds),
                side: side.to_owned(),
            }
        })
        .collect()
}

/// Parts fitted.
pub(super) fn parts(job: &Job) -> Vec<PartUsed> {
    let fitted = job.steps.iter().flat_map(|step| &step.value.parts);
    fitted
        .map(|part| PartUsed {
            designator: part.designator.clone(),
            name: if part.description.is_empty() {
                "part".to_owned()
            } else {
                part.description.clone()
            },
            origin: origin(part),
            quantity: "1".to_owned(),
        })
        .collect()
}

fn origin(part: &FittedPart) -> String {
    let (source, lot) = match part.source {
        PartSource::New => ("new", "lot"),
        PartSource::Donor => ("from a donor board", "number"),
        PartSource::Own => ("the device’s own, put back", "lot"),
    };
    if part.lot.is_empty() {
        source.to_owned()
    } else {
        format!("{source}, {lot} {}", part.lot)
    }
}

/// The price and the shop's answer.
pub(super) fn quote(told: &Told<'_>) -> Option<model::Quote> {
    let quote = told.job.quote.value()?;
    let total = |quote: &Quote| {
        quote.total().map_or_else(
            |_| "can’t be added up: two currencies".to_owned(),
            |sum| sum.to_string(),
        )
    };
    let lines = quote.lines.iter().map(|line| QuoteLine {
        text: line.text.clone(),
        amount: line.amount.to_string(),
    });
    let decision = decision(told, quote);
    Some(model::Quote {
        lines: lines.collect(),
        sum: told.words.stated(&told.job.quote, total),
        decision: joined([decision.as_str(), quote.note.as_str()], " "),
    })
}

fn decision(told: &Told<'_>, quote: &Quote) -> String {
    let quote_entry_id = told.job.quote.mark().map(|mark| mark.entry_id);
    let standing = told
        .job
        .decisions
        .iter()
        .rev()
        .find(|decision| Some(decision.value.quote_entry_id) == quote_entry_id);
    let Some(marked) = standing else {
        return "The shop has not answered.".to_owned();
    };
    let Decision {
        answer, way, note, ..
    } = &marked.value;
    let answered = match answer {
        Answer::Agree => "Agreed",
        Answer::Refuse => "Refused",
        Answer::Ask => "A question was asked",
    };
    let by = told.words.by(&marked.mark);
    let how = match way {
        AnswerWay::Portal => format!("on the portal by {by}"),
        AnswerWay::Told => format!("as told to {by}"),
        AnswerWay::StandingLimit => format!(
            "within the shop’s standing limit, {}",
            told.words.time(marked.mark.at_ms)
        ),
    };
    let note = if note.is_empty() || *way == AnswerWay::StandingLimit {
        String::new()
    } else {
        format!(": “{note}”")
    };
    // What the shop said brings its own end with it, as often as not.
    let end = if [".”", "!”", "?”"].iter().any(|end| note.ends_with(end)) {
        ""
    } else {
        "."
    };
    let fee = match answer {
        Answer::Refuse => format!(" Return unrepaired costs {}.", quote.fee_if_refused),
        Answer::Agree | Answer::Ask => String::new(),
    };
    format!("{answered} {how}{note}{end}{fee}")
}

/// Until when, and on what. Which rights the law gives besides differs by country; the paper says only that it leaves them alone.
pub(super) fn warranty(told: &Told<'_>) -> Vec<Stated> {
    let Some(outcome) = told.job.outcome.value() else {
        return Vec::new();
    };
    let has_work = matches!(
        outcome.outcome,
        JobOutcome::Repaired | JobOutcome::RepairedInPart
    );
    let text = match told.warranty_until() {
        Some(until) => {
            let closed = told
                .job
                .outcome
                .mark()
                .map_or_else(String::new, |mark| told.words.date(mark.at_ms));
            let days = counted(
                usize::from(outcome.warranty_days),
                "calendar day",
                "calendar days",
            );
            format!(
                "On the work named here, until the end of {}: {days} from {closed}. Rights that the law gives are not touched.",
                day(until)
            )
        }
        None if has_work => {
            "None is given on this work beyond the rights that the law gives.".to_owned()
        }
        None => return Vec::new(),
    };
    vec![text.into()]
}

/// What was passed though something was missing, by whom and why.
pub(super) fn overrides(told: &Told<'_>) -> Vec<String> {
    let passed = told.job.overrides.iter();
    passed
        .map(|passed| {
            let by = told.words.by(&passed.mark);
            format!(
                "{}, by {by}: {}",
                capital(block_words(passed.value.block)),
                passed.value.reason
            )
        })
        .collect()
}

/// What was set aside. Only blocks that may be passed are ever in force as such; any other stays blocked whatever was recorded.
const fn block_words(block: Block) -> &'static str {
    match block {
        Block::IdentityDiffers => "the identifiers differ from the advice",
        Block::TestsNotChosen => "no test was chosen that shows the fault",
        Block::BeforeMissing => "a test lacks its result before",
        Block::AfterMissing => "a test lacks its result after",
        Block::FaultNotFixed => "the declared fault is not fixed",
        Block::MadeWorse => "something is worse than before",
        Block::NeighbourNotProved => "a heated neighbour is not proved",
        Block::Held => "the job was on hold",
        Block::StillFailing => "a test fails after the work",
        Block::NothingFixed => "no test shows that anything is better than it was",
        Block::NotClosed => "tested after, but not in the closed device",
        Block::FaultFound => "the declared fault did show before",
        Block::WorkDone => "the board was worked on",
        Block::NotRefused => "the shop has not refused",
        Block::JumperNotAccepted => "a jumper does not read as its wire should",
        Block::NotArrived
        | Block::HasLeft
        | Block::ReadOnly
        | Block::CellNotChecked
        | Block::CellNotClear
        | Block::CellUndiagnosed
        | Block::IdentityMissing
        | Block::SignsMissing
        | Block::QuoteMissing
        | Block::NotAgreed
        | Block::NoWork
        | Block::Disputed
        | Block::OutcomeMissing
        | Block::ReportMissing
        | Block::ShopUnknown
        | Block::ResultsDiffer
        | Block::DiagnosisMissing
        | Block::HoldPointOpen => "a rule that can’t be set aside, and was not",
    }
}
