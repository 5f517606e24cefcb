use super::recognise;

fn check(bytes: &[u8], message: &str) {
    assert_eq!(recognise(bytes).unwrap_err().to_string(), message);
}

/// An ISO base media file type box with a major brand and compatible brands.
fn ftyp(brands: &[&[u8; 4]]) -> Vec<u8> {
    let length = u32::try_from(12 + 4 * brands.len()).unwrap().to_be_bytes();
    let rest: Vec<u8> = brands[1..].iter().flat_map(|brand| **brand).collect();
    [&length, b"ftyp".as_slice(), brands[0], &[0; 4], &rest].concat()
}

const HEIC: &str = "This is a HEIC picture, which is not taken; set the camera to save JPEG pictures, or save a copy of this one as \
                    JPEG and choose that.";

#[test]
fn a_heic_picture_is_named_with_the_way_out() {
    check(&ftyp(&[b"heic", b"mif1", b"heic"]), HEIC);
    check(&ftyp(&[b"mif1", b"heic"]), HEIC);
    check(&ftyp(&[b"heix"]), HEIC);
}

#[test]
fn other_files_are_named() {
    check(
        &ftyp(&[b"avif", b"mif1"]),
        "This file is an AVIF picture; JPEG, PNG and WebP pictures are taken.",
    );
    check(
        &ftyp(&[b"mp42", b"isom"]),
        "This file is a film; JPEG, PNG and WebP pictures are taken.",
    );
    check(
        b"%PDF-1.7\n",
        "This file is a PDF document; JPEG, PNG and WebP pictures are taken.",
    );
    check(
        b"GIF89a\x01\0",
        "This file is a GIF picture; JPEG, PNG and WebP pictures are taken.",
    );
    check(
        b"II*\0\x08\0\0\0",
        "This file is a TIFF or raw camera picture; JPEG, PNG and WebP pictures are taken.",
    );
}

#[test]
fn anything_else_is_not_a_picture() {
    for bytes in [
        b"x".as_slice(),
        b"a text about a picture",
        b"\xff\xd8",
        b"RIFF\0\0\0\0WAVE",
        b"\0\0\0\0",
    ] {
        check(
            bytes,
            "This file is not a picture that can be read; JPEG, PNG and WebP pictures are taken.",
        );
    }
}

#[test]
fn a_cut_file_type_box_is_still_answered() {
    let whole = ftyp(&[b"heic", b"mif1"]);
    for length in 8..whole.len() {
        assert!(recognise(&whole[..length]).is_err());
    }
}
