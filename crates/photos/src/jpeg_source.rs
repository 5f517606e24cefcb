//! JPEG in: walks the markers (ITU-T T.81, annex B), then lets the decoder at exactly the picture they enclose.
//!
//! The walk comes first because the decoder would take a cut picture and fill the rest with grey, and would take memory
//! by whatever size a header claims. It must never hand over bytes from behind the end marker.

use std::cell::Cell;
use std::rc::Rc;

use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;

use crate::{
    DecodeError, Decoded, Limits, Orientation, PhotoError, Raster, SizePx, SourceFormat, check_size,
};

mod counted;

use counted::Counted;

/// The start of an APP1 segment that holds an Exif block.
const EXIF_MARK: &[u8] = b"Exif\0\0";

/// Scans of a progressive picture at most. Encoders write about ten; each scan passes over every pixel, so a small file
/// with thousands of them would keep a processor busy for minutes.
const SCANS_MAX: usize = 64;

/// How far the decoder may read past the last byte of pixel data. It fetches four to eight bytes ahead; one that needs
/// more than this is decoding pixels that aren't there.
const READ_AHEAD_BYTES_MAX: usize = 16;

/// What the markers say.
struct Outline {
    size: SizePx,
    /// Whether one scan holds everything, as ordinary baseline pictures do.
    single_scan: bool,
    orientation: Orientation,
    /// Where the end marker starts.
    end: usize,
}

/// What the frame header says.
struct Frame {
    size: SizePx,
    progressive: bool,
    components: usize,
    /// Whether some component has fewer rows than another.
    rows_subsampled: bool,
}

pub(crate) fn decode(bytes: &[u8], limits: &Limits) -> Result<Decoded, PhotoError> {
    let outline = walk(bytes, limits)?;
    let size = outline.size;
    let options = DecoderOptions::default()
        .set_max_width(size.width as usize)
        .set_max_height(size.height as usize)
        .jpeg_set_max_scans(SCANS_MAX)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let furthest = Rc::new(Cell::new(0));
    // Between several scans the decoder needs every marker, so there the place it read says nothing.
    let source = if outline.single_scan {
        Counted::new(&bytes[..outline.end], counted::ZEROS, Rc::clone(&furthest))
    } else {
        Counted::new(&bytes[..outline.end + 2], &[], Rc::clone(&furthest))
    };
    let mut decoder = JpegDecoder::new_with_options(source, options);
    decoder.decode_headers().map_err(damaged_by)?;
    // Headers are read leniently, because cameras leave padding between them; pixels strictly, because a picture with
    // missing rows is worth less than an error.
    decoder.set_options(options.set_strict_mode(true));
    if decoder.dimensions() != Some((size.width as usize, size.height as usize)) {
        return Err(damaged(DecodeError::SizesDiffer));
    }
    let mut rgb = vec![0; size.rgb_bytes()];
    decoder.decode_into(&mut rgb).map_err(damaged_by)?;
    if outline.single_scan && furthest.get() > outline.end + READ_AHEAD_BYTES_MAX {
        return Err(PhotoError::CutShort {
            format: SourceFormat::Jpeg,
        });
    }
    Ok(Decoded {
        raster: Raster { rgb, size },
        orientation: outline.orientation,
    })
}

