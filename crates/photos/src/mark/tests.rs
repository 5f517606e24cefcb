use super::*;
use crate::samples::{self, decoded, is_near, quarters};

/// A dark rectangle in a white picture.
fn ink_within(width: u32, height: u32, ink: [u32; 4]) -> Raster {
    let [left, top, right, bottom] = ink;
    let rgb = (0..height)
        .flat_map(|y| (0..width).map(move |x| (x, y)))
        .flat_map(|(x, y)| {
            let is_ink = (left..right).contains(&x) && (top..bottom).contains(&y);
            [if is_ink { 30 } else { 255 }; 3]
        })
        .collect();
    Raster {
        rgb,
        size: SizePx { width, height },
    }
}

/// A PNG of one row of pixels, red, green, blue and opacity.
fn row(pixels: &[[u8; 4]]) -> Vec<u8> {
    let size = SizePx {
        width: u32::try_from(pixels.len()).unwrap(),
        height: 1,
    };
    let (color, depth) = (png::ColorType::Rgba, png::BitDepth::Eight);
    samples::png_of(pixels.as_flattened(), size, color, depth, |_| {})
}

fn check_size(raster: &Raster, width: u32, height: u32) {
    let mark = intake_mark(&samples::png(raster)).unwrap();
    assert_eq!((mark.width_px, mark.height_px), (width, height));
    assert_eq!(decoded(&mark.jpeg).size, SizePx { width, height });
}

fn check_refused(bytes: &[u8], starts: &str) {
    let sentence = intake_mark(bytes).unwrap_err().to_string();
    assert!(sentence.starts_with(starts), "{sentence}");
}

#[test]
fn the_white_around_a_mark_is_cut_off_but_for_a_narrow_edge() {
    check_size(&ink_within(200, 100, [50, 30, 90, 60]), 44, 34);
    check_size(&ink_within(200, 100, [0, 0, 90, 60]), 92, 62);
    check_size(&ink_within(200, 100, [0, 0, 200, 100]), 200, 100);
    check_size(&ink_within(20, 10, [19, 9, 20, 10]), 3, 3);
}

#[test]
fn a_large_mark_is_scaled_and_a_small_one_is_not() {
    check_size(&ink_within(2400, 600, [0, 0, 2400, 600]), 1200, 300);
    check_size(&ink_within(600, 2400, [0, 0, 600, 2400]), 300, 1200);
    check_size(&ink_within(32, 32, [0, 0, 32, 32]), 32, 32);
}

#[test]
fn what_shines_through_is_white_as_on_paper() {
    let mark = intake_mark(&row(&[[200, 30, 30, 255], [0, 0, 0, 0]])).unwrap();
    let pixels = decoded(&mark.jpeg);
    assert!(is_near(
        [pixels.rgb[3], pixels.rgb[4], pixels.rgb[5]],
        [255; 3]
    ));
}

#[test]
fn colours_beside_each_other_stay_apart() {
    // At halved chroma the two columns would run into one colour.
    let mark = intake_mark(&samples::png(&quarters(2, 2))).unwrap();
    let pixels = decoded(&mark.jpeg);
    assert!(is_near(
        [pixels.rgb[0], pixels.rgb[1], pixels.rgb[2]],
        [230, 20, 20]
    ));
    assert!(is_near(
        [pixels.rgb[3], pixels.rgb[4], pixels.rgb[5]],
        [20, 200, 20]
    ));
}

#[test]
fn a_mark_that_no_paper_would_show_is_refused() {
    let nothing = "This picture is white all over on paper";
    check_refused(&samples::png(&ink_within(40, 30, [0; 4])), nothing);
    check_refused(&row(&[[0, 0, 0, 0]]), nothing);
    check_refused(&row(&[[255, 255, 255, 255]]), nothing);
}

#[test]
fn what_is_no_picture_of_a_mark_is_refused_with_the_way_out() {
    check_refused(b"", "This file is empty");
    check_refused(
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        "This file is an SVG drawing",
    );
    check_refused(
        b"<?xml version='1.0'?>\n<!-- drawn -->\n<svg width='2'/>",
        "This file is an SVG drawing",
    );
    check_refused(b"GIF89a", "This file is a GIF picture");
    check_refused(
        &vec![0xff; MARK_LIMITS.input_bytes_max + 1],
        "This file has 8.4 MB",
    );
}
