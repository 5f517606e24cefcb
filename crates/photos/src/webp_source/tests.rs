use image_webp::ColorType;

use crate::samples::{self, noise, quarters};
use crate::{DecodeError, Limits, PhotoError, Raster, SizePx};

use super::decode;

fn webp(raster: &Raster) -> Vec<u8> {
    samples::webp(&raster.rgb, raster.size, ColorType::Rgb8, None)
}

fn size_or_error(webp: &[u8]) -> Result<SizePx, PhotoError> {
    decode(webp, &Limits::default()).map(|decoded| decoded.raster.size)
}

/// A container of the given chunks, with its length put right.
fn container(chunks: &[(&[u8; 4], &[u8])]) -> Vec<u8> {
    let mut bytes = b"RIFF\0\0\0\0WEBP".to_vec();
    for (kind, data) in chunks {
        bytes.extend_from_slice(*kind);
        bytes.extend_from_slice(&u32::try_from(data.len()).unwrap().to_le_bytes());
        bytes.extend_from_slice(data);
        bytes.resize(bytes.len().next_multiple_of(2), 0);
    }
    let length = u32::try_from(bytes.len() - 8).unwrap().to_le_bytes();
    bytes[4..8].copy_from_slice(&length);
    bytes
}

#[test]
fn colours_come_through_exactly() {
    let raster = noise(33, 17);
    assert_eq!(
        decode(&webp(&raster), &Limits::default())
            .unwrap()
            .raster
            .rgb,
        raster.rgb
    );
}

#[test]
fn transparency_is_laid_on_white() {
    let size = SizePx {
        width: 2,
        height: 1,
    };
    let webp = samples::webp(
        &[200, 100, 0, 255, 200, 100, 0, 0],
        size,
        ColorType::Rgba8,
        None,
    );
    assert_eq!(
        decode(&webp, &Limits::default()).unwrap().raster.rgb,
        [200, 100, 0, 255, 255, 255]
    );
}

#[test]
fn a_picture_cut_anywhere_is_refused() {
    let webp = webp(&noise(60, 40));
    for length in (12..webp.len())
        .step_by(61)
        .chain(webp.len() - 20..webp.len())
    {
        let result = size_or_error(&webp[..length]);
        assert!(
            matches!(result, Err(PhotoError::CutShort { .. })),
            "{length}: {result:?}"
        );
    }
}

#[test]
fn bytes_behind_the_container_are_not_looked_at() {
    let raster = quarters(20, 10);
    let appended = [webp(&raster), b"appended".to_vec()].concat();
    assert_eq!(
        decode(&appended, &Limits::default()).unwrap().raster.rgb,
        raster.rgb
    );
}

#[test]
fn a_moving_picture_is_refused_by_name() {
    let canvas = [0x02, 0, 0, 0, 15, 0, 0, 15, 0, 0];
    let result = size_or_error(&container(&[(b"VP8X", &canvas), (b"ANIM", &[0; 6])]));
    assert!(matches!(result, Err(PhotoError::Moving)), "{result:?}");
}

#[test]
fn a_size_bomb_is_refused_in_each_of_the_three_headers() {
    let canvas = [0, 0, 0, 0, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff];
    let lossy = [0x10, 0, 0, 0x9d, 0x01, 0x2a, 0xff, 0x3f, 0xff, 0x3f];
    let lossless = [0x2f, 0xff, 0xff, 0xff, 0x0f];
    for chunk in [
        (b"VP8X", canvas.as_slice()),
        (b"VP8 ", &lossy),
        (b"VP8L", &lossless),
    ] {
        let result = size_or_error(&container(&[chunk]));
        assert!(
            matches!(result, Err(PhotoError::TooManyPixels { .. })),
            "{result:?}"
        );
    }
}

#[test]
fn a_canvas_that_hides_a_larger_frame_is_refused() {
    let canvas = [0, 0, 0, 0, 15, 0, 0, 15, 0, 0];
    let lossy = [0x10, 0, 0, 0x9d, 0x01, 0x2a, 0xff, 0x0f, 0xff, 0x0f];
    let result = size_or_error(&container(&[(b"VP8X", &canvas), (b"VP8 ", &lossy)]));
    assert!(
        matches!(
            result,
            Err(PhotoError::Damaged {
                source: DecodeError::SizesDiffer,
                ..
            })
        ),
        "{result:?}"
    );
}

#[test]
fn a_container_without_a_picture_is_damaged() {
    for chunks in [
        vec![],
        vec![(b"EXIF", b"II*\0".as_slice())],
        vec![(b"VP8 ", b"short")],
    ] {
        let result = size_or_error(&container(&chunks));
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
}
