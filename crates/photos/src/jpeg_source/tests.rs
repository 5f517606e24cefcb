use jpeg_encoder::{ColorType, SamplingFactor};

use crate::samples::{self, QUARTERS, colour_at, is_near, noise, quarter_colours, quarters};
use crate::{DecodeError, Limits, PhotoError, SizePx};

use super::decode;

fn check_quarters(jpeg: &[u8], note: &str) {
    let raster = decode(jpeg, &Limits::default()).unwrap().raster;
    let found = quarter_colours(&raster);
    assert!(
        found
            .iter()
            .zip(QUARTERS)
            .all(|(found, wanted)| is_near(*found, wanted)),
        "{note}: {found:?}"
    );
}

fn check_cut_short(jpeg: &[u8], note: &str) {
    let result = decode(jpeg, &Limits::default()).map(|decoded| decoded.raster.size);
    assert!(
        matches!(result, Err(PhotoError::CutShort { .. })),
        "{note}: {result:?}"
    );
}

fn check_not_taken(jpeg: &[u8], note: &str) {
    let result = decode(jpeg, &Limits::default()).map(|decoded| decoded.raster.size);
    assert!(
        matches!(
            result,
            Err(PhotoError::CutShort { .. } | PhotoError::Damaged { .. })
        ),
        "{note}: {result:?}"
    );
}

#[test]
fn baseline_pictures_are_read_at_every_usual_chroma_sampling() {
    for sampling in [
        SamplingFactor::F_1_1,
        SamplingFactor::F_2_1,
        SamplingFactor::F_1_2,
        SamplingFactor::F_2_2,
        SamplingFactor::F_4_1,
    ] {
        check_quarters(
            &samples::jpeg_with(&quarters(203, 101), |encoder| {
                encoder.set_sampling_factor(sampling);
            }),
            &format!("{sampling:?}"),
        );
    }
}

#[test]
fn progressive_pictures_are_read() {
    check_quarters(
        &samples::jpeg_with(&quarters(203, 101), |encoder| encoder.set_progressive(true)),
        "progressive",
    );
    check_quarters(
        &samples::jpeg_with(&quarters(203, 101), |encoder| {
            encoder.set_progressive_scans(10);
        }),
        "progressive in ten scans",
    );
}

#[test]
fn pictures_with_restart_markers_are_read() {
    check_quarters(
        &samples::jpeg_with(&quarters(203, 101), |encoder| {
            encoder.set_restart_interval(4);
        }),
        "restarts",
    );
}

#[test]
fn colours_in_separate_scans_are_read_or_refused_but_never_falsified() {
    for sampling in [
        SamplingFactor::F_1_1,
        SamplingFactor::F_2_1,
        SamplingFactor::F_4_1,
    ] {
        let jpeg = samples::jpeg_with(&quarters(203, 101), |encoder| {
            encoder.set_sampling_factor(sampling);
            encoder.set_optimized_huffman_tables(true);
        });
        check_quarters(&jpeg, &format!("{sampling:?}"));
    }
    for sampling in [
        SamplingFactor::F_1_2,
        SamplingFactor::F_2_2,
        SamplingFactor::F_4_2,
    ] {
        let jpeg = samples::jpeg_with(&quarters(203, 101), |encoder| {
            encoder.set_sampling_factor(sampling);
            encoder.set_optimized_huffman_tables(true);
        });
        let result = decode(&jpeg, &Limits::default()).map(|decoded| decoded.raster.size);
        assert!(
            matches!(result, Err(PhotoError::RareVariant { .. })),
            "{sampling:?}: {result:?}"
        );
    }
}

#[test]
fn a_picture_without_its_last_scan_is_refused() {
    let jpeg = samples::jpeg_with(&quarters(64, 64), |encoder| {
        encoder.set_sampling_factor(SamplingFactor::F_2_1);
        encoder.set_optimized_huffman_tables(true);
    });
    let last_scan = jpeg
        .windows(2)
        .rposition(|window| window == b"\xff\xda")
        .unwrap();
    check_cut_short(
        &[&jpeg[..last_scan], b"\xff\xd9"].concat(),
        "two of three scans",
    );
}

#[test]
fn gray_pictures_are_read() {
    let size = SizePx {
        width: 40,
        height: 30,
    };
    let jpeg = samples::jpeg_of(&vec![100; 1200], size, ColorType::Luma, |_| {});
    let raster = decode(&jpeg, &Limits::default()).unwrap().raster;
    assert!(is_near(colour_at(&raster, 5, 5), [100; 3]));
}

#[test]
fn pictures_in_printing_inks_are_read() {
    let size = SizePx {
        width: 48,
        height: 32,
    };
    // Full cyan, no magenta, no yellow, no black: blue-green without red.
    for color in [ColorType::Cmyk, ColorType::CmykAsYcck] {
        let jpeg = samples::jpeg_of(&[255, 0, 0, 0].repeat(48 * 32), size, color, |_| {});
        let raster = decode(&jpeg, &Limits::default()).unwrap().raster;
        assert!(
            is_near(colour_at(&raster, 5, 5), [0, 255, 255]),
            "{:?} from {color:?}",
            colour_at(&raster, 5, 5)
        );
    }
}

