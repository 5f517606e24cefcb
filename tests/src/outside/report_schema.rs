//! The record inside a return report against its published JSON Schema, judged by a validator of others: `jsonschema` for Python
//! (PyPI; Debian: `python3-jsonschema`), which follows JSON Schema draft 2020-12.

mod stories;

use std::collections::BTreeSet;
use std::io::Write as _;
use std::process::{Command, Stdio};

use desk::Desk;
use domain::JobId;
use domain::cells::CellFinding;
use domain::device::DeviceKind;
use domain::identifiers::IdentifierKind;
use domain::report_check::RECORD_BEGINNING;
use serde_json::{Value, json};

use crate::house::{House, Server, job};

const SCHEMA: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../crates/desk/schema/return-report-1.json"
);

/// Reads records, a line each, and prints a line for each: the first thing that is wrong, or nothing for one that fits. Formats are
/// asserted, the schema itself is checked first.
const VALIDATOR: &str = "
import json, sys
from jsonschema import Draft202012Validator as V
schema = json.load(open(sys.argv[1], encoding='utf-8'))
V.check_schema(schema)
validator = V(schema, format_checker=V.FORMAT_CHECKER)
for line in sys.stdin:
    error = next(validator.iter_errors(json.loads(line)), None)
    deepest = error
    while deepest is not None and deepest.context:
        deepest = max(deepest.context, key=lambda one: len(one.absolute_path))
    words = [] if error is None else ['/'.join(map(str, deepest.absolute_path)), deepest.message[:200]]
    print(' '.join(' '.join(words).split()))
";

/// What is wrong with each record; empty for one that fits.
fn faults_of(records: &[Value]) -> Vec<String> {
    let mut python = Command::new("python3")
        .args(["-c", VALIDATOR, SCHEMA])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 is installed");
    let mut into = python.stdin.take().expect("a pipe");
    let lines = records
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("\n");
    let writer = std::thread::spawn(move || into.write_all(lines.as_bytes()));
    let output = python.wait_with_output().expect("it ends");
    writer.join().expect("it ends").expect("it reads");
    assert!(output.status.success(), "the validator is installed");
    let text = String::from_utf8(output.stdout).expect("text");
    let faults: Vec<String> = text.lines().map(str::to_owned).collect();
    assert_eq!(faults.len(), records.len());
    faults
}

fn faults(record: &Value) -> String {
    faults_of(std::slice::from_ref(record)).remove(0)
}

fn record(desk: &Desk, job_id: JobId) -> Value {
    let job = job(desk, job_id);
    let report = job.current_report().expect("a report");
    let pdf = desk.file_bytes(&report.value.file).expect("its file");
    let bytes = papers::attached::beginning_with(&pdf, RECORD_BEGINNING).expect("a record");
    serde_json::from_slice(&bytes).expect("JSON")
}

fn schema() -> Value {
    serde_json::from_slice(&std::fs::read(SCHEMA).expect("the schema")).expect("JSON")
}

fn check_story(story: impl FnOnce(&House) -> JobId, shows: &[(&str, Value)]) {
    let house = House::founded();
    let job_id = story(&house);
    let record = record(&house.desk, job_id);
    assert_eq!(faults(&record), "");
    for (pointer, value) in shows {
        assert_eq!(record.pointer(pointer), Some(value), "{pointer}");
    }
}

const OUTCOME: &str = "/outcome/heads/0/value/outcome";

#[test]
fn the_record_of_a_simple_repair_fits_the_published_schema_and_names_it() {
    check_story(
        stories::repaired,
        &[
            (OUTCOME, json!("repaired")),
            ("/schema", schema()["$id"].clone()),
        ],
    );
}

#[test]
fn the_record_of_a_rich_repair_fits() {
    check_story(
        stories::rich_repair,
        &[
            (OUTCOME, json!("repaired")),
            ("/overrides/0/value/block", json!("before_missing")),
            ("/steps/1/value/in_procedure/passed", json!(true)),
            ("/procedures/0/next", Value::Null),
            ("/steps/2/value/lots/0/lot", json!("L-7")),
            ("/steps/3/value/jumper/wire/by", json!("diameter")),
            ("/decisions/0/value/way", json!("told")),
        ],
    );
}

#[test]
fn the_record_of_a_repair_in_part_fits() {
    check_story(stories::in_part, &[(OUTCOME, json!("repaired_in_part"))]);
}

