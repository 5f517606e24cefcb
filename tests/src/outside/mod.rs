//! Checks against things made by others: standards' examples, other programs, reference libraries. Each names its source.
//! Must never compare this project with itself.

mod argon2id;
mod calendar;
mod cells;
mod gs1;
mod identifiers;
mod logbook;
mod money;
mod papers;
mod photos;
mod report_schema;
mod rework;
mod second_reading;
mod statistics;
mod traces;
mod tracking;
mod transport_api;
mod uuid;
mod vector_files;