/// An Adobe segment with transform 0 says that three components are red, green and blue (ITU-T T.872, 6.5.3; from
/// memory).
#[test]
fn a_picture_stored_as_red_green_and_blue_is_read() {
    let size = SizePx {
        width: 48,
        height: 32,
    };
    let samples = [100, 150, 50].repeat(48 * 32);
    let jpeg = samples::jpeg_of(&samples, size, ColorType::Ycbcr, |encoder| {
        encoder.set_sampling_factor(SamplingFactor::F_1_1);
    });
    // In place of the JFIF segment of 18 bytes, which would say that the components are luma and chroma.
    let adobe = b"\xff\xee\0\x0eAdobe\0\x64\0\0\0\0\0";
    let jpeg = [&jpeg[..2], adobe, &jpeg[20..]].concat();
    let result = decode(&jpeg, &Limits::default());
    let found = result.map(|decoded| colour_at(&decoded.raster, 5, 5));
    assert!(
        matches!(found, Ok(colour) if is_near(colour, [100, 150, 50])),
        "{found:?}"
    );
}

#[test]
fn a_picture_cut_anywhere_is_refused() {
    let raster = noise(160, 120);
    let encoded = [
        samples::jpeg(&raster),
        samples::jpeg_with(&raster, |encoder| encoder.set_progressive(true)),
        samples::jpeg_with(&raster, |encoder| encoder.set_restart_interval(5)),
    ];
    for jpeg in encoded {
        for length in (3..jpeg.len())
            .step_by(97)
            .chain(jpeg.len() - 40..jpeg.len())
        {
            check_cut_short(
                &jpeg[..length],
                &format!("{length} of {} bytes", jpeg.len()),
            );
        }
    }
}

#[test]
fn a_cut_picture_that_was_closed_with_an_end_marker_is_refused() {
    let raster = noise(160, 120);
    for interval in [0, 5] {
        let jpeg = samples::jpeg_with(&raster, |encoder| encoder.set_restart_interval(interval));
        for length in (jpeg.len() / 10..jpeg.len() - 100).step_by(199) {
            let cut = [&jpeg[..length], b"\xff\xd9"].concat();
            check_not_taken(
                &cut,
                &format!(
                    "{length} of {} bytes, restarts every {interval}",
                    jpeg.len()
                ),
            );
        }
    }
}

#[test]
fn a_picture_with_zeros_in_place_of_its_second_half_is_refused() {
    // What a copy looks like that was broken off after the room had been set aside.
    let mut jpeg = samples::jpeg(&noise(160, 120));
    let half = jpeg.len() / 2;
    jpeg[half..].fill(0);
    check_cut_short(&jpeg, "zeros");
}

#[test]
fn bytes_behind_the_end_marker_are_not_looked_at() {
    let raster = quarters(120, 80);
    let mut jpeg = samples::jpeg(&raster);
    jpeg.extend_from_slice(&samples::jpeg(&noise(40, 40)));
    check_quarters(&jpeg, "appended");
}

#[test]
fn padding_between_segments_is_stepped_over() {
    let jpeg = samples::jpeg(&quarters(120, 80));
    let padded = [&jpeg[..2], &[0xff; 9], &jpeg[2..]].concat();
    check_quarters(&padded, "padded");
    let padded = [&jpeg[..20], &[0; 9], &jpeg[20..]].concat();
    check_quarters(&padded, "padded");
}

#[test]
fn a_second_frame_header_is_refused() {
    let small = samples::jpeg(&quarters(16, 16));
    let frame = small
        .windows(2)
        .position(|window| window == b"\xff\xc0")
        .unwrap();
    let doubled = [&small[..frame], &small[frame..frame + 19], &small[frame..]].concat();
    check_not_taken(&doubled, "two frame headers");
}

#[test]
fn a_size_bomb_is_refused_before_memory_is_taken() {
    let mut jpeg = samples::jpeg(&quarters(16, 16));
    let frame = jpeg
        .windows(2)
        .position(|window| window == b"\xff\xc0")
        .unwrap();
    jpeg[frame + 5..frame + 9].fill(0xff);
    let result = decode(&jpeg, &Limits::default()).map(|decoded| decoded.raster.size);
    assert!(
        matches!(
            result,
            Err(PhotoError::TooManyPixels {
                size: SizePx {
                    width: 65535,
                    height: 65535
                },
                ..
            })
        ),
        "{result:?}"
    );
}

#[test]
fn rare_variants_are_refused_by_name() {
    for (marker, precision, variant) in [
        (0xc3, 8, "lossless"),
        (0xc5, 8, "hierarchical"),
        (0xc9, 8, "arithmetic coding"),
        (0xca, 8, "arithmetic coding"),
        (0xc1, 12, "12 bits a sample"),
    ] {
        let mut jpeg = samples::jpeg(&quarters(16, 16));
        let frame = jpeg
            .windows(2)
            .position(|window| window == b"\xff\xc0")
            .unwrap();
        jpeg[frame + 1] = marker;
        jpeg[frame + 4] = precision;
        let result = decode(&jpeg, &Limits::default()).map(|decoded| decoded.raster.size);
        assert!(
            matches!(result, Err(PhotoError::RareVariant { variant: found, .. }) if found == variant),
            "{result:?}"
        );
    }
}

#[test]
fn a_file_of_markers_without_a_picture_is_damaged() {
    for bytes in [
        b"\xff\xd8\xff\xd9".as_slice(),
        b"\xff\xd8\xff\xe0\0\x02\xff\xd9",
        b"\xff\xd8\xff\xe0\0\x01\xff\xd9",
    ] {
        let result = decode(bytes, &Limits::default()).map(|decoded| decoded.raster.size);
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
