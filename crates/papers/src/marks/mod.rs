//! The shapes that carry meaning beside their word, so that nothing rests on colour: joints, cell levels, outlines,
//! transport verdicts, and the battery mark of the rules for parcels.

pub(crate) mod battery;
pub(crate) mod joint;
pub(crate) mod level;
pub(crate) mod outline;
pub(crate) mod verdict;
