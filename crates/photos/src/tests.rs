use crate::samples::{self, QUARTERS, decoded, is_near, noise, quarter_colours, quarters};
use crate::*;

fn take(bytes: &[u8]) -> Picture {
    intake(bytes, &Limits::default()).unwrap()
}

fn check_refused(bytes: &[u8], message: &str) {
    assert_eq!(
        intake(bytes, &Limits::default()).unwrap_err().to_string(),
        message
    );
}

fn check_quarters(picture: &Picture, wanted: [[u8; 3]; 4]) {
    for jpeg in [&picture.jpeg, &picture.thumbnail_jpeg] {
        let found = quarter_colours(&decoded(jpeg));
        assert!(
            found
                .iter()
                .zip(wanted)
                .all(|(found, wanted)| is_near(*found, wanted)),
            "{found:?} is not {wanted:?}"
        );
    }
}

fn check_size(width: u32, height: u32, picture_size: (u32, u32), thumbnail_size: (u32, u32)) {
    let picture = take(&samples::jpeg(&quarters(width, height)));
    assert_eq!((picture.width_px, picture.height_px), picture_size);
    assert_eq!(
        (picture.thumbnail_width_px, picture.thumbnail_height_px),
        thumbnail_size
    );
    assert_eq!(
        decoded(&picture.jpeg).size,
        SizePx {
            width: picture_size.0,
            height: picture_size.1
        }
    );
    assert_eq!(
        decoded(&picture.thumbnail_jpeg).size,
        SizePx {
            width: thumbnail_size.0,
            height: thumbnail_size.1
        }
    );
}

#[test]
fn a_large_picture_is_scaled_to_2048_along_its_longer_side() {
    check_size(3000, 2000, (2048, 1365), (320, 213));
    check_size(2000, 3000, (1365, 2048), (213, 320));
    check_size(2049, 10, (2048, 10), (320, 2));
}

#[test]
fn a_picture_that_fits_is_never_scaled_up() {
    check_size(2048, 100, (2048, 100), (320, 16));
    check_size(321, 5, (321, 5), (320, 5));
    check_size(40, 30, (40, 30), (40, 30));
    check_size(1, 1, (1, 1), (1, 1));
}

#[test]
fn a_picture_one_pixel_wide_keeps_its_pixel() {
    check_size(1, 5000, (1, 2048), (1, 320));
}

#[test]
fn the_format_of_the_source_is_told() {
    let raster = quarters(64, 48);
    assert_eq!(
        take(&samples::jpeg(&raster)).source_format,
        SourceFormat::Jpeg
    );
    assert_eq!(
        take(&samples::png(&raster)).source_format,
        SourceFormat::Png
    );
    let webp = samples::webp(&raster.rgb, raster.size, image_webp::ColorType::Rgb8, None);
    assert_eq!(take(&webp).source_format, SourceFormat::Webp);
}

#[test]
fn every_format_keeps_its_colours() {
    let raster = quarters(400, 300);
    check_quarters(&take(&samples::jpeg(&raster)), QUARTERS);
    check_quarters(&take(&samples::png(&raster)), QUARTERS);
    check_quarters(
        &take(&samples::webp(
            &raster.rgb,
            raster.size,
            image_webp::ColorType::Rgb8,
            None,
        )),
        QUARTERS,
    );
}

/// What stands where after each orientation, by TIFF 6.0, tag 274: the value says on which side the stored first row
/// and the stored first column are seen.
#[test]
fn all_eight_orientations_come_upright_from_every_format() {
    let [a, b, c, d] = QUARTERS;
    let seen = [
        (1, [a, b, c, d]),
        (2, [b, a, d, c]),
        (3, [d, c, b, a]),
        (4, [c, d, a, b]),
        (5, [a, c, b, d]),
        (6, [c, a, d, b]),
        (7, [d, b, c, a]),
        (8, [b, d, a, c]),
    ];
    let raster = quarters(90, 60);
    for (orientation, wanted) in seen {
        let exif = samples::exif_block(orientation);
        let jpeg = samples::jpeg_with(&raster, |encoder| encoder.add_exif_metadata(&exif).unwrap());
        let png = samples::with_png_chunk(&samples::png(&raster), *b"eXIf", &exif);
        let webp = samples::webp(
            &raster.rgb,
            raster.size,
            image_webp::ColorType::Rgb8,
            Some(exif),
        );
        for bytes in [jpeg, png, webp] {
            let picture = take(&bytes);
            let size = if orientation < 5 { (90, 60) } else { (60, 90) };
            assert_eq!(
                (picture.width_px, picture.height_px),
                size,
                "orientation {orientation}"
            );
            check_quarters(&picture, wanted);
        }
    }
}

