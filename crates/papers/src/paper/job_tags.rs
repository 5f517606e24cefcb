//! Job tags: the label on the bag that a device stays in. Roll of 62 mm, or a sheet of labels.

use super::set;
use super::sheet::{POINTS_PER_MM, page_points};
use crate::error::PaperError;
use crate::finish;
use crate::fonts::Family;
use crate::layout::canvas::{Canvas, INK, Paint, Pen, Role, WHITE};
use crate::layout::text::{Line, Span, Style, single_line, width_of, wrap, wrap_within};
use crate::marks::level;
use crate::model::{CellLevel, HazardMark, JobTag, JobTags, LabelGrid, PageSetup, TagStock};
use crate::picture::Album;
use crate::qr::Code;

/// Width of the roll.
const ROLL_WIDTH: f32 = 62.0 * POINTS_PER_MM;
/// A tag on the roll is never shorter than this, so that it can be gripped: 40 mm.
const ROLL_HEIGHT_MIN: f32 = 40.0 * POINTS_PER_MM;
/// White at every side: 3 mm, more than label printers leave blank.
const MARGIN: f32 = 3.0 * POINTS_PER_MM;
const GAP: f32 = 3.0;
const HAZARD_HEIGHT: f32 = 17.0;
const REFERENCE_SIZE_MAX: f32 = 23.0;
/// The code, with its clear border, is never smaller than 15 mm.
const CODE_SIDE_MIN: f32 = 15.0 * POINTS_PER_MM;
const SHOP: Style = Style {
    family: Family::TextBold,
    size: 9.0,
    colour: INK,
};
const DEVICE: Style = Style {
    family: Family::Text,
    size: 8.6,
    colour: INK,
};
const DETAIL: Style = Style {
    family: Family::Text,
    size: 7.6,
    colour: INK,
};
const IDENTIFIER: Style = Style {
    family: Family::Mono,
    size: 7.5,
    colour: INK,
};

/// Makes the tags.
pub(crate) fn make(tags: &JobTags, setup: &PageSetup) -> Result<Vec<u8>, PaperError> {
    if tags.tags.is_empty() {
        return Err(PaperError::NothingToPrint);
    }
    let mut canvas = Canvas::default();
    match &tags.stock {
        TagStock::Roll62 => roll(&mut canvas, &tags.tags)?,
        TagStock::Sheet {
            grid,
            start_position,
        } => {
            sheet(
                &mut canvas,
                &tags.tags,
                grid,
                *start_position,
                page_points(setup.page_size),
            )?;
        }
    }
    finish::write(canvas, Album::default(), &tags.meta, None)
}

fn roll(canvas: &mut Canvas, tags: &[JobTag]) -> Result<(), PaperError> {
    for tag in tags {
        let layout = TagLayout::of(tag, ROLL_WIDTH, None)?;
        let height = layout.height().max(ROLL_HEIGHT_MIN);
        let page = canvas.add_page(ROLL_WIDTH, height);
        layout.draw(&mut canvas.on(page), 0.0, 0.0, height);
    }
    Ok(())
}

fn sheet(
    canvas: &mut Canvas,
    tags: &[JobTag],
    grid: &LabelGrid,
    start_position: u32,
    page: (f32, f32),
) -> Result<(), PaperError> {
    check_grid(grid, page)?;
    let labels = grid.columns * grid.rows;
    if start_position == 0 || start_position > labels {
        return Err(PaperError::StartPosition {
            start_position,
            labels,
        });
    }
    let (width, height) = (
        grid.label_width_mm * POINTS_PER_MM,
        grid.label_height_mm * POINTS_PER_MM,
    );
    let mut position = start_position - 1;
    let mut page_index = canvas.add_page(page.0, page.1);
    for tag in tags {
        if position == labels {
            position = 0;
            page_index = canvas.add_page(page.0, page.1);
        }
        let (left, top) = corner(grid, position);
        TagLayout::of(tag, width, Some(height))?.draw(
            &mut canvas.on(page_index),
            left,
            top,
            height,
        );
        position += 1;
    }
    Ok(())
}

