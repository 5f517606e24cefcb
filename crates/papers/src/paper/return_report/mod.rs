//! The return report: one job as two facing pages, as it came and as it goes, with the comparison in the gutter.

mod came;
mod closing;
mod goes;
mod photos;
mod tests_table;
mod top;
mod traces;

use std::rc::Rc;

use super::set::{self, DisagreementWords};
use super::sheet::{self, Furniture};
use crate::error::PaperError;
use crate::finish;
use crate::fonts::Family;
use crate::layout::canvas::{INK, RULE, Role};
use crate::layout::flow::{Brick, Cursor, Flow};
use crate::layout::text::{Line, Span, Style, wrap};
use crate::model::{PageSetup, ReturnReport};
use crate::picture::Album;

/// White between the facing columns; the joints stand in it.
const GUTTER: f32 = 64.0;

/// The white between things, as a share of the usual, in a report that would put a few lines on a page of their own.
const TIGHTER: [f32; 3] = [0.85, 0.7, 0.6];

/// The share of a last page that is worth a page.
const LAST_PAGE: f32 = 0.25;

/// Makes the return report. One that runs a little over a page is set tighter, if that saves the page.
pub(crate) fn make(report: &ReturnReport, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    let mut laid_out = lay_out(report, setup, 1.0)?;
    if ends_in_a_stub(&laid_out.0) {
        for spacing in TIGHTER {
            let tight = lay_out(report, setup, spacing)?;
            if tight.0.canvas.page_count() < laid_out.0.canvas.page_count() {
                laid_out = tight;
                break;
            }
        }
    }
    let (mut flow, album) = laid_out;
    sheet::furnish(&mut flow, &furniture(report));
    finish::write(flow.canvas, album, &report.meta, &report.attachments)
}

fn furniture(report: &ReturnReport) -> Furniture<'_> {
    let words = &report.wording;
    Furniture {
        lab: &report.lab,
        paper: &words.paper,
        reference: &report.job_ref,
        page: &words.page,
        of: &words.of,
    }
}

/// True for a last page that holds little. A report of two pages is worth one sheet whatever its second holds.
fn ends_in_a_stub(flow: &Flow) -> bool {
    let frame = flow.frame;
    let filled = (flow.cursor.y - frame.top) / (frame.bottom - frame.top);
    match flow.canvas.page_count() {
        1 => false,
        2 => true,
        _ => filled < LAST_PAGE,
    }
}

/// Everything but what stands on every page.
fn lay_out(
    report: &ReturnReport,
    setup: &PageSetup,
    spacing: f32,
) -> Result<(Flow, Album), PaperError> {
    let mut album = Album::default();
    let mut flow = Flow::spaced(sheet::frame(setup, &report.lab), spacing);
    let spread = Spread::of(&flow);

    flow.column(&top::bricks(
        report,
        flow.frame.width(),
        &spread,
        &mut album,
    )?);
    let words = &report.wording;
    let page = |title: &str, sections| page(title, &words.continued, sections, spread.column);
    let left = page(&words.as_it_came, came::sections(report, spread.column));
    let right = page(&words.as_it_goes, goes::sections(report, spread.column));
    // The spread's titles and its first section belong together; a stub of them at a page foot helps nobody.
    flow.need(90.0);
    let (start, end) = flow.spread((&left, spread.left), (&right, spread.right));
    draw_spine(&mut flow, &spread, start, end);

    flow.column(&tests_table::bricks(report, &spread));
    flow.column(&traces::bricks(report, &spread, spacing));
    flow.column(&photos::bricks(report, &spread, &mut album)?);
    flow.column(&photos::grid(report, &spread, &mut album)?);

    let [left, right] = closing::columns(report, spread.column)?;
    // Kept whole when a page can hold it: it is what a shop looks for on the last page.
    let height = flow.height_of(&left).max(flow.height_of(&right));
    if height < (flow.frame.bottom - flow.frame.top) * 0.6 {
        flow.need(height);
    }
    flow.facing((&left, spread.left), (&right, spread.right));
    let terms = sheet::terms(&words.terms, &report.terms, flow.frame.width());
    flow.column(&terms);
    Ok((flow, album))
}

/// Where the two columns of the spread stand.
#[derive(Clone, Copy)]
pub(crate) struct Spread {
    pub(crate) left: f32,
    pub(crate) right: f32,
    pub(crate) column: f32,
}

impl Spread {
    fn of(flow: &Flow) -> Self {
        let column = (flow.frame.width() - GUTTER) / 2.0;
        Self {
            left: flow.frame.left,
            right: flow.frame.left + column + GUTTER,
            column,
        }
    }
}

fn words(report: &ReturnReport) -> DisagreementWords<'_> {
    DisagreementWords {
        not_settled: &report.wording.not_settled,
        also_recorded: &report.wording.also_recorded,
    }
}

/// The spine of the notebook, in the middle of the gutter, over all pages of the spread.
fn draw_spine(flow: &mut Flow, spread: &Spread, start: Cursor, end: Cursor) {
    let x = f32::midpoint(spread.left + spread.column, spread.right);
    for page in start.page..=end.page {
        let top = if page == start.page {
            start.y + 8.0
        } else {
            flow.frame.top
        };
        let bottom = if page == end.page {
            end.y
        } else {
            flow.frame.bottom
        };
        if bottom > top {
            flow.canvas.on(page).rule((x, top), (x, bottom), RULE, 0.8);
        }
    }
}

/// The title of one page of the spread, over a rule as wide as its column.
fn spread_title(text: &str, width: f32) -> Brick {
    let style = Style {
        family: Family::Text,
        size: 13.0,
        colour: INK,
    };
    title_brick(wrap(&[Span::new(text, style)], width), width)
        .role(Role::Heading)
        .before(9.0)
        .keep()
}

fn title_brick(lines: Vec<Line>, width: f32) -> Brick {
    let height = set::lines_height(&lines) + 3.0;
    Brick::new(height, move |pen, x, y| {
        set::draw_lines(pen, &lines, x, y);
        pen.rule((x, y + height), (x + width, y + height), INK, 0.8);
    })
}

/// What stands under one heading of a page of the spread.
struct Section<'a> {
    title: &'a str,
    /// Without its heading; none when there is nothing to say.
    bricks: Vec<Brick>,
}

/// One page of the spread. Each further page or column begins with a smaller title that names the page and the section it goes on with.
fn page(title: &str, continued: &str, sections: Vec<Section<'_>>, width: f32) -> Vec<Brick> {
    let head = |section: &str| {
        let spans = [
            Span::new(title, set::BODY),
            Span::new(format!("   {section}"), set::SECTION),
            Span::new(format!("   {continued}"), set::SMALL),
        ];
        let mut head = title_brick(wrap(&spans, width), width);
        head.height += 4.0;
        Rc::new(head)
    };
    let before_a_section = head("");
    let mut bricks = vec![spread_title(title, width)];
    for section in sections {
        if section.bricks.is_empty() {
            continue;
        }
        let heading = set::section(section.title, width);
        bricks.extend(
            heading
                .into_iter()
                .map(|brick| brick.under(&before_a_section)),
        );
        let inside = head(section.title);
        bricks.extend(section.bricks.into_iter().map(|brick| brick.under(&inside)));
    }
    bricks
}
