//! The question as it arrives, checked name by name, then read into the engine's own type.
//!
//! A name that is none is refused with the one that may have been meant: a misspelt limit that is silently ignored could make
//! a verdict better than it is.

use domain::cells::transport::{Millionths, Parcel};
use serde_json::{Map, Value};

use super::fields::{CONTENT, Choice, Field, PARCEL, Shape, codes};
use super::json::{self, kind_of};
use super::problem::VerdictProblem;

/// Most kinds of content in one parcel.
const CONTENTS_MAX: usize = 100;

/// Names that are at least this much alike (Jaro-Winkler) are offered as what may have been meant.
const LIKENESS_MIN: f64 = 0.85;

/// Longest piece of a wrong value or name that is quoted.
const QUOTED_CHARS_MAX: usize = 60;

/// Reads a question.
pub(super) fn parcel(bytes: &[u8]) -> Result<Parcel, VerdictProblem> {
    let mut object = json::read(bytes)?;
    let (single, whole): (Vec<_>, Vec<_>) = object
        .iter()
        .partition(|(name, _)| CONTENT.iter().any(|field| field.name == name.as_str()));
    if let (Some((name, _)), true) = (single.first(), object.contains_key("contents")) {
        return Err(VerdictProblem::field(
            "contents",
            format!(
                "“contents” and “{name}” stand side by side; give several kinds of content as a list, or one kind without it."
            ),
        ));
    }
    members(whole.into_iter(), &PARCEL, "")?;
    members(single.into_iter(), &CONTENT, "")?;
    missing(&object, &PARCEL, "")?;
    drop_nulls(&mut object);
    serde_json::from_value(Value::Object(object)).map_err(|error| VerdictProblem::NotReadable {
        sentence: format!("The question can't be read: {error}."),
    })
}

/// Takes out what is given as not known.
fn drop_nulls(object: &mut Map<String, Value>) {
    object.retain(|_, value| !value.is_null());
    for value in object.values_mut() {
        match value {
            Value::Object(inner) => drop_nulls(inner),
            Value::Array(items) => items
                .iter_mut()
                .filter_map(Value::as_object_mut)
                .for_each(drop_nulls),
            _ => {}
        }
    }
}

/// Checks that every member is one of `fields` and holds what it should. `path` stands before each name.
fn members<'a>(
    members: impl Iterator<Item = (&'a String, &'a Value)>,
    fields: &[Field],
    path: &str,
) -> Result<(), VerdictProblem> {
    for (name, value) in members {
        let way = format!("{path}{name}");
        let field = fields
            .iter()
            .find(|field| field.name == name)
            .ok_or_else(|| unknown(name, &way, fields))?;
        // Null says “not known”, as leaving the field out does.
        if !value.is_null() || field.is_needed {
            check(value, &field.shape, &way)?;
        }
    }
    Ok(())
}

fn missing(
    object: &Map<String, Value>,
    fields: &[Field],
    path: &str,
) -> Result<(), VerdictProblem> {
    let missing = fields
        .iter()
        .find(|field| field.is_needed && !object.contains_key(field.name));
    missing.map_or(Ok(()), |field| {
        Err(VerdictProblem::field(
            format!("{path}{}", field.name),
            format!(
                "The field “{}” is missing; give {}.",
                field.name,
                field.shape.asks_for()
            ),
        ))
    })
}

