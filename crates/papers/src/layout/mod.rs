//! The layout engine: text into lines, lines into columns, columns into pages, pages into drawing operations.
//!
//! Measures are points from the top left corner of the page, downwards; only `canvas` turns them over for the PDF.

pub(crate) mod canvas;
pub(crate) mod flow;
pub(crate) mod lettering;
pub(crate) mod text;
