//! The work of a job, judged: which heating of a part a step was, what speaks against it, what a jumper reads, and where the job
//! stands in the procedures it is worked by.
//!
//! Warnings are kept beside the step; they forbid nothing. Only a hold point without its result, and a jumper that does not read
//! as its wire should, keep a job from being closed.

use serde::{Deserialize, Serialize};

use super::{Block, Job, Marked};
use crate::fact::{Jumper, ProcedureBegun, ProcedureStep, Step};
use crate::ids::{EntryId, PersonId};
use crate::recorded::Mark;
use crate::rework::{
    Alloy, HeatSeen, HeatWarning, JumperVerdict, alloy_named, heat_warnings, judge_jumper,
    mixing_warning,
};

/// What a step of work came to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JudgedStep {
    /// The step.
    pub entry_id: EntryId,
    /// For heat on a named part: which heating of it this was, the first being 1.
    pub pass: Option<u32>,
    /// What to think about, gravest first.
    pub warnings: Vec<HeatWarning>,
    /// For a jumper: how its reading compares with what its wire should read.
    pub jumper: Option<JumperVerdict>,
    /// True for a jumper that was read again later.
    pub read_again: bool,
}

/// A procedure that the job is worked by.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JobProcedure {
    /// Who began it and when.
    pub mark: Mark,
    /// The procedure in the version that stood then.
    pub begun: ProcedureBegun,
    /// Its steps with what became of each.
    pub places: Vec<ProcedurePlace>,
    /// The first step that is not done, from 0; `None` when all are.
    pub next: Option<u32>,
}

/// One step of a procedure on one job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ProcedurePlace {
    /// What is to be done.
    pub step: ProcedureStep,
    /// Who last recorded it and when, if anyone did.
    pub recorded: Option<Mark>,
    /// Who witnessed that.
    pub witness_id: Option<PersonId>,
    /// What was found, for a hold point.
    pub result: String,
    /// True when the work may go on from here.
    pub passed: bool,
}

/// Judges a step by those that were recorded before it.
pub fn judge_step(earlier: &[Marked<Step>], entry_id: EntryId, step: &Step) -> JudgedStep {
    let mut warnings = Vec::new();
    let mut pass = None;
    if let Some(heat) = &step.heat {
        let number = heatings(earlier, &heat.part) + 1;
        pass = (!heat.part.is_empty()).then_some(number);
        let alloy = alloy_named(&heat.alloy);
        warnings = heat_warnings(&HeatSeen {
            peak_c: heat.temperature_c,
            measured_at: heat.measured_at,
            seconds: heat.seconds,
            above_liquidus_s: heat.above_liquidus_s,
            alloy,
            body: heat.body,
            pass: pass.unwrap_or(1),
            cell_attached: heat.cell_off.map(|off| !off),
        });
        if !heat.part.is_empty() && heat.neighbours.is_empty() {
            warnings.push(HeatWarning {
                text: format!(
                    "Nobody has named what stands near {}: heat reaches both sides of the board.",
                    heat.part
                ),
                source: "common practice, no source".to_owned(),
            });
        }
        if let Some(alloy) = alloy {
            let mut used: Vec<&Alloy> = alloys(earlier);
            let before = mixing_warning(&used);
            used.push(alloy);
            if before.is_none()
                && let Some(text) = mixing_warning(&used)
            {
                warnings.push(HeatWarning {
                    text,
                    source:
                        "Indium Corporation, list of solder alloys (Bi46Sn34Pb20 melts at 96 °C)"
                            .to_owned(),
                });
            }
        }
    }
    for used in step.lots.iter().filter(|used| !used.floor_life.usable) {
        warnings.push(HeatWarning {
            text: format!(
                "{} from lot {}: {}",
                used.designator, used.lot.0, used.floor_life.words
            ),
            source: "IPC/JEDEC J-STD-033, as reprinted; the label on the bag comes first"
                .to_owned(),
        });
    }
    JudgedStep {
        entry_id,
        pass,
        warnings,
        jumper: step.jumper.as_ref().and_then(judged),
        read_again: false,
    }
}

fn heatings(steps: &[Marked<Step>], part: &str) -> u32 {
    let of_part = steps.iter().filter(|step| {
        step.value
            .heat
            .as_ref()
            .is_some_and(|heat| heat.part == part && !part.is_empty())
    });
    u32::try_from(of_part.count()).unwrap_or(u32::MAX)
}

fn alloys(steps: &[Marked<Step>]) -> Vec<&'static Alloy> {
    let heats = steps.iter().filter_map(|step| step.value.heat.as_ref());
    heats.filter_map(|heat| alloy_named(&heat.alloy)).collect()
}