#[test]
fn the_record_without_a_fault_fits_and_has_no_price() {
    check_story(
        stories::no_fault_found,
        &[
            (OUTCOME, json!("no_fault_found")),
            ("/quote_total", Value::Null),
            ("/warranty_until", Value::Null),
        ],
    );
}

#[test]
fn the_record_of_a_board_that_can_t_be_repaired_fits() {
    check_story(
        stories::not_repairable,
        &[(OUTCOME, json!("not_repairable"))],
    );
}

#[test]
fn the_record_of_a_repair_that_costs_too_much_fits() {
    check_story(
        stories::beyond_economic_repair,
        &[(OUTCOME, json!("beyond_economic_repair"))],
    );
}

#[test]
fn the_record_of_a_declined_price_fits_with_the_question_before_it() {
    check_story(
        stories::declined,
        &[
            (OUTCOME, json!("declined")),
            ("/decisions/0/value/answer", json!("ask")),
            ("/decisions/1/value/answer", json!("refuse")),
        ],
    );
}

#[test]
fn the_record_of_saved_data_fits() {
    check_story(stories::data_only, &[(OUTCOME, json!("data_only"))]);
}

#[test]
fn the_record_of_a_device_whose_cell_was_taken_out_fits_and_says_so() {
    let house = House::founded();
    let job_id = stories::cell_removed(&house);
    let record = record(&house.desk, job_id);
    assert_eq!(faults(&record), "");
    assert_eq!(record["cells_removed"].as_array().map(Vec::len), Some(1));
}

/// Every way to spoil an object or a value, once for each place of the record, whatever its number in a list.
fn spoiled(record: &Value) -> Vec<(String, Value)> {
    let mut places = Vec::new();
    collect(record, String::new(), &mut places);
    let mut seen = BTreeSet::new();
    let mut spoiled = Vec::new();
    for pointer in places {
        let place: String = pointer
            .split('/')
            .map(|part| {
                if part.parse::<u32>().is_ok() {
                    "*"
                } else {
                    part
                }
            })
            .collect::<Vec<_>>()
            .join("/");
        // Names by person id are the one map of the record.
        if place.starts_with("/people/") {
            continue;
        }
        let value = record.pointer(&pointer).expect("it is there");
        let kind = kind_of(value);
        if !seen.insert((place.clone(), kind)) {
            continue;
        }
        spoiled.push((
            format!("{place}: of another type"),
            with(record, &pointer, of_another_type(value)),
        ));
        if let Value::Object(fields) = value {
            let mut more = value.clone();
            more["unheard_of"] = json!("1234");
            spoiled.push((
                format!("{place}: one more field"),
                with(record, &pointer, more),
            ));
            for name in fields.keys().filter(|_| place != "/people") {
                let mut less = value.clone();
                less.as_object_mut().expect("an object").remove(name);
                spoiled.push((
                    format!("{place}: without {name}"),
                    with(record, &pointer, less),
                ));
            }
        }
    }
    spoiled
}

fn collect(value: &Value, pointer: String, places: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            for (name, field) in fields {
                collect(field, format!("{pointer}/{name}"), places);
            }
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                collect(item, format!("{pointer}/{index}"), places);
            }
        }
        _ => {}
    }
    places.push(pointer);
}

fn with(record: &Value, pointer: &str, value: Value) -> Value {
    let mut changed = record.clone();
    *changed.pointer_mut(pointer).expect("it is there") = value;
    changed
}

fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "bool",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    }
}

fn of_another_type(value: &Value) -> Value {
    match value {
        Value::Number(_) => json!("17"),
        Value::Array(_) => json!({}),
        Value::Null => json!({ "unheard_of": true }),
        Value::Bool(_) | Value::String(_) | Value::Object(_) => json!(17.5),
    }
}

/// What the schema leaves open: fields that came later within the form.
const MAY_BE_MISSING: [&str; 2] = [
    "/cell_checks/*/check: without cells_in_parallel",
    "/cell_checks/*/check: without rules",
];

