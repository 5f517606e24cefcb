//! JSON as it arrives: one object, in which no name stands twice.
//!
//! RFC 8259, section 4, leaves open what a name that stands twice means, and most readers silently take the last. For a question
//! about a lithium battery that would be a silent guess, so it is refused.

use std::collections::BTreeSet;
use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};

use super::problem::VerdictProblem;

/// Reads the question's object.
pub(super) fn read(bytes: &[u8]) -> Result<Map<String, Value>, VerdictProblem> {
    let unreadable = |sentence: String| VerdictProblem::NotReadable { sentence };
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(unreadable(
            "The body is empty; send one JSON object with the fields of the parcel.".to_owned(),
        ));
    }
    let not_json = |error: serde_json::Error| {
        unreadable(format!(
            "The body can't be read as JSON ({error}); send one JSON object with the fields of the parcel."
        ))
    };
    match serde_json::from_slice(bytes).map_err(not_json)? {
        Value::Object(object) => {
            let _unique: NoTwice = serde_json::from_slice(bytes)
                .map_err(|error| unreadable(format!("{error}; give each field once.")))?;
            Ok(object)
        }
        other => Err(unreadable(format!(
            "The body is {}, and must be one JSON object with the fields of the parcel.",
            kind_of(&other)
        ))),
    }
}

/// What a value is, in words.
pub(super) const fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "true or false",
        Value::Number(_) => "a number",
        Value::String(_) => "a text",
        Value::Array(_) => "a list",
        Value::Object(_) => "an object",
    }
}

/// Walks through a document and fails at the first name that stands twice in one object.
struct NoTwice;

impl<'de> Deserialize<'de> for NoTwice {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Walk)
    }
}

struct Walk;

impl<'de> Visitor<'de> for Walk {
    type Value = NoTwice;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }

    fn visit_bool<E>(self, _: bool) -> Result<NoTwice, E> {
        Ok(NoTwice)
    }

    fn visit_i64<E>(self, _: i64) -> Result<NoTwice, E> {
        Ok(NoTwice)
    }

    fn visit_u64<E>(self, _: u64) -> Result<NoTwice, E> {
        Ok(NoTwice)
    }

    fn visit_f64<E>(self, _: f64) -> Result<NoTwice, E> {
        Ok(NoTwice)
    }

    fn visit_str<E>(self, _: &str) -> Result<NoTwice, E> {
        Ok(NoTwice)
    }

    fn visit_unit<E>(self) -> Result<NoTwice, E> {
        Ok(NoTwice)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<NoTwice, A::Error> {
        while items.next_element::<NoTwice>()?.is_some() {}
        Ok(NoTwice)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<NoTwice, A::Error> {
        let mut names = BTreeSet::new();
        while let Some(name) = members.next_key::<String>()? {
            members.next_value::<NoTwice>()?;
            if names.contains(&name) {
                return Err(serde::de::Error::custom(format_args!(
                    "The field “{name}” stands there twice"
                )));
            }
            names.insert(name);
        }
        Ok(NoTwice)
    }
}
