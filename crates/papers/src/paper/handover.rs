//! The record that goes with a cell handed to a recycler: what it is, what is wrong with it, how it is packed, who took it.

use super::parts::{self, Band};
use super::set::{self, BODY, MONO};
use super::sheet::{self, Column, Furniture};
use crate::error::PaperError;
use crate::layout::flow::{Brick, Flow};
use crate::layout::text::Span;
use crate::marks::level;
use crate::model::{CellLevel, HandoverRecord, PageSetup};
use crate::picture::Album;

/// Makes the record.
pub(crate) fn make(record: &HandoverRecord, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    let (flow, album) = parts::on_few_pages(|spacing| lay_out(record, setup, spacing))?;
    furniture(record).end(flow, album, &record.meta)
}

fn furniture(record: &HandoverRecord) -> Furniture<'_> {
    let words = &record.wording;
    Furniture {
        lab: &record.lab,
        paper: &words.paper,
        reference: &record.reference,
        page: &words.page,
        of: &words.of,
    }
}

/// Everything but what stands on every page.
fn lay_out(
    record: &HandoverRecord,
    setup: &PageSetup,
    spacing: f32,
) -> Result<(Flow, Album), PaperError> {
    let (mut flow, album) = furniture(record).begin(setup, spacing)?;
    let width = flow.frame.width();
    let words = &record.wording;
    flow.column(&[parts::beside_code(&record.code, width, |column| {
        [
            sheet::address(&words.to, &record.to.name, &record.to.address, column),
            set::labelled(&record.facts, column),
        ]
    })?]);
    // One run of bricks, so that no heading is left behind at the foot of a page.
    let mut bricks = vec![state(record, width)];
    bricks.extend(set::section(&words.cell, width));
    bricks.extend(set::strip(&record.cell, width));
    for (heading, sentences) in [
        (&words.findings, &record.findings),
        (&words.packing, &record.packing),
    ] {
        if !sentences.is_empty() {
            bricks.extend(set::section(heading, width));
            bricks.extend(parts::sentences(sentences, "", width));
        }
    }
    bricks.extend(trail(record, width));
    bricks.extend(set::section(&words.unknowns, width));
    bricks.extend(parts::sentences(
        &record.unknowns,
        &words.nothing_unknown,
        width,
    ));
    bricks.extend(parts::cautions(&words.cautions, &record.cautions, width));
    bricks.extend(parts::rules(&words.rules, &record.rules, width));
    bricks.extend(parts::edition(&words.edition, width));
    flow.column(&bricks);
    sign(&mut flow, record, width);
    Ok((flow, album))
}

fn state(record: &HandoverRecord, width: f32) -> Brick {
    let kind = record.level;
    let loudness = match kind {
        CellLevel::Clear | CellLevel::Watch => Band::Quiet,
        CellLevel::Isolate | CellLevel::Emergency => Band::Loud,
    };
    parts::band(
        loudness,
        &record.level_words,
        "",
        width,
        move |pen, (x, y), side, (ink, ground)| level::draw(pen, kind, x, y, side, ink, ground),
    )
}

fn trail(record: &HandoverRecord, width: f32) -> Vec<Brick> {
    if record.trail.is_empty() {
        return Vec::new();
    }
    let words = &record.wording;
    let columns = [
        (&words.when, 0.17),
        (&words.what, 0.28),
        (&words.reading, 0.37),
        (&words.by, 0.18),
    ]
    .map(|(title, share)| Column {
        title: title.clone(),
        width: width * share,
    });
    let rows: Vec<_> = record
        .trail
        .iter()
        .map(|row| {
            vec![
                vec![Span::new(&row.at, BODY)],
                vec![Span::new(&row.what, BODY)],
                vec![Span::new(&row.reading, MONO)],
                vec![Span::new(&row.by, BODY)],
            ]
        })
        .collect();
    let mut bricks = set::section(&words.trail, width);
    bricks.extend(sheet::table(&columns, &rows, width));
    bricks
}

fn sign(flow: &mut Flow, record: &HandoverRecord, width: f32) {
    if record.signatures.is_empty() {
        return;
    }
    let mut bricks = set::section(&record.wording.signatures, width);
    bricks.extend(parts::signatures(
        &record.signatures,
        &record.wording.date,
        width,
    ));
    flow.need(flow.height_of(&bricks));
    flow.column(&bricks);
}
