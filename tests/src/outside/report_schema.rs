//! The record inside a return report against its published JSON Schema, judged by a validator of others: `jsonschema` for Python
//! (PyPI; Debian: `python3-jsonschema`), which follows JSON Schema draft 2020-12.

use std::io::Write as _;
use std::process::{Command, Stdio};

use desk::Desk;
use domain::JobId;
use domain::report_check::RECORD_BEGINNING;
use serde_json::{Value, json};

use crate::house::{House, closed_job, job};

const SCHEMA: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../crates/desk/schema/return-report-1.json"
);

/// Prints what is wrong, a line each; nothing for a record that fits. Formats are asserted, the schema itself is checked first.
const VALIDATOR: &str = "
import json, sys
from jsonschema import Draft202012Validator as V
schema = json.load(open(sys.argv[1], encoding='utf-8'))
V.check_schema(schema)
for error in V(schema, format_checker=V.FORMAT_CHECKER).iter_errors(json.load(sys.stdin)):
    print('/'.join(map(str, error.absolute_path)), error.message[:300])
";

fn faults(record: &Value) -> String {
    let mut python = Command::new("python3")
        .args(["-c", VALIDATOR, SCHEMA])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 is installed");
    python
        .stdin
        .take()
        .expect("a pipe")
        .write_all(record.to_string().as_bytes())
        .expect("it reads");
    let output = python.wait_with_output().expect("it ends");
    assert!(output.status.success(), "the validator is installed");
    String::from_utf8(output.stdout).expect("text")
}

fn record(desk: &Desk, job_id: JobId) -> Value {
    let job = job(desk, job_id);
    let report = job.current_report().expect("a report");
    let pdf = desk.file_bytes(&report.value.file).expect("its file");
    let bytes = papers::attached::beginning_with(&pdf, RECORD_BEGINNING).expect("a record");
    serde_json::from_slice(&bytes).expect("JSON")
}

#[test]
fn the_record_of_a_repaired_device_fits_the_published_schema_and_names_it() {
    let house = House::founded();
    let record = record(&house.desk, closed_job(&house.desk, house.shop_id, 1));
    assert_eq!(faults(&record), "");
    let schema = std::fs::read(SCHEMA).expect("the schema");
    let schema: Value = serde_json::from_slice(&schema).expect("JSON");
    assert_eq!(record["schema"], schema["$id"]);
}

#[test]
fn a_broken_record_does_not_fit() {
    let house = House::founded();
    let sound = record(&house.desk, closed_job(&house.desk, house.shop_id, 1));
    let check = |pointer: &str, value: Value, part: &str| {
        let mut broken = sound.clone();
        *broken.pointer_mut(pointer).expect(pointer) = value;
        let faults = faults(&broken);
        assert!(faults.contains(part), "{pointer}: “{faults}”");
    };
    check("/form", json!("waybench return report, form 2"), "form");
    check("/job_id", json!("17"), "job_id");
    check("/reference", json!("7K3M-2Q9U-C"), "reference");
    check("/lab/currency", json!("euro"), "lab/currency");
    check("/comparison/0/joint", json!("mended"), "comparison/0/joint");
    check("/comparison/0/proved", json!("yes"), "comparison/0/proved");
    check("/device/heads/0/mark/at_ms", json!(-1), "at_ms");
    let mut less = sound.clone();
    less.as_object_mut().expect("an object").remove("outcome");
    assert!(faults(&less).contains("'outcome' is a required property"));
    let mut more = sound.clone();
    more["passcode"] = json!("1234");
    assert!(faults(&more).contains("'passcode' was unexpected"));
}
