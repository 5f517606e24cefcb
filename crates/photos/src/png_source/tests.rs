use png::{BitDepth, ColorType};

use crate::samples::{self, noise, quarters};
use crate::{DecodeError, Limits, PhotoError, SizePx};

use super::{decode, over_white};

const TWO_BY_ONE: SizePx = SizePx {
    width: 2,
    height: 1,
};

fn check_pixels(png: &[u8], wanted: &[u8]) {
    assert_eq!(decode(png, &Limits::default()).unwrap().raster.rgb, wanted);
}

/// The header's checksum covers its name and data, bytes 12 to 29.
fn put_header_checksum_right(png: &mut [u8]) {
    let checksum = crc32fast::hash(&png[12..29]);
    png[29..33].copy_from_slice(&checksum.to_be_bytes());
}

#[test]
fn eight_bit_colours_come_through_exactly() {
    let raster = noise(33, 17);
    check_pixels(&samples::png(&raster), &raster.rgb);
}

#[test]
fn sixteen_bit_samples_keep_their_upper_byte() {
    let samples = [
        0x12, 0xff, 0x34, 0, 0x56, 0x80, 0xff, 0xff, 0, 0, 0x80, 0x7f,
    ];
    check_pixels(
        &samples::png_of(
            &samples,
            TWO_BY_ONE,
            ColorType::Rgb,
            BitDepth::Sixteen,
            |_| {},
        ),
        &[0x12, 0x34, 0x56, 0xff, 0, 0x80],
    );
}

#[test]
fn a_palette_is_looked_up() {
    let png = samples::png_of(
        &[0b0001_0000],
        TWO_BY_ONE,
        ColorType::Indexed,
        BitDepth::Four,
        |encoder| {
            encoder.set_palette(vec![1, 2, 3, 4, 5, 6]);
        },
    );
    check_pixels(&png, &[4, 5, 6, 1, 2, 3]);
}

#[test]
fn a_transparent_palette_entry_is_white() {
    let png = samples::png_of(
        &[0b0001_0000],
        TWO_BY_ONE,
        ColorType::Indexed,
        BitDepth::Four,
        |encoder| {
            encoder.set_palette(vec![1, 2, 3, 4, 5, 6]);
            encoder.set_trns(vec![0, 255]);
        },
    );
    check_pixels(&png, &[4, 5, 6, 255, 255, 255]);
}

#[test]
fn one_bit_gray_is_black_and_white() {
    let png = samples::png_of(
        &[0b0100_0000],
        TWO_BY_ONE,
        ColorType::Grayscale,
        BitDepth::One,
        |_| {},
    );
    check_pixels(&png, &[0, 0, 0, 255, 255, 255]);
}

#[test]
fn transparency_is_laid_on_white() {
    let rgba = [200, 100, 0, 255, 200, 100, 0, 0];
    check_pixels(
        &samples::png_of(&rgba, TWO_BY_ONE, ColorType::Rgba, BitDepth::Eight, |_| {}),
        &[200, 100, 0, 255, 255, 255],
    );
    let gray = [50, 128, 50, 255];
    check_pixels(
        &samples::png_of(
            &gray,
            TWO_BY_ONE,
            ColorType::GrayscaleAlpha,
            BitDepth::Eight,
            |_| {},
        ),
        &[152, 152, 152, 50, 50, 50],
    );
}

#[test]
fn a_half_transparent_sample_is_a_rounded_mean() {
    for (sample, alpha, wanted) in [
        (0, 0, 255),
        (0, 255, 0),
        (255, 7, 255),
        (0, 128, 127),
        (100, 51, 224),
    ] {
        assert_eq!(over_white(sample, alpha), wanted, "{sample} at {alpha}");
    }
}

#[test]
fn a_picture_cut_anywhere_is_refused() {
    let png = samples::png(&noise(60, 40));
    for length in (8..png.len()).step_by(61).chain(png.len() - 20..png.len()) {
        let result = decode(&png[..length], &Limits::default()).map(|decoded| decoded.raster.size);
        assert!(
            matches!(result, Err(PhotoError::CutShort { .. })),
            "{length}: {result:?}"
        );
    }
}

#[test]
fn a_picture_that_lacks_rows_is_refused() {
    // The header of a taller picture on the data of a lower one; both checksums are right.
    let (low, tall) = (samples::png(&noise(20, 10)), samples::png(&noise(20, 30)));
    let png = [&tall[..33], &low[33..]].concat();
    let result = decode(&png, &Limits::default()).map(|decoded| decoded.raster.size);
    assert!(
        matches!(
            result,
            Err(PhotoError::Damaged {
                source: DecodeError::Png(_),
                ..
            })
        ),
        "{result:?}"
    );
}

#[test]
fn a_wrong_checksum_is_refused() {
    let mut png = samples::png(&noise(20, 10));
    let middle = png.len() / 2;
    png[middle] ^= 1;
    let result = decode(&png, &Limits::default()).map(|decoded| decoded.raster.size);
    assert!(
        matches!(
            result,
            Err(PhotoError::Damaged {
                source: DecodeError::Checksum,
                ..
            })
        ),
        "{result:?}"
    );
}

#[test]
fn a_size_bomb_is_refused_before_memory_is_taken() {
    for (width, height) in [
        (0x7fff_ffff_u32, 0x7fff_ffff_u32),
        (u32::MAX, u32::MAX),
        (52_000_001, 1),
    ] {
        let mut png = samples::png(&quarters(16, 16));
        png[16..20].copy_from_slice(&width.to_be_bytes());
        png[20..24].copy_from_slice(&height.to_be_bytes());
        put_header_checksum_right(&mut png);
        let result = decode(&png, &Limits::default()).map(|decoded| decoded.raster.size);
        assert!(
            matches!(result, Err(PhotoError::TooManyPixels { .. })),
            "{result:?}"
        );
    }
}

#[test]
fn a_picture_without_width_is_damaged() {
    let mut png = samples::png(&quarters(16, 16));
    png[16..20].fill(0);
    put_header_checksum_right(&mut png);
    let result = decode(&png, &Limits::default()).map(|decoded| decoded.raster.size);
    assert!(
        matches!(
            result,
            Err(PhotoError::Damaged {
                source: DecodeError::NoPixels,
                ..
            })
        ),
        "{result:?}"
    );
}

#[test]
fn the_header_must_come_first() {
    let png = samples::png(&quarters(16, 16));
    let headless = [&png[..8], &png[33..]].concat();
    let result = decode(&headless, &Limits::default()).map(|decoded| decoded.raster.size);
    assert!(
        matches!(
            result,
            Err(PhotoError::Damaged {
                source: DecodeError::Structure(_),
                ..
            })
        ),
        "{result:?}"
    );
}
