//! The shapes that carry meaning beside their word, so that nothing rests on colour: joints, cell levels, outlines.

pub(crate) mod joint;
pub(crate) mod level;
pub(crate) mod outline;