/// The top left corner of a label, counted from 0 along the rows.
fn corner(grid: &LabelGrid, position: u32) -> (f32, f32) {
    #[expect(
        clippy::cast_precision_loss,
        reason = "a sheet has at most some hundred labels"
    )]
    let (column, row) = (
        (position % grid.columns) as f32,
        (position / grid.columns) as f32,
    );
    let left = grid.margin_left_mm + column * grid.pitch_x_mm;
    let top = grid.margin_top_mm + row * grid.pitch_y_mm;
    (left * POINTS_PER_MM, top * POINTS_PER_MM)
}

/// A grid fits when its labels are large enough for a code, do not overlap, and end inside the sheet.
fn check_grid(grid: &LabelGrid, page: (f32, f32)) -> Result<(), PaperError> {
    let error = PaperError::GridDoesNotFit {
        columns: grid.columns,
        rows: grid.rows,
    };
    let labels_max = 500;
    if grid.columns == 0 || grid.rows == 0 || grid.columns.saturating_mul(grid.rows) > labels_max {
        return Err(error);
    }
    let last = corner(grid, grid.columns * grid.rows - 1);
    let right = last.0 + grid.label_width_mm * POINTS_PER_MM;
    let bottom = last.1 + grid.label_height_mm * POINTS_PER_MM;
    // Half a point forgives the rounding of printed measures.
    let inside = right <= page.0 + 0.5 && bottom <= page.1 + 0.5;
    let large = grid.label_width_mm >= 45.0 && grid.label_height_mm >= 30.0;
    let apart = grid.pitch_x_mm >= grid.label_width_mm && grid.pitch_y_mm >= grid.label_height_mm;
    let placed = grid.margin_left_mm >= 0.0 && grid.margin_top_mm >= 0.0;
    if inside && large && apart && placed {
        Ok(())
    } else {
        Err(error)
    }
}

/// One tag, measured.
struct TagLayout<'a> {
    tag: &'a JobTag,
    code: Code,
    width: f32,
    reference: Line,
    reference_size: f32,
    code_side: f32,
    lines: Vec<Line>,
}

impl<'a> TagLayout<'a> {
    /// Measures a tag for a width; a fixed height limits the code and the text.
    fn of(tag: &'a JobTag, width: f32, height: Option<f32>) -> Result<Self, PaperError> {
        let inner = width - 2.0 * MARGIN;
        let unit = Style {
            family: Family::MonoBold,
            size: 1.0,
            colour: INK,
        };
        let reference_size =
            (inner / width_of(&tag.job_ref, unit).max(1.0)).clamp(8.0, REFERENCE_SIZE_MAX);
        let reference = single_line(&[Span::new(
            &tag.job_ref,
            Style {
                size: reference_size,
                ..unit
            },
        )]);
        let code = Code::new(&tag.code)?;
        let hazard = if tag.hazard.is_some() {
            HAZARD_HEIGHT + GAP
        } else {
            0.0
        };
        let room = height.map(|height| height - 2.0 * MARGIN - reference_size - GAP - hazard);
        let code_side = room.unwrap_or(66.0).clamp(CODE_SIDE_MIN, 92.0);
        let text_width = inner - code_side - 7.0;
        let lines = match room {
            Some(room) => lines_within(tag, text_width, room),
            None => text_of(tag, text_width, usize::MAX),
        };
        Ok(Self {
            tag,
            code,
            width,
            reference,
            reference_size,
            code_side,
            lines,
        })
    }

    fn height(&self) -> f32 {
        let hazard = if self.tag.hazard.is_some() {
            HAZARD_HEIGHT + GAP
        } else {
            0.0
        };
        let middle = self.code_side.max(set::lines_height(&self.lines));
        2.0 * MARGIN + self.reference_size + GAP + middle + hazard
    }

