//! Why a picture was refused. Every message is a sentence for the person who offered the picture: what's wrong, and
//! what would be right. Must never quote bytes of the picture.

use crate::{SizePx, SourceFormat};

/// A picture that was not taken.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PhotoError {
    /// Nothing was given.
    #[error("This file is empty; choose a JPEG, PNG or WebP picture.")]
    Empty,
    /// The file is bigger than [`Limits::input_bytes_max`](crate::Limits).
    #[error(
        "This file has {} MB, and a picture may have at most {} MB; save it smaller and choose it again.",
        megabytes(*size_bytes),
        megabytes(*limit_bytes)
    )]
    TooManyBytes {
        /// The file's size.
        size_bytes: usize,
        /// The limit it went over.
        limit_bytes: usize,
    },
    /// The bytes are of no kind that is known here.
    #[error("This file is not a picture that can be read; JPEG, PNG and WebP pictures are taken.")]
    NotAPicture,
    /// The bytes are a known kind of file that is not taken.
    #[error("This file is {kind}; JPEG, PNG and WebP pictures are taken.")]
    OtherKind {
        /// The kind with its article, such as "a PDF document".
        kind: &'static str,
    },
    /// A HEIC or HEIF picture, by its bytes.
    #[error(
        "This is a HEIC picture, which is not taken; set the camera to save JPEG pictures, or save a copy of this one as \
         JPEG and choose that."
    )]
    Heic,
    /// An SVG drawing: it may name other files and fonts, and looks different from program to program.
    #[error(
        "This file is an SVG drawing, which is not taken; save a copy of it as a PNG picture, a mark at least 1000 pixels \
         wide, and choose that."
    )]
    Svg,
    /// A mark that is white all over once it lies on paper.
    #[error(
        "This picture is white all over on paper, so nothing of it would print; choose one with dark or coloured lines."
    )]
    NothingToSee,
    /// A WebP with several frames.
    #[error("This is a moving picture; choose a still JPEG, PNG or WebP picture.")]
    Moving,
    /// The picture has more pixels than [`Limits::input_pixels_max`](crate::Limits). Read from its header; nothing was
    /// decoded.
    #[error(
        "This picture has {} × {} = {} megapixels, and at most {} are taken; set the camera to a smaller size, or save \
         a smaller copy and choose that.",
        size.width,
        size.height,
        megapixels(size.pixels()),
        megapixels(*limit_pixels)
    )]
    TooManyPixels {
        /// Width and height from the header.
        size: SizePx,
        /// The limit it went over.
        limit_pixels: u64,
    },
    /// The file ends before the picture does.
    #[error("The end of this {format} picture is missing; copy it from the camera again.")]
    CutShort {
        /// What the file is.
        format: SourceFormat,
    },
    /// The file's bytes contradict its format.
    #[error("This {format} picture is damaged and can't be read; copy it from the camera again.")]
    Damaged {
        /// What the file is.
        format: SourceFormat,
        /// What the decoder stumbled on.
        #[source]
        source: DecodeError,
    },
    /// A rare variant of a format that is otherwise taken.
    #[error(
        "This {format} picture is stored in a rare way ({variant}); save a copy of it as an ordinary JPEG and choose that."
    )]
    RareVariant {
        /// What the file is.
        format: SourceFormat,
        /// The variant's name in the format's standard.
        variant: &'static str,
    },
    /// Scaling failed; not the picture's fault.
    #[error("This picture could not be scaled; try again, and report this if it stays so.")]
    Scale {
        /// What the scaler said.
        #[source]
        source: fast_image_resize::ResizeError,
    },
    /// Encoding failed; not the picture's fault.
    #[error("This picture could not be saved as JPEG; try again, and report this if it stays so.")]
    Encode {
        /// What the encoder said.
        #[source]
        source: jpeg_encoder::EncodingError,
    },
}

/// What a decoder stumbled on. For logs, not for people.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DecodeError {
    /// From the JPEG decoder.
    #[error("JPEG data: {0}")]
    Jpeg(zune_jpeg::errors::DecodeErrors),
    /// From the PNG decoder.
    #[error("PNG data")]
    Png(#[source] png::DecodingError),
    /// From the WebP decoder.
    #[error("WebP data")]
    Webp(#[source] image_webp::DecodingError),
    /// A header that gives no width or no height.
    #[error("the header gives no width or no height")]
    NoPixels,
    /// A part is missing that the format requires, or lies where it can't.
    #[error("the {0} is missing or out of place")]
    Structure(&'static str),
    /// Two places in the file give different sizes.
    #[error("two headers give different sizes")]
    SizesDiffer,
    /// A checksum in the file doesn't match the bytes it covers.
    #[error("a checksum is wrong")]
    Checksum,
    /// The decoder gave up in a way it never should.
    #[error("the decoder panicked")]
    Panicked,
}

/// Megabytes with one digit, as file browsers show them (10⁶ bytes).
fn megabytes(bytes: usize) -> String {
    tenths(bytes as u64, 1_000_000)
}

fn megapixels(pixels: u64) -> String {
    tenths(pixels, 1_000_000)
}

/// `value / unit` rounded to one digit after the point, without the digit when it's 0.
fn tenths(value: u64, unit: u64) -> String {
    let tenths = (value * 10 + unit / 2) / unit;
    match tenths % 10 {
        0 => format!("{}", tenths / 10),
        digit => format!("{}.{digit}", tenths / 10),
    }
}
