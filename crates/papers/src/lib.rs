//! Papers: a finished view model in, PDF bytes out.
//!
//! Knows nothing of how the facts came to be. Never reads a clock, a random source, a file or the environment: the same
//! model gives the same bytes.

pub mod model;
