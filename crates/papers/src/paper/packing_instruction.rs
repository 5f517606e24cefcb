//! The packing instruction of a return parcel: the verdict, then the hands' work in order, then why.

use super::parts::{self, Band};
use super::set::{self, BODY, MONO, SMALL, STRONG};
use super::sheet::{self, Column, Furniture};
use crate::error::PaperError;
use crate::layout::canvas::{INK, Role};
use crate::layout::flow::{Brick, Flow};
use crate::layout::text::Span;
use crate::marks::verdict;
use crate::model::{
    InstructionDevice, InstructionWording, LimitChecked, Overridden, PackingInstruction, PageSetup,
    VerdictKind,
};
use crate::picture::Album;

/// Makes the packing instruction.
pub(crate) fn make(paper: &PackingInstruction, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    let (flow, album) = parts::on_few_pages(|spacing| lay_out(paper, setup, spacing))?;
    furniture(paper).end(flow, album, &paper.meta)
}

fn furniture(paper: &PackingInstruction) -> Furniture<'_> {
    let words = &paper.wording;
    Furniture {
        lab: &paper.lab,
        paper: &words.paper,
        reference: &paper.parcel_ref,
        page: &words.page,
        of: &words.of,
    }
}

/// Everything but what stands on every page.
fn lay_out(
    paper: &PackingInstruction,
    setup: &PageSetup,
    spacing: f32,
) -> Result<(Flow, Album), PaperError> {
    let (mut flow, album) = furniture(paper).begin(setup, spacing)?;
    let width = flow.frame.width();
    let words = &paper.wording;
    flow.column(&[parts::beside_code(&paper.code, width, |column| {
        [
            sheet::address(&words.to, &paper.to.name, &paper.to.address, column),
            set::labelled(&paper.facts, column),
        ]
    })?]);
    // One run of bricks, so that no heading is left behind at the foot of a page.
    let mut bricks = answer(paper, width);
    bricks.extend(devices(&paper.devices, words, width));
    bricks.extend(steps(paper, width));
    bricks.extend(outside(paper, width));
    bricks.extend(limits(&paper.limits, words, width));
    bricks.extend(known(paper, width));
    bricks.extend(parts::cautions(&words.cautions, &paper.cautions, width));
    bricks.extend(parts::rules(&words.rules, &paper.rules, width));
    bricks.extend(parts::edition(&words.edition, width));
    flow.column(&bricks);
    sign(&mut flow, paper, width);
    Ok((flow, album))
}

/// The verdict, and what would be lawful instead.
fn answer(paper: &PackingInstruction, width: f32) -> Vec<Brick> {
    let kind = paper.verdict;
    let loudness = match kind {
        VerdictKind::MayGo | VerdictKind::Marked => Band::Quiet,
        VerdictKind::DamagedByRoad | VerdictKind::Hold | VerdictKind::NotThisWay => Band::Loud,
    };
    let mut bricks = vec![parts::band(
        loudness,
        &paper.verdict_words,
        &paper.verdict_text,
        width,
        move |pen, place, side, colours| verdict::draw(pen, kind, place, side, colours),
    )];
    if !paper.alternatives.is_empty() {
        bricks.extend(set::section(&paper.wording.alternatives, width));
        bricks.extend(parts::sentences(&paper.alternatives, "", width));
    }
    bricks
}

fn devices(devices: &[InstructionDevice], words: &InstructionWording, width: f32) -> Vec<Brick> {
    if devices.is_empty() {
        return Vec::new();
    }
    let columns = [
        (&words.reference, 0.16),
        (&words.device, 0.27),
        (&words.cell, 0.26),
        (&words.condition, 0.31),
    ]
    .map(|(title, share)| Column {
        title: title.clone(),
        width: width * share,
    });
    let rows: Vec<_> = devices.iter().map(device_row).collect();
    let mut bricks = set::section(&words.devices, width);
    bricks.extend(sheet::table(&columns, &rows, width));
    bricks
}

