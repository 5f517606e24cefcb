use crate::SizePx;

use super::fitted;

fn check(width: u32, height: u32, long_side_px_max: u32, wanted: (u32, u32)) {
    assert_eq!(
        fitted(SizePx { width, height }, long_side_px_max),
        SizePx {
            width: wanted.0,
            height: wanted.1
        }
    );
}

#[test]
fn the_longer_side_gets_the_limit_and_the_shorter_keeps_the_shape() {
    check(4000, 3000, 2048, (2048, 1536));
    check(3000, 4000, 2048, (1536, 2048));
    check(5000, 5000, 320, (320, 320));
}

#[test]
fn the_shorter_side_is_rounded_to_the_nearest_pixel() {
    check(3000, 2000, 2048, (2048, 1365));
    check(3000, 2001, 2048, (2048, 1366));
}

#[test]
fn no_side_vanishes() {
    check(65535, 1, 320, (320, 1));
    check(1, 52_000_000, 2048, (1, 2048));
}
