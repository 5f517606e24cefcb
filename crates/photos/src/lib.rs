//! Pictures: bytes in, bytes out. [`intake`] takes a photo as a camera, a phone or a microscope wrote it and gives back
//! an upright JPEG of at most 2048 pixels along its longer side, and a thumbnail of it.
//!
//! The pixels are decoded and encoded anew, so nothing that lay beside them is carried over: no position, no camera or
//! owner names, no maker notes, no embedded preview, no comment, no colour profile, nothing appended after the picture.
//! Colour profiles are dropped without conversion: a wide-gamut photo looks a little paler, never wrong in shape.
//!
//! This crate must never read a file, a clock or the environment, and must never let hostile bytes reach a decoder
//! before the size in their header has been checked. A picture is taken whole or refused with a sentence; half of one
//! is never passed on.

mod error;
mod jpeg_source;
mod kind;
mod mark;
mod orientation;
mod output;
mod png_source;
mod webp_source;

use std::panic::{AssertUnwindSafe, catch_unwind};

use serde::{Deserialize, Serialize};

pub use error::{DecodeError, PhotoError};
pub use kind::SourceFormat;
pub use mark::{MARK_LIMITS, MARK_LONG_SIDE_PX_MAX, intake_mark};
use orientation::Orientation;

/// The longer side of a taken picture at most, in pixels. 2048 px across a board 10 cm long is 20 px/mm: the legs of a
/// 0.4 mm pitch part are 8 px apart and can be told from each other. About 0.5 MB a photo at [`JPEG_QUALITY`].
pub const LONG_SIDE_PX_MAX: u32 = 2048;

/// The longer side of a thumbnail at most, in pixels.
pub const THUMBNAIL_LONG_SIDE_PX_MAX: u32 = 320;

/// The size of a thumbnail at most, in bytes, so that thumbnails can be sent ahead of everything else on a slow line:
/// 64 KiB take 0.5 s at 1 Mbit/s.
pub const THUMBNAIL_BYTES_MAX: usize = 64 * 1024;

/// The quality of taken pictures on the encoder's scale of 1 to 100; chroma is halved both ways (4:2:0).
pub const JPEG_QUALITY: u8 = 82;

/// What [`intake`] accepts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// The input's size at most, in bytes.
    pub input_bytes_max: usize,
    /// The input's width times height at most, read from its header before anything is decoded.
    pub input_pixels_max: u64,
}

impl Default for Limits {
    /// 64 MiB and 52 million pixels.
    ///
    /// Sensors sold as 50 megapixels give up to 8192 × 6144 = 50.3 million (common practice, no source). The arithmetic
    /// for 52 million: 156 MB of decoded pixels, another 312 MB of coefficients while a progressive JPEG without chroma
    /// subsampling is decoded (2 bytes × 3 components), 13 MB scaled and 13 MB turned: below 0.5 GB, for one photo at a
    /// time. A four-component progressive JPEG is the worst case at 416 MB + 156 MB. 64 MiB hold a JPEG of that size at
    /// any quality (at 1 byte a pixel, 52 MB) and a 12-megapixel 8-bit PNG that didn't compress at all (36 MB).
    fn default() -> Self {
        Self {
            input_bytes_max: 64 * 1024 * 1024,
            input_pixels_max: 52_000_000,
        }
    }
}

/// A picture as it's stored: upright, scaled, and holding nothing but pixels.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// A baseline JPEG, at most [`LONG_SIDE_PX_MAX`] along its longer side.
    pub jpeg: Vec<u8>,
    /// The width of `jpeg`.
    pub width_px: u32,
    /// The height of `jpeg`.
    pub height_px: u32,
    /// A baseline JPEG, at most [`THUMBNAIL_LONG_SIDE_PX_MAX`] along its longer side and [`THUMBNAIL_BYTES_MAX`] big.
    pub thumbnail_jpeg: Vec<u8>,
    /// The width of `thumbnail_jpeg`.
    pub thumbnail_width_px: u32,
    /// The height of `thumbnail_jpeg`.
    pub thumbnail_height_px: u32,
    /// What the input was.
    pub source_format: SourceFormat,
}

