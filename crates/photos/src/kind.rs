//! Recognises what a file is by its first bytes. Must never trust a file's name or a declared media type.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::PhotoError;

/// The kinds of picture that are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SourceFormat {
    /// ITU-T T.81.
    Jpeg,
    /// W3C PNG, third edition.
    Png,
    /// RFC 9649.
    Webp,
}

impl fmt::Display for SourceFormat {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::Webp => "WebP",
        })
    }
}

/// First bytes of files that people offer by mistake, and what to call them.
const OTHER_KINDS: &[(&[u8], &str)] = &[
    (b"GIF87a", "a GIF picture"),
    (b"GIF89a", "a GIF picture"),
    (b"II*\0", "a TIFF or raw camera picture"),
    (b"MM\0*", "a TIFF or raw camera picture"),
    (b"BM", "a BMP picture"),
    (b"%PDF-", "a PDF document"),
    (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"<?xml", "an XML document"),
    (b"\xff\x0a", "a JPEG XL picture"),
    (b"\0\0\0\x0cJXL \r\n\x87\n", "a JPEG XL picture"),
];

/// Brands of ISO base media files (ISO/IEC 14496-12) that hold HEVC-coded or unnamed still pictures
/// (ISO/IEC 23008-12; from memory).
const HEIC_BRANDS: &[&[u8; 4]] = &[
    b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs", b"mif1", b"msf1",
];

/// Says which source a file is for, or why there's none.
pub(crate) fn recognise(bytes: &[u8]) -> Result<SourceFormat, PhotoError> {
    if bytes.starts_with(b"\xff\xd8\xff") {
        return Ok(SourceFormat::Jpeg);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Ok(SourceFormat::Png);
    }
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        return Ok(SourceFormat::Webp);
    }
    if bytes.get(4..8) == Some(b"ftyp") {
        return Err(iso_media_kind(bytes));
    }
    if is_svg(bytes) {
        return Err(PhotoError::Svg);
    }
    match OTHER_KINDS
        .iter()
        .find(|(start, _)| bytes.starts_with(start))
    {
        Some((_, kind)) => Err(PhotoError::OtherKind { kind }),
        None => Err(PhotoError::NotAPicture),
    }
}

/// How far into a file the root element of a drawing is looked for: beyond a prolog, a comment and a DOCTYPE.
const SVG_PROLOG_BYTES: usize = 4096;

fn is_svg(bytes: &[u8]) -> bool {
    let start = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let start = start.trim_ascii_start();
    let head = &start[..start.len().min(SVG_PROLOG_BYTES)];
    start.starts_with(b"<") && head.windows(4).any(|window| window == b"<svg")
}

/// Tells HEIC, AVIF and films apart by the major brand, then by the compatible brands of the `ftyp` box.
fn iso_media_kind(bytes: &[u8]) -> PhotoError {
    let length = bytes
        .first_chunk()
        .map_or(0, |length| u32::from_be_bytes(*length)) as usize;
    let box_end = length.clamp(16, 256).min(bytes.len());
    let brands: Vec<&[u8]> = bytes[8..box_end.max(8)].chunks_exact(4).collect();
    let names = |wanted: &[&[u8; 4]]| {
        brands
            .iter()
            .any(|brand| wanted.iter().any(|name| *brand == name.as_slice()))
    };
    // AVIF files often list `mif1` too, so they're looked for first.
    if names(&[b"avif", b"avis"]) {
        PhotoError::OtherKind {
            kind: "an AVIF picture",
        }
    } else if names(HEIC_BRANDS) {
        PhotoError::Heic
    } else {
        PhotoError::OtherKind { kind: "a film" }
    }
}

#[cfg(test)]
mod tests;
