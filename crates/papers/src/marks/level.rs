//! The shape of a cell's bench level: open ring, half-filled ring, square with a bar, solid diamond.

use crate::layout::canvas::{Paint, Pen, Ring};
use crate::layout::text::Colour;
use crate::model::CellLevel;

/// Draws the shape into a square of `side` points, in `ink` on `ground`.
pub(crate) fn draw(
    pen: &mut Pen<'_>,
    level: CellLevel,
    x: f32,
    y: f32,
    side: f32,
    ink: Colour,
    ground: Colour,
) {
    let (centre_x, centre_y) = (x + side / 2.0, y + side / 2.0);
    let stroke = side / 7.5;
    let radius = side / 2.0 - stroke / 2.0;
    match level {
        CellLevel::Clear => pen.circle(
            centre_x,
            centre_y,
            radius,
            Paint::FillStroke(ground, ink, stroke),
        ),
        CellLevel::Watch => {
            pen.circle(
                centre_x,
                centre_y,
                radius,
                Paint::FillStroke(ground, ink, stroke),
            );
            pen.shape(&[lower_half(centre_x, centre_y, radius)], Paint::Fill(ink));
        }
        CellLevel::Isolate => {
            let inner = side - stroke;
            let corner = (x + stroke / 2.0, y + stroke / 2.0);
            pen.rectangle(
                corner.0,
                corner.1,
                inner,
                inner,
                Paint::FillStroke(ground, ink, stroke),
            );
            pen.rectangle(
                x + side * 0.22,
                centre_y - side * 0.11,
                side * 0.56,
                side * 0.22,
                Paint::Fill(ink),
            );
        }
        CellLevel::Emergency => {
            let reach = side * 0.56;
            let points = [
                (0.0, -reach),
                (reach, 0.0),
                (0.0, reach),
                (-reach, 0.0),
                (0.0, -reach),
            ];
            let ring: Ring = points
                .iter()
                .map(|(dx, dy)| (centre_x + dx, centre_y + dy, false))
                .collect();
            pen.shape(&[ring], Paint::Fill(ink));
        }
    }
}

fn lower_half(x: f32, y: f32, radius: f32) -> Ring {
    let control = radius * 0.552_3;
    vec![
        (x - radius, y, false),
        (x - radius, y + control, true),
        (x - control, y + radius, true),
        (x, y + radius, false),
        (x + control, y + radius, true),
        (x + radius, y + control, true),
        (x + radius, y, false),
        (x - radius, y, false),
    ]
}
