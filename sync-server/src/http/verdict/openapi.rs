//! The OpenAPI 3.1 document of the transport verdict, from the same table as the checks.

use std::sync::Arc;

use axum::extract::State;
use axum::response::Response;
use domain::cells::book::RuleBook;
use domain::cells::transport::{Flag, VerdictCode};
use serde_json::{Map, Value, json};
use sync_protocol::http_paths::PROBLEM_JSON;

use super::super::App;
use super::fields::{CONTENT, Choice, Field, PARCEL, Shape};
use super::page::{ANSWER, answer_choices, example};
use super::problem::VerdictProblem;
use super::{PATH, json_answer};
use crate::core::Core;

/// `GET /api/v1/openapi.json`.
pub(super) async fn document(State(app): State<Arc<App>>) -> Result<Response, VerdictProblem> {
    let book = app.run(Core::rule_book).await??;
    Ok(json_answer(&build(&app, &book)))
}

/// The whole document (OpenAPI Specification 3.1.0; its schemas are JSON Schema 2020-12).
fn build(app: &App, book: &RuleBook) -> Value {
    let (question, answer) = example(book, app.core.now_ms());
    let mut responses = Map::new();
    responses.insert(
        "200".to_owned(),
        json!({
            "description": "The verdict.",
            "content": {"application/json": {
                "schema": {"$ref": "#/components/schemas/Verdict"},
                "example": answer,
            }},
        }),
    );
    for (status, _, title, _) in VerdictProblem::documented() {
        responses.insert(
            status.as_u16().to_string(),
            json!({
                "description": title,
                "content": {PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}}},
            }),
        );
    }
    let mut operation = json!({
        "operationId": "transportVerdict",
        "summary": "Whether one parcel with lithium or sodium cells may go",
        "description": "A check list and no approval. Field names that are not listed are refused.",
        "requestBody": {
            "required": true,
            "content": {"application/json": {
                "schema": {"$ref": "#/components/schemas/Parcel"},
                "example": question,
            }},
        },
        "responses": responses,
    });
    if !app.public_verdicts {
        operation["security"] = json!([{"portalSession": []}, {"desktop": []}]);
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Transport verdict",
            "version": "1",
            "description": format!("The same engine as in the lab. Documentation for people: {}{PATH}", app.public_url.as_str()),
        },
        "servers": [{"url": app.public_url.as_str()}],
        "paths": {PATH: {"post": operation}},
        "components": {
            "schemas": {
                "Parcel": parcel(),
                "Content": object(&CONTENT),
                "Verdict": verdict(),
                "Problem": problem(),
            },
            "securitySchemes": {
                "portalSession": {"type": "apiKey", "in": "cookie", "name": "session", "description": "A shop user signed in on the portal."},
                "desktop": {"type": "http", "scheme": "bearer", "description": "A desktop that has joined this lab."},
            },
        },
    })
}

/// The question: the parcel's fields, and either `contents` or the fields of one kind of content beside them.
fn parcel() -> Value {
    let mut schema = object(&PARCEL);
    let flat = CONTENT
        .iter()
        .map(|field| (field.name.to_owned(), of_field(field)));
    if let Some(Value::Object(properties)) = schema.get_mut("properties") {
        properties.extend(flat);
    }
    schema
}

fn object(fields: &[Field]) -> Value {
    let properties: Map<String, Value> = fields
        .iter()
        .map(|field| (field.name.to_owned(), of_field(field)))
        .collect();
    let needed: Vec<&str> = fields
        .iter()
        .filter(|field| field.is_needed)
        .map(|field| field.name)
        .collect();
    let mut schema = json!({
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    });
    if !needed.is_empty() {
        schema["required"] = json!(needed);
    }
    schema
}

fn of_field(field: &Field) -> Value {
    let mut schema = match &field.shape {
        Shape::One(choices) => {
            json!({"type": kind("string", field), "enum": codes(choices, !field.is_needed)})
        }
        Shape::Several(choices) => json!({
            "type": kind("array", field),
            "items": {"type": "string", "enum": codes(choices, false)},
        }),
        Shape::Whole(_) => json!({"type": kind("integer", field), "format": "int64"}),
        Shape::Decimal(_) => json!({"type": kind("number", field)}),
        Shape::YesNo => json!({"type": kind("boolean", field)}),
        Shape::Day => json!({"type": kind("string", field), "format": "date"}),
        Shape::Text(max) => json!({"type": kind("string", field), "maxLength": max}),
        Shape::Object(fields) => {
            let mut schema = object(fields);
            schema["type"] = kind("object", field);
            schema
        }
        Shape::Contents => json!({
            "type": kind("array", field),
            "minItems": 1,
            "items": {"$ref": "#/components/schemas/Content"},
        }),
    };
    schema["description"] = json!(described(field));
    schema
}

