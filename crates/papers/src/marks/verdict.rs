//! The shape of a transport verdict: the shapes of the cell levels, and two bars for what is held.

use super::level;
use crate::layout::canvas::{Paint, Pen};
use crate::layout::text::Colour;
use crate::model::{CellLevel, VerdictKind};

/// Draws the shape into a square of `side` points, in `ink` on `ground`.
pub(crate) fn draw(
    pen: &mut Pen<'_>,
    verdict: VerdictKind,
    (x, y): (f32, f32),
    side: f32,
    (ink, ground): (Colour, Colour),
) {
    let like = match verdict {
        VerdictKind::MayGo => CellLevel::Clear,
        VerdictKind::Marked => CellLevel::Watch,
        VerdictKind::DamagedByRoad => CellLevel::Isolate,
        VerdictKind::NotThisWay => CellLevel::Emergency,
        VerdictKind::Hold => {
            for left in [0.16, 0.58] {
                let (width, height) = (side * 0.26, side);
                pen.rectangle(x + side * left, y, width, height, Paint::Fill(ink));
            }
            return;
        }
    };
    level::draw(pen, like, x, y, side, ink, ground);
}
