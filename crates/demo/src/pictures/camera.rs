//! From pixels to a JPEG file, with what a telephone writes beside them: the place, the time, and how it was held.
//!
//! The place is an invented one in the sea. It is there to be stripped.

use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

use super::canvas::{HEIGHT, WIDTH};
use super::{Held, QUALITY};

pub(super) fn encode(rgb: Vec<u8>, held: Held) -> Vec<u8> {
    let (rgb, width, height) = match held {
        Held::Plain | Held::WithPlace => (rgb, WIDTH, HEIGHT),
        Held::Sideways => (turned_left(&rgb), HEIGHT, WIDTH),
    };
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, QUALITY);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder
        .encode(&rgb, width as u16, height as u16, ColorType::Rgb)
        .expect("the sheet has the size that is given, and a vector takes all bytes");
    match held {
        Held::Plain => jpeg,
        Held::WithPlace => with_exif(&jpeg, 1),
        // 6: the first row of the file is the right edge of the picture (TIFF 6.0, tag 274; Exif 2.3).
        Held::Sideways => with_exif(&jpeg, 6),
    }
}

/// The pixels as a camera held sideways stores them: turning them a quarter clockwise gives the picture back.
fn turned_left(rgb: &[u8]) -> Vec<u8> {
    let mut turned = Vec::with_capacity(rgb.len());
    for x in (0..WIDTH).rev() {
        for y in 0..HEIGHT {
            let start = (y * WIDTH + x) * 3;
            turned.extend_from_slice(&rgb[start..start + 3]);
        }
    }
    turned
}

/// Puts an Exif block behind the start of the file (Exif 2.3, 4.5.4: APP1 right after SOI).
fn with_exif(jpeg: &[u8], orientation: u16) -> Vec<u8> {
    let exif = exif(orientation);
    let length = u16::try_from(exif.len() + 8).expect("the block below is a few hundred bytes");
    let mut out = jpeg[..2].to_vec();
    out.extend_from_slice(&[0xFF, 0xE1]);
    out.extend_from_slice(&length.to_be_bytes());
    out.extend_from_slice(b"Exif\0\0");
    out.extend_from_slice(&exif);
    out.extend_from_slice(&jpeg[2..]);
    out
}

/// A TIFF block, little-endian: orientation, time, and a place by latitude and longitude.
fn exif(orientation: u16) -> Vec<u8> {
    const ENTRY_BYTES: u32 = 12;
    let first_at = 8_u32;
    let time_at = first_at + 2 + 3 * ENTRY_BYTES + 4;
    let place_at = time_at + 20;
    let degrees_at = place_at + 2 + 4 * ENTRY_BYTES + 4;
    let mut block = b"II*\0".to_vec();
    block.extend_from_slice(&first_at.to_le_bytes());
    block.extend_from_slice(&3_u16.to_le_bytes());
    entry(&mut block, 0x0112, 3, 1, u32::from(orientation));
    entry(&mut block, 0x0132, 2, 20, time_at);
    entry(&mut block, 0x8825, 4, 1, place_at);
    block.extend_from_slice(&0_u32.to_le_bytes());
    block.extend_from_slice(b"2026:11:02 10:20:30\0");
    block.extend_from_slice(&4_u16.to_le_bytes());
    entry(&mut block, 1, 2, 2, u32::from_le_bytes(*b"N\0\0\0"));
    entry(&mut block, 2, 5, 3, degrees_at);
    entry(&mut block, 3, 2, 2, u32::from_le_bytes(*b"W\0\0\0"));
    entry(&mut block, 4, 5, 3, degrees_at + 24);
    block.extend_from_slice(&0_u32.to_le_bytes());
    for (number, of) in [
        (38_u32, 1_u32),
        (30, 1),
        (1512, 100),
        (27, 1),
        (14, 1),
        (907, 100),
    ] {
        block.extend_from_slice(&number.to_le_bytes());
        block.extend_from_slice(&of.to_le_bytes());
    }
    block
}

fn entry(block: &mut Vec<u8>, tag: u16, kind: u16, count: u32, value: u32) {
    block.extend_from_slice(&tag.to_le_bytes());
    block.extend_from_slice(&kind.to_le_bytes());
    block.extend_from_slice(&count.to_le_bytes());
    block.extend_from_slice(&value.to_le_bytes());
}