/// A type that also takes null, which says “not known”, unless the field is always needed.
fn kind(name: &str, field: &Field) -> Value {
    if field.is_needed {
        json!(name)
    } else {
        json!([name, "null"])
    }
}

fn codes(choices: &[Choice], with_null: bool) -> Vec<Value> {
    choices
        .iter()
        .map(|choice| json!(choice.code))
        .chain(with_null.then_some(Value::Null))
        .collect()
}

/// The words of a field, with the meaning of each of its values.
fn described(field: &Field) -> String {
    let (Shape::One(choices) | Shape::Several(choices)) = &field.shape else {
        return field.words.to_owned();
    };
    let meanings: Vec<String> = choices
        .iter()
        .map(|choice| format!("{}: {}", choice.code, choice.words))
        .collect();
    format!("{} {}.", field.words, meanings.join("; "))
}

/// The answer. A later version may add members, so they are not closed.
fn verdict() -> Value {
    let text = json!({"type": "string"});
    let texts = json!({"type": "array", "items": {"type": "string"}});
    let items =
        |needed: &[&str]| json!({"type": "array", "items": {"type": "object", "required": needed}});
    let codes = |name: &str| -> Vec<Value> {
        answer_choices(name)
            .iter()
            .map(|choice| json!(choice.code))
            .collect()
    };
    let properties: Map<String, Value> = ANSWER
        .iter()
        .map(|(name, words)| {
            let mut schema = match *name {
                "verdict" => json!({"type": "string", "enum": codes(name)}),
                "un" => json!({"type": "array", "items": {"type": "string", "enum": codes(name)}}),
                "flags" => {
                    json!({"type": "array", "items": {"type": "string", "enum": codes(name)}})
                }
                "proper_shipping_name" | "packing_instruction" | "unknowns" => texts.clone(),
                "marks" => items(&["code", "words", "lines", "placing"]),
                "papers" => items(&["name", "text", "clause"]),
                "rules" => items(&[
                    "id",
                    "clause",
                    "edition",
                    "certainty",
                    "text",
                    "last_checked",
                ]),
                "limits" => items(&["id", "what", "value", "limit", "within"]),
                "alternatives" => items(&["change", "verdict", "words", "marks"]),
                "cautions" => items(&["id", "text"]),
                "packing" => items(&["text", "clause"]),
                _ => text.clone(),
            };
            schema["description"] = json!(words);
            ((*name).to_owned(), schema)
        })
        .collect();
    let needed: Vec<&str> = ANSWER.iter().map(|(name, _)| *name).collect();
    json!({"type": "object", "required": needed, "properties": properties})
}

fn problem() -> Value {
    json!({
        "type": "object",
        "description": "Problem details, RFC 9457.",
        "required": ["type", "title", "status", "detail", "code"],
        "properties": {
            "type": {"type": "string", "format": "uri-reference"},
            "title": {"type": "string"},
            "status": {"type": "integer"},
            "detail": {"type": "string", "description": "What is wrong and what would be right, in one sentence."},
            "code": {"type": "string"},
            "field": {"type": "string", "description": "The field at fault, as in contents[1].wh_label."},
        },
    })
}

/// Every verdict there is, best first.
pub(super) const VERDICTS: [VerdictCode; 5] = [
    VerdictCode::Ordinary,
    VerdictCode::Marked,
    VerdictCode::DdrGround,
    VerdictCode::Hold,
    VerdictCode::Forbidden,
];

/// Every flag there is.
pub(super) const FLAGS: [Flag; 8] = [
    Flag::SurfaceOnly,
    Flag::CargoAircraftOnly,
    Flag::FullyRegulated,
    Flag::Emergency,
    Flag::CarrierCheck,
    Flag::DataMissing,
    Flag::AdviceSoc,
    Flag::NoOutsideBatteryLabels,
];
