//! The inward slip: what a shop puts in the box, on top.

use super::set::{self, BODY, MONO, SMALL, STRONG};
use super::sheet::{self, Column, Furniture};
use crate::error::PaperError;
use crate::fonts::Family;
use crate::layout::canvas::{INK, Role};
use crate::layout::flow::{Brick, draw_stack, stack_height};
use crate::layout::text::{Span, Style, single_line, wrap};
use crate::model::{InwardSlip, PageSetup, SlipDevice, SlipWording};
use crate::qr::Code;

/// Dark side of the code: large enough for a hand scanner at arm's length.
const CODE_SIDE: f32 = 118.0;

/// Makes the inward slip.
pub(crate) fn make(slip: &InwardSlip, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    let furniture = furniture(slip);
    let (mut flow, album) = furniture.begin(setup, 1.0)?;
    let width = flow.frame.width();
    let words = &slip.wording;
    flow.column(&[instruction(slip, width)]);
    flow.column(&[addresses(slip, width)?]);
    flow.column(&set::section(&words.devices, width));
    flow.column(&devices(&slip.devices, words, width));
    flow.column(&packing(slip, width));
    flow.column(&cautions(slip, width));
    furniture.end(flow, album, &slip.meta)
}

fn furniture(slip: &InwardSlip) -> Furniture<'_> {
    let words = &slip.wording;
    Furniture {
        lab: &slip.lab,
        paper: &words.paper,
        reference: &slip.parcel_ref,
        page: &words.page,
        of: &words.of,
    }
}

fn instruction(slip: &InwardSlip, width: f32) -> Brick {
    let style = Style {
        family: Family::Text,
        size: 13.0,
        colour: INK,
    };
    let lines = wrap(&[Span::new(&slip.wording.instruction, style)], width);
    Brick::new(set::lines_height(&lines), move |pen, x, y| {
        set::draw_lines(pen, &lines, x, y);
    })
    .role(Role::Paragraph)
    .before(6.0)
}

/// The code with its reference at the left, addresses and facts at the right.
fn addresses(slip: &InwardSlip, width: f32) -> Result<Brick, PaperError> {
    let words = &slip.wording;
    let code = Code::new(&slip.code)?;
    let reference_style = Style {
        family: Family::MonoBold,
        size: 15.5,
        colour: INK,
    };
    let reference = single_line(&[Span::new(&slip.parcel_ref, reference_style)]);
    let column = CODE_SIDE.max(reference.width);
    let gap = 30.0;
    let text_width = width - column - gap;
    let mut right = sheet::address(&words.to, &slip.lab.name, &slip.lab.address, text_width);
    for line in &slip.lab.contact {
        right.extend(set::plain(line, SMALL, text_width));
    }
    right.extend(set::spaced(
        sheet::address(&words.from, &slip.shop.name, &slip.shop.address, text_width),
        10.0,
    ));
    right.extend(set::spaced(set::labelled(&slip.facts, text_width), 10.0));
    let label = single_line(&[Span::new(&words.parcel, SMALL)]);
    let left_height = CODE_SIDE + 40.0;
    let height = stack_height(&right).max(left_height);
    let alternative = slip.code.clone();
    Ok(Brick::new(height, move |pen, x, y| {
        pen.tagged(Role::Figure, &alternative, |pen| {
            code.draw_flush(pen, x, y + 4.0, CODE_SIDE);
        });
        pen.tagged(Role::Paragraph, "", |pen| {
            pen.text(&label, x, y + CODE_SIDE + 20.0);
            pen.text(&reference, x, y + CODE_SIDE + 36.0);
        });
        draw_stack(pen, &right, x + column + gap, y);
    })
    .before(14.0))
}

fn devices(devices: &[SlipDevice], words: &SlipWording, width: f32) -> Vec<Brick> {
    let columns = [
        ("", 0.05),
        (words.device.as_str(), 0.33),
        (words.fault.as_str(), 0.36),
        (words.accessories.as_str(), 0.26),
    ]
    .map(|(title, share)| Column {
        title: title.to_owned(),
        width: width * share,
    });
    let rows = devices.iter().enumerate().map(|(index, device)| {
        let mut name = vec![Span::new(&device.name, STRONG)];
        for value in [&device.identifier, &device.job_ref] {
            if !value.is_empty() {
                name.push(Span::new(format!("\n{value}"), MONO));
            }
        }
        vec![
            vec![Span::new((index + 1).to_string(), MONO)],
            name,
            vec![Span::new(&device.fault, BODY)],
            vec![Span::new(&device.accessories, BODY)],
        ]
    });
    sheet::table(&columns, &rows.collect::<Vec<_>>(), width)
}

fn packing(slip: &InwardSlip, width: f32) -> Vec<Brick> {
    if slip.packing.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(&slip.wording.packing, width);
    for (index, step) in slip.packing.iter().enumerate() {
        bricks.extend(set::numbered(index + 1, &[Span::new(step, BODY)], width));
    }
    bricks
}

fn cautions(slip: &InwardSlip, width: f32) -> Vec<Brick> {
    if slip.cautions.is_empty() {
        return Vec::new();
    }
    let mut bricks = set::section(&slip.wording.cautions, width);
    for caution in &slip.cautions {
        bricks.extend(set::caution(caution, width));
    }
    bricks
}