/// What a jumper came to; `None` for a wire that none is made of, which only another program could have recorded.
pub fn judged(jumper: &Jumper) -> Option<JumperVerdict> {
    let expected = jumper
        .wire
        .expected_micro_ohm(jumper.length_um, jumper.temperature_tenths_c)
        .ok()?;
    Some(judge_jumper(&jumper.reading, expected))
}

/// Judges all steps, oldest first.
pub(super) fn judge_steps(steps: &[Marked<Step>]) -> Vec<JudgedStep> {
    let net = |step: &Marked<Step>| step.value.jumper.as_ref().map(|jumper| jumper.net.clone());
    steps
        .iter()
        .enumerate()
        .map(|(at, step)| {
            let own = net(step);
            JudgedStep {
                read_again: own.is_some() && steps[at + 1..].iter().any(|later| net(later) == own),
                ..judge_step(&steps[..at], step.mark.entry_id, &step.value)
            }
        })
        .collect()
}

/// Walks the begun procedures with the steps that were recorded in them.
pub(super) fn procedures(
    begun: Vec<Marked<ProcedureBegun>>,
    steps: &[Marked<Step>],
) -> Vec<JobProcedure> {
    begun
        .into_iter()
        .map(|Marked { mark, value }| {
            let places: Vec<ProcedurePlace> = value
                .procedure
                .steps
                .iter()
                .zip(0_u32..)
                .map(|(step, index)| place(step, mark.entry_id, index, steps))
                .collect();
            let next = places.iter().zip(0_u32..).find(|(place, _)| !place.passed);
            JobProcedure {
                next: next.map(|(_, index)| index),
                mark,
                begun: value,
                places,
            }
        })
        .collect()
}

fn place(
    step: &ProcedureStep,
    begun_id: EntryId,
    index: u32,
    steps: &[Marked<Step>],
) -> ProcedurePlace {
    let last = steps.iter().rev().find_map(|recorded| {
        let done = recorded.value.in_procedure.as_ref()?;
        (done.begun_id == begun_id && done.index == index).then_some((recorded, done))
    });
    let witness_id = last.and_then(|(recorded, _)| recorded.value.witness_id);
    let passed = last.is_some_and(|(_, done)| {
        !step.hold_point || (done.passed && (witness_id.is_some() || !step.needs_witness))
    });
    ProcedurePlace {
        step: step.clone(),
        recorded: last.map(|(recorded, _)| recorded.mark),
        witness_id,
        result: last.map_or_else(String::new, |(_, done)| done.result.clone()),
        passed,
    }
}

impl JobProcedure {
    /// The hold point that keeps the work from this place, if one does.
    pub fn held_before(&self, index: u32) -> Option<&ProcedurePlace> {
        let before = usize::try_from(index).unwrap_or(usize::MAX);
        self.places
            .iter()
            .take(before)
            .find(|place| place.step.hold_point && !place.passed)
    }
}

/// The hold points of begun procedures that are not passed, in words.
pub(super) fn open_hold_points(job: &Job) -> Option<(Block, String)> {
    let open: Vec<String> = job
        .procedures
        .iter()
        .flat_map(|procedure| {
            let code = &procedure.begun.procedure.code.0;
            let held = procedure
                .places
                .iter()
                .filter(|place| place.step.hold_point && !place.passed);
            held.map(move |place| format!("{} ({code})", place.step.text))
        })
        .collect();
    (!open.is_empty()).then(|| {
        let sentence = format!(
            "Hold points are not passed: {}. Record the result of each, with its witness where one is needed.",
            open.join("; ")
        );
        (Block::HoldPointOpen, sentence)
    })
}

/// The jumpers whose last reading is not accepted and was not passed since, in words.
pub(super) fn unread_jumpers(job: &Job) -> Option<(Block, String)> {
    let passed_ms = job
        .overrides
        .iter()
        .filter(|over| over.value.block == Block::JumperNotAccepted)
        .map(|over| over.mark.at_ms)
        .max()
        .unwrap_or(0);
    let bad: Vec<String> = job
        .steps
        .iter()
        .zip(&job.judged_steps)
        .filter(|(step, judged)| !judged.read_again && step.mark.at_ms > passed_ms)
        .filter_map(|(step, judged)| {
            let verdict = judged.jumper.as_ref().filter(|verdict| !verdict.accepted)?;
            let net = &step.value.jumper.as_ref()?.net;
            Some(format!("{net}: {}", verdict.words))
        })
        .collect();
    (!bad.is_empty()).then(|| {
        let sentence = format!(
            "A jumper does not read as its wire should. {} Lay or read it again, or have an owner pass it with the reason that is printed.",
            bad.join(" ")
        );
        (Block::JumperNotAccepted, sentence)
    })
}