fn device_row(device: &InstructionDevice) -> Vec<Vec<Span>> {
    let mut name = vec![Span::new(&device.name, STRONG)];
    if !device.identifier.is_empty() {
        name.push(Span::new(format!("\n{}", device.identifier), MONO));
    }
    let mut condition = vec![Span::new(&device.condition, BODY)];
    if !device.note.is_empty() {
        condition.push(Span::new(format!("\n{}", device.note), STRONG));
    }
    vec![
        vec![Span::new(&device.reference, MONO)],
        name,
        vec![Span::new(&device.cell, BODY)],
        condition,
    ]
}

fn steps(paper: &PackingInstruction, width: f32) -> Vec<Brick> {
    if paper.steps.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(&paper.wording.steps, width);
    for (index, step) in paper.steps.iter().enumerate() {
        bricks.extend(parts::step(index + 1, step, width));
    }
    bricks
}

/// What goes on the outside, and which papers go with it.
fn outside(paper: &PackingInstruction, width: f32) -> Vec<Brick> {
    let words = &paper.wording;
    let mut bricks = Vec::new();
    let may_go = !matches!(paper.verdict, VerdictKind::Hold | VerdictKind::NotThisWay);
    // A parcel that stays has nothing to be stuck on; saying that no mark is asked for would read as leave to send it.
    if may_go || !paper.marks.is_empty() {
        bricks.extend(set::section(&words.marks, width));
        bricks.extend(parts::marks(&paper.marks, &words.no_marks, width));
    }
    if may_go || !paper.papers.is_empty() {
        bricks.extend(set::section(&words.papers, width));
        bricks.extend(parts::marks(&paper.papers, &words.no_papers, width));
    }
    bricks
}

fn limits(limits: &[LimitChecked], words: &InstructionWording, width: f32) -> Vec<Brick> {
    if limits.is_empty() {
        return Vec::new();
    }
    let columns = [
        (&words.limit_of, 0.25),
        (&words.value, 0.18),
        (&words.limit, 0.18),
        (&words.result, 0.13),
        (&words.source, 0.26),
    ]
    .map(|(title, share)| Column {
        title: title.clone(),
        width: width * share,
    });
    let rows: Vec<_> = limits.iter().map(limit_row).collect();
    let mut bricks = set::section(&words.limits, width);
    bricks.extend(parts::together(sheet::table(&columns, &rows, width)));
    bricks
}

fn limit_row(limit: &LimitChecked) -> Vec<Vec<Span>> {
    let style = if limit.is_within { BODY } else { STRONG };
    vec![
        vec![Span::new(&limit.what, BODY)],
        vec![Span::new(&limit.value, MONO)],
        vec![Span::new(&limit.limit, MONO)],
        vec![Span::new(&limit.result, style)],
        vec![Span::new(&limit.source, SMALL)],
    ]
}

fn known(paper: &PackingInstruction, width: f32) -> Vec<Brick> {
    let words = &paper.wording;
    let mut bricks = set::section(&words.unknowns, width);
    bricks.extend(parts::sentences(
        &paper.unknowns,
        &words.nothing_unknown,
        width,
    ));
    bricks
}

/// The override and the signatures, together on one page.
fn sign(flow: &mut Flow, paper: &PackingInstruction, width: f32) {
    let words = &paper.wording;
    let mut bricks = Vec::new();
    if let Some(overridden) = &paper.overridden {
        bricks.extend(set::section(&words.overridden, width));
        bricks.push(override_note(overridden, &words.reason, width));
    }
    if !paper.signatures.is_empty() {
        bricks.extend(set::section(&words.signatures, width));
        bricks.extend(parts::signatures(&paper.signatures, &words.date, width));
    }
    flow.need(flow.height_of(&bricks));
    flow.column(&bricks);
}

fn override_note(overridden: &Overridden, reason: &str, width: f32) -> Brick {
    let spans = [
        Span::new(&overridden.what, STRONG),
        Span::new(format!("\n{reason}  "), SMALL),
        Span::new(&overridden.reason, BODY),
        Span::new(format!("\n{}", overridden.by), BODY),
    ];
    let lines = crate::layout::text::wrap(&spans, width - 9.0);
    let height = set::lines_height(&lines) + 2.0;
    Brick::new(height, move |pen, x, y| {
        pen.rule((x + 1.0, y + 1.0), (x + 1.0, y + height), INK, 2.0);
        set::draw_lines(pen, &lines, x + 9.0, y);
    })
    .role(Role::Paragraph)
}