#[test]
fn a_thumbnail_of_pure_noise_still_fits_into_its_limit() {
    for (width, height) in [(1200, 1200), (320, 320)] {
        let picture = take(&samples::jpeg(&noise(width, height)));
        assert!(
            picture.thumbnail_jpeg.len() <= THUMBNAIL_BYTES_MAX,
            "{} bytes",
            picture.thumbnail_jpeg.len()
        );
        assert_eq!(picture.thumbnail_width_px, THUMBNAIL_LONG_SIDE_PX_MAX);
    }
}

#[test]
fn a_taken_picture_holds_no_segment_but_those_that_decoding_needs() {
    let raster = quarters(90, 60);
    let mut jpeg = samples::jpeg_with(&raster, |encoder| {
        encoder.add_exif_metadata(&samples::exif_block(6)).unwrap();
        encoder
            .add_app_segment(1, b"http://ns.adobe.com/xap/1.0/\0<secret/>".to_vec())
            .unwrap();
        encoder
            .add_app_segment(13, b"Photoshop 3.0\0secret".to_vec())
            .unwrap();
        encoder.add_icc_profile(b"secret profile").unwrap();
    });
    jpeg.extend_from_slice(b"secret trailer");
    let picture = take(&jpeg);
    for bytes in [&picture.jpeg, &picture.thumbnail_jpeg] {
        assert!(!bytes.windows(6).any(|window| window == b"secret"));
        assert!(bytes.ends_with(b"\xff\xd9"));
        // Tables, frame, scan and the 16 fixed bytes of the JFIF mark.
        let allowed = [0xc0, 0xc4, 0xda, 0xdb, 0xdd, 0xe0];
        assert!(
            segments(bytes)
                .iter()
                .all(|marker| allowed.contains(marker)),
            "{:x?}",
            segments(bytes)
        );
    }
}

/// The markers up to the scan.
fn segments(jpeg: &[u8]) -> Vec<u8> {
    let mut markers = Vec::new();
    let mut position = 2;
    while markers.last() != Some(&0xda) {
        assert_eq!(jpeg[position], 0xff);
        markers.push(jpeg[position + 1]);
        position += 2 + usize::from(u16::from_be_bytes([jpeg[position + 2], jpeg[position + 3]]));
    }
    markers
}

#[test]
fn the_same_picture_gives_the_same_bytes() {
    let jpeg = samples::jpeg(&noise(500, 300));
    assert_eq!(take(&jpeg), take(&jpeg));
}

#[test]
fn an_empty_file_is_refused() {
    check_refused(
        b"",
        "This file is empty; choose a JPEG, PNG or WebP picture.",
    );
}

#[test]
fn a_file_that_is_too_large_is_refused_with_its_size_and_the_limit() {
    let limits = Limits {
        input_bytes_max: 3_000_000,
        ..Limits::default()
    };
    assert_eq!(
        intake(&vec![0; 4_560_000], &limits)
            .unwrap_err()
            .to_string(),
        "This file has 4.6 MB, and a picture may have at most 3 MB; save it smaller and choose it again."
    );
    assert!(matches!(
        intake(&vec![0; 3_000_000], &limits),
        Err(PhotoError::NotAPicture)
    ));
}

#[test]
fn sixty_megapixels_are_refused_by_the_header_alone() {
    // A frame header and nothing behind it: a decoder would have said that the end is missing.
    let header =
        b"\xff\xd8\xff\xc0\0\x11\x08\x1a\x3a\x23\x05\x03\x01\x22\0\x02\x11\x01\x03\x11\x01";
    check_refused(
        header,
        "This picture has 8965 × 6714 = 60.2 megapixels, and at most 52 are taken; set the camera to a smaller size, or \
         save a smaller copy and choose that.",
    );
}

#[test]
fn damage_anywhere_gives_a_picture_or_an_error_and_never_a_panic() {
    let raster = noise(64, 48);
    let webp = samples::webp(
        &raster.rgb,
        raster.size,
        image_webp::ColorType::Rgb8,
        Some(samples::exif_block(3)),
    );
    let exif = samples::exif_block(6);
    let originals = [
        samples::jpeg_with(&raster, |encoder| encoder.add_exif_metadata(&exif).unwrap()),
        samples::jpeg_with(&raster, |encoder| encoder.set_progressive(true)),
        samples::jpeg_with(&raster, |encoder| encoder.set_restart_interval(3)),
        samples::png(&raster),
        webp,
    ];
    let limits = Limits {
        input_pixels_max: 100_000,
        ..Limits::default()
    };
    let mut random = samples::Random(42);
    for original in &originals {
        for _ in 0..400 {
            let mut bytes = original.clone();
            for _ in 0..=random.below(4) {
                // Half of the damage goes into the first 200 bytes, where the headers are.
                let reach = if random.below(2) == 0 {
                    200
                } else {
                    bytes.len()
                };
                let place = random.below(reach.min(bytes.len()));
                bytes[place] = random.byte();
            }
            if let Err(PhotoError::Damaged {
                source: DecodeError::Panicked,
                ..
            }) = intake(&bytes, &limits)
            {
                panic!("the decoder panicked at {bytes:02x?}");
            }
        }
    }
}
