//! The trade: what the lab records, what it adds up to, and the rules that follow.
//!
//! Everything here is pure. Nothing reads a clock, a random source, a file or the environment: callers pass the time and the ids.
//! A rule that can be explained to the technician at the bench belongs here; how it is stored, sent or drawn does not.

pub mod boards;
pub mod calendar;
pub mod cells;
pub mod device;
pub mod fact;
pub mod gs1;
pub mod history;
pub mod house;
pub mod identifiers;
mod ids;
pub mod job;
pub mod judging;
pub mod money;
pub mod parcel;
pub mod reading;
mod recorded;
pub mod reference;
mod register;
pub mod report_check;
pub mod rework;
pub mod scan;
pub mod shop_view;
pub mod stock;
pub mod trace;
pub mod tracking;

pub use cells::bay::fold_cell;
pub use fact::Fact;
pub use house::{fold_lab, fold_person, fold_shop};
pub use ids::{
    CellId, ContentHash, ContentHashError, EntryId, IdError, JobId, LabId, ParcelId, PersonId,
    ShopId, StreamId, Subject,
};
pub use job::fold_job;
pub use parcel::fold_parcel;
pub use recorded::{Decoded, Mark, Recorded, Stamp};
pub use register::{Head, Register};
