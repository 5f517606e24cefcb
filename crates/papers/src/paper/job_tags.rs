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
/// White at every side of a tag on the roll, more than label printers leave blank. The clear border of the code lies in it.
const ROLL_MARGIN: f32 = 10.0;
const REFERENCE_SIZE_MAX: f32 = 23.0;
/// A reference this large can stand beside the code and still be read at arm's length.
const REFERENCE_SIZE_BESIDE: f32 = 14.0;
/// The dark part of a code is never smaller than 11 mm: modules of half a millimetre.
const CODE_SIDE_MIN: f32 = 11.0 * POINTS_PER_MM;
/// A code is 21 modules wide at least, and wants 4 clear modules around it (ISO/IEC 18004).
const CLEAR_SHARE: f32 = 4.0 / 21.0;
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
    finish::write(canvas, Album::default(), &tags.meta, &[])
}

fn roll(canvas: &mut Canvas, tags: &[JobTag]) -> Result<(), PaperError> {
    for tag in tags {
        let layout = TagLayout::for_roll(tag)?;
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
        TagLayout::for_label(tag, width, height)?.draw(
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

/// One tag, measured. Two arrangements: the reference above code and text, or beside the code and above the text.
struct TagLayout<'a> {
    tag: &'a JobTag,
    code: Code,
    width: f32,
    margin: f32,
    reference: Line,
    reference_size: f32,
    beside: bool,
    code_side: f32,
    lines: Vec<Line>,
    hazard: Vec<Line>,
}

impl<'a> TagLayout<'a> {
    /// Measures a tag for the roll, where it may be as long as it needs.
    fn for_roll(tag: &'a JobTag) -> Result<Self, PaperError> {
        let mut layout = Self::new(tag, ROLL_WIDTH, ROLL_MARGIN)?;
        layout.set_reference(layout.inner());
        layout.code_side = layout.margin / CLEAR_SHARE;
        layout.lines = text_of(tag, layout.text_width(), usize::MAX);
        Ok(layout)
    }

    /// Measures a tag for a label, where code and text share what there is.
    fn for_label(tag: &'a JobTag, width: f32, height: f32) -> Result<Self, PaperError> {
        let mut layout = Self::new(tag, width, (height * 0.1).min(14.0))?;
        let area = height - 2.0 * layout.margin - layout.hazard_height();
        let largest = layout.margin / CLEAR_SHARE;
        layout.code_side = area.clamp(CODE_SIDE_MIN, largest);
        layout.set_reference(layout.text_width());
        layout.beside = layout.reference_size >= REFERENCE_SIZE_BESIDE;
        if !layout.beside {
            layout.set_reference(layout.inner());
            layout.code_side = (area - layout.reference_height()).clamp(CODE_SIDE_MIN, largest);
        }
        // Text may stand in the white between the code and the band; only the code needs it clear.
        let band_gap = if layout.hazard.is_empty() {
            0.0
        } else {
            layout.margin - 3.0
        };
        layout.lines = lines_within(
            tag,
            layout.text_width(),
            area + band_gap - layout.reference_height(),
        );
        Ok(layout)
    }

    fn new(tag: &'a JobTag, width: f32, margin: f32) -> Result<Self, PaperError> {
        let hazard = tag.hazard.as_ref().map_or_else(Vec::new, |hazard| {
            hazard_lines(hazard, width - 2.0 * margin)
        });
        Ok(Self {
            tag,
            code: Code::new(&tag.code)?,
            width,
            margin,
            reference: Line::default(),
            reference_size: 0.0,
            beside: false,
            code_side: 0.0,
            lines: Vec::new(),
            hazard,
        })
    }

    fn set_reference(&mut self, width: f32) {
        let unit = Style {
            family: Family::MonoBold,
            size: 1.0,
            colour: INK,
        };
        let size = width / width_of(&self.tag.job_ref, unit).max(1.0);
        self.reference_size = size.clamp(8.0, REFERENCE_SIZE_MAX);
        self.reference = single_line(&[Span::new(
            &self.tag.job_ref,
            Style {
                size: self.reference_size,
                ..unit
            },
        )]);
    }

    fn inner(&self) -> f32 {
        self.width - 2.0 * self.margin
    }

    /// Width beside the code and its clear border.
    fn text_width(&self) -> f32 {
        self.inner() - self.code_side * (1.0 + CLEAR_SHARE)
    }

    /// The reference with the white below it: capitals are 0.67 of the size high.
    fn reference_height(&self) -> f32 {
        let below = if self.beside {
            3.0
        } else {
            self.code_side * CLEAR_SHARE
        };
        self.reference_size * 0.68 + below
    }

    /// The band with the clear border of the code above it.
    fn hazard_height(&self) -> f32 {
        if self.hazard.is_empty() {
            0.0
        } else {
            band_height(&self.hazard) + self.margin
        }
    }

    /// The height that a tag on the roll needs.
    fn height(&self) -> f32 {
        let middle = self.code_side.max(set::lines_height(&self.lines));
        2.0 * self.margin + self.reference_height() + middle + self.hazard_height()
    }

    fn draw(&self, pen: &mut Pen<'_>, x: f32, y: f32, height: f32) {
        let (left, top) = (x + self.margin, y + self.margin);
        let text_left = left + self.code_side * (1.0 + CLEAR_SHARE);
        let reference_left = if self.beside { text_left } else { left };
        let below = top + self.reference_height();
        let code_top = if self.beside { top } else { below };
        let baseline = top + self.reference_size * 0.68;
        pen.tagged(Role::Heading, "", |pen| {
            pen.text(&self.reference, reference_left, baseline);
        });
        pen.tagged(Role::Figure, &self.tag.code, |pen| {
            self.code.draw_flush(pen, left, code_top, self.code_side);
        });
        pen.tagged(Role::Paragraph, "", |pen| {
            // The first line's white is taken off where the code stands beside it, so that both begin level.
            let top = if self.beside { below } else { below - 2.0 };
            set::draw_lines(pen, &self.lines, text_left, top);
        });
        if let Some(hazard) = &self.tag.hazard {
            let band = band_height(&self.hazard);
            let band_top = y + height - self.margin - band;
            pen.tagged(Role::Paragraph, "", |pen| {
                draw_hazard(
                    pen,
                    hazard,
                    &self.hazard,
                    (left, band_top),
                    (self.inner(), band),
                );
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

/// The warning, on as many lines as it needs: it is never cut.
fn hazard_lines(hazard: &HazardMark, width: f32) -> Vec<Line> {
    let ink = if is_dark(hazard.level) { WHITE } else { INK };
    let word = Style {
        family: Family::TextBold,
        size: 10.0,
        colour: ink,
    };
    let text = Style {
        family: Family::Text,
        size: 8.4,
        colour: ink,
    };
    wrap(
        &[
            Span::new(&hazard.word, word),
            Span::new(format!("  {}", hazard.text), text),
        ],
        width - 27.0,
    )
}

fn band_height(lines: &[Line]) -> f32 {
    set::lines_height(lines) + 5.0
}

fn is_dark(level: CellLevel) -> bool {
    matches!(level, CellLevel::Isolate | CellLevel::Emergency)
}

/// The band of a cell that is not clear: black for isolate and emergency, framed for watch.
fn draw_hazard(
    pen: &mut Pen<'_>,
    hazard: &HazardMark,
    lines: &[Line],
    corner: (f32, f32),
    size: (f32, f32),
) {
    let dark = is_dark(hazard.level);
    let (ink, ground) = if dark { (WHITE, INK) } else { (INK, WHITE) };
    let paint = if dark {
        Paint::Fill(INK)
    } else {
        Paint::Stroke(INK, 1.0)
    };
    pen.rectangle(corner.0, corner.1, size.0, size.1, paint);
    level::draw(
        pen,
        hazard.level,
        corner.0 + 5.5,
        corner.1 + 4.0,
        9.8,
        ink,
        ground,
    );
    set::draw_lines(pen, lines, corner.0 + 21.0, corner.1 + 2.5);
}
