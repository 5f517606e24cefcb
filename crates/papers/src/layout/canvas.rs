//! Pages under the pen: lines of text, rules, shapes, pictures, links, and which of it is what for a screen reader.
//!
//! Nothing here decides where anything goes.

use std::collections::{BTreeMap, BTreeSet};

use printpdf::{
    Actions, BorderArray, Codepoint, Color, ColorArray, DictItem, FontId, LinePoint,
    LinkAnnotation, Mm, Op, PaintMode, PdfFontHandle, PdfPage, Point, Polygon, PolygonRing, Pt,
    Rect, Rgb, TextItem, TextMatrix, WindingOrder, XObjectId, XObjectTransform,
};

use super::text::{Colour, Glyph, Line};
use crate::fonts::Face;

/// Ink of the light palette.
pub(crate) const INK: Colour = Colour(0x1B, 0x1F, 0x23);
/// Ink for secondary text: 7.0:1 against white.
pub(crate) const MUTED: Colour = Colour(0x55, 0x5A, 0x60);
/// Hairlines of the light palette.
pub(crate) const RULE: Colour = Colour(0xD9, 0xD4, 0xC7);
/// The one working colour.
pub(crate) const ACCENT: Colour = Colour(0x1F, 0x4E, 0x79);
/// Black, where a rule says black and the ink of the palette would not do.
pub(crate) const BLACK: Colour = Colour(0, 0, 0);
/// The red that rules ask for in a hatching. Darker than a screen's red, so that a grey printer shows the stripes too.
pub(crate) const RED: Colour = Colour(0xD2, 0x0F, 0x1E);
/// The sheet.
pub(crate) const WHITE: Colour = Colour(0xFF, 0xFF, 0xFF);

/// What a piece of a page is, for programs that read it aloud (ISO 32000-1, 14.8.4).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    Title,
    Heading,
    Paragraph,
    Figure,
    /// One row of a table; its cells are tagged one by one.
    Row,
    HeadCell,
    Cell,
}

impl Role {
    /// The standard structure type.
    pub(crate) fn tag(self) -> &'static str {
        match self {
            Self::Title => "H1",
            Self::Heading => "H2",
            Self::Paragraph => "P",
            Self::Figure => "Figure",
            Self::Row => "TR",
            Self::HeadCell => "TH",
            Self::Cell => "TD",
        }
    }
}

/// A tagged stretch of a page, in reading order.
#[derive(Clone, Debug)]
pub(crate) struct Tagged {
    pub(crate) role: Role,
    pub(crate) page: usize,
    /// Its number in the page's content; rows have none of their own.
    pub(crate) content_id: Option<i64>,
    /// Said in place of a figure.
    pub(crate) alternative: String,
}

/// How a shape is painted.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Paint {
    Fill(Colour),
    /// Width in points.
    Stroke(Colour, f32),
    FillStroke(Colour, Colour, f32),
}

/// A path: points, each with whether it is a control point of a curve.
pub(crate) type Ring = Vec<(f32, f32, bool)>;

struct Page {
    width: f32,
    height: f32,
    ops: Vec<Op>,
    next_content_id: i64,
}

/// The pages of one paper.
#[derive(Default)]
pub(crate) struct Canvas {
    pages: Vec<Page>,
    pub(crate) tagged: Vec<Tagged>,
    /// The faces that some text is set in.
    pub(crate) faces: BTreeSet<Face>,
    open: bool,
}

impl Canvas {
    /// Adds a page and returns its index.
    pub(crate) fn add_page(&mut self, width: f32, height: f32) -> usize {
        self.pages.push(Page {
            width,
            height,
            ops: Vec::new(),
            next_content_id: 0,
        });
        self.pages.len() - 1
    }

    pub(crate) fn page_count(&self) -> usize {
        self.pages.len()
    }

    /// The finished pages.
    pub(crate) fn into_pages(self) -> Vec<PdfPage> {
        self.pages
            .into_iter()
            .map(|page| {
                PdfPage::new(
                    Mm::from(Pt(page.width)),
                    Mm::from(Pt(page.height)),
                    page.ops,
                )
            })
            .collect()
    }

    /// The pen on a page.
    pub(crate) fn on(&mut self, page: usize) -> Pen<'_> {
        Pen { canvas: self, page }
    }
}

/// The pen on one page.
pub(crate) struct Pen<'a> {
    canvas: &'a mut Canvas,
    page: usize,
}