#[test]
fn every_spoiled_field_of_a_rich_record_is_refused() {
    let house = House::founded();
    let rich = record(&house.desk, stories::rich_repair(&house));
    let cell = record(&house.desk, stories::cell_removed(&house));
    let mut all = spoiled(&rich);
    all.extend(spoiled(&cell));
    let mut told = BTreeSet::new();
    all.retain(|(what, _)| told.insert(what.clone()));
    assert!(all.len() > 600, "{} ways to spoil it", all.len());
    let records: Vec<Value> = all.iter().map(|(_, record)| record.clone()).collect();
    let accepted: Vec<&str> = all
        .iter()
        .zip(faults_of(&records))
        .filter(|((what, _), fault)| fault.is_empty() && !MAY_BE_MISSING.contains(&what.as_str()))
        .map(|((what, _), _)| what.as_str())
        .collect();
    assert!(accepted.is_empty(), "{accepted:#?}");
}

#[test]
fn a_word_that_is_none_of_the_list_and_a_text_of_the_wrong_shape_are_refused() {
    let house = House::founded();
    let sound = record(&house.desk, stories::rich_repair(&house));
    let check = |pointer: &str, value: Value| {
        let broken = with(&sound, pointer, value);
        let faults = faults(&broken);
        assert!(
            faults.contains(pointer.trim_start_matches('/')),
            "{pointer}: “{faults}”"
        );
    };
    check("/form", json!("waybench return report, form 2"));
    check("/job_id", json!("17"));
    check("/reference", json!("7K3M-2Q9U-C"));
    check("/lab/currency", json!("euro"));
    check("/lab/country", json!("Austria"));
    check("/warranty_until", json!("2026-13-01"));
    check("/quote_total/minor", json!(64.5));
    check("/comparison/0/joint", json!("mended"));
    check(
        "/comparison/0/before/result/outcome/reading/unit",
        json!("mA"),
    );
    check("/steps/0/value/heat/side", json!("left"));
    check("/steps/0/value/heat/temperature_c", json!(70_000));
    check("/decisions/0/value/answer", json!("perhaps"));
    check("/overrides/0/value/block", json!("laziness"));
    check("/photos/0/value/hash", json!("ABCD"));
    check("/device/heads/0/mark/at_ms", json!(-1));
}

/// The values of a closed word list of the schema.
fn listed(pointer: &str) -> BTreeSet<String> {
    let schema = schema();
    let list = schema.pointer(pointer).and_then(Value::as_array);
    list.expect(pointer)
        .iter()
        .map(|word| word.as_str().expect("a word").to_owned())
        .collect()
}

fn written(value: impl serde::Serialize) -> String {
    let word = serde_json::to_value(value).expect("JSON");
    word.as_str().expect("a word").to_owned()
}

#[test]
fn the_closed_lists_are_those_of_the_trade() {
    assert_eq!(
        listed("/$defs/cell_finding/enum"),
        CellFinding::ALL
            .iter()
            .map(written)
            .collect::<BTreeSet<_>>()
    );
    assert_eq!(
        listed("/$defs/device_kind/enum"),
        DeviceKind::ALL.iter().map(written).collect::<BTreeSet<_>>()
    );
    assert_eq!(
        listed("/$defs/identity/properties/identifiers/items/properties/kind/enum"),
        IdentifierKind::ALL
            .iter()
            .map(written)
            .collect::<BTreeSet<_>>()
    );
}

fn open_objects(schema: &Value, place: &str, open: &mut Vec<String>) {
    match schema {
        Value::Object(fields) => {
            let is_closed = match fields.get("additionalProperties") {
                Some(Value::Bool(free)) => !free,
                // A map whose values are described.
                Some(Value::Object(_)) => fields.contains_key("propertyNames"),
                _ => false,
            };
            if fields.get("type") == Some(&json!("object")) && !is_closed {
                open.push(place.to_owned());
            }
            for (name, field) in fields {
                open_objects(field, &format!("{place}/{name}"), open);
            }
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                open_objects(item, &format!("{place}/{index}"), open);
            }
        }
        _ => {}
    }
}

#[test]
fn no_object_of_the_schema_is_left_open() {
    let mut open = Vec::new();
    open_objects(&schema(), "", &mut open);
    assert!(open.is_empty(), "{open:#?}");
}

#[test]
fn a_server_publishes_the_same_schema_to_the_byte() {
    let server = Server::start();
    let url = format!("{}/schema/return-report-1.json", server.url());
    let answer = crate::house::Answer::of(crate::house::client().get(url));
    assert_eq!(answer.status, 200);
    assert_eq!(answer.body, std::fs::read(SCHEMA).expect("the schema"));
}