fn check(value: &Value, shape: &Shape, way: &str) -> Result<(), VerdictProblem> {
    let wrong = |is: String| {
        Err(VerdictProblem::field(
            way,
            format!("“{way}” is {is}, and must be {}.", shape.asks_for()),
        ))
    };
    match (shape, value) {
        (Shape::One(choices), Value::String(text)) => choice(text, choices, way),
        (Shape::Several(choices), Value::Array(items)) => several(items, choices, way),
        (Shape::Whole(_), Value::Number(number)) if !number.is_i64() => wrong(number.to_string()),
        (Shape::Decimal(_), Value::Number(number))
            if Millionths::parse(&number.to_string()).is_none() =>
        {
            wrong(number.to_string())
        }
        (Shape::Whole(_) | Shape::Decimal(_), Value::Number(_))
        | (Shape::YesNo, Value::Bool(_)) => Ok(()),
        (Shape::Day, Value::String(text)) => match text.parse::<jiff::civil::Date>() {
            Ok(day) if day.to_string() == *text => Ok(()),
            _ => wrong(format!("“{}”", cut(text))),
        },
        (Shape::Text(max), Value::String(text)) if text.chars().count() <= *max => Ok(()),
        (Shape::Text(_), Value::String(text)) => wrong(format!("“{}…”", cut(text))),
        (Shape::Object(fields), Value::Object(object)) => {
            members(object.iter(), fields, &format!("{way}."))
        }
        (Shape::Contents, Value::Array(items)) => contents(items, way),
        _ => wrong(kind_of(value).to_owned()),
    }
}

fn contents(items: &[Value], way: &str) -> Result<(), VerdictProblem> {
    if items.is_empty() || items.len() > CONTENTS_MAX {
        return Err(VerdictProblem::field(
            way,
            format!(
                "“{way}” holds {} kinds of content, and must hold 1 to {CONTENTS_MAX}.",
                items.len()
            ),
        ));
    }
    for (at, item) in items.iter().enumerate() {
        let way = format!("{way}[{at}]");
        let Value::Object(object) = item else {
            return Err(VerdictProblem::field(
                way.as_str(),
                format!(
                    "“{way}” is {}, and must be an object with the fields of one kind of content.",
                    kind_of(item)
                ),
            ));
        };
        members(object.iter(), &CONTENT, &format!("{way}."))?;
    }
    Ok(())
}

fn choice(text: &str, choices: &[Choice], way: &str) -> Result<(), VerdictProblem> {
    if choices.iter().any(|choice| choice.code == text) {
        return Ok(());
    }
    let perhaps = closest(text, choices.iter().map(|choice| choice.code.as_str()))
        .map_or_else(String::new, |meant| format!(" Did you mean {meant}?"));
    Err(VerdictProblem::field(
        way,
        format!(
            "“{way}” is “{}”, and must be one of {}.{perhaps}",
            cut(text),
            codes(choices)
        ),
    ))
}

fn several(items: &[Value], choices: &[Choice], way: &str) -> Result<(), VerdictProblem> {
    for (at, item) in items.iter().enumerate() {
        let way = format!("{way}[{at}]");
        match item {
            Value::String(text) => choice(text, choices, &way)?,
            other => {
                return Err(VerdictProblem::field(
                    way.as_str(),
                    format!(
                        "“{way}” is {}, and must be one of {}.",
                        kind_of(other),
                        codes(choices)
                    ),
                ));
            }
        }
    }
    Ok(())
}

fn unknown(name: &str, way: &str, fields: &[Field]) -> VerdictProblem {
    // A content's field beside the parcel's own is known by its name, wherever it stands.
    let known = fields.iter().chain(CONTENT.iter()).map(|field| field.name);
    let sentence = match closest(name, known) {
        Some(meant) => format!("There is no field “{}”; did you mean “{meant}”?", cut(name)),
        None => format!(
            "There is no field “{}”; the fields are listed at /api/v1/transport-verdict.",
            cut(name)
        ),
    };
    VerdictProblem::field(cut(way), sentence)
}

/// The known word that a wrong one is most like, if any is like it at all.
fn closest<'a>(given: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let given = given.to_lowercase();
    known
        .map(|word| (strsim::jaro_winkler(&given, &word.to_lowercase()), word))
        .filter(|(likeness, _)| *likeness >= LIKENESS_MIN)
        .max_by(|(one, _), (other, _)| one.total_cmp(other))
        .map(|(_, word)| word)
}

/// A text as far as it is worth quoting.
fn cut(text: &str) -> String {
    text.chars().take(QUOTED_CHARS_MAX).collect()
}
