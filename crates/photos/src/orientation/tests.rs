use crate::samples::exif_block;
use crate::{Orientation, Raster, SizePx};

use super::upright;

/// A picture 3 wide and 2 high whose pixels are numbered by rows from 1.
fn numbered() -> Raster {
    Raster {
        rgb: (1..=6).flat_map(|number| [number; 3]).collect(),
        size: SizePx {
            width: 3,
            height: 2,
        },
    }
}

fn check(value: u32, width: u32, numbers: [u8; 6]) {
    let turned = upright(numbered(), Orientation::from_exif_value(value));
    assert_eq!(
        turned.size,
        SizePx {
            width,
            height: 6 / width
        },
        "orientation {value}"
    );
    let found: Vec<u8> = turned.rgb.chunks_exact(3).map(|pixel| pixel[0]).collect();
    assert_eq!(found, numbers, "orientation {value}");
}

/// Worked out by hand from TIFF 6.0, tag 274: for each value, where the stored first row and first column are seen.
#[test]
fn every_orientation_puts_the_stored_rows_where_the_standard_says() {
    check(1, 3, [1, 2, 3, 4, 5, 6]); // row on top, column at the left
    check(2, 3, [3, 2, 1, 6, 5, 4]); // top, right
    check(3, 3, [6, 5, 4, 3, 2, 1]); // bottom, right
    check(4, 3, [4, 5, 6, 1, 2, 3]); // bottom, left
    check(5, 2, [1, 4, 2, 5, 3, 6]); // left, top
    check(6, 2, [4, 1, 5, 2, 6, 3]); // right, top
    check(7, 2, [6, 3, 5, 2, 4, 1]); // right, bottom
    check(8, 2, [3, 6, 2, 5, 1, 4]); // left, bottom
}

#[test]
fn a_value_out_of_range_leaves_the_picture_as_it_lies() {
    for value in [0, 9, 65535] {
        assert_eq!(Orientation::from_exif_value(value), Orientation::Upright);
    }
}

#[test]
fn an_exif_block_is_read_with_and_without_its_mark() {
    let block = exif_block(6);
    assert_eq!(
        Orientation::from_exif_block(&block),
        Orientation::QuarterClockwise
    );
    assert_eq!(
        Orientation::from_exif_block(&[b"Exif\0\0", block.as_slice()].concat()),
        Orientation::QuarterClockwise
    );
}

#[test]
fn an_exif_block_with_its_bytes_the_other_way_round_is_read() {
    let block = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x08\0\0\0\0\0\0";
    assert_eq!(
        Orientation::from_exif_block(block),
        Orientation::QuarterCounterClockwise
    );
}

#[test]
fn a_broken_second_directory_doesnt_hide_the_orientation() {
    let mut block = exif_block(3);
    let next_directory = block.len() - 4;
    block[next_directory..].copy_from_slice(&0xffff_u32.to_le_bytes());
    assert_eq!(Orientation::from_exif_block(&block), Orientation::HalfTurn);
}

#[test]
fn a_broken_exif_block_leaves_the_picture_as_it_lies() {
    for block in [
        b"".as_slice(),
        b"Exif\0\0",
        b"II*\0",
        b"not a TIFF structure at all",
    ] {
        assert_eq!(Orientation::from_exif_block(block), Orientation::Upright);
    }
}
