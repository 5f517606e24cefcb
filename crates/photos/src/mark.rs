//! A lab's mark in: the picture beside its name on papers. Unlike a photo it is drawn, with sharp edges and even colours, and
//! it stands on white: the white around it is cut off, so that it stands where its ink begins, and it's encoded finely.
//!
//! Must never take a mark that no paper would show.

use crate::{
    Decoded, Limits, PhotoError, Picture, Raster, SizePx, decode, kind, orientation, output,
};

/// The longer side of a mark at most, in pixels. It prints at most 42 mm wide and 14 mm high: 1200 px on 42 mm are 726 to
/// the inch, more than office printers show.
pub const MARK_LONG_SIDE_PX_MAX: u32 = 1200;

/// What a mark's file may have: 8 MiB and 16 million pixels.
pub const MARK_LIMITS: Limits = Limits {
    input_bytes_max: 8 * 1024 * 1024,
    input_pixels_max: 16_000_000,
};

/// Fine enough that no speckles show around sharp edges; chroma isn't halved.
const MARK_JPEG_QUALITY: u8 = 92;

/// From this on, a channel counts as white: what is lighter leaves no ink. Common practice, no source.
const WHITE_FROM: u8 = 250;

/// White left around the ink, in pixels, so that soft edges keep their softness.
const EDGE_PX: u32 = 2;

/// Takes a JPEG, PNG or WebP picture of a mark: upright, on white, without the white around it, scaled, free of metadata.
pub fn intake_mark(bytes: &[u8]) -> Result<Picture, PhotoError> {
    crate::check_bytes(bytes, &MARK_LIMITS)?;
    let format = kind::recognise(bytes)?;
    let Decoded {
        raster,
        orientation,
    } = decode(bytes, format, &MARK_LIMITS)?;
    let upright = orientation::upright(raster, orientation);
    let trimmed = trimmed(&upright).ok_or(PhotoError::NothingToSee)?;
    let scaled = output::scaled_to_fit(trimmed, MARK_LONG_SIDE_PX_MAX)?;
    let jpeg = output::encode_finely(&scaled, MARK_JPEG_QUALITY)?;
    let thumbnail = output::thumbnail(&scaled)?;
    Ok(Picture {
        jpeg,
        width_px: scaled.size.width,
        height_px: scaled.size.height,
        thumbnail_jpeg: thumbnail.jpeg,
        thumbnail_width_px: thumbnail.size.width,
        thumbnail_height_px: thumbnail.size.height,
        source_format: format,
    })
}

/// The part of a picture that has ink, with a narrow edge; `None` if all of it is white.
fn trimmed(raster: &Raster) -> Option<Raster> {
    let (width, height) = (raster.size.width, raster.size.height);
    let row_bytes = width as usize * 3;
    let (mut left, mut right, mut top, mut bottom) = (width, 0, height, 0);
    for (y, row) in (0..height).zip(raster.rgb.chunks_exact(row_bytes)) {
        for (x, pixel) in (0..width).zip(row.chunks_exact(3)) {
            if pixel.iter().any(|channel| *channel < WHITE_FROM) {
                (left, right) = (left.min(x), right.max(x + 1));
                (top, bottom) = (top.min(y), bottom.max(y + 1));
            }
        }
    }
    if right == 0 {
        return None;
    }
    let (left, top) = (left.saturating_sub(EDGE_PX), top.saturating_sub(EDGE_PX));
    let (right, bottom) = ((right + EDGE_PX).min(width), (bottom + EDGE_PX).min(height));
    let rgb = raster
        .rgb
        .chunks_exact(row_bytes)
        .take(bottom as usize)
        .skip(top as usize)
        .flat_map(|row| &row[left as usize * 3..right as usize * 3])
        .copied()
        .collect();
    Some(Raster {
        rgb,
        size: SizePx {
            width: right - left,
            height: bottom - top,
        },
    })
}

#[cfg(test)]
mod tests;
