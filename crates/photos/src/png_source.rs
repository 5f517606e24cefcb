//! PNG in (W3C PNG, third edition). Walks the chunks for the size, the orientation and the end, then decodes row by
//! row onto white. Must never decode past the last row, since what follows can swell without end, nor inflate text chunks or profiles: they are dropped anyway, and can be made to swell.

use std::io::Cursor;

use png::{ColorType, Decoder, Transformations};

use crate::{
    DecodeError, Decoded, Limits, Orientation, PhotoError, Raster, SizePx, SourceFormat, check_size,
};

/// What the decoder may take beside the pixels: a few rows and the palette.
const WORKING_BYTES_MAX: usize = 64 * 1024 * 1024;

/// What the chunks say.
struct Outline {
    orientation: Orientation,
    size: SizePx,
    /// Where the picture ends; anything behind it was appended.
    end: usize,
}

pub(crate) fn decode(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    let outline = walk(bytes, limits)?;
    let limits = png::Limits {
        bytes: WORKING_BYTES_MAX,
    };
    let mut decoder = Decoder::new_with_limits(Cursor::new(&bytes[..outline.end]), limits);
    decoder.set_transformations(Transformations::normalize_to_color8());
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    let mut reader = decoder.read_info().map_err(damaged_by)?;
    let size = SizePx {
        width: reader.info().width,
        height: reader.info().height,
    };
    if size != outline.size {
        return Err(damaged(DecodeError::SizesDiffer));
    }
    let (color, _) = reader.output_color_type();
    let mut rgb = Vec::with_capacity(size.rgb_bytes());
    if reader.info().interlaced {
        let bytes_needed = reader
            .output_buffer_size()
            .ok_or_else(|| damaged(DecodeError::NoPixels))?;
        let mut samples = vec![0; bytes_needed];
        reader.next_frame(&mut samples).map_err(damaged_by)?;
        lay_on_white(&samples, color, &mut rgb);
    } else {
        for _ in 0..size.height {
            let row = reader
                .next_row()
                .map_err(damaged_by)?
                .ok_or_else(|| damaged(DecodeError::Structure("last row")))?;
            lay_on_white(row.data(), color, &mut rgb);
        }
    }
    if rgb.len() != size.rgb_bytes() {
        return Err(damaged(DecodeError::SizesDiffer));
    }
    Ok(Decoded {
        raster: Raster { rgb, size },
        orientation: outline.orientation,
    })
}

/// Appends 8-bit samples as RGB; what shines through is white, as on the paper that pictures end up on.
fn lay_on_white(samples: &[u8], color: ColorType, rgb: &mut Vec<u8>) {
    match color {
        ColorType::Rgb => rgb.extend_from_slice(samples),
        ColorType::Rgba => {
            rgb.extend(
                samples.chunks_exact(4).flat_map(|pixel| {
                    [0, 1, 2].map(|channel| over_white(pixel[channel], pixel[3]))
                }),
            );
        }
        ColorType::GrayscaleAlpha => {
            rgb.extend(
                samples
                    .chunks_exact(2)
                    .flat_map(|pixel| [over_white(pixel[0], pixel[1]); 3]),
            );
        }
        // A palette has been expanded to RGB by the decoder and can't come here.
        ColorType::Grayscale | ColorType::Indexed => {
            rgb.extend(samples.iter().flat_map(|gray| [*gray; 3]));
        }
    }
}

/// One sample of the given opacity over white, rounded.
pub(crate) fn over_white(sample: u8, alpha: u8) -> u8 {
    let (sample, alpha) = (u32::from(sample), u32::from(alpha));
    u8::try_from((sample * alpha + 255 * (255 - alpha) + 127) / 255)
        .expect("a mean of two bytes is a byte")
}

/// Follows the chunks from the header to the end chunk.
fn walk(bytes: &[u8], limits: &Limits) -> Result<Outline, PhotoError> {
    let cut_short = || PhotoError::CutShort {
        format: SourceFormat::Png,
    };
    let mut size = None;
    let mut orientation = None;
    let mut position = 8;
    loop {
        let head: [u8; 8] = bytes
            .get(position..)
            .and_then(<[u8]>::first_chunk)
            .copied()
            .ok_or_else(cut_short)?;
        let length = u32::from_be_bytes([head[0], head[1], head[2], head[3]]) as usize;
        let data_start = position + 8;
        let data_end = data_start.checked_add(length).ok_or_else(cut_short)?;
        let data = bytes.get(data_start..data_end).ok_or_else(cut_short)?;
        let checksum = bytes
            .get(data_end..)
            .and_then(<[u8]>::first_chunk)
            .ok_or_else(cut_short)?;
        // The decoder stops after the last row and so wouldn't see the last checksum. Chunks whose name starts in lower
        // case can be done without; cameras and editors are careless with them.
        if head[4].is_ascii_uppercase()
            && crc32fast::hash(&bytes[position + 4..data_end]) != u32::from_be_bytes(*checksum)
        {
            return Err(damaged(DecodeError::Checksum));
        }
        position = data_end + 4;
        match (&head[4..], size) {
            (b"IHDR", None) => {
                let [w0, w1, w2, w3, h0, h1, h2, h3, ..] = *data else {
                    return Err(damaged(DecodeError::Structure("header chunk")));
                };
                let header = SizePx {
                    width: u32::from_be_bytes([w0, w1, w2, w3]),
                    height: u32::from_be_bytes([h0, h1, h2, h3]),
                };
                check_size(header, SourceFormat::Png, limits)?;
                size = Some(header);
            }
            (_, None) => return Err(damaged(DecodeError::Structure("header chunk"))),
            (b"eXIf", Some(_)) if orientation.is_none() => {
                orientation = Some(Orientation::from_exif_block(data));
            }
            (b"IEND", Some(size)) => {
                return Ok(Outline {
                    orientation: orientation.unwrap_or_default(),
                    size,
                    end: position,
                });
            }
            _ => {}
        }
    }
}

fn damaged(source: DecodeError) -> PhotoError {
    PhotoError::Damaged {
        format: SourceFormat::Png,
        source,
    }
}

fn damaged_by(source: png::DecodingError) -> PhotoError {
    damaged(DecodeError::Png(source))
}

#[cfg(test)]
mod tests;
