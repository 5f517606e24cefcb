//! QR codes (ISO/IEC 18004) as shapes, so that they print sharp at any size.

use qrcodegen::{QrCode, QrCodeEcc};

use crate::error::PaperError;
use crate::layout::canvas::{INK, Paint, Pen, Ring, rectangle_ring};

/// The clear border that the standard asks for, in modules.
const QUIET_MODULES: f32 = 4.0;

/// A QR code ready to draw.
#[derive(Clone)]
pub(crate) struct Code {
    code: QrCode,
}

impl Code {
    /// Encodes a text with error correction M: 15 % of the code may be soiled.
    pub(crate) fn new(text: &str) -> Result<Self, PaperError> {
        let code =
            QrCode::encode_text(text, QrCodeEcc::Medium).map_err(|_| PaperError::CodeTooLong {
                length_bytes: text.len(),
            })?;
        Ok(Self { code })
    }

    /// Draws the code with its clear border into a square of `side` points.
    pub(crate) fn draw(&self, pen: &mut Pen<'_>, x: f32, y: f32, side: f32) {
        let modules = self.code.size();
        #[expect(
            clippy::cast_precision_loss,
            reason = "a code has at most 177 modules a side"
        )]
        let count = |number: i32| number as f32;
        let module = side / (count(modules) + 2.0 * QUIET_MODULES);
        let mut rings: Vec<Ring> = Vec::new();
        for row in 0..modules {
            let mut column = 0;
            while column < modules {
                let start = column;
                while column < modules && self.code.get_module(column, row) {
                    column += 1;
                }
                if column > start {
                    rings.push(rectangle_ring(
                        x + (count(start) + QUIET_MODULES) * module,
                        y + (count(row) + QUIET_MODULES) * module,
                        count(column - start) * module,
                        module,
                    ));
                }
                column += 1;
            }
        }
        pen.shape(&rings, Paint::Fill(INK));
    }

    /// Draws the code so that its dark part starts at the corner given: the clear border reaches outside, into white.
    pub(crate) fn draw_flush(&self, pen: &mut Pen<'_>, x: f32, y: f32, dark_side: f32) {
        #[expect(
            clippy::cast_precision_loss,
            reason = "a code has at most 177 modules a side"
        )]
        let modules = self.code.size() as f32;
        let border = dark_side / modules * QUIET_MODULES;
        self.draw(pen, x - border, y - border, dark_side + 2.0 * border);
    }
}
