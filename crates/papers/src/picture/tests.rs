use super::*;
use crate::samples;

fn check_refused(change: impl FnOnce(&mut Picture), expected: &PictureError) {
    let mut picture = samples::picture(1, 64, 48);
    change(&mut picture);
    match Album::default().add(&picture) {
        Err(PaperError::Picture { index: 1, source }) => assert_eq!(&source, expected),
        other => panic!("{other:?} instead of {expected:?}"),
    }
}

#[test]
fn a_jpeg_is_taken_in_with_its_shape() {
    let placed = Album::default()
        .add(&samples::picture(1, 64, 48))
        .expect("a JPEG");
    assert!((placed.aspect - 64.0 / 48.0).abs() < 0.001);
}

#[test]
fn the_same_picture_twice_is_stored_once() {
    let mut album = Album::default();
    let picture = samples::picture(1, 64, 48);
    let (first, second) = (
        album.add(&picture).expect("a JPEG"),
        album.add(&picture).expect("a JPEG"),
    );
    assert_eq!(first, second);
    assert_eq!(album.objects.len(), 1);
}

#[test]
fn a_file_that_is_no_picture_is_refused() {
    check_refused(
        |picture| picture.jpeg = b"%PDF-1.7".to_vec(),
        &PictureError::NotAJpeg,
    );
    check_refused(|picture| picture.jpeg.clear(), &PictureError::NotAJpeg);
}

#[test]
fn a_jpeg_that_ends_before_its_size_is_refused() {
    check_refused(|picture| picture.jpeg.truncate(20), &PictureError::NotAJpeg);
}

#[test]
fn a_jpeg_of_another_size_than_was_said_is_refused() {
    let expected = PictureError::Size {
        width: 640,
        height: 480,
        actual_width: 64,
        actual_height: 48,
    };
    check_refused(
        |picture| (picture.width_px, picture.height_px) = (640, 480),
        &expected,
    );
}

/// Turns the component count in the frame header (ITU-T T.81, B.2.2) into that of a print picture.
#[test]
fn a_jpeg_of_four_inks_is_refused() {
    let change = |picture: &mut Picture| {
        let frame = picture
            .jpeg
            .windows(2)
            .position(|pair| pair == [0xFF, 0xC0])
            .expect("a baseline frame");
        picture.jpeg[frame + 9] = 4;
    };
    check_refused(
        change,
        &PictureError::Kind {
            components: 4,
            bits: 8,
        },
    );
}
