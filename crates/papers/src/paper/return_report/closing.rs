//! What follows the results: what was not tested, cautions, and where the record is kept.

use super::super::set::{self, BODY, SMALL_MONO, STRONG};
use crate::error::PaperError;
use crate::fonts::Family;
use crate::layout::canvas::{ACCENT, Role};
use crate::layout::flow::Brick;
use crate::layout::text::{Span, Style, wrap};
use crate::model::{Digest, ReturnReport};
use crate::qr::Code;

/// The two columns: remarks at the left, the record at the right.
pub(super) fn columns(report: &ReturnReport, width: f32) -> Result<[Vec<Brick>; 2], PaperError> {
    let mut right = Vec::new();
    if let Some(digest) = &report.digest {
        right.extend(set::section(&report.wording.record, width));
        right.push(record(digest, width)?);
    }
    Ok([remarks(report, width), right])
}

/// Not tested, rules set aside, cautions.
fn remarks(report: &ReturnReport, width: f32) -> Vec<Brick> {
    let wording = &report.wording;
    let mut bricks = Vec::new();
    if !report.not_tested.is_empty() {
        bricks.extend(set::section(&wording.not_tested, width));
        for item in &report.not_tested {
            let spans = [
                Span::new(format!("{}: ", item.test), STRONG),
                Span::new(&item.reason, BODY),
            ];
            bricks.extend(set::bullet(&spans, width));
        }
    }
    if !report.overrides.is_empty() {
        bricks.extend(set::section(&wording.overrides, width));
        for text in &report.overrides {
            bricks.extend(set::bullet(&[Span::new(text, BODY)], width));
        }
    }
    if !report.cautions.is_empty() {
        bricks.extend(set::section(&wording.cautions, width));
        for caution in &report.cautions {
            bricks.extend(set::caution(caution, width));
        }
    }
    bricks
}

/// The QR code, the address and the digest of the same record on the server.
fn record(digest: &Digest, width: f32) -> Result<Brick, PaperError> {
    let code = Code::new(&digest.url)?;
    let (side, gap) = (62.0, 13.0);
    let text_width = width - side - gap;
    let address_style = Style {
        family: Family::Mono,
        size: 7.5,
        colour: ACCENT,
    };
    let lines = wrap(&[Span::new(&digest.text, BODY)], text_width);
    let address_from = set::lines_height(&lines) + 3.0;
    let address = wrap(&[Span::new(&digest.url, address_style)], text_width);
    let digest_from = (address_from + set::lines_height(&address)).max(side) + 4.0;
    let sum = wrap(&[Span::new(&digest.digest, SMALL_MONO)], width);
    let height = digest_from + set::lines_height(&sum) + 2.0;
    let url = digest.url.clone();
    let brick = Brick::new(height, move |pen, x, y| {
        let text_x = x + side + gap;
        code.draw_flush(pen, x, y + 2.0, side);
        set::draw_lines(pen, &lines, text_x, y);
        let address_height = set::draw_lines(pen, &address, text_x, y + address_from);
        pen.link(&url, text_x, y + address_from, text_width, address_height);
        set::draw_lines(pen, &sum, x, y + digest_from);
    });
    Ok(brick.role(Role::Paragraph).before(2.0))
}
