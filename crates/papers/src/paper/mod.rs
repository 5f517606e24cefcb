//! The papers, one module each, and the sheets they share.

pub(crate) mod battery_marks;
pub(crate) mod bay_labels;
pub(crate) mod handover;
pub(crate) mod inward_slip;
pub(crate) mod job_tags;
pub(crate) mod packing_instruction;
pub(crate) mod packing_slip;
pub(crate) mod parts;
pub(crate) mod return_report;
pub(crate) mod set;
pub(crate) mod sheet;
pub(crate) mod test_page;
pub(crate) mod true_size;
pub(crate) mod waybill;
pub(crate) mod word_labels;
