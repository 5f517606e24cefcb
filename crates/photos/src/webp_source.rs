//! WebP in (RFC 9649). Walks the chunks for every size that's stated, the orientation and the end, then decodes onto
//! white. Must never decode a frame whose own header wasn't checked: the canvas may claim less than the frame holds.

use std::io::Cursor;

use image_webp::WebPDecoder;

use crate::png_source::over_white;
use crate::{
    DecodeError, Decoded, Limits, Orientation, PhotoError, Raster, SizePx, SourceFormat, check_size,
};

/// What the chunks say.
struct Outline {
    orientation: Orientation,
    size: SizePx,
    /// Where the picture ends; anything behind it was appended.
    end: usize,
}

pub(crate) fn decode(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    let outline = walk(bytes, limits)?;
    let mut decoder = WebPDecoder::new(Cursor::new(&bytes[..outline.end])).map_err(damaged_by)?;
    decoder.set_memory_limit(limits.input_bytes_max);
    let (width, height) = decoder.dimensions();
    let size = SizePx { width, height };
    if size != outline.size {
        return Err(damaged(DecodeError::SizesDiffer));
    }
    let bytes_needed = decoder
        .output_buffer_size()
        .ok_or_else(|| damaged(DecodeError::NoPixels))?;
    let mut samples = vec![0; bytes_needed];
    decoder.read_image(&mut samples).map_err(damaged_by)?;
    let rgb = if decoder.has_alpha() {
        let over_white =
            |pixel: &[u8]| [0, 1, 2].map(|channel| over_white(pixel[channel], pixel[3]));
        samples.chunks_exact(4).flat_map(over_white).collect()
    } else {
        samples
    };
    Ok(Decoded {
        raster: Raster { rgb, size },
        orientation: outline.orientation,
    })
}

/// Follows the chunks of the container.
fn walk(bytes: &[u8], limits: &Limits) -> Result<Outline, PhotoError> {
    let cut_short = || PhotoError::CutShort {
        format: SourceFormat::Webp,
    };
    let end = number(bytes, 4).ok_or_else(cut_short)? as usize + 8;
    let container = bytes.get(..end).ok_or_else(cut_short)?;
    let mut canvas = None;
    let mut frame = None;
    let mut orientation = None;
    let mut position = 12;
    while position + 8 <= end {
        let kind = &container[position..position + 4];
        let length = number(container, position + 4).ok_or_else(cut_short)? as usize;
        let data = container
            .get(position + 8..)
            .and_then(|rest| rest.get(..length))
            .ok_or_else(cut_short)?;
        // Chunks are padded to an even length.
        position += 8 + length + length % 2;
        let size = match kind {
            b"ANIM" | b"ANMF" => return Err(PhotoError::Moving),
            b"EXIF" => {
                orientation.get_or_insert_with(|| Orientation::from_exif_block(data));
                continue;
            }
            b"VP8X" => canvas_size(data),
            b"VP8 " => lossy_size(data),
            b"VP8L" => lossless_size(data),
            _ => continue,
        };
        let size = size.ok_or_else(|| damaged(DecodeError::Structure("picture header")))?;
        check_size(size, SourceFormat::Webp, limits)?;
        let place = if kind == b"VP8X" {
            &mut canvas
        } else {
            &mut frame
        };
        if place.replace(size).is_some() {
            return Err(damaged(DecodeError::Structure("single picture header")));
        }
    }
    let size = frame.ok_or_else(|| damaged(DecodeError::Structure("picture data")))?;
    if canvas.is_some_and(|canvas| canvas != size) {
        return Err(damaged(DecodeError::SizesDiffer));
    }
    Ok(Outline {
        orientation: orientation.unwrap_or_default(),
        size,
        end,
    })
}

/// The four-byte number at a place.
fn number(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(*bytes.get(at..)?.first_chunk()?))
}

/// RFC 9649, section 2.7: two 24-bit numbers, each one less than the side.
fn canvas_size(data: &[u8]) -> Option<SizePx> {
    let &[.., w0, w1, w2, h0, h1, h2] = data.first_chunk::<10>()?;
    Some(SizePx {
        width: u32::from_le_bytes([w0, w1, w2, 0]) + 1,
        height: u32::from_le_bytes([h0, h1, h2, 0]) + 1,
    })
}

/// RFC 6386, section 9.1: after a tag and a mark of three bytes each, two numbers of 14 bits, each below two of scale.
fn lossy_size(data: &[u8]) -> Option<SizePx> {
    let &[_, _, _, 0x9d, 0x01, 0x2a, w0, w1, h0, h1] = data.first_chunk::<10>()? else {
        return None;
    };
    let side = |low, high| u32::from(u16::from_le_bytes([low, high]) & 0x3fff);
    Some(SizePx {
        width: side(w0, w1),
        height: side(h0, h1),
    })
}

/// RFC 9649, section 3.4: after a mark of one byte, two numbers of 14 bits, each one less than the side.
fn lossless_size(data: &[u8]) -> Option<SizePx> {
    let bits = number(data.strip_prefix(&[0x2f])?, 0)?;
    Some(SizePx {
        width: (bits & 0x3fff) + 1,
        height: (bits >> 14 & 0x3fff) + 1,
    })
}

fn damaged(source: DecodeError) -> PhotoError {
    PhotoError::Damaged {
        format: SourceFormat::Webp,
        source,
    }
}

fn damaged_by(source: image_webp::DecodingError) -> PhotoError {
    damaged(DecodeError::Webp(source))
}

#[cfg(test)]
mod tests;