impl Pen<'_> {
    fn push(&mut self, op: Op) {
        self.canvas.pages[self.page].ops.push(op);
    }

    fn point(&self, x: f32, y: f32) -> Point {
        Point {
            x: Pt(round(x)),
            y: Pt(round(self.canvas.pages[self.page].height - y)),
        }
    }

    /// Draws with everything inside tagged as `role`; a figure needs an `alternative`.
    /// Inside another tag it only draws.
    pub(crate) fn tagged(&mut self, role: Role, alternative: &str, draw: impl FnOnce(&mut Self)) {
        if self.canvas.open {
            return draw(self);
        }
        let page = self.page;
        let alternative = alternative.to_owned();
        if role == Role::Row {
            self.canvas.tagged.push(Tagged {
                role,
                page,
                content_id: None,
                alternative,
            });
            return draw(self);
        }
        let content_id = self.canvas.pages[page].next_content_id;
        self.canvas.pages[page].next_content_id += 1;
        self.canvas.tagged.push(Tagged {
            role,
            page,
            content_id: Some(content_id),
            alternative,
        });
        let map = BTreeMap::from([("MCID".to_owned(), DictItem::Int(content_id))]);
        self.push(Op::BeginMarkedContentWithProperties {
            tag: role.tag().to_owned(),
            properties: DictItem::Dict { map },
        });
        self.canvas.open = true;
        draw(self);
        self.canvas.open = false;
        self.push(Op::EndMarkedContent);
    }

    /// What is drawn outside a tag is decoration or repeats: programs that read aloud pass over it.
    pub(crate) fn artifact(&mut self, draw: impl FnOnce(&mut Self)) {
        if self.canvas.open {
            return draw(self);
        }
        self.push(Op::BeginMarkedContent {
            tag: "Artifact".to_owned(),
        });
        self.canvas.open = true;
        draw(self);
        self.canvas.open = false;
        self.push(Op::EndMarkedContent);
    }

    /// Draws a line of text with its baseline at `y`.
    pub(crate) fn text(&mut self, line: &Line, x: f32, y: f32) {
        if line.glyphs.is_empty() {
            return;
        }
        self.artifact(|pen| {
            pen.push(Op::StartTextSection);
            let mut pen_x = x;
            for run in line
                .glyphs
                .chunk_by(|a, b| a.face == b.face && a.style == b.style)
            {
                pen.run(run, pen_x, y);
                pen_x += run
                    .iter()
                    .map(|glyph| glyph.advance + glyph.kerning)
                    .sum::<f32>();
            }
            pen.push(Op::EndTextSection);
        });
    }

    fn run(&mut self, run: &[Glyph], x: f32, y: f32) {
        let Some(first) = run.first() else { return };
        self.canvas.faces.insert(first.face);
        let origin = self.point(x, y);
        let glyphs = run
            .iter()
            .map(|glyph| Codepoint {
                gid: glyph.id,
                // A positive number moves the next glyph back (ISO 32000-1, 9.4.3, TJ).
                offset: -round(glyph.kerning * 1000.0 / glyph.style.size),
                cid: Some(glyph.character.to_string()),
            })
            .collect();
        self.push(Op::SetFillColor {
            col: rgb(first.style.colour),
        });
        self.push(Op::SetFont {
            font: PdfFontHandle::External(FontId(first.face.resource_name().to_owned())),
            size: Pt(first.style.size),
        });
        self.push(Op::SetTextMatrix {
            matrix: TextMatrix::Translate(origin.x, origin.y),
        });
        self.push(Op::ShowText {
            items: vec![TextItem::GlyphIds(glyphs)],
        });
    }

    /// Draws a line of text that ends at `x`.
    pub(crate) fn text_right(&mut self, line: &Line, x: f32, y: f32) {
        self.text(line, x - line.width, y);
    }

    /// Draws a line of text around `x`.
    pub(crate) fn text_centred(&mut self, line: &Line, x: f32, y: f32) {
        self.text(line, x - line.width / 2.0, y);
    }

    /// Draws a straight rule.
    pub(crate) fn rule(&mut self, from: (f32, f32), to: (f32, f32), colour: Colour, width: f32) {
        self.path(
            &[(from.0, from.1, false), (to.0, to.1, false)],
            colour,
            width,
        );
    }

    /// Draws an open path.
    pub(crate) fn path(&mut self, points: &[(f32, f32, bool)], colour: Colour, width: f32) {
        let line = printpdf::Line {
            points: self.points(points),
            is_closed: false,
        };
        self.artifact(|pen| {
            pen.push(Op::SetOutlineColor { col: rgb(colour) });
            pen.push(Op::SetOutlineThickness { pt: Pt(width) });
            pen.push(Op::DrawLine { line });
        });
    }

    /// Paints closed rings as one shape.
    pub(crate) fn shape(&mut self, rings: &[Ring], paint: Paint) {
        let rings = rings
            .iter()
            .map(|ring| PolygonRing {
                points: self.points(ring),
            })
            .collect();
        let mode = match paint {
            Paint::Fill(_) => PaintMode::Fill,
            Paint::Stroke(..) => PaintMode::Stroke,
            Paint::FillStroke(..) => PaintMode::FillStroke,
        };
        self.artifact(|pen| {
            if let Paint::Fill(fill) | Paint::FillStroke(fill, ..) = paint {
                pen.push(Op::SetFillColor { col: rgb(fill) });
            }
            if let Paint::Stroke(stroke, width) | Paint::FillStroke(_, stroke, width) = paint {
                pen.push(Op::SetOutlineColor { col: rgb(stroke) });
                pen.push(Op::SetOutlineThickness { pt: Pt(width) });
            }
            pen.push(Op::DrawPolygon {
                polygon: Polygon {
                    rings,
                    mode,
                    winding_order: WindingOrder::NonZero,
                },
            });
        });
    }

    fn points(&self, points: &[(f32, f32, bool)]) -> Vec<LinePoint> {
        points
            .iter()
            .map(|&(x, y, bezier)| LinePoint {
                p: self.point(x, y),
                bezier,
            })
            .collect()
    }

    pub(crate) fn rectangle(&mut self, x: f32, y: f32, width: f32, height: f32, paint: Paint) {
        self.shape(&[rectangle_ring(x, y, width, height)], paint);
    }

    pub(crate) fn circle(&mut self, x: f32, y: f32, radius: f32, paint: Paint) {
        self.shape(
            &[rounded_ring(
                x - radius,
                y - radius,
                radius * 2.0,
                radius * 2.0,
                radius,
            )],
            paint,
        );
    }

    /// Places a picture that was registered under `id`.
    pub(crate) fn picture(&mut self, id: &str, x: f32, y: f32, width: f32, height: f32) {
        let corner = self.point(x, y + height);
        self.artifact(|pen| {
            pen.push(Op::UseXobject {
                id: XObjectId(id.to_owned()),
                transform: XObjectTransform {
                    translate_x: Some(corner.x),
                    translate_y: Some(corner.y),
                    rotate: None,
                    scale_x: Some(width),
                    scale_y: Some(height),
                    dpi: None,
                    no_auto_scale: true,
                },
            });
        });
    }

    /// Makes a rectangle of the page lead to an address.
    pub(crate) fn link(&mut self, url: &str, x: f32, y: f32, width: f32, height: f32) {
        let corner = self.point(x, y + height);
        let rect = Rect::from_xywh(corner.x, corner.y, Pt(width), Pt(height));
        let border = Some(BorderArray::Solid([0.0, 0.0, 0.0]));
        let link = LinkAnnotation::new(
            rect,
            Actions::uri(url.to_owned()),
            border,
            Some(ColorArray::Transparent),
            None,
        );
        self.push(Op::LinkAnnotation { link });
    }
}

