//! The packing slip: what is in a return parcel, and in what state each device goes back.

use super::set::{self, BODY, MONO, SMALL, STRONG};
use super::sheet::{self, Column, Furniture};
use crate::error::PaperError;
use crate::layout::canvas::Role;
use crate::layout::flow::{Brick, draw_stack, stack_height};
use crate::layout::text::Span;
use crate::marks::joint;
use crate::model::{PackedDevice, PackingSlip, PageSetup};
use crate::qr::Code;

const CODE_SIDE: f32 = 84.0;

/// Makes the packing slip.
pub(crate) fn make(slip: &PackingSlip, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    let furniture = furniture(slip);
    let (mut flow, album) = furniture.begin(setup, 1.0)?;
    let width = flow.frame.width();
    let words = &slip.wording;
    flow.column(&[addresses(slip, width)?]);
    flow.column(&set::section(&words.devices, width));
    flow.column(&devices(slip, width));
    flow.column(&marks(slip, width));
    flow.column(&cautions_and_notes(slip, width));
    flow.column(&sheet::terms(&words.terms, &slip.terms, width));
    furniture.end(flow, album, &slip.meta)
}

fn furniture(slip: &PackingSlip) -> Furniture<'_> {
    let words = &slip.wording;
    Furniture {
        lab: &slip.lab,
        paper: &words.paper,
        reference: &slip.parcel_ref,
        page: &words.page,
        of: &words.of,
    }
}

/// To whom, the facts of the parcel, and the code at the right.
fn addresses(slip: &PackingSlip, width: f32) -> Result<Brick, PaperError> {
    let code = Code::new(&slip.code)?;
    let gap = 24.0;
    let column = (width - CODE_SIDE - 2.0 * gap) / 2.0;
    let to = sheet::address(&slip.wording.to, &slip.to.name, &slip.to.address, column);
    let facts = set::labelled(&slip.facts, column);
    let height = stack_height(&to)
        .max(stack_height(&facts))
        .max(CODE_SIDE + 6.0);
    let alternative = slip.code.clone();
    Ok(Brick::new(height, move |pen, x, y| {
        for (bricks, left) in [(&to, x), (&facts, x + column + gap)] {
            draw_stack(pen, bricks, left, y);
        }
        pen.tagged(Role::Figure, &alternative, |pen| {
            code.draw_flush(pen, x + width - CODE_SIDE, y + 3.0, CODE_SIDE);
        });
    })
    .before(6.0))
}

fn devices(slip: &PackingSlip, width: f32) -> Vec<Brick> {
    let words = &slip.wording;
    // The joint of the outcome has a column of its own, so that the word and the note stand level.
    let columns = [
        (words.job.as_str(), 0.18),
        (words.device.as_str(), 0.30),
        (words.accessories.as_str(), 0.20),
        ("", 0.065),
        (words.outcome.as_str(), 0.255),
    ]
    .map(|(title, share)| Column {
        title: title.to_owned(),
        width: width * share,
    });
    let mut bricks = sheet::table(
        &columns,
        &slip.devices.iter().map(device_row).collect::<Vec<_>>(),
        width,
    );
    let outcome_left = columns[..3].iter().map(|column| column.width).sum::<f32>();
    for (brick, device) in bricks.iter_mut().skip(1).zip(&slip.devices) {
        let kind = device.outcome;
        brick.also_draw(move |pen, x, y| {
            let left = x + outcome_left;
            pen.artifact(|pen| joint::draw_outcome(pen, kind, left + 2.0, y + 9.4, 18.0, 2.8));
        });
    }
    bricks
}

fn device_row(device: &PackedDevice) -> Vec<Vec<Span>> {
    let mut name = vec![Span::new(&device.name, STRONG)];
    if !device.identifier.is_empty() {
        name.push(Span::new(format!("\n{}", device.identifier), MONO));
    }
    let mut outcome = vec![Span::new(&device.outcome_word, STRONG)];
    if !device.note.is_empty() {
        outcome.push(Span::new(format!("\n{}", device.note), SMALL));
    }
    vec![
        vec![Span::new(&device.job_ref, MONO)],
        name,
        vec![Span::new(&device.accessories, BODY)],
        Vec::new(),
        outcome,
    ]
}

fn marks(slip: &PackingSlip, width: f32) -> Vec<Brick> {
    if slip.marks.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(&slip.wording.marks, width);
    for mark in &slip.marks {
        let mut spans = vec![Span::new(&mark.title, STRONG)];
        if !mark.text.is_empty() {
            spans.push(Span::new(format!("  {}", mark.text), BODY));
        }
        if !mark.source.is_empty() {
            spans.push(Span::new(format!("  {}", mark.source), SMALL));
        }
        bricks.extend(set::bullet(&spans, width));
    }
    bricks
}

fn cautions_and_notes(slip: &PackingSlip, width: f32) -> Vec<Brick> {
    let mut bricks = Vec::new();
    if !slip.cautions.is_empty() {
        bricks.extend(set::section(&slip.wording.cautions, width));
        for caution in &slip.cautions {
            bricks.extend(set::caution(caution, width));
        }
    }
    if !slip.notes.is_empty() {
        bricks.extend(set::section(&slip.wording.notes, width));
        for note in &slip.notes {
            bricks.extend(set::spaced(set::plain(note, BODY, width), 2.0));
        }
    }
    bricks
}