/// Follows the markers from the first to the end marker.
fn walk(bytes: &[u8], limits: &Limits) -> Result<Outline, PhotoError> {
    let cut_short = || PhotoError::CutShort {
        format: SourceFormat::Jpeg,
    };
    let mut frame: Option<Frame> = None;
    let mut orientation = None;
    let mut scans = 0_u32;
    let mut scanned_components = 0;
    let mut position = 2;
    loop {
        let (marker, at) = next_marker(bytes, position).ok_or_else(cut_short)?;
        position = at + 2;
        match marker {
            0xd9 => {
                let frame = frame
                    .filter(|_| scans > 0)
                    .ok_or_else(|| structure("picture data"))?;
                if !frame.progressive && scanned_components < frame.components {
                    return Err(cut_short());
                }
                let orientation = orientation.unwrap_or_default();
                return Ok(Outline {
                    size: frame.size,
                    single_scan: scans == 1 && !frame.progressive,
                    orientation,
                    end: at,
                });
            }
            // Markers that stand alone: a restart, a start, and TEM.
            0xd0..=0xd8 | 0x01 => continue,
            _ => {}
        }
        let length = bytes.get(position..position + 2).ok_or_else(cut_short)?;
        let length = usize::from(u16::from_be_bytes([length[0], length[1]]));
        if length < 2 {
            return Err(structure("segment length"));
        }
        let segment = bytes
            .get(position + 2..position + length)
            .ok_or_else(cut_short)?;
        position += length;
        match marker {
            // Every frame header, leaving out DHT, JPG and DAC, which lie between them.
            0xc0..=0xcf if !matches!(marker, 0xc4 | 0xc8 | 0xcc) => {
                if frame.is_some() {
                    return Err(structure("single frame header"));
                }
                let header = read_frame_header(marker, segment)?;
                check_size(header.size, SourceFormat::Jpeg, limits)?;
                frame = Some(header);
            }
            0xda => {
                let frame = frame.as_ref().ok_or_else(|| structure("frame header"))?;
                scans += 1;
                scanned_components += check_scan(segment, frame)?;
            }
            0xe1 if orientation.is_none() && segment.starts_with(EXIF_MARK) => {
                orientation = Some(Orientation::from_exif_block(segment));
            }
            _ => {}
        }
    }
}

/// Counts the components of a scan, and refuses the scans that zune-jpeg 0.5 decodes to wrong colours without a word:
/// those of a baseline picture that hold only some of the components when rows are subsampled (found with pictures of
/// jpeg-encoder 0.7, which ImageMagick reads rightly).
fn check_scan(segment: &[u8], frame: &Frame) -> Result<usize, PhotoError> {
    let components = usize::from(*segment.first().ok_or_else(|| structure("scan header"))?);
    if !frame.progressive && components < frame.components && frame.rows_subsampled {
        return Err(PhotoError::RareVariant {
            format: SourceFormat::Jpeg,
            variant: "colours in separate scans",
        });
    }
    Ok(components)
}

/// Finds the next marker at or after `from`: its second byte, and where it starts. Steps over pixel data, in which a
/// byte 0xff is followed by 0, and over fill bytes. `None` when the file ends first.
fn next_marker(bytes: &[u8], from: usize) -> Option<(u8, usize)> {
    let mut position = from;
    loop {
        position += bytes
            .get(position..)?
            .iter()
            .position(|byte| *byte == 0xff)?;
        match *bytes.get(position + 1)? {
            0x00 => position += 2,
            0xff => position += 1,
            marker => return Some((marker, position)),
        }
    }
}

/// Reads a frame header, and refuses what the decoder can't do with a name for it.
fn read_frame_header(marker: u8, segment: &[u8]) -> Result<Frame, PhotoError> {
    let rare = |variant| PhotoError::RareVariant {
        format: SourceFormat::Jpeg,
        variant,
    };
    let [
        precision,
        height_high,
        height_low,
        width_high,
        width_low,
        components,
        ..,
    ] = *segment
    else {
        return Err(structure("frame header"));
    };
    match marker {
        0xc0..=0xc2 => {}
        0xc3 => return Err(rare("lossless")),
        0xc9..=0xcb => return Err(rare("arithmetic coding")),
        _ => return Err(rare("hierarchical")),
    }
    if precision != 8 {
        return Err(rare("12 bits a sample"));
    }
    let height = u32::from(u16::from_be_bytes([height_high, height_low]));
    if height == 0 {
        return Err(rare("height given after the first scan"));
    }
    let width = u32::from(u16::from_be_bytes([width_high, width_low]));
    // Each component has three bytes: its name, its sampling across and down in half a byte each, its table.
    let mut rows = segment[6..]
        .chunks_exact(3)
        .map(|component| component[1] & 0x0f);
    let first_rows = rows.next();
    Ok(Frame {
        size: SizePx { width, height },
        progressive: marker == 0xc2,
        components: usize::from(components),
        rows_subsampled: rows.any(|rows| Some(rows) != first_rows),
    })
}

fn structure(part: &'static str) -> PhotoError {
    damaged(DecodeError::Structure(part))
}

fn damaged(source: DecodeError) -> PhotoError {
    PhotoError::Damaged {
        format: SourceFormat::Jpeg,
        source,
    }
}

fn damaged_by(source: zune_jpeg::errors::DecodeErrors) -> PhotoError {
    damaged(DecodeError::Jpeg(source))
}

#[cfg(test)]
mod tests;
