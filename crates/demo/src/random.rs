//! A random source that repeats: the same seed always gives the same lab and the same pictures.
//!
//! It is predictable on purpose and must never make a key that guards anything real.

use std::sync::{Mutex, PoisonError};

use desk::ports::Randomness;

/// Steele, Lea and Flood's SplitMix64: one 64-bit word of state, every seed as good as another.
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Dice that always fall the same way for a seed.
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Dice for one thing among many, so that a change to one leaves the others as they were.
    pub fn for_name(seed: u64, name: &str) -> Self {
        // FNV-1a: short, and good enough to keep names apart.
        let hash = name.bytes().fold(0xCBF2_9CE4_8422_2325_u64, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01B3)
        });
        Self(seed ^ hash)
    }

    /// The next 64 random bits.
    pub const fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        bits ^ (bits >> 31)
    }

    /// A whole number from 0 to below `end`; 0 when `end` is 0.
    pub const fn below(&mut self, end: u64) -> u64 {
        if end == 0 { 0 } else { self.bits() % end }
    }

    /// One of several.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        let index = usize::try_from(self.below(from.len() as u64)).unwrap_or(0);
        &from[index]
    }

    /// A number from `from` to below `to`.
    #[expect(
        clippy::cast_precision_loss,
        reason = "24 random bits fit the mantissa of an f32 exactly"
    )]
    pub fn between(&mut self, from: f32, to: f32) -> f32 {
        let unit = (self.bits() >> 40) as f32 / (1_u32 << 24) as f32;
        from + unit * (to - from)
    }

    /// True with the given chance, from 0 to 1.
    pub fn chance(&mut self, chance: f32) -> bool {
        self.between(0.0, 1.0) < chance
    }
}

/// The dice as the desk's random source.
#[derive(Debug)]
pub struct RepeatableRandomness(Mutex<Dice>);

impl RepeatableRandomness {
    /// Begins at a seed.
    pub const fn new(seed: u64) -> Self {
        Self(Mutex::new(Dice::new(seed)))
    }
}

impl Randomness for RepeatableRandomness {
    fn fill(&self, bytes: &mut [u8]) {
        let mut dice = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        for chunk in bytes.chunks_mut(8) {
            chunk.copy_from_slice(&dice.bits().to_le_bytes()[..chunk.len()]);
        }
    }
}