    fn draw(&self, pen: &mut Pen<'_>, x: f32, y: f32, height: f32) {
        let (left, top) = (x + MARGIN, y + MARGIN);
        pen.tagged(Role::Heading, "", |pen| {
            pen.text(&self.reference, left, top + self.reference_size * 0.78)
        });
        let below = top + self.reference_size * 0.86 + GAP;
        pen.tagged(Role::Figure, &self.tag.code, |pen| {
            // The clear border of the code lies over the margin of the label, so that the code aligns with the text.
            let quiet = self.code_side * 0.09;
            self.code
                .draw_flush(pen, left, below + 1.0, self.code_side - quiet);
        });
        pen.tagged(Role::Paragraph, "", |pen| {
            set::draw_lines(pen, &self.lines, left + self.code_side + 7.0, below - 1.0);
        });
        if let Some(hazard) = &self.tag.hazard {
            let band_top = y + height - MARGIN - HAZARD_HEIGHT;
            pen.tagged(Role::Paragraph, "", |pen| {
                draw_hazard(pen, hazard, left, band_top, self.width - 2.0 * MARGIN)
            });
        }
    }
}

/// The text beside the code, at most `lines_max` lines for each of shop and device.
fn text_of(tag: &JobTag, width: f32, lines_max: usize) -> Vec<Line> {
    let mut lines = wrap_within(&[Span::new(&tag.shop, SHOP)], width, lines_max);
    lines.extend(wrap_within(
        &[Span::new(&tag.device, DEVICE)],
        width,
        lines_max,
    ));
    lines.extend(wrap(&[Span::new(&tag.identifier, IDENTIFIER)], width));
    lines.extend(wrap_within(
        &[Span::new(
            &tag.bag,
            Style {
                family: Family::TextBold,
                ..DETAIL
            },
        )],
        width,
        1,
    ));
    lines.extend(wrap_within(
        &[Span::new(&tag.note, DETAIL)],
        width,
        lines_max,
    ));
    lines
}

/// As much of the text as a label of a fixed height holds: two lines each, then one, then without the note.
fn lines_within(tag: &JobTag, width: f32, room: f32) -> Vec<Line> {
    let without_note = JobTag {
        note: String::new(),
        ..tag.clone()
    };
    let shortest = JobTag {
        identifier: String::new(),
        ..without_note.clone()
    };
    for (tag, lines_max) in [(tag, 2), (tag, 1), (&without_note, 2), (&without_note, 1)] {
        let lines = text_of(tag, width, lines_max);
        if set::lines_height(&lines) <= room + 1.0 {
            return lines;
        }
    }
    text_of(&shortest, width, 1)
}

/// The band of a cell that is not clear: black for isolate and emergency, framed for watch.
fn draw_hazard(pen: &mut Pen<'_>, hazard: &HazardMark, x: f32, y: f32, width: f32) {
    let dark = matches!(hazard.level, CellLevel::Isolate | CellLevel::Emergency);
    let (ink, ground) = if dark { (WHITE, INK) } else { (INK, WHITE) };
    let paint = if dark {
        Paint::Fill(INK)
    } else {
        Paint::Stroke(INK, 1.0)
    };
    pen.rectangle(x, y, width, HAZARD_HEIGHT, paint);
    level::draw(pen, hazard.level, x + 5.0, y + 3.6, 9.8, ink, ground);
    let word = Style {
        family: Family::TextBold,
        size: 10.0,
        colour: ink,
    };
    let text = Style {
        family: Family::Text,
        size: 8.0,
        colour: ink,
    };
    let spans = [
        Span::new(&hazard.word, word),
        Span::new(format!("  {}", hazard.text), text),
    ];
    if let Some(line) = wrap_within(&spans, width - 26.0, 1).first() {
        pen.text(line, x + 20.0, y + 12.0);
    }
}