fn rgb(colour: Colour) -> Color {
    let channel = |value: u8| round(f32::from(value) / 255.0);
    Color::Rgb(Rgb {
        r: channel(colour.0),
        g: channel(colour.1),
        b: channel(colour.2),
        icc_profile: None,
    })
}

/// Thousandths are finer than any printer; more digits only make the file longer.
fn round(value: f32) -> f32 {
    (value * 1000.0).round() / 1000.0
}

pub(crate) fn rectangle_ring(x: f32, y: f32, width: f32, height: f32) -> Ring {
    vec![
        (x, y, false),
        (x + width, y, false),
        (x + width, y + height, false),
        (x, y + height, false),
        (x, y, false),
    ]
}

/// A rectangle with round corners; with a radius of half its sides, an ellipse.
pub(crate) fn rounded_ring(x: f32, y: f32, width: f32, height: f32, radius: f32) -> Ring {
    // The usual cubic approximation of a quarter circle leaves its control points 0.5523 radii from the ends.
    let control = radius * (1.0 - 0.552_3);
    let (right, bottom) = (x + width, y + height);
    vec![
        (x + radius, y, false),
        (right - radius, y, false),
        (right - control, y, true),
        (right, y + control, true),
        (right, y + radius, false),
        (right, bottom - radius, false),
        (right, bottom - control, true),
        (right - control, bottom, true),
        (right - radius, bottom, false),
        (x + radius, bottom, false),
        (x + control, bottom, true),
        (x, bottom - control, true),
        (x, bottom - radius, false),
        (x, y + radius, false),
        (x, y + control, true),
        (x + control, y, true),
        (x + radius, y, false),
    ]
}
