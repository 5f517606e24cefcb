//! Checks against things made by others: standards' examples, other programs, reference libraries. Each names its source.
//! Must never compare this project with itself.

mod calendar;
mod cells;
mod gs1;
mod identifiers;
mod money;
mod papers;
mod photos;
mod tracking;
mod vector_files;
