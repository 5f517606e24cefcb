//! What follows the results: what was not tested, cautions; price, warranty, and where the record is kept.

use super::super::set::{self, BODY, MONO, SMALL, SMALL_MONO, STRONG};
use super::words;
use crate::error::PaperError;
use crate::fonts::Family;
use crate::layout::canvas::{ACCENT, INK, Role};
use crate::layout::flow::Brick;
use crate::layout::text::{Span, Style, single_line, wrap};
use crate::model::{Digest, Quote, ReturnReport};
use crate::qr::Code;

/// Not tested, rules set aside, cautions.
pub(super) fn left(report: &ReturnReport, width: f32) -> Vec<Brick> {
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

/// Price, warranty, record.
pub(super) fn right(report: &ReturnReport, width: f32) -> Result<Vec<Brick>, PaperError> {
    let wording = &report.wording;
    let mut bricks = Vec::new();
    if let Some(quote) = &report.quote {
        bricks.extend(price(quote, report, width));
    }
    if !report.warranty.is_empty() {
        bricks.extend(set::section(&wording.warranty, width));
        for term in &report.warranty {
            bricks.extend(set::spaced(
                set::stated(term, BODY, width, &words(report)),
                2.0,
            ));
        }
    }
    if let Some(digest) = &report.digest {
        bricks.extend(set::section(&wording.record, width));
        bricks.push(record(digest, width)?);
    }
    Ok(bricks)
}

fn price(quote: &Quote, report: &ReturnReport, width: f32) -> Vec<Brick> {
    let mut bricks = set::section(&report.wording.price, width);
    for line in &quote.lines {
        bricks.push(amount_row(&line.text, &line.amount, BODY, MONO, width).keep());
    }
    let sum_style = Style {
        family: Family::MonoBold,
        size: 9.0,
        colour: INK,
    };
    bricks.push(
        Brick::new(3.0, move |pen, x, y| {
            pen.rule((x, y + 1.5), (x + width, y + 1.5), INK, 0.8)
        })
        .keep(),
    );
    bricks.push(amount_row(
        &report.wording.sum,
        &quote.sum.text,
        STRONG,
        sum_style,
        width,
    ));
    bricks.extend(set::others(&quote.sum, width, &words(report)));
    bricks.extend(set::spaced(set::plain(&quote.decision, SMALL, width), 2.0));
    bricks
}

fn amount_row(
    text: &str,
    amount: &str,
    text_style: Style,
    amount_style: Style,
    width: f32,
) -> Brick {
    let amount = single_line(&[Span::new(amount, amount_style)]);
    let lines = wrap(
        &[Span::new(text, text_style)],
        (width - amount.width - 10.0).max(width * 0.3),
    );
    let height = set::lines_height(&lines).max(set::leading(amount_style.size)) + 1.5;
    Brick::new(height, move |pen, x, y| {
        set::draw_lines(pen, &lines, x, y);
        pen.text_right(&amount, x + width, y + set::ascent(text_style.size));
    })
    .role(Role::Paragraph)
}

/// The QR code, the address and the digest of the same record on the server.
fn record(digest: &Digest, width: f32) -> Result<Brick, PaperError> {
    let code = Code::new(&digest.url)?;
    let (side, gap) = (66.0, 12.0);
    let text_width = width - side - gap;
    let address_style = Style {
        family: Family::Mono,
        size: 7.5,
        colour: ACCENT,
    };
    let lines = wrap(&[Span::new(&digest.text, BODY)], text_width);
    let address_from = set::lines_height(&lines) + 3.0;
    let address = wrap(&[Span::new(&digest.url, address_style)], text_width);
    let digest_from = address_from + set::lines_height(&address) + 3.0;
    let sum = wrap(&[Span::new(&digest.digest, SMALL_MONO)], text_width);
    let height = (digest_from + set::lines_height(&sum)).max(side) + 4.0;
    let url = digest.url.clone();
    let brick = Brick::new(height, move |pen, x, y| {
        let text_x = x + side + gap;
        code.draw_flush(pen, x, y + 2.0, side);
        set::draw_lines(pen, &lines, text_x, y);
        let address_height = set::draw_lines(pen, &address, text_x, y + address_from);
        pen.link(&url, text_x, y + address_from, text_width, address_height);
        set::draw_lines(pen, &sum, text_x, y + digest_from);
    });
    Ok(brick.role(Role::Paragraph).before(2.0))
}
