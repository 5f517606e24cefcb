//! Unit cases.
