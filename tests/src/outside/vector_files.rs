//! Reads the tables of published numbers in `tests/vectors`.

use std::fs;
use std::path::Path;

use serde_json::Value;

/// One file of vectors.
pub(super) fn vectors(file: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("vectors")
        .join(file);
    let bytes = fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    serde_json::from_slice(&bytes).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The list under a name. Fails when it is empty, so that no check passes by having no cases.
pub(super) fn list<'a>(value: &'a Value, name: &str) -> &'a [Value] {
    let list = value[name]
        .as_array()
        .unwrap_or_else(|| panic!("no list {name} in {value}"));
    assert!(!list.is_empty(), "the list {name} is empty");
    list
}

/// The text under a name.
pub(super) fn text<'a>(value: &'a Value, name: &str) -> &'a str {
    value[name]
        .as_str()
        .unwrap_or_else(|| panic!("no text {name} in {value}"))
}

/// A whole number.
pub(super) fn number(value: &Value) -> i64 {
    value
        .as_i64()
        .unwrap_or_else(|| panic!("{value} is not a whole number"))
}
