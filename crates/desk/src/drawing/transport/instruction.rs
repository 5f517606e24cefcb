//! The packing instruction: the verdict with its limits, rules and cautions, device by device and step by step.
//!
//! It says what the verdict says and leaves out none of its rules, limits or unknowns.

use domain::cells::energy_text;
use domain::cells::transport::{Flag, Mark, MarkKind, Verdict, VerdictCode};
use domain::job::Job;
use domain::reference::ParcelRef;
use papers::model::{self, VerdictKind};

use super::Drawing;
use super::cited::{certainty, fired};
use crate::drawing::came::chemistry_words;
use crate::drawing::lab_head;
use crate::drawing::words::{capital, device_name, joined};

impl Drawing<'_> {
    pub(super) fn instruction(&self, to: model::Party) -> model::PackingInstruction {
        let verdict = self.papers.verdict;
        let parcel = &self.papers.view.parcel;
        model::PackingInstruction {
            meta: self.meta("Packing instruction"),
            lab: self.own.on(lab_head(self.lab)),
            parcel_ref: parcel.reference.clone(),
            code: ParcelRef::of(parcel.parcel_id).qr_text(),
            to,
            facts: self.facts(),
            verdict: kind(verdict.verdict),
            verdict_words: capital(&verdict.words),
            verdict_text: flags(&verdict.flags),
            alternatives: alternatives(verdict),
            devices: self.jobs.iter().map(|job| self.device(job)).collect(),
            steps: steps(verdict),
            limits: limits(verdict),
            marks: verdict.marks.iter().map(outside).collect(),
            papers: verdict.papers.iter().map(with_it).collect(),
            rules: verdict.rules.iter().map(fired).collect(),
            unknowns: verdict.unknowns.iter().map(|text| sentence(text)).collect(),
            cautions: cautions(verdict),
            overridden: self.papers.overridden.clone(),
            signatures: self.signatures(),
            ..model::PackingInstruction::default()
        }
    }

    fn device(&self, job: &Job) -> model::InstructionDevice {
        let identifiers = job.identity.value().map(|identity| &identity.identifiers);
        let identifiers = identifiers.into_iter().flatten();
        let name = job
            .device
            .value()
            .map_or_else(|| "unknown device".to_owned(), device_name);
        let (cell, condition) = job.cell().map_or_else(
            || ("not known".to_owned(), "Cell not checked".to_owned()),
            |cell| {
                let energy = cell.check.rating.energy_uwh().map(energy_text);
                let energy = energy.unwrap_or_else(|| "watt-hours not known".to_owned());
                let condition = format!(
                    "{}. {}",
                    capital(cell.judgement.level.word()),
                    self.words.by(&cell.mark)
                );
                let chemistry = capital(chemistry_words(cell.check.chemistry));
                (format!("{chemistry}, {energy}"), condition)
            },
        );
        model::InstructionDevice {
            reference: job.reference.clone(),
            name,
            identifier: joined(identifiers.map(|identifier| identifier.text.as_str()), ", "),
            cell,
            condition,
            note: String::new(),
        }
    }

    fn signatures(&self) -> Vec<model::SignatureLine> {
        let trained = !self.papers.verdict.may_go() || self.papers.overridden.is_some();
        let shipper = if trained {
            "Shipper, trained for dangerous goods"
        } else {
            "Shipper"
        };
        let line = |role: &str, name: &str| model::SignatureLine {
            role: role.to_owned(),
            name: name.to_owned(),
        };
        match self.papers.verdict.verdict {
            VerdictCode::Forbidden => Vec::new(),
            _ => vec![line("Packed by", ""), line(shipper, &self.papers.shipper)],
        }
    }
}

const fn kind(code: VerdictCode) -> VerdictKind {
    match code {
        VerdictCode::Ordinary => VerdictKind::MayGo,
        VerdictCode::Marked => VerdictKind::Marked,
        VerdictCode::DdrGround => VerdictKind::DamagedByRoad,
        VerdictCode::Hold => VerdictKind::Hold,
        VerdictCode::Forbidden => VerdictKind::NotThisWay,
    }
}

fn flags(flags: &[Flag]) -> String {
    let sentences = flags
        .iter()
        .map(|flag| format!("{}.", capital(flag.words())));
    sentences.collect::<Vec<_>>().join(" ")
}

fn alternatives(verdict: &Verdict) -> Vec<String> {
    let alternatives = verdict.alternatives.iter();
    alternatives
        .map(|way| format!("{}: {}.", capital(&way.change), way.words))
        .collect()
}

fn steps(verdict: &Verdict) -> Vec<model::PackingStep> {
    let packing = verdict.packing.iter();
    packing
        .map(|step| model::PackingStep {
            title: String::new(),
            text: step.text.clone(),
            source: step.clause.clone(),
        })
        .collect()
}

fn limits(verdict: &Verdict) -> Vec<model::LimitChecked> {
    let limits = verdict.limits.iter();
    limits
        .map(|limit| model::LimitChecked {
            what: capital(&limit.what),
            value: limit.value.clone(),
            limit: limit.limit.clone(),
            result: match (limit.within, limit.value.as_str()) {
                (true, _) => "kept",
                (false, "not known") => "not known",
                (false, _) => "not kept",
            }
            .to_owned(),
            is_within: limit.within,
            source: format!("{} · {}", limit.clause, certainty(limit.certainty)),
        })
        .collect()
}

/// A mark on the outside, in words.
fn outside(mark: &Mark) -> model::TransportMark {
    let mut text = Vec::new();
    if mark.kind == MarkKind::Words {
        text.push(format!("“{}”.", mark.lines.join("” and “")));
    }
    if let Some((width, height)) = mark.size_mm {
        text.push(format!("At least {width} × {height} mm."));
    }
    if let Some(height) = mark.letter_height_mm {
        text.push(format!("Letters at least {height} mm high."));
    }
    text.push(mark.placing.clone());
    model::TransportMark {
        title: format!("{}.", capital(&mark.words)),
        text: text.join(" "),
        source: String::new(),
    }
}

fn with_it(paper: &domain::cells::transport::Paper) -> model::TransportMark {
    model::TransportMark {
        title: format!("{}.", capital(&paper.name)),
        text: paper.text.clone(),
        source: paper.clause.clone(),
    }
}

fn cautions(verdict: &Verdict) -> Vec<model::Caution> {
    let cautions = verdict.cautions.iter();
    cautions
        .map(|caution| model::Caution {
            title: String::new(),
            text: caution.text.clone(),
            source: String::new(),
        })
        .collect()
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let text = capital(text.trim());
    if text.ends_with(['.', '!', '?']) {
        text
    } else {
        format!("{text}.")
    }
}