/// The media type of [`Picture::jpeg`] and [`Picture::thumbnail_jpeg`].
pub const MEDIA_TYPE: &str = "image/jpeg";

/// Width and height in pixels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct SizePx {
    /// The width.
    pub width: u32,
    /// The height.
    pub height: u32,
}

impl SizePx {
    /// Width times height; never overflows.
    pub fn pixels(self) -> u64 {
        u64::from(self.width) * u64::from(self.height)
    }

    /// The number of bytes that this many RGB pixels take.
    pub(crate) fn rgb_bytes(self) -> usize {
        self.width as usize * self.height as usize * 3
    }
}

/// Decoded pixels on their way from a source to the output: three bytes a pixel, rows from the top, no padding.
pub(crate) struct Raster {
    pub(crate) rgb: Vec<u8>,
    pub(crate) size: SizePx,
}

/// What a source gives: its pixels as they lie in the file, and how they must be turned.
pub(crate) struct Decoded {
    pub(crate) raster: Raster,
    pub(crate) orientation: Orientation,
}

/// Takes a JPEG, PNG or WebP picture and returns it upright, scaled down and free of everything but its pixels, with a
/// thumbnail.
///
/// A picture is never scaled up. Transparent parts are laid on white. Fails with a sentence that can be shown as it is;
/// no other trace is left behind.
pub fn intake(bytes: &[u8], limits: &Limits) -> Result<Picture, PhotoError> {
    check_bytes(bytes, limits)?;
    let format = kind::recognise(bytes)?;
    let Decoded {
        raster,
        orientation,
    } = decode(bytes, format, limits)?;
    let scaled = output::scaled_to_fit(raster, LONG_SIDE_PX_MAX)?;
    let upright = orientation::upright(scaled, orientation);
    let jpeg = output::encode(&upright, JPEG_QUALITY)?;
    let thumbnail = output::thumbnail(&upright)?;
    Ok(Picture {
        jpeg,
        width_px: upright.size.width,
        height_px: upright.size.height,
        thumbnail_jpeg: thumbnail.jpeg,
        thumbnail_width_px: thumbnail.size.width,
        thumbnail_height_px: thumbnail.size.height,
        source_format: format,
    })
}

/// Checks a file's size before its first byte is looked at.
pub(crate) fn check_bytes(bytes: &[u8], limits: &Limits) -> Result<(), PhotoError> {
    if bytes.is_empty() {
        return Err(PhotoError::Empty);
    }
    if bytes.len() > limits.input_bytes_max {
        return Err(PhotoError::TooManyBytes {
            size_bytes: bytes.len(),
            limit_bytes: limits.input_bytes_max,
        });
    }
    Ok(())
}

/// Decodes with the source that `format` calls for.
///
/// The decoders are other people's code fed with strangers' bytes: should one of them panic, that is a damaged picture
/// here and not the end of the program. Nothing outlives the closure, so no half-changed state can be seen afterwards.
fn decode(bytes: &[u8], format: SourceFormat, limits: &Limits) -> Result<Decoded, PhotoError> {
    catch_unwind(AssertUnwindSafe(|| match format {
        SourceFormat::Jpeg => jpeg_source::decode(bytes, limits),
        SourceFormat::Png => png_source::decode(bytes, limits),
        SourceFormat::Webp => webp_source::decode(bytes, limits),
    }))
    .unwrap_or(Err(PhotoError::Damaged {
        format,
        source: DecodeError::Panicked,
    }))
}

/// Checks a size from a header before any memory is taken for it.
pub(crate) fn check_size(
    size: SizePx,
    format: SourceFormat,
    limits: &Limits,
) -> Result<(), PhotoError> {
    if size.width == 0 || size.height == 0 {
        return Err(PhotoError::Damaged {
            format,
            source: DecodeError::NoPixels,
        });
    }
    if size.pixels() > limits.input_pixels_max {
        return Err(PhotoError::TooManyPixels {
            size,
            limit_pixels: limits.input_pixels_max,
        });
    }
    Ok(())
}

#[cfg(test)]
mod samples;
#[cfg(test)]
mod tests;
