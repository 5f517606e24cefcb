//! The papers, one module each, and the sheet they share.

pub(crate) mod inward_slip;
pub(crate) mod job_tags;
pub(crate) mod packing_slip;
pub(crate) mod return_report;
pub(crate) mod set;
pub(crate) mod sheet;
