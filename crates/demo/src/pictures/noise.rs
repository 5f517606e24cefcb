//! Noise that repeats: for grain, fibres, stains and brushed metal.

/// A number from 0 to 1 for a whole-numbered place.
pub(super) fn hash(x: i32, y: i32, seed: u64) -> f32 {
    let mut bits = (x as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15)
        ^ (y as u64).wrapping_mul(0xC2B2_AE3D_27D4_EB4F)
        ^ seed;
    bits = (bits ^ (bits >> 29)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    bits ^= bits >> 32;
    (bits & 0xFFFF) as f32 / 65_536.0
}

/// Smooth noise from 0 to 1: the four corners of the unit square around a place, mixed.
pub(super) fn soft(x: f32, y: f32, seed: u64) -> f32 {
    let (left, top) = (x.floor(), y.floor());
    let ease = |t: f32| t * t * (3.0 - 2.0 * t);
    let (u, v) = (ease(x - left), ease(y - top));
    let (left, top) = (left as i32, top as i32);
    let row = |y: i32| {
        let from = hash(left, y, seed);
        from + (hash(left.wrapping_add(1), y, seed) - from) * u
    };
    let (upper, lower) = (row(top), row(top.wrapping_add(1)));
    upper + (lower - upper) * v
}
