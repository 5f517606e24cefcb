//! An invented lab: its shops, its people, its devices and three weeks of its work.
//!
//! Everything is written through the desk's own commands, with a clock that stands in the past. Every maker, model, shop and
//! person is made up. Used by the demonstration, the tests and the benchmarks; never by a real lab, since its random source repeats.

pub mod browser;
pub mod data;
pub mod history;
pub mod pictures;
pub mod play;
pub mod random;
pub mod synthetic;

pub use history::{SEED, SeedOptions, Seeded, seed, seed_small};
pub use synthetic::{Synthetic, synthetic};
